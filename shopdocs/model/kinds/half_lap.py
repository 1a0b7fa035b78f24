"""Half lap: two pieces that cross or meet at a corner, each cut away by half."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.core.length import ZERO, Length
from shopdocs.model.joining import Face, Joint, Meeting
from shopdocs.model.kinds.kind import Kind, Meets, Stated
from shopdocs.model.parts import Part


def _added(stated: Stated, meeting: Meeting) -> tuple[Length, Length]:
    """A lapped end is longer by its lap."""
    return ((stated.joint.length or ZERO) + stated.joint.proud if meeting.end else ZERO), ZERO


def _glue_area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """The cheek: as wide as the narrower piece, as long as it is said, else square."""
    narrow = min(entering.width, receiving.width)
    return narrow.mm * (stated.length or narrow).mm


def _flush(joint: Joint, part: Part, face: Face) -> Length:
    """The half at the face side runs on; at the back a shoulder shows."""
    return (joint.length or ZERO) + joint.proud if face is Face.FACE else ZERO


KIND = Kind(
    joins="two pieces that cross or meet at a corner, each cut away by half",
    called="a half lap",
    meets=Meets("lapped with", "lapped with", "lapped with"),
    hidden=("cut face of the lap", "cut face of the lap"),
    aliases=(
        "lap",
        "lap joint",
        "halving",
        "halving joint",
        "cross lap",
        "cross halving",
        "corner lap",
        "end lap",
        "half lap joint",
        "halved joint",
        "notch",
    ),
    sizes=("depth", "length", "proud"),
    alone=True,
    flat=True,
    added=_added,
    glue_area=_glue_area,
    flush=_flush,
    shouldered=True,
)
