"""An order of assembly replayed by another geometry library: wood is swept along every printed move as convex hulls,
and what is swept may share no volume with what stands. Nothing of the program's own search is used."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import manifold3d
import numpy as np

from shopdocs.model.joining import JointKind
from shopdocs.work.computed import Computed
from shopdocs.work.order.closing import Closing, Outcome
from shopdocs.work.scene.in_space import Space
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.placed import Bore

MOST_SHARED = 1.0  # cubic millimetres: what rounding makes of faces that lie against each other
Points = np.ndarray  # corners of a convex piece of wood, one a row, in millimetres

PEGGED = (JointKind.DOWELS, JointKind.LOOSE_TENON)


def convex_parts(solid: Solid, per_mm: int) -> list[Points]:
    """The wood of a solid as corners of convex bodies."""
    parts = [
        np.array([[x, y, z] for x in (c.lo[0], c.hi[0]) for y in (c.lo[1], c.hi[1]) for z in (c.lo[2], c.hi[2])])
        for c in solid.plain_cells
    ]
    for body in solid.sloped.bodies if solid.slopes else ():
        parts.append(np.array([spot for face in body.faces for spot in face]) + np.array(solid.body.lo))
    return [part / per_mm for part in parts]


def shared(ones: Iterable[Points], twos: Sequence[Points]) -> float:
    """Volume that two heaps of convex wood have in common."""
    volume = 0.0
    for one in ones:
        lo, hi = one.min(axis=0), one.max(axis=0)
        first = None
        for two in twos:
            if ((np.minimum(hi, two.max(axis=0)) - np.maximum(lo, two.min(axis=0))) > 1e-6).all():
                first = first or manifold3d.Manifold.hull_points(one)
                volume += (first ^ manifold3d.Manifold.hull_points(two)).volume()
    return volume


def swept(parts: Iterable[Points], begin: np.ndarray, end: np.ndarray) -> list[Points]:
    """What convex wood passes through on a straight way between two places, given as shifts."""
    return [np.concatenate((part + begin, part + end)) for part in parts]


def way_back(toward: tuple[int, bool], far: float) -> np.ndarray:
    """The shift from a place to where what moves toward it comes from."""
    shift = np.zeros(3)
    shift[toward[0]] = -far if toward[1] else far
    return shift


class Replay:
    """The pieces of a build, and what goes wrong when its stages are gone through."""

    def __init__(self, space: Space) -> None:
        scale = space.scene.ticks.per_mm
        self.space, self.scale = space, scale
        self.wood = {
            piece.mark: convex_parts(solid, scale)
            for piece, solid in zip(space.scene.pieces, space.scene.solids, strict=True)
        }
        self.far = 3.0 * max(space.scene.bounds.size) / scale

    def collision(self, closing: Closing, standing: Iterable[str]) -> float:
        """Volume through which a move would have to pass."""
        moving = [part for mark in closing.marks for part in self.wood[mark]]
        others = [part for mark in standing for part in self.wood[mark]]
        if closing.first is None:
            back = way_back(closing.toward, self.far)
            if closing.also is not None:
                back = back + way_back(closing.also, self.far)
            return shared(swept(moving, np.zeros(3), back), others)
        turn = way_back(closing.toward, closing.short / self.scale)
        legs = swept(moving, np.zeros(3), turn) + swept(moving, turn, turn + way_back(closing.first, self.far))
        return shared(legs, others)

    def lie_apart(self, heaps: Iterable[frozenset[str]]) -> bool:
        """Whether heaps that do not hang together can be brought beside each other: one after the other in some way."""
        left = list(heaps)
        while len(left) > 1:
            for heap in left:
                mine = [part for mark in heap for part in self.wood[mark]]
                others = [part for other in left if other is not heap for mark in other for part in self.wood[mark]]
                if any(
                    shared(swept(mine, np.zeros(3), way_back((axis, high), self.far)), others) <= MOST_SHARED
                    for axis in range(3)
                    for high in (False, True)
                ):
                    left.remove(heap)
                    break
            else:
                return False
        return True

    def pegs_bend(self, closing: Closing) -> bool:
        """Whether a dowel or a loose tenon would have to go in across its length."""
        for joint, meeting in closing.joints:
            if joint.kind in PEGGED:
                piece = self.space.pieces[meeting.receiving]
                made = [f for f in piece.features if f.joint == str(meeting.number)]
                axes = {
                    piece.pose.look_of(f.face)[0] if isinstance(f, Bore) else self._deep(meeting.number) for f in made
                }
                if axes != {closing.toward[0]}:
                    return True
        return False

    def _deep(self, number: int) -> int:
        joinery = self.space.joinery[number]
        assert joinery.meets is not None
        receiving = next(m for m in self.space.pieces.values() if any(f.joint == str(number) for f in m.features))
        return receiving.pose.look_of(joinery.meets)[0]


def faults(work: Computed) -> Iterator[str]:
    """Everything that goes wrong when the stages of a build are gone through as they are printed."""
    assert work.space is not None
    replay = Replay(work.space)
    closed: list[int] = []
    for stage in work.stages:
        title = stage.stage.title
        if stage.order.outcome is not Outcome.FOUND:
            yield f"{title}: no order"
            continue
        ready = {name: marks for done in work.stages[: stage.number - 1] for name, marks in done.things.items()}
        heaps: dict[str, frozenset[str]] = {}  # what each piece that lies there holds together with by now
        for closing in (*stage.order.closings, *stage.order.later):
            moving = frozenset(closing.marks)
            if closing.onto:
                onto = {mark for name in closing.onto for mark in ready.get(name, (name,))}
                if not onto <= heaps.keys():
                    yield f"{title}: {closing.what} goes onto what is not there"
                    return
                stands = {heaps[mark] for mark in onto}
                if moving & heaps.keys() and {heaps.get(mark) for mark in moving} != {moving}:
                    yield f"{title}: {closing.what} is not one thing, or not all of it"
                near = frozenset().union(*stands)
                volume = replay.collision(closing, near)
                if volume > MOST_SHARED:
                    yield f"{title}: {closing.what} runs {volume:.1f} mm3 into {sorted(near)}"
                if not replay.lie_apart(stands):
                    yield f"{title}: {sorted(onto)} cannot be laid beside each other"
                if replay.pegs_bend(closing):
                    yield f"{title}: {closing.what} goes in across its dowels"
                closed += [m.number for _, m in closing.joints]
                for _, m in closing.joints:
                    if (m.entering in moving) == (m.receiving in moving) or not {
                        m.entering,
                        m.receiving,
                    } <= near | moving:
                        yield f"{title}: joint {m.number} is not closed by this move"
                heaps.update(dict.fromkeys(near | moving, near | moving))
            else:
                heaps.update(dict.fromkeys(moving, moving))
    yield from _loose_faults(work, replay, closed)
    glued = {m.number for joint, m in work.build.meetings() if joint.glued}
    if len(closed) != len(set(closed)) or not glued <= set(closed):
        yield f"joints closed: {sorted(closed)}, of {sorted(glued)}"


def _loose_faults(work: Computed, replay: Replay, closed: list[int]) -> Iterator[str]:
    """The same for what goes on without glue at last: what is put together before it goes in, and each move that brings
    something onto what stands. Joints that these moves close are added to `closed`."""
    if work.left is None:
        return
    things = work.stages[-1].things
    standing = set(work.left.standing)
    for added in work.left.added:
        heaps: dict[str, frozenset[str]] = {}
        for name in added.things:
            heaps.update(dict.fromkeys(things[name], frozenset(things[name])))
        if heaps.keys() != set(added.pieces):
            yield f"{added.things}: its pieces are {added.pieces}"
        for closing in added.before:
            near = frozenset().union(*(heaps[mark] for name in closing.onto for mark in things.get(name, (name,))))
            moving = frozenset(closing.marks)
            volume = replay.collision(closing, near - moving)
            if volume > MOST_SHARED:
                yield f"without glue: {closing.what} runs {volume:.1f} mm3 into {sorted(near)}"
            heaps.update(dict.fromkeys(near | moving, near | moving))
            closed += [m.number for _, m in closing.joints]
        if added.closing is not None:
            if len(set(heaps.values())) > 1 or set(added.closing.marks) != set(added.pieces):
                yield f"without glue: {added.things} go in as one, and are not"
            volume = replay.collision(added.closing, standing)
            if volume > MOST_SHARED:
                yield f"without glue: {added.things} run {volume:.1f} mm3 into what stands"
            closed += [m.number for _, m in added.closing.joints]
        standing |= set(added.pieces)
