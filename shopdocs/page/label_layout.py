"""Part labels: the mark loudest, then code, name, size, arrow, mates, stage and warning, as far as there is room."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from shopdocs.blocks.sheets import Labels, PieceLabel
from shopdocs.core.length import Length
from shopdocs.page import qr
from shopdocs.page.items import Frame, Line, Symbol, TextRun, mm
from shopdocs.page.label_low import set_low
from shopdocs.page.label_sheets import LabelSheet, keep_inside, label_sheet
from shopdocs.page.label_words import LOSS, Common, Room, common_words, set_column
from shopdocs.page.pad import arrow_head
from shopdocs.page.paper import Paper, paper
from shopdocs.page.typesetter import Typesetter

ARROW_LINE = mm(2.6)  # room of the arrow itself
SMALL_MODULE_MM = 0.45  # on the smallest labels (common practice, no source)
SMALL = mm(22)  # a height under which a label has no room to spare
MOST_NAMED = 16  # labels that a note names
LOST_WORDS = {
    "mark": "the end of the mark", "size": "the size", "saw": "what is sawn", "warning": "the warning",
    "up": "what points up", "mates": "the mates", "some mates": "some mates", "stage": "the stage", "name": "the name",
}  # fmt: skip
LOW = 34.0  # an inside height under which name and size stand beside the mark


@dataclass(slots=True)
class _Space:
    """What is left of the label, in points."""

    x0: float
    y0: float
    x1: float
    y1: float
    far: float  # where the label's inside ends at the right, over the code
    clear: float  # the height above which the code leaves it free
    arrow: bool = False  # whether one says what points up

    @property
    def wide(self) -> float:
        return self.x1 - self.x0

    @property
    def high(self) -> float:
        return self.y1 - self.y0

    @property
    def room(self) -> Room:
        return Room((self.x0, self.y0, self.x1, self.y1), self.far, self.clear, not self.arrow)


def label_frames(block: Labels, page: Paper, new_frame: Callable[[Paper], Frame], ts: Typesetter) -> None:
    """Lays the labels on as many sheets as they need; `new_frame` opens each."""
    sheet = label_sheet(block.sheet, page.key)
    stock = paper(sheet.paper)
    if stock.key != page.key:
        ts.note(f"label sheet {sheet.key} is {stock.name} paper; its pages are {stock.name} in this set")
    places = list(sheet.places())
    high = stock.height.points
    common = _common(block, sheet, ts)
    frame: Frame | None = None
    lost: dict[str, list[str]] = {}
    for index, label in enumerate(block.labels):
        place = (index + block.used) % sheet.count
        if frame is None or place == 0:
            frame = _open(new_frame, stock, sheet, ts)
        left, top = places[place]
        x, y = left.points, high - top.points
        if label.anchor:
            frame.anchors.append((label.anchor, y))
        for kind in _label(frame, label, sheet, (x, y - sheet.height.points, x + sheet.width.points, y), common, ts):
            lost.setdefault(kind, []).append(label.mark)
    for kind in LOSS:
        if kind in lost:
            ts.note(f"left out on labels of sheet {sheet.key}, {LOST_WORDS[kind]}: {_named(lost[kind])}")


def _named(marks: list[str]) -> str:
    """The first of them by name."""
    shown, more = marks[:MOST_NAMED], len(marks) - MOST_NAMED
    return " ".join(shown) + (f" and {more} more" if more > 0 else "")


def _open(new_frame: Callable[[Paper], Frame], stock: Paper, sheet: LabelSheet, ts: Typesetter) -> Frame:
    frame = new_frame(stock)
    if not sheet.crop_marks:
        frame.bare, frame.over = True, sheet.top.points
        return frame
    _crop_marks(frame, sheet, ts)
    return frame


def _crop_marks(frame: Frame, sheet: LabelSheet, ts: Typesetter) -> None:
    """Ticks outside the grid and small crosses inside it."""
    thin = ts.style.thin
    reach, cross = mm(2.5), mm(1.2)

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


def _common(block: Labels, sheet: LabelSheet, ts: Typesetter) -> Common:
    """What all labels share, from the room that each has for words."""
    wide, high = sheet.width.points, sheet.height.points
    scrap = Frame(wide, high, "", "")
    spaces = [(label, _drawn(scrap, label, sheet, (0.0, 0.0, wide, high), ts)) for label in block.labels]
    return common_words([(label, space.room) for label, space in spaces if space.high >= LOW], ts)


def _label(
    frame: Frame,
    label: PieceLabel,
    sheet: LabelSheet,
    box: tuple[float, float, float, float],
    common: Common,
    ts: Typesetter,
) -> list[str]:
    """Sets one label; what had no room on it."""
    space = _drawn(frame, label, sheet, box, ts)
    if space.high < LOW:
        return set_low(frame, label, space.room, ts)
    return set_column(frame, label, space.room, common, ts)


def _drawn(
    frame: Frame, label: PieceLabel, sheet: LabelSheet, box: tuple[float, float, float, float], ts: Typesetter
) -> _Space:
    """Sets code and arrow; the room that is left for words."""
    inset = keep_inside().points
    space = _Space(box[0] + inset, box[1] + inset, box[2] - inset, box[3] - inset, box[2] - inset, box[3])
    if label.code:
        _code(frame, label, sheet, box, space, ts)
    if label.up and space.high >= LOW:
        _up_arrow(frame, label, sheet, space, ts)
    return space


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
    wanted = 18.0 if high < mm(31) else 20.0 if high < mm(45) else 25.0
    least, data = qr.GOOD_MODULE_MM, label.code
    if high < SMALL and space.high >= LOW:
        # as small as a phone reads it with some margin, or there is no room for what is sawn
        wanted, least, data = 0.0, SMALL_MODULE_MM, label.short_code or label.code
    try:
        side = qr.side_for(data, wanted, min(high, wide * 0.48), least)
    except ValueError as failure:
        ts.note(f"label {label.mark}: {failure}; left out")
        return
    if side is None:
        ts.note(f"labels of sheet {sheet.key} are too small for a code that a phone can read; the codes are left out")
        return
    rows = qr.modules(data)
    module = side / len(rows)
    rim = max(box[2] - space.x1, qr.QUIET * module)
    x = box[2] - rim - side
    if high > side * 2.2 and high >= SMALL:
        y = box[3] - max(box[3] - space.y1, qr.QUIET * module) - side
    elif high < SMALL:
        y = box[1] + max(space.y0 - box[1], qr.QUIET * module)  # low, so that the mark's line may reach over it
        space.clear = y + side + qr.QUIET * module
    else:
        y = (box[1] + box[3]) / 2 - side / 2
    frame.items.append(Symbol(x, y, module, rows))
    space.x1 = x - qr.QUIET * module


def _up_arrow(frame: Frame, label: PieceLabel, sheet: LabelSheet, space: _Space, ts: Typesetter) -> None:
    """A drawn arrow at the left edge; what points up is written along it."""
    size = max(ts.style.floor, min(11.0, space.high * 0.12))
    content = ts.cut(ts.clean(label.up), "semibold", size, space.high)
    room = ARROW_LINE + size + 5.0
    words = (label.size, label.saw) if sheet.height.points < SMALL else ()
    if space.wide - room < max((40.0, *(ts.width(ts.clean(each), "regular", ts.style.floor) for each in words))):
        return  # on a small label what is sawn comes first
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
    space.arrow = True
