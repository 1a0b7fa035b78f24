"""Adhesives by generic kind: working time, time in clamps, pressure, spread; clamps and their force.

The figures are generic. What stands on the pot wins over every one of them, and documents say so. Where a range is
known, the cautious end is the one to plan with: the shortest open time, the longest time in clamps.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from shopdocs.facts.source import COMMON_PRACTICE, Confidence, Source

Range = tuple[Fraction, Fraction]

GLUE_TABLE = Source("Glue Characteristics", Confidence.SECONDARY, page="woodworking archive table")
NATURAL_GLUES = Source("Natural glues", Confidence.SECONDARY, page="table of a home-workshop site")
ADHESIVE_MEMORY = Source("adhesive data sheets, usual range", Confidence.MEMORY)
SPREAD_MEMORY = Source("adhesive data sheets, 35 to 50 lb per 1000 ft²", Confidence.MEMORY)
PRESSURE_TYPES = Source("Proper clamp pressure", Confidence.SECONDARY, page="hobby woodworking site (low authority)")
PRESSURE_PVA = Source(
    "Clamping pressure for wood glue", Confidence.SECONDARY, page="magazine quoting an adhesive maker"
)
PRESSURE_PVA_MEMORY = Source("Clamping pressure for wood glue", Confidence.MEMORY)
PRESSURE_HANDBOOK = Source("Wood Handbook FPL-GTR-190", Confidence.MEMORY, edition="(2010)", table="ch. 10")
HALVING = Source(
    "rule of thumb: pot life halves per 10 °C (18 °F)",
    Confidence.SECONDARY,
    page="technical pages of three epoxy makers",
)
CHALK_TEMPERATURE = Source("PVA chalk temperature about 10 °C (50 °F)", Confidence.MEMORY)

REFERENCE_CELSIUS = Fraction(20)  # the open-time tables are for about 20 °C (68 °F)
POT_LIFE_CELSIUS = Fraction(25)  # epoxy data sheets state pot life at 77 °F, for 100 g in a cup
POT_LIFE_GRAMS = Fraction(100)
# Exact: 453.59237 g to the pound, 1000 ft² of 0.09290304 m².
G_M2_PER_LB_1000_FT2 = Fraction("453.59237") / Fraction("92.90304")

PVA = "PVA"
EPOXY = "epoxy"


@dataclass(frozen=True, slots=True)
class Adhesive:
    """One generic kind. Times in minutes at about 20 °C, pressure in lbf/in², spread in g per m² of joint (one face).

    `pressure` None means it follows the wood (`pressure_range`). `minimum_celsius` None where no figure is known.
    `mixed` kinds come in two parts, or as powder and water, and are mixed by batch. `full_hours` is the wait until the
    joint may be worked hard or loaded.
    """

    kind: str
    family: str
    open_minutes: Range
    clamp_minutes: Range
    time_source: Source
    pressure: Range | None = None
    pressure_source: Source = PRESSURE_HANDBOOK
    spread: Range = (Fraction(200), Fraction(200))
    spread_source: Source = COMMON_PRACTICE
    density: Fraction = Fraction("1.1")  # kg per litre
    density_source: Source = COMMON_PRACTICE
    full_hours: Fraction = Fraction(24)
    full_source: Source = COMMON_PRACTICE
    minimum_celsius: Fraction | None = None
    minimum_source: Source = ADHESIVE_MEMORY
    mixed: bool = False
    water_borne: bool = True
    aliases: tuple[str, ...] = field(default=())

    @property
    def planned_open_minutes(self) -> Fraction:
        """The shortest open time: the one to plan a glue-up with."""
        return self.open_minutes[0]

    @property
    def planned_clamp_hours(self) -> Fraction:
        """The longest time in clamps, in hours."""
        return self.clamp_minutes[1] / 60

    @property
    def planned_spread(self) -> Fraction:
        """The heaviest spread, g/m², so that what is mixed or bought is enough."""
        return self.spread[1]

    def grams(self, square_metres: Fraction) -> Fraction:
        """Adhesive for a joint area, with nothing added for what stays in the pot."""
        return square_metres * self.planned_spread

    def litres(self, square_metres: Fraction) -> Fraction:
        """Volume for an area glued once, from `grams` and the density."""
        return self.grams(square_metres) / 1000 / self.density


def _minutes(low: int, high: int | None = None) -> Range:
    return Fraction(low), Fraction(low if high is None else high)


_PVA_SPREAD = (35 * G_M2_PER_LB_1000_FT2, 50 * G_M2_PER_LB_1000_FT2)
_HANDBOOK_PRESSURE = _minutes(100, 247)


def _pva(kind: str, open_minutes: Range, clamp: Range, source: Source, aliases: tuple[str, ...]) -> Adhesive:
    return Adhesive(
        kind, PVA, open_minutes, clamp, source, spread=_PVA_SPREAD, spread_source=SPREAD_MEMORY,
        minimum_celsius=Fraction(10), minimum_source=CHALK_TEMPERATURE, aliases=aliases,
    )  # fmt: skip


def _epoxy(kind: str, open_minutes: Range, clamp: Range, aliases: tuple[str, ...]) -> Adhesive:
    return Adhesive(
        kind, EPOXY, open_minutes, clamp, ADHESIVE_MEMORY, pressure=_minutes(25, 50), pressure_source=PRESSURE_TYPES,
        minimum_celsius=Fraction(15), mixed=True, water_borne=False, aliases=aliases,
    )  # fmt: skip


ADHESIVES = (
    _pva("white PVA", _minutes(5), _minutes(60), GLUE_TABLE, ("PVA", "white glue", "PVA white")),
    _pva("yellow PVA", _minutes(5), _minutes(30), GLUE_TABLE, ("aliphatic", "yellow glue", "wood glue", "PVA yellow")),
    _pva("cross-linking PVA", _minutes(5), _minutes(60), GLUE_TABLE, ("waterproof PVA", "PVA cross-linking")),
    _pva("slow PVA", _minutes(15, 20), _minutes(60), ADHESIVE_MEMORY, ("extended PVA", "slow-set PVA")),
    Adhesive(
        "hot hide glue", "hide glue", _minutes(1, 10), _minutes(10, 90), NATURAL_GLUES,
        pressure=_minutes(75, 125), pressure_source=PRESSURE_TYPES, aliases=("hide glue", "animal glue"),
    ),
    Adhesive(
        "liquid hide glue", "hide glue", _minutes(10), _minutes(720), GLUE_TABLE,
        pressure=_minutes(75, 125), pressure_source=PRESSURE_TYPES,
    ),
    Adhesive(
        "urea-formaldehyde", "resin", _minutes(20), _minutes(720), GLUE_TABLE, pressure=_HANDBOOK_PRESSURE,
        density=Fraction("1.25"), minimum_celsius=Fraction(21), mixed=True,
        aliases=("urea formaldehyde", "plastic resin"),
    ),
    Adhesive(
        "resorcinol", "resin", _minutes(15), _minutes(600), GLUE_TABLE, pressure=_HANDBOOK_PRESSURE,
        density=Fraction("1.15"), minimum_celsius=Fraction(21), mixed=True,
    ),
    Adhesive(
        "casein", "casein", _minutes(15, 45), _minutes(120, 480), NATURAL_GLUES, pressure=_HANDBOOK_PRESSURE,
        mixed=True, aliases=("casein glue",),
    ),
    Adhesive(
        "fish glue", "hide glue", _minutes(15, 30), _minutes(120, 240), NATURAL_GLUES,
        pressure=_minutes(75, 125), pressure_source=PRESSURE_TYPES,
    ),
    Adhesive(
        "polyurethane", "polyurethane", _minutes(15, 30), _minutes(60, 240), ADHESIVE_MEMORY,
        pressure=_minutes(50, 75), pressure_source=PRESSURE_TYPES, minimum_celsius=Fraction(10), water_borne=False,
        aliases=("polyurethane glue", "foaming glue"),
    ),
    _epoxy("slow epoxy", _minutes(60, 120), _minutes(480, 1440), ("epoxy slow",)),
    _epoxy("fast epoxy", _minutes(3, 5), _minutes(30, 60), ("5-minute epoxy", "five-minute epoxy", "epoxy fast")),
)  # fmt: skip


def _plain(name: str) -> str:
    return " ".join(name.casefold().replace(",", " ").split())


def adhesive(name: str) -> Adhesive | None:
    """The adhesive of this kind, upper and lower case alike; None for an unknown kind, and for a bare 'epoxy', whose
    working time may be five minutes or an hour."""
    wanted = _plain(name)
    for row in ADHESIVES:
        if wanted in {_plain(word) for word in (row.kind, *row.aliases)}:
            return row
    return None


def adhesive_lines() -> tuple[str, ...]:
    """The same with the minutes they stay open, for a list."""
    wide = max(len(row.kind) for row in ADHESIVES)
    lines = []
    for row in ADHESIVES:
        low, high = row.open_minutes
        lines.append(f"{row.kind:<{wide}}  {low}{f' to {high}' if high != low else ''} min")
    return tuple(lines)


def adhesive_kinds() -> tuple[str, ...]:
    """The names a maker may write, one a kind."""
    return tuple(row.kind for row in ADHESIVES)


# --- working time -----------------------------------------------------------------------------------------------------


def pot_life(minutes: Fraction, celsius: Fraction, reference: Fraction = POT_LIFE_CELSIUS) -> float:
    """Minutes at `celsius` of an epoxy that has `minutes` at `reference`: half per 10 °C warmer, double per 10 °C less.

    A rule of thumb (`HALVING`); the factor of real products lies between 1.5 and 2.5 per 10 °C.
    """
    return float(minutes) * math.exp2(float(reference - celsius) / 10)


@dataclass(frozen=True, slots=True)
class WorkingTime:
    """Minutes from first glue to clamps tight: plan with `low`. `too_cold` where the glue may not set soundly."""

    low: Fraction
    high: Fraction
    sources: tuple[Source, ...]
    too_cold: bool = False
    note: str = ""


def working_minutes(glue: Adhesive, shop_celsius: Fraction | None = None) -> WorkingTime:
    """Working time in a shop of this temperature, rounded down to half minutes; without one, about 20 °C is assumed.

    Epoxy follows the halving rule in a warm shop; a cold shop lengthens only the high end, because time that may not be
    there must not be planned with. Other kinds keep their range and say what heat does to them.
    """
    low, high = glue.open_minutes
    sources: tuple[Source, ...] = (glue.time_source,)
    if shop_celsius is None:
        return WorkingTime(low, high, sources)
    too_cold = glue.minimum_celsius is not None and shop_celsius < glue.minimum_celsius
    if too_cold:
        sources = (*sources, glue.minimum_source)
    if glue.family == EPOXY and shop_celsius != REFERENCE_CELSIUS:
        changed = [_half_minutes(pot_life(end, shop_celsius, REFERENCE_CELSIUS)) for end in (low, high)]
        note = "shop temperature counted by the halving rule; a full cup goes off sooner"
        return WorkingTime(min(low, changed[0]), changed[1], (*sources, HALVING), too_cold, note)
    note = ""
    if shop_celsius >= REFERENCE_CELSIUS + 5 and glue.water_borne:
        note = "warm or dry air shortens the time"
    return WorkingTime(low, high, sources, too_cold, note)


def _half_minutes(minutes: float) -> Fraction:
    # A hair is added so that an exact power of two is not lost to floating point.
    return Fraction(math.floor(minutes * 2 + 1e-9), 2)


# --- pressure and clamps ----------------------------------------------------------------------------------------------

WoodGroup = Literal["hardwood", "softwood"]
# Specific gravity (at 12 % moisture) up to which a wood counts as light, and as medium (cherry, soft maple): habit.
LIGHT_WOOD = Fraction("0.45")
MEDIUM_WOOD = Fraction("0.57")


@dataclass(frozen=True, slots=True)
class Pressure:
    """Clamping pressure on the joint, lbf/in²."""

    low: Fraction
    high: Fraction
    source: Source


PVA_LIGHT = Pressure(*_minutes(100, 150), PRESSURE_PVA)
PVA_MEDIUM = Pressure(*_minutes(125, 175), PRESSURE_PVA_MEMORY)
PVA_DENSE = Pressure(*_minutes(175, 250), PRESSURE_PVA)


def pressure_range(glue: Adhesive, group: WoodGroup, specific_gravity: Fraction | None = None) -> Pressure:
    """Pressure for a glue on a wood; PVA goes by density where it is known, else by hardwood and softwood."""
    if glue.pressure is not None:
        return Pressure(*glue.pressure, glue.pressure_source)
    if specific_gravity is None:
        return PVA_LIGHT if group == "softwood" else PVA_DENSE
    if specific_gravity <= LIGHT_WOOD:
        return PVA_LIGHT
    return PVA_MEDIUM if specific_gravity <= MEDIUM_WOOD else PVA_DENSE


@dataclass(frozen=True, slots=True)
class ClampForce:
    """Force of one clamp tightened by hand, lbf: an order of magnitude. `known` False where the kind is not listed."""

    kind: str
    force: Fraction
    source: Source
    known: bool = True


_CLAMP_TEST = Source(
    "clamping test of a woodworking magazine, 2007", Confidence.SECONDARY, page="forum thread quoting the test"
)
CLAMP_FORCES = (
    ClampForce("parallel", Fraction(370), _CLAMP_TEST),
    ClampForce("pipe", Fraction(1050), _CLAMP_TEST),
    ClampForce("i-beam", Fraction(1350), _CLAMP_TEST),
    ClampForce(
        "spring", Fraction(35), Source("The fine art of sticking two pieces of wood together", Confidence.SECONDARY)
    ),
)


def clamp_force(name: str) -> ClampForce:
    """Force of a clamp by the name the shop uses for it ('600 mm parallel clamp').

    A kind that is not listed counts as a parallel-jaw clamp, the weakest screw clamp in the table.
    """
    words = name.casefold().replace("i beam", "i-beam")
    for row in CLAMP_FORCES:
        if row.kind in words:
            return row
    return ClampForce(name, CLAMP_FORCES[0].force, COMMON_PRACTICE, known=False)


def force_needed(square_inches: Fraction, psi: Fraction) -> Fraction:
    """Force on a joint, lbf: pressure times glued area."""
    return square_inches * psi


def clamps_needed(square_inches: Fraction, psi: Fraction, clamp: ClampForce) -> int:
    """Clamps of one kind that bring this pressure on the joint, at least one."""
    return max(1, math.ceil(force_needed(square_inches, psi) / clamp.force))
