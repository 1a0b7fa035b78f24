"""Which stretches of lines are edges of the solid that convex bodies make together, and the faces beside them.

Between two neighbouring planes round a line it either is wood or it is not, so the planes where this changes are the
faces beside the line. All lines are held against all planes at once, in arrays, a few hundred lines at a time; only
the few planes that run through a line are looked at one by one. Measures are ticks.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any, NamedTuple

from shopdocs.core.box import Corner
from shopdocs.work.shapes.convex import NEAR, Body
from shopdocs.work.shapes.vectors import Vector, across, dot, even, mixed, moved

if TYPE_CHECKING:
    import numpy as np

    Floats = np.ndarray[Any, np.dtype[np.float64]]
    Flags = np.ndarray[Any, np.dtype[np.bool_]]

Line = tuple[Vector, Vector]

STEP = 4.0  # ticks: just beside a line
_AT_ONCE = 256  # lines
_ALONG = 1e-3  # the product of a direction and the normal of a plane that it runs along is less


class Side(NamedTuple):
    """A face beside a line: the unit vector from the line into the face, and the face's unit normal."""

    into: Vector
    out: Vector


class SlopedEdge(NamedTuple):
    """A line of a solid where it has sloping sides, with the faces beside it. A `soft` one stands for a round, and is
    drawn only where it is the outline of that: one face beside it looks to the eye, the other does not."""

    start: Corner
    end: Corner
    sides: tuple[Side, ...]
    soft: bool = False


class _Stretch(NamedTuple):
    """From where to where along a line no plane cuts it."""

    line: int
    low: float
    high: float


def edges_on(lines: Sequence[Line], bodies: Sequence[Body]) -> Iterator[list[SlopedEdge]]:
    """For each line its stretches that are edges of the solid the bodies make together."""
    walls = _Walls(bodies)
    for first in range(0, len(lines), _AT_ONCE):
        yield from walls.edges_on(lines[first : first + _AT_ONCE])


class _Walls:
    """The planes of some bodies as arrays, body by body."""

    def __init__(self, bodies: Sequence[Body]) -> None:
        import numpy as np

        self.np = np
        self.planes = [plane for body in bodies for plane in body.planes]
        self.outs: Floats = np.array([plane.out for plane in self.planes]).reshape(-1, 3)
        self.ats: Floats = np.array([plane.at for plane in self.planes])
        counts = [len(body.planes) for body in bodies]
        self.firsts = np.cumsum([0, *counts[:-1]]) if counts else np.zeros(0, dtype=int)
        self.owner = np.repeat(np.arange(len(bodies)), counts)
        self.low: Floats = np.array([body.lo for body in bodies]).reshape(-1, 3)
        self.high: Floats = np.array([body.hi for body in bodies]).reshape(-1, 3)

    def _along(self, ways: Floats) -> Floats:
        """The product of directions (n, 3) and the normals of all planes."""
        a, b, c = self.outs.T
        found: Floats = ways[:, 0, None] * a + ways[:, 1, None] * b + ways[:, 2, None] * c
        return found

    def _over(self, spots: Floats) -> Floats:
        """How far points (n, 3) lie over all planes."""
        return self._along(spots) - self.ats

    def edges_on(self, lines: Sequence[Line]) -> Iterator[list[SlopedEdge]]:
        """For each of a few lines its stretches that are edges."""
        np = self.np
        start: Floats = np.array([line[0] for line in lines]).reshape(-1, 3)
        end: Floats = np.array([line[1] for line in lines]).reshape(-1, 3)
        long = [math.dist(*line) for line in lines]
        ways: Floats = (end - start) / np.array(long)[:, None]
        least, most = np.minimum(start, end)[:, None], np.maximum(start, end)[:, None]
        near: Flags = np.all((self.low <= most + NEAR) & (least <= self.high + NEAR), axis=2)
        rates = self._along(ways)
        stretches = list(self._stretches(start, long, rates, near))
        spots = [_between(*lines[line], (low + high) / 2 / long[line]) for line, low, high in stretches]
        sides = self._sides([line for line, _, _ in stretches], spots, ways, rates, near)
        found: list[list[SlopedEdge]] = [[] for _ in lines]
        for (line, low, high), beside in _joined(stretches, sides):
            if beside:
                a, b = (_whole(_between(*lines[line], at / long[line])) for at in (low, high))
                found[line].append(SlopedEdge(a, b, beside))
        yield from found

    def _stretches(self, start: Floats, long: Sequence[float], rates: Floats, near: Flags) -> Iterator[_Stretch]:
        """The lines, cut where planes of bodies near them do."""
        np = self.np
        length = np.array(long)[:, None]
        crossed = (np.abs(rates) * length > NEAR) & near[:, self.owner]
        stops = np.where(crossed, -self._over(start) / np.where(crossed, rates, 1.0), 0.0)
        which, planes = np.nonzero((stops > 0.0) & (stops < length))
        within: list[set[float]] = [{0.0, one} for one in long]
        for line, at in zip(which.tolist(), stops[which, planes].tolist(), strict=True):
            within[line].add(at)
        for line, ends in enumerate(within):
            for low, high in pairwise(sorted(ends)):
                if high - low > 2 * NEAR:
                    yield _Stretch(line, low, high)

    def _sides(
        self, lines: Sequence[int], spots: Sequence[Vector], ways: Floats, rates: Floats, near: Flags
    ) -> list[tuple[Side, ...]]:
        """For each spot on one of the lines the faces beside the line there; none where it lies inside, outside or in
        the middle of a face."""
        np = self.np
        if not spots:
            return []
        number = np.array(lines)
        over = self._over(np.array(spots))
        here: Flags = (np.maximum.reduceat(over, self.firsts, axis=1) <= NEAR) & near[number]
        through = (np.abs(over) <= NEAR) & (np.abs(rates[number]) < _ALONG) & here[:, self.owner]
        about = [across((x, y, z)) for x, y, z in ways.tolist()]
        turns: list[list[float]] = [[] for _ in spots]
        for at, plane in zip(*(which.tolist() for which in np.nonzero(through)), strict=True):
            (one, two), out = about[lines[at]], self.planes[plane].out
            turn = math.atan2(dot(out, two), dot(out, one)) + math.pi / 2
            turns[at] += [turn % (2 * math.pi), (turn + math.pi) % (2 * math.pi)]
        turns = [_distinct(some) for some in turns]
        wood = iter(self._is_wood(list(_probes(spots, [about[line] for line in lines], turns)), turns, here))
        return [_faces(some, [next(wood) for _ in some], *about[line]) for line, some in zip(lines, turns, strict=True)]

    def _is_wood(self, probes: Sequence[Vector], turns: Sequence[Sequence[float]], here: Flags) -> list[bool]:
        """Whether each point lies in one of the bodies that are there."""
        np = self.np
        if not probes:
            return []
        spot = np.repeat(np.arange(len(turns)), [len(some) for some in turns])
        held = np.maximum.reduceat(self._over(np.array(probes)), self.firsts, axis=1) <= 0
        found: list[bool] = (held & here[spot]).any(axis=1).tolist()
        return found


