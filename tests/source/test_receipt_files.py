"""Receipts as files: tables read as YAML does, and every mistake told at its place."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.cli import main
from shopdocs.core.length import Length
from shopdocs.model.stock import SoldBy
from shopdocs.pipeline import check_build
from shopdocs.source.given import read_given
from shopdocs.source.receipts import read_receipt
from tests.values import replace
from tests.work.boards.test_tally import receipt_of
from tests.work.boards_case import ROOT

SHOP = ROOT / "sample_builds" / "threshold_bench" / "shop.yaml"
BUILD = """\
build: {title: Boot rack, mark: BR, units: in}
materials: {ash 8/4: {kind: hardwood, species: white ash}, ash 5/4: {kind: hardwood, species: white ash}}
parts:
  foot: {material: ash 8/4, size: 1-3/4 x 2 x 10, count: 2}
  slat: {material: ash 5/4, size: 7/8 x 2 x 24, count: 3}
"""


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A build that is read and laid out in no time, beside the shop file of the bench."""
    path = tmp_path_factory.mktemp("rack") / "build.yaml"
    path.write_text(BUILD, "utf-8")
    (path.parent / "shop.yaml").write_bytes(SHOP.read_bytes())
    return path


# --- receipts as tables ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("first", ["", "\ufeff", "sep={}\r\n", "\ufeffSEP={}\r\n", '"sep={}"\r\n', "\r\n\r\n"])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_a_table_reads_as_the_same_receipt(tmp_path: Path, separator: str, first: str) -> None:
    """Also behind a byte order mark, empty lines, and a line that names the separator."""
    boards = """
    - {mark: W1, material: any 4/4, width: 6-1/2, length: 8 ft 2 in, count: 2, board feet: 8.85}
    - {material: big 8/4, thickness: 8/4, width: 5, length: 40, defects: [0 to 3, 10 to 12 across 0 to 1]}
"""
    build, receipt, _ = receipt_of(tmp_path, boards)
    rows = [
        ["Mark", "material", "thickness", "width", "length", "count", "board feet", "defects"],
        ["W1", "ANY 4/4", "", "6-1/2", "8 ft 2 in", "2", "8.85", ""],
        ["", '"big 8/4"', "8/4", "5", "40", "", "", '"0 to 3; 10 to 12 across 0 to 1"'],
        ["", "", "", "", "", "", "", ""],
    ]
    path = tmp_path / "receipt.csv"
    lines = "\r\n".join(separator.join(row) for row in rows)
    path.write_text(first.format(separator) + lines, "utf-8", newline="")
    table, problems = read_receipt(read_given(str(path)), build)
    assert not problems
    assert table is not None
    bare = [replace(line, at=receipt.at) for line in receipt.lines]
    assert [replace(line, at=receipt.at) for line in table.lines] == bare


def test_a_comma_that_parts_no_cells_stands_for_a_point(tmp_path: Path, small: Path) -> None:
    build, _, _ = check_build(str(small))
    assert build is not None
    path = tmp_path / "receipt.csv"
    row = 'ash 8/4;165,5 mm;1,2205 m;7,6 per bf;4,25;32,30;"0,5 to 3,25; 10,5 to 12 across 0 to 0,125"'
    path.write_text(f"material;width;length;rate;board feet;amount;defects\n{row}\n", "utf-8")
    receipt, problems = read_receipt(read_given(str(path)), build)
    assert not problems
    assert receipt is not None
    (line,) = receipt.lines
    assert line.width is not None and line.length is not None and line.rate is not None
    assert (line.width.mm, line.length.mm) == (Fraction("165.5"), Fraction("1220.5"))
    assert (line.rate.amount, line.amount) == (Fraction("7.6"), Fraction("32.30"))
    assert line.said[SoldBy.BOARD_FOOT].amount == Fraction("4.25")
    assert [defect.end.inch for defect in line.defects] == [Fraction("3.25"), 12]
    assert line.defects[1].high == Length.inches(Fraction(1, 8))


# --- bad input -------------------------------------------------------------------------------------------------------

