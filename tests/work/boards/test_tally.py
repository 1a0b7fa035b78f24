"""Receipts: measured by both rules, held against the seller, and whether the boards suffice."""

from __future__ import annotations

import csv
import json
from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Heading, Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.cli import main
from shopdocs.documents.tally import tally_sheet
from shopdocs.model.build import Build
from shopdocs.model.stock import Receipt, SoldBy
from shopdocs.pipeline import Request, check_build, tally
from shopdocs.source.given import read_given
from shopdocs.source.receipts import read_receipt
from shopdocs.work.boards.counting import RAISED, SELLER, WHOLE
from shopdocs.work.boards.cure import refit
from shopdocs.work.boards.plan import Effort, Names, material_plan
from shopdocs.work.boards.receipts import Measure, measure
from shopdocs.work.boards.supply import EXACT, SURFACE, make_board
from tests.values import replace
from tests.work.boards_case import ROOT, inches, read_case, write_case

FEET, VOLUME, AREA = SoldBy.BOARD_FOOT, SoldBy.CUBIC_METRE, SoldBy.SQUARE_METRE
BENCH = ROOT / "sample_builds" / "threshold_bench"
WOODS = """
materials:
  any 4/4: {kind: hardwood, price: 6 per bf}
  thin: {kind: hardwood, rough: 1/2, price: 6 per bf}
  mid 6/4: {kind: hardwood}
  big 8/4: {kind: hardwood}
  three: {kind: hardwood, rough: 3}
  beam: {kind: hardwood, rough: 4}
  stud: {kind: softwood, nominal: 2x4}
parts:
  a: {material: any 4/4, size: 3/4 x 4 x 20, count: 1}
"""

# material, width, length, count, printed answer, half of its last printed digit as the source prints it, source
WORKED = (
    ("any 4/4", "10", "10 ft", 1, "8 4/12", "0", "US Navy NAVEDTRA 14044, steel square"),
    ("any 4/4", "7", "33 ft", 1, "19 3/12", "0", "US Navy NAVEDTRA 14044"),
    ("any 4/4", "11", "14 ft", 1, "12 10/12", "0", "W. Noyes, Handwork in Wood (1910), ch. IV"),
    ("any 4/4", "9", "5 ft", 1, "3 9/12", "0", "W. Noyes, Handwork in Wood (1910), ch. IV"),
    ("thin", "8", "12 ft", 12, "96", "0", "G. W. Danforth, Mechanical Processes: half an inch counts as an inch"),
    ("any 4/4", "8", "14 ft", 4, "37 1/3", "0", "US Army course EN5155"),
    (
        "stud",
        "",
        "14 ft",
        1,
        "9.3333",
        "0.00005",
        "US Navy Engineering Aid p. 6-3 (answer by its formula)",
    ),
    ("any 4/4", "9", "96 in", 1, "6", "0", "magazine e-tip on board feet"),
    ("mid 6/4", "9", "96 in", 1, "9", "0", "magazine e-tip on board feet"),
    ("beam", "6", "10 ft", 1, "20", "0", "reclaimed-timber dealer, useful math"),
    ("three", "8", "10 ft", 1, "20", "0", "sawmill page on board feet"),
    ("any 4/4", "6", "24 in", 1, "1", "0", "university handout TED 126 (2007)"),
    ("any 4/4", "8", "8 ft", 1, "5.33", "0.005", "extension-style guide"),
    ("any 4/4", "12", "10 ft", 1, "10", "0", "shipping glossary"),
)


def receipt_of(folder: Path, boards: str, build: str = WOODS, head: str = "") -> tuple[Build, Receipt, Measure]:
    path = folder / "receipt.yaml"
    path.write_text(f"receipt:\n  {head}\n  boards:\n{boards}", "utf-8")
    described, shop, _ = read_case(write_case(folder, build))
    receipt, problems = read_receipt(read_given(str(path)), described)
    assert not problems
    assert receipt is not None
    return described, receipt, measure(receipt, described, shop)


