"""Full-scale templates: true size on paper, with bars to measure, tiled where they are larger than the page."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from shopdocs.blocks.drawing import (
    Arrow,
    CentreMark,
    Circle,
    Dimension,
    Drawing,
    FullScale,
    Leader,
    Line,
    Point,
    Polygon,
    Shape,
    Words,
)
from shopdocs.core.length import Length
from shopdocs.page import items as paper
from shopdocs.page.drawings import Laid, lay_out
from shopdocs.page.flow import Strip
from shopdocs.page.items import POINTS_PER_MM, Clip, Frame, Item, Path, TextRun, Unclip, mm
from shopdocs.page.typesetter import Typesetter

OVERLAP = mm(12.0)  # two tiles show the same 12 mm; the join lies in the middle
BAR_ROOM = mm(13.0)  # a check bar with its figures
BAR_MM = 100
BAR_INCHES = 4
AIR = mm(3.0)
Printer = tuple[Fraction, Fraction]


def turned(drawing: Drawing) -> Drawing:
    """The drawing a quarter turn to the left."""
    high = drawing.height

    def at(point: Point) -> Point:
        return high - point[1], point[0]

    def shape(one: Shape) -> Shape:
        if isinstance(one, Line):
            return replace(one, start=at(one.start), end=at(one.end))
        if isinstance(one, Polygon):
            return replace(one, points=tuple(at(point) for point in one.points))
        if isinstance(one, (Circle, CentreMark)):
            return replace(one, centre=at(one.centre))
        if isinstance(one, Words):
            return replace(one, at=at(one.at), angle=90 - one.angle, dx_mm=-one.dy_mm, dy_mm=one.dx_mm)  # type: ignore[arg-type]
        if isinstance(one, Dimension):
            swapped = "y" if one.axis == "x" else "x"
            offset = -one.offset_mm if one.axis == "x" else one.offset_mm
            return replace(one, start=at(one.start), end=at(one.end), axis=swapped, offset_mm=offset)  # type: ignore[arg-type]
        if isinstance(one, Leader):
            return replace(one, tip=at(one.tip), at=at(one.at))
        assert isinstance(one, Arrow)
        return replace(one, start=at(one.start), end=at(one.end))

    return replace(drawing, width=high, height=drawing.width, shapes=tuple(shape(one) for one in drawing.shapes))


@dataclass(frozen=True, slots=True)
class _Plan:
    """Tiles of `wide` by `high` points, `columns` by `rows`, over the drawing's box."""

    laid: Laid
    columns: int
    rows: int
    wide: float
    high: float

    @property
    def count(self) -> int:
        return self.columns * self.rows


def _plan(drawing: Drawing, wide: float, high: float, printer: Printer, ts: Typesetter) -> _Plan:
    laid = lay_out(drawing, Fraction(1), ts, printer)
    x0, y0, x1, y1 = laid.box
    across, up = x1 - x0, y1 - y0
    columns = 1 if across <= wide + 0.01 else ceil((across - OVERLAP) / (wide - OVERLAP))
    rows = 1 if up <= high + 0.01 else ceil((up - OVERLAP) / (high - OVERLAP))
    return _Plan(laid, columns, rows, wide, high)


def full_scale_strips(
    block: FullScale, room: float, first_room: float, body: float, printer: Printer, ts: Typesetter
) -> list[Strip]:
    """The template as one strip where it fits `body`, else one strip a tile.

    `first_room` is what is left on the page at hand. Where the tiles begin under a document's title they are all kept
    to that height, so that every tile covers the same area.
    """
    head_high = _head_height(block, room, printer, ts)
    chrome = head_high + AIR + BAR_ROOM
    wide = room - BAR_ROOM
    ways = [block.drawing, turned(block.drawing)]
    plans = [_plan(way, wide, body - chrome, printer, ts) for way in ways]
    best = plans[0] if plans[0].count <= plans[1].count else plans[1]
    if best.count == 1:
        return [_sheet(block, best, 0, 0, room, head_high, printer, ts)]
    if first_room > body * 0.8:
        plans = [_plan(way, wide, first_room - chrome, printer, ts) for way in ways]
        best = plans[0] if plans[0].count <= plans[1].count else plans[1]
    return [
        _sheet(block, best, column, row, room, head_high, printer, ts)
        for row in range(best.rows)
        for column in range(best.columns)
    ]


def _stated(printer: Printer) -> str:
    """What the correction did, for the sheet."""
    if printer == (Fraction(1), Fraction(1)):
        return ""
    across, up = (f"{float((factor - 1) * 100):+.2f}".replace("-", "−") for factor in printer)
    return f"Corrected for this printer: {across} % across, {up} % up."


def _head_lines(block: FullScale, room: float, printer: Printer, ts: Typesetter) -> list[str]:
    facts = "   ·   ".join(ts.clean(fact) for fact in block.facts)
    lines = ts.wrap(facts, "regular", ts.style.body, room) if facts else []
    return lines


