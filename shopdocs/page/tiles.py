"""Full-scale templates: true size on paper, with bars to measure, tiled where they are larger than the page."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import ceil
from typing import TypeGuard

from msgspec.structs import replace

from shopdocs.blocks.drawing import (
    Arrow,
    CentreMark,
    Circle,
    Dimension,
    Drawing,
    FullScale,
    Leader,
    Line,
    Pattern,
    Point,
    Polygon,
    Shape,
    Words,
)
from shopdocs.page import items as paper
from shopdocs.page.check_bars import BAR_INCHES, BAR_ROOM, Printer, advice, check_bar
from shopdocs.page.drawings import Laid, lay_out
from shopdocs.page.flow import Strip
from shopdocs.page.items import Clip, Frame, Item, Path, TextRun, Unclip, mm
from shopdocs.page.shared_sheets import BEFORE, Shared, laid_thumbnail, shared_strips, shared_ways
from shopdocs.page.tile_joins import Plan, joins, plan_tiles, run_box, touches
from shopdocs.page.typesetter import Typesetter

AIR = mm(3.0)
ABREAST = mm(8.0)  # between tiles of a pattern beside each other on a page
TILE_NAME = mm(5.0)  # above each of these


def turned(drawing: Drawing) -> Drawing:
    """The drawing a quarter turn to the left."""
    high = drawing.height

    def at(point: Point) -> Point:
        return high - point[1], point[0]

    def shape(one: Shape) -> Shape:
        if isinstance(one, Line):
            return one._replace(start=at(one.start), end=at(one.end))
        if isinstance(one, Polygon):
            return replace(one, points=tuple(at(point) for point in one.points))
        if isinstance(one, (Circle, CentreMark)):
            return replace(one, centre=at(one.centre))
        if isinstance(one, Words):
            return replace(one, at=at(one.at), angle=90 - one.angle, dx_mm=-one.dy_mm, dy_mm=one.dx_mm)
        if isinstance(one, Dimension):
            swapped = "y" if one.axis == "x" else "x"
            offset = -one.offset_mm if one.axis == "x" else one.offset_mm
            return replace(one, start=at(one.start), end=at(one.end), axis=swapped, offset_mm=offset)
        if isinstance(one, Leader):
            return replace(one, tip=at(one.tip), at=at(one.at))
        assert isinstance(one, Arrow)
        return replace(one, start=at(one.start), end=at(one.end))

    return replace(drawing, width=high, height=drawing.width, shapes=tuple(shape(one) for one in drawing.shapes))


def full_scale_strips(
    blocks: Sequence[FullScale], room: float, first_room: float, body: float, printer: Printer, ts: Typesetter
) -> list[Strip]:
    """Templates as strips that each carry their own check bars: those that fit a sheet share sheets, and come first;
    a larger one has one strip a tile. `first_room` is what is left on the page at hand."""
    shared: list[Shared] = []
    larger: list[FullScale] = []
    for block in blocks:
        found = shared_ways(block, ways(block, printer, ts), room, body, printer, ts) if block.corrected else None
        if found is None:
            larger.append(block)
        else:
            shared.append(found)
    out = shared_strips(shared, room, first_room, body, printer, ts) if shared else []
    for block in larger:
        out += _tiled(block, room, first_room if not out else body, body, printer, ts)
    return out


def ways(block: FullScale, printer: Printer, ts: Typesetter) -> list[Laid]:
    """The drawing as it is, and a quarter turn to the left."""
    return [lay_out(way, Fraction(1), ts, printer) for way in (block.drawing, turned(block.drawing))]


def _tiled(
    block: FullScale, room: float, first_room: float, body: float, printer: Printer, ts: Typesetter
) -> list[Strip]:
    """A template by itself: one strip where it fits `body`, else one strip a tile; narrow tiles of a pattern stand
    beside each other in one.

    Where tiles can begin on the page at hand without becoming more, all are kept to the height left there, so that
    every tile covers the same area.
    """
    if not block.corrected:
        printer = (Fraction(1), Fraction(1))
    head_high = _head_height(block, room, printer, ts)
    chrome = head_high + AIR + BAR_ROOM
    wide = room - BAR_ROOM
    abreast = ABREAST if isinstance(block, Pattern) else None
    if abreast is not None:
        chrome += TILE_NAME
    laid = ways(block, printer, ts)
    best = _fewest(laid, wide, body - chrome, abreast)
    if best.count == 1:
        return [_sheet(block, best, [(0, 0)], room, head_high, printer, ts)]
    first_room -= BEFORE
    if first_room > body * 0.8:
        lower = _fewest(laid, wide, first_room - chrome, abreast)
        best = lower if lower.count <= best.count else best
    tiles = [(column, row) for row in range(best.rows) for column in range(best.columns)]
    per = _beside(best, wide, abreast)
    return [_sheet(block, best, tiles[at : at + per], room, head_high, printer, ts) for at in range(0, len(tiles), per)]


def _beside(plan: Plan, wide: float, apart: float | None) -> int:
    """How many tiles stand beside each other on a page, so far `apart`; one where None."""
    return 1 if apart is None else max(1, int((wide + apart + 0.01) // (plan.wide + apart)))


def _fewest(laid: list[Laid], wide: float, high: float, apart: float | None) -> Plan:
    """The way that takes the fewest pages."""
    upright, lying = (plan_tiles(one, wide, high) for one in laid)
    pages = [ceil(plan.count / _beside(plan, wide, apart)) for plan in (upright, lying)]
    return upright if pages[0] <= pages[1] else lying


def _head_lines(block: FullScale, room: float, ts: Typesetter) -> list[str]:
    """All of the facts, beside the thumbnail: what is cut here is missing at the bench."""
    facts = "   ·   ".join(ts.clean(fact) for fact in block.facts)
    if not facts:
        return []
    wide, high = _sketch_size(block, ts)
    size = ts.style.body
    lines = ts.wrap(facts, "regular", size, room - wide)
    beside = ceil(high / (size * 1.25))
    below = ts.wrap(" ".join(lines[beside:]), "regular", size, room) if len(lines) > beside else []
    return [*lines[:beside], *below]


def _advice_lines(block: FullScale, room: float, printer: Printer, ts: Typesetter) -> list[str]:
    """The advice, clear of the thumbnail where few facts stand above it."""
    wide, high = _sketch_size(block, ts)
    above = len(_head_lines(block, room, ts)) * ts.style.body * 1.25
    return ts.wrap(advice(printer), "regular", ts.style.quiet, room if above >= high else room - wide)


def _sketch_size(block: FullScale, ts: Typesetter) -> tuple[float, float]:
    """What the thumbnail takes at the right of the facts, with the air beside and under it."""
    sketch = laid_thumbnail(block, ts)
    if sketch is None:
        return 0.0, 0.0
    x0, y0, x1, y1 = sketch.box
    return x1 - x0 + mm(6.0), y1 - y0 + mm(1.5)


def _title_lines(block: FullScale, room: float, ts: Typesetter) -> list[str]:
    """The title, beside the tile's number where there is one."""
    longest = "tiles 8 to 8 of 8" if isinstance(block, Pattern) else "tile 88 of 88"
    tile = ts.width(longest, "bold", ts.style.section) + 16.0
    return ts.wrap(ts.clean(block.title), "bold", ts.style.section, room - tile)


