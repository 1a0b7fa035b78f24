"""Moves of a stage that are one step: slats that go in side by side, one after the other, in the same way."""

from __future__ import annotations

from collections.abc import Sequence

from shopdocs.model.build import Build
from shopdocs.work.order.closing import Closing
from shopdocs.work.order.stages import StageWork

Run = tuple[Closing, ...]


def runs_of(build: Build, work: StageWork) -> tuple[tuple[Run, ...], tuple[Run, ...]]:
    """The moves of a stage while the glue is wet, and those when it has set, each run of moves that are alike as one:
    single pieces of one part onto the same things, from the same side. A run ends where a new batch is mixed."""
    part_of = {piece.mark: part.name for part, piece in build.pieces()}
    begun = {portion.numbers[0] for portion in work.mix.portions if portion.numbers} if work.mix is not None else set()
    return _runs(work.order.closings, part_of, begun), _runs(work.order.later, part_of, set())


def _runs(closings: Sequence[Closing], part_of: dict[str, str], begun: set[int]) -> tuple[Run, ...]:
    runs: list[list[Closing]] = []
    for closing in closings:
        if runs and _alike(runs[-1][-1], closing, part_of) and not begun & {m.number for _, m in closing.joints}:
            runs[-1].append(closing)
        else:
            runs.append([closing])
    return tuple(tuple(run) for run in runs)


def _alike(one: Closing, two: Closing, part_of: dict[str, str]) -> bool:
    return _look(one, part_of) == _look(two, part_of) is not None


def _look(closing: Closing, part_of: dict[str, str]) -> object:
    """What runs have in common; None for a move that is a step of its own."""
    if not closing.onto or len(closing.marks) > 1 or closing.first is not None or closing.also is not None:
        return None
    kinds = sorted({(joint.kind, joint.glued) for joint, _ in closing.joints})
    return part_of[closing.marks[0]], closing.onto, closing.toward, kinds
