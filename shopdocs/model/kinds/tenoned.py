"""What the kinds with a tenon share."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Problem, error, warning
from shopdocs.model.joining import Joint, Meeting
from shopdocs.model.kinds.kind import Stated, Usual, other_depth, own_thickness
from shopdocs.model.parts import Part

# Common practice, no source.
WIDE = (Fraction(1, 4), Fraction(1))  # a tenon, of its piece's width
USUAL_THICK = Usual("thickness", "tenon", "thick", Fraction(1, 5), Fraction(3, 5), Length(4), own_thickness)  # a third
USUAL_LONG = Usual("length", "tenon", "long", Fraction(0), Fraction(20), Length(9), other_depth)


def tenon_added(stated: Stated, meeting: Meeting) -> tuple[Length, Length]:
    """A tenon adds its length to its piece, and what stands proud."""
    return (stated.joint.length or ZERO) + stated.joint.proud, ZERO


def tenon_area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """Four sides of a tenon as wide as it is said, else as its piece."""
    joint, length = stated.joint, stated.length or ZERO
    return 2 * ((joint.width_on(entering.width) or entering.width).mm + (joint.thickness or ZERO).mm) * length.mm


def cheek_area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """Both cheeks of a tenon whose edges stand free, as in a bridle."""
    return 2 * (stated.joint.width_on(entering.width) or entering.width).mm * (stated.length or ZERO).mm


def too_thick(stated: Stated, entering: Part) -> Iterator[Problem]:
    """A tenon as thick as its piece or thicker."""
    thickness = stated.joint.thickness
    if thickness and thickness >= entering.thickness:
        wrong = f"the tenon is {exact_text(thickness)} thick on '{entering.name}' of {exact_text(entering.thickness)}"
        right = "about a third of the piece leaves two shoulders"
        yield error(stated.place("thickness"), "tenon", wrong, right)


def too_wide(stated: Stated, entering: Part) -> Iterator[Problem]:
    """A tenon wider than its piece."""
    width = stated.joint.width
    shoulder = stated.joint.shoulder
    if width is None and shoulder is not None and shoulder * 2 >= entering.width:
        whole = f"'{entering.name}' of {exact_text(entering.width)}"
        wrong = f"two shoulders of {exact_text(shoulder)} leave no tenon on {whole}"
        yield error(stated.place("shoulder"), "tenon", wrong, "a shoulder is a fraction of the piece's width")
    if width and width > entering.width:
        wrong = f"the tenon is {exact_text(width)} wide on '{entering.name}' of {exact_text(entering.width)}"
        yield error(stated.place("width"), "tenon", wrong, "a tenon is no wider than its piece")


def comes_through(length: Length, room: Length, receiving: Part, deepest: Length) -> str:
    """What is wrong with a stopped tenon so long, or with the `room` that its mortise is deeper."""
    if length >= deepest:
        return f"a stopped tenon of {exact_text(length)} goes through '{receiving.name}' ({exact_text(deepest)})"
    deep = f"{exact_text(length + room)} deep, {exact_text(room)} more than the tenon is long"
    return f"the mortise goes through '{receiving.name}' ({exact_text(deepest)}): it is {deep}"


def tenon_wrong(stated: Stated, entering: Part, receiving: Part) -> Iterator[Problem]:
    """A tenon must fit on the piece it is cut on."""
    yield from too_thick(stated, entering)
    yield from too_wide(stated, entering)


def tenon_doubts(joint: Joint, entering: Part, receiving: Part) -> Iterator[Problem]:
    """How wide a tenon is, by its width or by its shoulders; not where there is no such tenon, which is an error."""
    key = "shoulder" if joint.shoulder is not None else "width"
    width = entering.width - joint.shoulder * 2 if joint.shoulder is not None else joint.width
    low, high = (entering.width * share for share in WIDE)
    if width is None or not ZERO < width < low:
        return
    whole = f"'{entering.name}' of {exact_text(entering.width)}"
    wrong = f"the tenon of '{joint.name}' comes out {exact_text(width)} wide on {whole}"
    right = f"{exact_text(low)} to {exact_text(high)} is usual (common practice)"
    yield warning(joint.places.get(key, joint.at), "tenon-width", wrong, right)
