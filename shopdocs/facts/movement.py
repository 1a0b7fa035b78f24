"""How much wood moves: species by name, moisture from climate, change of width.

All arithmetic is exact, but the figures are averages of a species and single boards differ. Equations and tables are
those of the Wood Handbook, FPL-GTR-190 (2010).
"""

from __future__ import annotations

import difflib
import re
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from shopdocs.core.length import Length
from shopdocs.facts.source import Confidence, Source
from shopdocs.facts.species_table import SPECIES, Species

EQ_13_2 = Source(
    "Wood Handbook FPL-GTR-190",
    Confidence.SECONDARY,
    "(2010)",
    "Eq. 13-2",
    page="Can I predict how much wood will shrink and swell?",
)
EQ_13_3 = Source("Wood Handbook FPL-GTR-190", Confidence.MEMORY, "(2010)", "Eq. 13-3")
EQ_4_5 = Source("Wood Handbook FPL-GTR-190", Confidence.MEMORY, "(2010)", "Eq. 4-5")
LINEAR_RANGE = (Fraction(6), Fraction(14))  # percent; Eq. 13-2 holds between these

Cut = Literal["flat", "quarter"]


# --- species by name --------------------------------------------------------------------------------------------------


def _words(name: str) -> frozenset[str]:
    """'Ash, white', 'white ash' and 'White-Ash (Fraxinus)' all mean the same words."""
    plain = re.sub(r"\([^)]*\)", " ", name.casefold()).replace("redcedar", "red cedar")
    return frozenset(re.findall(r"[^\W\d_]+", plain))


_BY_WORDS: dict[frozenset[str], Species] = {
    _words(name): species for species in SPECIES for name in (species.name, *species.aliases)
}


def species(name: str) -> Species | None:
    """The wood of this name in any order of words ('white ash', 'ash, white'), or None.

    Names that several woods share with different movement ('maple', 'oak', 'pine', 'spruce') are not guessed.
    """
    return _BY_WORDS.get(_words(name))


def species_like(name: str) -> tuple[Species, ...]:
    """The wood of this name; where only a group is named ('oak', 'maple'), all the woods of it; else none."""
    known, wanted = species(name), _words(name)
    if known is not None or not wanted:
        return (known,) if known is not None else ()
    return tuple(row for row in SPECIES if any(wanted < _words(other) for other in (row.name, *row.aliases)))


ALIKE = 0.6  # of letters in order, from which on one word may be meant for another (common practice, no source)


def similar_species(name: str, limit: int = 4) -> tuple[str, ...]:
    """Names that may have been meant: those that share a word or are spelled alike, the most alike first."""
    wanted = _words(name)
    spelled = " ".join(sorted(wanted))
    best: dict[str, float] = {}
    for words, row in _BY_WORDS.items():
        alike = difflib.SequenceMatcher(None, spelled, " ".join(sorted(words))).ratio()
        if alike >= ALIKE or wanted & words:
            best[row.name] = max(alike, best.get(row.name, 0.0))
    return tuple(sorted(best, key=lambda each: -best[each])[:limit])


# --- moisture from climate --------------------------------------------------------------------------------------------

# Polynomials a + b T + c T² for W, K, K1, K2 of Eq. 4-5, T in degrees Celsius.
EMC_CELSIUS = (
    ("349", "1.29", "0.0135"),
    ("0.805", "0.000736", "-0.00000273"),
    ("6.27", "-0.00938", "-0.000303"),
    ("1.91", "0.0407", "-0.000293"),
)
Polynomials = tuple[tuple[str, str, str], ...]


def moisture_at(celsius: Fraction, humidity: Fraction, table: Polynomials = EMC_CELSIUS) -> Fraction:
    """Moisture content in percent that wood settles at, by temperature in °C and relative humidity in % (Eq. 4-5).

    Raises ValueError for a humidity outside 0 to 100. Meant for -1 to 90 °C; the fit
    is within 0.13 % of moisture on average and 0.9 % at worst (abstract of Simpson, Forest Products Journal).
    """
    if not 0 <= humidity <= 100:
        raise ValueError("relative humidity lies between 0 and 100 %")
    w, k, k1, k2 = (Fraction(a) + Fraction(b) * celsius + Fraction(c) * celsius**2 for a, b, c in table)
    kh = k * humidity / 100
    first = kh / (1 - kh)
    second = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return 1800 / w * (first + second)


# --- change of width --------------------------------------------------------------------------------------------------


def coefficient(wood: Species, cut: Cut) -> Fraction | None:
    """Change per 1 % of moisture as a share of the width: tangential for flat-sawn, radial for quarter-sawn."""
    return wood.tangential if cut == "flat" else wood.radial


def shrinkage(wood: Species, cut: Cut) -> Fraction:
    """Percent lost from green to oven-dry across a flat-sawn or a quarter-sawn board."""
    return wood.shrinks_tangential if cut == "flat" else wood.shrinks_radial


def change_linear(width: Length, per_percent: Fraction, start: Fraction, end: Fraction) -> Length:
    """Eq. 13-2: width × coefficient × change of moisture; grows positive, shrinks negative."""
    return width * (per_percent * (end - start))


def change_by_shrinkage(
    width: Length, percent: Fraction, start: Fraction, end: Fraction, fibre_saturation: int = 30
) -> Length:
    """Eq. 13-3, for moisture outside 6 to 14 %: width × (end − start) / (100 n / S − n + start)."""
    return width * ((end - start) / (100 * fibre_saturation / percent - fibre_saturation + start))


class Movement(Struct, frozen=True):
    """Change across a board, positive where it grows; `sources` are the equation and the table. Boards are seldom
    purely flat- or quarter-sawn, so the width tends to move less."""

    change: Length
    sources: tuple[Source, ...]


def movement(width: Length, wood: Species, cut: Cut, start: Fraction, end: Fraction) -> Movement:
    """Change of a width between two moisture contents in percent.

    Eq. 13-2 within 6 to 14 % where the wood has a coefficient, Eq. 13-3 elsewhere. Above the fibre saturation point
    nothing moves. Raises ValueError for moisture below zero.
    """
    if start < 0 or end < 0:
        raise ValueError("moisture content cannot be less than zero")
    top = Fraction(wood.fibre_saturation)
    start, end = min(start, top), min(end, top)
    low, high = LINEAR_RANGE
    per_percent = coefficient(wood, cut)
    if per_percent is not None and low <= min(start, end) and max(start, end) <= high:
        return Movement(change_linear(width, per_percent, start, end), (EQ_13_2, wood.coefficient_source))
    change = change_by_shrinkage(width, shrinkage(wood, cut), start, end, wood.fibre_saturation)
    return Movement(change, (EQ_13_3, wood.shrinkage_source))


# --- weight -----------------------------------------------------------------------------------------------------------

DENSITY = Source("Wood Handbook FPL-GTR-190", Confidence.MEMORY, "(2010)", "ch. 4, density")
GRAVITY_MOISTURE = Fraction(12)


def density(wood: Species) -> Fraction | None:
    """Weight at 12 % moisture, kg/m³: 1000 × specific gravity × 1.12 (`DENSITY`); None where gravity is unknown."""
    return None if wood.gravity is None else 1000 * wood.gravity * (1 + GRAVITY_MOISTURE / 100)
