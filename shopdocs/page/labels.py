"""Part labels: the mark loudest, then code, name, size, arrow, mates, stage and warning, as far as there is room."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from shopdocs.blocks.sheets import Labels, PieceLabel
from shopdocs.core.length import Length
from shopdocs.page import qr
from shopdocs.page.drawings import arrow_head
from shopdocs.page.items import Face, Frame, Line, Symbol, TextRun, mm
from shopdocs.page.label_sheets import LabelSheet, keep_inside, label_sheet
from shopdocs.page.paper import Paper, paper
from shopdocs.page.prose import warning_triangle
from shopdocs.page.typesetter import Typesetter

ARROW_LINE = mm(2.6)  # room of the arrow itself
LOW = 34.0  # an inside height under which name and size stand beside the mark
SMALL_BUILD = 0.42  # the build's mark beside the piece's mark, as part of its size


@dataclass(slots=True)
class _Space:
    """What is left of the label, in points."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def wide(self) -> float:
        return self.x1 - self.x0

    @property
    def high(self) -> float:
        return self.y1 - self.y0


def label_frames(block: Labels, page: Paper, new_frame: Callable[[Paper], Frame], ts: Typesetter) -> None:
    """Lays the labels on as many sheets as they need; `new_frame` opens each."""
    sheet = label_sheet(block.sheet, page.key)
    stock = paper(sheet.paper)
    if stock.key != page.key:
        ts.note(f"label sheet {sheet.key} is {stock.name} paper; its pages are {stock.name} in this set")
    places = list(sheet.places())
    high = stock.height.points
    frame: Frame | None = None
    for index, label in enumerate(block.labels):
        place = (index + block.used) % sheet.count
        if frame is None or place == 0:
            frame = _open(new_frame, stock, sheet, ts)
        left, top = places[place]
        x, y = left.points, high - top.points
        if label.anchor:
            frame.anchors.append((label.anchor, y))
        _label(frame, label, sheet, (x, y - sheet.height.points, x + sheet.width.points, y), ts)


def _open(new_frame: Callable[[Paper], Frame], stock: Paper, sheet: LabelSheet, ts: Typesetter) -> Frame:
    frame = new_frame(stock)
    if not sheet.crop_marks:
        frame.bare = True
        return frame
    _crop_marks(frame, sheet, ts)
    return frame


def _crop_marks(frame: Frame, sheet: LabelSheet, ts: Typesetter) -> None:
    """Ticks outside the grid and small crosses inside it."""
    thin = ts.style.thin
    reach, cross = mm(3.0), mm(1.2)

    def down(length: Length) -> float:
        return frame.height - length.points

    xs = [(sheet.left + sheet.step_across * i).points for i in range(sheet.columns + 1)]
    ys = [down(sheet.top + sheet.step_down * i) for i in range(sheet.rows + 1)]
    left, right, top, low = xs[0], xs[-1], ys[0], ys[-1]
    for x in xs:
        frame.items.append(Line(x, top + 1.5, x, top + reach, thin))
        frame.items.append(Line(x, low - 1.5, x, low - reach, thin))
    for y in ys:
        frame.items.append(Line(left - reach, y, left - 1.5, y, thin))
        frame.items.append(Line(right + 1.5, y, right + reach, y, thin))
    for x in xs[1:-1]:
        for y in ys[1:-1]:
            frame.items.append(Line(x - cross, y, x + cross, y, thin))
            frame.items.append(Line(x, y - cross, x, y + cross, thin))


def _label(
    frame: Frame, label: PieceLabel, sheet: LabelSheet, box: tuple[float, float, float, float], ts: Typesetter
) -> None:
    inset = keep_inside().points
    space = _Space(box[0] + inset, box[1] + inset, box[2] - inset, box[3] - inset)
    if label.code:
        _code(frame, label, sheet, box, space, ts)
    if space.high < LOW:
        _low_label(frame, label, space, ts)
        return
    if label.up:
        _up_arrow(frame, label, space, ts)
    _column(frame, label, space, ts)


