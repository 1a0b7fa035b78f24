"""Mistakes of a glue-up: which wrong ways and wrong pieces go in at the stage at hand, and which stage finds them.

A piece is tried against what is there in its own stage and what stood before, not against the finished build: what
only a later stage would stop has been in the clamps by then and is permanent.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from msgspec import Struct

from shopdocs.core.length import Length
from shopdocs.model.joining import Face
from shopdocs.work.order.stages import StageWork
from shopdocs.work.space.wrong_ways import Fitting, WrongWay


class Meets(Struct, frozen=True):
    """The stages a piece goes through: `numbers` of the stages (0: what is put on after all glue), and the pieces that
    it meets for the first time in each."""

    numbers: tuple[int, ...]
    groups: tuple[Collection[str], ...]


@dataclass(frozen=True, slots=True)
class AllBut(Collection[str]):
    """All pieces but a few; a set of its own for each piece would hold the build as many times as it has pieces."""

    every: Collection[str]
    few: frozenset[str]

    def __contains__(self, mark: object) -> bool:
        return mark in self.every and mark not in self.few

    def __iter__(self) -> Iterator[str]:
        return (mark for mark in self.every if mark not in self.few)

    def __len__(self) -> int:
        return sum(1 for _ in self)


class Mistake(Struct, frozen=True):
    """A wrong way to put a piece in. It goes in at stage `stage` and is found at the later stage `found`: 0 stands for
    what is put on after all glue, `found` None for a mistake that no piece ever stops."""

    way: WrongWay
    stage: int
    found: int | None


class Swap(Struct, frozen=True):
    """A piece that goes in where another belongs, at stage `stage`, found as in `Mistake`; `changes` are those of its
    faces that look another way there than in its own place, each with the face that looks that way there; `out` as in
    `WrongWay`."""

    mark: str
    place: str
    stage: int
    found: int | None
    changes: tuple[tuple[Face, Face], ...] = ()
    out: tuple[int, Length] | None = None


def meets_of(mark: str, works: Sequence[StageWork], every: Collection[str]) -> Meets:
    """What a piece meets stage by stage. A stage that glues up its strips alone joins it to nothing yet."""
    numbers: list[int] = []
    groups: list[Collection[str]] = []
    met: frozenset[str] = frozenset({mark})
    for work in works:
        if mark in work.members and not work.panels and (fresh := work.members - met):
            numbers.append(work.number)
            groups.append(fresh)
            met |= fresh
    if any(other not in met for other in every):
        numbers.append(0)
        groups.append(AllBut(every, met))
    return Meets(tuple(numbers), tuple(groups))


def mistakes_of(mark: str, meets: Meets, fitting: Fitting) -> tuple[Mistake, ...]:
    """The wrong ways of a piece that go in at its own stage."""
    if not meets.groups:
        return ()
    return tuple(
        Mistake(one.way, meets.numbers[0], None if one.found is None else meets.numbers[one.found])
        for one in fitting.misfits(mark, meets.groups)
    )


def swap_of(mark: str, place: str, meets: Meets, fitting: Fitting) -> Swap | None:
    """The piece `mark` where `place` belongs, which meets `meets` there; None where it does not even go in."""
    if not meets.groups:
        return None
    found = fitting.goes_in_for(mark, place, meets.groups)
    if found is None:
        return None
    later = None if found.found is None else meets.numbers[found.found]
    return Swap(mark, place, meets.numbers[0], later, found.way.changes, found.way.out)
