"""What stands between two neighbours with a little room on both sides, and swells: drawers, doors, slats in a row."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence, Set

from shopdocs.core.box import Box
from shopdocs.core.length import ZERO, Length
from shopdocs.model.build import Build
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.scene.in_space import Space
from shopdocs.work.seasons.bodies import together
from shopdocs.work.seasons.tie import Beside, Sort, Tie
from shopdocs.work.seasons.wood import Moves

WIDEST = Length(10)  # a gap wider than this is no clearance (common practice, no source)

SEEN_FROM = (("beside", "beside"), ("beside", "beside"), ("under", "over"))  # its neighbours along x, y and z


def gap_ties(build: Build, moves: Mapping[str, Moves], space: Space) -> Iterator[Tie]:
    """Every body of joined pieces that other pieces stand close to at both ends of a way in which it moves."""
    parts = {piece.mark: part for part, piece in build.pieces()}
    pieces, boxes = space.scene.pieces, [solid.body for solid in space.scene.solids]
    shares = [moves.get(parts[p.mark].name) for p in pieces]
    axes = [piece.pose.build_axis(1) for piece in pieces]
    reach = space.scene.ticks.count(WIDEST) if not space.scene.ticks.rounds else 0
    rows = [Row(boxes, axis) for axis in range(3)]
    for body in _bodies(build, space):
        inside = set(body)
        for axis in sorted({axes[i] for i in body if shares[i] is not None}):
            low = nearest(boxes, inside, rows[axis], axis, reach, False)
            high = nearest(boxes, inside, rows[axis], axis, reach, True)
            if low is None or high is None or low[0] + high[0] == 0:
                continue
            across = [i for i in body if axes[i] == axis and shares[i] is not None]
            grows, shrinks = ZERO, ZERO
            for i in side_by_side(boxes, across, axis):
                wood, width = shares[i], pieces[i].width
                assert wood is not None
                grows, shrinks = grows + width * wood.grows, shrinks + width * wood.shrinks
            for _, near in (low, high):  # a slat beside it swells into the same gap
                theirs = shares[near]
                if theirs is not None and axes[near] == axis:
                    grows += pieces[near].width * theirs.grows / 2
            widest = max(across, key=lambda i: pieces[i].width)
            part = parts[pieces[widest].mark]
            yield Tie(
                Sort.GAP,
                pieces[widest].mark,
                part.name,
                tuple(dict.fromkeys(pieces[near].mark for _, near in (low, high))),
                "",
                sum((pieces[i].width for i in side_by_side(boxes, across, axis)), ZERO),
                grows,
                space.scene.ticks.length(low[0] + high[0]),
                shrinks,
                along=_outermost(boxes, body, across, axis, [pieces[i].mark for i in across]),
                at=part.at,
                beside=tuple(
                    Beside(pieces[near].mark, space.scene.ticks.length(gap), where)
                    for (gap, near), where in zip((low, high), SEEN_FROM[axis], strict=True)
                ),
            )


def _bodies(build: Build, space: Space) -> list[list[int]]:
    """Pieces that are joined to each other, by their numbers in the scene; what rides dry in a groove moves alone."""
    number = {piece.mark: i for i, piece in enumerate(space.scene.pieces)}
    pairs = (
        (number[meeting.entering], number[meeting.receiving])
        for joint, meeting in build.meetings()
        if meeting.number in space.joinery and (joint.glued or not KINDS[joint.kind].rides)
    )
    return together(len(number), pairs)


class Row:
    """Boxes by where they begin and end along an axis."""

    def __init__(self, boxes: Sequence[Box], axis: int) -> None:
        self._up = sorted((box.lo[axis], i) for i, box in enumerate(boxes))
        self._down = sorted((-box.hi[axis], i) for i, box in enumerate(boxes))

    def near(self, end: int, reach: int, high: bool) -> Iterator[tuple[int, int]]:
        """What begins beyond an end, no farther off than `reach`: how far off it is and its number, nearest first."""
        row = self._up if high else self._down
        for start, i in row[bisect_left(row, (end, 0)) :]:
            if start - end > reach:
                return
            yield start - end, i


def nearest(
    boxes: Sequence[Box], body: Set[int], row: Row, axis: int, reach: int, high: bool
) -> tuple[int, int] | None:
    """The gap to what stands nearest to the low or high end of a body, and its number; None where nothing is near."""
    end = max(boxes[i].hi[axis] if high else -boxes[i].lo[axis] for i in body)
    outer = [boxes[i] for i in body if (boxes[i].hi[axis] if high else -boxes[i].lo[axis]) == end]
    u, v = (k for k in range(3) if k != axis)
    for gap, i in row.near(end, reach, high):
        box = boxes[i]
        if i not in body and any(
            box.lo[u] < one.hi[u] and one.lo[u] < box.hi[u] and box.lo[v] < one.hi[v] and one.lo[v] < box.hi[v]
            for one in outer
        ):
            return gap, i
    return None


def _outermost(
    boxes: Sequence[Box], body: Sequence[int], across: Sequence[int], axis: int, marks: Sequence[str]
) -> tuple[str, ...]:
    """The marks of those that move along an axis and reach as far as their body does, at one end of it or both."""
    low, high = min(boxes[i].lo[axis] for i in body), max(boxes[i].hi[axis] for i in body)
    return tuple(
        mark for i, mark in zip(across, marks, strict=True) if boxes[i].lo[axis] == low or boxes[i].hi[axis] == high
    )


def side_by_side(boxes: Sequence[Box], across: Sequence[int], axis: int) -> list[int]:
    """Of pieces that move along an axis those that lie one after the other along it: of two side by side one counts."""
    found: list[int] = []
    end: int | None = None
    for i in sorted(across, key=lambda i: (boxes[i].lo[axis], -boxes[i].hi[axis])):
        if end is None or boxes[i].lo[axis] >= end:
            found.append(i)
            end = boxes[i].hi[axis]
    return found
