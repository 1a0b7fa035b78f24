"""When each stage begins and is out of its clamps: one pair of hands, what it takes up has set, and the clamps that it
wants hang on the wall again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from shopdocs.work.order.stages import StageWork


@dataclass(frozen=True, slots=True)
class Session:
    """Hours from the first glue, working day and night, at which a stage `begins` and is `out` of its clamps. It waits
    for the stages `after` which it comes because it takes up their pieces, and for those whose `clamps` it needs."""

    number: int
    begins: Fraction
    out: Fraction
    after: tuple[StageWork, ...]
    clamps: tuple[StageWork, ...]


def sessions(stages: Sequence[StageWork]) -> tuple[Session, ...]:
    """All stages in the order they are written, each begun as soon as the one before is in its clamps, or later."""
    found: list[Session] = []
    hands = Fraction(0)
    for work in stages:
        after = tuple(_after(work, stages))
        begins = max([hands, *(found[earlier.number - 1].out for earlier in after)])
        clamps: list[StageWork] = []
        while True:
            busy = [one for one, there in zip(stages, found, strict=False) if there.out > begins]
            short = [one for one in busy if _in_want(work, busy) & {kind for kind, *_ in one.clamps}]
            if not short:
                break
            first = min(short, key=lambda one: found[one.number - 1].out)
            clamps.append(first)
            begins = found[first.number - 1].out
        hands = begins + work.minutes / 60
        found.append(Session(work.number, begins, hands + (work.wait_hours or 0), after, tuple(clamps)))
    return tuple(found)


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
