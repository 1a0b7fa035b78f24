"""Finish coverage and grits against the pages they come from."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise

from shopdocs.facts import finish_types as finish
from tests.facts.rows import close, is_read, must_fail_when_corrupted

# A square foot in m² and a US gallon in litres, exactly (NIST SP 811, appendix B).
SQUARE_FOOT, GALLON = Fraction("0.09290304"), Fraction("3.785411784")


def square_feet_per_gallon(m2_per_litre: Fraction) -> Fraction:
    """Coverage in the unit of US cans."""
    return m2_per_litre / SQUARE_FOOT * GALLON


# m² per litre and coat, and ft² per US gallon: makers' pages and data sheets, of which one column is converted.
COVERAGE = (
    ("oil varnish", "10", "12", 407, 489),
    ("oil polyurethane", "7.4", "9.8", 300, 400),
    ("waterborne varnish", "9.8", "14.7", 400, 600),  # the metric figure noted with it, 14.8, is not 600 ft²/gal
    ("wiping varnish", "12.3", "12.3", 500, 500),
    ("tung oil", "9.8", "12.3", 400, 500),
    ("high-solids oil", "78.5", "98.2", 3200, 4000),
)


def check_coverage(table: tuple[finish.FinishType, ...]) -> None:
    found = {row.kind: row for row in table}
    for kind, low, high, low_ft2, high_ft2 in COVERAGE:
        row = found[kind]
        assert row.coverage == (Fraction(low), Fraction(high)), kind
        for metric, imperial in zip(row.coverage, (low_ft2, high_ft2), strict=True):
            # One column is the other one rounded to 0.1 m²/l (2 ft²/gal at half a digit) or to 1 ft²/gal.
            assert close(square_feet_per_gallon(metric), imperial, "2.1"), kind
    for row in table:
        assert 0 < row.coverage[0] <= row.coverage[1]
        assert 0 < row.wait_hours[0] <= row.wait_hours[1]


def test_coverage() -> None:
    check_coverage(finish.FINISHES)
    read = tuple(row for row in finish.FINISHES if is_read(row.coverage_source))
    assert len(read) == len(COVERAGE)
    must_fail_when_corrupted(check_coverage, read, "coverage", lambda pair: (pair[0] * Fraction(11, 10), pair[1]))


def test_hardwax_on_floors() -> None:
    # Flooring trade article: 20 to 30 m²/l (815 to 1222 ft²/gal); by hand on furniture less, common practice.
    assert close(square_feet_per_gallon(Fraction(20)), 815, "0.5")
    assert close(square_feet_per_gallon(Fraction(30)), 1222, "0.5")
    by_hand = finish.finish_type("hardwax oil")
    assert by_hand is not None
    assert by_hand.planned_coverage < 20
    assert "20 to 30 m² per litre" in by_hand.note


def test_unit_of_coverage() -> None:
    # 1 m²/l = 40.746 ft²/gal.
    assert close(square_feet_per_gallon(Fraction(1)), "40.746", "0.0005")


def test_litres_for_an_area() -> None:
    # 5 m² of oil varnish at 10 m²/l: half a litre a coat, 1.5 l for three.
    varnish = finish.finish_type("Oil Varnish")
    assert varnish is not None
    assert varnish.litres(Fraction(5), 1) == Fraction(1, 2)
    assert varnish.litres(Fraction(5), 3) == Fraction(3, 2)
    assert varnish.litres(Fraction(5)) == varnish.litres(Fraction(5), varnish.coats)


def test_every_name_means_one_finish() -> None:
    names = [name.casefold() for row in finish.FINISHES for name in (row.kind, *row.aliases)]
    assert len(names) == len(set(names))
    assert finish.finish_type("whitewash") is None
    for kind in finish.finish_names():
        assert finish.finish_type(kind) is not None


def test_rags_of_every_drying_oil_are_flagged() -> None:
    # Fire codes speak of oily rags: linseed, tung and oil varnishes heat up; shellac and waterborne finishes do not.
    for row in finish.FINISHES:
        assert row.oily_rags is (row.kind not in ("shellac", "waterborne varnish"))


def test_all_but_waterborne_finishes_ask_for_open_windows() -> None:
    # Common practice, no source: spirit in shellac, thinner in varnish and oil as they are sold; data sheets decide.
    for row in finish.FINISHES:
        assert row.vapour is (row.kind != "waterborne varnish")


def test_grit_sequences_skip_no_more_than_one_grade() -> None:
    # Common practice, no source: up the usual grades, of which at most one is skipped; hardwax oil stops at P150.
    usual = [80, 100, 120, 150, 180, 220]
    for row in finish.FINISHES:
        grits = finish.grit_sequence(row)
        assert grits[-1] == row.stop_grit
        for coarse, fine in pairwise(grits):
            assert coarse < fine
            assert len([grit for grit in usual if coarse < grit < fine]) <= 1
    hardwax = finish.finish_type("hardwax oil")
    assert hardwax is not None
    assert finish.grit_sequence(hardwax) == (80, 100, 120, 150)


# FEPA 43-1, P grades from P60 on (remembered); P360 is hardly sold for wood.
P_GRADES = (60, 80, 100, 120, 150, 180, 220, 240, 280, 320, 360, 400)


def test_end_grain_is_sanded_one_grade_finer_than_the_faces() -> None:
    """Of every finish: the grade that is told after the last grit of the faces is finer, and no grade lies between."""
    for row in finish.FINISHES:
        last = finish.grit_sequence(row)[-1]
        finer = finish.next_finer(last)
        assert finer is not None and finer > last
        assert [grade for grade in P_GRADES if last < grade < finer] == []
    for grade in P_GRADES[:-1]:
        if grade != 360:
            assert finish.next_finer(grade) == next(g for g in P_GRADES if g > grade and g != 360)


def test_the_next_finer_grit() -> None:
    # P grades after FEPA, as they are sold.
    assert finish.next_finer(150) == 180
    assert finish.next_finer(400) is None
    assert finish.next_finer(137) is None


def test_coverage_in_inches_is_that_in_metres() -> None:
    """20 and 30 m² per litre are 815 and 1,222 ft² per US gallon; a 2 lb cut is 2 lb in a gallon, 453.59237 g each:
    239.7 g per litre. What is told is no farther off than 2 % of it."""
    told = {row.kind: re.findall(r"\d[\d,]*", row.inch_note) for row in finish.FINISHES if row.inch_note}
    low, high = (square_feet_per_gallon(Fraction(value)) for value in (20, 30))
    for said, exact in zip(told["hardwax oil"], (low, high), strict=False):
        assert abs(int(said.replace(",", "")) - exact) <= exact / 50
    assert abs(int(told["shellac"][0]) * Fraction("453.59237") / GALLON - 240) <= 240 / 50
    metric = [row.kind for row in finish.FINISHES if re.search(r"m²|litre", row.note) and not row.inch_note]
    assert not metric and not any(re.search(r"m²|litre", row.inch_note) for row in finish.FINISHES)
