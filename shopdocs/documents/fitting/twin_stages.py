"""Stages of one make: each other's mirror image as they stand in the build, or the same twice. What is true of both is
told once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shopdocs.core.box import AXES, Box, Corner
from shopdocs.documents.fitting.wording import anded
from shopdocs.documents.job import Job
from shopdocs.work.order.closing import Outcome
from shopdocs.work.order.stages import StageWork

Lies = tuple[Corner, Corner]  # low corner from that of the whole, and size


def twin_stages(job: Job) -> Mapping[int, tuple[StageWork, ...]]:
    """For every stage by its number, itself and those beside it that are of one make with it, in their order."""
    return job.once(("twin stages",), lambda: _found(job))


def _found(job: Job) -> dict[int, tuple[StageWork, ...]]:
    runs: list[list[StageWork]] = []
    for work in job.stages:
        if runs and twin_of(job, runs[-1][0], work):
            runs[-1].append(work)
        else:
            runs.append([work])
    return {work.number: run for run in map(tuple, runs) for work in run}


def stages_title(works: Sequence[StageWork]) -> str:
    """ "Stage 3, Frame"; "Stages 1 and 2, Left end and Right end"."""
    if len(works) == 1:
        return f"Stage {works[0].number}, {works[0].stage.title}"
    numbers = anded([str(work.number) for work in works])
    return f"Stages {numbers}, {anded([work.stage.title for work in works])}"


def twin_of(job: Job, one: StageWork, two: StageWork) -> Mapping[str, str]:
    """The pieces of a stage, each with the one of another stage that lies and is joined there as it is here, or as in a
    mirror; empty where the stages are not of one make. Stages that take up earlier ones are never twins, nor are
    those that glue up strips."""
    works = (one, two)
    if job.space is None or any(w.stage.uses or w.panels or w.order.outcome is Outcome.LOCKED for w in works):
        return {}
    scene = job.space.scene
    bodies = {piece.mark: solid.body for piece, solid in zip(scene.pieces, scene.solids, strict=True)}
    if any(mark not in bodies for work in works for mark in work.stage.pieces):
        return {}
    here, there = ({mark: bodies[mark] for mark in work.stage.pieces} for work in works)
    for mirrored in (None, *AXES):
        mine, theirs = _lying(here, mirrored), _lying(there, None)
        if mine.keys() == theirs.keys() and len(mine) == len(here):
            twins = {mark: theirs[lies] for lies, mark in mine.items()}
            if _joined(one, twins) == _joined(two, {mark: mark for mark in there}):
                return twins
    return {}


def _lying(bodies: Mapping[str, Box], mirrored: int | None) -> dict[Lies, str]:
    """The pieces by where they lie in the whole, seen in a mirror square to an axis."""
    whole = Box.around(bodies.values())
    found = {}
    for mark, body in bodies.items():
        low = [whole.hi[k] - body.hi[k] if k == mirrored else body.lo[k] - whole.lo[k] for k in AXES]
        found[((low[0], low[1], low[2]), body.size)] = mark
    return found


def _joined(work: StageWork, names: Mapping[str, str]) -> list[tuple[str, str, str]]:
    return sorted(
        (joint.kind.value, names.get(meeting.entering, ""), names.get(meeting.receiving, ""))
        for joint, meeting in work.meetings
    )