def _advice(printer: Printer) -> str:
    return " ".join(
        part
        for part in (
            "Print at 100 % (actual size), then measure both bars before you trust a hole.",
            _stated(printer),
        )
        if part
    )


def _head_height(block: FullScale, room: float, printer: Printer, ts: Typesetter) -> float:
    style = ts.style
    lines = len(_head_lines(block, room, printer, ts))
    advice = len(ts.wrap(_advice(printer), "regular", style.quiet, room))
    return style.section * 1.3 + lines * style.body * 1.25 + advice * style.quiet * 1.35 + 4.0


def _sheet(
    block: FullScale,
    plan: _Plan,
    column: int,
    row: int,
    room: float,
    head_high: float,
    printer: Printer,
    ts: Typesetter,
) -> Strip:
    """One tile with its heading and both bars. Row 0 is the top row."""
    x0, y0, x1, y1 = plan.laid.box
    bar_high = mm(BAR_INCHES * 25.4 + 4) * float(printer[1])
    across = min(plan.wide, x1 - x0) if plan.columns == 1 else plan.wide
    up = min(plan.high, y1 - y0) if plan.rows == 1 else plan.high
    window_high = max(up, bar_high)
    low_x = x0 + column * (plan.wide - OVERLAP)
    top_y = y1 - row * (plan.high - OVERLAP)
    height = head_high + AIR + window_high + BAR_ROOM
    number = row * plan.columns + column + 1

    def paint(frame: Frame, left: float, top: float) -> None:
        frame.true_scale = True
        if number == 1:
            if block.anchor:
                frame.anchors.append((block.anchor, top))
            frame.outline.append((2, ts.clean(block.title), top))
        _paint_head(frame, block, plan, number, left, top, room, printer, ts)
        window_top = top - head_high - AIR
        window_low = window_top - window_high
        # the drawing stands at the left, clear of the upright bar; what is not tiled is centred
        origin_x = left + BAR_ROOM + (plan.wide - across) / 2
        dx, dy = origin_x - low_x, window_top - top_y
        window = Clip(origin_x - 0.6, window_top - up - 0.6, origin_x + across + 0.6, window_top + 0.6)
        _paint_window(frame, plan, window, dx, dy)
        if plan.count > 1:
            frame.items += _joins(plan, column, row, (origin_x, window_top - up, origin_x + across, window_top), ts)
        frame.items += check_bar(left + mm(4.5), window_low + mm(1.0), "y", printer, ts)
        frame.items += check_bar(left + BAR_ROOM, window_low - mm(8.0), "x", printer, ts)

    return Strip(height, paint, before=16.0)


def _paint_window(frame: Frame, plan: _Plan, window: Clip, dx: float, dy: float) -> None:
    moved = paper.shifted(plan.laid.items, dx, dy)
    if plan.count == 1:
        frame.items += moved
        return
    frame.items.append(window)
    frame.items += [item for item in moved if _touches(item, window)]
    frame.items.append(Unclip())


def _touches(item: Item, window: Clip) -> bool:
    """Whether any part can show in the window (its bounding box does)."""
    if isinstance(item, paper.Line):
        xs, ys = (item.x0, item.x1), (item.y0, item.y1)
    elif isinstance(item, Path):
        xs, ys = tuple(x for x, _ in item.points), tuple(y for _, y in item.points)  # type: ignore[assignment]
    elif isinstance(item, paper.Disc):
        xs = (item.x - item.radius, item.x + item.radius)
        ys = (item.y - item.radius, item.y + item.radius)
    elif isinstance(item, TextRun):
        from shopdocs.page.drawings import words_box
        from shopdocs.page.typeface import width

        box = words_box(item.x, item.y, width(item.text, item.face, item.size), item.size, item.angle)
        xs, ys = (box[0], box[2]), (box[1], box[3])
    else:
        return True
    return max(xs) >= window.x0 and min(xs) <= window.x1 and max(ys) >= window.y0 and min(ys) <= window.y1


def _paint_head(
    frame: Frame,
    block: FullScale,
    plan: _Plan,
    number: int,
    left: float,
    top: float,
    room: float,
    printer: Printer,
    ts: Typesetter,
) -> None:
    style = ts.style
    size = style.section
    tile = f"tile {number} of {plan.count}" if plan.count > 1 else ""
    tile_wide = ts.width(tile, "bold", size)
    title = ts.cut(ts.clean(block.title), "bold", size, room - tile_wide - (16 if tile else 0))
    y = top - size
    frame.items.append(TextRun(left, y, "bold", size, title))
    if tile:
        frame.items.append(TextRun(left + room - tile_wide, y, "bold", size, tile))
    y = top - size * 1.3 - style.body * 0.9
    for line in _head_lines(block, room, printer, ts):
        frame.items.append(TextRun(left, y, "regular", style.body, line))
        y -= style.body * 1.25
    y += style.body * 0.9 - style.quiet * 1.05
    for line in ts.wrap(_advice(printer), "regular", style.quiet, room):
        frame.items.append(TextRun(left, y, "regular", style.quiet, line))
        y -= style.quiet * 1.35


