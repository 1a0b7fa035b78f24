"""Moves of a stage that are one step: slats that go in side by side, one after the other, in the same way; and a second
drawer that is put together as the first was, piece by piece."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from shopdocs.model.build import Build
from shopdocs.work.order.closing import Closing
from shopdocs.work.order.stages import StageWork

Run = tuple[Closing, ...]


def runs_of(build: Build, work: StageWork) -> tuple[tuple[Run, ...], tuple[Run, ...]]:
    """The moves of a stage while the glue is wet, and those when it has set, each run of moves that are alike as one:
    single pieces of one part from the same side, onto the same things or each onto one piece of a part. A run ends
    where a new batch is mixed. All moves of a thing that is put together as one before it was are one run, that begins
    with what is laid down; what goes onto it when the glue has set is in the run of what goes onto the one before."""
    part_of = {piece.mark: part.name for part, piece in build.pieces()}
    begun = {portion.numbers[0] for portion in work.mix.portions if portion.numbers} if work.mix is not None else set()
    first, again = _told_apart(work, part_of, begun)
    now = {id(closing) for closing in work.order.closings}
    wet: list[Run] = []
    for heap in first:
        wet += _runs([c for c in heap.closings if id(c) in now], part_of, begun)
        wet += [tuple(c for c in each.closings if id(c) in now) for each in again.get(heap.marks, ())]
    later: list[Run] = []
    twins = {id(two): one for heap in first for each in again.get(heap.marks, ()) for one, two in _pairs(heap, each)}
    for run in _runs([c for c in work.order.later if id(c) not in twins], part_of, set()):
        later.append((*run, *(c for c in work.order.later if any(twins.get(id(c)) is one for one in run))))
    return tuple(wet), tuple(later)


def is_again(run: Run) -> bool:
    """Whether a run is all moves of a thing that is put together as the one before it was."""
    return len(run) > 1 and not run[0].onto


def pieces_again(build: Build, work: StageWork) -> frozenset[str]:
    """The pieces of such things, which no picture need show."""
    wet, later = runs_of(build, work)
    found = {mark for run in wet if is_again(run) for closing in run for mark in closing.marks}
    for run in later:
        found.update(mark for closing in run if found.intersection(closing.onto) for mark in closing.marks)
    return frozenset(found)


class _Heap(Struct, frozen=True):
    """Moves that make one thing, while the glue is wet and when it has set."""

    marks: frozenset[str]
    closings: tuple[Closing, ...]


def _told_apart(
    work: StageWork, part_of: Mapping[str, str], begun: set[int]
) -> tuple[list[_Heap], dict[frozenset[str], list[_Heap]]]:
    """What a stage makes, thing by thing; and by the pieces of each the ones that are put together as it was."""
    first: list[_Heap] = []
    again: dict[frozenset[str], list[_Heap]] = {}
    for heap in _heaps((*work.order.closings, *work.order.later)):
        fresh = begun & {m.number for c in heap.closings[2:] for _, m in c.joints}
        like = next((one for one in first[-1:] if not fresh and _same(one, heap, part_of)), None)
        if like is None or len(heap.closings) < 3:
            first.append(heap)
        else:
            again.setdefault(like.marks, []).append(heap)
    return first, again


def _heaps(closings: Sequence[Closing]) -> list[_Heap]:
    """Moves in the order they are made, those of each thing together; what a later move joins is one with it."""
    made: list[tuple[set[str], list[Closing]]] = []
    for closing in closings:
        names = {*closing.what, *closing.onto, *closing.marks}
        met = [each for each in made if each[0] & names]
        marks = names.union(*(each[0] for each in met))
        moves = [c for each in met for c in each[1]]
        made = [each for each in made if each not in met]
        made.append((marks, [*moves, closing]))
    place = {id(closing): i for i, closing in enumerate(closings)}
    made.sort(key=lambda each: min(place[id(closing)] for closing in each[1]))
    return [_Heap(frozenset(marks), tuple(sorted(moves, key=lambda c: place[id(c)]))) for marks, moves in made]


def _same(one: _Heap, two: _Heap, part_of: Mapping[str, str]) -> bool:
    """Whether the second is put together as the first was: by pieces of the same parts, onto each other in the same
    order, from the same sides."""
    if len(one.closings) != len(two.closings):
        return False
    twin: dict[str, str] = {}
    for a, b in _pairs(one, two):
        if len(a.what) != len(b.what) or len(a.onto) != len(b.onto) or _way(a) != _way(b):
            return False
        if not all(part_of.get(x) == part_of.get(y) is not None for x, y in zip(a.what, b.what, strict=True)):
            return False
        twin.update(zip(a.what, b.what, strict=True))
        if {twin.get(name) for name in a.onto} != set(b.onto):
            return False
    return True


def _pairs(one: _Heap, two: _Heap) -> Iterable[tuple[Closing, Closing]]:
    return zip(one.closings, two.closings, strict=True)


def _way(closing: Closing) -> object:
    kinds = sorted((joint.kind, joint.glued) for joint, _ in closing.joints)
    return closing.toward if closing.onto else None, closing.first, closing.also, kinds


def _runs(closings: Sequence[Closing], part_of: Mapping[str, str], begun: set[int]) -> list[Run]:
    runs: list[list[Closing]] = []
    for closing in closings:
        if runs and _alike(runs[-1][-1], closing, part_of) and not begun & {m.number for _, m in closing.joints}:
            runs[-1].append(closing)
        else:
            runs.append([closing])
    return [tuple(run) for run in runs]


def _alike(one: Closing, two: Closing, part_of: Mapping[str, str]) -> bool:
    return _look(one, part_of) == _look(two, part_of) is not None


def _look(closing: Closing, part_of: Mapping[str, str]) -> object:
    """What runs have in common; None for a move that is a step of its own."""
    if not closing.onto or len(closing.marks) > 1 or closing.first is not None or closing.also is not None:
        return None
    kinds = sorted({(joint.kind, joint.glued) for joint, _ in closing.joints})
    lone = closing.onto[0] if len(closing.onto) == 1 else ""
    onto = (part_of[lone],) if lone in part_of else closing.onto
    along = closing.along and (closing.along in closing.marks or closing.along)
    return part_of[closing.marks[0]], onto, closing.toward, along, kinds
