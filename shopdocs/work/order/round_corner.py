"""Round one corner: things that are drawn off a little way, clear of what holds them, and then leave sideways.

A tongue that is slid back along its groove and lifted out where the groove is open, a frame that is dropped in behind a
rail and pushed under it. Tried only where nothing can be drawn off in one line: for every two ways, square to each
other, and every distance at which something comes clear, a thing takes along all that it would run into.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from shopdocs.core.box import AXES, Box
from shopdocs.work.order.blocking import WAYS, Way, bits, taken
from shopdocs.work.shapes.carved import without_pins
from shopdocs.work.shapes.clashing import sloping_bodies
from shopdocs.work.shapes.solid import Solid

Barred = Sequence[set[tuple[int, Way]]]  # for each thing what a joint bars: towards which other, on which way
_TURNS = tuple((way, then) for way in WAYS for then in WAYS if way[0] != then[0])


class Turn(NamedTuple):
    """Things, as bits, that leave a group: drawn off this way, so many ticks, then out that way."""

    part: int
    way: Way
    short: int
    then: Way


class _Pair(NamedTuple):
    """What one thing meets of another on a turn: `free` ticks on the first way, None where nothing stands there;
    `shut` distances, both ends left out, after which the other stands in the second way."""

    free: int | None
    shut: tuple[tuple[int, int], ...]


class Corners:
    """The turns of some things; what two of them let each other do is worked out once."""

    def __init__(self, things: Sequence[Sequence[Solid]], barred: Barred) -> None:
        self.things, self.barred = things, barred
        self.boxes: dict[int, tuple[Box, list[Box]]] = {}
        self.pairs: dict[tuple[int, int, Way, Way], _Pair | None] = {}

    def parts(self, group: int) -> Iterator[Turn]:
        """Parts of a group that leave it round a corner."""
        for way, then in _TURNS:
            known = {
                i: [(1 << j, pair) for j in bits(group) if j != i and (pair := self._pair(i, j, way, then)) is not None]
                for i in bits(group)
            }
            seen: set[tuple[int, ...]] = set()
            for short in sorted({1, *(top for met in known.values() for _, pair in met for _, top in pair.shut)}):
                if short < 1:
                    continue
                stands = {i: _standing(met, short) for i, met in known.items()}
                if tuple(stands.values()) in seen:
                    continue
                seen.add(tuple(stands.values()))
                for part in {taken(i, stands) for i in stands}:
                    if part != group:
                        yield Turn(part, way, short, then)

    def _pair(self, one: int, two: int, way: Way, then: Way) -> _Pair | None:
        """None where the second is in no way of the first."""
        key = one, two, way, then
        if key not in self.pairs:
            self.pairs[key] = self._met(one, two, way, then)
        return self.pairs[key]

    def _met(self, one: int, two: int, way: Way, then: Way) -> _Pair | None:
        if {(two, way), (two, then)} & self.barred[one]:
            return _Pair(0, ())
        (around, mine), (outside, theirs) = self._boxes(one), self._boxes(two)
        third = 3 - way[0] - then[0]
        if not (around.lo[third] < outside.hi[third] and outside.lo[third] < around.hi[third]):
            return None
        free: int | None = None
        shut: list[tuple[int, int]] = []
        for a in mine:
            for c in theirs:
                if a.lo[third] < c.hi[third] and c.lo[third] < a.hi[third]:
                    gap = _gap(a, c, way)
                    free = gap if free is None else free if gap is None else min(gap, free)
                    shut += _behind(a, c, way, then)
        return _Pair(free, tuple(shut)) if shut or free is not None else None

    def _boxes(self, thing: int) -> tuple[Box, list[Box]]:
        if thing not in self.boxes:
            every = [box for solid in self.things[thing] for box in _boxes(solid)]
            self.boxes[thing] = Box.around(every), every
        return self.boxes[thing]


def _standing(met: Sequence[tuple[int, _Pair]], short: int) -> int:
    """What stands in the way of a thing that turns after so many ticks."""
    stands = 0
    for bit, (free, shut) in met:
        if (free is not None and free < short) or any(low < short < top for low, top in shut):
            stands |= bit
    return stands


def _boxes(solid: Solid) -> list[Box]:
    """Its cells, and a box round each body that slopes: a little too much, so that nothing is let through wood."""
    boxes = list(solid.whole_cells)
    for body in sloping_bodies(without_pins(solid)):
        (a, b, c), (d, e, f) = body.lo, body.hi
        boxes.append(Box((int(a), int(b), int(c)), (-int(-d // 1), -int(-e // 1), -int(-f // 1))))
    return boxes


def _gap(a: Box, c: Box, way: Way) -> int | None:
    """How far one box goes before it meets the other; None where it never does, 0 where they share wood."""
    axis, high = way
    if not all(a.lo[k] < c.hi[k] and c.lo[k] < a.hi[k] for k in AXES if k != axis):
        return None
    gap = c.lo[axis] - a.hi[axis] if high else a.lo[axis] - c.hi[axis]
    if gap >= 0:
        return gap
    return 0 if a.lo[axis] < c.hi[axis] and c.lo[axis] < a.hi[axis] else None


def _behind(a: Box, c: Box, way: Way, then: Way) -> Iterator[tuple[int, int]]:
    """The distances along a way, both ends left out, at which one box has the other before it on the second way."""
    (axis, high), (out, up) = way, then
    if (c.hi[out] > a.lo[out]) if up else (c.lo[out] < a.hi[out]):
        low, top = c.lo[axis] - a.hi[axis], c.hi[axis] - a.lo[axis]
        yield (low, top) if high else (-top, -low)