@pytest.mark.parametrize("row", WORKED, ids=lambda row: f"{row[-1]}: {row[4]}")
def test_worked_examples_as_receipts(tmp_path: Path, row: tuple[str, str, str, int, str, str, str]) -> None:
    """What the books print is the exact measure of the line, and stands on the receipt as the seller's figure."""
    material, width, length, count, printed, tolerance, _ = row
    wide = f"width: {width}, " if width else ""
    line = f"    - {{material: {material}, {wide}length: {length}, count: {count}, board feet: {printed}}}\n"
    _, receipt, measured = receipt_of(tmp_path, line)
    (found,) = measured.lines
    whole, _, part = printed.rpartition(" ")
    value = Fraction(whole or 0) + Fraction(part)
    assert receipt.lines[0].said[FEET].amount == value
    assert abs(found.feet[EXACT] - value) <= Fraction(tolerance)
    assert EXACT in found.amounts[FEET].rules


def test_both_rules_side_by_side(tmp_path: Path) -> None:
    """By hand after the NHLA rule: 6-1/2 in x 8 ft 11 in is 6.5 x 8 / 12 = 4.33, so 4 ft²; 10-1/4 in x 10 ft is 8.54,
    so 9 ft²; 9 in x 6 ft is exactly 4.5, the first half goes up to 5. 18 ft² of 6/4 are 27 bf. Exact: 1.5 in times
    (6.5 x 107 + 10.25 x 120 + 9 x 72) / 144."""
    boards = """
    - {material: mid 6/4, width: 6-1/2, length: 8 ft 11 in}
    - {material: mid 6/4, width: 10-1/4, length: 10 ft}
    - {material: mid 6/4, width: 9, length: 6 ft}
"""
    _, _, measured = receipt_of(tmp_path, boards, head="board feet: 27")
    assert [line.surface for line in measured.lines] == [4, 9, 5]
    assert measured.sums.of(FEET).by_rule[SURFACE] == 27
    exact = Fraction(3, 2) * (Fraction("6.5") * 107 + Fraction("10.25") * 120 + 9 * 72) / 144
    assert measured.sums.of(FEET).by_rule[EXACT] == exact
    assert measured.sums.of(FEET).seller is not None
    assert measured.sums.of(FEET).seller.rules == (SURFACE,)


@pytest.mark.parametrize(
    ("said", "rules"),
    # One board of 4/4, 6-1/2 in x 8 ft: exactly 4.3333 bf, 4 by surface measure, 5 rounded up.
    [("4.33", (EXACT,)), ("4 1/3", (EXACT,)), ("4", (SURFACE,)), ("5", (WHOLE,)), ("4.5", ()), ("4.3", (EXACT,))],
)
def test_the_rule_that_explains_the_seller(tmp_path: Path, said: str, rules: tuple[str, ...]) -> None:
    line = f"    - {{material: any 4/4, width: 6-1/2, length: 8 ft, board feet: {said}}}\n"
    _, _, measured = receipt_of(tmp_path, line)
    assert measured.lines[0].amounts[FEET].rules == rules
    assert measured.sums.of(FEET).seller is not None
    assert measured.sums.of(FEET).seller.rules == rules
    feet = measured.lines[0].line.said[FEET].amount
    assert measured.lines[0].amounts[FEET].apart == feet - Fraction(13, 3)


@pytest.mark.parametrize(
    ("asked", "rules", "apart"),
    # At 6 a board foot: 26.00 exactly, 24.00 by surface measure, 30.00 rounded up.
    [("$26.00", (EXACT,), "0"), ("24.00", (SURFACE,), "-2"), ("30", (WHOLE,), "4"), ("27.10 EUR", (), "1.10")],
)
def test_money_is_explained_too(tmp_path: Path, asked: str, rules: tuple[str, ...], apart: str) -> None:
    line = f"    - {{material: any 4/4, width: 6-1/2, length: 8 ft, amount: {asked}}}\n"
    _, _, measured = receipt_of(tmp_path, line)
    assert measured.sums.money.seller is not None
    assert measured.sums.money.seller.rules == rules
    assert measured.sums.money.seller.apart == Fraction(apart)


