"""Adhesives by generic kind: the times of their glue line, of the cup, in the clamps and to full strength; spread.

The figures are generic. What stands on the pot wins over every one of them, and documents say so. Where a range is
known, the cautious end is the one to plan with: the shortest open time, the longest time in clamps. Three times must
not be taken for one another: *open*, from spreading until the pieces are together; *tight*, from spreading until the
clamps are tight (open and closed assembly together); *pot*, in the cup, for what is mixed.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from shopdocs.facts.source import COMMON_PRACTICE, Confidence, Source

Range = tuple[Fraction, Fraction]


def _read(title: str, table: str = "") -> Source:
    return Source(title, Confidence.READ, table=table)


def _secondary(title: str, page: str = "") -> Source:
    return Source(title, Confidence.SECONDARY, page=page)


GLUE_TABLE = _secondary("Glue Characteristics", "woodworking archive table")
NATURAL_GLUES = _secondary("Natural glues", "table of a home-workshop site")
GLUES_IN_USE = _secondary("Glues", "Canadian woodworking magazine, at 20 °C and 50 % humidity")
PVA_GUIDE = _read("Working with PVA glues", "guide of a glue seller")
GLUING_GUIDE = _read("Gluing guide of a maker of PVA glues")
COLD_SHOP = _secondary("Using glue and epoxy in a cold shop", "figures given by glue makers")
SLOW_YELLOW = _secondary("woodworking tips page on a slow-setting yellow glue")
FISH_BLOG = _secondary("clavichord maker on fish glue")
LUTHIER = _secondary("luthier's page on hide glue")
CASEIN_PAGE = _secondary("Household chemistry encyclopedia: casein glue", "low authority")
UREA_UK = _read("data sheet of a powdered urea resin glue for joinery")
UREA_COLD = _read("Temperature vs. adhesive", "adhesive supplier, technical note")
RESIN_GLUES = _secondary("Resin glues", "woodworking magazine, October 2009")
RESORCINOL_MIX = _read("data sheet of a phenol-resorcinol glue")
RESORCINOL_PRESSURE = Source("FAA Advisory Circular 43.13-1B", Confidence.READ, table="paragraph 1-10")
RESORCINOL_COLD = _secondary("a maker's answer on resorcinol in the cold", "forum")
POLYURETHANE_SHEET = _read("data sheet of a solvent-free polyurethane wood glue")
EPOXY_BASICS = _read("Epoxy basics guide", "epoxy maker")
EPOXY_SHEET = _read("data sheet of a 1:1 structural wood epoxy")
EPOXY_CURE = _read("Epoxy chemistry and stages of cure", "epoxy maker")
FAST_EPOXY = _secondary("Ask the doctor: five-minute epoxies", "adhesives trade magazine, November 2013")
ONE_MASS = _read("Two-part epoxy knowledge page", "adhesive maker")
ADHESIVE_MEMORY = Source("adhesive data sheets, usual range", Confidence.MEMORY)
SPREAD_MEMORY = Source("adhesive data sheets, 35 to 50 lb per 1000 ft²", Confidence.MEMORY)
PRESSURE_TYPES = Source("Proper clamp pressure", Confidence.SECONDARY, page="hobby woodworking site (low authority)")

# Exact: 453.59237 g to the pound, 1000 ft² of 0.09290304 m².
G_M2_PER_LB_1000_FT2 = Fraction("453.59237") / Fraction("92.90304")

CONTACT: Range = (Fraction(0), Fraction(0))  # pressure that only closes the joint
PVA = "PVA"
EPOXY = "epoxy"
UREA = "urea"


class Adhesive(Struct, frozen=True):
    """One generic kind.

    Times in minutes at `reference_celsius`: `open_minutes` from spreading to the pieces together, `tight_minutes` from
    spreading to clamps tight (None where no figure is known: then the open time must hold for both), `pot_minutes` of
    100 g in the cup, for what is mixed; `clamp_minutes` in the clamps. `full_hours` until the joint may be worked hard
    or loaded; None where no figure is known. `spread` in g per m² of glue line, all that is laid on, `both_faces` where
    both are wetted. `pressure` in lbf/in², `hardwood_pressure` where
    it wants another on hardwood; None means it follows the wood, (0, 0) contact only. `minimum_celsius` None
    where no figure is known. `by_weight` is resin (or powder) to hardener (or water), None where each make has its own.
    `most_grams` is the largest mass to mix at once.
    """

    kind: str
    family: str
    open_minutes: Range
    clamp_minutes: Range
    open_source: Source
    clamp_source: Source
    tight_minutes: Range | None = None
    tight_source: Source = COMMON_PRACTICE
    pot_minutes: Range | None = None
    pot_source: Source = ADHESIVE_MEMORY
    full_hours: Range | None = None
    full_source: Source = COMMON_PRACTICE
    reference_celsius: Fraction = Fraction(20)
    pressure: Range | None = None
    pressure_source: Source = COMMON_PRACTICE
    hardwood_pressure: Range | None = None
    spread: Range = (Fraction(200), Fraction(200))
    spread_source: Source = COMMON_PRACTICE
    both_faces: bool = False
    density: Fraction = Fraction("1.1")  # kg per litre, common practice
    minimum_celsius: Fraction | None = None
    minimum_source: Source = ADHESIVE_MEMORY
    mixed: bool = False
    by_weight: tuple[int, int] | None = None
    by_weight_source: Source = COMMON_PRACTICE
    most_grams: Fraction | None = None
    most_source: Source = COMMON_PRACTICE
    water_borne: bool = True
    aliases: tuple[str, ...] = ()

    @property
    def planned_open_minutes(self) -> Fraction:
        """The shortest open time: until then the pieces must be together."""
        return self.open_minutes[0]

    @property
    def planned_tight_minutes(self) -> Fraction:
        """The shortest time from the first glue to clamps tight; the open time where no other figure is known."""
        return self.tight_minutes[0] if self.tight_minutes else self.open_minutes[0]

    @property
    def planned_clamp_hours(self) -> Fraction:
        """The longest time in clamps, in hours."""
        return self.clamp_minutes[1] / 60

    @property
    def planned_spread(self) -> Fraction:
        """The heaviest spread, g/m², so that what is mixed or bought is enough."""
        return self.spread[1]

    @property
    def contact_pressure(self) -> bool:
        """Whether clamps only hold the joint closed, because a firm squeeze starves it."""
        return self.pressure == CONTACT

    def grams(self, square_metres: Fraction) -> Fraction:
        """Adhesive for a joint area, with nothing added for what stays in the pot."""
        return square_metres * self.planned_spread

    def litres(self, square_metres: Fraction) -> Fraction:
        """The same in litres."""
        return self.grams(square_metres) / 1000 / self.density


def _span(low: int | str, high: int | str | None = None) -> Range:
    return Fraction(low), Fraction(low if high is None else high)


_PVA_SPREAD = (35 * G_M2_PER_LB_1000_FT2, 50 * G_M2_PER_LB_1000_FT2)
_HANDBOOK_PRESSURE = _span(100, 247)
PRESSURE_HANDBOOK = Source("Wood Handbook FPL-GTR-190", Confidence.MEMORY, edition="(2010)", table="ch. 10")
_DAY = _span(24)


def _pva(
    kind: str,
    opened: tuple[Range, Source],
    tight: tuple[Range, Source],
    clamp: tuple[Range, Source],
    minimum: tuple[int, Source],
    aliases: tuple[str, ...],
) -> Adhesive:
    return Adhesive(
        kind,
        PVA,
        open_minutes=opened[0],
        open_source=opened[1],
        tight_minutes=tight[0],
        tight_source=tight[1],
        clamp_minutes=clamp[0],
        clamp_source=clamp[1],
        full_hours=_DAY,
        full_source=PVA_GUIDE,
        reference_celsius=Fraction(21),
        spread=_PVA_SPREAD,
        spread_source=SPREAD_MEMORY,
        minimum_celsius=Fraction(minimum[0]),
        minimum_source=minimum[1],
        aliases=aliases,
    )


def _epoxy(
    kind: str,
    opened: tuple[Range, Source],
    pot: tuple[Range, Source],
    clamp: Range,
    full: tuple[Range, Source],
    most: tuple[int, Source],
    aliases: tuple[str, ...],
) -> Adhesive:
    # 22 °C is the lower of the two temperatures that sellers state, so a warm shop shortens the times the more.
    return Adhesive(
        kind,
        EPOXY,
        open_minutes=opened[0],
        open_source=opened[1],
        clamp_minutes=clamp,
        clamp_source=ADHESIVE_MEMORY,
        pot_minutes=pot[0],
        pot_source=pot[1],
        full_hours=full[0],
        full_source=full[1],
        reference_celsius=Fraction(22),
        pressure=CONTACT,
        pressure_source=EPOXY_SHEET,
        spread=_span(450, 900),
        spread_source=EPOXY_SHEET,
        both_faces=True,
        minimum_celsius=Fraction(16),
        mixed=True,
        most_grams=Fraction(most[0]),
        most_source=most[1],
        water_borne=False,
        aliases=aliases,
    )


_ALL_PVA = (_span(10, 20), PVA_GUIDE)  # the guide gives one range for all of them
ADHESIVES = (
    _pva(
        "white PVA",
        (_span(3, 5), GLUES_IN_USE),
        _ALL_PVA,
        (_span(30, 90), PVA_GUIDE),
        (13, _secondary("home-improvement page")),
        ("PVA", "white glue", "PVA white"),
    ),
    _pva(
        "yellow PVA",
        (_span(5, 6), GLUES_IN_USE),
        _ALL_PVA,
        (_span(30, 60), GLUING_GUIDE),
        (10, COLD_SHOP),
        ("aliphatic", "yellow glue", "wood glue", "PVA yellow"),
    ),
    _pva(
        "cross-linking PVA",
        (_span(5), GLUE_TABLE),
        _ALL_PVA,
        (_span(30, 60), GLUING_GUIDE),
        (13, COLD_SHOP),
        ("waterproof PVA", "PVA cross-linking"),
    ),
    _pva(
        "slow PVA",
        (_span(15), ADHESIVE_MEMORY),
        (_span(20, 30), SLOW_YELLOW),
        (_span(60), ADHESIVE_MEMORY),
        (6, COLD_SHOP),
        ("extended PVA", "slow-set PVA"),
    ),
    Adhesive(
        "hot hide glue",
        "hide glue",
        _span(1, 10),
        _span(10, 90),
        NATURAL_GLUES,
        NATURAL_GLUES,
        full_hours=_DAY,
        full_source=_secondary("chair maker's page", "do not shock the joint for about 24 h"),
        pressure=_span(75, 125),
        pressure_source=PRESSURE_TYPES,
        minimum_celsius=Fraction(22),
        minimum_source=LUTHIER,
        aliases=("hide glue", "animal glue"),
    ),
    Adhesive(
        "liquid hide glue",
        "hide glue",
        _span(10),
        _span(720),
        GLUE_TABLE,
        GLUE_TABLE,
        full_hours=_DAY,
        full_source=ADHESIVE_MEMORY,
        pressure=_span(75, 125),
        pressure_source=PRESSURE_TYPES,
        minimum_celsius=Fraction(10),
    ),
    Adhesive(
        "urea-formaldehyde",
        UREA,
        _span(20),
        _span(180, 720),
        GLUE_TABLE,
        UREA_UK,
        pot_minutes=_span(20, 180),  # a user's 20 to 30 min in the pot, the data sheet's 180 at 15 °C
        pot_source=_secondary("user of a powdered urea resin glue, and its data sheet"),
        full_hours=_DAY,
        full_source=RESIN_GLUES,
        pressure=_HANDBOOK_PRESSURE,
        pressure_source=PRESSURE_HANDBOOK,
        spread=_span(100, 250),
        spread_source=UREA_UK,
        density=Fraction("1.25"),
        minimum_celsius=Fraction(21),
        minimum_source=UREA_COLD,
        mixed=True,
        by_weight=(2, 1),
        by_weight_source=UREA_UK,
        aliases=("urea formaldehyde", "plastic resin"),
    ),
    Adhesive(
        "resorcinol",
        "resorcinol",
        _span(15),
        _span(600),
        GLUE_TABLE,
        GLUE_TABLE,
        pressure=_span(125, 150),
        pressure_source=RESORCINOL_PRESSURE,
        hardwood_pressure=_span(150, 200),
        both_faces=True,
        density=Fraction("1.15"),
        minimum_celsius=Fraction(21),
        minimum_source=RESORCINOL_COLD,
        mixed=True,
        by_weight=(5, 1),
        by_weight_source=RESORCINOL_MIX,
    ),
    Adhesive(
        "casein",
        "casein",
        _span(5, 45),  # one page presses after 4 to 6 min, another leaves it open 15 to 45
        _span(120, 480),
        _secondary("Household chemistry encyclopedia, and Natural glues"),
        NATURAL_GLUES,
        pot_minutes=_span(240, 360),
        pot_source=CASEIN_PAGE,
        full_hours=_DAY,
        pressure=_HANDBOOK_PRESSURE,
        pressure_source=PRESSURE_HANDBOOK,
        minimum_celsius=Fraction(5),
        mixed=True,
        aliases=("casein glue",),
    ),
    Adhesive(
        "fish glue",
        "hide glue",
        _span(15, 30),
        _span(120, 240),
        NATURAL_GLUES,
        NATURAL_GLUES,
        full_hours=_DAY,
        full_source=FISH_BLOG,
        pressure=_span(75, 125),
        pressure_source=PRESSURE_TYPES,
    ),
    Adhesive(
        "polyurethane",
        "polyurethane",
        _span(10),  # two pages of low authority say up to 30
        _span(90, 360),
        POLYURETHANE_SHEET,
        POLYURETHANE_SHEET,
        full_hours=_DAY,
        full_source=POLYURETHANE_SHEET,
        pressure=_span(50, 75),
        pressure_source=PRESSURE_TYPES,
        spread=_span(150, 180),
        spread_source=POLYURETHANE_SHEET,
        minimum_celsius=Fraction(5),
        minimum_source=POLYURETHANE_SHEET,
        water_borne=False,
        aliases=("polyurethane glue", "foaming glue"),
    ),
    _epoxy(
        "slow epoxy",
        (_span(60, 110), EPOXY_BASICS),
        (_span(20, 25), ADHESIVE_MEMORY),
        _span(480, 1440),
        (_span(24, 168), EPOXY_CURE),
        (100, EPOXY_BASICS),
        ("epoxy slow",),
    ),
    _epoxy(
        "fast epoxy",
        (_span(3, 5), FAST_EPOXY),
        (_span(3, 5), FAST_EPOXY),
        _span(30, 60),
        (_span(24, 72), FAST_EPOXY),
        (50, ONE_MASS),
        ("5-minute epoxy", "five-minute epoxy", "epoxy fast"),
    ),
)


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
    """The kinds with the minutes until the pieces must be together and the clamps tight, for a list."""
    wide = max(len(row.kind) for row in ADHESIVES)
    lines = []
    for row in ADHESIVES:
        tight = f", clamps tight within {_told(row.tight_minutes)} min" if row.tight_minutes else ""
        pot = f", pot life {_told(row.pot_minutes)} min" if row.pot_minutes else ""
        lines.append(f"{row.kind:<{wide}}  open {_told(row.open_minutes)} min{tight}{pot}")
    return tuple(lines)


def _told(minutes: Range) -> str:
    low, high = minutes
    return f"{low}{f' to {high}' if high != low else ''}"


def adhesive_kinds() -> tuple[str, ...]:
    """The names a maker may write, one a kind."""
    return tuple(row.kind for row in ADHESIVES)
