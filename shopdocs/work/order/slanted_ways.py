"""Slanted ways: at 45 degrees between two directions of the build, as a rail between two mitres that lie the same way
slides along both and along no direction of the build. Tried only where nothing can be drawn off along one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from shopdocs.core.box import AXES, Box
from shopdocs.work.order.blocking import SLACK, Convex, Part, Way, bits, crossed, shadow, taken
from shopdocs.work.shapes.slopes import Vector, dot
from shopdocs.work.shapes.solid import Solid

Slant = tuple[Way, Way]  # two directions of the build that are gone at once, equally far
SLANTS: tuple[Slant, ...] = tuple(
    ((one, up), (two, high))
    for one in AXES
    for two in AXES[one + 1 :]
    for up in (True, False)
    for high in (True, False)
)


class Slope(NamedTuple):
    """Things, as bits, that are drawn off a group on a slant."""

    part: int
    slant: Slant


class Slants:
    """The slanted ways of some things. `held`: for each thing the others past which a joint lets it not slide along an
    axis, with that axis."""

    def __init__(self, things: Sequence[Sequence[Solid]], held: Sequence[set[tuple[int, int]]]) -> None:
        self.things, self.held = things, held
        self.convex = Convex()
        self.known: dict[tuple[int, int, Slant], bool] = {}

    def parts(self, group: int) -> Iterator[Slope]:
        """Parts of a group that can be drawn off it on a slant: with each thing all that stands in its way."""
        for slant in SLANTS:
            stands = {i: sum(1 << j for j in bits(group) if j != i and self._meets(i, j, slant)) for i in bits(group)}
            for part in {taken(i, stands) for i in stands}:
                if part != group:
                    yield Slope(part, slant)

    def _meets(self, one: int, two: int, slant: Slant) -> bool:
        key = one, two, slant
        if key not in self.known:
            (axis, up), (other, high) = slant
            back: Slant = (axis, not up), (other, not high)
            meets = bool({(two, axis), (two, other)} & self.held[one]) or any(
                self._runs_into(mine, theirs, slant) for mine in self.things[one] for theirs in self.things[two]
            )
            self.known[key] = self.known[two, one, back] = meets
        return self.known[key]

    def _runs_into(self, mine: Solid, theirs: Solid, slant: Slant) -> bool:
        if not _cells_meet(mine.bounds, theirs.bounds, slant):
            return False
        if any(_cells_meet(a, c, slant) for a in mine.whole_cells for c in theirs.whole_cells):
            return True
        if not mine.slants and not theirs.slants:
            return False
        (slopes, flat), (others, even) = self.convex.of(mine), self.convex.of(theirs)
        way = _vector(slant)
        return any(_parts_meet(one, two, way) for one in slopes for two in (*others, *even)) or any(
            _parts_meet(one, two, way) for one in flat for two in others
        )


def _cells_meet(a: Box, c: Box, slant: Slant) -> bool:
    """Whether one cuboid runs into another on a slant, exactly: when it is beside it along both axes at once."""
    begin, end = 0, None
    sense = dict(slant)
    for k in AXES:
        if k not in sense:
            if a.lo[k] >= c.hi[k] or c.lo[k] >= a.hi[k]:
                return False
            continue
        low, high = (c.lo[k] - a.hi[k], c.hi[k] - a.lo[k]) if sense[k] else (a.lo[k] - c.hi[k], a.hi[k] - c.lo[k])
        begin, end = max(begin, low), high if end is None else min(end, high)
    return end is not None and begin < end


def _vector(slant: Slant) -> Vector:
    way = [0.0, 0.0, 0.0]
    for axis, high in slant:
        way[axis] = 1.0 if high else -1.0
    return way[0], way[1], way[2]


def _parts_meet(one: Part, two: Part, way: Vector) -> bool:
    """Whether a convex part runs into another: no plane keeps it away from there all the way."""
    edges = (*one.edges, *two.edges)
    between = (crossed(first, second) for first in one.edges for second in two.edges)
    for out in (*one.normals, *two.normals, *(crossed(way, edge) for edge in edges), *between):
        if dot(out, out) < 0.5:  # of edges that run the same way
            continue
        (a, b), (c, d), speed = shadow(one, out), shadow(two, out), dot(out, way)
        if (speed < 1e-6 and b <= c + SLACK) or (speed > -1e-6 and d <= a + SLACK):
            return False
    return True
