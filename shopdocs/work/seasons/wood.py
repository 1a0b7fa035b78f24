"""How far the wood of each part moves across its grain over a year, as a share of its width.

Grown and shrunk from the moisture it is worked at. Where nobody measured that, it grows from the driest and shrinks
from the dampest, so that a gap reckoned so is wide enough whenever the piece was made.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from msgspec import Struct

from shopdocs.core.length import Length
from shopdocs.facts import movement
from shopdocs.facts.source import Source
from shopdocs.facts.species_table import Species
from shopdocs.model.build import Build, Climate
from shopdocs.model.parts import Cut, Material, MaterialKind

_METRE = Length(1000)


class Year(Struct, frozen=True):
    """Moisture of the wood in percent: the driest and the dampest it gets, and what it is worked at (None: unknown)."""

    dry: Fraction
    wet: Fraction
    worked: Fraction | None

    @property
    def low(self) -> Fraction:
        """What it grows from."""
        return self.dry if self.worked is None else self.worked

    @property
    def high(self) -> Fraction:
        """What it shrinks from."""
        return self.wet if self.worked is None else self.worked

    @property
    def in_range(self) -> bool:
        """Whether the coefficients of the table hold for all of it."""
        low, high = movement.LINEAR_RANGE
        return low <= min(self.dry, self.low) and max(self.wet, self.high) <= high


def year_of(climate: Climate) -> Year:
    """The moisture that wood takes on in a climate: what is written, else what follows from air (Eq. 4-5)."""
    if climate.moisture is not None:
        return Year(*climate.moisture, climate.worked)
    dry = min(movement.moisture_at(degrees, climate.humidity[0]) for degrees in climate.celsius)
    wet = max(movement.moisture_at(degrees, climate.humidity[1]) for degrees in climate.celsius)
    return Year(_tenths(dry), _tenths(wet), climate.worked)


def _tenths(percent: Fraction) -> Fraction:
    """As the tables print it: a meter shows no more, and the equation is no better."""
    return Fraction(round(percent * 10), 10)


class Moves(Struct, frozen=True):
    """The movement of one part: `grows` and `shrinks` as shares of its width, never less than zero.

    `called` is the wood it was reckoned as, `cut` how its rings lie, `assumed` where nobody said that and it counts as
    what moves more; `own` where the maker's figure was taken; `sources` are equation and table.
    """

    called: str
    cut: Cut
    assumed: bool
    own: bool
    grows: Fraction
    shrinks: Fraction
    sources: tuple[Source, ...]

    @property
    def most(self) -> Fraction:
        """The larger of the two."""
        return max(self.grows, self.shrinks)


def is_solid(material: Material) -> bool:
    """Whether it is wood that moves; plywood and board hardly do."""
    return material.kind is not MaterialKind.SHEET


def wood_name(material: Material) -> str:
    """What the build calls the wood: its species, else the name of the material."""
    return material.species or material.name


def moves_of(build: Build, year: Year) -> Mapping[str, Moves]:
    """The movement of every part of solid wood whose figures are known, by the name of the part."""
    found = {}
    known: dict[tuple[str, Cut | None], Moves | None] = {}
    for part in build.parts:
        material = build.material(part.material)
        if not is_solid(material):
            continue
        key = part.material, part.cut
        if key not in known:
            known[key] = _moves(part.cut or material.cut, material, year)
        moves = known[key]
        if moves is not None:
            found[part.name] = moves
    return found


def _moves(said: Cut | None, material: Material, year: Year) -> Moves | None:
    if material.moves is not None:
        grows, shrinks = material.moves * (year.wet - year.low), material.moves * (year.high - year.dry)
        return Moves(wood_name(material), said or Cut.FLAT, False, True, max(grows, _0), max(shrinks, _0), ())
    ways = [
        _by_table(wood, cut, said is None, year)
        for wood in movement.species_like(wood_name(material))
        for cut in ([said] if said else Cut)
    ]
    return max(ways, key=lambda way: way.most) if ways else None


def _by_table(wood: Species, cut: Cut, assumed: bool, year: Year) -> Moves:
    grown = movement.movement(_METRE, wood, cut.value, year.low, year.wet)
    shrunk = movement.movement(_METRE, wood, cut.value, year.high, year.dry)
    sources = tuple(dict.fromkeys((*grown.sources, *shrunk.sources)))
    grows, shrinks = grown.change / _METRE, -(shrunk.change / _METRE)
    return Moves(wood.name, cut, assumed, False, max(grows, _0), max(shrinks, _0), sources)


_0 = Fraction(0)
