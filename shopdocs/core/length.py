"""Exact lengths.

A `Length` is an exact fraction of a millimetre. The inch is 25.4 mm by definition (international yard and pound
agreement, 1959; NIST SP 811 appendix B), so inch and metric values mix without drift. A `Length` refuses to be mixed
with bare numbers where that would hide a unit: adding 3 to a length is a `TypeError`, multiplying by 3 is not.
"""

from __future__ import annotations

from fractions import Fraction
from functools import total_ordering
from typing import overload

MM_PER_INCH = Fraction(254, 10)

Number = int | Fraction


@total_ordering
class Length:
    """An exact length; `mm` is its value in millimetres as a `Fraction`."""

    __slots__ = ("mm",)

    mm: Fraction

    def __init__(self, mm: Number | str = 0) -> None:
        if isinstance(mm, float):
            raise TypeError("a Length is exact: give an int, a Fraction or a decimal text, not a float")
        object.__setattr__(self, "mm", mm if type(mm) is Fraction else Fraction(mm))

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError("a Length cannot be changed")

    def __reduce__(self) -> tuple[type[Length], tuple[Fraction]]:
        return (Length, (self.mm,))

    @staticmethod
    def inches(value: Number | str) -> Length:
        """A length of `value` inches; a `str` is read as a decimal or a plain fraction ("3/4")."""
        return Length(Fraction(value) * MM_PER_INCH)

    @property
    def inch(self) -> Fraction:
        """The value in inches, exact."""
        return self.mm / MM_PER_INCH

    @property
    def points(self) -> float:
        """The value in PDF points (1/72 in, ISO 32000-1 8.3.2.3), the one place a length becomes a float for paper."""
        return float(self.mm * 72 / MM_PER_INCH)

    def __add__(self, other: Length) -> Length:
        return Length(self.mm + other.mm) if isinstance(other, Length) else NotImplemented

    def __sub__(self, other: Length) -> Length:
        return Length(self.mm - other.mm) if isinstance(other, Length) else NotImplemented

    def __neg__(self) -> Length:
        return Length(-self.mm)

    def __abs__(self) -> Length:
        return Length(abs(self.mm))

    def __mul__(self, factor: Number) -> Length:
        return Length(self.mm * factor) if isinstance(factor, (int, Fraction)) else NotImplemented

    __rmul__ = __mul__

    @overload
    def __truediv__(self, other: Length) -> Fraction: ...
    @overload
    def __truediv__(self, other: Number) -> Length: ...
    def __truediv__(self, other: Length | Number) -> Length | Fraction:
        if isinstance(other, Length):
            return self.mm / other.mm
        return Length(self.mm / other) if isinstance(other, (int, Fraction)) else NotImplemented

    def __bool__(self) -> bool:
        return bool(self.mm)

    def __eq__(self, other: object) -> bool:
        return self.mm == other.mm if isinstance(other, Length) else NotImplemented

    def __lt__(self, other: Length) -> bool:
        return self.mm < other.mm if isinstance(other, Length) else NotImplemented

    def __hash__(self) -> int:
        return hash((Length, self.mm))

    def __repr__(self) -> str:
        return f"Length({str(self.mm)!r})"


ZERO = Length(0)
INCH = Length(MM_PER_INCH)
MM = Length(1)


def total(lengths: list[Length]) -> Length:
    """The exact sum; the empty sum is zero length."""
    return Length(sum((length.mm for length in lengths), Fraction(0)))
