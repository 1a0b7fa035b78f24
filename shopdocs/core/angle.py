"""Angles as a bench sets them: from square, in degrees or as a slope of 1 in n.

A slope is exact, and so is 45 degrees. The tangent of other degrees is a fraction within 10⁻⁹ of the true one: over a
metre of wood that is a millionth of a millimetre.
"""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec import Struct

FINE = 10**9


class Angle(Struct, frozen=True):
    """How far off square: `tangent` is what comes off over a length of 1."""

    tangent: Fraction

    @staticmethod
    def of_degrees(degrees: Fraction | float) -> Angle:
        """An angle in degrees, above 0 and below 90. Raises ValueError for others."""
        if not 0 < degrees < 90:
            raise ValueError(f"{degrees} degrees are no angle off square")
        return Angle(Fraction(round(math.tan(math.radians(degrees)) * FINE), FINE))

    @staticmethod
    def of_slope(one_in: Fraction) -> Angle:
        """A slope of 1 in so many. Raises ValueError where that is not above zero."""
        if one_in <= 0:
            raise ValueError(f"1 in {one_in} is no slope")
        return Angle(1 / one_in)

    @property
    def degrees(self) -> float:
        """Degrees off square."""
        return math.degrees(math.atan(self.tangent))

    @property
    def one_in(self) -> Fraction:
        """The slope: 1 in so many."""
        return 1 / self.tangent


def tilt_on_edge(angle: Angle, tilt: Angle) -> Angle:
    """What a compound cut shows on the edge of a board, off square: with the line at `angle` on the face, and a blade
    tilted by `tilt` from upright, its tangent is tan(tilt) / cos(angle). Worked out with vectors: the cut's plane is
    x = y tan(angle) + z k, its normal (1, -tan(angle), -k) leaves the face by the angle whose sine is
    k / sqrt(1 + tan²(angle) + k²)."""
    cosine = math.cos(math.atan(angle.tangent))
    return Angle(Fraction(round(float(tilt.tangent) / cosine * FINE), FINE))
