"""How long a glue can be worked, and how long it stays in the clamps, at the temperature of a shop.

Three clocks run: the *cup* (what is mixed warms itself), the *glue line* from spreading until the pieces are together
and until the clamps are tight, and the *clamps*. Heat shortens each of them in its own way; where sources differ the
shorter time is planned with. A cold shop never lengthens a time that is planned with, because it may not be there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from msgspec import Struct

from shopdocs.facts.adhesives import EPOXY, PVA, UREA, UREA_UK, Adhesive
from shopdocs.facts.source import Confidence, Source

POT_HALVING = Source(
    "rule of thumb: pot life halves per 10 °C (18 °F)",
    Confidence.SECONDARY,
    page="technical pages of three epoxy makers",
)
# One seller lets a thin film slow down by 1.3 for 10 °C less, another lets cure time halve for 10 °C more.
FILM_HALVING = Source("Two-part epoxy knowledge page: cure time halves per 10 °C", Confidence.READ)
PVA_COLD = Source("Give the glue time", Confidence.SECONDARY, page="magazine: doubled per 15 °F below 70 °F")
# No source says how fast it skins over in the heat; the rule for the cold is carried on to the warm side.
PVA_HEAT = Source("open time of PVA halves per 15 °F (8 °C) of heat", Confidence.PRACTICE)
UREA_TACK = Source("times to tacky given by the maker of a urea resin glue", Confidence.SECONDARY, page="user's page")
# A fast hardener works 60 to 70 min as a film and 9 to 12 min in the cup: about six to one (the same guide).
POT_TO_FILM = 6
_FILM_MINUTES = 30  # from here on an open time cannot be that of a full cup (common practice, no source)

PVA_DOUBLES = Fraction(25, 3)  # °C, that is 15 °F
_UREA_CLAMP = ((10, 18 * 60), (15, 7 * 60), (20, 3 * 60))  # °C and minutes, read in the data sheet
_UREA_TACKY = ((10, 180), (20, 45), (30, 20))


class Label(Struct, frozen=True):
    """What the maker read on the pot, in minutes at `celsius` (None: the usual temperature of its kind): `open`
    counted until the clamps are tight, `pot` in the cup. None for what was not read."""

    open: Fraction | None = None
    pot: Fraction | None = None
    celsius: Fraction | None = None


class WorkingTime(Struct, frozen=True):
    """Minutes to plan with, at the temperature of the shop, rounded down to half minutes.

    `together`: from the first glue until the pieces are together; `low` until the clamps are tight, `high` as the most
    a source gives; `pot` in the cup, None for a glue that is not mixed. `label_celsius` is the temperature the label's
    times were taken for (None without a label), `assumed` whether the label did not say so. `too_cold` where the glue
    may not set soundly.
    """

    together: Fraction
    low: Fraction
    high: Fraction
    sources: tuple[Source, ...]
    pot: Fraction | None = None
    too_cold: bool = False
    label_celsius: Fraction | None = None
    assumed: bool = False
    notes: tuple[str, ...] = ()


def pot_life(minutes: Fraction, celsius: Fraction, reference: Fraction) -> float:
    """Minutes at `celsius` of an epoxy that has `minutes` at `reference` in the cup: half per 10 °C warmer, double per
    10 °C less.

    A rule of thumb (`POT_HALVING`); the factor of real products lies between 1.5 and 2.5 per 10 °C.
    """
    return float(minutes) * math.exp2(float(reference - celsius) / 10)


def working_time(glue: Adhesive, shop_celsius: Fraction | None = None, label: Label | None = None) -> WorkingTime:
    """The times of a glue in a shop of this temperature; without one, the temperature that the times are for.

    A label's times win over the table's. Its open time is counted to clamps tight: some sellers mean only the time
    until the pieces meet, so this is the safe way to read it.
    """
    label = label or Label()
    reference = glue.reference_celsius if label.celsius is None else label.celsius
    low = label.open or glue.planned_tight_minutes
    high = label.open or (glue.tight_minutes or glue.open_minutes)[1]
    together = min(low, glue.planned_open_minutes) if label.open is None else low
    pot = label.pot or (glue.pot_minutes[0] if glue.pot_minutes else None)
    if label.pot is None and label.open is not None and glue.family == EPOXY and pot is not None:
        # A long open time is that of a film, and may belong to a hardener with far less time in the cup.
        pot = min(pot, label.open if label.open < _FILM_MINUTES else label.open / POT_TO_FILM)
    sources = () if label.open else (glue.open_source, *((glue.tight_source,) if glue.tight_minutes else ()))
    notes = []
    celsius = reference if shop_celsius is None else shop_celsius
    factor, why = _heat(glue, celsius, reference)
    if factor is not None:
        together, low = (_half_minutes(float(end) * factor) for end in (together, low))
        high, sources = max(low, _half_minutes(float(high) * factor)), (*sources, why)
    if factor is not None and glue.family == PVA:
        notes.append("warm air shortens the open time: planned here as half for 8 °C (15 °F), no source; dry air too")
    elif factor is None and celsius >= reference + 5 and glue.water_borne:
        notes.append("warm or dry air shortens the open time; no source says by how much")
    if pot is not None and glue.family == EPOXY and celsius > reference:
        pot = _half_minutes(pot_life(pot, celsius, reference))
        sources = (*sources, POT_HALVING)
    elif pot is not None and factor is not None:  # what sets sooner on the wood does so in the cup
        pot = _half_minutes(float(pot) * factor)
    cold = glue.minimum_celsius is not None and celsius < glue.minimum_celsius
    return WorkingTime(
        together=together,
        low=low,
        high=high,
        sources=(*sources, glue.minimum_source) if cold else sources,
        pot=pot,
        too_cold=cold,
        label_celsius=reference if label.open or label.pot else None,
        assumed=label.celsius is None,
        notes=tuple(notes),
    )


def _heat(glue: Adhesive, celsius: Fraction, reference: Fraction) -> tuple[float | None, Source]:
    """The share of its open time that a glue keeps in a warmer shop, with its source; None where nothing is known, or
    where the shop is no warmer."""
    if celsius <= reference:
        return None, FILM_HALVING
    if glue.family == EPOXY:
        return math.exp2(float(reference - celsius) / 10), FILM_HALVING
    if glue.family == UREA:
        return _between(_UREA_TACKY, celsius) / _between(_UREA_TACKY, reference), UREA_TACK
    if glue.family == PVA:
        return math.exp2(float((reference - celsius) / PVA_DOUBLES)), PVA_HEAT
    return None, FILM_HALVING


def clamp_hours(glue: Adhesive, shop_celsius: Fraction | None = None) -> tuple[Fraction, tuple[Source, ...]]:
    """The longest time in the clamps, in hours rounded up to halves, with its sources. Cold lengthens it where a source
    says by how much (PVA, urea, epoxy); warmth never shortens it."""
    base, sources = glue.planned_clamp_hours, (glue.clamp_source,)
    if shop_celsius is None:
        return base, sources
    if glue.family == UREA:
        minutes = _between(_UREA_CLAMP, max(shop_celsius, Fraction(10)))
        return max(base, _half_hours(minutes / 60)), (glue.clamp_source, UREA_UK)
    if shop_celsius >= glue.reference_celsius:
        return base, sources
    colder = glue.reference_celsius - shop_celsius
    if glue.family == PVA:
        return _half_hours(float(base) * math.exp2(float(colder / PVA_DOUBLES))), (*sources, PVA_COLD)
    if glue.family == EPOXY:
        return _half_hours(float(base) * math.exp2(float(colder) / 10)), (*sources, FILM_HALVING)
    return base, sources


def _between(rows: Sequence[tuple[int, int]], celsius: Fraction) -> float:
    """Minutes at a temperature between the rows of a table, straight on a logarithmic scale; beyond its ends the last
    stretch goes on."""
    stretches = list(pairwise(rows))
    (one, first), (two, second) = next((s for s in stretches if celsius <= s[1][0]), stretches[-1])
    share = float(celsius - one) / (two - one)
    return math.exp(math.log(first) + share * (math.log(second) - math.log(first)))


def _half_minutes(minutes: float) -> Fraction:
    # A hair is added so that an exact power of two is not lost to floating point.
    return Fraction(math.floor(minutes * 2 + 1e-9), 2)


def _half_hours(hours: float) -> Fraction:
    return Fraction(math.ceil(hours * 2 - 1e-9), 2)
