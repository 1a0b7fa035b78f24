"""Exact lengths as whole numbers for the cutting layout."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import gcd, lcm

from msgspec import Struct

from shopdocs.core.length import Length

MOST = 4_000_000  # ticks along a board; finer steps would only slow the search
COARSE = Fraction(1, 1000)  # millimetres


def common_measure(values: Iterable[Fraction]) -> Fraction:
    """The largest number of which every value is a whole multiple; 1 when all are zero."""
    every = [value for value in values if value]
    if not every:
        return Fraction(1)
    below = lcm(*(value.denominator for value in every))
    return Fraction(gcd(*(int(value * below) for value in every)), below)


class Steps(Struct, frozen=True):
    """A step that goes into every length of a job. Where that step would be absurdly small it is a micrometre instead:
    pieces are then rounded up and boards down, so that what is laid out can be sawn, and a bound holds for pieces
    that are a micrometre larger."""

    step: Fraction

    @staticmethod
    def of(lengths: Iterable[Length]) -> Steps:
        """The largest step that all of these lengths are whole numbers of; a coarse one where that would be too
        fine."""
        values = [length.mm for length in lengths]
        step = common_measure(values)
        longest = max(values, default=Fraction(1))
        return Steps(step if longest <= step * MOST else COARSE)

    def up(self, length: Length) -> int:
        """Steps that the length needs: rounded up."""
        return -int(-length.mm // self.step)

    def down(self, length: Length) -> int:
        """Steps that the length has: rounded down."""
        return int(length.mm // self.step)

    def length(self, count: int) -> Length:
        """The length of so many steps."""
        return Length(self.step * count)


def least_sum(least: int, most: int, parts: Iterable[int]) -> int:
    """The smallest sum of `parts`, each any number of times, from `least` to `most`; `least` where there is none, or
    where the sums are too many to go through. A whole number of boards can cost nothing in between."""
    steps = sorted({part for part in parts if part > 0})
    if not steps or not least < most:
        return least
    unit = gcd(*steps)
    limit = most // unit
    if limit > MOST:
        return least
    within = (1 << (limit + 1)) - 1
    reached = 1
    for part in steps:
        shift = part // unit
        while shift <= limit:
            reached |= (reached << shift) & within
            shift *= 2
    above = reached >> -(-least // unit)
    return (-(-least // unit) + (above & -above).bit_length() - 1) * unit if above else least
