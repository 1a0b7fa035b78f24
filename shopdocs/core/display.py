"""The one place where lengths are rounded, at the very end, for people.

`Display` knows the unit system and the fineness of a build. Fractions are written the way type is set: superscript
numerator, fraction slash, subscript denominator (1¹³⁄₁₆), characters that the document typeface carries. A value that
rounding changed is marked with ≈, so that nobody takes a rounded figure for the true one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.length import Length

Units = Literal["in", "mm"]

_SUPER = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_SUB = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
FRACTION_SLASH = "\u2044"
MINUS = "\u2212"
ROUNDED = "\u2248"

# Finenesses that may be asked for, by unit: the text a maker writes, and the exact step.
FINENESS: dict[str, tuple[Units, Length]] = {
    "1/16 in": ("in", Length.inches("1/16")),
    "1/32 in": ("in", Length.inches("1/32")),
    "1/64 in": ("in", Length.inches("1/64")),
    "1 mm": ("mm", Length(1)),
    "0.5 mm": ("mm", Length("0.5")),
    "0.1 mm": ("mm", Length("0.1")),
}
DEFAULT_FINENESS: dict[Units, Length] = {"in": Length.inches("1/32"), "mm": Length("0.5")}


def round_half_up(value: Fraction) -> int:
    """Nearest whole number, halves away from zero (the workshop's habit; bankers' rounding would surprise)."""
    above, below = value.numerator, value.denominator
    nearest = (2 * abs(above) + below) // (2 * below)
    return -nearest if above < 0 else nearest


def rounded(length: Length, step: Length) -> Length:
    """The multiple of `step` nearest to `length`."""
    return step * round_half_up(length / step)


def decimal(value: Fraction, places: int) -> str:
    """`value` as decimal text with exactly `places` places, rounded half up, exact arithmetic."""
    scaled = round_half_up(value * 10**places)
    sign = MINUS if scaled < 0 else ""
    digits = str(abs(scaled)).rjust(places + 1, "0")
    return sign + (digits if places == 0 else f"{digits[:-places]}.{digits[-places:]}")


def to_places(value: Fraction, places: int) -> Fraction:
    """`value` as `decimal` prints it."""
    return Fraction(round_half_up(value * 10**places), 10**places)


def added(values: Iterable[Fraction], places: int) -> Fraction:
    """The sum of values as each is printed, so that whoever adds up what is on paper finds it; of a single one the
    value itself."""
    each = tuple(values)
    return each[0] if len(each) == 1 else sum((to_places(value, places) for value in each), Fraction(0))


def trimmed(value: Fraction, places: int) -> str:
    """As `decimal`, without trailing zeros."""
    text = decimal(value, places)
    return text.rstrip("0").rstrip(".") if "." in text else text


def mixed_number(value: Fraction) -> str:
    """A whole number with a set fraction: 7/4 gives '1³⁄₄'."""
    sign = MINUS if value < 0 else ""
    whole, rest = divmod(abs(value), 1)
    if not rest:
        return f"{sign}{int(whole)}"
    fraction = str(rest.numerator).translate(_SUPER) + FRACTION_SLASH + str(rest.denominator).translate(_SUB)
    return f"{sign}{int(whole) if whole else ''}{fraction}"


def plain_mixed_number(value: Fraction) -> str:
    """The same in characters of every keyboard: 7/4 gives '1-3/4' (for files and messages, never for a sheet)."""
    sign = "-" if value < 0 else ""
    whole, rest = divmod(abs(value), 1)
    if not rest:
        return f"{sign}{int(whole)}"
    fraction = f"{rest.numerator}/{rest.denominator}"
    return f"{sign}{int(whole)}-{fraction}" if whole else f"{sign}{fraction}"


_SPOKEN: ContextVar[Units | None] = ContextVar("units of messages", default=None)
IN_WORDS: dict[Units, str] = {"in": "inches", "mm": "millimetres"}
FINEST_TOLD = 64  # of an inch; and hundredths of a millimetre


@contextmanager
def spoken_in(units: Units) -> Iterator[None]:
    """Within it, messages tell lengths in these units, rounded where they do not come out even."""
    before = _SPOKEN.set(units)
    try:
        yield
    finally:
        _SPOKEN.reset(before)


def _told_in(length: Length, units: Units) -> str:
    """A length in the units of a build, "about" before it where it had to be rounded: 'about 14-29/32 in'."""
    value = length.inch if units == "in" else length.mm
    steps = value * (FINEST_TOLD if units == "in" else 100)
    near = Fraction(round_half_up(steps), FINEST_TOLD if units == "in" else 100)
    if value and not near:
        return f"less than {'1/64 in' if units == 'in' else '0.01 mm'}"
    shown = plain_mixed_number(near) if units == "in" else trimmed(near, 2).replace(MINUS, "-")
    return f"{'' if near == value else 'about '}{shown} {units}"


def exact_text(length: Length) -> str:
    """The exact value as text, unit included: inches when their denominator is a power of two, else millimetres. In
    messages about a build (`spoken_in`) in its own units, as far as it can be measured."""
    if not length:
        return "0"
    units = _SPOKEN.get()
    if units is not None:
        return _told_in(length, units)
    inch = length.inch
    if inch.denominator in (1, 2, 4, 8, 16, 32, 64, 128):
        return f"{plain_mixed_number(inch)} in"
    mm = length.mm
    for places in range(7):
        if (mm * 10**places).denominator == 1:
            return f"{trimmed(mm, places).replace(MINUS, '-')} mm"
    return f"{mm.numerator}/{mm.denominator} mm"


_ACROSS = ("left to right", "front to rear", "bottom to top")


def apart_words(gaps: Sequence[Length]) -> str:
    """How far apart two things are along x, y and z: '2 in apart left to right, 1 in bottom to top'."""
    named = [(exact_text(gap), way) for gap, way in zip(gaps, _ACROSS, strict=True) if gap]
    return ", ".join(f"{gap} {'apart ' if not i else ''}{way}" for i, (gap, way) in enumerate(named))


UNSEEN = Length("0.02")  # less than a shaving, which nobody sees on a rule (common practice, no source)
SMALL: dict[Units, Length] = {"in": Length.inches("1/64"), "mm": Length("0.1")}  # for kerfs: finer than a fineness


def hundredths(length: Length) -> str:
    """In millimetres to a hundredth, whatever the units of the build, marked where rounding changed it."""
    changed = (length.mm * 100).denominator != 1
    return f"{ROUNDED if changed else ''}{trimmed(length.mm, 2)} mm"


@lru_cache(maxsize=2**14)  # one length stands in many places, and is set in each of them at many scales
def _bare(length: Length, display: Display) -> str:
    near = rounded(length, display.step)
    return (ROUNDED if display.marked and near != length else "") + display.digits(near)


class Display(Struct, frozen=True):
    """How a build shows its lengths: `units` first, rounded to `step`; `both` adds the other system in brackets.

    One ≈ stands for a whole size of several lengths. Not `marked`, rounded values carry none.
    """

    units: Units
    step: Length
    both: bool = False
    marked: bool = True

    @staticmethod
    def of(units: Units, step: Length | None = None, both: bool = False) -> Display:
        """How lengths are shown in these units, to `step` or to what is usual for them; `both` adds the other unit."""
        return Display(units, step or DEFAULT_FINENESS[units], both)

    def turned(self) -> Display:
        """The same in the other unit system, at that system's usual fineness."""
        other: Units = "mm" if self.units == "in" else "in"
        return Display(other, DEFAULT_FINENESS[other], False)

    def alone(self) -> Display:
        """The same without the other unit beside it, for where there is no room."""
        return replace(self, both=False)

    @property
    def fineness_name(self) -> str:
        """The step as text for a sheet's note, such as '1⁄₃₂ in' or '0.5 mm'."""
        return f"{self.digits(self.step)} {self.units}"

    def is_exact(self, length: Length) -> bool:
        """Whether the length is shown as it is, without rounding."""
        return rounded(length, self.step) == length

    def digits(self, length: Length) -> str:
        """The length as it is, no finer than a thousandth of a millimetre, without a unit name."""
        if self.units == "in":
            return mixed_number(length.inch)
        return trimmed(length.mm, 3)

    def bare(self, length: Length) -> str:
        """Rounded, without a unit name; a value that rounding changed begins with ≈."""
        return _bare(length, self)

    def bares(self, *lengths: Length) -> tuple[str, ...]:
        """The lengths of one size: the first begins with ≈ where rounding changed any of them."""
        plain = replace(self, marked=False)
        exact = not self.marked or all(self.is_exact(length) for length in lengths)
        first, *rest = (plain.bare(length) for length in lengths)
        return (first if exact else ROUNDED + first, *rest)

    def small(self, length: Length) -> str:
        """A length as small as a saw kerf, with its unit: no coarser than a 64th of an inch or a tenth of a
        millimetre."""
        return replace(self, step=min(self.step, SMALL[self.units]), both=False).length(length)

    def gap_length(self, length: Length) -> Length:
        """A gap or play as `gap` prints it. What no rule shows is left out: 2 mm is 5/64 in, not 6/64."""
        step, slack = min(self.step, SMALL[self.units]), min(UNSEEN.mm, length.mm)
        return step * -(-(length.mm - slack) // step.mm)

    def gap(self, length: Length) -> str:
        """A gap or play, without a unit name: rounded up, for one rounded down binds, and no coarser than a kerf."""
        up = self.gap_length(length)
        return (ROUNDED if self.marked and up != length else "") + self.digits(up)

    def told_apart(self, length: Length, others: Iterable[Length]) -> Display:
        """This display where it prints the length differently from each of `others` that is not equal to it, else a
        finer one; no finer than a kerf is printed."""
        fine = replace(self, step=min(self.step, SMALL[self.units]))
        return self if all(self.differ(length, other) for other in others if other != length) else fine

    def differ(self, one: Length, other: Length) -> bool:
        """Whether two lengths are printed as two."""
        return rounded(one, self.step) != rounded(other, self.step)

    def length(self, length: Length) -> str:
        """Rounded, with its unit ('1³⁄₄ in'); with `both`, the other system follows: '1³⁄₄ in (44.5 mm)'."""
        text = f"{self.bare(length)} {self.units}"
        return f"{text} {self.in_brackets(length)}" if self.both else text

    def in_brackets(self, *lengths: Length) -> str:
        """The lengths in the other system, joined by × and kept on one line: '(≈44.5 × 51 mm)'."""
        return f"({self.turned().size(*lengths)})".replace(" ", "\u00a0")

    def size(self, *lengths: Length) -> str:
        """Several lengths joined by ×, unit once at the end."""
        text = f"{self.bare_size(*lengths)} {self.units}"
        return f"{text} {self.in_brackets(*lengths)}" if self.both else text

    def bare_size(self, *lengths: Length) -> str:
        """Several lengths joined by ×, without a unit name."""
        return " × ".join(self.bares(*lengths))

    def drill(self, diameter: Length) -> str:
        """A bit's diameter in its own unit: bits are bought in inch fractions or in tenths of a millimetre.

        A diameter that is no 64th of an inch is shown in millimetres even in an inch build, and a 64th that is no
        tenth of a millimetre in inches even in a metric one: rounding would name a bit that nobody makes.
        """
        inch = diameter.inch
        in_inches = 64 % inch.denominator == 0
        in_tenths = (diameter.mm * 10).denominator == 1 and (inch * 2).denominator != 1  # 12.7 mm is a half inch bit
        if in_inches and (self.units == "in" or not in_tenths):
            return f"{mixed_number(inch)} in"
        return hundredths(diameter)
