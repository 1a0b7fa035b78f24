"""Finishes by generic type: how far a litre goes, how many coats, what waits between them; grits of sanding.

Coverage is for one coat on sanded furniture; open grain and end grain take more. The figures are generic: what stands
on the can wins. Plan with the low end, so that the can is not too small.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from shopdocs.facts.source import Confidence, Source

Range = tuple[Fraction, Fraction]


class FinishType(Struct, frozen=True):
    """One generic type. `coverage` in m² per litre and coat, low and high; `wait_hours` between coats, shortest first.

    `oily_rags`: it hardens by taking up oxygen, so cloths wet with it can heat themselves alight. `vapour`: it is
    thinned with solvent or spirit, or often sold so (common practice, no source; the data sheet decides). `stop_grit`
    is the last grit before the first coat, `between_grit` the one between coats, None where none is used. `wiped`: what
    does not soak in is wiped off before it turns tacky, or it dries to a skin that stays sticky. Coats, waits and grits
    are common practice, no source. `inch_note` is the note for makers in inches, where it has measures.
    """

    kind: str
    coverage: Range
    coverage_source: Source
    coats: int
    wait_hours: Range
    oily_rags: bool
    stop_grit: int = 220
    between_grit: int | None = 320
    aliases: tuple[str, ...] = ()
    note: str = ""
    inch_note: str = ""
    vapour: bool = True
    wiped: bool = False

    @property
    def planned_coverage(self) -> Fraction:
        """The smaller coverage, m² per litre and coat."""
        return self.coverage[0]

    def litres(self, square_metres: Fraction, coats: int | None = None) -> Fraction:
        """Finish for an area at the planned coverage; `coats` None takes the usual number."""
        return square_metres * (self.coats if coats is None else coats) / self.planned_coverage


def _range(low: str, high: str) -> Range:
    return Fraction(low), Fraction(high)


_VARNISH = Source("varnish application information, maker's page", Confidence.SECONDARY)
_POLYURETHANE = Source("polyurethane varnish data sheet", Confidence.SECONDARY)
_WATERBORNE = Source("waterborne spar varnish, technical data", Confidence.SECONDARY)
_TUNG = Source("How much product do I need, maker's guide", Confidence.SECONDARY)
_SHELLAC = Source("shellac coverage", Confidence.MEMORY)
_LINSEED = Source("boiled linseed oil coverage", Confidence.MEMORY)
_BY_HAND = Source("coverage by hand on furniture", Confidence.PRACTICE)

FINISHES = (
    FinishType(
        "hardwax oil", _range("15", "25"), _BY_HAND, 2, _range("12", "24"), True, 150, None,
        aliases=("hard wax oil", "hardwax-oil"),
        note="floor pads spread 20 to 30 m² per litre; finer than P150 closes the surface",
        inch_note="floor pads spread 800 to 1,200 ft² per gallon; finer than P150 closes the surface",
        wiped=True,
    ),
    FinishType(
        "oil varnish", _range("10", "12"), _VARNISH, 3, _range("24", "24"), True,
        aliases=("varnish", "alkyd varnish"),
    ),
    FinishType(
        "oil polyurethane", _range("7.4", "9.8"), _POLYURETHANE, 3, _range("24", "24"), True,
        aliases=("polyurethane", "oil-based polyurethane"),
    ),
    FinishType(
        "waterborne varnish", _range("9.8", "14.7"), _WATERBORNE, 3, _range("2", "4"), False,
        aliases=("waterborne polyurethane", "water-based varnish", "water-based polyurethane", "acrylic varnish"),
        vapour=False,
    ),
    FinishType(
        "wiping varnish", _range("12.3", "12.3"), _TUNG, 3, _range("24", "24"), True,
        aliases=("tung-oil varnish", "tung oil varnish", "danish oil"),
        wiped=True,
    ),
    FinishType(
        "tung oil", _range("9.8", "12.3"), _TUNG, 4, _range("24", "48"), True, 220, None,
        aliases=("raw tung oil", "pure tung oil"),
        wiped=True,
    ),
    FinishType(
        "high-solids oil", _range("78.5", "98.2"), _TUNG, 1, _range("24", "24"), True, 150, None,
        aliases=("buffed oil", "one-coat oil"), note="a film wiped on and buffed off; the rest stays on the pad",
        wiped=True,
    ),
    FinishType(
        "shellac", _range("7", "12"), _SHELLAC, 3, _range("1", "2"), False, 220, 400,
        note="2 lb cut (about 240 g per litre), padded or brushed",
        inch_note="2 lb cut (2 lb of flakes per gallon), padded or brushed",
    ),
    FinishType(
        "linseed oil", _range("8", "12"), _LINSEED, 3, _range("24", "72"), True, 220, None,
        aliases=("boiled linseed oil",), note="first coat; later coats go further",
        wiped=True,
    ),
)  # fmt: skip


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())


def finish_type(name: str) -> FinishType | None:
    """The finish of this kind, upper and lower case alike; None for an unknown one."""
    wanted = _plain(name)
    for row in FINISHES:
        if wanted in {_plain(word) for word in (row.kind, *row.aliases)}:
            return row
    return None


def finish_names() -> tuple[str, ...]:
    """Every name a build may write: the kinds, and what else the trade calls them."""
    return tuple(name for row in FINISHES for name in (row.kind, *row.aliases))


def finish_lines() -> tuple[str, ...]:
    """A line for each kind, with its other names."""
    wide = max(len(row.kind) for row in FINISHES)
    return tuple(f"{row.kind:<{wide}}  {', '.join(row.aliases)}".rstrip() for row in FINISHES)


# --- grits ------------------------------------------------------------------------------------------------------------

GRITS = (60, 80, 100, 120, 150, 180, 220, 240, 280, 320, 400)  # P grades after FEPA, as sold
USUAL_GRITS = (80, 100, 120, 150, 180, 220)
END_GRAIN = "end grain one grit finer than the faces, so that the colour matches"
VENEER_GRIT = 150  # first grit on sheet goods: coarser ones go through the face veneer (common practice, no source)


def grit_sequence(finish: FinishType) -> tuple[int, ...]:
    """Grits from the plane or the mill marks to the first coat of this finish (common practice)."""
    sequence = tuple(grit for grit in USUAL_GRITS if grit <= finish.stop_grit)
    return sequence if sequence[-1] == finish.stop_grit else (*sequence, finish.stop_grit)


def next_finer(grit: int) -> int | None:
    """The grade after this one, for end grain; None after the finest or for a grade that is not sold."""
    if grit not in GRITS[:-1]:
        return None
    return GRITS[GRITS.index(grit) + 1]
