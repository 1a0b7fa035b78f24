"""Tables as CSV, read back with the standard library's reader (RFC 4180)."""

from __future__ import annotations

import csv
import io
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from shopdocs.blocks.text import Cell, Column, Figure, Group, Row, Table
from shopdocs.output.csv import table_csv
from shopdocs.output.exact import exact_for_spreadsheet, exact_number

# OWASP, "CSV Injection": a cell that begins with one of these, or with a tab or a line break, may be run as a formula.
STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def read(text: str) -> list[list[str]]:
    assert text.startswith("\ufeff")
    return list(csv.reader(io.StringIO(text.encode("utf-8").decode("utf-8-sig"), newline=""), strict=True))


def one_cell(content: str) -> str:
    table = Table("t", (Column("Note"),), (Group((Row((Cell.of(content),)),)),))
    return read(table_csv(table))[1][0]


def length(inches: str, shown: str) -> Figure:
    return Figure("leg · length", shown, Fraction(inches) * Fraction(254, 10), "mm")


def test_head_units_groups_totals_and_exact_values() -> None:
    columns = (Column("Mark"), Column("Size", unit="in"), Column("Board feet", unit="bf"))
    size = Cell.of(length("7/4", "1³⁄₄"), " × ", length("273/16", "17¹⁄₁₆"))
    rows = (Row((Cell.of("FL"), size, Cell.of(Figure("leg", "0.83", Fraction(5, 6), "bf")))),)
    total = Row((Cell.of("total"), Cell(), Cell.of("0.83")), total=True)
    lines = read(table_csv(Table("cut list", columns, (Group(rows, "ash, 8/4"), Group((total,))))))
    assert lines == [
        [
            "group",
            "Mark",
            "Size (in)",
            "Size exact 1 (mm)",
            "Size exact 2 (mm)",
            "Board feet (bf)",
            "Board feet exact (bf)",
            "line",
        ],
        # 1 3/4 in = 44.45 mm, 17 1/16 in = 433.3875 mm by the definition of the inch (25.4 mm, NIST SP 811 B.6)
        ["ash, 8/4", "FL", "1³⁄₄ × 17¹⁄₁₆", "44.45", "433.3875", "0.83", "0 5/6", "row"],
        ["", "total", "", "", "", "0.83", "", "total"],
    ]


def test_lines_end_as_the_standard_says() -> None:
    text = table_csv(Table("t", (Column("a"), Column("b")), (Group((Row((Cell.of('x"y'), Cell.of("1,2"))),)),)))
    assert text == '\ufeffa,b\r\n"x""y","1,2"\r\n'  # RFC 4180 section 2, rules 1, 6 and 7


def test_figures_of_different_units_carry_their_own() -> None:
    rows = (Row((Cell.of(length("1", "1")),)), Row((Cell.of(Figure("glue", "30", Fraction(30), "g")),)))
    lines = read(table_csv(Table("t", (Column("Amount"),), (Group(rows),))))
    assert lines == [["Amount", "Amount exact"], ["1", "25.4 mm"], ["30", "30 g"]]


def test_counts_are_exact_as_they_are_shown() -> None:
    rows = (Row((Cell.of(Figure("legs", "4", Fraction(4), "count")),)), Row((Cell.of("none"),)))
    assert read(table_csv(Table("t", (Column("Pieces"),), (Group(rows),)))) == [["Pieces"], ["4"], ["none"]]
    about = (Row((Cell.of(Figure("sheets", "2", Fraction(3, 2), "count")),)),)
    lines = read(table_csv(Table("t", (Column("Sheets"),), (Group(about),))))
    assert lines == [["Sheets", "Sheets exact (count)"], ["2", "1.5"]]


def test_short_rows_are_filled_up() -> None:
    lines = read(table_csv(Table("t", (Column("a"), Column("b")), (Group((Row((Cell.of("x"),)),)),))))
    assert lines == [["a", "b"], ["x", ""]]