def _joins(plan: _Plan, column: int, row: int, window: tuple[float, float, float, float], ts: Typesetter) -> list[Item]:
    """Join lines in the middle of each overlap, with two numbered diamonds that meet on both tiles."""
    x0, y0, x1, y1 = window
    here = row * plan.columns + column + 1
    upright = plan.rows * (plan.columns - 1)
    out: list[Item] = []

    def seam_beside(c: int) -> int:
        return row * (plan.columns - 1) + c + 1

    def seam_below(r: int) -> int:
        return upright + r * plan.columns + column + 1

    if column + 1 < plan.columns:
        out += _seam_upright(
            x1 - OVERLAP / 2, y0, y1, seam_beside(column), f"tile {here + 1} is glued on from here", ts
        )
    if column > 0:
        out += _seam_upright(x0 + OVERLAP / 2, y0, y1, seam_beside(column - 1), f"cut here, lay on tile {here - 1}", ts)
    if row + 1 < plan.rows:
        text = f"tile {here + plan.columns} is glued on from here"
        out += _seam_level(y0 + OVERLAP / 2, x0, x1, seam_below(row), text, ts)
    if row > 0:
        text = f"cut here, lay on tile {here - plan.columns}"
        out += _seam_level(y1 - OVERLAP / 2, x0, x1, seam_below(row - 1), text, ts)
    return out


def _diamond(x: float, y: float, number: int, ts: Typesetter) -> list[Item]:
    reach = mm(4.2)
    content = str(number)
    wide = ts.width(content, "bold", ts.style.floor)
    return [
        Path(((x - reach, y), (x, y - reach), (x + reach, y), (x, y + reach)), True, ts.style.thin, (), 1.0),
        TextRun(x - wide / 2, y - ts.style.floor * 0.33, "bold", ts.style.floor, content),
    ]


def _seam_upright(x: float, y0: float, y1: float, number: int, text: str, ts: Typesetter) -> list[Item]:
    from shopdocs.blocks.drawing import Stroke

    width, dash = ts.style.strokes[Stroke.CUT]
    size = ts.style.floor
    out: list[Item] = [paper.Line(x, y0, x, y1, width, dash)]
    for part in (0.25, 0.75):
        out += _diamond(x, y0 + (y1 - y0) * part, number, ts)
    start = (y0 + y1) / 2 - ts.width(text, "regular", size) / 2
    out.append(TextRun(x - 2.2, start, "regular", size, text, 90))
    return out


def _seam_level(y: float, x0: float, x1: float, number: int, text: str, ts: Typesetter) -> list[Item]:
    from shopdocs.blocks.drawing import Stroke

    width, dash = ts.style.strokes[Stroke.CUT]
    size = ts.style.floor
    out: list[Item] = [paper.Line(x0, y, x1, y, width, dash)]
    for part in (0.25, 0.75):
        out += _diamond(x0 + (x1 - x0) * part, y, number, ts)
    start = (x0 + x1) / 2 - ts.width(text, "regular", size) / 2
    out.append(TextRun(start, y + 2.2, "regular", size, text))
    return out


def check_bar(x: float, y: float, axis: str, printer: Printer, ts: Typesetter) -> list[Item]:
    """A bar from (x, y) along `axis`: 100 mm on one side, 4 in on the other, both from the same end."""
    factor = float(printer[0] if axis == "x" else printer[1]) * POINTS_PER_MM
    thin, size = ts.style.thin, ts.style.floor
    out: list[Item] = []

    def at(along: float, off: float) -> tuple[float, float]:
        return (x + along, y + off) if axis == "x" else (x - off, y + along)

    def line(a: float, b: float, c: float, d: float, width: float) -> None:
        out.append(paper.Line(*at(a, b), *at(c, d), width))

    inches = float(Length.inches(BAR_INCHES).mm)
    line(0.0, 0.0, inches * factor, 0.0, thin)
    for step in range(0, BAR_MM + 1, 5):
        tall = 3.4 if step in (0, BAR_MM) else 2.2 if step % 10 == 0 else 1.2
        line(step * factor, 0.0, step * factor, mm(tall), thin)
    for step in range(4 * BAR_INCHES + 1):
        tall = 3.4 if step in (0, 4 * BAR_INCHES) else 2.2 if step % 4 == 0 else 1.2
        line(step * 6.35 * factor, 0.0, step * 6.35 * factor, -mm(tall), thin)
    angle = 0 if axis == "x" else 90
    for content, off in ((f"{BAR_MM} mm", mm(2.9)), (f"{BAR_INCHES} in", -mm(2.9) - size * 0.66)):
        middle = 50 * factor - ts.width(content, "semibold", size) / 2
        px, py = at(middle, off)
        out.append(TextRun(px, py, "semibold", size, content, angle))
    return out
