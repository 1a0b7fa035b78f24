"""Where the faces of a piece really end: with what a joint adds flush with them, or at a shoulder that shows on them.

One gauges from what one can lay a square or a template to. A panel that goes into its rabbet with its whole thickness
has no shoulder: its real edge is the edge of the wood that was sawn. A tenon leaves a shoulder, and that is the end.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from shopdocs.core.length import ZERO, Length
from shopdocs.model.build import Build
from shopdocs.model.joining import End, Face
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import Part
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece, side_of


class Ending(Struct, frozen=True):
    """One end or edge of a face: `flush` is how far wood flush with the face goes on past the body, over its whole
    width; `shoulder` whether more stands out beyond that, so that a shoulder shows there, and `beyond` what that is,
    empty where it is not known."""

    flush: Length = ZERO
    shoulder: bool = False
    beyond: tuple[FeatureKind, ...] = ()


BODY = Ending()  # nothing is added


class Extent(Struct, frozen=True):
    """A face along one axis: its ending at the side one counts from, and at the other."""

    start: Ending = BODY
    end: Ending = BODY


PLAIN = Extent()


def extent_of(piece: PlacedPiece, face: Face, axis: int) -> Extent:
    """How `face` really ends along a piece axis (0 length, 1 width, 2 thickness; not the one it stands square to)."""
    return Extent(_ending(piece, face, axis, False), _ending(piece, face, axis, True))


def gauged_extents(piece: PlacedPiece) -> tuple[Extent, Extent, Extent]:
    """How a piece ends along, across and deep where one marks it out: on the face side, and deep on the face edge."""
    return extent_of(piece, Face.FACE, 0), extent_of(piece, Face.FACE, 1), extent_of(piece, Face.EDGE, 2)


def _ending(piece: PlacedPiece, face: Face, axis: int, high: bool) -> Ending:
    look, far = side_of(face)
    other = 3 - look - axis
    reaches: list[tuple[Length, Cuboid]] = []
    for cuboid in piece.cuboids:
        reach = cuboid.hi[axis] - piece.size[axis] if high else -cuboid.lo[axis]
        if cuboid.adds and reach > ZERO:
            reaches.append((reach, cuboid))
    level = [
        (reach, cuboid)
        for reach, cuboid in reaches
        if cuboid.flare is None and (cuboid.hi[look] >= piece.size[look] if far else cuboid.lo[look] <= ZERO)
    ]
    flush = ZERO
    for reach in sorted({reach for reach, _ in level}):
        if _covers((cuboid for more, cuboid in level if more >= reach), other, piece.size[other]):
            flush = reach
    beyond = tuple(dict.fromkeys(cuboid.kind for reach, cuboid in reaches if reach > flush))
    return Ending(flush, bool(beyond), beyond)


def _covers(cuboids: Iterable[Cuboid], axis: int, size: Length) -> bool:
    """Whether they lie side by side over the whole of 0 to `size`."""
    at = ZERO
    for low, high in sorted((cuboid.lo[axis], cuboid.hi[axis]) for cuboid in cuboids):
        if low > at:
            break
        at = max(at, high)
    return at >= size


def unplaced_extent(build: Build, part: Part, mark: str, face: Face, axis: int, added: tuple[Length, Length]) -> Extent:
    """The same for a piece without a place, from the kinds of its joints. `added` is what all joints add at end A and
    end B. What is added to an edge is not known by its side; it counts as a shoulder's."""
    if axis != 0:
        return PLAIN
    found = []
    for end, more in zip((End.A, End.B), added, strict=True):
        flush = ZERO
        for joint, meeting in build.meetings():
            if meeting.entering != mark or meeting.end is not end:
                continue
            flush = max(flush, KINDS[joint.kind].flush(joint, part, face))
        found.append(Ending(flush, more > flush))
    return Extent(found[0], found[1])
