"""Holes by face, as they are marked out and drilled.

Every face is looked at straight on, with end A at the left (an end: with the face edge at the left). Where the edge to
gauge from lies then, at the bottom or at the top, depends on the face, for turning a solid round to its back puts the
face edge on the other side; and on the hand of the piece: of a mirrored pair one has its face edge at the bottom and
one at the top, though their measures are the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Literal

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.length import ZERO, Length
from shopdocs.model.build import Build
from shopdocs.model.joining import Face, HoleUse
from shopdocs.model.parts import Part, Piece
from shopdocs.work.space.drilled import Drilled
from shopdocs.work.space.ends import PLAIN, Extent, extent_of, unplaced_extent
from shopdocs.work.space.placed import PlacedPiece, pose_of, side_of

# Faces whose edge to gauge from lies at the top, for a piece of the usual hand: looking at the face side with end A at
# the left, the face edge is at the bottom.
REFERENCE_AT_TOP = (Face.BACK, Face.EDGE, Face.B)


class FaceHoles(Struct, frozen=True):
    """All holes of one face, for every piece where they are the same. Sizes and centres count from where the face
    really ends (`along`, `across` say how), not from the body that the build describes. `from_far_edge`: what lies
    across counts from the far edge. `both_hands`: pieces that mirror each other share it, for all holes lie in the
    middle across it. `half_turn`: its template serves the other edge as well, or the other end (and edge), turned half
    round with its printed side up."""

    part: Part
    face: Face
    marks: tuple[str, ...]
    width: Length  # along
    height: Length  # across
    through: Length  # thickness under the face
    holes: tuple[Drilled, ...]
    other_hand: bool = False
    along: Extent = PLAIN
    across: Extent = PLAIN
    from_far_edge: bool = False
    both_hands: bool = False
    half_turn: Literal["", "edge", "end"] = ""

    @property
    def reference_at_top(self) -> bool:
        """Whether the edge to gauge from is at the top of the picture of the face."""
        return ((self.face in REFERENCE_AT_TOP) != self.other_hand) != self.from_far_edge

    def by_edges(self, widest: Length) -> tuple[FaceHoles, ...]:
        """The face as it is, or, where a broad side is wider than `widest`, the holes that are nearer the face edge
        and those nearer the far edge, which then count from there."""
        if self.face not in (Face.FACE, Face.BACK) or self.height <= widest:
            return (self,)
        near = tuple(hole for hole in self.holes if hole.across * 2 <= self.height)
        far = tuple(
            replace(hole, across=self.height - hole.across) for hole in self.holes if hole.across * 2 > self.height
        )
        turned = Extent(self.across.end, self.across.start)
        sides = (replace(self, holes=near), replace(self, holes=far, across=turned, from_far_edge=True))
        return tuple(side for side in sides if side.holes)


def for_both_hands(one: FaceHoles, other: FaceHoles) -> FaceHoles | None:
    """One face for pieces that mirror each other, where the very same holes lie in the middle across it: then it does
    not matter which edge one counts from, and neither has to be turned over. None where it does."""
    same = [(face.part.name, face.face, face.along, face.across, face.from_far_edge) for face in (one, other)]
    holes = [[_signature(hole) for hole in face.holes] for face in (one, other)]
    if (
        same[0] != same[1]
        or holes[0] != holes[1]
        or one.other_hand == other.other_hand
        or one.from_far_edge
        or one.across.start != one.across.end
        or any(hole.across * 2 != one.height or hole.bore.slanting is not None for hole in one.holes)
    ):
        return None
    return replace(one, marks=(*one.marks, *other.marks), both_hands=True)


def is_of_other_hand(part: Part, piece: Piece) -> bool:
    """Whether, looking at the face side with end A at the left, the face edge is at the top. A part that does not say
    how it lies is taken to be of the usual hand."""
    pose = pose_of(part, piece)
    return pose is not None and pose.right_handed


def face_size(part: Part, face: Face) -> tuple[Length, Length, Length]:
    """Extent of a face along and across, and the depth of wood under it."""
    if face in (Face.FACE, Face.BACK):
        return part.length, part.width, part.thickness
    if face in (Face.EDGE, Face.FAR_EDGE):
        return part.length, part.thickness, part.width
    return part.width, part.thickness, part.length


def face_holes(
    build: Build,
    holes: Iterable[Drilled],
    placed: Mapping[str, PlacedPiece] | None = None,
    added: Mapping[str, tuple[Length, Length]] | None = None,
) -> tuple[FaceHoles, ...]:
    """Holes by face; pieces of one part and one hand with the very same holes share one entry.

    `placed` are the pieces that have a place, with their joints; `added` what the joints of the others add at end A and
    end B.
    """
    parts = {piece.mark: part for part, piece in build.pieces()}
    hands = {piece.mark: is_of_other_hand(part, piece) for part, piece in build.pieces()}
    by_face: dict[tuple[str, Face], list[Drilled]] = {}
    for hole in holes:
        by_face.setdefault((hole.piece, hole.face), []).append(hole)
    extents: dict[tuple[str, Face], tuple[Extent, Extent]] = {}
    shared: dict[tuple[str, Face, bool, tuple[Extent, Extent], tuple[Any, ...]], list[str]] = {}
    for (mark, face), own in by_face.items():
        found = extents[mark, face] = extents_of_face(build, parts[mark], mark, face, placed or {}, added or {})
        signature = tuple(sorted(_signature(hole) for hole in own))
        shared.setdefault((parts[mark].name, face, hands[mark], found, signature), []).append(mark)
    order = {piece.mark: i for i, (_, piece) in enumerate(build.pieces())}
    out = []
    for (_, face, other_hand, (along, across), _), marks in shared.items():
        part = parts[marks[0]]
        wide, high, through = face_size(part, face)
        wide, high = wide + along.start.flush + along.end.flush, high + across.start.flush + across.end.flush
        real = [
            replace(hole, along=hole.along + along.start.flush, across=hole.across + across.start.flush)
            for hole in by_face[marks[0], face]
        ]
        real.sort(key=lambda hole: (hole.along, hole.across, -hole.bore.bit.mm))  # a recess before the hole in it
        marks.sort(key=lambda mark: order[mark])
        out.append(FaceHoles(part, face, tuple(marks), wide, high, through, tuple(real), other_hand, along, across))
    return tuple(out)


def extents_of_face(
    build: Build,
    part: Part,
    mark: str,
    face: Face,
    placed: Mapping[str, PlacedPiece],
    added: Mapping[str, tuple[Length, Length]],
) -> tuple[Extent, Extent]:
    """How a face ends along it and across it. `placed` and `added` as for `face_holes`."""
    look, _ = side_of(face)
    first, second = [axis for axis in range(3) if axis != look]
    if mark in placed:
        return extent_of(placed[mark], face, first), extent_of(placed[mark], face, second)
    ends = added.get(mark, (ZERO, ZERO))
    return (
        unplaced_extent(build, part, mark, face, first, ends),
        unplaced_extent(build, part, mark, face, second, ends),
    )


def _signature(hole: Drilled) -> tuple[Any, ...]:
    found = hole.bore
    depth = found.depth.mm if found.depth else -1
    slot = found.slot.mm if found.slot else 0
    head = found.head.mm if found.head else 0
    place = hole.along.mm, hole.across.mm, found.bit.mm, found.use.value, depth, slot, hole.slot_turned, head
    way = (found.slanting.way, found.slanting.behind.mm) if found.slanting is not None else ()
    return *place, hole.through_mate != "", way


class BitRow(Struct, frozen=True):
    """One line of the drilling schedule: everything that is drilled with one bit at one depth stop."""

    bit: Length
    depth: Length | None
    use: HoleUse
    holes: tuple[Drilled, ...]


def schedule(holes: Iterable[Drilled]) -> tuple[BitRow, ...]:
    """Bit by bit from the largest down, so that recesses come before the holes in their middle; then by depth."""
    rows: dict[tuple[Length, Length | None, HoleUse], list[Drilled]] = {}
    for hole in holes:
        rows.setdefault((hole.bore.bit, hole.bore.depth, hole.bore.use), []).append(hole)
    ordered = sorted(rows, key=lambda key: (-key[0].mm, key[2].value, key[1].mm if key[1] else -1))
    return tuple(BitRow(bit, depth, use, tuple(rows[bit, depth, use])) for bit, depth, use in ordered)


def inside(part: Part, hole: Drilled) -> bool:
    """Whether the whole hole, slot included, lies on its face."""
    width, height, _ = face_size(part, hole.face)
    radius = hole.bore.bit / 2
    reach_along = hole.bore.slot / 2 if hole.bore.slot and not hole.slot_turned else radius
    reach_across = hole.bore.slot / 2 if hole.bore.slot and hole.slot_turned else radius
    reach_along, reach_across = max(reach_along, radius), max(reach_across, radius)
    return (
        hole.along - reach_along >= ZERO
        and hole.along + reach_along <= width
        and hole.across - reach_across >= ZERO
        and hole.across + reach_across <= height
    )
