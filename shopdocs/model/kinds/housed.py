"""What a housing and a rabbet share: the whole end of a piece goes in, as deep as the cut is."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Problem, error
from shopdocs.model.joining import Face, Joint, Meeting
from shopdocs.model.kinds.kind import Stated, Usual, other_thickness
from shopdocs.model.parts import Part

# A quarter to a half; common practice, no source.
USUAL_DEEP = Usual("depth", "cut", "deep", Fraction(1, 8), Fraction(2, 3), Length("1.5"), other_thickness)


def housed_added(stated: Stated, meeting: Meeting) -> tuple[Length, Length]:
    """A housed end is longer by the depth of its housing or rabbet."""
    return stated.joint.depth or ZERO, ZERO


def housed_area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """Both walls of a housing and its floor."""
    return (2 * (stated.depth or ZERO).mm + entering.thickness.mm) * entering.width.mm


def stepped_area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """The one wall of a rabbet and its floor."""
    return ((stated.depth or ZERO).mm + entering.thickness.mm) * entering.width.mm


def housed_wrong(stated: Stated, entering: Part, receiving: Part) -> Iterator[Problem]:
    """A trench or a step as deep as its piece is thick."""
    depth, least = stated.joint.depth, min(receiving.width, receiving.thickness)
    if depth and depth >= least:
        wrong = f"a {stated.joint.kind.value} {exact_text(depth)} deep cuts through '{receiving.name}'"
        right = f"less than {exact_text(least)}; half is common practice"
        yield error(stated.place("depth"), "housing", wrong, right)


def housed_flush(joint: Joint, part: Part, face: Face) -> Length:
    """An end that goes in with its whole thickness and width has no shoulder."""
    whole = joint.thickness in (None, part.thickness) and joint.width in (None, part.width)
    return joint.depth or ZERO if whole else ZERO
