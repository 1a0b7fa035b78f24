"""Where the label of a piece is stuck, and which way its arrows point there.

A label always lies along the grain, and is read along it. It goes on a long face that looks out of the build, where it
is seen until the piece is glued in; of these on one that is wide enough, with the fewest cuts. Its arrow points up, or,
on a face that lies level, to the rear.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Literal

from msgspec.structs import replace

from shopdocs.blocks.sheets import FaceMark, Sticking, Way
from shopdocs.core.length import Length
from shopdocs.documents.job import Job
from shopdocs.documents.rounds import is_round_throughout
from shopdocs.model.joining import FACE_NAMES, Face
from shopdocs.model.parts import Direction, Part, Piece
from shopdocs.work.space.outside import LONG_FACES, open_cuts
from shopdocs.work.space.placed import Pose, pose_of

NARROW = Length(22)  # a face narrower than this has no room for a small label (common practice, no source)
OUTSIDE = ", outside"
HALF_ROUND = Fraction(11, 7)  # half of what goes round a round, in its diameters
Vector = tuple[int, int, int]
# The reference mark of a face, and the face it shares the arris with that the mark runs to.
_MARKS: dict[Face, tuple[FaceMark, Face]] = {Face.FACE: ("loop", Face.EDGE), Face.EDGE: ("V", Face.FACE)}


def sticking(job: Job, part: Part, piece: Piece) -> Sticking:
    """Where the label of this piece goes. A piece whose part does not say how it lies has its label on the face side,
    without arrows."""
    pose = pose_of(part, piece)
    if pose is None:
        return Sticking(FACE_NAMES[Face.FACE], room=part.width, mark="loop")
    outside = job.space.outside.get(piece.mark, frozenset()) if job.space is not None else frozenset()
    face = _chosen(job, part, piece, outside)
    placed = job.space.pieces.get(piece.mark) if job.space is not None else None
    turned = placed.turned if placed is not None else None
    is_round = turned is not None and is_round_throughout(turned, part.length)
    words = "the round" if is_round else FACE_NAMES[face]
    if face in outside:
        words += OUTSIDE
    laid = _unplaced if piece.place is None else _laid
    found = laid(pose, face, words, _width(part, face))
    return _on_round(found, turned.thickest) if turned is not None and is_round else found


def _on_round(stuck: Sticking, thickest: Length) -> Sticking:
    """The same where the piece is round: its faces and their marks are turned away, its ends stay. The label is bent
    half round it at most, where it is thickest, so that all of it is seen at once."""
    way, _, to = stuck.points.partition(", ")
    points = stuck.points if to in (FACE_NAMES[Face.A], FACE_NAMES[Face.B]) else way
    words = f"{stuck.face}, once it is turned"
    return replace(stuck, face=words, points=points, face_side="", room=thickest * HALF_ROUND, mark="")


def _width(part: Part, face: Face) -> Length:
    return part.width if face in (Face.FACE, Face.BACK) else part.thickness


def _chosen(job: Job, part: Part, piece: Piece, outside: Iterable[Face]) -> Face:
    if job.space is None or piece.mark not in job.space.pieces:
        return Face.FACE
    cuts = open_cuts(job.space.pieces[piece.mark])

    def rank(face: Face) -> tuple[object, ...]:
        wide = _width(part, face)
        return wide < NARROW, face not in outside, cuts[face], -wide.mm, LONG_FACES.index(face)

    return min(LONG_FACES, key=rank)


def _unplaced(pose: Pose, face: Face, words: str, room: Length) -> Sticking:
    """Without a place only what points up is known."""
    if pose.thickness.direction is Direction.Z:
        return Sticking(words, face_side="here", room=room, mark="loop")
    way: Way = "right" if pose.length.direction is Direction.Z else "up"
    points = f"up, {FACE_NAMES[pose.face_toward(2, True)]}"
    top = _sides(pose, face)[1]
    return Sticking(words, way, points, "here", room, *_reference(pose, face, top))


def _laid(pose: Pose, face: Face, words: str, room: Length) -> Sticking:
    """The label on this face as the piece stands in the build: its text runs along the grain, and its arrow points to
    its top, or to its right where the piece stands on end or runs to the rear."""
    axis, upper = pose.look_of(face)
    level = axis == 2
    normal, top, right, along = _sides(pose, face)
    to = FACE_NAMES[pose.face_toward(1 if level else 2, True)]
    if level:
        words = words.removesuffix(OUTSIDE) + (", on top" if upper else ", underneath")
    shown = pose.look_of(Face.FACE)
    return Sticking(
        words,
        "right" if along else "up",
        f"{'rear' if level else 'up'}, {to}",
        _direction(_unit(*shown), normal, top, right),
        room,
        *_reference(pose, face, top),
        is_reversed=not along and right[0] < 0,
    )


def _sides(pose: Pose, face: Face) -> tuple[Vector, Vector, Vector, bool]:
    """The normal of the face, the ways that are up and right on a label stuck on it, and whether its arrow points along
    the grain."""
    axis, upper = pose.look_of(face)
    normal, aim = _unit(axis, upper), _unit(1 if axis == 2 else 2, True)
    if aim[pose.length.index] != 0:
        return normal, _cross(normal, aim), aim, True
    return normal, aim, _cross(aim, normal), False


def _reference(pose: Pose, face: Face, top: Vector) -> tuple[FaceMark, Literal["up", "down"]]:
    """The mark that the face carries on the wood, and on which side of the label the arris lies that it runs to: that
    of face side and face edge."""
    mark, other = _MARKS.get(face, ("", Face.EDGE))
    return mark, "up" if _dot(_unit(*pose.look_of(other)), top) > 0 else "down"


def _unit(axis: int, upper: bool) -> Vector:
    sign = 1 if upper else -1
    return (sign * (axis == 0), sign * (axis == 1), sign * (axis == 2))


def _cross(a: Vector, b: Vector) -> Vector:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def _dot(a: Vector, b: Vector) -> int:
    return sum(x * y for x, y in zip(a, b, strict=True))


def _direction(
    shown: Vector, normal: Vector, top: Vector, right: Vector
) -> Literal["here", "behind", "up", "down", "left", "right"]:
    """Where the face side lies, seen from a label on the face that `normal` stands on."""
    if found := _dot(shown, normal):
        return "here" if found > 0 else "behind"
    if found := _dot(shown, top):
        return "up" if found > 0 else "down"
    return "right" if _dot(shown, right) > 0 else "left"