@pytest.mark.parametrize(("asked", "rules"), [("78.00", (EXACT,)), ("78.01", (EXACT,)), ("78.02", ())])
def test_a_seller_may_round_each_board_to_a_cent(tmp_path: Path, asked: str, rules: tuple[str, ...]) -> None:
    """Three of the boards above are 78.00; half a cent of each makes a cent and a half."""
    line = f"    - {{material: any 4/4, width: 6-1/2, length: 8 ft, count: 3, amount: {asked}}}\n"
    _, _, measured = receipt_of(tmp_path, line)
    assert measured.lines[0].money_rules == rules


def test_a_rate_of_the_receipt_wins_and_thickness_bought_counts(tmp_path: Path) -> None:
    line = "    - {material: any 4/4, thickness: 8/4, width: 6, length: 8 ft, rate: 9.25 per bf, amount: 74}\n"
    _, _, measured = receipt_of(tmp_path, line)
    # By hand: 2 x 6 x 96 / 144 = 8 bf at 9.25.
    assert measured.lines[0].feet[EXACT] == 8
    assert measured.sums.money.by_rule[EXACT] == 74


def test_halves_of_one_bundle_go_up_and_down_in_turn(tmp_path: Path) -> None:
    """By hand: 5-1/4 in x 8 ft is 3.5 square feet; of two such boards one counts 4 and one 3, 7 x 1-1/4 is 8.75 bf. A
    seller who raises both counts 8 x 1-1/4 = 10 bf. (Exact halves in turn: NHLA rule, from memory.)"""
    build = WOODS.replace("mid 6/4: {kind: hardwood}", "mid 6/4: {kind: hardwood}\n  sap 5/4: {kind: hardwood}")
    line = "    - {material: sap 5/4, width: 5-1/4, length: 8 ft, count: 2, board feet: 10}\n"
    _, _, measured = receipt_of(tmp_path, line, build)
    (found,) = measured.lines
    assert (found.surface, found.feet[SURFACE], found.feet[RAISED]) == (7, Fraction("8.75"), 10)
    assert RAISED in found.amounts[FEET].rules
    assert SURFACE not in found.amounts[FEET].rules
    sums = measured.sums.of(FEET).by_rule
    assert (sums[SURFACE], sums[RAISED]) == (9, 10)  # to the whole board foot


SOME = """
    - {mark: W1, material: any 4/4, width: 6-1/2, length: 8 ft, board feet: 4.33, amount: 26.00}
    - {mark: W2, material: any 4/4, width: 6, length: 8 ft, amount: 31.00}
    - {mark: W3, material: any 4/4, width: 6, length: 8 ft}
"""


def test_lines_with_a_figure_are_held_where_others_have_none(tmp_path: Path) -> None:
    """By hand at 6 a board foot: 13/3 bf are 26.00; 6 in x 8 ft are 4 bf, 24.00, and 31.00 was asked: 7.00 too much."""
    _, _, measured = receipt_of(tmp_path, SOME)
    assert [line.money_apart for line in measured.lines] == [0, 7, None]
    held = measured.sums.money.some
    assert held is not None
    assert (held.lines, held.said, held.apart, held.rules, held.odd) == (2, 57, 7, (), ("W2",))
    counted = measured.sums.of(FEET).some
    assert counted is not None
    assert (counted.lines, counted.rules) == (1, (EXACT,))


