"""Sheets that several full-scale templates share: one pair of check bars serves all that stand beside it."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.blocks.drawing import FullScale
from shopdocs.page import items as paper
from shopdocs.page.check_bars import BAR_INCHES, BAR_ROOM, Printer, advice, check_bar
from shopdocs.page.drawings import Laid, lay_out
from shopdocs.page.flow import Strip
from shopdocs.page.items import Frame, TextRun, mm
from shopdocs.page.sharing import Place, Size, share
from shopdocs.page.typesetter import Typesetter

BEFORE = 16.0
BETWEEN = mm(6.0)  # two templates are cut apart with scissors
HEAD_AIR = mm(2.5)
OVER = mm(68.0)  # least width of words over a template
BESIDE, WIDEST_BESIDE = mm(60.0), mm(100.0)  # width of words beside a template; where that saves height
SLIM_BESIDE = mm(44.0)  # where that lets another one stand beside them
NARROW_BESIDE = mm(32.0)  # beside one that leaves no more of the sheet: over it they would take the room of another one


class Way(Struct, frozen=True):
    """One way to lay a template: its drawing, its words (`lines` of face, size and text) and whether they stand at its
    right; `narrow` where they have little room there."""

    laid: Laid
    lines: tuple[tuple[paper.Face, float, str], ...]
    beside: bool
    size: Size
    sketch: tuple[Laid, float, float] | None = None  # the thumbnail, and its lower left corner from the words' upper
    narrow: bool = False


class Shared(Struct, frozen=True):
    """A template with the ways in which it can lie on a sheet."""

    block: FullScale
    ways: tuple[Way, ...]


def shared_ways(
    block: FullScale, laid: list[Laid], room: float, body: float, printer: Printer, ts: Typesetter
) -> Shared | None:
    """The ways in which a template fits one sheet; None where there is none."""
    wide, high = room - BAR_ROOM, body - _chrome(room, printer, ts)
    found = []
    for one in laid:
        rest = wide - (one.box[2] - one.box[0]) - 2 * HEAD_AIR
        widths = dict.fromkeys((BESIDE, max(BESIDE, min(rest, WIDEST_BESIDE))))
        found += [_over(block, one, ts), *(_beside(block, one, width, ts) for width in widths)]
        if one is laid[0] and NARROW_BESIDE <= rest < BESIDE:
            found.append(replace(_beside(block, one, rest, ts), narrow=True))
        elif rest >= BESIDE:
            found.append(replace(_beside(block, one, SLIM_BESIDE, ts), narrow=True))
    fits = tuple(way for way in found if way.size[0] <= wide and way.size[1] <= high)
    return Shared(block, fits) if fits else None


def _over(block: FullScale, laid: Laid, ts: Typesetter) -> Way:
    """The words over the template, the thumbnail at their right where there is room for both, else under them."""
    across, up = laid.box[2] - laid.box[0], laid.box[3] - laid.box[1]
    column = max(across, OVER)
    sketch = laid_thumbnail(block, ts)
    if sketch is None:
        lines = _lines(block, column, ts)
        return Way(laid, lines, False, (column, _tall(lines) + HEAD_AIR + up))
    wide, tall = _size_of(sketch)
    apart = column - wide - HEAD_AIR >= OVER
    lines = _lines(block, column - wide - HEAD_AIR if apart else column, ts)
    head = max(_tall(lines), tall) if apart else _tall(lines) + HEAD_AIR + tall
    placed = (sketch, column - wide if apart else 0.0, tall if apart else head)
    return Way(laid, lines, False, (column, head + HEAD_AIR + up), placed)


def _beside(block: FullScale, laid: Laid, width: float, ts: Typesetter) -> Way:
    """The words in a column of this `width` at the right of the template, the thumbnail under them."""
    across, up = laid.box[2] - laid.box[0], laid.box[3] - laid.box[1]
    lines, sketch = _lines(block, width, ts), laid_thumbnail(block, ts)
    deep = _tall(lines)
    placed = None
    if sketch is not None:
        deep += HEAD_AIR + _size_of(sketch)[1]
        placed = (sketch, 0.0, deep)
    return Way(laid, lines, True, (across + HEAD_AIR * 2 + width, max(up, deep)), placed)


def laid_thumbnail(block: FullScale, ts: Typesetter) -> Laid | None:
    """The thumbnail as it is set, never corrected for a printer; None without one."""
    return lay_out(block.thumbnail, Fraction(1), ts) if block.thumbnail else None


def _size_of(laid: Laid) -> Size:
    return laid.box[2] - laid.box[0], laid.box[3] - laid.box[1]


def shared_strips(
    things: list[Shared], room: float, first_room: float, body: float, printer: Printer, ts: Typesetter
) -> list[Strip]:
    """One strip a sheet. The first goes under what stands on the page already where that leaves room for the bars and
    for a template. Words stand in a narrow column where that spares a sheet."""
    wider = [Shared(thing.block, tuple(way for way in thing.ways if not way.narrow)) for thing in things]
    found = [
        (tried, _placed(tried, room, first_room, body, printer, ts)) for tried in (wider, things) if _all_fit(tried)
    ]
    things, (_, places) = min(found, key=lambda one: one[1][0])
    return [
        _sheet([(things[i], place) for i, place in enumerate(places) if place.sheet == sheet], room, printer, ts)
        for sheet in sorted({place.sheet for place in places})
    ]


def _all_fit(things: list[Shared]) -> bool:
    return all(thing.ways for thing in things)


def _placed(
    things: list[Shared], room: float, first_room: float, body: float, printer: Printer, ts: Typesetter
) -> tuple[int, tuple[Place, ...]]:
    """How many pages are begun, and the places on them."""
    chrome = _chrome(room, printer, ts)
    wide, high = room - BAR_ROOM, body - chrome
    sizes = [[way.size for way in thing.ways] for thing in things]
    left = first_room - BEFORE - chrome
    places = share(sizes, wide, (high, high), BETWEEN)
    begun = len({place.sheet for place in places})
    if high > left >= _bar_high(printer):
        under = share(sizes, wide, (left, high), BETWEEN)
        sheets = {place.sheet for place in under}
        if 0 in sheets and len(sheets) - 1 <= begun:
            return len(sheets) - 1, under
    return begun, places


def _bar_high(printer: Printer) -> float:
    return mm(BAR_INCHES * 25.4 + 4) * float(printer[1])


def _chrome(room: float, printer: Printer, ts: Typesetter) -> float:
    """Height that the advice and the level bar take."""
    return _advice_high(room, printer, ts) + BAR_ROOM


def _advice_high(room: float, printer: Printer, ts: Typesetter) -> float:
    size = ts.style.quiet
    return len(ts.wrap(advice(printer), "regular", size, room)) * size * 1.35 + mm(3.0)


def _lines(block: FullScale, room: float, ts: Typesetter) -> tuple[tuple[paper.Face, float, str], ...]:
    style = ts.style
    out: list[tuple[paper.Face, float, str]] = [
        ("bold", style.section, line) for line in ts.wrap(ts.clean(block.title), "bold", style.section, room)
    ]
    for fact in block.facts:
        out += [("regular", style.body, line) for line in ts.wrap(ts.clean(fact), "regular", style.body, room)]
    return tuple(out)


def _tall(lines: tuple[tuple[paper.Face, float, str], ...]) -> float:
    return sum(size * 1.25 for _, size, _ in lines)


def _sheet(things: list[tuple[Shared, Place]], room: float, printer: Printer, ts: Typesetter) -> Strip:
    """All templates of one sheet under the advice, with both bars at its left and its foot."""
    head = _advice_high(room, printer, ts)
    deep = max(place.y + thing.ways[place.way].size[1] for thing, place in things)
    window = max(deep + mm(2.0), _bar_high(printer))

    def paint(frame: Frame, left: float, top: float) -> None:
        size = ts.style.quiet
        y = top - size * 1.05
        for line in ts.wrap(advice(printer), "regular", size, room):
            frame.items.append(TextRun(left, y, "regular", size, line))
            y -= size * 1.35
        for thing, place in things:
            _paint(frame, thing, place, left + BAR_ROOM, top - head, ts)
        low = top - head - window
        frame.items += check_bar(left + mm(4.5), low + mm(1.0), "y", printer, ts)
        frame.items += check_bar(left + BAR_ROOM, low - mm(8.0), "x", printer, ts)

    return Strip(head + window + BAR_ROOM, paint, before=BEFORE, true_scale=True)


def _paint(frame: Frame, thing: Shared, place: Place, left: float, top: float, ts: Typesetter) -> None:
    way, block = thing.ways[place.way], thing.block
    x0, _, x1, y1 = way.laid.box
    x, y = left + place.x, top - place.y
    if block.anchor:
        frame.anchors.append((block.anchor, y))
    frame.outline.append((2, ts.clean(block.title), y))
    down = 0.0 if way.beside else way.size[1] - (y1 - way.laid.box[1])
    frame.items += paper.shifted(way.laid.items, x - x0, y - down - y1)
    words = x + (x1 - x0 + HEAD_AIR * 2 if way.beside else 0.0)
    if way.sketch:
        sketch, aside, deep = way.sketch
        frame.items += paper.shifted(sketch.items, words + aside - sketch.box[0], y - deep - sketch.box[1])
    for face, size, line in way.lines:
        frame.items.append(TextRun(words, y - size * 0.9, face, size, line))
        y -= size * 1.25
