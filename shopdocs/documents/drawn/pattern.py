"""A pattern as it is cut out: the outline of a piece at full size, half of it where the halves mirror each other.

As with a template, all that tells what it is for stands within its outline: name, grain, ends, the edge it is laid to.
The outline itself is a thin line, to be cut along its middle; the straight edge that one gauges from is heavy, its
outer side is the edge.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from msgspec import Struct

from shopdocs.blocks.drawing import Drawing, Line, Point, Polygon, Shape, Stroke, Words
from shopdocs.blocks.face_marks import face_edge_mark, face_side_mark
from shopdocs.core.length import ZERO, Length
from shopdocs.core.outline import Outline, Side, Spot
from shopdocs.documents.drawn.lip import APART_MM, LEAST_LIP, LIP, lip_shapes, spread
from shopdocs.documents.drawn.paper_room import EM, PaperRoom, exact, or_beside
from shopdocs.documents.drawn.template import LEAST_MARK_MM, MARK_MM, MARK_PLACES, raised
from shopdocs.model.joining import Face

SLICE_MM = 4.0  # words keep off the curve by strips so wide
LINE_AIR_MM = 1.0  # between the outline and words
NAME_PT = (14.0, 12.0, 10.0, 9.0, 8.0)
NAME_MM = APART_MM * 0.7  # a name is no longer, where that goes, so that one does not crowd the next
GRAIN = "← GRAIN →"
LEAST_LIP_LONG = Length(60)  # a shorter straight stretch of the edge gets no lip
FINE = 10_000  # parts of a millimetre to which places on a curve are rounded


class Laid(Struct, frozen=True):
    """How a pattern lies on the wood: the name of its lower edge and what its ends are called; whether that edge is at
    the top; the face whose mark it shows, None where it serves faces of several names; whether the edge is there to
    fold a lip over."""

    edge: str
    ends: tuple[str, str]
    at_top: bool
    face: Face | None
    lip: bool
    rest: frozenset[Side] = frozenset()  # where the paper ends and the wood goes on


def half_axis(outline: Outline) -> int | None:
    """The axis whose halves mirror each other, so that one of them is the pattern: 0 along, 1 across where there is
    something to spare by it; None of an outline that is printed whole."""
    if outline.is_even():
        return 0
    curved = any(side.centre is not None for side in outline.sides)
    return 1 if curved and outline.is_even(1) else None


def drawn_pattern(outline: Outline, laid: Laid, called: str) -> Drawing:
    """The pattern with its name `called` on it; half of an outline that is even."""
    half = half_axis(outline) if not laid.rest else None
    shown = outline.half(half) if half is not None else outline
    high = shown.height

    def at(x: Length, y: Length) -> Point:
        return (x, high - y) if laid.at_top else (x, y)

    room = PaperRoom(shown.width.float_mm(), high.float_mm())
    room.taken += _beside(shown, laid.at_top)
    shapes = [shape for side in shown.every for shape in _side(side, shown, half, laid)]
    lip = _lip_of(shown) if laid.lip else None
    shapes += _mark(laid, room) if lip else []
    shapes += _end_words(laid, shown, half, room)
    if not lip:
        y = room.high - 3.2 if laid.at_top else 3.2
        within = (0.0, min(y, 3.2), room.wide, max(y, 3.2))
        edge = room.set(laid.edge, (8.0,), (room.wide / 2, y), (0,), within)
        shapes += or_beside(edge, laid.edge, (room.wide / 2, y), 7.0 if laid.at_top else -7.0)
    sizes = [size for size in NAME_PT if len(called) * EM * size <= NAME_MM] or [NAME_PT[-1]]
    names: list[Shape] = []
    grain: list[Shape] = []
    for part in spread(room.wide):  # again and again on a long one, so that every tile bears them
        names += room.set(called, sizes, (room.wide * float(part), room.high / 2), (0, 90))
        grain += room.set(GRAIN, (9.0,), (room.wide * float(part), room.high / 2), (0,))
    far, away = (0.0, -1.0) if laid.at_top else (room.high, 1.0)  # the side without the edge that it is laid to
    shapes += or_beside(names, called, (room.wide / 2, far), away * 8.5)
    shapes += or_beside(grain, GRAIN, (room.wide / 2, far), away * 12.5)
    deep = ZERO
    if lip:
        deep = max(LEAST_LIP, min(LIP, high))
        shapes += lip_shapes(*lip, deep, laid.edge, at)
        if not laid.at_top:
            shapes = [raised(shape, deep) for shape in shapes]
    return Drawing("", shown.width, high + deep, tuple(shapes))


def _side(side: Side, shown: Outline, half: int | None, laid: Laid) -> Iterator[Shape]:
    def at(spot: Spot) -> Point:
        x, y = _exact(spot[0]), _exact(spot[1])
        return (x, shown.height - y) if laid.at_top else (x, y)

    if side.centre is not None:
        end = side.end[0].float_mm(), side.end[1].float_mm()
        yield Polygon(tuple(map(at, [*side.spots(), end])), Stroke.VISIBLE, closed=False)
        return
    start, end_ = ((point[0], shown.height - point[1]) if laid.at_top else point for point in (side.start, side.end))
    if side in laid.rest:
        yield Line(start, end_, Stroke.HIDDEN)
    elif half is not None and side.start[half] == side.end[half] == (shown.width, shown.height)[half]:
        yield Line(start, end_, Stroke.CENTRE)
    elif side.start[1] == side.end[1] == ZERO:
        yield Line(start, end_, Stroke.REFERENCE, "right" if laid.at_top else "left")
    else:
        yield Line(start, end_, Stroke.VISIBLE)


def _exact(mm: float) -> Length:
    return Length(Fraction(round(mm * FINE), FINE))


def _lip_of(shown: Outline) -> tuple[Length, Length] | None:
    """From where to where the longest straight stretch of the edge runs, where that is long enough for a lip."""
    level = [side for side in shown.sides if side.centre is None and side.start[1] == side.end[1] == ZERO]
    if not level:
        return None
    longest = max(level, key=lambda side: side.end[0] - side.start[0])
    return (longest.start[0], longest.end[0]) if longest.end[0] - longest.start[0] >= LEAST_LIP_LONG else None


def _beside(shown: Outline, at_top: bool) -> list[tuple[float, float, float, float]]:
    """What of the paper lies beside the piece, as strips that words keep off."""
    wide, high = shown.width.float_mm(), shown.height.float_mm()
    loops = [[spot for side in loop for spot in side.spots(0.05)] for loop in (shown.sides, *shown.holes)]
    taken = []
    count = max(1, round(wide / SLICE_MM))
    for k in range(count):
        first, last = wide * k / count, wide * (k + 1) / count
        wood = [(0.0, high)]
        for x in (first + 0.01, (first + last) / 2, last - 0.01):
            here = _across(loops, x)
            both = [(max(a, c), min(b, d)) for a, b in wood for c, d in here]
            wood = [(low, top) for low, top in both if low < top]
        if at_top:
            wood = [(high - top, high - low) for low, top in reversed(wood)]
        for low, top in zip([0.0, *(top for _, top in wood)], [*(low for low, _ in wood), high], strict=True):
            if low < top:
                air = LINE_AIR_MM if low > 0 else 0.0, LINE_AIR_MM if top < high else 0.0
                taken.append((first, low - air[0], last, top + air[1]))
    return taken


def _across(loops: Iterable[Sequence[Spot]], x: float) -> list[tuple[float, float]]:
    """From where to where there is wood at `x`."""
    found = []
    for spots in loops:
        for (a, b), (c, d) in zip(spots, [*spots[1:], spots[0]], strict=True):
            if (a < x) != (c < x):
                found.append(b + (d - b) * (x - a) / (c - a))
    found.sort()
    return list(zip(found[::2], found[1::2], strict=True))


def _mark(laid: Laid, room: PaperRoom) -> list[Shape]:
    """The loop of a face side or the V of a face edge, by the arris that the pattern is laid to."""
    draw = {Face.FACE: face_side_mark, Face.EDGE: face_edge_mark}.get(laid.face) if laid.face else None
    size = min(MARK_MM, room.high * 0.45)
    if draw is None or size < LEAST_MARK_MM:
        return []
    low = room.high - size if laid.at_top else 0.0
    for part in MARK_PLACES:
        x = room.wide * part
        if room.claim((x - size / 2, low, x + size / 2, low + size)):
            at = (exact(x), exact(room.high if laid.at_top else 0.0))
            return [draw(at, "down" if laid.at_top else "up", exact(size), Stroke.VISIBLE)]
    return []


def _end_words(laid: Laid, shown: Outline, half: int | None, room: PaperRoom) -> list[Shape]:
    first, last = laid.ends
    shapes: list[Shape] = []
    if half == 1:
        y = 3.2 if laid.at_top else room.high - 3.2
        line = (0.0, y, room.wide, y)
        told = "CENTRE LINE: TURN OVER HERE"
        found = room.set(told, (9.0, 8.0), (room.wide / 2, y), (0,), line)
        shapes += or_beside(found, told, (room.wide / 2, y), -7.5 if laid.at_top else 7.5)
    half_here = half == 0
    names = (f"{first} · {last}", "CENTRE LINE: TURN OVER HERE") if half_here else (first, last)
    for name, short, x in ((names[0], first, 3.2), (names[1], "CENTRE LINE" if half_here else last, room.wide - 3.2)):
        if not name:
            continue
        for told in dict.fromkeys((name, short)):
            if found := room.set(told, (9.0, 8.0), (x, room.high / 2), (90,), (x, 0.0, x, room.high)):
                shapes += found
                break
        else:
            outside = -3.4 if x < room.wide / 2 else 3.4
            at = (ZERO if outside < 0 else shown.width, shown.height / 2)
            shapes.append(Words(at, short, 8.0, angle=90, strong=True, dx_mm=outside))
    return shapes