BAD = (  # the receipt, ¦ before the place that must be told, and what is told
    ("units: ¦cubit\n  boards: [{material: ash 8/4, width: 6, length: 40}]", "no unit is called 'cubit'"),
    ("boards: [{material: ash 8/4, width: 6 ¦hands, length: 40}]", "'hands' is not a unit"),
    ("boards: [{material: ash 8/4, width: ¦1/32, length: 40}]", "no wider than the saw cut"),
    ("boards: [{material: ash 8/4, width: ¦-6, length: 40}]", "not more than zero"),
    ("boards: [{material: ¦elm, width: 6, length: 40}]", "no material of the build is called 'elm'"),
    ("boards: [{material: ash 8/4, width: 6, length: 40, count: ¦1000000}]", "out of range"),
    ("boards: [{material: ash 8/4, width: 6, length: 40, count: ¦-1}]", "out of range"),
    ("boards: [¦{material: ash 8/4, length: 40}]", "lacks 'width'"),
    ("boards: [{material: ash 8/4, width: 6, length: 40, board feet: ¦some}]", "not a number of board feet"),
    ("boards: [{material: ash 8/4, width: 6, length: 40, amount: ¦-3}]", "not an amount of money"),
    ("boards: [{material: ash 8/4, width: 6, length: 40, rate: ¦cheap}]", "not a price"),
    ("boards: [{material: ash 8/4, width: 6, length: 40, rate: ¦-3 per bf}]", "'-3 per bf' is not a price"),
    ("boards: [{material: ash 8/4, width: 6, length: 40, board feet: ¦5 14/12}]", "'5 14/12' is not a number of board"),
    ("boards: [{material: ash 8/4, width: 6, length: 40, defects: [¦50 to 60]}]", "beyond the board's length"),
    ("boards: [{mark: ¦R1, material: ash 8/4, width: 6, length: 40}]", "on the rack is called 'R1' too"),
    (
        "boards: [{mark: W, count: 2, material: ash 8/4, width: 6, length: 40}, "
        "{mark: ¦W-1, material: ash 8/4, width: 6, length: 40}]",
        "the mark 'W-1' is that of a board in line 2, 2 of 'W'; give",
    ),
    ("total: ¦1,200\n  boards: [{material: ash 8/4, width: 6, length: 40}]", "not an amount of money"),
    (
        "currency: EUR\n  boards: [{material: ash 8/4, width: 6, length: 40, amount: 30.40 €}, "
        "{material: ash 8/4, width: 6, length: 40, amount: ¦$30.40}]",
        "'$30.40' is in $, others on this receipt are in EUR",
    ),
    (
        "total: ¦£9\n  boards: [{material: ash 8/4, width: 6, length: 40, amount: 30.40 CHF}]",
        "in £, others on this receipt are in CHF",
    ),
    ("¦boards: []", "no boards"),
)


@pytest.mark.parametrize(("receipt", "wrong"), BAD, ids=[wrong for _, wrong in BAD])
def test_a_bad_receipt_is_told_at_its_place_and_nothing_is_written(
    tmp_path: Path, small: Path, receipt: str, wrong: str, capsys: pytest.CaptureFixture[str]
) -> None:
    text = f"receipt:\n  {receipt}\n"
    before = text[: text.index("¦")]
    line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
    path = tmp_path / "receipt.yaml"
    path.write_text(text.replace("¦", ""), "utf-8")
    out = tmp_path / "out"
    code = main(["tally", str(small), str(path), "--out", str(out)])
    told = capsys.readouterr().err
    assert code == 2
    assert f"{path}:{line}:{column}: " in told
    assert wrong in told
    assert not out.exists()


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_a_table_with_any_line_ends(tmp_path: Path, small: Path, ending: str) -> None:
    build, _, _ = check_build(str(small))
    assert build is not None
    path = tmp_path / "receipt.csv"
    rows = ("material,width,length", '"ash', '8/4",6,40', "ash 8/4,7,50", "")  # a line end within quotes is a space
    path.write_bytes(ending.join(rows).encode())
    receipt, problems = read_receipt(read_given(str(path)), build)
    assert not problems
    assert receipt is not None
    assert [(line.material, line.at.line) for line in receipt.lines] == [("ash 8/4", 2), ("ash 8/4", 4)]