def test_a_wrong_line_is_named_in_the_verdict(tmp_path: Path) -> None:
    build = (
        "materials: {any 4/4: {kind: hardwood, price: 6 per bf}}\n"
        "parts:\n  a: {material: any 4/4, size: 3/4 x 4 x 20, count: 1}\n"
    )
    _, told, out = tallied(tmp_path, build, SOME)
    words = next(sentence for sentence in told if "the seller asks" in sentence)
    assert "On 2 of 3 lines the seller asks 57.00: 7.00 more than by exact measure; no rule here explains W2" in words
    assert "money" not in words  # no currency was named
    rows = csv.DictReader((out / "tables" / "tally-prices.csv").read_text("utf-8-sig").splitlines())
    wrong = next(row for row in rows if row["Prices"] == "W2")
    assert (wrong["Exact"], wrong["Seller"], wrong["Off by"]) == ("24.00", "31.00", "+7.00")
    assert wrong["The seller asks by"] == "no rule here"


def test_the_price_of_the_sellers_own_board_feet_is_told_as_such(tmp_path: Path) -> None:
    """By hand: 6-1/2 in x 8 ft is 4.3333 bf, 26.00 at 6 each; 4.5 bf at 6 each are 27.00."""
    line = "    - {material: any 4/4, width: 6-1/2, length: 8 ft, board feet: 4.5, amount: 27}\n"
    _, _, measured = receipt_of(tmp_path, line)
    assert measured.lines[0].amounts[FEET].rules == ()
    assert measured.lines[0].money_rules == (SELLER,)
    assert measured.sums.money.seller is not None
    assert measured.sums.money.seller.rules == (SELLER,)


def test_metric_lumber_is_counted_in_cubic_metres(tmp_path: Path) -> None:
    """By hand: 2 x 0.18 m x 3.01 m x 0.027 m are 0.0292572 m³, 42.42 at 1450 the cubic metre (21.211 a board)."""
    build = (
        "materials: {beech 27: {kind: hardwood, rough: 27 mm, price: 1450 per m3}}\n"
        "parts:\n  a: {material: beech 27, size: 20 x 80 x 500, count: 1}\n"
    )
    line = "    - {material: beech 27, width: 180, length: 3010, count: 2, amount: 42.42}\n"
    _, told, out = tallied(tmp_path, build, line, "mm")
    assert "The seller asks 42.42: that is the price by exact measure." in told
    table = (out / "tables" / "tally-receipt.csv").read_text("utf-8")
    assert "0.0293" in table
    assert "bf" not in table


def test_what_has_one_price_by_every_rule_is_held_against_its_rate(tmp_path: Path) -> None:
    """By hand: 2 sheets at 45 are 90, however they are measured; 92 are 2 more."""
    build = (
        "materials: {ply: {kind: sheet, thickness: 3/4, sheet: 48 x 96, price: 45 per sheet}}\n"
        "parts:\n  a: {material: ply, size: 3/4 x 20 x 40, count: 1}\n"
    )
    line = "    - {material: ply, width: 48, length: 96, count: 2, amount: %s}\n"
    told = {amount: tallied(tmp_path, build, line % amount)[1] for amount in ("90", "92")}
    assert "The seller asks 90.00: that is the price at these rates." in told["90"]
    assert any(words.startswith("The seller asks 92.00: 2.00 more than at these rates") for words in told["92"])


def test_a_rate_that_says_nothing_of_a_board_is_told(tmp_path: Path) -> None:
    build = "materials: {any 4/4: {kind: hardwood}}\nparts:\n  a: {material: any 4/4, size: 3/4 x 4 x 20, count: 1}\n"
    line = "    - {material: any 4/4, width: 6, length: 8 ft, rate: 9 per sheet, amount: 9}\n"
    problems, told, _ = tallied(tmp_path, build, line)
    assert (problems, told[0]) == (1, "price")
    assert "The sum of money cannot be held against a rule: B1 has no price in the build or on the receipt." in told


def test_lines_that_do_not_add_up_are_told(tmp_path: Path) -> None:
    outcome = tally(Request(str(BENCH / "build.yaml")), str(BENCH / "receipt.yaml"), str(tmp_path / "out"))
    # The receipt's own lines: 36.80 + 76.00 + 28.50 + 21.30 = 162.60, its total says 162.90.
    assert "The seller's own lines add up to $162.60." in outcome.said[0]


