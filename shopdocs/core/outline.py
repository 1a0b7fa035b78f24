"""Closed outlines of straight lines and arcs: the true shape of a piece seen square to one of its faces.

Ends, centres and radii are exact. Only where a curve has to be measured or drawn as straight pieces do floats begin;
`spots` says how far beside the curve those may lie.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from shopdocs.core.length import ZERO, Length

Point = tuple[Length, Length]
Spot = tuple[float, float]
BESIDE_MM = 0.004  # how far a straight piece may lie beside its arc: a fifth of what a pattern is held to


@dataclass(frozen=True, slots=True)
class Side:
    """From `start` straight to `end`; with a `centre`, round it in an arc of at most half a circle, turning `left`
    (anticlockwise) or right."""

    start: Point
    end: Point
    centre: Point | None = None
    radius: Length = ZERO
    left: bool = False

    @property
    def turn(self) -> float:
        """The angle of the arc in radians, above zero where it turns left; 0 of a straight line."""
        if self.centre is None:
            return 0.0
        long = math.hypot(*_apart(self.start, self.end))
        angle = 2 * math.asin(min(1.0, long / 2 / self.radius.float_mm()))
        return angle if self.left else -angle

    @property
    def long(self) -> float:
        """Its length along the curve, in millimetres."""
        return abs(self.turn) * self.radius.float_mm() if self.centre else math.hypot(*_apart(self.start, self.end))

    def back(self) -> Side:
        """The same from its end to its start."""
        return replace(self, start=self.end, end=self.start, left=not self.left)

    def spots(self, beside: float = BESIDE_MM) -> Iterator[Spot]:
        """Places on it in millimetres, the start and not the end, so close that straight pieces between them lie no
        farther than `beside` from it."""
        yield _floats(self.start)
        if self.centre is None:
            return
        radius = self.radius.float_mm()
        step = 2 * math.acos(max(0.0, 1 - beside / radius))
        count = max(1, math.ceil(abs(self.turn) / step))
        x, y = _floats(self.centre)
        a, b = _floats(self.start)
        first = math.atan2(b - y, a - x)
        for k in range(1, count):
            angle = first + self.turn * k / count
            yield x + radius * math.cos(angle), y + radius * math.sin(angle)


@dataclass(frozen=True, slots=True)
class Outline:
    """Sides end to end, the last back to the first, anticlockwise round what lies within (0, 0) to (`width`,
    `height`)."""

    width: Length
    height: Length
    sides: tuple[Side, ...]

    def spots(self, beside: float = BESIDE_MM) -> list[Spot]:
        """Its corners and places on its arcs, in millimetres, no side farther than `beside` from them."""
        return [spot for side in self.sides for spot in side.spots(beside)]

    @property
    def area(self) -> float:
        """In mm²: the polygon of its corners, and between each arc and its chord r² (angle - sin) / 2."""
        doubled = 0.0
        for side in self.sides:
            (a, b), (c, d) = _floats(side.start), _floats(side.end)
            doubled += a * d - c * b
            turn = side.turn
            doubled += side.radius.float_mm() ** 2 * (turn - math.sin(turn))
        return doubled / 2

    @property
    def around(self) -> float:
        """How long it is, in millimetres."""
        return sum(side.long for side in self.sides)

    def turned_over(self) -> Outline:
        """As it looks from behind: top and bottom change places."""

        def over(point: Point) -> Point:
            return point[0], self.height - point[1]

        return Outline(self.width, self.height, _walked_back(self.sides, over))

    def is_even(self) -> bool:
        """Whether its two halves along the piece mirror each other."""
        mirrored = _walked_back(self.sides, lambda point: (self.width - point[0], point[1]))
        return set(mirrored) == set(self.sides)

    def sawn(self, start: Point, end: Point) -> Outline:
        """What lies left of the line from `start` to `end`, which crosses straight sides alone. ValueError where it
        runs through an arc."""

        def over(point: Point) -> Fraction:
            (a, b), (c, d), (x, y) = start, end, point
            return (c - a).mm * (y - b).mm - (d - b).mm * (x - a).mm

        kept: list[Side] = []
        for side in self.sides:
            one, other = over(side.start), over(side.end)
            if side.centre is not None and (one < 0 or other < 0):
                raise ValueError("a line through an arc")
            if one >= 0 and other >= 0:
                kept.append(side)
            elif one >= 0 or other >= 0:
                part = one / (one - other)
                at = tuple(a + (b - a) * part for a, b in zip(side.start, side.end, strict=True))
                spot = at[0], at[1]
                if spot not in (side.start, side.end):
                    kept.append(replace(side, end=spot) if one >= 0 else replace(side, start=spot))
        return Outline(self.width, self.height, tuple(_closed(kept)))

    def half(self) -> Outline:
        """Its half from the left to the middle, of an even one; the middle is a side of its own."""
        middle = self.width / 2
        kept: list[Side] = []
        for side in self.sides:
            low, high = side.start[0] <= middle, side.end[0] <= middle
            if low and high:
                kept.append(side)
            elif low or high:
                kept.append(_cut_at(side, middle, low))
        return Outline(middle, self.height, tuple(_closed(kept)))


def _closed(sides: list[Side]) -> Iterator[Side]:
    """Sides in their order, with straight ones where something was taken out between two of them."""
    for side, following in zip(sides, [*sides[1:], sides[0]], strict=True):
        if side.start != side.end:
            yield side
        if side.end != following.start:
            yield Side(side.end, following.start)


def _cut_at(side: Side, middle: Length, before: bool) -> Side:
    """What lies left of the middle of a side that is even about it: a level line, or an arc with its top or bottom
    there."""
    at = middle, side.start[1]
    if side.centre is not None:
        above = side.left == (side.start[0] > side.end[0])
        at = middle, side.centre[1] + (side.radius if above else -side.radius)
    return replace(side, end=at) if before else replace(side, start=at)


def _walked_back(sides: tuple[Side, ...], moved: Callable[[Point], Point]) -> tuple[Side, ...]:
    """Mirrored sides, walked the other way so that they still go round anticlockwise; an arc keeps the way it turns."""
    found = []
    for side in reversed(sides):
        centre = moved(side.centre) if side.centre is not None else None
        found.append(replace(side, start=moved(side.end), end=moved(side.start), centre=centre))
    return tuple(found)


def _apart(one: Point, other: Point) -> Spot:
    return (other[0] - one[0]).float_mm(), (other[1] - one[1]).float_mm()


def _floats(point: Point) -> Spot:
    return point[0].float_mm(), point[1].float_mm()
