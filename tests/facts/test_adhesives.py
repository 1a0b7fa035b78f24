"""Adhesives against the pages their figures come from."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.facts import adhesives
from shopdocs.facts.source import Confidence
from tests.facts.rows import close, must_fail_when_corrupted

# Minutes as read, not from memory: open (spread to together), tight (spread to clamps tight, None where no page gives
# it), in clamps. "Glues", Canadian woodworking magazine, at 20 °C and 50 %: white 3 to 5, yellow 5 to 6. "Working with
# PVA glues", guide of a glue seller: all PVA 10 to 20 from spread to clamped, white 30 to 90 in clamps. Gluing guide of
# a maker: yellow and cross-linking 30 to 60. "Glue Characteristics" (archive table): cross-linking 5, liquid hide 10
# and 12 h, urea 20 and 12 h, resorcinol 15 and 10 h. Data sheet of a urea powder: 3 h at 20 °C. "Natural glues" (table
# of a home-workshop site): hot hide 1 to 10 and 10 to 90, casein to 45, 2 to 8 h, fish 15 to 30, 2 to 4 h. Household
# chemistry encyclopedia: casein pressed after 4 to 6. Data sheet of a polyurethane: 10 open; in clamps 90 at least,
# 4 to 6 h in a magazine's plan sheet. Trade magazine of November 2013: five-minute epoxy gels in 5.
READ = (
    ("white PVA", (3, 5), (10, 20), (30, 90)),
    ("yellow PVA", (5, 6), (10, 20), (30, 60)),
    ("cross-linking PVA", (5, 5), (10, 20), (30, 60)),
    ("liquid hide glue", (10, 10), None, (720, 720)),
    ("urea-formaldehyde", (20, 20), None, (180, 720)),
    ("resorcinol", (15, 15), None, (600, 600)),
    ("hot hide glue", (1, 10), None, (10, 90)),
    ("casein", (5, 45), None, (120, 480)),
    ("fish glue", (15, 30), None, (120, 240)),
    ("polyurethane", (10, 10), None, (90, 360)),
)


def check_times(table: tuple[adhesives.Adhesive, ...]) -> None:
    found = {row.kind: row for row in table}
    for kind, opened, tight, clamp in READ:
        assert found[kind].open_minutes == opened, kind
        assert found[kind].tight_minutes == tight, kind
        assert found[kind].clamp_minutes == clamp, kind


@pytest.mark.parametrize("field", ["open_minutes", "clamp_minutes"])
def test_times_by_kind(field: str) -> None:
    read = tuple(row for row in adhesives.ADHESIVES if row.kind in {kind for kind, *_ in READ})
    assert len(read) == len(READ)
    check_times(read)
    must_fail_when_corrupted(check_times, read, field, lambda pair: (pair[0] + 1, pair[1] + 1))


@pytest.mark.parametrize("row", adhesives.ADHESIVES, ids=lambda row: row.kind)
def test_the_cautious_end_is_planned_with(row: adhesives.Adhesive) -> None:
    for low, high in filter(
        None, (row.open_minutes, row.tight_minutes, row.pot_minutes, row.clamp_minutes, row.spread)
    ):
        assert 0 < low <= high
    assert row.planned_open_minutes == row.open_minutes[0]
    assert row.planned_tight_minutes >= row.planned_open_minutes  # closed assembly comes after open
    assert row.planned_clamp_hours == Fraction(row.clamp_minutes[1], 60)
    assert row.mixed == (row.pot_minutes is not None or row.kind == "resorcinol")  # no page gives resorcinol's cup


def test_the_cup_is_shorter_than_the_film() -> None:
    # Epoxy basics guide (an epoxy maker, read): fast hardener at 22 °C, 9 to 12 min for 100 g, 60 to 70 min as a film.
    # Slow hardener, 20 to 25 min (from memory): a fraction of the hour that the spread glue lasts.
    slow = _named("slow epoxy")
    assert slow.pot_minutes is not None
    assert slow.pot_minutes[1] * 2 < slow.open_minutes[0]
    assert slow.open_minutes[0] == 60
    assert slow.reference_celsius == 22


def test_full_strength_is_not_24_hours_for_every_glue() -> None:
    # Epoxy chemistry and stages of cure (read): several days; a formulator's glossary: no more gain after 7 days.
    assert _named("slow epoxy").full_hours == (24, 7 * 24)
    assert _named("fast epoxy").full_hours == (24, 72)  # adhesive maker and trade magazine
    assert _named("resorcinol").full_hours is None  # no page found gives one
    assert _named("yellow PVA").full_hours == (24, 24)


def test_every_name_means_one_adhesive() -> None:
    names = [name.casefold() for row in adhesives.ADHESIVES for name in (row.kind, *row.aliases)]
    assert len(names) == len(set(names))
    for kind in adhesives.adhesive_kinds():
        found = adhesives.adhesive(f"  {kind.upper()} ")
        assert found is not None
        assert found.kind == kind
    assert adhesives.adhesive("epoxy") is None  # five minutes or an hour: not guessed
    assert adhesives.adhesive("tar") is None


def _named(kind: str) -> adhesives.Adhesive:
    found = adhesives.adhesive(kind)
    assert found is not None
    return found


# The largest mass to mix at once. 100 g is the convention of data sheets (Epoxy basics guide, read); a maker of
# two-part epoxies says not to exceed 50 g in one mass (read), planned with for the fast ones.
@pytest.mark.parametrize(("kind", "grams"), [("slow epoxy", 100), ("fast epoxy", 50)])
def test_the_largest_batch(kind: str, grams: int) -> None:
    assert _named(kind).most_grams == grams


def test_mixing_by_weight() -> None:
    # Powder to water 2 : 1 (data sheet of a urea powder); resin to hardener 5 : 1 (data sheet of a phenol-resorcinol).
    assert _named("urea-formaldehyde").by_weight == (2, 1)
    assert _named("resorcinol").by_weight == (5, 1)
    assert _named("slow epoxy").by_weight is None  # each make has its own, and it is never altered


def test_spread_unit() -> None:
    # 1 lb per 1000 ft² is 4.8824 g/m² (453.592 g over 92.903 m²).
    assert close(adhesives.G_M2_PER_LB_1000_FT2, "4.8824", "0.00005")
    with pytest.raises(AssertionError):
        assert close(adhesives.G_M2_PER_LB_1000_FT2 * Fraction(1001, 1000), "4.8824", "0.00005")
    # The remembered 35 to 50 lb give the 171 to 244 g/m² noted beside them.
    low, high = _named("yellow PVA").spread
    assert close(low, 171, "0.5")
    assert close(high, 244, "0.5")


def test_spread_of_a_structural_epoxy() -> None:
    # Data sheet of a 1:1 structural wood epoxy: 50 to 100 ft² of joint per US gallon. 1 gal = 3.785411784 l and
    # 1 ft² = 0.09290304 m², at 1.1 kg/l: 3785.411784 · 1.1 / (100 · 0.09290304) = 448 g/m², and twice that at 50 ft².
    for feet, grams in ((100, 448), (50, 896)):
        worked = Fraction("3785.411784") * Fraction("1.1") / (feet * Fraction("0.09290304"))
        assert close(worked, grams, 1)
    low, high = _named("slow epoxy").spread
    assert close(low, 448, 5)
    assert close(high, 896, 5)
    assert _named("slow epoxy").both_faces


def test_glue_by_area() -> None:
    # Shop estimate (common practice): 200 g/m² at 1.1 kg/l is about 0.18 l/m².
    casein = _named("casein")
    assert casein.grams(Fraction(1, 2)) == 100
    assert close(casein.litres(Fraction(1)), "0.18", "0.005")


def test_what_is_remembered_says_so() -> None:
    assert _named("slow epoxy").pot_source.confidence is Confidence.MEMORY
    assert _named("slow PVA").open_source.confidence is Confidence.MEMORY
