"""In what order things go together, each in one straight line onto what stands, never through wood.

Taken apart in reverse: of all that is together a part is drawn off along one of the six directions of the build, then
both halves go on being taken apart. A part that was free to go stays free when others have gone, so that no choice is
ever regretted: where no part of a group can be drawn off, the group has no straight order at all. Which of several free
parts goes first is the maker's habit: what stays dry, then what closes most joints at once, so that read forwards all
joints are made on the first end, the inner pieces follow, and the far end closes over all of them.

The joints' own ways are among the six: pieces stand square to the build, so that a tongue runs along its groove, a tail
through its socket and a piece into its housing along one of them. A mitre lets go half of all directions; what lies
between two of them may slide along both alone. So where no part can be drawn off along the build, single things and
parts are tried on a slant, and round one corner.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from shopdocs.work.order.blocking import WAYS as WAYS
from shopdocs.work.order.blocking import Masks, bits, masks_of
from shopdocs.work.order.blocking import Way as Way
from shopdocs.work.order.round_corner import Corners
from shopdocs.work.order.slanted_ways import Slants
from shopdocs.work.shapes.solid import Solid


class Link(Struct, frozen=True):
    """A joint `number` between the things `one` and `two`. `bars` are axes along which neither moves past the other
    whatever their cuboids say: across dowels, and along the tails of dovetails. `stops` are the ways in which `one`
    alone cannot be drawn off: the slope of a mitre stands there; `frees` those in which it can, on its own slant,
    though wood stands there. `along` is the axis one would push them together by, where there is a choice. `dry`
    joints take no glue."""

    number: int
    one: int
    two: int
    dry: bool = False
    bars: tuple[int, ...] = ()
    along: int | None = None
    stops: tuple[Way, ...] = ()
    frees: tuple[Way, ...] = ()


class Move(Struct, frozen=True):
    """Things that go together along `toward`, `onto` others that stand; `numbers` are the joints that close. A move
    onto nothing lays down what the next moves go onto. `first` is the way they are brought in by where that is another
    one: they turn off it `short` ticks before their place. On a slant they go `also` another way, as far as `toward`.
    """

    what: tuple[int, ...]
    onto: tuple[int, ...] = ()
    toward: Way = (0, True)
    numbers: tuple[int, ...] = ()
    dry: bool = False
    first: Way | None = None
    short: int = 0
    also: Way | None = None


class Straight(Struct, frozen=True):
    """All moves in order, a chain for each group of things that hangs together; or the things that hold each other so
    that none can be drawn off: with any one of them away the others come apart."""

    chains: tuple[tuple[Move, ...], ...] = ()
    locked: tuple[int, ...] = ()


def straight_order(
    things: Sequence[Sequence[Solid]], links: Sequence[Link], masks: Masks | None = None, most: int | None = None
) -> Straight:
    """The moves that put `things` together, each of one or several solids that hold together already. Things that no
    chain of links ties are put together apart from each other. `masks`: what stands in whose way, where that is known;
    what the links bar is added. A move that closes more than `most` joints with glue is made only where none closes
    fewer: what can go in by itself, before or after, does."""
    search = _Search(things, links, masks, most)
    chains: list[tuple[Move, ...]] = []
    for clump in search.clumps((1 << len(things)) - 1):
        found = search.order(clump)
        if isinstance(found, int):
            return Straight(locked=tuple(bits(search.core(found))))
        chains.append(tuple(found))
    return Straight(tuple(chains))


_Part = tuple[int, Way]  # what is drawn off, and which way
_Odd = tuple[int, int, int, Way, Way, bool]  # so many things, ticks to a turn, less the things, both ways, if it turns


class _Search:
    """Sets of things are whole numbers with a bit for each thing."""

    def __init__(
        self, things: Sequence[Sequence[Solid]], links: Sequence[Link], masks: Masks | None, most: int | None
    ) -> None:
        self.things, self.most = things, most
        known = masks_of(things) if masks is None else masks
        self.blocked = {way: list(known[way]) for way in WAYS}
        self.barred: list[set[tuple[int, Way]]] = [set() for _ in things]
        self.held: list[set[tuple[int, int]]] = [set() for _ in things]
        self.free: list[list[Way]] = [[] for _ in things]
        self.shut, self.seen = [list(WAYS) for _ in things], [0] * len(things)
        self.corners, self.slants = Corners(things, self.barred), Slants(things, self.held)
        self.links_of: list[list[Link]] = [[] for _ in things]
        self.tied = [0] * len(things)
        wet = {thing for link in links if not link.dry for thing in (link.one, link.two)}
        self.loose = sum(1 << i for i in range(len(things)) if i not in wet)
        for link in links:
            self.tied[link.one] |= 1 << link.two
            self.tied[link.two] |= 1 << link.one
            self.links_of[link.one].append(link)
            self.links_of[link.two].append(link)
            for axis in link.bars:
                for high in (False, True):
                    self._bar(link, (axis, high))
            for way in link.stops:
                self._bar(link, way)
            for axis, high in link.frees:
                self.blocked[axis, high][link.one] &= ~(1 << link.two)
                self.blocked[axis, not high][link.two] &= ~(1 << link.one)
            shut = {axis for axis, high in link.stops if (axis, not high) in link.stops}.union(link.bars)
            self.held[link.one] |= {(link.two, axis) for axis in shut}
            self.held[link.two] |= {(link.one, axis) for axis in shut}

    def _bar(self, link: Link, way: Way) -> None:
        axis, high = way
        for thing, other, off in ((link.one, link.two, way), (link.two, link.one, (axis, not high))):
            self.blocked[off][thing] |= 1 << other
            self.barred[thing].add((other, off))

    def clumps(self, group: int) -> Iterator[int]:
        """Parts of the group that links tie together."""
        while group:
            clump = self._reach(group & -group, group, self.tied)
            yield clump
            group &= ~clump

    def order(self, group: int) -> list[Move] | int:
        """The moves that make the group; where there are none, the part of it that stays locked."""
        backward: list[Move] = []
        left = list(self.clumps(group))
        while left:  # the last move first; no recursion, which hundreds of things would make too deep
            clump = left.pop()
            if not clump & (clump - 1):
                backward.append(Move(tuple(bits(clump))))
                continue
            found = self._drawn_off(clump)
            if found is None:
                return clump
            part, move = found
            backward.append(move)
            whole = self._holds(part, clump)
            for some in (clump & ~part, part if part & (part - 1) else 0):
                left += [some] if whole and some else self.clumps(some)
        return backward[::-1]

    def core(self, group: int) -> int:
        """The fewest of a locked group that are locked without the others: with any one away, the rest comes apart.

        Halves are left out at a time (the search for a minimal conflict by U. Junker, QuickXplain, 2004), which needs
        few trials where few things hold each other: a group that comes apart does so without some of its things, too.
        """

        def least(kept: int, fresh: bool, among: list[int]) -> int:
            if fresh and not self.comes_apart(kept):
                return 0
            if len(among) == 1:
                return 1 << among[0]
            half = len(among) // 2
            one = sum(1 << i for i in among[:half])
            second = least(kept | one, True, among[half:])
            return least(kept | second, bool(second), among[:half]) | second

        return least(0, False, list(bits(group)))

    def comes_apart(self, group: int) -> bool:
        """Whether all things of a group can be drawn off each other, whatever ties them."""
        left = [group]
        while left:
            some = self._without_loose(left.pop())
            if some & (some - 1):
                part = next((part for part, _ in self._parts(some)), 0) or next((-odd[2] for odd in self._odd(some)), 0)
                if not part:
                    return False
                left += [part, some & ~part]
        return True

    def _without_loose(self, group: int) -> int:
        """What is left of a group when every single thing that can be drawn off has been, and has made others loose."""
        before = 0
        while before != group:
            before = group
            for i in bits(group):
                if any(not masks[i] & group for masks in self.blocked.values()):
                    group &= ~(1 << i)
        return group

    def _drawn_off(self, group: int) -> tuple[int, Move] | None:
        """What to draw off next, and the move that puts it there again."""
        best = self._best(group)
        if best is not None:
            return best[0], self._move(best[0], group & ~best[0], best[1])
        found = min(self._odd(group), key=lambda each: (not self._holds(-each[2], group), *each), default=None)
        if found is None:
            return None
        _, short, part, (axis, away), other, turns = found
        part = -part
        if turns:
            return part, self._move(part, group & ~part, (axis, away), (other[0], not other[1]), short)
        return part, self._move(part, group & ~part, (axis, away), also=(other[0], not other[1]))

    def _odd(self, group: int) -> Iterator[_Odd]:
        """Parts of a group that leave it on a slant or round a corner, with what tells the better of them: the fewest
        things, straight before turned, the shortest way."""
        for part, (one, two) in self.slants.parts(group):
            yield part.bit_count(), 0, -part, one, two, False
        for part, way, short, then in self.corners.parts(group):
            yield part.bit_count(), short, -part, way, then, True

    def _move(
        self, part: int, rest: int, way: Way, first: Way | None = None, short: int = 0, also: Way | None = None
    ) -> Move:
        closing = list(self._between(part, rest))
        onto = {link.two if part >> link.one & 1 else link.one for link in closing}
        axis, away = way
        numbers = tuple(sorted(link.number for link in closing))
        dry = all(link.dry for link in closing)
        return Move(tuple(bits(part)), tuple(sorted(onto)), (axis, not away), numbers, dry, first, short, also)

    def _best(self, group: int) -> _Part | None:
        """What to draw off next, and which way. Single things before groups, for one pair of hands."""
        singles = [(1 << i, way) for i in bits(group) for way in self._free(i, group)]
        best = self._ranked(group, singles)
        if group & self.loose and not (best is not None and self._dry(best[0], group)):
            waits = self._ranked(group, set(self._loose_parts(group)))
            if waits is not None:
                return waits
        if best is not None and not self._crowded(best[0], group):
            return best
        parts = self._parts(group)
        if best is not None:
            return self._ranked(group, [*singles, *parts])
        return self._ranked(group, parts) or next(iter(self._sorted(group, parts)), None)

    def _loose_parts(self, group: int) -> Iterator[_Part]:
        """Several things without glue that can be drawn off as one: they wait for the glue of the rest to set."""
        for way in WAYS:
            blocked = self.blocked[way]
            for i in bits(group & self.loose):
                if not blocked[i] & group or blocked[i] & group & ~self.loose:
                    continue  # it goes alone, or something glued stands in its way
                part, fresh = 1 << i, [i]
                while fresh and not part & ~self.loose:
                    ahead = blocked[fresh.pop()] & group & ~part
                    part |= ahead
                    fresh += bits(ahead)
                if part != group and not part & ~self.loose:
                    yield part, way

    def _dry(self, part: int, group: int) -> bool:
        return all(link.dry for link in self._between(part, group & ~part))

    def _free(self, thing: int, group: int) -> list[Way]:
        """The ways on which a thing can be drawn off a group. Groups grow smaller: a way once free stays so, and one
        that is shut is looked at again only when the thing that was seen to stand in it has gone."""
        free, shut = self.free[thing], self.shut[thing]
        if shut and (not self.seen[thing] or self.seen[thing] & ~group):
            still, seen = [], 0
            for way in shut:
                stands = self.blocked[way][thing] & group
                if stands:
                    still.append(way)
                    seen |= stands & -stands
                else:
                    free.append(way)
            self.shut[thing], self.seen[thing] = still, seen
        return free

    def _parts(self, group: int) -> list[_Part]:
        """Parts of a group that can be drawn off: with each thing all that stands in its way, and in theirs."""
        closed = {(self._reach(1 << i, group, self.blocked[way]), way) for way in WAYS for i in bits(group)}
        return sorted(part for part in closed if part[0] != group)

    def _ranked(self, group: int, parts: Iterable[_Part]) -> _Part | None:
        """The best of these parts that leaves all that stands in one, and is in one itself."""
        return next((part for part in self._sorted(group, parts) if self._holds(part[0], group)), None)

    def _sorted(self, group: int, parts: Iterable[_Part]) -> list[_Part]:
        return sorted(parts, key=lambda found: self._worth(found[0], found[1], group), reverse=True)

    def _holds(self, part: int, group: int) -> bool:
        """Whether what moves hangs together, and what stands, too."""
        rest = group & ~part
        if part & (part - 1):
            return all(self._reach(some & -some, some, self.tied) == some for some in (part, rest))
        near = self.tied[part.bit_length() - 1] & rest  # what stands hangs together still where these do
        return not near & (near - 1) or not near & ~self._reach(near & -near, rest, self.tied, near)

    def _crowded(self, part: int, group: int) -> bool:
        """Whether too many joints close at once."""
        return self.most is not None and sum(not link.dry for link in self._between(part, group & ~part)) > self.most

    def _worth(self, part: int, way: Way, group: int) -> tuple[int, int, bool, int, int, int, int, Way]:
        """No more joints at once than can be, small first, then what stays dry, what slides the least far through wet
        glue, what closes most joints, the later one, the way one would push: from the right, from the front, from
        above."""
        closing = list(self._between(part, group & ~part))
        usual = sum(link.along == way[0] for link in closing)
        wiped = sum(link.along not in (None, way[0], *link.bars) for link in closing if not link.dry)
        axis, high = way
        dry = all(link.dry for link in closing)
        over = 0 if self.most is None else max(0, sum(not link.dry for link in closing) - self.most)
        return -over, -part.bit_count(), dry, -wiped, len(closing), part & -part, usual, (-axis, high != (axis == 1))

    def _between(self, part: int, rest: int) -> Iterator[Link]:
        for thing in bits(part):
            for link in self.links_of[thing]:
                if rest >> (link.two if link.one == thing else link.one) & 1:
                    yield link

    @staticmethod
    def _reach(start: int, group: int, onward: Sequence[int], until: int = -1) -> int:
        """All things of the group that a chain leads to from `start`; no farther than until it has reached all of
        `until`."""
        found, fresh = start, [start.bit_length() - 1]
        while fresh and until & ~found:
            ahead = onward[fresh.pop()] & group & ~found
            found |= ahead
            while ahead:
                low = ahead & -ahead
                fresh.append(low.bit_length() - 1)
                ahead ^= low
        return found
