"""A piece that leans: the one place where whole fractions give way to floats.

What is written (degrees or a slope, heights, sizes) stays exact; what follows through a square root does not. Vectors
here are floats with some fifteen digits, and every place that is worked out with them goes to the nearest thousandth of
a millimetre (`near`): half of that, 0.0005 mm, is how far a place may lie off the true one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from shopdocs.core.length import Length

Vector = tuple[float, float, float]
FINENESS = 1000  # parts of a millimetre


def near(mm: float) -> Length:
    """A length to the nearest thousandth of a millimetre."""
    return Length.parts(round(mm * FINENESS), FINENESS)


class Turn(Struct, frozen=True):
    """Where the directions x, y and z of a plumb piece point when it leans: three unit vectors square to each other."""

    x: Vector
    y: Vector
    z: Vector

    @staticmethod
    def leaning(right: Fraction | float, rear: Fraction | float) -> Turn:
        """The turn of a piece whose foot lies `right` to the right and `rear` to the rear of its top for a height of 1
        (below zero: to the left, to the front). Its front and back faces stay parallel to the left-right line: the
        piece is raked first, and then splayed within its own front face."""
        a, b = float(right), float(rear)
        even = math.sqrt(1 + b * b)
        long = math.sqrt(1 + a * a + b * b)
        return Turn(
            ((1 + b * b) / even / long, -a * b / even / long, a / even / long),
            (0.0, 1 / even, b / even),
            (-a / long, -b / long, 1 / long),
        )

    @staticmethod
    def tipping(axis: int, tangent: Fraction | float) -> Turn:
        """The turn about the direction x or y of the build (`axis` 0 or 1) by an angle of this tangent: above zero what
        looks up goes to the front about x, to the right about y."""
        long = math.hypot(1.0, float(tangent))
        c, s = 1 / long, float(tangent) / long
        if axis == 0:
            return Turn((1.0, 0.0, 0.0), (0.0, c, s), (0.0, -s, c))
        return Turn((c, 0.0, -s), (0.0, 1.0, 0.0), (s, 0.0, c))

    def reach(self, half: Sequence[float]) -> Vector:
        """Half the upright box round a turned box, whose half sizes are `half`."""
        a, b, c = (
            sum(abs(way[k]) * size for way, size in zip((self.x, self.y, self.z), half, strict=True)) for k in range(3)
        )
        return a, b, c

    def of(self, way: Sequence[float]) -> Vector:
        """A direction of the plumb piece as it points in the build."""
        a, b, c = way
        x, y, z = self.x, self.y, self.z
        return (
            a * x[0] + b * y[0] + c * z[0],
            a * x[1] + b * y[1] + c * z[1],
            a * x[2] + b * y[2] + c * z[2],
        )

    def back(self, way: Sequence[float]) -> Vector:
        """A direction of the build as the plumb piece has it."""
        return dot(self.x, way), dot(self.y, way), dot(self.z, way)

    @property
    def level(self) -> tuple[float, float]:
        """How a level plane slopes on the piece: what it rises along the piece for a step of 1 along its x, and along
        its y (below zero: falls)."""
        return -self.x[2] / self.z[2], -self.y[2] / self.z[2]


UPRIGHT = Turn((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def dot(one: Sequence[float], two: Sequence[float]) -> float:
    """Scalar product."""
    return one[0] * two[0] + one[1] * two[1] + one[2] * two[2]


def cross(one: Sequence[float], two: Sequence[float]) -> Vector:
    """Vector product."""
    (a, b, c), (d, e, f) = one, two
    return (b * f - c * e, c * d - a * f, a * e - b * d)


def unit(way: Sequence[float]) -> Vector:
    """The direction, 1 long. ZeroDivisionError where it has none."""
    long = math.hypot(*way)
    return way[0] / long, way[1] / long, way[2] / long


class Boring(Struct, frozen=True):
    """How a leg that splays and rakes is bored for, all in degrees: `resultant` is its true lean from plumb; `sight`
    the direction of the plane it leans in, on the seat, from the fore-and-aft line, `sight_across` the same from the
    left-right line. Machinery's Handbook, 31st ed., Compound Angles, p. 121:
    tan(sight) = tan(splay) / tan(rake); tan(resultant) = tan(splay) / sin(sight)."""

    resultant: float
    sight: float
    sight_across: float

    @staticmethod
    def of(right: Fraction | float, rear: Fraction | float) -> Boring:
        """Of the tangents of splay and rake, whatever their sense."""
        a, b = abs(float(right)), abs(float(rear))
        sight = math.degrees(math.atan2(a, b))
        return Boring(math.degrees(math.atan(math.hypot(a, b))), sight, 90 - sight)