# --- do the boards suffice -------------------------------------------------------------------------------------------

JOB = """
materials: {oak 4/4: {kind: hardwood, price: 6 per bf}}
parts:
  a: {material: oak 4/4, size: 3/4 x 5 x 40, count: 4}
"""
YARD = """
  kerf: 1/8
  milling: {thickness: 1/8, width: 0, length: 0}
  end trim: 0
  yard:
    - {material: oak 4/4, width: 5, length: 39}
    - {material: oak 4/4, width: 5, length: 48}
    - {material: oak 4/4, width: 6, length: 96}
    - {material: oak 4/4, width: 12, length: 120}
"""


def refitted(folder: Path, boards: str, shop: str = YARD, build: str = JOB):  # type: ignore[no-untyped-def]
    path = folder / "receipt.yaml"
    path.write_text(f"receipt:\n  boards:\n{boards}", "utf-8")
    described, bench, groups = read_case(write_case(folder, build, shop))
    receipt, problems = read_receipt(read_given(str(path)), described)
    assert receipt is not None
    assert not problems
    (found,) = refit(described, bench, groups, measure(receipt, described, bench))
    return described, bench, groups, found


def test_everything_fits_and_a_whole_board_is_spared(tmp_path: Path) -> None:
    boards = "    - {mark: W, material: oak 4/4, width: 5, length: 81, count: 3}\n"
    _, _, _, found = refitted(tmp_path, boards)
    assert not found.plan.left_out
    assert found.cure is None
    assert len(found.plan.boards) == 2
    assert [board.mark for board in found.plan.boards] == ["W-1", "W-2"]
    assert found.spare == ("W-3",)


@pytest.mark.parametrize(
    ("boards", "cure"),
    [
        ("{material: oak 4/4, width: 5, length: 125}", ("5", "48")),  # three fit; one more of 40 in is wanted
        ("{material: oak 4/4, width: 5, length: 84}", ("6", "96")),  # two fit; 48 in holds but one of the two
        ("{material: oak 4/4, width: 5, length: 41}", ("12", "120")),  # one fits; 96 in holds two of the three
    ],
)
def test_the_cheapest_board_that_cures_it(tmp_path: Path, boards: str, cure: tuple[str, str]) -> None:
    """The cure is found by hand from the lengths, and everything fits when it is laid out with it."""
    build, shop, groups, found = refitted(tmp_path, f"    - {boards}\n")
    assert found.plan.left_out
    (board,) = found.cure.boards
    assert (board.width, board.length) == (inches(cure[0]), inches(cure[1]))
    material = build.material("oak 4/4")
    rows = [row for group in groups for row in group.rows]
    had = [sawn.board for sawn in found.plan.boards]
    again = material_plan(material, rows, (*had, replace(board, count=1)), shop, Names(build), Effort(400, 60.0))
    assert not again.left_out
    for smaller in (inches("39"), inches("48"), inches("96")):
        if smaller < board.length:
            width = inches("6") if smaller == inches("96") else inches("5")
            less = make_board(material, width, smaller, shop, count=1)
            short = material_plan(material, rows, (*had, less), shop, Names(build), Effort(400, 60.0))
            assert short.left_out


def test_boards_that_are_too_thin_are_named(tmp_path: Path) -> None:
    boards = "    - {material: oak 4/4, thickness: 13/16, width: 12, length: 120}\n"
    _, _, _, found = refitted(tmp_path, boards)
    (left,) = found.plan.left_out
    assert left.reason.startswith("too thin after milling")
    assert left.lengths == (inches("7/8"), inches("13/16"))  # 3/4 in and 1/8 in for milling
    assert found.cure.boards[0].length == inches("120")