def _code(
    frame: Frame,
    label: PieceLabel,
    sheet: LabelSheet,
    box: tuple[float, float, float, float],
    space: _Space,
    ts: Typesetter,
) -> None:
    """The symbol at the right, its quiet zone partly in the white rim of the label; takes its room from `space`."""
    high, wide = box[3] - box[1], box[2] - box[0]
    wanted = 18.0 if high < mm(31) else 22.0 if high < mm(60) else 25.0
    try:
        side = qr.side_for(label.code, wanted, min(high, wide * 0.48))
    except ValueError as failure:
        ts.note(f"label {label.mark}: {failure}; left out")
        return
    if side is None:
        ts.note(f"labels of sheet {sheet.key} are too small for a code that a phone can read; the codes are left out")
        return
    rows = qr.modules(label.code)
    module = side / len(rows)
    rim = max(box[2] - space.x1, qr.QUIET * module)
    x = box[2] - rim - side
    if high > side * 2.2:
        y = box[3] - max(box[3] - space.y1, qr.QUIET * module) - side
    else:
        y = (box[1] + box[3]) / 2 - side / 2
    frame.items.append(Symbol(x, y, module, rows))
    space.x1 = x - qr.QUIET * module


def _up_arrow(frame: Frame, label: PieceLabel, space: _Space, ts: Typesetter) -> None:
    """A drawn arrow at the left edge; what points up is written along it."""
    size = max(ts.style.floor, min(11.0, space.high * 0.12))
    content = ts.cut(ts.clean(label.up), "semibold", size, space.high)
    room = ARROW_LINE + size + 5.0
    if space.wide - room < 40.0:
        return
    x = space.x0 + ARROW_LINE / 2
    length = min(space.high, mm(36.0))
    low = space.y1 - length
    width = mm(0.5)
    frame.items.append(Line(x, low, x, space.y1 - mm(2.5), width))
    frame.items.append(arrow_head((x, low), (x, space.y1), mm(3.4), ARROW_LINE))
    wide = ts.width(content, "semibold", size)
    start = low + (length - wide) / 2 if wide <= length else space.y0
    frame.items.append(TextRun(space.x0 + ARROW_LINE + 1.5 + size * 0.7, start, "semibold", size, content, 90))
    space.x0 += room


def _mark(frame: Frame, label: PieceLabel, x: float, base: float, size: float, ts: Typesetter) -> None:
    """The build's mark small, then the piece's mark."""
    mark, build = ts.clean(label.mark), ts.clean(label.build_mark)
    if build:
        small = max(ts.style.floor, size * SMALL_BUILD)
        frame.items.append(TextRun(x, base, "regular", small, build))
        x += ts.width(build, "regular", small) + small * 0.3
    frame.items.append(TextRun(x, base, "bold", size, mark))


def _mark_size(label: PieceLabel, size: float, room: float, ts: Typesetter) -> float:
    """The largest size, at most `size`, at which both marks fit; at least the floor."""
    mark, build = ts.clean(label.mark), ts.clean(label.build_mark)
    while size > ts.style.floor:
        small = max(ts.style.floor, size * SMALL_BUILD)
        wide = ts.width(mark, "bold", size) + (ts.width(build, "regular", small) + small * 0.3 if build else 0.0)
        if wide <= room:
            return size
        size = max(ts.style.floor, size - max(0.5, size * 0.03))
    return ts.style.floor


def _set_mark(
    frame: Frame, label: PieceLabel, x: float, top: float, wanted: float, room: float, ts: Typesetter
) -> tuple[float, float]:
    """Sets the mark under `top`; returns its height and width. A mark that is too long even so loses the build's mark,
    then its end."""
    size = _mark_size(label, wanted, room, ts)
    shown = label
    small = max(ts.style.floor, size * SMALL_BUILD)
    build = ts.clean(label.build_mark)
    build_wide = ts.width(build, "regular", small) + small * 0.3 if build else 0.0
    mark = ts.clean(label.mark)
    if ts.width(mark, "bold", size) + build_wide > room:
        mark, size = ts.fit(mark, "bold", wanted, room)
        build_wide = 0.0
        shown = PieceLabel(mark, "", "", "", "", (), "", "", "")
    _mark(frame, shown, x, top - size * 0.66, size, ts)
    return size * 0.66, ts.width(mark, "bold", size) + build_wide


