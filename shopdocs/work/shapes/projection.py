"""Parallel projection of the build onto paper.

Every view here looks along a direction whose parts are -1, 0 or +1, so that the line of sight through a point of whole
ticks meets every axis-aligned plane in whole ticks: hidden lines need no rounding at all. Only the last step, from
ticks to the picture, has an irrational factor (the cosine of 30 degrees); it is taken to 20 digits and the picture is
rounded to a thousandth of a millimetre.

Isometric: ISO 5456-3, 5.1: the three axes make equal angles with the picture, so x and y run at 30 degrees to the
horizontal and all axes are shortened by the same factor sqrt(2/3); for drawing, lengths along the axes may be kept true
instead, which only enlarges the picture by sqrt(3/2).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from math import isqrt

from msgspec import Struct

from shopdocs.core.box import Box, Corner, Ticks
from shopdocs.core.length import Length

_DIGITS = 10**20
COS_30 = Fraction(isqrt(3 * _DIGITS**2), 2 * _DIGITS)
SHORTENING = Fraction(isqrt(6 * _DIGITS**2), 3 * _DIGITS)  # sqrt(2/3)
_FINENESS = 1000  # parts of a millimetre in a picture

Flat = tuple[Length, Length]


class View(Struct, frozen=True):
    """A way of looking: `toward` points from the build to the eye; `right` and `up` are what a step along x, y, z does
    in the picture, in units of `across_unit` and `up_unit` millimetres."""

    name: str
    toward: Corner
    right: Corner
    up: Corner
    across_unit: Fraction = Fraction(1)
    up_unit: Fraction = Fraction(1)

    def shortened(self) -> View:
        """An isometric view in the true scale of the projection: lengths along the axes shrink by sqrt(2/3)."""
        return View(
            self.name, self.toward, self.right, self.up, self.across_unit * SHORTENING, self.up_unit * SHORTENING
        )

    def picture(self, spot: Corner, ticks: Ticks) -> Flat:
        """Where a point of the build lies in the picture, x to the right and y up, rounded to 1/1000 mm."""
        (x, y, z), (a, b, c), (d, e, f) = spot, self.right, self.up
        across, up = self.across_unit, self.up_unit
        return (
            _in_the_picture(a * x + b * y + c * z, across.numerator, across.denominator * ticks.per_mm),
            _in_the_picture(d * x + e * y + f * z, up.numerator, up.denominator * ticks.per_mm),
        )

    def picture_of(self, spot: Sequence[Length]) -> Flat:
        """The same for a point given in lengths, which need not be whole ticks."""
        across = sum((a * b.mm for a, b in zip(self.right, spot, strict=True)), Fraction(0))
        up = sum((a * b.mm for a, b in zip(self.up, spot, strict=True)), Fraction(0))
        return _thousandths(across * self.across_unit, Ticks()), _thousandths(up * self.up_unit, Ticks())

    def depth(self, spot: Corner) -> int:
        """How near the eye a point is; larger is nearer."""
        return sum(a * b for a, b in zip(self.toward, spot, strict=True))

    def frame(self, box: Box, ticks: Ticks) -> tuple[Flat, Flat]:
        """The smallest upright rectangle round the picture of `box`: its low and high corners."""
        low, high = [], []
        for way, unit in ((self.right, self.across_unit), (self.up, self.up_unit)):
            ends = [(a * lo, a * hi) for a, lo, hi in zip(way, box.lo, box.hi, strict=True)]
            above, below = unit.numerator, unit.denominator * ticks.per_mm
            low.append(_in_the_picture(sum(map(min, ends)), above, below))
            high.append(_in_the_picture(sum(map(max, ends)), above, below))
        return (low[0], low[1]), (high[0], high[1])


@lru_cache(maxsize=2**15)
def _in_the_picture(steps: int, above: int, below: int) -> Length:
    """`steps` times `above` / `below` millimetres, to 1/1000 mm (halves to the even one); corners share most of their
    values."""
    parts, rest = divmod(steps * above * _FINENESS, below)
    up = 2 * rest > below or (2 * rest == below and parts % 2 == 1)
    return Length.parts(parts + up, _FINENESS)


def forget_places() -> None:
    """Let go of the places that are kept because corners share them."""
    _in_the_picture.cache_clear()


def _thousandths(value: Fraction, ticks: Ticks) -> Length:
    return Length.parts(round(value * _FINENESS / ticks.per_mm), _FINENESS)


def _isometric(name: str, toward: Corner, right: Corner, up: Corner) -> View:
    return View(name, toward, right, up, COS_30, Fraction(1, 2))


ISOMETRIC = _isometric("isometric view", (1, -1, 1), (1, 1, 0), (-1, 1, 2))  # from the front, right, above
ISOMETRIC_LEFT = _isometric("isometric view from the left", (-1, -1, 1), (1, -1, 0), (1, 1, 2))
ISOMETRIC_BACK = _isometric("isometric view from the back", (-1, 1, 1), (-1, -1, 0), (1, -1, 2))
ISOMETRIC_BELOW = _isometric("isometric view from below", (1, -1, -1), (1, 1, 0), (1, -1, 2))
FRONT = View("front", (0, -1, 0), (1, 0, 0), (0, 0, 1))
BACK = View("back", (0, 1, 0), (-1, 0, 0), (0, 0, 1))
RIGHT = View("right side", (1, 0, 0), (0, 1, 0), (0, 0, 1))
LEFT = View("left side", (-1, 0, 0), (0, -1, 0), (0, 0, 1))
TOP = View("top", (0, 0, 1), (1, 0, 0), (0, 1, 0))
UNDERSIDE = View("underside", (0, 0, -1), (1, 0, 0), (0, -1, 0))
# From all eight corners, those from above first.
CORNERS = tuple(
    _isometric("isometric view", (x, y, z), (-y, x, 0), (-x * z, -y * z, 2))
    for z in (1, -1)
    for x, y in ((1, -1), (-1, -1), (-1, 1), (1, 1))
)
VIEWS = (ISOMETRIC, ISOMETRIC_LEFT, ISOMETRIC_BACK, ISOMETRIC_BELOW, FRONT, BACK, RIGHT, LEFT, TOP, UNDERSIDE)
