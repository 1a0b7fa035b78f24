"""One order of assembly as few stages, each short enough for the glue: cut where a stage would run out of its time.

Followed forward, every move puts something onto what stands. What goes together in one stage grows until the next move
would be one too many; then what it brings together is left to set, and that move begins a new stage.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from functools import cached_property
from math import ceil

from msgspec import Struct, field

from shopdocs.facts.working_time import WorkingTime
from shopdocs.model.build import Pace
from shopdocs.work.order.closing import Closing, JoinedPair, Order, Things
from shopdocs.work.order.stages import TIGHT_SHARE, StageWork

FEWEST_CLAMPS = 2
CLAMPS_A_JOINT = Fraction(1, 2)  # one along a rail closes the joints at both its ends (common practice, no source)


MOST_AT_ONCE = 1000  # joints; nobody's pace is so fast


class Limit(Struct, frozen=True, dict=True):
    """What a stage may take: the maker's pace, the time of the glue where it is known, and how many clamps a joint is
    reckoned with before the clamps of a stage can be counted."""

    pace: Pace
    open: WorkingTime | None
    clamps: Fraction = CLAMPS_A_JOINT

    def minutes(self, joints: int) -> Fraction:
        """Minutes until the clamps are tight on so many glued joints, with as many clamps as they usually take."""
        return Fraction(ceil(joints * self.pace.joint + self.clamping(joints)))

    def clamping(self, joints: int) -> Fraction:
        """The part of them after the pieces are together."""
        clamps = max(FEWEST_CLAMPS, ceil(joints * self.clamps)) if joints else 0
        return clamps * self.pace.clamp + self.pace.square

    @cached_property
    def most(self) -> int | None:
        """How many joints at once it holds; None where the glue sets no limit."""
        if self.open is None:
            return None
        joints = 0
        while joints < MOST_AT_ONCE and self._in_time(joints + 1):
            joints += 1
        return joints

    def holds(self, joints: int) -> bool:
        """Whether the glue of so many joints stays open long enough, with a margin."""
        return self.most is None or joints <= self.most

    def _in_time(self, joints: int) -> bool:
        minutes = self.minutes(joints)
        return self._enough(minutes, max(minutes - self.clamping(joints), minutes / 2))

    def allows(self, work: StageWork) -> bool:
        """The same for a stage that has been reckoned with its clamps."""
        return self._enough(work.minutes, work.together)

    def _enough(self, minutes: Fraction, together: Fraction) -> bool:
        if self.open is None:
            return True
        return minutes <= self.open.low * TIGHT_SHARE and together <= self.open.together


class Draft(Struct, frozen=True):
    """A stage to be: the numbers of the drafts that it takes up, the pieces that it names, the moves that close it, and
    all pieces that are one thing afterwards."""

    uses: tuple[int, ...]
    pieces: tuple[str, ...]
    closings: tuple[Closing, ...]
    marks: tuple[str, ...]

    @property
    def joints(self) -> int:
        """How many joints take glue in it."""
        return glued_joints(self.closings)

    @property
    def axes(self) -> frozenset[int]:
        """The axes of the build along which its clamps pull."""
        glued = [c for c in self.closings if any(joint.glued for joint, _ in c.joints)]
        return frozenset(way[0] for c in glued for way in (c.toward, c.also) if way is not None)


class TooMuch(Struct, frozen=True):
    """A move that no stage holds: all its joints close at once."""

    closing: Closing
    joints: int


def glued_joints(closings: Iterable[Closing]) -> int:
    """How many joints that take glue these moves close."""
    return sum(joint.glued for closing in closings for joint, _ in closing.joints)


class _Growing(Struct, dict=True):
    """What is together so far: the things it is made of, and the moves since it last stood in clamps."""

    things: list[str]
    moves: list[Closing] = field(default_factory=list)


def cut(order: Order, things: Things, made: Mapping[str, int], first: int, limit: Limit) -> list[Draft] | TooMuch:
    """The stages that a found order takes, numbered from `first`; `made` are the numbers of the drafts that things come
    from that are no single piece."""
    splitting = _Splitting(things, made, first, limit)
    for closing in (*order.closings, *order.later):
        fault = splitting.go_on(closing)
        if fault is not None:
            return fault
    return splitting.finished()


class _Splitting:
    def __init__(self, things: Things, made: Mapping[str, int], first: int, limit: Limit) -> None:
        self.things, self.made, self.first, self.limit = things, dict(made), first, limit
        self.drafts: list[Draft] = []
        self.grown: dict[str, _Growing] = {}

    def go_on(self, closing: Closing) -> TooMuch | None:
        """One more move; what no stage holds is told."""
        for name in closing.what:
            self.grown.setdefault(name, _Growing([name]))
        if not closing.onto:
            return None
        parts = list(
            {id(grown): grown for name in (*closing.what, *closing.onto) for grown in [self._of(name)]}.values()
        )
        joints = glued_joints([closing])
        if not self.limit.holds(joints):
            return TooMuch(closing, joints)
        while not self.limit.holds(joints + sum(glued_joints(part.moves) for part in parts)):
            self._set(max((part for part in parts if part.moves), key=lambda part: glued_joints(part.moves)))
        whole = _Growing(
            [name for part in parts for name in part.things], [*(m for part in parts for m in part.moves), closing]
        )
        for name in whole.things:
            self.grown[name] = whole
        return None

    def _of(self, name: str) -> _Growing:
        return self.grown.setdefault(name, _Growing([name]))

    def _set(self, part: _Growing) -> None:
        """What is together is left in its clamps: a stage of its own."""
        uses = sorted({self.made[name] for name in part.things if name in self.made})
        pieces = tuple(mark for name in part.things if name not in self.made for mark in self.things[name])
        marks = tuple(mark for name in part.things for mark in self.things[name])
        self.drafts.append(Draft(tuple(uses), pieces, tuple(part.moves), marks))
        number = self.first + len(self.drafts) - 1
        part.moves = []
        self.made.update(dict.fromkeys(part.things, number))

    def finished(self) -> list[Draft]:
        """All stages; the last holds what was put together since."""
        for part in {id(grown): grown for grown in self.grown.values()}.values():
            if part.moves:
                self._set(part)
        return self.drafts


def joints_among(joints: Sequence[JoinedPair], marks: Iterable[str]) -> list[JoinedPair]:
    """Those whose two pieces are both among these."""
    among = frozenset(marks)
    return [pair for pair in joints if {pair[1].entering, pair[1].receiving} <= among]