def _low_label(frame: Frame, label: PieceLabel, space: _Space, ts: Typesetter) -> None:
    """A label of two lines: the mark at the left, name and size beside it."""
    size = min(26.0, space.high * 1.0)
    tall = _mark_size(label, size, space.wide * 0.55, ts) * 0.66
    top = (space.y0 + space.y1) / 2 + tall / 2
    _, taken = _set_mark(frame, label, space.x0, top, size, space.wide * 0.55, ts)
    x = space.x0 + taken + 7.0
    room = space.x1 - x
    if room < 24.0:
        return
    lead = min(11.0, space.high / 2)
    y = (space.y0 + space.y1) / 2 + lead - ts.style.floor * 0.95
    for content, face in ((label.name, "semibold"), (label.size, "regular")):
        if content:
            shown, small = ts.fit(ts.clean(content), face, 9.0, room)  # type: ignore[arg-type]
            frame.items.append(TextRun(x, y, face, small, shown))  # type: ignore[arg-type]
        y -= lead


def _column(frame: Frame, label: PieceLabel, space: _Space, ts: Typesetter) -> None:
    """Mark, name, size, then as many further lines as fit, spread over the height."""
    high, room, floor = space.high, space.wide, ts.style.floor
    first = max(floor, min(13.0, high * 0.155))
    second = max(floor, min(10.5, high * 0.13))
    mark_high = _mark_size(label, min(72.0, high * 0.43), room, ts) * 0.66
    lines: list[tuple[str, Face, float, bool]] = []
    left = high - mark_high - first * 0.35

    def add(content: str, face: Face, size: float, most: int = 1, warn: bool = False) -> None:
        nonlocal left
        if not content:
            return
        lead = size * 1.18
        indent = size * 1.15 if warn else 0.0
        small = ts.shrunk(content, face, size, room - indent)
        broken = ts.wrap(content, face, small, room - indent)
        fits = min(most, int((left + 0.01) / lead), len(broken))
        if fits <= 0:
            return
        if len(broken) > fits:
            broken = [*broken[: fits - 1], ts.cut(" ".join(broken[fits - 1 :]), face, small, room - indent)]
        for number, line in enumerate(broken):
            lines.append((line, face, small, warn and number == 0))
            left -= lead

    add(ts.clean(label.name), "semibold", first)
    add(ts.clean(label.size), "regular", first)
    meets = "   ".join(ts.clean(meet) for meet in label.meets)
    stage = ts.clean(label.stage)
    both = "   ·   ".join(part for part in (meets, stage) if part)
    if ts.width(both, "regular", second) <= room:
        add(both, "regular", second)
    else:
        reserve = second * 1.18 if label.warning and left > 2.4 * second else 0.0
        left -= reserve
        add(meets, "regular", second, 3)
        add(stage, "regular", second)
        left += reserve
    add(ts.clean(label.warning), "semibold", second, 2, warn=True)

    spare = max(0.0, left)
    top = space.y1 - (min(spare * 0.5, 6.0) if spare < 14 else 0.0)
    tall, _ = _set_mark(frame, label, space.x0, top, min(72.0, high * 0.43), room, ts)
    y = top - tall - first * 0.35 - min(spare * 0.2, first * 0.4)
    for content, face, size, warn in lines:
        lead = size * 1.18
        base = y - lead * 0.8
        x = space.x0
        if warn or (face == "semibold" and lines and content != lines[0][0]):
            if warn:
                frame.items += warning_triangle(x, base - size * 0.04, size * 0.85)
            x += size * 1.15
        frame.items.append(TextRun(x, base, face, size, content))
        y -= lead
