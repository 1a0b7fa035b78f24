"""Half lap: two pieces that cross or meet at a corner, each cut away by half."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Problem, warning
from shopdocs.model.joining import Face, Joint, Meeting
from shopdocs.model.kinds.kind import Kind, Meets, Stated
from shopdocs.model.parts import Part

USUAL = (Fraction(1, 4), Fraction(3, 4))  # the lap of its piece: half, or two thirds in the stouter; common practice


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


def _doubts(joint: Joint, entering: Part, receiving: Part) -> Iterator[Problem]:
    """A lap far from half of the wood."""
    low, high = (receiving.thickness * share for share in USUAL)
    if joint.depth is not None and joint.depth > ZERO and not low <= joint.depth <= high:
        wrong = f"the lap of '{joint.name}' is {exact_text(joint.depth)} deep in '{receiving.name}'"
        right = f"half of its {exact_text(receiving.thickness)} is usual (common practice)"
        yield warning(joint.places.get("depth", joint.at), "lap-depth", wrong, right)


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
    doubts=_doubts,
    flush=_flush,
    shouldered=True,
    askew=True,
    lapped=True,
)