def _head_height(block: FullScale, room: float, printer: Printer, ts: Typesetter) -> float:
    style = ts.style
    lines = len(_head_lines(block, room, ts))
    told = len(_advice_lines(block, room, printer, ts))
    title = len(_title_lines(block, room, ts))
    facts = lines * style.body * 1.25 + told * style.quiet * 1.35
    return title * style.section * 1.3 + max(facts, _sketch_size(block, ts)[1]) + 4.0


def _sheet(
    block: FullScale,
    plan: Plan,
    tiles: Sequence[tuple[int, int]],
    room: float,
    head_high: float,
    printer: Printer,
    ts: Typesetter,
) -> Strip:
    """Tiles beside each other, by column and row, with their heading and both bars. Row 0 is the top row. What is told
    of a pattern stands over its first tile alone: they are joined before it is laid on the wood."""
    bar_high = mm(BAR_INCHES * 25.4 + 4) * float(printer[1])
    across, up = plan.wide, plan.high
    whole = across * len(tiles) + ABREAST * (len(tiles) - 1)
    names = TILE_NAME if len(tiles) > 1 else 0.0
    window_high = max(up + names, bar_high)
    height = head_high + AIR + window_high + BAR_ROOM
    numbers = [row * plan.columns + column + 1 for column, row in tiles]
    if isinstance(block, Pattern) and numbers[0] > 1 and block.facts:
        block = replace(block, facts=())
        less = head_high - _head_height(block, room, printer, ts)
        head_high, height = head_high - less, height - less

    def paint(frame: Frame, left: float, top: float) -> None:
        if numbers[0] == 1:
            if block.anchor:
                frame.anchors.append((block.anchor, top))
            frame.outline.append((2, ts.clean(block.title), top))
        _paint_head(frame, block, plan, numbers, left, top, room, printer, ts)
        window_top = top - head_high - AIR
        window_low = window_top - window_high
        tile_low = window_top - names - up
        origin_x = left + BAR_ROOM + (room - BAR_ROOM - whole) / 2
        for number, (column, row) in zip(numbers, tiles, strict=True):
            dx, dy = origin_x - plan.lefts[column], tile_low - plan.lows[row]
            window = Clip(origin_x - 0.6, tile_low - 0.6, origin_x + across + 0.6, tile_low + up + 0.6)
            if isinstance(block, Pattern) and plan.count > 1:  # its outline runs over the marks, whole
                frame.items += joins(plan, column, row, dx, dy, ts, paper.shifted(plan.laid.items, dx, dy))
                _paint_window(frame, plan, window, dx, dy)
            else:
                _paint_window(frame, plan, window, dx, dy)
                frame.items += joins(plan, column, row, dx, dy, ts) if plan.count > 1 else []
            if names:
                at = origin_x, window_top - ts.style.quiet
                frame.items.append(TextRun(*at, "bold", ts.style.quiet, f"tile {number}"))
            origin_x += across + ABREAST
        frame.items += check_bar(left + mm(4.5), window_low + mm(1.0), "y", printer, ts)
        frame.items += check_bar(left + BAR_ROOM, window_low - mm(8.0), "x", printer, ts)

    return Strip(height, paint, before=BEFORE, true_scale=True)


