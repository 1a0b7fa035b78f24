"""Exact lengths.

A `Length` is an exact fraction of a millimetre. The inch is 25.4 mm by definition (international yard and pound
agreement, 1959; NIST SP 811 appendix B), so inch and metric values mix without drift. A `Length` refuses to be mixed
with bare numbers where that would hide a unit: adding 3 to a length is a `TypeError`, multiplying by 3 is not.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import gcd
from typing import overload

MM_PER_INCH = Fraction(254, 10)

Number = int | Fraction


class Length:
    """An exact length; `mm` is its value in millimetres as a `Fraction`.

    It holds that fraction as two whole numbers in lowest terms, the lower one above zero: a build takes a million sums
    and comparisons, and `Fraction` asks of each what kinds of numbers it meets.
    """

    __slots__ = ("_above", "_below")

    def __init__(self, mm: Number | str = 0) -> None:
        if isinstance(mm, float):
            raise TypeError("a Length is exact: give an int, a Fraction or a decimal text, not a float")
        exact = mm if type(mm) is Fraction else Fraction(mm)
        self._above: int = exact.numerator
        self._below: int = exact.denominator

    def __reduce__(self) -> tuple[Callable[[int, int], Length], tuple[int, int]]:
        return (_lowest, (self._above, self._below))

    @staticmethod
    def inches(value: Number | str) -> Length:
        """A length of `value` inches; a `str` is read as a decimal or a plain fraction ("3/4")."""
        return Length(Fraction(value) * MM_PER_INCH)

    @staticmethod
    def parts(count: int, per_mm: int) -> Length:
        """`count` parts of which `per_mm` (above zero) go into a millimetre."""
        return _ratio(count, per_mm)

    @property
    def mm(self) -> Fraction:
        """Millimetres, exact."""
        return Fraction(self._above, self._below)

    @property
    def per_mm(self) -> int:
        """The fewest equal parts of a millimetre of which the length is a whole number."""
        return self._below

    def count(self, per_mm: int) -> int | None:
        """Of how many parts, `per_mm` of them in a millimetre, the length is made; None when no whole number is."""
        ticks, over = divmod(self._above * per_mm, self._below)
        return None if over else ticks

    @property
    def inch(self) -> Fraction:
        """The value in inches, exact."""
        return self.mm / MM_PER_INCH

    @property
    def points(self) -> float:
        """The value in PDF points (1/72 in, ISO 32000-1 8.3.2.3), where a length becomes a float for paper."""
        return (self._above * 360) / (self._below * 127)  # 72 in an inch of 127/5 mm

    @property
    def as_float(self) -> float:
        """Millimetres as the nearest float."""
        return self._above / self._below

    def times(self, above: int, below: int) -> float:
        """Millimetres times `above` / `below`, as the nearest float: for many lengths at one scale."""
        return (self._above * above) / (self._below * below)

    def float_mm(self, scale: Number = 1) -> float:
        """Millimetres (of paper, with a scale) as the nearest float."""
        return (self._above * scale.numerator) / (self._below * scale.denominator)

    def __add__(self, other: Length) -> Length:
        if not isinstance(other, Length):
            return NotImplemented
        below = self._below
        if below == other._below:
            return _ratio(self._above + other._above, below)
        return _ratio(self._above * other._below + other._above * self._below, self._below * other._below)

    def __sub__(self, other: Length) -> Length:
        if not isinstance(other, Length):
            return NotImplemented
        below = self._below
        if below == other._below:
            return _ratio(self._above - other._above, below)
        return _ratio(self._above * other._below - other._above * self._below, self._below * other._below)

    def __neg__(self) -> Length:
        return _lowest(-self._above, self._below)

    def __abs__(self) -> Length:
        return _lowest(abs(self._above), self._below)

    def __mul__(self, factor: Number) -> Length:
        if not isinstance(factor, (int, Fraction)):
            return NotImplemented
        return _ratio(self._above * factor.numerator, self._below * factor.denominator)

    __rmul__ = __mul__

    @overload
    def __truediv__(self, other: Length) -> Fraction: ...
    @overload
    def __truediv__(self, other: Number) -> Length: ...
    def __truediv__(self, other: Length | Number) -> Length | Fraction:
        if isinstance(other, Length):
            return Fraction(self._above * other._below, self._below * other._above)
        if not isinstance(other, (int, Fraction)):
            return NotImplemented
        above, below = self._above * other.denominator, self._below * other.numerator
        if not below:
            raise ZeroDivisionError(f"{self!r} / 0")
        return _ratio(above, below) if below > 0 else _ratio(-above, -below)

    def __bool__(self) -> bool:
        return self._above != 0

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Length):
            return NotImplemented
        return self._above == other._above and self._below == other._below

    def __lt__(self, other: Length) -> bool:
        if not isinstance(other, Length):
            return NotImplemented
        return self._above * other._below < other._above * self._below

    def __le__(self, other: Length) -> bool:
        if not isinstance(other, Length):
            return NotImplemented
        return self._above * other._below <= other._above * self._below

    def __gt__(self, other: Length) -> bool:
        if not isinstance(other, Length):
            return NotImplemented
        return self._above * other._below > other._above * self._below

    def __ge__(self, other: Length) -> bool:
        if not isinstance(other, Length):
            return NotImplemented
        return self._above * other._below >= other._above * self._below

    def __hash__(self) -> int:
        return hash((self._above, self._below))

    def __repr__(self) -> str:
        return f"Length('{self._above}/{self._below}')" if self._below != 1 else f"Length('{self._above}')"


_new = object.__new__


def _lowest(above: int, below: int) -> Length:
    """The length `above` / `below` millimetres, which are in lowest terms."""
    made = _new(Length)
    made._above, made._below = above, below
    return made


def _ratio(above: int, below: int) -> Length:
    """The length `above` / `below` millimetres."""
    made = _new(Length)
    if below != 1 and (common := gcd(above, below)) != 1:
        above //= common
        below //= common
    made._above = above
    made._below = below
    return made


PI = Fraction(314159265359, 10**11)  # to eleven places
ZERO = Length(0)
INCH = Length(MM_PER_INCH)


def total(lengths: list[Length]) -> Length:
    """The exact sum; the empty sum is zero length."""
    return Length(sum((length.mm for length in lengths), Fraction(0)))
