"""Cuts that go in square to a face and lie askew on it: the housing and the mortise of a board that is tipped."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from msgspec.structs import replace

from shopdocs.core.length import ZERO, Length
from shopdocs.core.outline import Side
from shopdocs.core.turn import near
from shopdocs.work.space.features import PIECE_AXES, Cuboid, Flare, Slant, Spot, face_of, side_of

Flat = tuple[Length, Length]


def let_in(feature: Cuboid, slant: Slant, size: Spot) -> Cuboid:
    """Such a cut in a piece of this size: its true outline, taken out of the box round it."""
    axis, high = side_of(slant.face)
    first, second = axes_of(slant)
    rim = [(near(spot[first]), near(spot[second])) for spot in slant.mouth()]
    lo, hi = [ZERO] * 3, [ZERO] * 3
    for k, place in ((first, 0), (second, 1)):
        lo[k], hi[k] = min(spot[place] for spot in rim), max(spot[place] for spot in rim)
    deep = size[axis] if slant.deep is None else slant.deep
    lo[axis], hi[axis] = (size[axis] - deep, size[axis]) if high else (ZERO, deep)
    waste = tuple(Side(one, two) for one, two in zip(rim, (*rim[1:], rim[0]), strict=True))
    flare = Flare(PIECE_AXES[first], face_of(second, False), (hi[first] - lo[first]) / 2, waste=waste)
    return replace(feature, lo=(lo[0], lo[1], lo[2]), hi=(hi[0], hi[1], hi[2]), flare=flare, slant=slant)


def is_let_in(cuboid: Cuboid) -> bool:
    """Whether it is such a cut."""
    return cuboid.slant is not None and not cuboid.askew


def axes_of(slant: Slant) -> tuple[int, int]:
    """The axes of the piece that the face of a cut lies along."""
    first, second = (k for k in range(3) if k != side_of(slant.face)[0])
    return first, second


def marked_side(cuboid: Cuboid) -> tuple[Flat, Flat]:
    """The long side that such a cut is marked out by, as two places along and across its face: the one nearer to end A
    where it lies more across the face than along it, else the one nearer to the face edge."""
    assert cuboid.flare is not None
    if cuboid.slant is not None and cuboid.slant.struck is not None:
        return cuboid.slant.struck
    return nearer_side(struck_sides(cuboid.flare.waste))


def struck_sides(rim: Iterable[Side]) -> list[Side]:
    """The sides of an outline that are struck: what runs along an edge or square across is not."""
    return [side for side in rim if all(a != b for a, b in zip(side.start, side.end, strict=True))]


def nearer_side(struck: Iterable[Side]) -> tuple[Flat, Flat]:
    """Of the two longest sides the one that is marked out, by both its ends."""
    sides = sorted(struck, key=lambda side: side.long)[-2:]
    run = [abs(a - b) for a, b in zip(sides[0].start, sides[0].end, strict=True)]
    nearer = 0 if run[1] >= run[0] else 1
    side = min(sides, key=lambda side: side.start[nearer] + side.end[nearer])
    ends = sorted((side.start, side.end), key=lambda spot: spot[1 - nearer])
    return ends[0], ends[1]


def off_square(cuboid: Cuboid) -> float:
    """How far its long side lies off a line squared across its face, in degrees: 90 along the face."""
    (a, b), (c, d) = marked_side(cuboid)
    return math.degrees(math.atan2(abs((c - a).float_mm()), abs((d - b).float_mm())))


def strips(cuboid: Cuboid, long: float) -> Iterator[tuple[Spot, Spot]]:
    """Boxes in piece coordinates that such a cut lies in, each round `long` millimetres of it."""
    assert cuboid.flare is not None and cuboid.slant is not None
    first, second = axes_of(cuboid.slant)
    (a, b), (c, d) = ((v.float_mm() for v in spot) for spot in marked_side(cuboid))
    middle = [(cuboid.lo[k] + cuboid.hi[k]).float_mm() / 2 for k in (first, second)]
    over = 2 * (middle[0] - (a + c) / 2), 2 * (middle[1] - (b + d) / 2)  # from the marked side to the other long one
    count = max(1, math.ceil(math.hypot(c - a, d - b) / long))
    for k in range(count):
        ends = [(a + (c - a) * share, b + (d - b) * share) for share in (k / count, (k + 1) / count)]
        spots = [*ends, *((x + over[0], y + over[1]) for x, y in ends)]
        lo, hi = list(cuboid.lo), list(cuboid.hi)
        for axis, place in ((first, 0), (second, 1)):
            lo[axis], hi[axis] = (near(pick(spot[place] for spot in spots)) for pick in (min, max))
        yield (lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2])


def gap_between(one: Cuboid, two: Cuboid) -> Length:
    """Widest distance of two cuts along an axis; where they overlap, the least overlap as a negative length."""
    askew = room_between(one, two)
    return max(max(two.lo[k] - one.hi[k], one.lo[k] - two.hi[k]) for k in range(3)) if askew is None else askew


def room_between(one: Cuboid, two: Cuboid) -> Length | None:
    """How far two cuts of a piece lie apart, of which one is let in so; below zero where they run into each other. None
    where neither is, so that their boxes tell it."""
    first = one if is_let_in(one) else two
    if first.slant is None or not is_let_in(first):
        return None
    axis, axes = side_of(first.slant.face)[0], axes_of(first.slant)
    beside = max(two.lo[axis] - one.hi[axis], one.lo[axis] - two.hi[axis]).float_mm()
    ones, twos = _corners(one, axes, axis), _corners(two, axes, axis)
    return near(max(beside, _apart(ones, twos), _apart(twos, ones)))


def _corners(cuboid: Cuboid, axes: tuple[int, int], axis: int) -> list[tuple[float, float]]:
    flare = cuboid.flare
    if is_let_in(cuboid) and flare is not None and cuboid.slant is not None and side_of(cuboid.slant.face)[0] == axis:
        return [(side.start[0].float_mm(), side.start[1].float_mm()) for side in flare.waste]
    (a, b), (c, d) = ([corner[k].float_mm() for k in axes] for corner in (cuboid.lo, cuboid.hi))
    return [(a, b), (c, b), (c, d), (a, d)]


def _apart(ones: Sequence[tuple[float, float]], twos: Sequence[tuple[float, float]]) -> float:
    """The widest gap that a line along a side of the first convex outline leaves between the two."""
    found = -math.inf
    for (a, b), (c, d) in zip(ones, (*ones[1:], ones[0]), strict=True):
        long = math.hypot(c - a, d - b)
        u, v = (d - b) / long, (a - c) / long
        mine = [u * x + v * y for x, y in ones]
        theirs = [u * x + v * y for x, y in twos]
        found = max(found, min(theirs) - max(mine), min(mine) - max(theirs))
    return found
