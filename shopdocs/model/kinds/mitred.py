"""What the kinds with a mitre share: two ends that meet at 45 degrees.

Both pieces are written over the whole corner, to their long points, and are equally wide there. A mitre is end grain
half way: glue alone does not hold it, and a slip of wood across it does.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.problems import Problem, error
from shopdocs.model.kinds.kind import Stated
from shopdocs.model.parts import Part

ROOT_2 = Fraction(141421356237, 10**11)  # to eleven places: how much longer a mitre is than its piece is wide
OVER_LONG_POINTS = "A mitred end is measured to its long point."
SLIP_SHARE = Fraction(1, 4)  # thickness of a spline or a key to that of the frame (common practice, no source)


def along(square: Length) -> Length:
    """How far a measure square to a mitre goes along either piece, to a thousandth of a millimetre."""
    return Length(Fraction(round(square.mm * ROOT_2 * 1000), 1000))


def mitre_area(part: Part) -> Fraction:
    """The mitre in square millimetres: as wide one way as the piece, and longer the other; it does not matter which."""
    return part.width.mm * part.thickness.mm * ROOT_2


def unequal(stated: Stated, one: Part, other: Part) -> Iterator[Problem]:
    """Pieces that are not alike in section."""
    if (one.width, one.thickness) != (other.width, other.thickness):
        sizes = (f"{exact_text(part.thickness)} x {exact_text(part.width)}" for part in (one, other))
        wrong = f"'{one.name}' and '{other.name}' are {' and '.join(sizes)}"
        yield error(stated.joint.at, "mitre", wrong, "a mitre of 45 degrees joins pieces equally wide and thick")


def slip_too_thick(stated: Stated, one: Part, across: Length) -> Iterator[Problem]:
    """Slips that leave no wood beside them in a piece so thick there."""
    thickness = stated.joint.thickness
    if thickness and thickness * stated.joint.count >= across:
        wrong = f"slips of {exact_text(thickness)} leave no wood in '{one.name}' of {exact_text(across)}"
        yield error(stated.place("thickness"), "mitre", wrong, "a quarter of the piece is common practice")