@pytest.mark.parametrize(
    "hostile",
    ["=1+1", "=cmd|' /C calc'!A0", "+1+1", "-1+1", "@SUM(A1)", "\t=1", "  =1", "\n=1", "＝1+1", '"=1', "\x00=1", "−=1"],
)
def test_formulas_are_told_apart_from_text(hostile: str) -> None:
    shown = one_cell(hostile)
    assert not shown.lstrip().startswith(STARTS_A_FORMULA)
    assert shown.replace("'", "") == hostile.replace("\x00", "").replace("'", "")  # nothing else is changed


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize(
    "hostile",
    [
        "p;=cmd|' /C calc'!A0",
        "a\t=1+1",
        "a;b; @SUM(1)",
        "a|+1+1",
        "a\n=1+1",
        'x";=1+1',
        'a;"=1+1',
        "; ;－1+x",
        "a\r\n-1-1",
    ],
)
def test_no_cell_is_a_formula_whatever_parts_the_cells(hostile: str, separator: str) -> None:
    """Read by a plain split, as a spreadsheet does that knows neither our comma nor our quotes."""
    text = table_csv(Table("t", (Column("Note"), Column("b")), (Group((Row((Cell.of(hostile), Cell.of(hostile))),)),)))
    cells = [cell for line in text.splitlines() for cell in line.split(separator)]
    if separator == ",":
        cells = [cell for line in read(text) for cell in line]
    for cell in cells:
        assert not cell.strip().lstrip('"').lstrip().startswith(STARTS_A_FORMULA[:4] + STARTS_A_FORMULA[7:]), cell


def test_what_is_no_formula_stays_as_it_is() -> None:
    for plain in ("glue; clamps", "0 to 3; -2.5", "a;b\tc", "well; it = that"):
        assert one_cell(plain) == plain


@pytest.mark.parametrize(
    ("shown", "number"), [("-3.5", -3.5), ("\u22123.5", -3.5), ("+2", 2.0), ("0", 0.0), ("-0.25", -0.25)]
)
def test_numbers_stay_numbers(shown: str, number: float) -> None:
    assert float(one_cell(shown)) == number


def test_heads_and_group_titles_are_guarded_too() -> None:
    table = Table("t", (Column("=1+1"),), (Group((Row((Cell.of("x"),)),), "@cmd"),))
    assert read(table_csv(table)) == [["group", "'=1+1"], ["'@cmd", "x"]]


@given(st.lists(st.lists(st.text(max_size=8), min_size=2, max_size=2), max_size=5))
@example([["=", "-"], ["\r\n", "\ud800"]])
@example([["", "\n=0"]])
def test_every_text_comes_back(rows: list[list[str]]) -> None:
    table = Table("t", (Column("a"), Column("b")), (Group(tuple(Row(tuple(Cell.of(c) for c in row)) for row in rows)),))
    lines = read(table_csv(table))
    assert len(lines) == len(rows) + 1
    for line, row in zip(lines[1:], rows, strict=True):
        for got, written in zip(line, row, strict=True):
            kept = written.replace("\x00", "").encode("utf-8", "replace").decode()
            # a cell that begins a formula is guarded, and so is what follows a line end within it
            bare = got if got == kept else got.replace("'", "")
            assert bare in (kept, kept.replace("'", ""), kept.replace("\u2212", "-"))
            assert len(got) == 1 or not got.startswith(STARTS_A_FORMULA) or Fraction(got) is not None


@given(st.fractions())
@example(Fraction(-1, 3))
@example(Fraction(-1, 80))
@example(Fraction(10))
def test_exact_numbers_read_back_to_the_same_value(value: Fraction) -> None:
    assert Fraction(exact_number(value)) == value
    whole, _, part = exact_for_spreadsheet(value).partition(" ")
    sign = -1 if whole.startswith("-") else 1
    assert Fraction(whole) + sign * Fraction(part or 0) == value


@pytest.mark.parametrize(
    ("value", "text"), [("1/4", "0.25"), ("-1/80", "-0.0125"), ("1/3", "1/3"), ("25.4", "25.4"), ("100", "100")]
)
def test_decimals_where_they_end(value: str, text: str) -> None:
    assert exact_number(Fraction(value)) == text
