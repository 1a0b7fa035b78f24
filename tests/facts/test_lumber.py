"""Board measure and lumber sizes against the books they come from."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.core.length import INCH, Length
from shopdocs.facts import lumber_tables as lumber
from shopdocs.facts.source import Confidence
from tests.facts.rows import close, is_read, must_fail_when_corrupted

FOOT = INCH * 12

# thickness (in), width (in), length (ft), pieces, printed answer, half of its last printed digit, source
BOARD_FOOT_EXAMPLES = (
    ("1", "10", "10", 1, "100/12", "0", "US Navy NAVEDTRA 14044, steel square: 8 4/12"),
    ("1", "7", "33", 1, "231/12", "0", "US Navy NAVEDTRA 14044: 19 3/12"),
    ("1", "11", "14", 1, "154/12", "0", "W. Noyes, Handwork in Wood (1910), ch. IV: 12 10/12"),
    ("1", "9", "5", 1, "45/12", "0", "W. Noyes, Handwork in Wood (1910), ch. IV: 3 9/12"),
    ("0.5", "8", "12", 12, "96", "0", "G. W. Danforth, Mechanical Processes: half inch counts as an inch"),
    ("1", "8", "14", 4, "112/3", "0", "US Army course EN5155: 37 1/3"),
    ("2", "4", "14", 1, "9.3333", "0.00005", "US Navy Engineering Aid p. 6-3 (problem read, answer by its formula)"),
    ("1", "9", "8", 1, "6", "0", "magazine e-tip on board feet"),
    ("1.5", "9", "8", 1, "9", "0", "magazine e-tip on board feet"),
    ("0.75", "9", "8", 1, "6", "0", "magazine e-tip on board feet: 3/4 in counts as a full inch"),
    ("4", "6", "10", 1, "20", "0", "reclaimed-timber dealer, useful math"),
    ("3", "8", "10", 1, "20", "0", "sawmill page on board feet"),
    ("1", "6", "2", 1, "1", "0", "university handout TED 126 (2007)"),
    ("1", "8", "8", 1, "5.33", "0.005", "extension-style guide"),
    ("1", "12", "10", 1, "10", "0", "shipping glossary"),
    ("2", "4", "8", 1, "5.333", "0.0005", "PS 20 note: an 8 ft 2x4 by its nominal size"),
)


@pytest.mark.parametrize("row", BOARD_FOOT_EXAMPLES, ids=lambda row: row[-1])
def test_board_foot_worked_examples(row: tuple[str, str, str, int, str, str, str]) -> None:
    thickness, width, length, pieces, printed, tolerance, _ = row
    one = lumber.board_feet(Length.inches(thickness), Length.inches(width), FOOT * Fraction(length))
    assert abs(one * pieces - Fraction(printed)) <= Fraction(tolerance)


def test_board_feet_of_a_cubic_metre() -> None:
    # Arithmetic: 144 in³, and the inch is 25.4 mm (NIST SP 811); 0.002359737216 m³ exactly.
    a_cubic_metre = lumber.board_feet(Length(1000), Length(1000), Length(1000))
    assert a_cubic_metre * Fraction("0.002359737216") == 1


@pytest.mark.parametrize("size", ["0", "-1"])
def test_a_board_without_size_is_refused(size: str) -> None:
    with pytest.raises(ValueError, match="more than zero"):
        lumber.board_feet(INCH, Length.inches(size), FOOT)


# Answers worked by hand from the NHLA rule: width with its fraction, whole feet, each board to the nearest whole.
# 6-1/2 in x 8 ft: 52/12 = 4.33 -> 4.  10-1/4 in x 10 ft: 102.5/12 = 8.54 -> 9; 8/4 doubles it.
@pytest.mark.parametrize(
    ("width", "feet", "inches_over", "quarters", "measure", "board_feet"),
    [("6.5", 8, 0, 4, 4, 4), ("10.25", 10, 0, 8, 9, 18), ("10.25", 10, 11, 8, 9, 18), ("6.5", 8, 0, 3, 4, 4)],
)
def test_surface_measure_by_hand(
    width: str, feet: int, inches_over: int, quarters: int, measure: int, board_feet: int
) -> None:
    board = (Length.inches(width), FOOT * feet + INCH * inches_over)
    assert lumber.surface_measure(*board) == measure
    tally = lumber.tally_board_feet(lumber.quarters(quarters), [board])
    assert (tally.measures, tally.board_feet) == ((measure,), board_feet)


def test_exact_halves_follow_the_option() -> None:
    # 9 in x 6 ft is 54/12 = 4.5 square feet exactly.
    half = (INCH * 9, FOOT * 6)
    boards = [half, (INCH * 6, FOOT * 8), half, half]
    expected = {
        lumber.Halves.ALTERNATE: (5, 4, 4, 5),
        lumber.Halves.UP: (5, 4, 5, 5),
        lumber.Halves.DOWN: (4, 4, 4, 4),
    }
    for halves, measures in expected.items():
        tally = lumber.tally_board_feet(INCH, boards, halves)
        assert tally.measures == measures
    alternating = lumber.tally_board_feet(INCH, boards, lumber.Halves.ALTERNATE)
    assert alternating.source.confidence is Confidence.MEMORY
    assert lumber.tally_board_feet(INCH, boards[1:2]).source.confidence is Confidence.SECONDARY


# NHLA standard thickness, rough -> surfaced two sides, as repeated in a hardwood/softwood reference table.
S2S_ROWS = (
    ("3/8", "3/16"),
    ("1/2", "5/16"),
    ("5/8", "7/16"),
    ("3/4", "9/16"),
    ("1", "13/16"),
    ("5/4", "17/16"),
    ("3/2", "21/16"),
    ("2", "7/4"),
    ("3", "11/4"),
    ("4", "15/4"),
)


def check_s2s(table: tuple[lumber.SurfacedRow, ...]) -> None:
    found = {row.rough: row for row in table}
    for rough, both_sides in S2S_ROWS:
        assert found[Length.inches(rough)].both_sides == Length.inches(both_sides), rough
    for row in table:  # the page states the rule, and every row obeys it, the remembered 10/4 too
        assert row.both_sides == row.rough - Length.inches("3/16" if row.rough.inch <= Fraction("1.5") else "1/4")


def test_surfaced_thickness() -> None:
    check_s2s(lumber.SURFACED)
    must_fail_when_corrupted(check_s2s, lumber.SURFACED, "both_sides", lambda size: size + Length.inches("1/16"))


def test_quarters_are_quarters_of_an_inch() -> None:
    # Trade usage: 4/4 = 1, 5/4 = 1.25, 6/4 = 1.5, 8/4 = 2, 12/4 = 3, 16/4 = 4 in.
    for count, inch in ((4, "1"), (5, "1.25"), (6, "1.5"), (8, "2"), (12, "3"), (16, "4")):
        assert lumber.quarters(count) == Length.inches(inch)


# PS 20, dressed dry, inches and the millimetres printed beside them (engineering reference site).
PS20_ROWS = (
    ("1x2", "0.75", "1.5", 19, 38),
    ("1x3", "0.75", "2.5", 19, 64),
    ("1x4", "0.75", "3.5", 19, 89),
    ("1x6", "0.75", "5.5", 19, 140),
    ("1x8", "0.75", "7.25", 19, 184),
    ("1x10", "0.75", "9.25", 19, 235),
    ("1x12", "0.75", "11.25", 19, 286),
    ("2x2", "1.5", "1.5", 38, 38),
    ("2x3", "1.5", "2.5", 38, 64),
    ("2x4", "1.5", "3.5", 38, 89),
    ("2x6", "1.5", "5.5", 38, 140),
    ("2x8", "1.5", "7.25", 38, 184),
    ("2x10", "1.5", "9.25", 38, 235),
    ("2x12", "1.5", "11.25", 38, 286),
    ("4x4", "3.5", "3.5", 89, 89),
)


@pytest.mark.parametrize("row", PS20_ROWS, ids=lambda row: row[0])
def test_ps20_dressed_dry(row: tuple[str, str, str, int, int]) -> None:
    name, thickness, width, thickness_mm, width_mm = row
    thick, wide = (Fraction(number) for number in name.split("x"))
    size = lumber.dressed(thick, wide)
    assert size is not None
    assert (size.thickness, size.width) == (Length.inches(thickness), Length.inches(width))
    half = Fraction(1, 2)
    assert close(size.thickness.mm, thickness_mm, half)
    assert close(size.width.mm, width_mm, half)
    assert all(is_read(source) for source in size.sources)


# PS 20 thickness, nominal and dry (engineering reference site, table attributed to PS 20), sixty-fourths typed out.
PS20_THICKNESS = (
    ("3/8", "5/16"),
    ("1/2", "7/16"),
    ("5/8", "9/16"),
    ("3/4", "5/8"),
    ("1", "3/4"),
    ("5/4", "1"),
    ("3/2", "5/4"),
    ("2", "3/2"),
    ("5/2", "2"),
    ("3", "5/2"),
    ("7/2", "3"),
    ("4", "7/2"),
)
# Width, nominal and dry; Tennessee Administrative Code 0080-07-07-.06, Table 4, which repeats PS 20.
PS20_WIDTH = (("4", "7/2"), ("6", "11/2"), ("8", "29/4"), ("10", "37/4"), ("12", "45/4"))


def check_dressed(table: tuple[lumber.DressedRow, ...]) -> None:
    rows = PS20_WIDTH if any(row.nominal == 12 for row in table) else PS20_THICKNESS
    found = {row.nominal: row for row in table}
    for nominal, dry in rows:
        assert found[Fraction(nominal)].dry == Fraction(dry), nominal
    assert all(row.dry < row.nominal for row in table)  # dressing takes something


@pytest.mark.parametrize("table", [lumber.DRESSED_THICKNESS, lumber.DRESSED_WIDTH], ids=["thickness", "width"])
def test_ps20_thickness_and_width(table: tuple[lumber.DressedRow, ...]) -> None:
    check_dressed(table)
    read = tuple(row for row in table if is_read(row.source) and row.nominal not in (2, 3))
    rows = read if table is lumber.DRESSED_WIDTH else table
    must_fail_when_corrupted(check_dressed, rows, "dry", lambda size: size - Fraction(1, 64))


def test_an_unlisted_nominal_size_has_no_answer() -> None:
    assert lumber.dressed(Fraction(2), Fraction(7)) is None
    assert lumber.dressed(Fraction(6), Fraction(6)) is None
