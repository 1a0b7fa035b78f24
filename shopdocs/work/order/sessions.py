"""When each stage begins and is out of its clamps: one pair of hands, what it takes up has set, and the clamps that it
wants hang on the wall again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from msgspec import Struct, field
from msgspec.structs import replace

from shopdocs.work.order.stages import StageWork


class Session(Struct, frozen=True):
    """Hours from the first glue, working day and night, at which a stage `begins` and is `out` of its clamps. It waits
    for the stages `after` which it comes because it takes up their pieces, and for those whose `clamps` it needs.
    `at_once`: it is begun right after the one before it, in the same visit to the bench."""

    number: int
    begins: Fraction
    out: Fraction
    after: tuple[StageWork, ...]
    clamps: tuple[StageWork, ...]
    at_once: bool = False


def sessions(stages: Sequence[StageWork]) -> tuple[Session, ...]:
    """All stages in this order, each begun as soon as the one before is in its clamps, or later."""
    begun = _Begun()
    plan = _Plan.of(stages)
    for work in stages:
        begun = plan.longer(begun, work)
    return tuple(begun.found.values())


def most_at_once(found: Sequence[Session], taken: Mapping[int, Mapping[str, int]]) -> dict[str, int]:
    """The most of each kind in use at one time, where a stage takes so many by its number, from when it begins until it
    is out of its clamps: what stages that stand in theirs together need is needed twice."""
    most: dict[str, int] = {}
    for begun in found:  # no more are in use at any time than when one of them begins
        now: dict[str, int] = {}
        for one in found:
            if one is begun or one.begins <= begun.begins < one.out:
                for kind, count in taken.get(one.number, {}).items():
                    now[kind] = now.get(kind, 0) + count
        most |= {kind: max(most.get(kind, 0), count) for kind, count in now.items()}
    return most


WORTH_HOURS = 1  # for less nobody changes an order (common practice, no source)
MOST_TRIED = 6  # stages of which every order is tried; of more, the best few beginnings are followed
MOST_STAGES = 40
KEPT = 2000  # beginnings that are followed, divided by the square of the number of stages


def quickest(stages: Sequence[StageWork]) -> tuple[StageWork, ...]:
    """The stages in the order in which the whole is done soonest, in the fewest visits to the bench among equals; as
    they are given where no other saves an hour or a visit. None comes before one that it takes up."""
    if not 2 < len(stages) <= MOST_STAGES:
        return tuple(stages)
    plan = _Plan.of(stages)
    begun = [_Begun()]
    for _ in stages:
        longer = [plan.longer(one, work) for one in begun for work in stages if plan.may_follow(one, work)]
        longer.sort(key=lambda one: one.rank)
        begun = longer if len(stages) <= MOST_TRIED else longer[: max(1, KEPT // len(stages) ** 2)]
    given = _Begun()
    for work in stages:
        given = plan.longer(given, work)
    best = min(begun, key=lambda one: one.rank, default=given)
    sooner = given.done - best.done
    if sooner >= WORTH_HOURS or (sooner >= 0 and best.visits < given.visits):
        return tuple(plan.stages[number] for number in best.found)
    return tuple(stages)


def more_clamps(stages: Sequence[StageWork]) -> tuple[Mapping[str, int], Fraction]:
    """How many more clamps of each kind would spare every wait for clamps that are in use, and the hours until all
    stages are done then, in the order that is quickest with them. Nothing for a kind of which too few are on the wall
    even for one stage alone."""
    free = quickest([replace(work, clamps=tuple((kind, n, None) for kind, n, _ in work.clamps)) for work in stages])
    found = sessions(free)
    wall = {kind: have for work in stages for kind, _, have in work.clamps if have is not None}
    more: dict[str, int] = {}
    for one in found:
        used: dict[str, int] = {}
        for work, other in zip(free, found, strict=True):
            if other.begins <= one.begins < other.out:
                for kind, count, _ in work.clamps:
                    used[kind] = used.get(kind, 0) + count
        for kind, count in used.items():
            if kind in wall and count > wall[kind]:
                more[kind] = max(more.get(kind, 0), count - wall[kind])
    return more, max((session.out for session in found), default=Fraction(0))


class _Begun(Struct, frozen=True, dict=True):
    """An order as far as it goes: its sessions by the numbers of their stages, from when on the bench is free, the
    least hours that the whole takes, and how often one comes to the bench."""

    found: Mapping[int, Session] = field(default_factory=dict)
    hands: Fraction = Fraction(0)
    done: Fraction = Fraction(0)
    visits: int = 0

    @property
    def rank(self) -> tuple[Fraction, int]:
        """Smaller is better."""
        return self.done, self.visits


class _Plan(Struct, frozen=True, dict=True):
    """The stages by number, those that each comes `after`, and the hours from the beginning of each to the end of all
    that waits for it."""

    stages: Mapping[int, StageWork]
    after: Mapping[int, tuple[StageWork, ...]]
    tail: Mapping[int, Fraction]

    @classmethod
    def of(cls, stages: Sequence[StageWork]) -> _Plan:
        """For stages in any order in which each comes after those that it takes up."""
        after = {work.number: tuple(_after(work, stages)) for work in stages}
        behind: dict[int, list[int]] = {}  # by numbers: two stages are compared by all that is known of them, slowly
        for number, before in after.items():
            for one in before:
                behind.setdefault(one.number, []).append(number)
        tail: dict[int, Fraction] = {}
        for work in reversed(stages):
            later = [tail[number] for number in behind.get(work.number, ())]
            tail[work.number] = work.minutes / 60 + (work.wait_hours or 0) + max(later, default=Fraction(0))
        return cls({work.number: work for work in stages}, after, tail)

    def may_follow(self, begun: _Begun, work: StageWork) -> bool:
        """Whether a stage can be the next."""
        return work.number not in begun.found and all(one.number in begun.found for one in self.after[work.number])

    def longer(self, begun: _Begun, work: StageWork) -> _Begun:
        """An order with one more stage."""
        found = begun.found
        begins = max([begun.hands, *(found[earlier.number].out for earlier in self.after[work.number])])
        clamps: list[StageWork] = []
        while True:
            busy = [self.stages[number] for number, there in found.items() if there.out > begins]
            short = [one for one in busy if _in_want(work, busy) & {kind for kind, *_ in one.clamps}]
            if not short:
                break
            first = min(short, key=lambda one: found[one.number].out)
            clamps.append(first)
            begins = found[first.number].out
        hands = begins + work.minutes / 60
        out = hands + (work.wait_hours or 0)
        at_once = bool(found) and begins == begun.hands
        one = Session(work.number, begins, out, self.after[work.number], tuple(clamps), at_once)
        done = max(begun.done, begins + self.tail[work.number])
        return _Begun({**found, work.number: one}, hands, done, begun.visits + (not at_once))


def _in_want(work: StageWork, busy: Sequence[StageWork]) -> set[str]:
    """The kinds of clamps of which a stage finds too few on the wall while others are in theirs. One that wants more
    than there are takes them all."""
    taken: dict[str, int] = {}
    for one in busy:
        for kind, count, _ in one.clamps:
            taken[kind] = taken.get(kind, 0) + count
    return {
        kind
        for kind, count, on_wall in work.clamps
        if on_wall is not None and kind in taken and min(count, on_wall) > max(0, on_wall - taken[kind])
    }


def _after(work: StageWork, stages: Sequence[StageWork]) -> list[StageWork]:
    """The earlier stages whose pieces this one takes up: they must be out of the clamps."""
    titles, used = set(work.stage.uses), set(work.stage.pieces)
    return [
        earlier
        for earlier in stages
        if earlier.number < work.number and (earlier.stage.title in titles or used & set(earlier.stage.pieces))
    ]
