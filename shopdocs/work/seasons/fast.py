"""Wood fastened at two places that stay where they are, while it moves between them.

A piece is held across its grain by what it is glued and screwed to. Each of these is a place along its width, with so
much slack as a slot or a clearance hole leaves there. Another piece holds two places apart where its own grain runs
that way, or where such a piece ties it to the next; one whose width runs the same way moves along, and counts as one
place in its middle.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from functools import cached_property

from msgspec import Struct

from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position
from shopdocs.facts.screws import thread_diameter
from shopdocs.model.build import Build
from shopdocs.model.joining import Hardware, HolePlace, HoleUse, Joint, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import MaterialKind
from shopdocs.work.holes.fastening import Fastening, Line
from shopdocs.work.scene.in_space import Space
from shopdocs.work.seasons.bodies import Bodies
from shopdocs.work.seasons.tie import FAST_ACROSS, Sort, Tie
from shopdocs.work.seasons.wood import Moves
from shopdocs.work.space.askew_piece import AskewPiece
from shopdocs.work.space.placed import PlacedPiece, Spot, side_of


class _Place(Struct, frozen=True):
    """Where a piece is held: along the build axis that it moves on, with slack either way."""

    spot: Length
    slack: Length
    by: str
    through: str
    at: Position
    glued: bool = False
    slotted: bool = False


class _Net(Struct, frozen=True, dict=True):
    """Which pieces are tied to which, and which of them stand stiff along an axis."""

    build: Build
    space: Space
    fastening: Fastening

    @cached_property
    def sheets(self) -> Set[str]:
        """Marks of the pieces of sheet goods: stiff along both ways of the sheet."""
        kinds = {material.name: material.kind for material in self.build.materials}
        return {p.mark for part, p in self.build.pieces() if kinds[part.material] is MaterialKind.SHEET}

    @cached_property
    def meetings(self) -> Mapping[str, Sequence[tuple[Joint, Meeting]]]:
        """The joints of each piece, in reading order."""
        found: dict[str, list[tuple[Joint, Meeting]]] = {}
        for joint, meeting in self.build.meetings():
            for mark in dict.fromkeys((meeting.entering, meeting.receiving)):
                found.setdefault(mark, []).append((joint, meeting))
        return found

    @cached_property
    def ways(self) -> Mapping[str, Set[str]]:
        """The pieces that each is joined or screwed to; what may slide is no tie."""
        found: dict[str, set[str]] = {mark: set() for mark in self.space.pieces}
        pairs = [
            (meeting.entering, meeting.receiving)
            for joint, meeting in self.build.meetings()
            if meeting.number in self.space.joinery
            and not KINDS[joint.kind].slides
            and (joint.glued or not KINDS[joint.kind].rides)
        ]
        pieces = self.space.scene.pieces
        pairs += [(pieces[one].mark, pieces[other].mark) for one, other in self.fastening.bound]
        for one, other in pairs:
            found[one].add(other)
            found[other].add(one)
        return found

    def stiff(self, mark: str, axis: int) -> bool:
        """Whether a piece keeps its size along a build axis: its grain runs that way, or it is a sheet."""
        piece = self.space.pieces[mark]
        return piece.pose.build_axis(0) == axis or (mark in self.sheets and piece.pose.build_axis(2) != axis)

    @cached_property
    def bodies(self) -> Bodies:
        """What hangs together, with the pieces that stand stiff along x, y and z."""
        return Bodies(self.ways, [{mark for mark in self.space.pieces if self.stiff(mark, axis)} for axis in range(3)])

    @cached_property
    def let_in(self) -> Mapping[str, Sequence[tuple[Spot, Spot]]]:
        """What goes into another piece, in the build, by the number of its joint."""
        found: dict[str, list[tuple[Spot, Spot]]] = {}
        for piece in self.space.scene.pieces:
            for cuboid in piece.cuboids:
                if cuboid.adds:
                    found.setdefault(cuboid.joint, []).append(piece.range_in_build(cuboid.lo, cuboid.hi))
        return found

    @cached_property
    def sliding(self) -> Set[int]:
        """The numbers of the joints in which a piece may move."""
        return {meeting.number for joint, meeting in self.build.meetings() if KINDS[joint.kind].slides}

    def held(self, piece: str, axis: int, places: Sequence[_Place]) -> Iterator[list[_Place]]:
        """The places of a piece by the bodies that hold them: what hangs together without it, and holds its places
        along the axis."""
        found: dict[str, list[_Place]] = {}
        for place in places:
            body = self.bodies.body(piece, place.by)
            if body is not None:
                found.setdefault(body, []).append(place)
        yield from (each for body, each in found.items() if self.bodies.counted(piece, body, axis))


def fast_ties(build: Build, moves: Mapping[str, Moves], space: Space, fastening: Fastening) -> Iterator[Tie]:
    """Every piece that two places of one stiff body hold, more than it moves in between; and what is held by buttons
    and the like."""
    net = _Net(build, space, fastening)
    parts = {piece.mark: part.name for part, piece in build.pieces()}
    screwed: dict[str, list[tuple[Line, str, bool]]] = {}
    for line, other in fastening.ties:
        mark = space.scene.pieces[other].mark
        if line.use is not HoleUse.PILOT:
            screwed.setdefault(line.mark, []).append((line, mark, True))
            screwed.setdefault(mark, []).append((line, line.mark, False))
    for piece in space.scene.pieces:
        if parts[piece.mark] not in moves:
            continue
        wood = moves[parts[piece.mark]]
        axis = piece.pose.build_axis(1)
        places = [*_glued(net, piece, axis), *_screwed(net, piece, axis, screwed.get(piece.mark, []))]
        for held in net.held(piece.mark, axis, places) if len(places) > 1 else ():
            tie = _worst(piece, parts[piece.mark], wood, held)
            if tie is not None:
                yield tie
        yield from _held(net, piece, parts[piece.mark], wood)


def _worst(piece: PlacedPiece, part: str, wood: Moves, places: list[_Place]) -> Tie | None:
    """The two places between which it is most wronged: of no others is the change less slack as large."""
    share = wood.most
    low = min(places, key=lambda place: place.spot * share + place.slack)
    high = max(places, key=lambda place: place.spot * share - place.slack)
    span = high.spot - low.spot
    if span <= FAST_ACROSS:
        return None
    told = low if low.at > high.at else high
    return Tie(
        Sort.FAST,
        piece.mark,
        part,
        tuple(dict.fromkeys((low.by, high.by))),
        told.through,
        span,
        span * share,
        low.slack + high.slack,
        span * wood.shrinks,
        glued=low.glued and high.glued,
        slotted=low.slotted or high.slotted,
        at=told.at,
    )


def _glued(net: _Net, piece: PlacedPiece, axis: int) -> Iterator[_Place]:
    for joint, meeting in net.meetings.get(piece.mark, ()):
        if not joint.glued or KINDS[joint.kind].slides:
            continue
        if meeting.number not in net.space.joinery:
            continue
        by = meeting.receiving if meeting.entering == piece.mark else meeting.entering
        if isinstance(piece, AskewPiece):
            for spot in _across_it(net, piece, by, str(meeting.number), axis):
                yield _Place(spot, ZERO, by, joint.name, joint.at, glued=True)
            continue
        for spot in _stretch(net, piece, net.space.pieces[by], str(meeting.number), axis):
            yield _Place(spot, ZERO, by, joint.name, joint.at, glued=True)


def _stretch(net: _Net, piece: PlacedPiece, other: PlacedPiece, number: str, axis: int) -> tuple[Length, ...]:
    """Where a joint begins and ends along an axis: what goes in, else all that faces each other. The middle of the
    other piece, where that moves along; of what it is let in to, where it leans, for its foot stands elsewhere."""
    if not net.stiff(other.mark, axis):
        low, high = other.at[axis], other.far[axis]
        cuts = [piece.range_in_build(c.lo, c.hi) for c in piece.cuboids if c.joint == number and not c.adds]
        if cuts and isinstance(other, AskewPiece):
            low, high = min(lo[axis] for lo, _ in cuts), max(hi[axis] for _, hi in cuts)
        return ((low + high) / 2,)
    let_in = net.let_in.get(number, ())
    low = max(piece.at[axis], other.at[axis])
    high = min(piece.far[axis], other.far[axis])
    if let_in:
        low = max(low, min(lo[axis] for lo, _ in let_in))
        high = min(high, max(hi[axis] for _, hi in let_in))
    return (low, high) if low < high else ()


def _across_it(net: _Net, piece: PlacedPiece, by: str, number: str, axis: int) -> tuple[Length, ...]:
    """The same across a piece that leans or is tipped, from its face edge: a box round it says nothing of that."""
    spans = [(cut.lo[1], cut.hi[1]) for cut in piece.cuboids if cut.joint == number]
    spans += [(hole.centre[1], hole.centre[1]) for hole in piece.bores if hole.joint == number]
    low = max(min((low for low, _ in spans), default=ZERO), ZERO)
    high = min(max((high for _, high in spans), default=piece.width), piece.width)
    return (low, high) if net.stiff(by, axis) and low < high else ((low + high) / 2,)


def _screwed(net: _Net, piece: PlacedPiece, axis: int, lines: list[tuple[Line, str, bool]]) -> Iterator[_Place]:
    ticks = net.fastening.ticks
    for line, by, _ in lines:
        if line.axis == axis or line.joint in net.sliding:
            continue
        other = net.space.pieces[by]
        spot = ticks.length(line.entry[axis])
        if isinstance(piece, AskewPiece):
            spot = piece.spot_in_piece([ticks.length(value) for value in line.entry])[1]
        elif not net.stiff(by, axis) and not isinstance(other, AskewPiece):
            spot = (other.at[axis] + other.far[axis]) / 2
        slack = ticks.length(line.slack[axis])
        if line.screw is not None and line.use is HoleUse.CLEARANCE:
            size = line.screw.gauge if line.screw.gauge is not None else line.screw.diameter
            shank = thread_diameter(size) if size is not None else ZERO
            slack += max(ticks.length(line.radius) - shank / 2, ZERO)
        yield _Place(spot, slack, by, line.name, line.at, slotted=bool(line.slack[axis]))


# --- buttons and the like ---------------------------------------------------------------------------------------------


def _held(net: _Net, piece: PlacedPiece, part: str, wood: Moves) -> Iterator[Tie]:
    """What is held by hardware that no hole shows: as many places as it has on the piece. What rides along a rail whose
    grain runs the way the piece moves slides there, and needs no play."""
    axis = piece.pose.build_axis(1)
    for item in net.build.hardware:
        if piece.mark not in item.holds:
            continue
        rails = {
            rail.mark: rail
            for place in item.on
            if place.piece == piece.mark
            if (rail := rail_under(net.space, piece, place))
        }
        across = [rail for rail in rails.values() if rail.pose.build_axis(0) != axis]
        middles = [(rail.at[axis] + rail.far[axis]) / 2 for rail in across]
        if len(middles) > 1:
            span = max(middles) - min(middles)
            yield _held_tie(item, piece, part, wood, tuple(rail.mark for rail in across), span)


def _held_tie(item: Hardware, piece: PlacedPiece, part: str, wood: Moves, by: tuple[str, ...], span: Length) -> Tie:
    return Tie(
        Sort.HELD,
        piece.mark,
        part,
        by,
        item.name,
        span,
        span * wood.most / 2,
        item.play,
        span * wood.shrinks,
        each=True,
        at=item.places.get("play", item.at),
    )


def spot_of(piece: PlacedPiece, place: HolePlace) -> Spot:
    """Where a hole lies on its face, in the build."""
    axis, high = side_of(place.face)
    first, second = (k for k in range(3) if k != axis)
    spot = [ZERO, ZERO, ZERO]
    spot[first], spot[second] = place.along, place.across
    spot[axis] = piece.size[axis] if high else ZERO
    return piece.spot_in_build(spot)


def rail_under(space: Space, piece: PlacedPiece, place: HolePlace) -> PlacedPiece | None:
    """The piece that lies against the same face, nearest to a hole."""
    point = spot_of(piece, place)
    looks, _ = piece.pose.look_of(place.face)
    best: tuple[Length, PlacedPiece] | None = None
    for other in space.scene.pieces:
        if other.mark == piece.mark or point[looks] not in (other.at[looks], other.far[looks]):
            continue
        off = max(max(other.at[k] - point[k], point[k] - other.far[k], ZERO) for k in range(3) if k != looks)
        if best is None or off < best[0]:
            best = off, other
    return best[1] if best else None