def _paint_window(frame: Frame, plan: Plan, window: Clip, dx: float, dy: float) -> None:
    moved = paper.shifted(plan.laid.items, dx, dy)
    if plan.count == 1:
        frame.items += moved
        return
    runs = [item for item in moved if isinstance(item, TextRun)]
    left_out = [run_box(run) for run in runs if not _is_whole(run, window)]
    drawn = [item for item in moved if not isinstance(item, TextRun) and touches(item, window)]
    frame.items.append(window)
    frame.items += [_kept_in(item, window) for item in drawn if not _is_ground_of(item, left_out)]
    frame.items.append(Unclip())
    frame.items += [run for run in runs if _is_whole(run, window)]


def _is_white(item: Item) -> TypeGuard[Path]:
    return isinstance(item, Path) and not item.width and item.fill == 1.0


def _is_ground_of(item: Item, boxes: Sequence[tuple[float, float, float, float]]) -> bool:
    """Whether this is the white under words that stand on another tile: without them it would be a gap in what is
    drawn, such as a hatched lip."""
    if not _is_white(item):
        return False
    xs, ys = zip(*item.points, strict=True)
    return any(min(xs) <= a and min(ys) <= b and max(xs) >= c and max(ys) >= d for a, b, c, d in boxes)


def _kept_in(item: Item, window: Clip) -> Item:
    """White under words ends with the tile: beyond it nothing is hidden."""
    if not _is_white(item):
        return item
    x0, y0, x1, y1 = window.x0, window.y0, window.x1, window.y1
    return item._replace(points=tuple((min(max(x, x0), x1), min(max(y, y0), y1)) for x, y in item.points))


def _is_whole(run: TextRun, window: Clip) -> bool:
    """Whether words stand within the tile; those that do not stand whole on another one."""
    x0, y0, x1, y1 = run_box(run)
    return x0 >= window.x0 - 1.0 and x1 <= window.x1 + 1.0 and y0 >= window.y0 - 1.0 and y1 <= window.y1 + 1.0


def _paint_head(
    frame: Frame,
    block: FullScale,
    plan: Plan,
    numbers: Sequence[int],
    left: float,
    top: float,
    room: float,
    printer: Printer,
    ts: Typesetter,
) -> None:
    style = ts.style
    size = style.section
    told = f"tile {numbers[0]}" if len(numbers) == 1 else f"tiles {numbers[0]} to {numbers[-1]}"
    tile = f"{told} of {plan.count}" if plan.count > 1 else ""
    tile_wide = ts.width(tile, "bold", size)
    y = top - size
    titles = _title_lines(block, room, ts)
    for number_of_line, title in enumerate(titles):
        frame.items.append(TextRun(left, y - number_of_line * size * 1.3, "bold", size, title))
    if tile:
        frame.items.append(TextRun(left + room - tile_wide, y, "bold", size, tile))
    y = top - len(titles) * size * 1.3 - style.body * 0.9
    for line in _head_lines(block, room, ts):
        frame.items.append(TextRun(left, y, "regular", style.body, line))
        y -= style.body * 1.25
    y += style.body * 0.9 - style.quiet * 1.05
    for line in _advice_lines(block, room, printer, ts):
        frame.items.append(TextRun(left, y, "regular", style.quiet, line))
        y -= style.quiet * 1.35
    if sketch := laid_thumbnail(block, ts):
        x0, _, x1, y1 = sketch.box
        down = top - len(titles) * size * 1.3 - mm(1.0)
        frame.items += paper.shifted(sketch.items, left + room - (x1 - x0) - x0, down - y1)
