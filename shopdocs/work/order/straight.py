"""In what order things go together, each in one straight line onto what stands, never through wood.

Taken apart in reverse: of all that is together a part is drawn off along one of the six directions of the build, then
both halves go on being taken apart. A part that was free to go stays free when others have gone, so that no choice is
ever regretted: where no part of a group can be drawn off, the group has no straight order at all. Which of several free
parts goes first is the maker's habit: what stays dry, then what closes most joints at once, so that read forwards all
joints are made on the first end, the inner pieces follow, and the far end closes over all of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from shopdocs.core.box import AXES, Box
from shopdocs.work.shapes.solid import Solid

Way = tuple[int, bool]  # a direction of the build: axis, and whether to its high side
WAYS: tuple[Way, ...] = tuple((axis, high) for axis in AXES for high in (False, True))


@dataclass(frozen=True, slots=True)
class Link:
    """A joint `number` between the things `one` and `two`. `bars` are axes along which neither moves past the other
    whatever their cuboids say: across dowels, and along the tails of dovetails. `stops` are the ways in which `one`
    alone cannot be drawn off: the slope of a mitre stands there. `along` is the axis one would push them together by,
    where there is a choice. `dry` joints take no glue."""

    number: int
    one: int
    two: int
    dry: bool = False
    bars: tuple[int, ...] = ()
    along: int | None = None
    stops: tuple[Way, ...] = ()


@dataclass(frozen=True, slots=True)
class Move:
    """Things that go together along `toward`, `onto` others that stand; `numbers` are the joints that close. A move
    onto nothing lays down what the next moves go onto."""

    what: tuple[int, ...]
    onto: tuple[int, ...] = ()
    toward: Way = (0, True)
    numbers: tuple[int, ...] = ()
    dry: bool = False


@dataclass(frozen=True, slots=True)
class Straight:
    """All moves in order, a chain for each group of things that hangs together; or the things that hold each other so
    that none can be drawn off."""

    chains: tuple[tuple[Move, ...], ...] = ()
    locked: tuple[int, ...] = ()


def straight_order(things: Sequence[Sequence[Solid]], links: Sequence[Link]) -> Straight:
    """The moves that put `things` together, each of one or several solids that hold together already. Things that no
    chain of links ties are put together apart from each other."""
    search = _Search(_blocked(things, links), links, len(things))
    chains: list[tuple[Move, ...]] = []
    for clump in search.clumps((1 << len(things)) - 1):
        found = search.order(clump)
        if isinstance(found, int):
            return Straight(locked=tuple(_bits(found)))
        chains.append(tuple(found))
    return Straight(tuple(chains))


class _Search:
    """Sets of things are whole numbers with a bit for each thing."""

    def __init__(self, blocked: Mapping[Way, Sequence[int]], links: Sequence[Link], count: int) -> None:
        self.blocked = blocked
        self.links_of: list[list[Link]] = [[] for _ in range(count)]
        self.tied = [0] * count
        for link in links:
            self.tied[link.one] |= 1 << link.two
            self.tied[link.two] |= 1 << link.one
            self.links_of[link.one].append(link)
            self.links_of[link.two].append(link)

    def clumps(self, group: int) -> Iterator[int]:
        """Parts of the group that links tie together."""
        while group:
            clump = self._reach(group & -group, group, self.tied)
            yield clump
            group &= ~clump

    def order(self, group: int) -> list[Move] | int:
        """The moves that make the group; where there are none, the part of it that stays locked."""
        moves: list[Move] = []
        for clump in self.clumps(group):
            if clump & (clump - 1):
                made = self._together(clump)
                if isinstance(made, int):
                    return made
                moves += made
            else:
                moves.append(Move(tuple(_bits(clump))))
        return moves

    def _together(self, group: int) -> list[Move] | int:
        best = self._best(group)
        if best is None:
            return group
        part, way = best
        moves = self.order(group & ~part)
        inner = self.order(part) if part & (part - 1) else []
        if isinstance(moves, int):
            return moves
        return inner if isinstance(inner, int) else [*moves, *inner, self._move(part, group & ~part, way)]

    def _move(self, part: int, rest: int, way: Way) -> Move:
        closing = list(self._between(part, rest))
        onto = {link.two if part >> link.one & 1 else link.one for link in closing}
        axis, away = way
        numbers = tuple(sorted(link.number for link in closing))
        return Move(
            tuple(_bits(part)), tuple(sorted(onto)), (axis, not away), numbers, all(link.dry for link in closing)
        )

    def _best(self, group: int) -> tuple[int, Way] | None:
        """What to draw off next, and which way. Single things before groups, for one pair of hands."""
        singles = [(1 << i, way) for i in _bits(group) for way in WAYS if not self.blocked[way][i] & group]
        best = self._ranked(group, singles)
        if best is not None:
            return best
        closed = {(self._reach(1 << i, group, self.blocked[way]), way) for way in WAYS for i in _bits(group)}
        parts = [part for part in closed if part[0] != group]
        return self._ranked(group, parts) or next(iter(self._sorted(group, parts)), None)

    def _ranked(self, group: int, parts: Iterable[tuple[int, Way]]) -> tuple[int, Way] | None:
        """The best of these parts that leaves all that stands in one, and is in one itself."""
        return next((part for part in self._sorted(group, parts) if self._holds(part[0], group)), None)

    def _sorted(self, group: int, parts: Iterable[tuple[int, Way]]) -> list[tuple[int, Way]]:
        return sorted(parts, key=lambda found: self._worth(found[0], found[1], group), reverse=True)

    def _holds(self, part: int, group: int) -> bool:
        """Whether what moves hangs together, and what stands, too."""
        return all(self._reach(some & -some, some, self.tied) == some for some in (part, group & ~part))

    def _worth(self, part: int, way: Way, group: int) -> tuple[int, bool, int, int, int, Way]:
        """Small first, then what stays dry, what closes most joints, the later one, the way one would push: from the
        right, from the front, from above."""
        closing = list(self._between(part, group & ~part))
        usual = sum(link.along == way[0] for link in closing)
        axis, high = way
        dry = all(link.dry for link in closing)
        return -part.bit_count(), dry, len(closing), part & -part, usual, (-axis, high != (axis == 1))

    def _between(self, part: int, rest: int) -> Iterator[Link]:
        for thing in _bits(part):
            for link in self.links_of[thing]:
                if rest >> (link.two if link.one == thing else link.one) & 1:
                    yield link

    @staticmethod
    def _reach(start: int, group: int, onward: Sequence[int]) -> int:
        """All things of the group that a chain leads to from `start`."""
        found = fresh = start
        while fresh:
            ahead = 0
            for thing in _bits(fresh):
                ahead |= onward[thing]
            fresh = ahead & group & ~found
            found |= fresh
        return found


def _bits(group: int) -> Iterator[int]:
    while group:
        low = group & -group
        yield low.bit_length() - 1
        group &= ~low


def _blocked(things: Sequence[Sequence[Solid]], links: Iterable[Link]) -> dict[Way, list[int]]:
    """For each way, what stands in the way of each thing, however far it goes."""
    blocked = {way: [0] * len(things) for way in WAYS}
    bounds = [[solid.bounds for solid in thing] for thing in things]
    for i, thing in enumerate(things):
        for j in range(i):
            met = [
                (mine, other)
                for mine, near in zip(thing, bounds[i], strict=True)
                for other, far in zip(things[j], bounds[j], strict=True)
                if _shadows(near, far)
            ]
            for axis, high in _in_the_way(met):
                blocked[axis, high][i] |= 1 << j
                blocked[axis, not high][j] |= 1 << i
    for link in links:
        for axis in link.bars:
            for high in (False, True):
                blocked[axis, high][link.one] |= 1 << link.two
                blocked[axis, high][link.two] |= 1 << link.one
        for axis, high in link.stops:
            blocked[axis, high][link.one] |= 1 << link.two
            blocked[axis, not high][link.two] |= 1 << link.one
    return blocked


def _shadows(one: Box, two: Box) -> bool:
    """Whether the shadows of two boxes meet along two axes at least, so that one can run into the other."""
    return sum(one.lo[k] < two.hi[k] and two.lo[k] < one.hi[k] for k in AXES) >= 2


def _in_the_way(pairs: Iterable[tuple[Solid, Solid]]) -> set[Way]:
    """The ways in which some cell of a first solid runs into one of its second."""
    ways: set[Way] = set()
    for mine, other in pairs:
        for a in mine.cells:
            (ax, ay, az), (bx, by, bz) = a.lo, a.hi
            for c in other.cells:
                (cx, cy, cz), (dx, dy, dz) = c.lo, c.hi
                x, y, z = ax < dx and cx < bx, ay < dy and cy < by, az < dz and cz < bz
                if y and z and not x:
                    ways.add((0, cx >= bx))
                elif x and z and not y:
                    ways.add((1, cy >= by))
                elif x and y and not z:
                    ways.add((2, cz >= bz))
        if len(ways) == len(WAYS):
            break
    return ways
