"""Pieces without glue that a stage shuts in though it does not name them: a loose panel, a shelf, a drawer's runner."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from shopdocs.model.build import Build
from shopdocs.work.order.blocking import WAYS, Obstacles
from shopdocs.work.order.stages import StageWork
from shopdocs.work.order.straight import Link, straight_order
from shopdocs.work.scene.in_space import Space


class ShutIn(Struct, frozen=True):
    """A piece that has no way left to its place once stage `number` is closed."""

    mark: str
    number: int


def shut_in(
    build: Build, works: Sequence[StageWork], space: Space | None, obstacles: Obstacles | None
) -> tuple[ShutIn, ...]:
    """Every piece that no stage names and that no glued joint holds, with the stage that leaves it no way in."""
    if space is None or obstacles is None or not works:
        return ()
    staged = {mark for work in works for mark in work.members}
    glued = {mark for joint, m in build.meetings() if joint.glued for mark in (m.entering, m.receiving)}
    found = []
    for _, piece in build.pieces():
        mark = piece.mark
        if mark in staged or mark in glued or mark not in space.pieces:
            continue
        for work in works:
            if any(len(marks) > 1 and caught(mark, marks, space, obstacles) for marks in _made(work, space)):
                found.append(ShutIn(mark, work.number))
                break
    return tuple(found)


def _made(work: StageWork, space: Space) -> list[tuple[str, ...]]:
    """What a stage makes of several pieces."""
    return [marks for marks in work.things.values() if set(marks) & work.members and set(marks) <= space.pieces.keys()]


def caught(mark: str, standing: Sequence[str], space: Space, obstacles: Obstacles) -> bool:
    """Whether a piece can be brought in no way to where it lies among pieces that hold together: straight, on a slant
    or round one corner."""
    index, masks = obstacles.index, obstacles.masks
    there = sum(1 << index[other] for other in standing)
    if any(not masks[way][index[mark]] & there for way in WAYS):
        return False
    solids = space.scene.solids
    things = [[solids[index[mark]]], [solids[index[other]] for other in standing]]
    return bool(straight_order(things, [Link(0, 0, 1)]).locked)
