"""The build in space: its pieces with all joints and holes cut, and everything that follows from where they lie."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.box import Touch
from shopdocs.core.length import ZERO, Length
from shopdocs.core.memory import let_go
from shopdocs.model.build import Build
from shopdocs.model.joining import Face, HoleUse, Joint, Meeting
from shopdocs.model.parts import MaterialKind, Part
from shopdocs.work.joints.across import across_rooms
from shopdocs.work.joints.frame import STEPS, Joinery, JointSizes
from shopdocs.work.joints.joinery import joined_pieces
from shopdocs.work.joints.room import room_of
from shopdocs.work.scene.own_cuts import own_cuts, turned_pieces, worked_edges
from shopdocs.work.space.alike_edges import settled_edges
from shopdocs.work.space.arrises import SHORT, EdgeFinding, EdgeName, Verdict, edge_name, find_edges
from shopdocs.work.space.contacts import Contacts, find_contacts
from shopdocs.work.space.drilled import Drilled
from shopdocs.work.space.in_place import placed_piece
from shopdocs.work.space.likeness import LookAlikes, find_look_alikes
from shopdocs.work.space.outside import outside_faces
from shopdocs.work.space.placed import Bore, FeatureKind, PlacedPiece, Scene, Spot
from shopdocs.work.space.wrong_ways import Fitting, WrongWay

NEAR_MISS = Length("1.6")  # faces this close were meant to touch (common practice: no gap is made so narrow on purpose)
NEARLY_ALIKE = Length("3.2")  # pieces that differ by less are taken for each other at arm's length (common practice)

_HOLE_KINDS = {
    HoleUse.CLEARANCE: FeatureKind.SCREW_HOLE,
    HoleUse.PILOT: FeatureKind.PILOT_HOLE,
    HoleUse.PLAIN: FeatureKind.HOLE,
    HoleUse.RECESS: FeatureKind.BORED_RECESS,
}


class Space(Struct, frozen=True, dict=True):
    """All pieces that have a place. `joinery` by the number of the meeting, for meetings of placed pieces."""

    scene: Scene
    joinery: Mapping[int, Joinery]
    said: Mapping[str, Mapping[EdgeName, Verdict]]
    units: str
    free_standing: bool = True

    @cached_property
    def pieces(self) -> Mapping[str, PlacedPiece]:
        """Every placed piece with its features, by mark."""
        return {piece.mark: piece for piece in self.scene.pieces}

    @cached_property
    def contacts(self) -> Contacts:
        """Who touches whom, and who nearly does."""
        return find_contacts(self.scene, NEAR_MISS)

    @cached_property
    def across(self) -> Mapping[tuple[int, int], tuple[Touch, ...]]:
        """Where two pieces face each other across the room in their joint, by their index in the scene."""
        return across_rooms(self.scene, self.joinery)

    @cached_property
    def outside(self) -> Mapping[str, frozenset[Face]]:
        """The long faces of each piece that look out of the build."""
        return outside_faces(self.scene)

    @cached_property
    def look_alikes(self) -> LookAlikes:
        """Which pieces can be taken for each other, worked out once."""
        return find_look_alikes(self.scene, NEARLY_ALIKE)

    def edges(self, mark: str) -> tuple[EdgeFinding, ...]:
        """The twelve edges of a piece with what is done to them, alike on all pieces that are interchangeable."""
        return self._edges[mark]

    @cached_property
    def _edges(self) -> Mapping[str, tuple[EdgeFinding, ...]]:
        def found(mark: str) -> tuple[EdgeFinding, ...]:
            return find_edges(self.contacts, mark, self.said.get(mark), self._floor, SHORT[self.units])

        return settled_edges(self.scene.pieces, self.fitting.shapes, self.look_alikes.kinds, found)

    @property
    def _floor(self) -> Length | None:
        """None where the lowest piece stands on the floor; what hangs on a wall has none in reach."""
        return None if self.free_standing else self.scene.ticks.length(self.scene.bounds.lo[2]) - Length(1000)

    @cached_property
    def fitting(self) -> Fitting:
        """What goes in where, right or wrong."""
        return Fitting(self.contacts)

    def let_go(self) -> None:
        """Let go of all that was worked out, of the pieces and their solids too: of a thousand pieces it is many
        megabytes. Where it is asked for again, it is worked out again."""
        let_go(self, self.scene, *self.scene.pieces, *self.scene.solids)

    def wrong_ways(self, mark: str) -> tuple[WrongWay, ...]:
        """The ways a piece goes into its own place and is wrong."""
        return self.fitting.wrong_ways(mark)


def space_of(build: Build, holes: Iterable[Drilled], moves: Mapping[str, Fraction] | None = None) -> Space | None:
    """The build in space; None where no piece has a place. `moves` says by how much of its width the wood of a part
    moves over a year."""
    rounds = turned_pieces(build)
    bare = [
        replace(placed, turned=rounds.get(piece.mark)) if rounds else placed
        for part, piece in build.pieces()
        if (placed := placed_piece(part, piece))
    ]
    if not bare:
        return None
    marks = {piece.mark for piece in bare}
    meetings = [(j, m) for j, m in build.meetings() if {m.entering, m.receiving} <= marks]
    parts = {piece.mark: part for part, piece in build.pieces()}
    shares = {mark: (moves or {}).get(part.name) for mark, part in parts.items()}
    joined, joinery = joined_pieces(bare, [_sizes(build, j, m, parts, shares) for j, m in meetings], build.cuts)
    bores: dict[str, list[Bore]] = {}
    for hole in holes:
        bores.setdefault(hole.piece, []).append(bore_of(hole, parts[hole.piece]))
    own = own_cuts(build)
    pieces = tuple(piece.with_features(*own.get(piece.mark, ()), *bores.get(piece.mark, ())) for piece in joined)
    numbers = (meeting.number for _, meeting in meetings)
    rooms = (made.room for made in joinery)  # of a joint at an angle no cut along the axes is as deep as that
    scene = Scene.of(pieces, NEAR_MISS, NEARLY_ALIKE, *rooms)
    return Space(scene, dict(zip(numbers, joinery, strict=True)), _said(build), build.units, build.free_standing)


def _sizes(
    build: Build, joint: Joint, meeting: Meeting, parts: Mapping[str, Part], shares: Mapping[str, Fraction | None]
) -> tuple[str, str, JointSizes]:
    part, number = parts[meeting.entering], str(meeting.number)
    sheet = build.material(part.material).kind is MaterialKind.SHEET
    sizes = JointSizes.of(joint, room_of(joint, build), number, STEPS[build.units], shares[meeting.entering], sheet)
    return meeting.entering, meeting.receiving, sizes


def bore_of(hole: Drilled, part: Part) -> Bore:
    """A drilled hole as a feature of its piece."""
    found = hole.bore
    head = found.head if found.head and found.angle and found.head > found.bit else None
    axes = {Face.A: (1, 2), Face.B: (1, 2), Face.EDGE: (0, 2), Face.FAR_EDGE: (0, 2)}.get(hole.face, (0, 1))
    bolted = found.use is HoleUse.CLEARANCE and hole.hole.screw is not None and hole.hole.screw.bolt
    kind = FeatureKind.BOLT_HOLE if bolted else _HOLE_KINDS[found.use]
    return Bore(
        kind,
        hole.face,
        spot_of(hole, part),
        found.bit,
        found.depth,
        hole.hardware,
        head=head,
        slot=found.slot if found.slot and found.slot > found.bit else None,
        slot_axis=axes[hole.slot_turned],
        slanting=found.slanting,
    )


def spot_of(hole: Drilled, part: Part) -> Spot:
    """The hole's centre in piece coordinates: from end A, from the face edge, from the face side."""
    along, across = hole.along, hole.across
    behind = hole.bore.slanting.behind if hole.bore.slanting is not None else ZERO
    return {
        Face.FACE: (along, across, ZERO),
        Face.BACK: (along, across, part.thickness),
        Face.EDGE: (along, ZERO, across),
        Face.FAR_EDGE: (along, part.width, across),
        Face.A: (behind, along, across),
        Face.B: (part.length - behind, along, across),
    }[hole.face]


def _said(build: Build) -> dict[str, dict[EdgeName, Verdict]]:
    """What the maker decided about edges, by mark."""
    found: dict[str, dict[EdgeName, Verdict]] = {}
    shaped = worked_edges(build)
    for part, piece in build.pieces():
        own = {edge_name(Face(a), Face(b)): Verdict.SQUARE for a, b in part.leave_square}
        own |= {edge_name(Face(a), Face(b)): Verdict.CHAMFER for a, b in part.chamfer}
        own |= {edge: Verdict.SHAPED for edge in shaped.get(piece.mark, ())}
        if own:
            found[piece.mark] = own
    return found
