"""What a stage closes off: faces that no hand with scraper or sanding block gets at afterwards, panels that are shut in
their frame. They are scraped, sanded and finished before it.

A face counts where something else stands before it, square out, nearer than `HAND_REACH`, that was not there before
the stage; a face that is glued or lies against another is no matter.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations

from shopdocs.core.box import AXES, Box, Corner
from shopdocs.core.length import Length
from shopdocs.model.build import Build
from shopdocs.model.joining import Face
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.order.reach import closed_off
from shopdocs.work.order.stages import StageWork
from shopdocs.work.scene.in_space import Space
from shopdocs.work.shapes.carved import Carved, part_beside
from shopdocs.work.shapes.solid import Solid

HAND_REACH = Length(75)  # 3 in: room for a hand with a sanding block (common practice, no source)
LEAST_SHARE = Fraction(1, 5)  # of a face; what is closed off of it by less is reached from beside it
LEAST_AREA = Fraction(1000)  # square millimetres

Things = Sequence[Sequence[str]]


@dataclass(frozen=True, slots=True)
class ClosedFace:
    """A face of a piece with no more than `room` before it once the stage is closed, because of the pieces `by`."""

    mark: str
    face: Face
    room: Length
    by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Gate:
    """`faces` must be sanded and finished before this stage; `panels` are pieces that are shut in without glue, and
    want their edges finished too. `rounds` are closed off on some side: a turned piece has no face that would be sanded
    by itself. `under` are faces that bear hardware which no driver gets off again (`by` is what it is called): nothing
    gets under it once it is on."""

    faces: tuple[ClosedFace, ...]
    panels: tuple[str, ...]
    rounds: tuple[ClosedFace, ...] = ()
    under: tuple[ClosedFace, ...] = ()

    @property
    def anything(self) -> bool:
        """Whether there is anything that must come before."""
        return bool(self.faces or self.panels or self.rounds or self.under)

    @property
    def least(self) -> Length | None:
        """The least room that it leaves before any of these; None where only panels are shut in."""
        return min((face.room for face in (*self.faces, *self.rounds)), default=None)


def gate_of(work: StageWork, space: Space | None) -> Gate:
    """What this stage closes off; nothing where pieces have no places."""
    if space is None or work.panels or not work.members <= space.pieces.keys():
        return Gate((), ())
    of = {mark: name for name, marks in work.things.items() for mark in marks}
    faces: list[ClosedFace] = []
    for made in dict.fromkeys(of[mark] for mark in work.members if mark in of):
        things = [marks for marks in work.ready.values() if marks and of.get(marks[0]) == made]
        faces += _closed(things, space)
    return _gate(faces, space, _shut_in(work))


def gates_of(works: Iterable[StageWork], space: Space | None) -> list[Gate]:
    """The gate of every stage. A round is sanded once, before the first stage that closes off any of it."""
    gates: list[Gate] = []
    for work in works:
        gates.append(_less(gate_of(work, space), gates))
    return gates


def gate_at_last(works: Sequence[StageWork], gates: Sequence[Gate], space: Space | None, free: Collection[str]) -> Gate:
    """What is closed off by what goes on without glue, after the stages with these gates. `free` are pieces that move,
    doors and drawers: they close nothing off for good."""
    if space is None or not works:
        return Gate((), ())
    things = [marks for marks in works[-1].things.values() if set(marks) <= space.pieces.keys() - set(free)]
    return _less(_gate(_closed(things, space), space), gates)


def _gate(closed: Iterable[ClosedFace], space: Space, panels: tuple[str, ...] = ()) -> Gate:
    """Of a round the least room counts, whatever side of it is closed off."""
    faces: list[ClosedFace] = []
    rounds: dict[str, ClosedFace] = {}
    for face in closed:
        if space.pieces[face.mark].turned is None:
            faces.append(face)
        elif face.mark not in rounds or face.room < rounds[face.mark].room:
            rounds[face.mark] = face
    return Gate(tuple(faces), panels, tuple(rounds.values()))


def _less(gate: Gate, before: Iterable[Gate]) -> Gate:
    """Without the rounds that are sanded before an earlier stage."""
    done = {face.mark for each in before for face in each.rounds}
    return replace(gate, rounds=tuple(face for face in gate.rounds if face.mark not in done))


def hardware_closed_off(build: Build, space: Space, things: Iterable[Sequence[str]]) -> dict[str, list[str]]:
    """The pieces, by the name of the hardware on them, whose holes a driver no longer gets at once these things are
    together, while it did on each of them."""
    things = list(things)
    standing = [mark for marks in things for mark in marks]
    found: dict[str, list[str]] = {}
    for hardware in build.hardware:
        # what sits on the piece that it holds, as buttons do, goes on together with that piece
        on = {place.piece for place in hardware.on}.difference(hardware.holds) & space.pieces.keys()
        for marks in things:
            for mark in marks:
                if (
                    mark in on
                    and closed_off(space, mark, hardware.name, standing)
                    and not closed_off(space, mark, hardware.name, marks)
                ):
                    found.setdefault(hardware.name, []).append(mark)
    return found


def _shut_in(work: StageWork) -> tuple[str, ...]:
    """Pieces that this stage catches on two sides or more, in grooves, without glue."""
    caught: dict[str, int] = {}
    for closing in work.order.closings:
        for joint, meeting in closing.joints:
            if not joint.glued and not KINDS[joint.kind].flat:
                caught[meeting.entering] = caught.get(meeting.entering, 0) + 1
    return tuple(mark for mark, count in caught.items() if count > 1)


def _closed(things: Things, space: Space) -> Iterable[ClosedFace]:
    scene = space.scene
    reach = scene.ticks.count(HAND_REACH)
    solids = {mark: scene.solids[scene.index(mark)] for marks in things for mark in marks}
    body = {mark: solid.body for mark, solid in solids.items()}
    of = {mark: number for number, marks in enumerate(things) for mark in marks}
    area: dict[tuple[str, int, bool], int] = {}
    room: dict[tuple[str, int, bool], int] = {}
    by: dict[tuple[str, int, bool], list[str]] = {}
    for one, other in combinations(body, 2):
        if of[one] == of[other]:
            continue
        found = _facing(solids[one], solids[other], reach)
        if found is None:
            continue
        axis, gap, where, one_high = found
        if _between(body.values(), axis, where):
            continue
        size = where.size
        facing = size[(axis + 1) % 3] * size[(axis + 2) % 3]
        for mark, high, against in ((one, one_high, other), (other, not one_high, one)):
            key = (mark, axis, high)
            area[key] = area.get(key, 0) + facing
            room[key] = min(room.get(key, gap), gap)
            by.setdefault(key, []).append(against)
    for (mark, axis, high), closed in area.items():
        piece, box = space.pieces[mark], body[mark]
        whole = box.size[(axis + 1) % 3] * box.size[(axis + 2) % 3]
        if scene.ticks.area(closed) >= LEAST_AREA and Fraction(closed, whole) >= LEAST_SHARE:
            face = piece.pose.face_toward(axis, high)
            length = scene.ticks.length(room[mark, axis, high])
            yield ClosedFace(mark, face, length, tuple(by[mark, axis, high]))


def _facing(one: Solid, other: Solid, reach: int) -> tuple[int, int, Box, bool] | None:
    """As `_faces`; of a piece that leans, as much as stands beside the other counts, not the box round all of it."""
    if not isinstance(one, Carved) and not isinstance(other, Carved):
        return _faces(one.body, other.body, reach)
    for axis in AXES:
        mine, its = part_beside(one, other.body, axis), part_beside(other, one.body, axis)
        found = _faces(mine, its, reach) if mine is not None and its is not None else None
        if found is not None and found[0] == axis:
            return found
    return None


def _faces(one: Box, two: Box, reach: int) -> tuple[int, int, Box, bool] | None:
    """The axis along which two boxes face each other across a gap, the gap, the box between them, and whether the
    second lies on the high side of the first."""
    lo, hi = [0, 0, 0], [0, 0, 0]
    apart = None
    for k in AXES:
        low, high = max(one.lo[k], two.lo[k]), min(one.hi[k], two.hi[k])
        if low < high:
            lo[k], hi[k] = low, high
            continue
        if apart is not None or not 0 < low - high < reach:
            return None
        apart = k
        lo[k], hi[k] = high, low
    if apart is None:
        return None
    between = Box(_corner(lo), _corner(hi))
    return apart, hi[apart] - lo[apart], between, two.lo[apart] >= one.hi[apart]


def _corner(values: Sequence[int]) -> Corner:
    return values[0], values[1], values[2]


def _between(bodies: Iterable[Box], axis: int, where: Box) -> bool:
    """Whether something fills the gap: then the two do not face each other."""
    return any((shared := body.overlap(where)) is not None and shared.volume * 2 > where.volume for body in bodies)
