"""From single pieces to the whole: which go together first.

The trade glues up flat: all that closes along one direction of the build is put together before the next direction is
begun, so that the clamps of a stage pull one way and it can be laid on the bench and checked for square (common
practice, no source). The directions are tried in every order, and together. What cannot be put together that way for a
part that would be shut out, or that would have no straight order later, is left apart until the next direction.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from msgspec import Struct

from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.kinds.kind import Barred
from shopdocs.work.order.blocking import Obstacles
from shopdocs.work.order.closing import JoinedPair, Order, Outcome, Things, order_of
from shopdocs.work.order.splitting import Draft, Limit, TooMuch, cut, glued_joints, joints_among
from shopdocs.work.scene.in_space import Space
from shopdocs.work.space.placed import side_of

# What it costs, in stages, when the clamps of one pull along more than one direction: common practice, no source.
ANOTHER_WAY = 3
# More joints than that are hard to start at once with one pair of hands, and so many more are worth another stage.
AT_ONCE, MORE_AT_ONCE = 8, 4  # common practice, no source
MOST_TRIES = 6  # of taking up again what shut something out

Level = frozenset[int]
_ORDERS: tuple[tuple[Level, ...], ...] = tuple(
    tuple(frozenset(level) for level in levels)
    for levels in (
        ((0, 1, 2),),
        ((1,), (0, 2)), ((1, 2), (0,)), ((1,), (2,), (0,)), ((2,), (1,), (0,)),
        ((0,), (1, 2)), ((0, 2), (1,)), ((0,), (2,), (1,)), ((2,), (0,), (1,)),
        ((2,), (0, 1)), ((0, 1), (2,)), ((0,), (1,), (2,)), ((1,), (0,), (2,)),
    )
)  # fmt: skip


class Locked(Struct, frozen=True):
    """Pieces that hold each other so that there is no straight order."""

    names: tuple[str, ...]


Plan = list[Draft]


def best_plan(
    pieces: Sequence[str], joints: Sequence[JoinedPair], space: Space, obstacles: Obstacles, limit: Limit
) -> Plan | Locked | TooMuch:
    """The stages that make one thing of these pieces, few of them and each with clamps that pull one way where that is
    to be had; or why there are none."""
    joints = joints_among(joints, pieces)
    axes = {meeting.number: closing_axis(joint, meeting.number, space, meeting.entering) for joint, meeting in joints}
    there = frozenset(axes.values())
    found: list[tuple[Fraction, int, Plan]] = []
    worst: Locked | TooMuch | None = None
    known: dict[object, Order] = {}
    for levels in _orders(there):
        plan = _Levels(pieces, joints, axes, space, obstacles, limit, known).plan(levels)
        if isinstance(plan, list):
            found.append((_cost(plan, limit), len(plan), plan))
        elif worst is None or isinstance(plan, TooMuch):
            worst = plan
        if isinstance(plan, Locked) and len(levels) == 1:
            return plan  # not even piece by piece
    if not found:
        assert worst is not None
        return worst
    return min(found, key=lambda each: each[:2])[2]


def _orders(there: frozenset[int]) -> Iterator[tuple[Level, ...]]:
    """Every order of the directions in which joints close, each once; all of them at once first."""
    told = set()
    for levels in _ORDERS:
        some = tuple(level & there for level in levels if level & there)
        if some and some not in told:
            told.add(some)
            yield some


def _cost(plan: Plan, limit: Limit) -> Fraction:
    """How many stages there are, those counted more often whose clamps pull more than one way or in which many joints
    close at once; then, how long the longest is."""
    ways = sum(len(draft.axes) - 1 for draft in plan if draft.axes)
    once = sum(max(0, glued_joints([closing]) - AT_ONCE) for draft in plan for closing in draft.closings)
    longest = max(limit.minutes(draft.joints) for draft in plan)
    return len(plan) + ANOTHER_WAY * ways + Fraction(once, MORE_AT_ONCE) + longest / 10_000


def closing_axis(joint: object, number: int, space: Space, entering: str) -> int:
    """The axis of the build along which a joint is pulled tight."""
    made = space.joinery.get(number)
    kind = made.kind if made is not None else None
    piece = space.pieces[entering]
    if made is None or kind is None or made.enters is None:
        return piece.pose.build_axis(0)
    axis = side_of(made.enters)[0]
    if KINDS[kind].barred is Barred.ALONG:  # tails go in sideways, through the thickness of their piece
        axis = 2
    elif KINDS[kind].barred is Barred.SLID and axis != 2:  # neither out of their piece nor through its thickness
        axis = 1 - axis
    return piece.pose.build_axis(axis)


class _Levels:
    """One order of the directions, gone through."""

    def __init__(
        self,
        pieces: Sequence[str],
        joints: Sequence[JoinedPair],
        axes: Mapping[int, int],
        space: Space,
        obstacles: Obstacles,
        limit: Limit,
        known: dict[object, Order],
    ) -> None:
        self.known = known
        self.joints_of: dict[str, list[JoinedPair]] = {}
        for pair in joints:
            for mark in (pair[1].entering, pair[1].receiving):
                self.joints_of.setdefault(mark, []).append(pair)
        self.pieces, self.joints, self.axes = pieces, joints, axes
        self.space, self.obstacles, self.limit = space, obstacles, limit

    def plan(self, levels: Sequence[Level]) -> Plan | Locked | TooMuch:
        """The stages; where the whole is locked because a part of it was glued too early, that part is left apart."""
        apart: set[frozenset[str]] = set()
        while True:
            found = self._once(levels, apart)
            if not isinstance(found, _Shut):
                return found
            early = {marks for marks in found.glued if marks not in apart}
            if not early or len(apart) >= MOST_TRIES:
                return Locked(found.names)
            apart |= early

    def _once(self, levels: Sequence[Level], apart: set[frozenset[str]]) -> Plan | TooMuch | _Shut:
        things: dict[str, tuple[str, ...]] = {mark: (mark,) for mark in self.pieces}
        made: dict[str, int] = {}
        drafts: Plan = []
        closed: set[int] = set()
        done: Level = frozenset()
        for level in levels:
            done |= level
            last = level is levels[-1]
            for clump in self._clumps(things, done, whole=last):
                if frozenset(mark for name in clump for mark in things[name]) in apart and not last:
                    continue
                fault = self._together(clump, things, made, drafts, closed)
                if isinstance(fault, _Shut) and not last:
                    continue  # left apart until the next direction
                if fault is not None:
                    return fault
        return drafts

    def _together(
        self,
        clump: Sequence[str],
        things: dict[str, tuple[str, ...]],
        made: dict[str, int],
        drafts: Plan,
        closed: set[int],
    ) -> TooMuch | _Shut | None:
        """Puts things together that hang together, as one stage or several; what keeps them from it. `closed` are the
        numbers of the joints that drafts have made."""
        some: Things = {name: things[name] for name in clump}
        among = {mark for name in clump for mark in things[name]}
        there = {pair[1].number: pair for mark in among for pair in self.joints_of.get(mark, ())}
        joints = [
            pair
            for number, pair in sorted(there.items())
            if number not in closed and {pair[1].entering, pair[1].receiving} <= among
        ]
        order = self._order(some, joints)
        if order.outcome is not Outcome.FOUND:
            glued = tuple(frozenset(things[name]) for name in order.locked if name in made)
            return _Shut(tuple(order.locked), glued)
        new = cut(order, some, {name: made[name] for name in clump if name in made}, len(drafts), self.limit)
        if isinstance(new, TooMuch):
            return new
        drafts += new
        closed |= {meeting.number for draft in new for c in draft.closings for _, meeting in c.joints}
        marks = tuple(mark for each in clump for mark in things.pop(each))
        name = f"\0{marks[0]}"  # no mark of a piece, and the same whenever these are together
        things[name] = marks
        made[name] = len(drafts) - 1
        return None

    def _order(self, things: Things, joints: Sequence[JoinedPair]) -> Order:
        """Worked out once for all orders of the directions that come to the same things."""
        key = frozenset((name, frozenset(marks)) for name, marks in things.items())
        if key not in self.known:
            self.known[key] = order_of(things, joints, self.space, self.obstacles, self.limit.most)
        return self.known[key]

    def _clumps(self, things: Things, level: Level, whole: bool) -> list[list[str]]:
        """Things that joints of these directions tie together, two or more each, the small ones first."""
        thing_of = {mark: name for name, marks in things.items() for mark in marks}
        group = {name: [name] for name in things}
        for _, meeting in self.joints:
            one, two = thing_of[meeting.entering], thing_of[meeting.receiving]
            if (whole or self.axes[meeting.number] in level) and group[one] is not group[two]:
                joined = group[one] + group[two]
                for name in joined:
                    group[name] = joined
        place = {name: i for i, name in enumerate(things)}
        tied = {mark for _, meeting in self.joints for mark in (meeting.entering, meeting.receiving)}
        for name in things if whole else ():  # what no joint ties would be shut in by the rest, and goes in with it
            if not tied.intersection(things[name]):
                most = max(group.values(), key=len)
                joined = [*most, name]
                for each in joined:
                    group[each] = joined
        clumps = {id(names): sorted(names, key=place.__getitem__) for names in group.values() if len(names) > 1}
        return sorted(clumps.values(), key=lambda names: (sum(len(things[name]) for name in names), place[names[0]]))


class _Shut(Struct, frozen=True):
    """Things that hold each other; `glued` are those among them that were put together before."""

    names: tuple[str, ...]
    glued: tuple[frozenset[str], ...]