def test_a_board_that_gives_no_piece_is_named_with_the_reason(tmp_path: Path) -> None:
    """A board of 39 in is no use for pieces of 40 in; that it stays whole is no fault of the layout."""
    boards = "    - {mark: V, material: oak 4/4, width: 6, length: 39, count: 2}\n"
    boards += "    - {mark: W, material: oak 4/4, width: 5, length: 81, count: 3}\n"
    _, _, _, found = refitted(tmp_path, boards)
    assert found.spare == ("V-1", "V-2", "W-3")
    (((marks, idle)),) = found.useless
    assert marks == ("V-1", "V-2")
    assert idle.reason.startswith("too short")
    assert idle.lengths == (inches("40"), inches("39"))


def test_several_boards_where_no_single_one_cures_it(tmp_path: Path) -> None:
    shop = YARD.replace("    - {material: oak 4/4, width: 12, length: 120}\n", "")
    build = JOB.replace("count: 4", "count: 40")
    _, _, _, found = refitted(tmp_path, "    - {material: oak 4/4, width: 5, length: 41}\n", shop, build)
    assert len(found.cure.boards) > 1
    # By hand at 6 a board foot: 39 left over of 40; 6 in x 96 in (4 bf, 24.00) gives two, 5 in x 48 in (10.00) gives
    # one: the 39 cost least in boards of 48 in.
    assert {(board.length, board.price) for board in found.cure.boards} == {(inches("48"), Fraction(10))}
    assert len(found.cure.boards) == 39


def test_a_board_with_defects_that_is_used_up_is_not_said_to_have_no_clear_stretch(tmp_path: Path) -> None:
    """60 in with a knot at 50 in give one piece of 40 in: the boards do not suffice for two, the knot is no reason."""
    boards = "    - {material: oak 4/4, width: 5, length: 60, defects: [50 to 51]}\n"
    _, _, _, found = refitted(tmp_path, boards)
    assert [left.reason for left in found.plan.left_out] == ["the boards are not enough"]
    boards = "    - {material: oak 4/4, width: 5, length: 60, defects: [30 to 31]}\n"
    _, _, _, found = refitted(tmp_path, boards)
    assert [left.reason for left in found.plan.left_out] == ["no stretch clear of defects is large enough"]


# --- the sheet -------------------------------------------------------------------------------------------------------


def test_the_sheet_its_tables_and_figures_are_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[Document] = []
    monkeypatch.setattr("shopdocs.documents.tally.tally_sheet", lambda job: made.append(tally_sheet(job)) or made[0])
    out = tmp_path / "out"
    assert main(["tally", str(BENCH / "build.yaml"), str(BENCH / "receipt.yaml"), "--out", str(out)]) == 0
    assert (out / "tally.pdf").read_bytes().startswith(b"%PDF-1.7")
    assert "Everything fits" in capsys.readouterr().out
    figures = json.loads((out / "tally-figures.json").read_text("utf-8"))["figures"]
    by_name = {figure["name"]: figure for figure in figures}
    # By hand: 6-1/2 x 96 in of 5/4 twice is 1.25 x 6.5 x 96 x 2 / 144 bf.
    assert Fraction(by_name["receipt · B2 · exact"]["exact"]) == Fraction("1.25") * Fraction("6.5") * 96 * 2 / 144
    assert by_name["receipt · B2 · exact"]["source"]["line"] == 10
    # The four lines by width x length x thickness / 144, beside the 21 bf that the receipt says.
    sizes = ((2, "6.125", 49, 1), ("1.25", "6.5", 96, 2), ("1.25", "4.75", 96, 1), (1, "5.75", 72, 1))
    whole = sum(Fraction(thick) * Fraction(wide) * long * count / 144 for thick, wide, long, count in sizes)
    sums = {name: Fraction(figure["exact"]) for name, figure in by_name.items() if name.startswith("sum · ")}
    assert abs(sums["sum · exact"] - whole) < Fraction(1, 10**6)
    assert sums["sum · seller"] == 21
    assert abs(sums["sum · exact · apart"] - (21 - whole)) < Fraction(1, 10**6)
    assert (out / "tables" / "tally-receipt.csv").is_file()
    # its questions are headings of one level, below the title; in the prices, wood and seller stand out
    headings = [block for block in walk(made[0].blocks) if isinstance(block, Heading)]
    assert {heading.level for heading in headings} == {2} and "Are the boards enough?" in [h.text for h in headings]
    (prices,) = (block for block in walk(made[0].blocks) if isinstance(block, Table) and block.name == "prices")
    assert [plain(column.title) for column in prices.columns if column.strong] == ["Prices", "Seller"]
    # what the seller says closes the sums by the rules; so a spreadsheet that adds the rows up leaves it out
    _, *rows = csv.reader((out / "tables" / "tally-sums.csv").read_text("utf-8-sig").splitlines())
    assert [row[-1] for row in rows] == ["row"] * (len(rows) - 1) + ["total"]
    assert rows[-1][0] == "the seller" and len(rows) >= 3


