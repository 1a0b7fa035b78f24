"""Closed outlines of straight lines and arcs: the true shape of a piece seen square to one of its faces.

Ends, centres and radii are exact. Only where a curve has to be measured or drawn as straight pieces do floats begin;
`spots` says how far beside the curve those may lie.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.length import ZERO, Length

Point = tuple[Length, Length]
Spot = tuple[float, float]
BESIDE_MM = 0.004  # how far a straight piece may lie beside its arc: a fifth of what a pattern is held to


class Side(Struct, frozen=True):
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
        return replace(self, start=self.end, end=self.start, left=not self.left and self.centre is not None)

    def spots(self, beside: float = BESIDE_MM) -> Iterator[Spot]:
        """Places on it in millimetres, the start and not the end, so close that straight pieces between them lie no
        farther than `beside` from it."""
        yield _floats(self.start)
        if self.centre is None:
            return
        radius = self.radius.float_mm()
        step = 2 * math.acos(max(0.0, 1 - beside / radius))
        count = max(1, math.ceil(abs(self.turn) / step)) if step else 1  # as good as straight
        x, y = _floats(self.centre)
        a, b = _floats(self.start)
        first = math.atan2(b - y, a - x)
        for k in range(1, count):
            angle = first + self.turn * k / count
            yield x + radius * math.cos(angle), y + radius * math.sin(angle)


class Outline(Struct, frozen=True):
    """Sides end to end, the last back to the first, anticlockwise round what lies within (0, 0) to (`width`,
    `height`); `holes` in it go round clockwise."""

    width: Length
    height: Length
    sides: tuple[Side, ...]
    holes: tuple[tuple[Side, ...], ...] = ()

    @property
    def every(self) -> tuple[Side, ...]:
        """All sides, those of its holes too."""
        return (*self.sides, *(side for hole in self.holes for side in hole))

    def spots(self, beside: float = BESIDE_MM) -> list[Spot]:
        """Its corners and places on its arcs, in millimetres, no side farther than `beside` from them."""
        return [spot for side in self.sides for spot in side.spots(beside)]

    @property
    def area(self) -> float:
        """In mm²: the polygon of its corners, and between each arc and its chord r² (angle - sin) / 2."""
        doubled = 0.0
        for side in self.every:
            (a, b), (c, d) = _floats(side.start), _floats(side.end)
            doubled += a * d - c * b
            turn = side.turn
            doubled += side.radius.float_mm() ** 2 * (turn - math.sin(turn))
        return doubled / 2

    @property
    def around(self) -> float:
        """How long it is, round its holes too, in millimetres."""
        return sum(side.long for side in self.every)

    def turned_over(self) -> Outline:
        """As it looks from behind: top and bottom change places."""

        def over(point: Point) -> Point:
            return point[0], self.height - point[1]

        holes = tuple(_walked_back(hole, over) for hole in self.holes)
        return Outline(self.width, self.height, _walked_back(self.sides, over), holes)

    def widened(self, low: Length, high: Length) -> Outline:
        """With so much more wood along all that lies on its lower edge and on its upper one, as a joint adds it."""
        if low == high == ZERO:
            return self
        tall = self.height + low + high

        def moved(point: Point) -> Point:
            return point[0], point[1] + low

        sides: list[Side] = []
        for side in self.sides:
            start, end = moved(side.start), moved(side.end)
            on = side.start[1] if side.centre is None and side.start[1] == side.end[1] else None
            edge = {ZERO: ZERO, self.height: tall}.get(on, start[1]) if on is not None else start[1]
            spots = [start, (start[0], edge), (end[0], edge), end] if on is not None else [start, end]
            if side.centre is not None:
                sides.append(replace(side, start=start, end=end, centre=moved(side.centre)))
            else:
                sides += [Side(one, two) for one, two in pairwise(spots) if one != two]
        holes = tuple(
            tuple(
                replace(s, start=moved(s.start), end=moved(s.end), centre=moved(s.centre) if s.centre else None)
                for s in hole
            )
            for hole in self.holes
        )
        return Outline(self.width, tall, tuple(_straightened(sides)), holes)

    def is_even(self, axis: int = 0) -> bool:
        """Whether its two halves along the piece mirror each other; of `axis` 1 those across it."""

        def other(point: Point) -> Point:
            return (self.width - point[0], point[1]) if axis == 0 else (point[0], self.height - point[1])

        return {_plain(side) for side in _walked_back(self.every, other)} == set(map(_plain, self.every))

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
        return Outline(self.width, self.height, tuple(_closed(kept)), self.holes)

    def half(self, axis: int = 0) -> Outline:
        """Its half from the left to the middle, of an even one; of `axis` 1 from its lower edge to the middle. Where it
        lies in the wood, the middle is a side of its own."""
        middle = (self.width, self.height)[axis] / 2
        kept: list[Side] = []
        for side in self.every:
            low, high = side.start[axis] <= middle, side.end[axis] <= middle
            if side.start[axis] == side.end[axis] == middle and side.centre is None:
                continue
            if low and high:
                kept.append(side)
            elif low or high:
                kept.append(_cut_at(side, middle, low, axis))
        kept = [side for side in kept if side.start != side.end]
        first, *holes = _rounds(kept, middle, axis)
        width, height = (middle, self.height) if axis == 0 else (self.width, middle)
        return Outline(width, height, first, tuple(holes))


def _straightened(sides: list[Side]) -> list[Side]:
    """Sides that go straight on square to the edges, as one."""
    found: list[Side] = []
    for side in sides:
        if found and _goes_on(found[-1], side):
            side = Side(found.pop().start, side.end)
        found.append(side)
    if len(found) > 1 and _goes_on(found[-1], found[0]):
        found[0] = Side(found.pop().start, found[0].end)
    return found


def _goes_on(side: Side, following: Side) -> bool:
    plain = side.centre is None and following.centre is None
    return plain and any(side.start[axis] == side.end[axis] == following.end[axis] for axis in (0, 1))


def _closed(sides: list[Side]) -> Iterator[Side]:
    """Sides in their order, with straight ones where something was taken out between two of them."""
    for side, following in zip(sides, [*sides[1:], sides[0]], strict=True):
        if side.start != side.end:
            yield side
        if side.end != following.start:
            yield Side(side.end, following.start)


def _cut_at(side: Side, middle: Length, before: bool, axis: int) -> Side:
    """What lies before the middle of a side that is even about it: a line square to it, or an arc with its top or
    bottom there."""
    other = 1 - axis
    at = side.start[other]
    if side.centre is not None:
        above = (side.left == (side.start[axis] > side.end[axis])) == (axis == 0)
        at = side.centre[other] + (side.radius if above else -side.radius)
    spot = (middle, at) if axis == 0 else (at, middle)
    return replace(side, end=spot) if before else replace(side, start=spot)


def _rounds(sides: list[Side], middle: Length, axis: int) -> list[tuple[Side, ...]]:
    """Sides before a middle line, closed along it: what ends on that line goes on to the next place on it where
    something begins, with the wood at its left. The loop round the wood comes first."""
    begins = {side.start: side for side in sides}
    other = 1 - axis
    open_ = sorted(side.end[other] for side in sides if side.end not in begins)
    starts = sorted(start[other] for start in begins if start not in {side.end for side in sides})
    if axis == 1:  # along a level middle the wood under it lies at the left of the way back
        open_.reverse()
        starts.reverse()
    for one, two in zip(open_, starts, strict=True):
        spots = [(middle, at) if axis == 0 else (at, middle) for at in (one, two)]
        begins[spots[0]] = Side(spots[0], spots[1])
    loops: list[tuple[Side, ...]] = []
    while begins:
        side = begins.pop(min(begins, key=lambda spot: (spot[1], spot[0])))
        loop = [side]
        while loop[-1].end != loop[0].start:
            loop.append(begins.pop(loop[-1].end))
        loops.append(tuple(loop))
    return loops


def _plain(side: Side) -> Side:
    """A side that equals another where both show the same."""
    return replace(side, left=False) if side.centre is None else side


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