@pytest.mark.parametrize(
    "table", ["", "\n\n", "material,width,length\n", "material,material\nash 8/4,ash 8/4\n", "a;b\n1;2\n"]
)
def test_a_table_without_boards_is_no_second_mistake(tmp_path: Path, small: Path, table: str) -> None:
    build, _, _ = check_build(str(small))
    assert build is not None
    path = tmp_path / "receipt.csv"
    path.write_text(table, "utf-8")
    receipt, problems = read_receipt(read_given(str(path)), build)
    assert receipt is None
    assert problems
    assert not any("has no boards" in problem.wrong for problem in problems)


@pytest.mark.parametrize(
    ("table", "wrong"),
    [
        ("material,width,¦lenght\nash 8/4,6,40", "did you mean 'length'?"),
        ("material,width,length\nash 8/4,¦6 rods,40", "'rods'"),
        ('material,width,length\n"ash 8/4",6,40\nash 8/4,6,40,,,¦9', "cells under 3 columns"),
        ('material,width,length\n¦"ash 8/4,6,40', "a quote is not closed"),
        ('material,width,length\nash 8/4,¦"6"5,40', "'5' stands behind the closing quote"),
        ("¦width,length\n6,40\n7,40", "there is no column 'material'"),
        ("material,width,length\nash 8/4,¦NaN,40", "'NaN' is not a length; write"),
        ('material,width,length,amount\nash 8/4,6,40,¦"31,94"', "write 31.94"),
        ("material;width;length;amount\nash 8/4;6;40;¦1.234,50 €", "write 1234.50"),
        ('material,width,length,amount\nash 8/4,6,40,¦"$1,234,567.50"', "write 1234567.50"),
        ('material,width,length,amount\nash 8/4,6,40,¦"1,234"', "write 41.19, without commas"),
        ('material,width,length,board feet\nash 8/4,6,40,¦"8,33"', "write 8.33"),
        ("material;width;length\nash 8/4;1¦,250;40", "a point, no comma"),  # thousands or decimals
        ("sep=;\nmaterial;width;length\nash 8/4;¦6 rods;40", "'rods'"),
        ("¦sep=,\nmaterial;width;length\nash 8/4;6;40", "',' parts the cells, and it is ';'; leave the first line out"),
        ("¦sep=;\nmaterial\twidth\tlength\nash 8/4\t6\t40", "it is a tab; leave"),
    ],
)
def test_a_bad_table_is_told_at_its_place(
    tmp_path: Path, small: Path, table: str, wrong: str, capsys: pytest.CaptureFixture[str]
) -> None:
    before = table[: table.index("¦")]
    line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
    if wrong == "'rods'":
        column += 2  # the unit is what is wrong, not the number before it
    if "cells under" in wrong:
        column -= 2  # the first cell that is too many
    path = tmp_path / "receipt.csv"
    path.write_text(table.replace("¦", ""), "utf-8")
    assert main(["tally", str(small), str(path), "--out", str(tmp_path / "out")]) == 2
    told = capsys.readouterr().err
    assert wrong in told
    assert f"{path}:{line}:{column}: " in told


@pytest.mark.parametrize(
    ("receipt", "wrong"),
    [
        ("board feet: 3\n  cubic metres: ¦0.01\n", "counted in cubic metres"),
        ("square metres: ¦3\n", "counted in square metres"),
        ("currency: ¦€\n  total: 9\n", "the shop's prices are in $"),
        ("currency: ¦CAD\n  total: 9 $\n", None),  # a dollar too
    ],
)
def test_doubts_about_sums_are_told(
    tmp_path: Path, small: Path, receipt: str, wrong: str | None, capsys: pytest.CaptureFixture[str]
) -> None:
    text = f"receipt:\n  {receipt}  boards: [{{material: ash 8/4, width: 6, length: 40}}]\n"
    before = text[: text.index("¦")]
    line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
    path = tmp_path / "receipt.yaml"
    path.write_text(text.replace("¦", ""), "utf-8")
    assert main(["tally", str(small), str(path), "--out", str(tmp_path / "out")]) == 0
    doubts = [each for each in capsys.readouterr().err.splitlines() if "there is no board" not in each]
    if wrong is None:
        assert not doubts
        return
    told = [each for each in doubts if wrong in each]
    assert [each.startswith(f"{path}:{line}:{column}: warning: ") for each in told] == [True]
