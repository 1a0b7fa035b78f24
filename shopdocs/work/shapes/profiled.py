"""What a cut of any outline leaves of the cuboid round it, as convex bodies for pictures and clashes.

The cuboid is cut into strips at every corner of the outline; in a strip no two of its lines cross, so what lies between
two neighbouring ones is convex. Measures are whole ticks, counted from the low corner of the cuboid, so that a line
drawn between two corners lies in the planes beside it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from shopdocs.core.curves import goes_on
from shopdocs.core.outline import Side, Spot

Flat = tuple[int, int]
_Line = tuple[Flat, Flat]


class Strip(NamedTuple):
    """Wood between two lines over a stretch: `under` and `over` it, each None where the cuboid itself ends it."""

    low: int
    high: int
    under: _Line | None
    over: _Line | None

    def inside(self, high: int) -> tuple[int, int]:
        """From where to where it is wood over its whole stretch, in a cuboid that is `high` high."""
        ends = (self.low, self.high)
        under = max(_at(self.under, x) for x in ends) if self.under else 0.0
        over = min(_at(self.over, x) for x in ends) if self.over else float(high)
        return math.ceil(under), math.floor(over)


class Profile(NamedTuple):
    """A closed outline of waste: its corners, and at which of them a curve goes on, so that no line shows there."""

    corners: tuple[Flat, ...]
    curved: frozenset[Flat]

    def strips(self, wide: int, high: int) -> tuple[Strip, ...]:
        """The wood beside it, in a cuboid that is `wide` and `high`."""
        return _strips(self.corners, wide, high)

    def mirrored(self, wide: int, high: int) -> Profile:
        """The same outline where a cuboid so `wide` and `high` is turned over: from the other end along an axis that
        is not 0."""

        def over(spot: Flat) -> Flat:
            return (wide - spot[0] if wide else spot[0]), (high - spot[1] if high else spot[1])

        return Profile(tuple(map(over, self.corners)), frozenset(map(over, self.curved)))


def profile_of(waste: Sequence[Side], flat: Callable[[Spot], Flat]) -> Profile:
    """The profile of an outline: `flat` puts a place of it in ticks. Arcs become straight pieces that lie no farther
    beside them than 1/900 of their radius, or 1/20 mm of a small one (a quarter of 10 mm is four pieces), and 1/10 mm
    of a large one."""
    corners: list[Flat] = []
    curved: set[Flat] = set()
    for before, side in zip([waste[-1], *waste[:-1]], waste, strict=True):
        beside = min(max(0.05, side.radius.float_mm() / 900), 0.1)
        spots = [flat(spot) for spot in side.spots(beside)]
        curved |= set(spots[1:])
        if (side.centre or before.centre) and goes_on(before, side):
            curved.add(spots[0])
        corners += [spot for spot in spots if not corners or spot != corners[-1]]
    if corners[0] == corners[-1]:
        corners.pop()
    return Profile(tuple(corners), frozenset(curved))


@lru_cache(maxsize=256)
def _strips(corners: tuple[Flat, ...], wide: int, high: int) -> tuple[Strip, ...]:
    lines = [_rightward(one, two) for one, two in _sides(corners) if one[0] != two[0]]
    return tuple(
        strip
        for first, last in pairwise(sorted({0, wide, *(x for x, _ in corners)}))
        for strip in _between(first, last, [line for line in lines if line[0][0] <= first and last <= line[1][0]], high)
    )


def _between(first: int, last: int, lines: Sequence[_Line], high: int) -> Iterator[Strip]:
    """The strips of wood between two places: under, over and between pairs of the lines that cross them, from below."""
    middle = (first + last) / 2
    lines = sorted(lines, key=lambda line: _at(line, middle))
    bounds: list[_Line | None] = [None, *lines, None]
    for under, over in zip(bounds[::2], bounds[1::2], strict=True):
        ends = [(_at(over, x) if over else high) - (_at(under, x) if under else 0) for x in (first, last)]
        if max(ends) > 0.5:
            yield Strip(first, last, under, over)


def _at(line: _Line, x: float) -> float:
    (a, b), (c, d) = line
    return b + (d - b) * (x - a) / (c - a)


def _sides(corners: Sequence[Flat]) -> Iterator[_Line]:
    yield from zip(corners, [*corners[1:], corners[0]], strict=True)


def _rightward(one: Flat, two: Flat) -> _Line:
    return (one, two) if one[0] < two[0] else (two, one)
