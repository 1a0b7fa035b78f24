"""Holes as lines through the build: where they come out on a neighbour, and what a screw in them passes through.

Everything is counted in ticks of its own, finer than those of the scene: they divide every length of a hole as well.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property

from msgspec import Struct

from shopdocs.core.box import Box, Corner, Ticks
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position
from shopdocs.model.build import Build
from shopdocs.model.joining import Face, HoleUse, Screw
from shopdocs.model.parts import Part
from shopdocs.work.scene.in_space import Space, bore_of
from shopdocs.work.shapes.carved import rough_cells
from shopdocs.work.space.askew_piece import AskewPiece
from shopdocs.work.space.drilled import Drilled, use_of
from shopdocs.work.space.leaning_piece import LeaningPiece
from shopdocs.work.space.placed import Bore, PlacedPiece, side_of
from shopdocs.work.space.tipped_board import TippedPiece

NEAR = Length("12.7")  # holes and edges closer than this to an axis were meant to be met (common practice, no source)
FASTENING = (HoleUse.CLEARANCE, HoleUse.PILOT, HoleUse.PLAIN)  # a recess takes a head or a foot and holds nothing


class Line(Struct, frozen=True, eq=False):
    """A hole in the build: from `entry` along `axis`, to the high side if `ahead`, as far as the coordinate `end`.

    `piece` is the index of its piece in the scene; `slack` how far a fastener may lie off the axis along x, y and z
    (a slot's length less its bit, halved); `seat` how deep the head sits, the recess round the same centre; `name` that
    of the hardware or the joint; `at` its place in the file, `hole_at` that of the hole in its pattern; `joint` the
    number of the meeting that it belongs to, 0 for hardware.
    """

    piece: int
    mark: str
    face: Face
    axis: int
    ahead: bool
    entry: Corner
    end: int
    through: bool
    radius: int
    slack: Corner
    use: HoleUse
    screw: Screw | None
    countersunk: bool
    seat: int
    name: str
    at: Position
    hole_at: Position
    joint: int = 0

    @property
    def across(self) -> tuple[int, int]:
        """The two axes square to the hole."""
        return ((self.axis + 1) % 3, (self.axis + 2) % 3)

    def along(self, coordinate: int) -> int:
        """How far behind the entry a plane lies, in the sense of drilling."""
        return (coordinate - self.entry[self.axis]) * (1 if self.ahead else -1)

    def off(self, box: Box) -> int:
        """How far the axis passes outside a box, square to the axis; 0 where it passes through it."""
        return max(max(box.lo[k] - self.entry[k], self.entry[k] - box.hi[k], 0) for k in self.across)

    def within(self, box: Box) -> bool:
        """Whether the whole round of the hole passes through a box."""
        return all(
            box.lo[k] <= self.entry[k] - self.radius and self.entry[k] + self.radius <= box.hi[k] for k in self.across
        )


class Mouth(Struct, frozen=True, eq=False):
    """Where a hole opens onto a neighbour (its index in the scene). `outward`: the hole comes out there and a fastener
    goes on into the neighbour; else it is drilled from there. `off` is how far the axis passes beside the touching
    rectangles, `plane` the coordinate where they touch; where the joint leaves room there, `air` lies between the plane
    and the neighbour's wood."""

    line: Line
    neighbour: int
    outward: bool
    plane: int
    off: int
    air: int = 0


class Passage(Struct, frozen=True):
    """What a screw does behind the piece that its head is in: `into` are the pieces it enters, as far as it can be
    known. `beyond` is how far its tip stands out of the last of them (0 where it ends in wood). `before` is the
    hole's length as far as the first of them, `last` that to where the last begins, `room` that to its end (0 where
    that does not matter)."""

    into: tuple[int, ...]
    beyond: int = 0
    before: int = 0
    room: int = 0
    last: int = 0


class Facing(Struct, frozen=True):
    """A rectangle in which a neighbour (its index in the scene) touches a piece, on its high side or its low one.

    Where they face each other across the room in a joint, the rectangle lies on the floor of the cut for both: `before`
    is the air from the piece to it, `beyond` that from it to the neighbour."""

    neighbour: int
    where: Box
    high: bool
    before: int = 0
    beyond: int = 0


class Fastening(Struct, frozen=True, dict=True):
    """All holes of the placed pieces, and where they open onto neighbours; `met` are the pieces that hardware says it
    meets at an angle, with what it comes from and its name."""

    space: Space
    ticks: Ticks
    lines: tuple[Line, ...]
    met: tuple[tuple[int, int, str], ...] = ()

    @cached_property
    def mouths(self) -> tuple[Mouth, ...]:
        """Every place where a hole opens onto a neighbour."""
        return tuple(mouth for line in self.lines for mouth in self._mouths(line))

    def _mouths(self, line: Line) -> Iterator[Mouth]:
        nearest: dict[tuple[int, bool, int, int], int] = {}
        for facing in self.touches(line.piece, line.axis):
            plane = facing.where.lo[line.axis]
            outward = facing.high == line.ahead
            behind = line.along(plane)
            if (outward and not 0 < behind <= line.along(line.end) + facing.before) or (not outward and behind > 0):
                continue
            off = line.off(facing.where)
            key = (facing.neighbour, outward, plane, facing.beyond)
            if off <= self.near and off < nearest.get(key, self.near + 1):
                nearest[key] = off
        for (neighbour, outward, plane, air), off in nearest.items():
            yield Mouth(line, neighbour, outward, plane, off, air)

    @cached_property
    def near(self) -> int:
        """NEAR in ticks."""
        return self.ticks.count(NEAR)

    @cached_property
    def scale(self) -> int:
        """So many of these ticks make one of the scene's."""
        return self.ticks.per_mm // self.space.scene.ticks.per_mm

    @cached_property
    def _facings(self) -> dict[tuple[int, int], list[Facing]]:
        return {}

    def touches(self, piece: int, axis: int) -> list[Facing]:
        """Where the neighbours of a piece touch it square to an axis."""
        found = self._facings.get((piece, axis))
        if found is None:
            found = []
            for pair in self.space.contacts.of_piece[piece]:
                first = pair.first == piece
                for touch in pair.touches:
                    if touch.axis == axis:
                        other = pair.second if first else pair.first
                        found.append(Facing(other, self.finer(touch.where), touch.high == first))
            found += self._across.get((piece, axis), ())
            self._facings[piece, axis] = found
        return found

    @cached_property
    def _across(self) -> Mapping[tuple[int, int], list[Facing]]:
        """Where a piece faces another across the room in their joint, square to an axis."""
        found: dict[tuple[int, int], list[Facing]] = defaultdict(list)
        for (first, second), touches in self.space.across.items():
            for touch in touches:
                where, gap = self.finer(touch.where), touch.gap * self.scale
                by = [0, 0, 0]
                by[touch.axis] = gap if touch.high else -gap
                body, plane = self.space.scene.solids[first].body, touch.where.lo[touch.axis]
                # a floor lies in the body of its piece, the end of a tenon outside it
                cut_in_first = body.lo[touch.axis] < plane < body.hi[touch.axis]
                floor, air = (where, (0, gap)) if cut_in_first else (where.shifted(by), (gap, 0))
                found[first, touch.axis].append(Facing(second, floor, touch.high, *air))
                found[second, touch.axis].append(Facing(first, floor, not touch.high, *air[::-1]))
        return found

    def finer(self, box: Box) -> Box:
        """A box of the scene in these ticks."""
        (a, b, c), (d, e, f), k = box.lo, box.hi, self.scale
        return Box((a * k, b * k, c * k), (d * k, e * k, f * k))

    @cached_property
    def _cells(self) -> dict[int, list[Box]]:
        return {}

    def cells(self, piece: int) -> list[Box]:
        """The wood of a piece."""
        if piece not in self._cells:
            self._cells[piece] = [self.finer(cell) for cell in rough_cells(self.space.scene.solids[piece])]
        return self._cells[piece]

    @cached_property
    def of_piece(self) -> Mapping[int, list[Line]]:
        """The holes of each piece, by its number in the scene."""
        found: dict[int, list[Line]] = defaultdict(list)
        for line in self.lines:
            found[line.piece].append(line)
        return found

    @cached_property
    def bound(self) -> frozenset[tuple[int, int]]:
        """Pairs of pieces, each both ways round, through whose touching faces a fastener passes.

        A hole that comes out on a neighbour takes one into it; a pilot that is drilled from the touching face takes
        the screw that comes through the neighbour; any other hole drilled from there (a dowel's) only where the
        neighbour has one opposite.
        """
        found = {pair for one, other, _ in self.met for pair in ((one, other), (other, one))}
        for mouth in self.mouths:
            ways = [(mouth.line.piece, other) for other in self._entered(mouth)]
            found.update(ways)
            found.update((other, one) for one, other in ways)
        return frozenset(found)

    @cached_property
    def ties(self) -> tuple[tuple[Line, int], ...]:
        """Every hole that a fastener passes through and the piece (its number in the scene) it goes on into first."""
        return tuple((mouth.line, entered[0]) for mouth in self.mouths if (entered := self._entered(mouth)))

    @cached_property
    def held_by(self) -> Mapping[str, frozenset[str]]:
        """The marks of the pieces between which the fasteners of each hardware pass, by its name, as `bound` does."""
        found: dict[str, set[str]] = defaultdict(set)
        for one, other, name in self.met:
            found[name].update(self.space.scene.pieces[i].mark for i in (one, other))
        for mouth in self.mouths:
            entered = self._entered(mouth)
            if entered and not mouth.line.joint:
                marks = (self.space.scene.pieces[other].mark for other in entered)
                found[mouth.line.name].update((mouth.line.mark, *marks))
        return {name: frozenset(marks) for name, marks in found.items()}

    def _entered(self, mouth: Mouth) -> tuple[int, ...]:
        """The pieces that a fastener in this hole goes on into, by their numbers in the scene."""
        line = mouth.line
        if mouth.off or line.use not in FASTENING:
            return ()
        if mouth.outward and line.screw is not None and line.use is HoleUse.CLEARANCE:
            return tuple(self.passage(mouth).into)
        meets = mouth.outward or line.use is HoleUse.PILOT or self._faces_another(mouth)
        return (mouth.neighbour,) if meets else ()

    def _faces_another(self, mouth: Mouth) -> bool:
        line = mouth.line
        return any(
            other.axis == line.axis and other.use in FASTENING and apart(line, other) <= line.radius + other.radius
            for other in self.of_piece[mouth.neighbour]
        )

    def passage(self, mouth: Mouth) -> Passage:
        """What a screw passes through from the piece of its hole on. A bolt, a screw without a length, and one whose
        head is at another piece enter the neighbour; how far they go is not known."""
        line = mouth.line
        length = line.screw.length if line.screw else None
        if length is None or line.screw is None or line.screw.bolt or line in self._begun_elsewhere:
            return Passage((mouth.neighbour,))
        tip = line.seat + self.ticks.count(length)
        at = before = last = line.along(mouth.plane) + mouth.air
        if tip <= before:
            return Passage((), before=before)
        entered: list[int] = []
        piece: int | None = mouth.neighbour
        while piece is not None and piece not in entered:
            entered.append(piece)
            last, at = at, self._wood_end(line, piece, at)
            if tip <= at:
                return Passage(tuple(entered), before=before, room=at, last=last)
            piece, at = self._next(line, piece, at)
        if self._goes_on(line, entered[-1]):
            return Passage(tuple(entered), before=before)
        return Passage(tuple(entered), tip - at, before, at, last)

    @cached_property
    def _begun_elsewhere(self) -> frozenset[Line]:
        """Holes whose mouth is covered by a neighbour: the head of their screw is not in their own piece."""
        return frozenset(mouth.line for mouth in self.mouths if not mouth.outward and not mouth.off)

    def _goes_on(self, line: Line, piece: int) -> bool:
        """Whether the piece has a wider hole of its own there, right through: the screw is meant to go on."""
        return any(
            other.through
            and other.axis == line.axis
            and other.use is not HoleUse.PILOT
            and apart(line, other) <= other.radius
            for other in self.of_piece[piece]
        )

    def _wood_end(self, line: Line, piece: int, at: int) -> int:
        """How far the wood of a piece goes on along the axis of a hole, from a plane on."""
        spans = []
        for cell in self.cells(piece):
            if line.off(cell) == 0:
                ends = sorted((line.along(cell.lo[line.axis]), line.along(cell.hi[line.axis])))
                spans.append((ends[0], ends[1]))
        for low, high in sorted(spans):
            if low <= at < high:
                at = high
        return at

    def _next(self, line: Line, piece: int, at: int) -> tuple[int | None, int]:
        """The piece that begins where the wood of another ends, or across the room there, and where it does."""
        for facing in self.touches(piece, line.axis):
            plane = line.along(facing.where.lo[line.axis])
            if facing.high == line.ahead and plane == at + facing.before and line.off(facing.where) == 0:
                return facing.neighbour, plane + facing.beyond
        return None, at

    def measures_on(self, line: Line, other: Line) -> tuple[Length, Length]:
        """Where the axis of `line` passes the face that `other` is drilled from: along and across, as a maker measures
        on that face."""
        return self.measures(line, other.piece, other.face)

    def measures(self, line: Line, piece: int, face: Face) -> tuple[Length, Length]:
        """Where the axis of `line` passes a face of a piece, along and across, as a maker measures on that face."""
        point = [self.ticks.length(value) for value in line.entry]
        spot = self.space.scene.pieces[piece].spot_in_piece(point)
        axis, _ = side_of(face)
        first, second = [k for k in (0, 1, 2) if k != axis]
        return spot[first], spot[second]


def apart(one: Line, other: Line) -> int:
    """How far two holes along one axis lie apart, along the direction where they lie farthest; less what slots give."""
    return max(max(abs(one.entry[k] - other.entry[k]) - one.slack[k] - other.slack[k], 0) for k in one.across)


class _Found(Struct, frozen=True):
    """A hole before it is counted in ticks."""

    mark: str
    bore: Bore
    use: HoleUse
    name: str
    at: Position
    hole_at: Position
    seat: Length = ZERO
    slack: Length = ZERO
    drilled: Drilled | None = None
    joint: int = 0

    def lengths(self) -> Iterator[Length]:
        yield from (*self.bore.centre, self.bore.diameter / 2, self.seat, self.slack)
        if self.bore.depth is not None:
            yield self.bore.depth
        if self.drilled is not None and self.drilled.bore.screw is not None:
            yield self.drilled.bore.screw.length or ZERO


def fastening_of(build: Build, space: Space, holes: Iterable[Drilled]) -> Fastening:
    """The holes of hardware and joints in space; those in pieces that lean, and in faces of tipped ones that are off
    square, end there and lead nowhere. Slanting ones are not among them."""
    index = {piece.mark: i for i, piece in enumerate(space.scene.pieces)}
    parts = {piece.mark: part for part, piece in build.pieces()}
    holes = tuple(holes)
    square = [one for one in holes if one.bore.slanting is None and leads_on(space.pieces.get(one.piece), one.face)]
    found = list(_of_hardware(square, parts))
    found += [
        each
        for each in _of_joints(build, space)
        if each.bore.slanting is None and leads_on(space.pieces.get(each.mark), each.bore.face)
    ]
    lengths = (length for each in found for length in each.lengths())
    ticks = space.scene.ticks.finer((NEAR, *lengths))
    lines = (_line(each, index[each.mark], space.scene.pieces[index[each.mark]], ticks) for each in found)
    return Fastening(space, ticks, tuple(lines), tuple(_met(space, index, holes)))


def _met(space: Space, index: Mapping[str, int], holes: tuple[Drilled, ...]) -> Iterator[tuple[int, int, str]]:
    """The pieces that hardware meets where its holes are not followed along the build, and has holes in."""
    there = {(hole.piece, hole.hardware, hole.place.at) for hole in holes}
    for hole in holes:
        other = hole.place.meets
        if other in index and (other, hole.hardware, hole.place.at) in there:
            askew = [isinstance(space.pieces.get(mark), AskewPiece) for mark in (hole.piece, other)]
            if any(askew) and hole.piece in index:
                yield index[hole.piece], index[other], hole.hardware


def leads_on(piece: PlacedPiece | None, face: Face) -> bool:
    """Whether a hole in this face of a piece runs along a direction of the build; False for one without a place."""
    if isinstance(piece, TippedPiece):
        return piece.is_square(face)
    return piece is not None and not isinstance(piece, LeaningPiece)


def lines_alone(piece: PlacedPiece, part: Part, holes: list[Drilled]) -> tuple[Ticks, tuple[Line, ...]]:
    """The holes of hardware in a piece by itself, in ticks of their own."""
    found = list(_of_hardware(holes, {piece.mark: part}))
    ticks = Ticks.of((*piece.lengths(), *(length for each in found for length in each.lengths())))
    return ticks, tuple(_line(each, 0, piece, ticks) for each in found)


def _of_hardware(holes: list[Drilled], parts: Mapping[str, Part]) -> Iterator[_Found]:
    seats: dict[tuple[str, Face, Length, Length], Length] = {}  # recesses, by their centres
    for hole in holes:
        if hole.bore.use is HoleUse.RECESS and hole.bore.depth is not None:
            key = (hole.piece, hole.face, hole.along, hole.across)
            seats[key] = max(hole.bore.depth, seats.get(key, ZERO))
    for hole in holes:
        seat = seats.get((hole.piece, hole.face, hole.along, hole.across), ZERO)
        slot = hole.bore.slot
        slack = (slot - hole.bore.bit) / 2 if slot is not None and slot > hole.bore.bit else ZERO
        yield _Found(
            hole.piece,
            bore_of(hole, parts[hole.piece]),
            hole.bore.use,
            hole.hardware,
            hole.place.at,
            hole.hole.at,
            seat,
            slack,
            hole,
        )


def _of_joints(build: Build, space: Space) -> Iterator[_Found]:
    for joint, meeting in build.meetings():
        joinery = space.joinery.get(meeting.number)
        if joinery is None:
            continue
        for mark, features in ((meeting.entering, joinery.entering), (meeting.receiving, joinery.receiving)):
            for bore in features:
                use = use_of(bore.kind)
                if isinstance(bore, Bore) and use is not None:
                    yield _Found(mark, bore, use, joint.name, meeting.at, meeting.at, joint=meeting.number)


def _line(found: _Found, index: int, piece: PlacedPiece, ticks: Ticks) -> Line:
    bore, drilled = found.bore, found.drilled
    axis, high = piece.pose.look_of(bore.face)
    spot = piece.spot_in_build(bore.centre)
    x, y, z = (ticks.count(value) for value in spot)
    entry = (x, y, z)
    wood = piece.extent[axis]
    depth = wood if bore.depth is None else min(bore.depth, wood)
    slack = [0, 0, 0]
    if drilled is not None and found.slack > ZERO:
        own = [k for k in (0, 1, 2) if k != side_of(bore.face)[0]]  # a slot runs along the face, or across it if turned
        slack[piece.pose.build_axis(own[drilled.slot_turned])] = ticks.count(found.slack)
    return Line(
        piece=index,
        mark=piece.mark,
        face=bore.face,
        axis=axis,
        ahead=not high,
        entry=entry,
        end=ticks.count(spot[axis] - depth if high else spot[axis] + depth),  # so that a rounded one still meets a face
        through=depth == wood,
        radius=ticks.count(bore.diameter / 2),
        slack=(slack[0], slack[1], slack[2]),
        use=found.use,
        screw=drilled.bore.screw if drilled else None,
        countersunk=drilled.hole.countersunk if drilled else False,
        seat=ticks.count(found.seat),
        name=found.name,
        at=found.at,
        hole_at=found.hole_at,
        joint=found.joint,
    )