def tallied(folder: Path, build: str, boards: str, units: str = "in") -> tuple[int, list[str], Path]:
    """Exit code, problems and lines of the command, and its folder."""
    source, receipt, out = folder / "build.yaml", folder / "receipt.yaml", folder / "out"
    source.write_text(f"build: {{title: Trial, mark: T, units: {units}}}\n" + build, "utf-8")
    receipt.write_text(f"receipt:\n  boards:\n{boards}", "utf-8")
    outcome = tally(Request(build=str(source)), str(receipt), str(out))
    return len(outcome.problems), [problem.code for problem in outcome.problems] + list(outcome.said), out


@pytest.mark.parametrize(
    ("said", "words"),
    # 6-1/2 in x 8 ft of 4/4 is 4-1/3 bf: 4.33 is that rounded, 4 1/3 is that itself.
    [("4.33", "that is the exact measure, rounded."), ("4 1/3", "that is the exact measure.")],
)
def test_a_rounded_figure_is_called_rounded(tmp_path: Path, said: str, words: str) -> None:
    build = "materials: {any 4/4: {kind: hardwood}}\nparts:\n  a: {material: any 4/4, size: 3/4 x 4 x 20, count: 1}\n"
    line = f"    - {{material: any 4/4, width: 6-1/2, length: 8 ft, board feet: {said}}}\n"
    _, told, _ = tallied(tmp_path, build, line)
    assert any(words in sentence for sentence in told)


def test_strips_are_not_counted_as_pieces(tmp_path: Path) -> None:
    """Two leaves of three strips each and one lath are three pieces, six of what is sawn being strips."""
    build = (
        "materials: {any 4/4: {kind: hardwood}}\nparts:\n"
        "  leaf: {material: any 4/4, size: 3/4 x 12 x 20, count: 2, strips: 3, mark: F}\n"
        "  lath: {material: any 4/4, size: 3/4 x 2 x 20, count: 1, mark: Z}\n"
    )
    line = "    - {material: any 4/4, width: 6, length: 8 ft, count: 3}\n"
    _, told, out = tallied(tmp_path, build, line)
    assert "Everything fits: all 3 pieces are on these boards." in told
    table = (out / "tables" / "tally-fit.csv").read_text("utf-8")
    assert "3 (6 strips)" in table


def test_doubts_about_the_build_are_not_told_again(tmp_path: Path) -> None:
    """A material that no part uses is a doubt about the build, told by `check`."""
    build = (
        "materials: {any 4/4: {kind: hardwood}, spare 8/4: {kind: hardwood}}\n"
        "parts:\n  a: {material: any 4/4, size: 3/4 x 4 x 20, count: 1}\n"
    )
    source = tmp_path / "doubt.yaml"
    source.write_text("build: {title: Trial, mark: T, units: in}\n" + build, "utf-8")
    assert check_build(str(source))[2], "the build has a doubt"
    count, _, _ = tallied(tmp_path, build, "    - {material: any 4/4, width: 6, length: 8 ft}\n")
    assert count == 0