def _joined(
    stretches: Sequence[_Stretch], sides: Sequence[tuple[Side, ...]]
) -> Iterator[tuple[_Stretch, tuple[Side, ...]]]:
    """Stretches that follow each other with the same faces beside them, as one."""
    run: tuple[_Stretch, tuple[Side, ...]] | None = None
    for one, beside in zip(stretches, sides, strict=True):
        if run is not None:
            before = run[0]
            if before.line == one.line and run[1] == beside and one.low - before.high <= 2 * NEAR:
                run = (before._replace(high=one.high), beside)
                continue
            yield run
        run = (one, beside)
    if run is not None:
        yield run


def _probes(
    spots: Sequence[Vector], about: Sequence[tuple[Vector, Vector]], turns: Sequence[Sequence[float]]
) -> Iterator[Vector]:
    """A point just beside each spot between every two neighbouring planes."""
    for spot, (one, two), some in zip(spots, about, turns, strict=True):
        for number, turn in enumerate(some):
            after = some[number + 1] if number + 1 < len(some) else some[0] + 2 * math.pi
            yield moved(spot, mixed(one, two, (turn + after) / 2), STEP / 2)


def _faces(turns: Sequence[float], wood: Sequence[bool], one: Vector, two: Vector) -> tuple[Side, ...]:
    """The faces beside a line, where wood begins or ends as one turns round it."""
    sides = []
    for number, turn in enumerate(turns):
        if wood[number - 1] != wood[number]:
            # the wood lies before the turn, or after it; the normal looks away from it
            normal = turn + (math.pi / 2 if wood[number - 1] else -math.pi / 2)
            sides.append(Side(even(mixed(one, two, turn)), even(mixed(one, two, normal))))
    if len(sides) == 2 and dot(sides[0].into, sides[1].into) < -1 + 1e-8:
        return ()
    return tuple(sides)


def _distinct(turns: Iterable[float]) -> list[float]:
    found: list[float] = []
    for turn in sorted(turns):
        if not found or turn - found[-1] > 1e-4:
            found.append(turn)
    if len(found) > 1 and found[0] + 2 * math.pi - found[-1] <= 1e-4:
        found.pop()
    return found


def _between(one: Vector, two: Vector, part: float) -> Vector:
    (x, y, z), (u, v, w) = one, two
    return (x + (u - x) * part, y + (v - y) * part, z + (w - z) * part)


def _whole(spot: Vector) -> Corner:
    return (round(spot[0]), round(spot[1]), round(spot[2]))
