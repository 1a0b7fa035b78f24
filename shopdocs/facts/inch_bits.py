"""Inch bits for metric holes, where a maker has no metric ones: a fractional set by 64ths, as it is commonly sold.

Common practice, no source: the hole comes out no more than 5 % wider or narrower, and a screw still passes its
clearance hole with 5 % of its diameter to spare. Holes that must fit what goes in, for dowels and pins, have no
stand-in.
"""

from __future__ import annotations

from fractions import Fraction

from shopdocs.core.display import round_half_up
from shopdocs.core.length import Length

SET = (Length.inches("1/16"), Length.inches("1/2"))  # the smallest and the largest of the usual set
STEP = Length.inches("1/64")
NEAR = Fraction(1, 20)


def inch_bit(bit: Length, passes: Length | None = None) -> Length | None:
    """The bit of the set that does for a metric one, None where none does. `passes` is the diameter of the thickest
    screw that goes through the hole freely; None for pilots."""
    near = STEP * round_half_up(bit / STEP)
    if not SET[0] <= near <= SET[1] or abs(near - bit) > bit * NEAR:
        return None
    return near if passes is None or near >= passes * (1 + NEAR) else None
