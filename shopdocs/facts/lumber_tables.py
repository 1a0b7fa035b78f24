"""Board measure, rough and surfaced thickness, dressed softwood, sheet goods.

Two rules of board measure live side by side and give different totals: the exact volume in board feet, as most
retailers bill, and the surface-measure tally of the hardwood trade, which rounds every board. Callers say which one
they used. Lookups return None where the table has no row; sizes that no board can have raise ValueError.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from fractions import Fraction

from msgspec import Struct

from shopdocs.core.display import exact_text, round_half_up
from shopdocs.core.length import INCH, Length
from shopdocs.facts.source import Confidence, Source

BOARD_FOOT_CUBIC_INCHES = 144
FOOT = INCH * 12

BOARD_MEASURE = Source(
    "Engineering Aid training manual, US Navy",
    Confidence.READ,
    table="board measure; G. W. Danforth, Lumber Measurement",
)
NHLA = Source(
    "NHLA Rules for the Measurement & Inspection of Hardwood & Cypress",
    Confidence.SECONDARY,
    table="surface measure",
    page="hardwood terminology glossary of a lumber dealer",
)
NHLA_ALTERNATE_HALVES = Source(NHLA.title, Confidence.MEMORY, table="exact halves alternately up and down")


def _positive(**sizes: Length) -> None:
    for name, size in sizes.items():
        if size.mm <= 0:
            raise ValueError(f"{name} of a board must be more than zero")


def counted_thickness(thickness: Length) -> Length:
    """Thickness as board measure counts it: what it is, but never under 1 in (`BOARD_MEASURE`)."""
    return max(thickness, INCH)


def board_feet(thickness: Length, width: Length, length: Length) -> Fraction:
    """Board feet of one board, exact: thickness × width × length over 144 in³, thickness under 1 in counted as 1 in.

    Board measure goes by rough sizes (hardwood) or nominal sizes (softwood), never by dressed ones; giving those is the
    caller's part. Raises ValueError for a size of zero or less.
    """
    _positive(thickness=thickness, width=width, length=length)
    return counted_thickness(thickness).inch * width.inch * length.inch / BOARD_FOOT_CUBIC_INCHES


# --- the surface-measure tally of the hardwood trade ------------------------------------------------------------------


class Halves(StrEnum):
    """What becomes of a board whose surface measure is exactly a half (`NHLA_ALTERNATE_HALVES` or habit)."""

    ALTERNATE = "alternate"  # first half of a tally up, second down, and so on
    UP = "up"
    DOWN = "down"


def exact_surface_measure(width: Length, length: Length) -> Fraction:
    """Square feet of one face before rounding: actual width with its fractions, length cut back to whole feet."""
    _positive(width=width, length=length)
    return width.inch * int(length / FOOT) / 12


def surface_measure(width: Length, length: Length, halves: Halves = Halves.UP) -> int:
    """Surface measure of one board, rounded to the nearest whole square foot (`NHLA`).

    A single board has no predecessor to alternate with: ALTERNATE rounds its exact half up.
    """
    exact = exact_surface_measure(width, length)
    if halves is Halves.DOWN and exact % 1 == Fraction(1, 2):
        return int(exact)
    return round_half_up(exact)


class Tally(Struct, frozen=True):
    """A bundle of one thickness: each board's whole square feet, and the board feet of all to the nearest whole one.
    `source` is another where exact halves were met and rounded in turn, a rule from memory."""

    measures: tuple[int, ...]
    board_feet: int
    source: Source


def tally_board_feet(
    thickness: Length, boards: Iterable[tuple[Length, Length]], halves: Halves = Halves.ALTERNATE
) -> Tally:
    """Tally boards of one rough thickness, each given as (width, length), by surface measure (`NHLA`).

    Each board's surface measure is rounded first; the sum is multiplied by the thickness (never under 1 in) and
    rounded to the nearest board foot, a half up. Raises ValueError for a size of zero or less.
    """
    _positive(thickness=thickness)
    measures: list[int] = []
    halves_met = 0
    for width, length in boards:
        rule = halves
        if exact_surface_measure(width, length) % 1 == Fraction(1, 2):
            halves_met += 1
            if halves is Halves.ALTERNATE:
                rule = Halves.UP if halves_met % 2 else Halves.DOWN
        measures.append(surface_measure(width, length, rule))
    source = NHLA_ALTERNATE_HALVES if halves_met and halves is Halves.ALTERNATE else NHLA
    feet = round_half_up(sum(measures) * counted_thickness(thickness).inch)
    return Tally(tuple(measures), feet, source)


# --- hardwood thickness -----------------------------------------------------------------------------------------------


def quarters(count: int) -> Length:
    """Rough thickness of 'count/4' stock: 8/4 is 2 in. Raises ValueError below 1."""
    if count < 1:
        raise ValueError("rough thickness needs at least one quarter of an inch")
    return INCH * Fraction(count, 4)


class SurfacedRow(Struct, frozen=True):
    """Thickness as sawn, and what is left of it surfaced on both sides."""

    rough: Length
    both_sides: Length
    source: Source


_S2S = Source(
    "NHLA Rules for the Measurement & Inspection of Hardwood & Cypress",
    Confidence.SECONDARY,
    table="standard thickness surfaced two sides",
    page="Lumber Dimensions, hardwood and softwood reference table",
)
_S2S_MEMORY = Source(_S2S.title, Confidence.MEMORY, table=_S2S.table)


def _surfaced_row(rough: str, both_sides: str, source: Source = _S2S) -> SurfacedRow:
    return SurfacedRow(Length.inches(_mixed(rough)), Length.inches(_mixed(both_sides)), source)


def _mixed(text: str) -> Fraction:
    """A mixed number as tables print it: '1-5/16'."""
    return sum((Fraction(part) for part in text.split("-")), Fraction(0))


SURFACED = (
    _surfaced_row("3/8", "3/16"),
    _surfaced_row("1/2", "5/16"),
    _surfaced_row("5/8", "7/16"),
    _surfaced_row("3/4", "9/16"),
    _surfaced_row("1", "13/16"),
    _surfaced_row("1-1/4", "1-1/16"),
    _surfaced_row("1-1/2", "1-5/16"),
    _surfaced_row("2", "1-3/4"),
    _surfaced_row("2-1/2", "2-1/4", _S2S_MEMORY),
    _surfaced_row("3", "2-3/4"),
    _surfaced_row("4", "3-3/4"),
)


def surfaced_lines() -> tuple[str, ...]:
    """A line for each thickness of the table that is sold by quarters. Grading figures, no promise: yards sell 4/4
    surfaced anywhere from 3/4 to 15/16 in."""
    sold = [(int(row.rough.inch * 4), row) for row in SURFACED if row.rough >= INCH]
    check = {row.rough: ", to be checked" for _, row in sold if row.source.confidence is Confidence.MEMORY}
    return tuple(f"{f'{count}/4':<5} {exact_text(row.both_sides)}{check.get(row.rough, '')}" for count, row in sold)


# --- dressed softwood -------------------------------------------------------------------------------------------------

_PS20 = Source(
    "PS 20",
    Confidence.SECONDARY,
    table="dressed dry",
    page="Softwood Lumber, standard sizes (engineering reference site)",
)
_PS20_READ = Source("Tennessee Administrative Code 0080-07-07-.06", Confidence.READ, table="Table 4 (sizes of PS 20)")
_PS20_MEMORY = Source("PS 20", Confidence.MEMORY, table="dressed dry")


class DressedRow(Struct, frozen=True):
    """One nominal size and what it measures; inches, exact."""

    nominal: Fraction
    dry: Fraction
    source: Source = _PS20


def _dressed(nominal: str, dry: str, source: Source = _PS20) -> DressedRow:
    return DressedRow(_mixed(nominal), _mixed(dry), source)


DRESSED_THICKNESS = (
    _dressed("3/8", "5/16"),
    _dressed("1/2", "7/16"),
    _dressed("5/8", "9/16"),
    _dressed("3/4", "5/8"),
    _dressed("1", "3/4"),
    _dressed("1-1/4", "1"),
    _dressed("1-1/2", "1-1/4"),
    _dressed("2", "1-1/2"),
    _dressed("2-1/2", "2"),
    _dressed("3", "2-1/2"),
    _dressed("3-1/2", "3"),
    _dressed("4", "3-1/2"),
)
DRESSED_WIDTH = (
    _dressed("2", "1-1/2"),
    _dressed("3", "2-1/2"),
    _dressed("4", "3-1/2", _PS20_READ),
    _dressed("5", "4-1/2", _PS20_MEMORY),
    _dressed("6", "5-1/2", _PS20_READ),
    _dressed("8", "7-1/4", _PS20_READ),
    _dressed("10", "9-1/4", _PS20_READ),
    _dressed("12", "11-1/4", _PS20_READ),
    _dressed("14", "13-1/4", _PS20_MEMORY),
    _dressed("16", "15-1/4", _PS20_MEMORY),
)


class Dressed(Struct, frozen=True):
    """What a nominal size measures; `sources` has one entry, or two where thickness and width were read apart."""

    thickness: Length
    width: Length
    sources: tuple[Source, ...]


def dressed(nominal_thickness: Fraction, nominal_width: Fraction) -> Dressed | None:
    """Actual size of softwood, dry (19 % moisture or less), by its nominal size in inches.

    None where PS 20 lists no such board here: timbers 5 in and thicker are not covered.
    """
    thick = next((row for row in DRESSED_THICKNESS if row.nominal == nominal_thickness), None)
    wide = next((row for row in DRESSED_WIDTH if row.nominal == nominal_width), None)
    if thick is None or wide is None:
        return None
    sources = tuple(dict.fromkeys((thick.source, wide.source)))
    return Dressed(Length.inches(thick.dry), Length.inches(wide.dry), sources)
