"""Where a piece lies on another that is screwed to it at an angle: its holes are marked through, and so are measured
nowhere; what is struck is the line that it is laid to."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator

from msgspec import Struct

from shopdocs.blocks.text import Text, text
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position
from shopdocs.core.turn import near
from shopdocs.documents.figures import marks_text
from shopdocs.documents.fitting.off_square import MOST_ACROSS, SEEN, along_word, degrees
from shopdocs.documents.job import Job
from shopdocs.model.joining import Face, the_face
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.joints.frame import Doubt
from shopdocs.work.joints.lying import lying
from shopdocs.work.space.askew_piece import AskewPiece
from shopdocs.work.space.placed import face_of, side_of
from shopdocs.work.space.slanting import sides_of

ENDS = (Face.A, Face.B)
EDGE = Length("0.002")  # places are true to half of that
Flat = tuple[Length, Length]


class LaidOn(Struct, frozen=True):
    """The piece `laid` on a face of the piece `on`: the outline of what they share, as places along and across that
    face, and the line it is laid to, `off` square in degrees (90 along the face)."""

    on: str
    laid: str
    face: Face
    outline: tuple[Flat, ...]
    line: tuple[Flat, Flat]
    off: float
    kind: str
    at: Position

    @property
    def slants(self) -> bool:
        """Whether the line runs neither across the face nor along it."""
        return SEEN < self.off < 90 - SEEN


def laid_on(job: Job) -> Iterator[LaidOn]:
    """Every piece that is screwed to a long face of another where one of them leans or is tipped."""
    if job.space is None:
        return
    for joint, meeting in job.build.meetings():
        pair = [job.space.pieces.get(mark) for mark in (meeting.entering, meeting.receiving)]
        one, two = pair
        made = job.space.joinery.get(meeting.number)
        if not KINDS[joint.kind].screwed or one is None or two is None or made is None or made.enters in (None, *ENDS):
            continue
        if not any(isinstance(piece, AskewPiece) for piece in pair) or made.meets in ENDS:
            continue
        found = lying(one, two, lambda piece: sides_of(piece, job.build.cuts))
        if isinstance(found, Doubt) or found.enters is not made.enters:
            continue
        first, second = (k for k in range(3) if k != side_of(found.enters)[0])
        spots = [one.spot_in_piece([near(value) for value in spot]) for spot in found.outline]
        outline = tuple((_on(spot[first], one.size[first]), _on(spot[second], one.size[second])) for spot in spots)
        line, off = _struck(outline)
        yield LaidOn(one.mark, two.mark, found.enters, outline, line, off, joint.kind.value, meeting.at)


def _on(value: Length, size: Length) -> Length:
    return next((edge for edge in (ZERO, size) if abs(value - edge) <= EDGE), value)


def _struck(outline: tuple[Flat, ...]) -> tuple[tuple[Flat, Flat], float]:
    """The longest side of an outline, of two as long the one nearer to end A or the face edge; and how far it lies off
    a line squared across."""
    sides = [(a, b) for a, b in zip(outline, (*outline[1:], outline[0]), strict=True) if a != b]

    def key(side: tuple[Flat, Flat]) -> tuple[int, float]:
        (a, b), (c, d) = side
        return -round(math.dist((a.float_mm(), b.float_mm()), (c.float_mm(), d.float_mm())) * 10), (
            a + b + c + d
        ).float_mm()

    (a, b), (c, d) = min(sides, key=key)
    off = math.degrees(math.atan2(abs((c - a).float_mm()), abs((d - b).float_mm())))
    ends = sorted(((a, b), (c, d)), key=lambda spot: spot[1 if off <= MOST_ACROSS else 0])
    return (ends[0], ends[1]), off


def laid_lines(job: Job, marks: Collection[str]) -> Iterator[Text]:
    """What is said on the drawing of a piece of those that are laid on it, those laid alike together."""
    alike: dict[str, list[str]] = {}
    for found in laid_on(job):
        if found.on in marks:
            names = alike.setdefault(_words(found, job.display), [])
            names += [found.laid] if found.laid not in names else []
    for words, names in alike.items():
        yield text(f"{marks_text(names, 8)}: laid on {words}")


def _words(found: LaidOn, display: Display) -> str:
    """Where a piece lies, in words: "the back face, the side nearer end A from 118.2 along, …"."""
    bare, face = display.bare, the_face(found.face)
    ways = ("along", "deep" if found.face in (Face.EDGE, Face.FAR_EDGE) else "across")
    if not found.slants:
        spans = [sorted({spot[k] for spot in found.outline}) for k in (0, 1)]
        told = ", ".join(f"{bare(span[0])} to {bare(span[-1])} {way}" for span, way in zip(spans, ways, strict=True))
        return f"{face}, {told}"
    spots = [", ".join(f"{bare(v)} {way}" for v, way in zip(spot, ways, strict=True)) for spot in found.line]
    across = found.off <= MOST_ACROSS
    angle = (
        f"{degrees(found.off)} off square" if across else f"{degrees(90 - found.off)} off the {along_word(found.face)}"
    )
    level = (sum((spot[not across] for spot in found.line), ZERO)) / 2
    middle = sum((spot[not across] for spot in found.outline), ZERO) / len(found.outline)
    axes = [k for k in range(3) if k != side_of(found.face)[0]]
    nearer = the_face(face_of(axes[not across], level > middle))
    return f"{face}, the side nearer {nearer} from {spots[0]} to {spots[1]}, {angle}"
