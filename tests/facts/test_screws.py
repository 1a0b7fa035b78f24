"""Screw sizes and holes against their standards; remembered values are only held against each other."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopdocs.core.length import INCH, Length
from shopdocs.facts import screw_tables as tables
from shopdocs.facts import screws
from shopdocs.facts.source import Confidence
from tests.facts.rows import close, half_digit, is_read, must_fail_when_corrupted

# ASME B18.6.1 nominal shank diameter by gauge, inches and millimetres as printed in gauge charts.
B18_6_1_SHANK = (
    (0, "0.060", "1.52"),
    (1, "0.073", "1.85"),
    (2, "0.086", "2.18"),
    (3, "0.099", "2.51"),
    (4, "0.112", "2.84"),
    (5, "0.125", "3.17"),
    (6, "0.138", "3.51"),
    (7, "0.151", "3.84"),
    (8, "0.164", "4.17"),
    (9, "0.177", "4.50"),
    (10, "0.190", "4.83"),
    (11, "0.203", "5.16"),
    (12, "0.216", "5.49"),
    (14, "0.242", "6.15"),
    (16, "0.268", "6.81"),
    (18, "0.294", "7.47"),
    (20, "0.320", "8.13"),
)


def check_shanks(rows: tuple[tuple[int, str, str], ...]) -> None:
    for gauge, inch, mm in rows:
        assert close(screws.shank_diameter(gauge).inch, inch, half_digit(inch)), gauge
        assert close(screws.shank_diameter(gauge).mm, mm, half_digit(mm)), gauge


def test_gauge_formula_gives_the_printed_shanks() -> None:
    check_shanks(B18_6_1_SHANK)
    with pytest.raises(AssertionError):
        check_shanks(((8, "0.165", "4.17"),))
    with pytest.raises(AssertionError):
        check_shanks(((8, "0.164", "4.18"),))


@pytest.mark.parametrize("gauge", [-1, 25])
def test_gauges_that_are_not_made(gauge: int) -> None:
    with pytest.raises(ValueError, match="0 to 24"):
        screws.shank_diameter(gauge)


# Largest flat head, inches: "Basic Skills: Screw Size Charts" (1 to 7), a maker's production-screw table (from 8).
B18_6_1_HEADS = (
    (1, "0.146"),
    (2, "0.172"),
    (3, "0.199"),
    (4, "0.225"),
    (5, "0.252"),
    (6, "0.279"),
    (7, "0.305"),
    (8, "0.332"),
    (10, "0.385"),
    (12, "0.438"),
    (14, "0.507"),
)


def check_heads(table: tuple[tables.WoodScrewRow, ...]) -> None:
    found = {row.gauge: row.head for row in table}
    for gauge, head in B18_6_1_HEADS:
        assert found[gauge] == Fraction(head), gauge
    heads = [found[gauge] for gauge in sorted(found)]
    assert heads == sorted(set(heads))
    for row in table:  # heads are about twice the shank
        assert Fraction("1.9") < row.head / screws.shank_diameter(row.gauge).inch < Fraction("2.15")


def test_flat_heads() -> None:
    check_heads(tables.WOOD_SCREWS)
    read = tuple(row for row in tables.WOOD_SCREWS if is_read(row.head_source))
    must_fail_when_corrupted(check_heads, read, "head", lambda head: head + Fraction("0.002"))


def test_remembered_roots_are_sane() -> None:
    # Wood Handbook FPL-GTR-190 ch. 8: the root averages about two thirds of the shank. The remembered NDS values are no
    # standard here; they must only lie between that and the shank, and grow with the gauge.
    roots = [screws.root_diameter(gauge) for gauge in range(25)]
    for gauge, root in enumerate(roots):
        share = root.diameter / screws.shank_diameter(gauge)
        assert Fraction(2, 3) < share < Fraction(9, 10), gauge
        assert root.source.confidence is Confidence.MEMORY
    assert all(a.diameter < b.diameter for a, b in pairwise(roots))


# Production screws (IFI wood screws, a manufacturer's table): gauge, then the smallest and the largest body and thread
# in inches.
PRODUCTION_SCREWS = (
    (4, "0.084", "0.095", "0.105", "0.116"),
    (6, "0.107", "0.118", "0.131", "0.142"),
    (8, "0.125", "0.136", "0.157", "0.168"),
    (10, "0.146", "0.157", "0.183", "0.194"),
    (12, "0.165", "0.176", "0.209", "0.220"),
    (14, "0.190", "0.201", "0.235", "0.246"),
)


@pytest.mark.parametrize("row", PRODUCTION_SCREWS, ids=lambda row: f"#{row[0]}")
def test_a_pilot_follows_the_body_of_production_screws(row: tuple[int, str, str, str, str]) -> None:
    # The body is what a pilot can follow; the remembered roots lie within 0.01 in of it, the scatter between charts.
    root = screws.root_diameter(row[0]).diameter.inch
    assert Fraction(row[1]) - Fraction("0.01") < root < Fraction(row[2])


# DIN 7998, the two rows that were read: diameter, core, mm.
DIN_7998_READ = (("1.6", "1.1"), ("2.0", "1.4"))


def check_cores(table: tuple[tables.CoreRow, ...]) -> None:
    found = {row.diameter: row.core for row in table}
    for diameter, core in DIN_7998_READ:
        assert found[Fraction(diameter)] == Fraction(core)
    for row in table:  # the read rows are 0.69 and 0.70 of the diameter; the remembered ones must be like them
        assert close(row.core / row.diameter, "0.69", "0.0125"), row


def test_metric_cores() -> None:
    check_cores(tables.DIN_7998)
    must_fail_when_corrupted(check_cores, tables.DIN_7998, "core", lambda core: core - Fraction("0.2"))
    four = screws.root_diameter(Length(4))
    assert four.source.table == "wood screw thread"
    odd = screws.root_diameter(Length(7))  # no row: the Wood Handbook's two thirds
    assert odd.diameter == Length(Fraction(14, 3))


# ISO 273:1979, mm (three reference pages agree): fine, medium, coarse.
ISO_273_READ = (
    ("M3", "3", "3.2", "3.4", "3.6"),
    ("M4", "4", "4.3", "4.5", "4.8"),
    ("M5", "5", "5.3", "5.5", "5.8"),
    ("M6", "6", "6.4", "6.6", "7.0"),
    ("M8", "8", "8.4", "9.0", "10.0"),
)


def check_iso_273(table: tuple[tables.ClearanceRow, ...]) -> None:
    found = {row.size: row for row in table}
    for size, *printed in ISO_273_READ:
        row = found[size]
        assert [row.diameter, row.close, row.normal, row.loose] == [Fraction(value) for value in printed], size


@pytest.mark.parametrize("field", ["diameter", "close", "normal", "loose"])
def test_iso_273(field: str) -> None:
    check_iso_273(tables.ISO_273)
    read = tuple(row for row in tables.ISO_273 if is_read(row.source))
    assert len(read) == len(ISO_273_READ)
    must_fail_when_corrupted(check_iso_273, read, field, lambda value: value + Fraction("0.1"))


@pytest.mark.parametrize("table", [tables.ISO_273, tables.B18_2_8], ids=["ISO 273", "ASME B18.2.8"])
def test_clearance_rows_are_in_order(table: tuple[tables.ClearanceRow, ...]) -> None:
    # Internal consistency only: most rows are from memory.
    for row in table:
        assert row.diameter < row.close < row.normal < row.loose < row.diameter * Fraction(3, 2)
    for fit in ("diameter", "close", "normal", "loose"):
        column = [getattr(row, fit) for row in table]
        assert column == sorted(set(column))


def test_gauge_rows_of_the_inch_table_sit_on_the_gauge_formula() -> None:
    # #4 to #10 machine screws share their diameters with wood screws (ASME B1.1 and B18.6.1, the same formula).
    for row in tables.B18_2_8:
        if row.size.startswith("#"):
            assert screws.shank_diameter(int(row.size[1:])).inch == row.diameter


def test_clearance_lookup_by_size_and_fit() -> None:
    for size, diameter, fine, medium, coarse in ISO_273_READ:
        for fit, printed in (("close", fine), ("normal", medium), ("loose", coarse)):
            hole = screws.clearance_hole(Length(Fraction(diameter)), fit)
            assert hole is not None
            assert hole.diameter == Length(printed), size
            assert str(hole.source) == "ISO 273:1979, clearance holes"
    quarter = screws.clearance_hole(INCH / 4)
    assert quarter is not None
    assert quarter.source.confidence is Confidence.MEMORY
    with pytest.raises(ValueError, match="close, normal or loose"):
        screws.clearance_hole(8, "tight")
    assert screws.clearance_hole(Length(40)) is None
    assert screws.clearance_hole(INCH * 2) is None


@pytest.mark.parametrize(
    ("size", "close", "normal", "loose", "like"),
    [
        # what the rows beside it add, by hand: #4 0.120, 0.128 and 0.144 over 0.112 are 1/128, 1/64 and 1/32 in
        (3, "0.1068125", "0.114625", "0.13025", "1/128 1/64 1/32"),
        # #10 0.206, 0.221, 0.238 over 0.190 and 1/4 in 0.266, 0.281, 0.295 are 1/64, 1/32, 3/64 in
        (12, "0.231625", "0.24725", "0.262875", "1/64 1/32 3/64"),
        (24, "0.387625", "0.40325", "0.418875", "1/64 1/32 3/64"),  # the largest gauge, 0.372 in
    ],
)
def test_gauges_between_the_rows_take_the_steps_of_those_beside_them(
    size: int, close: str, normal: str, loose: str, like: str
) -> None:
    for fit, inches, step in zip(("close", "normal", "loose"), (close, normal, loose), like.split(), strict=True):
        hole = screws.clearance_hole(size, fit)
        assert hole is not None
        assert hole.diameter == INCH * Fraction(inches)
        assert hole.source.confidence is Confidence.PRACTICE
        assert hole.note == f"{fit} fit: thread and {step} in, as the sizes beside it in ASME B18.2.8 (from memory)"


def test_a_row_of_a_table_is_named_and_so_is_the_row_whose_room_is_taken() -> None:
    """M9 is in no row: as much room as M10 has, 0.5, 1 and 2 mm (ISO 273). Nothing stands beside 9/16 in."""
    for fit, mm in (("close", "9.5"), ("normal", "10"), ("loose", "11")):
        between = screws.clearance_hole(Length(9), fit)
        assert between is not None
        assert between.diameter == Length(Fraction(mm))
        assert between.source.confidence is Confidence.PRACTICE
        assert between.note == f"{fit} fit: as much room as M10 has in ISO 273"
        metric, inch = screws.clearance_hole(Length(8), fit), screws.clearance_hole(INCH / 4, fit)
        assert metric is not None and inch is not None
        assert (metric.note, inch.note) == (f"{fit} fit for M8", f"{fit} fit for 1/4")
    assert screws.clearance_hole(INCH * Fraction(9, 16)) is None


def test_wood_screws_slide_through_shank_and_thread() -> None:
    """The largest shank of ASME B18.6.1 (nominal + 0.004 in, from a boring chart) and the largest thread of production
    screws (manufacturer table) pass every fit; no fit of gauges in use is wider than a sixteenth (common practice)."""
    for gauge, *_, thread in PRODUCTION_SCREWS:
        shank = Fraction("0.060") + Fraction("0.013") * gauge + Fraction("0.004")
        close, normal, loose = (screws.shank_hole(gauge, fit) for fit in ("close", "normal", "loose"))
        assert max(shank, Fraction(thread)) <= close.diameter.inch < normal.diameter.inch < loose.diameter.inch
        assert loose.diameter.inch < shank + Fraction(1, 16)
        assert close.source.confidence is Confidence.SECONDARY
        assert normal.source.confidence is Confidence.PRACTICE
    metric = screws.shank_hole(Length(4))
    assert metric.diameter == Length("4.5")  # common practice, no source
    assert metric.source.confidence is Confidence.PRACTICE
    with pytest.raises(ValueError, match="close, normal or loose"):
        screws.shank_hole(8, "tight")


# The bit, in 64ths, for the clearance hole of a wood screw: common practice, no source.
@pytest.mark.parametrize(("gauge", "bit"), [(4, 8), (6, 10), (8, 12), (10, 13), (12, 15), (14, 17)])
def test_bits_for_clearance_of_wood_screws(gauge: int, bit: int) -> None:
    choice = screws.nearest_bit(screws.shank_hole(gauge).diameter, "in", use="clearance")
    assert choice is not None
    assert choice.bit == Length.inches(Fraction(bit, 64))


@given(st.one_of(st.integers(0, 20), st.integers(15, 120).map(lambda tenths: Length(Fraction(tenths, 10)))))
def test_every_screw_goes_through_its_clearance_and_bites_in_its_pilot(size: int | Length) -> None:
    thread = screws.thread_diameter(size)
    through = [screws.shank_hole(size, fit).diameter for fit in ("close", "normal", "loose")]
    assert thread < through[0] < through[1] < through[2]
    hard, soft = screws.pilot_hole(size, "hardwood"), screws.pilot_hole(size, "softwood")
    assert soft.diameter < hard.diameter <= screws.root_diameter(size).diameter < thread


@pytest.mark.parametrize(
    ("gravity", "pilot"), [("0.68", True), ("0.51", True), ("0.5", False), ("0.35", False), (None, True)]
)
def test_a_softwood_wants_a_pilot_where_the_nds_asks_for_a_lead_hole(gravity: str | None, pilot: bool) -> None:
    # NDS withdrawal lead holes by specific gravity G (design handbook page, NDS commentary): none up to 0.5.
    assert screws.needs_pilot("softwood", None if gravity is None else Fraction(gravity)) is pilot
    assert screws.needs_pilot("hardwood", None if gravity is None else Fraction(gravity))


def test_furniture_practice_is_not_below_the_structural_minimum() -> None:
    # The same rows: 90 % of the root above a gravity of 0.6.
    for gauge in (6, 8, 10, 14):
        assert screws.pilot_hole(gauge, "hardwood").diameter >= screws.root_diameter(gauge).diameter * Fraction(9, 10)


def test_softwood_pilot_is_seven_eighths_of_the_root() -> None:
    # NDS lateral lead holes, G up to 0.6: seven eighths; a boring chart says about 15 % smaller than the root.
    pilot = screws.pilot_hole(8, "softwood")
    assert pilot.diameter / screws.root_diameter(8).diameter == Fraction(7, 8)
    with pytest.raises(ValueError, match="hardwood or softwood"):
        screws.pilot_hole(8, "plywood")  # type: ignore[arg-type]


def test_countersinks_and_metric_heads() -> None:
    assert screws.countersink_angle(8).degrees == 82
    assert screws.countersink_angle(Length(4)).degrees == 90
    head = screws.head_diameter(Length(4))
    assert head is not None
    assert head.source.confidence is Confidence.MEMORY
    assert screws.head_diameter(Length.inches("1/4")) is None


SIXTY_FOURTHS = [Length.inches(Fraction(count, 64)) for count in range(1, 65)]
TENTHS = [Length(Fraction(count, 10)) for count in range(1, 300)]


@given(st.integers(20, 990).map(lambda thousandths: Length.inches(Fraction(thousandths, 1000))))
def test_bits_without_a_list_are_those_of_a_full_set(wanted: Length) -> None:
    # Brute force over every bit of a set: the program must find what looking through the drawer finds.
    slack = Length.inches("0.0005")
    for units, drawer in (("in", SIXTY_FOURTHS), ("mm", TENTHS)):
        larger = min(bit for bit in drawer if bit.mm >= wanted.mm - slack.mm)
        smaller = max(bit for bit in drawer if bit.mm <= wanted.mm + slack.mm)
        clearance = screws.nearest_bit(wanted, units, use="clearance")  # type: ignore[arg-type]
        pilot = screws.nearest_bit(wanted, units, use="pilot")  # type: ignore[arg-type]
        plain = screws.nearest_bit(wanted, units, use="plain")  # type: ignore[arg-type]
        assert clearance is not None
        assert pilot is not None
        assert plain is not None
        assert (clearance.bit, pilot.bit) == (larger, smaller)
        assert abs(plain.difference) == min(abs(bit - wanted) for bit in drawer)


# Printed decimals of fraction bits: 9/32 is 0.281 and 11/32 is 0.344 in every inch chart, rounded to three places.
@pytest.mark.parametrize(
    ("printed", "bit"), [("0.281", "9/32"), ("0.344", "11/32"), ("0.266", "17/64"), ("0.203", "13/64")]
)
@pytest.mark.parametrize("use", ["clearance", "pilot"])
def test_a_rounded_figure_means_its_bit(printed: str, bit: str, use: str) -> None:
    choice = screws.nearest_bit(Length.inches(printed), "in", use=use)
    assert choice is not None
    assert choice.bit == Length.inches(bit)
    assert choice.note == ""


def test_the_shops_own_bits() -> None:
    own = (Length(3), Length("4.5"), Length(6), Length.inches("1/4"))
    up = screws.nearest_bit(Length(5), "mm", own, "clearance")
    down = screws.nearest_bit(Length(4), "mm", own, "pilot")
    assert up is not None
    assert down is not None
    assert (up.bit, up.difference, up.note) == (Length(6), Length(1), "larger than wanted")
    assert (down.bit, down.difference) == (Length(3), Length(-1))
    assert down.note.startswith("smaller than wanted")
    assert screws.nearest_bit(Length(7), "mm", own, "clearance") is None
    assert screws.nearest_bit(Length(2), "mm", own, "pilot") is None


def test_senseless_holes_are_refused() -> None:
    with pytest.raises(ValueError, match="more than zero"):
        screws.nearest_bit(Length(0), "mm")
    with pytest.raises(ValueError, match="clearance, pilot"):
        screws.nearest_bit(Length(3), "mm", use="threaded")
    with pytest.raises(ValueError, match="more than zero"):
        screws.thread_diameter(Length(0))
