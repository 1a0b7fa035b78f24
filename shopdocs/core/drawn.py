"""An outline as a maker writes it, corner by corner, made to lines and arcs.

A *round* swells beyond the straight line between its ends, a *hollow* goes into the wood; so neither depends on the way
round that the corners are written. Corners and arcs by their rise stay exact; what hangs on a root goes to a millionth
of a millimetre (`curves.near`).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence, Set
from fractions import Fraction
from functools import lru_cache
from itertools import combinations, pairwise
from typing import NamedTuple, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.curves import arc_of_radius, arc_with_rise, heading, near, reach_of, rounded_off
from shopdocs.core.length import ZERO, Length
from shopdocs.core.loops import Loop, enclosed, joined, less, rectangle, split_where_it_touches, turned_round
from shopdocs.core.outline import Point, Side, Spot

T = TypeVar("T")
STRAIGHT, ROUND, HOLLOW = "", "round", "hollow"
BESIDE = 0.02  # millimetres: straight pieces that stand for an arc lie no farther beside it, where crossings are sought
PARTS = 1000  # of a millimetre, to which the box round a curve is rounded
_SAME = 2e-6  # millimetres: what hangs on a root lies no farther from where it is meant to be


class Corner(Struct, frozen=True):
    """A corner `at` that place, and how the line comes there from the one before: straight, round or hollow, with the
    `rise` over the middle of its chord or its `radius`. A corner between two straight lines may be `rounded` off."""

    at: Point
    way: str = STRAIGHT
    rise: Length | None = None
    radius: Length | None = None
    rounded: Length | None = None


class Half(Struct, frozen=True):
    """Half of an outline, from one place of the centre line to another: its `corners`, and in place of a corner on that
    line an arc right across it, from the mirror image of the first corner to it, or from the last one to its own."""

    corners: tuple[Corner, ...]
    first: Corner | None = None
    last: Corner | None = None


class Written(NamedTuple):
    """A corner with the numbers of what is written for the line that leads to it, and for itself."""

    corner: Corner
    line: int
    place: int


class Fault(Exception):
    """An outline that cannot be: `number` is the corner at fault, counted from 0; `about` the numbers that belong into
    the words, `kind` what is wrong with it."""

    def __init__(self, kind: str, number: int, *about: Length | int) -> None:
        super().__init__(kind)
        self.kind, self.number, self.about = kind, number, about


def closed(corners: Sequence[Corner]) -> Loop:
    """The loop through corners, the last of which lies where the first does, anticlockwise; where a line only goes on
    there is no corner. Fault: `back` where it does
    not, `twice` for two corners in one place, `rise` (half the chord), `radius` (half the chord), `corner` for one that
    cannot be rounded, `room` (the most the radius may be), `crosses` (the number of the other line) where it runs
    through itself or touches itself."""
    if corners[0].at != corners[-1].at:
        raise Fault("back", len(corners) - 1)
    every = [replace(corners[0], rounded=corners[0].rounded or corners[-1].rounded), *corners[1:-1]]
    for number, (one, two) in enumerate(_ways(every), 1):
        if one.at == two.at:
            raise Fault("twice", number)
    flat = sum(a.mm * d.mm - c.mm * b.mm for (a, b), (c, d) in _ways([corner.at for corner in every]))
    sides: list[Side] = []
    for left in (flat >= 0, flat < 0):
        sides = [_side(corners, number, left) for number in range(1, len(corners))]
        loop = _rounded(every, sides)
        if (enclosed(loop) > 0) == left:
            break
    if meet := crossing(sides):
        raise Fault("crosses", meet[1] + 1, meet[0] + 1)
    if crossing(loop) or (enclosed(loop) > 0) != left:
        raise Fault("crosses", len(corners) - 1, 1)
    return tuple(joined(loop if left else turned_round(loop)))


def whole_of(half: Half, axis: int, middle: Length) -> list[Written]:
    """All corners of an outline of which a half is written, the last where the first is; the centre line lies at
    `middle` of the `axis`, across which the other half is mirrored."""
    corners, before = half.corners, int(half.first is not None)
    last = len(corners) - 1

    def mirrored(corner: Corner) -> Point:
        x, y = corner.at
        return (middle * 2 - x, y) if axis == 0 else (x, middle * 2 - y)

    found = [Written(corner, before + k, before + k) for k, corner in enumerate(corners)]
    if half.last is not None:
        over = replace(half.last, at=mirrored(corners[last]), rounded=corners[last].rounded)
        found.append(Written(over, before + last + 1, before + last))
    for k in range(last - 1, -1, -1):
        back = replace(corners[k + 1], at=mirrored(corners[k]), rounded=corners[k].rounded)
        found.append(Written(back, before + k + 1, before + k))
    if half.first is not None:
        found.append(Written(replace(half.first, at=corners[0].at, rounded=corners[0].rounded), 0, before))
    return found


@lru_cache(maxsize=1024)  # alike pieces share an outline, and checks and sheets ask for it again
def beside(loop: Loop, size: Point) -> tuple[Loop, ...]:
    """What of a face of that size an outline on it leaves out, in pieces that lie apart."""
    border = rectangle((ZERO, ZERO), size)
    parted = tuple(split_where_it_touches(loop, (ZERO, ZERO), size))
    return less([border], [parted])


def settled(loop: Loop, size: Point) -> Loop:
    """A loop whose corners that lie on the border of the face but for a root do so exactly."""

    def at(spot: Point) -> Point:
        x, y = (
            next((edge for edge in (ZERO, whole) if value != edge and abs((value - edge).float_mm()) < _SAME), value)
            for value, whole in zip(spot, size, strict=True)
        )
        return x, y

    return tuple(replace(side, start=at(side.start), end=at(side.end)) for side in loop)


def reach(loop: Sequence[Side]) -> tuple[Point, Point]:
    """The corners of the rectangle round it."""
    lows, highs = zip(*map(reach_of, loop), strict=True)
    return (min(a for a, _ in lows), min(b for _, b in lows)), (max(a for a, _ in highs), max(b for _, b in highs))


def outward(low: Length, high: Length, whole: Length) -> tuple[Length, Length]:
    """The stretch of a face `whole` long that holds both ends, rounded outward to 1/1000 mm where they are no simple
    fractions; ends that lie on its border but for a root do so exactly."""
    if low.per_mm > PARTS * 10:
        low = Length(Fraction(math.floor(low.mm * PARTS), PARTS))
    if high.per_mm > PARTS * 10:
        high = Length(Fraction(math.ceil(high.mm * PARTS), PARTS))
    near_by = Length(Fraction(2, PARTS))
    return (low if low >= near_by else ZERO), (high if high <= whole - near_by else whole)


def past(side: Side, size: Point) -> list[Length]:
    """How far it reaches past each side of the face: its low and high end along the first axis and the second."""
    (a, b), (c, d) = reach_of(side)
    return [over if over.float_mm() > _SAME else ZERO for over in (-a, c - size[0], -b, d - size[1])]


def crossing(sides: Sequence[Side]) -> tuple[int, int] | None:
    """The numbers of two sides that run through each other or touch where they do not follow each other; None where
    the line is one that a saw can follow."""
    last = len(sides) - 1
    runs: dict[int, _Run] = {}
    for one, two in combinations(range(len(sides)), 2):
        follows, closes = two == one + 1, (one, two) == (0, last)
        if _boxes_apart(sides[one], sides[two]):
            continue
        if follows and len(sides) > 1 and _turns_back(sides[one], sides[two]):
            return one, two
        if closes and _turns_back(sides[two], sides[one]):
            return one, two
        first, other = (
            runs.get(number) or runs.setdefault(number, _run(_pieces(sides[number]))) for number in (one, two)
        )
        joined_at = {(first.last, other.first)} if follows else set()
        if closes:
            joined_at.add((first.first, other.last))
        if _meet(first, other, joined_at):
            return one, two
    return None


def _side(corners: Sequence[Corner], number: int, left: bool) -> Side:
    """The side that leads to a corner, on a way round with the wood at its left, or at its right."""
    start, corner = corners[number - 1].at, corners[number]
    if corner.way == STRAIGHT:
        return Side(start, corner.at)
    half = near(math.dist(*([v.float_mm() for v in spot] for spot in (start, corner.at))) / 2)
    turns = (corner.way == ROUND) == left
    try:
        if corner.rise is not None:
            return arc_with_rise(start, corner.at, corner.rise, turns)
    except ValueError:
        raise Fault("rise", number, half) from None
    assert corner.radius is not None
    try:
        return arc_of_radius(start, corner.at, corner.radius, turns)
    except ValueError:
        raise Fault("radius", number, half) from None


def _rounded(corners: Sequence[Corner], sides: Sequence[Side]) -> Loop:
    """Sides with the corners that are to be rounded off. `corners` are those that the sides begin at."""
    arcs: list[Side | None] = []
    for number, (corner, before, after) in enumerate(zip(corners, [sides[-1], *sides[:-1]], sides, strict=True)):
        arc = None
        if corner.rounded is not None:
            try:
                if before.centre is not None or after.centre is not None:
                    raise ValueError
                arc = rounded_off(before.start, corner.at, after.end, corner.rounded)
            except ValueError:
                raise Fault("corner", number) from None
        arcs.append(arc)
    found: list[Side] = []
    for number, side in enumerate(sides):
        arc, following = arcs[number], arcs[(number + 1) % len(arcs)]
        start, end = arc.end if arc else side.start, following.start if following else side.end
        off = [_apart(a, b) for a, b in ((side.start, start), (end, side.end))]
        if sum(off) > side.long + _SAME:
            at, radius = number if arc else (number + 1) % len(arcs), (arc or following or side).radius
            raise Fault("room", at, near(radius.float_mm() * side.long / sum(off)))
        if arc:
            found.append(arc)
        if _apart(start, end) > _SAME:
            found.append(replace(side, start=start, end=end))
        elif start != end and found:
            found[-1] = replace(found[-1], end=end)
    return tuple(found)


def _apart(one: Point, two: Point) -> float:
    return math.dist(*([v.float_mm() for v in spot] for spot in (one, two)))


def _ways(spots: Sequence[T]) -> Iterator[tuple[T, T]]:
    yield from zip(spots, [*spots[1:], spots[0]], strict=True)


def _pieces(side: Side) -> list[tuple[Spot, Spot]]:
    spots = [*side.spots(BESIDE), (side.end[0].float_mm(), side.end[1].float_mm())]
    return [*pairwise(spots)]


def _boxes_apart(one: Side, two: Side) -> bool:
    (a, b), (c, d) = reach_of(one)
    (e, f), (g, h) = reach_of(two)
    return any((low - high).float_mm() > BESIDE for low, high in ((e, c), (a, g), (f, d), (b, h)))


class _Run(Struct, frozen=True):
    """Straight pieces of one side that follow each other, by the numbers of the `first` and the `last`, in a box from
    `low` to `high`: one `piece`, or two `halves`."""

    first: int
    last: int
    low: Spot
    high: Spot
    piece: tuple[Spot, Spot]
    halves: tuple[_Run, ...] = ()


def _run(pieces: Sequence[tuple[Spot, Spot]], first: int = 0) -> _Run:
    if len(pieces) == 1:
        (a, b), (c, d) = pieces[0]
        return _Run(first, first, (min(a, c), min(b, d)), (max(a, c), max(b, d)), pieces[0])
    half = len(pieces) // 2
    one, two = _run(pieces[:half], first), _run(pieces[half:], first + half)
    low = min(one.low[0], two.low[0]), min(one.low[1], two.low[1])
    high = max(one.high[0], two.high[0]), max(one.high[1], two.high[1])
    return _Run(one.first, two.last, low, high, pieces[0], (one, two))


def _meet(one: _Run, two: _Run, joined_at: Set[tuple[int, int]]) -> bool:
    """Whether pieces of two runs come near each other, but for those `joined_at` the end of one. Boxes that lie apart
    are not looked into: two arcs side by side have thousands of pieces."""
    if any(max(one.low[k], two.low[k]) - min(one.high[k], two.high[k]) > BESIDE for k in (0, 1)):
        return False
    if not one.halves and not two.halves:
        return (one.first, two.first) not in joined_at and _near(*one.piece, *two.piece)
    if not two.halves or (one.halves and one.last - one.first >= two.last - two.first):
        return any(_meet(half, two, joined_at) for half in one.halves)
    return any(_meet(one, half, joined_at) for half in two.halves)


def _turns_back(one: Side, two: Side) -> bool:
    """Whether the way goes straight back on itself from one side into the next."""
    (a, b), (c, d) = heading(one, False), heading(two, True)
    return a * c + b * d < -1 + 1e-9


def _near(a: Spot, b: Spot, c: Spot, d: Spot) -> bool:
    """Whether two straight pieces cross, or come closer than a hundredth of a millimetre."""
    if _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0:
        return True
    return min(_from(a, c, d), _from(b, c, d), _from(c, a, b), _from(d, a, b)) < BESIDE / 2


def _turn(one: Spot, two: Spot, three: Spot) -> float:
    return (two[0] - one[0]) * (three[1] - one[1]) - (two[1] - one[1]) * (three[0] - one[0])


def _from(spot: Spot, start: Spot, end: Spot) -> float:
    """How far a place is from a straight piece."""
    (x, y), (a, b), (c, d) = spot, start, end
    long = (c - a) ** 2 + (d - b) ** 2
    share = max(0.0, min(1.0, ((x - a) * (c - a) + (y - b) * (d - b)) / long)) if long else 0.0
    return math.hypot(x - a - share * (c - a), y - b - share * (d - b))
