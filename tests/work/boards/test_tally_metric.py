"""Receipts in cubic and square metres, held against the seller as board feet are. Every figure is by hand."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest
from pypdf import PdfReader

from shopdocs.model.stock import SoldBy
from shopdocs.pipeline import check_build
from shopdocs.source.given import read_given
from shopdocs.source.receipts import read_receipt
from shopdocs.work.boards.counting import DOWN, EACH, NOMINAL, NOMINAL_DOWN, SELLER, UP
from shopdocs.work.boards.receipts import Bought, Measure, measure
from shopdocs.work.boards.supply import EXACT
from tests.work.boards.test_tally import tallied

VOLUME, AREA, FEET = SoldBy.CUBIC_METRE, SoldBy.SQUARE_METRE, SoldBy.BOARD_FOOT
WOODS = """materials:
  beech 27: {kind: hardwood, rough: 27 mm, price: 1450 per m3}
  ply 18: {kind: sheet, thickness: 18, sheet: 1525 x 2500, price: 24 per m2}
  stud: {kind: softwood, nominal: 2x4, price: 500 per m3}
parts:
  a: {material: beech 27, size: 20 x 80 x 500, count: 1}
"""


def measured(folder: Path, lines: str, head: str = "") -> Measure:
    source, receipt = folder / "build.yaml", folder / "receipt.yaml"
    source.write_text("build: {title: Trial, mark: T, units: mm}\n" + WOODS, "utf-8")
    receipt.write_text(f"receipt:\n  {head}\n  boards:\n{lines}", "utf-8")
    build, shop, _ = check_build(str(source))
    assert build is not None
    found, problems = read_receipt(read_given(str(receipt)), build)
    assert found is not None and not problems
    return measure(found, build, shop)


def the_line(found: Measure) -> Bought:
    (line,) = found.lines
    return line


@pytest.mark.parametrize(
    ("size", "said", "rules"),
    # One board of 187 x 3060, measured 28 thick, of material sold as 27.
    # exact 0.187 x 3.06 x 0.028 = 0.01602216; nominal thickness 0.01544994; rounded down 0.18 x 3.0 x 0.028 = 0.01512;
    # rounded up 0.19 x 3.1 x 0.028 = 0.016492; nominal and down 0.18 x 3.0 x 0.027 = 0.01458; board by board 0.016.
    [
        ("thickness: 28, width: 187, length: 3060", "0.0160", (EXACT,)),
        ("thickness: 28, width: 187, length: 3060", "0.01602", (EXACT,)),
        ("thickness: 28, width: 187, length: 3060", "0.0154 m3", (NOMINAL,)),
        ("thickness: 28, width: 187, length: 3060", "0.01512 m³", (DOWN,)),
        ("thickness: 28, width: 187, length: 3060", "0.0165", (UP,)),
        ("thickness: 28, width: 187, length: 3060", "0.0146", (NOMINAL_DOWN,)),
        ("thickness: 28, width: 187, length: 3060", "0.0200", ()),
        # three boards of 120 x 2000: 0.00648 each, 0.01944 exactly, 0.018 when each is rounded to 0.006
        ("width: 120, length: 2000, count: 3", "0.018", (EACH,)),
        ("width: 120, length: 2000, count: 3", "0.019", (EXACT,)),
    ],
)
def test_the_rule_that_explains_the_sellers_volume(
    tmp_path: Path, size: str, said: str, rules: tuple[str, ...]
) -> None:
    line = the_line(measured(tmp_path, f"    - {{material: beech 27, {size}, cubic metres: {said}}}\n"))
    found = line.amounts[VOLUME].rules
    assert found[:1] == rules[:1]
    assert set(found) <= set(rules)
    assert line.sold_by == (VOLUME,)


def test_volume_and_its_price_are_held_against_the_seller(tmp_path: Path) -> None:
    """Two boards of 187 x 3060, 27 thick: 0.03089988 m³, 44.80 at 1450. The seller's 0.0350 is 0.00410012 more, and
    0.0350 at 1450 are 50.75."""
    line = the_line(
        measured(
            tmp_path,
            "    - {material: beech 27, width: 187, length: 3060, count: 2, cubic metres: 0.0350, amount: 50.75}\n",
        )
    )
    assert line.by_rule(VOLUME)[EXACT] == Fraction("0.03089988")
    assert line.amounts[VOLUME].apart == Fraction("0.00410012")
    assert line.money[EXACT] == Fraction("44.80")
    assert line.money_apart == Fraction("5.95")
    assert line.money_rules == (SELLER,)


def test_square_metres_of_sheets(tmp_path: Path) -> None:
    """A sheet of 1525 x 2500 is 3.8125 m², 3.81 to a hundredth: three are 11.4375, or 11.43 sheet by sheet. At 24 the
    square metre 11.4375 are 274.50."""
    line = the_line(measured(tmp_path, "    - {material: ply 18, count: 3, square metres: 11.43, amount: 274.50}\n"))
    assert line.by_rule(AREA) == {EXACT: Fraction("11.4375"), EACH: Fraction("11.43")}
    assert line.amounts[AREA].rules == (EACH,)
    assert line.money_rules == (EXACT,)
    assert line.sold_by == (AREA,)


def test_dressed_softwood_by_its_nominal_size(tmp_path: Path) -> None:
    """A 2x4 measures 1-1/2 x 3-1/2 in (38.1 x 88.9 mm, PS 20): of 3 m 0.01016127 m³ dressed; as 2 x 4 in
    (50.8 x 101.6 mm) 0.01548384."""
    line = the_line(measured(tmp_path, "    - {material: stud, length: 3000, cubic metres: 0.0155}\n"))
    assert line.by_rule(VOLUME)[EXACT] == Fraction("0.01016127")
    assert line.by_rule(VOLUME)[NOMINAL] == Fraction("0.01548384")
    assert line.amounts[VOLUME].rules == (NOMINAL,)


def test_sums_of_volume(tmp_path: Path) -> None:
    """187 x 3060 and 120 x 2000, 27 thick: 0.01544994 + 0.00648 = 0.02192994; rounded down 0.01458 + 0.00648 = 0.02106
    (120 x 2000 is whole already). The lines say 0.015 and 0.006, together 0.021; the sum 0.0211."""
    lines = (
        "    - {material: beech 27, width: 187, length: 3060, cubic metres: 0.015}\n"
        "    - {material: beech 27, width: 120, length: 2000, cubic metres: 0.006}\n"
    )
    found = measured(tmp_path, lines, "cubic metres: 0.0211").sums
    volume = found.of(VOLUME)
    assert volume.by_rule[EXACT] == Fraction("0.02192994")
    assert volume.by_rule[DOWN] == Fraction("0.02106")
    assert volume.seller is not None
    assert volume.seller.rules == (DOWN,)
    assert volume.seller.apart == Fraction("0.0211") - Fraction("0.02192994")
    assert found.lines_said == {VOLUME: Fraction("0.021")}
    assert measured(tmp_path, lines, "cubic metres: 0.021").sums.lines_said == {}


MIXED = """
    - {material: beech 27, width: 187, length: 3060, cubic metres: 0.015, amount: 22.40}
    - {material: ply 18, count: 2, square metres: 7.625, amount: 183.00}
    - {material: stud, length: 3000, board feet: 6.56}
"""


def test_the_sheet_tells_every_measure_with_its_unit(tmp_path: Path) -> None:
    """By hand: 2 x 4 in x 3 m (9.8425 ft) are 6.5617 bf; 7.625 m² at 24 are 183.00."""
    build = WOODS + "  b: {material: ply 18, size: 18 x 500 x 700, count: 1}\n"
    _, told, out = tallied(tmp_path, build, MIXED, "mm")
    words = next(line for line in told if line.startswith("The seller counts"))
    assert "The seller counts 6.56 bf: that is the exact measure, rounded" in words
    assert "The seller counts 0.0150 m³: that is the exact measure, rounded." in words
    assert "The seller counts 7.625 m²: that is the exact measure." in words
    rows = list(csv.DictReader((out / "tables" / "tally-receipt.csv").read_text("utf-8-sig").splitlines()))
    assert [(row["Exact"], row["Seller"]) for row in rows] == [
        ("0.0154 m³", "0.0150 m³"),
        ("7.625 m²", "7.625 m²"),
        ("6.56 bf", "6.56 bf"),
    ]


def test_lines_by_rules_of_their_own_are_told(tmp_path: Path) -> None:
    """187 x 3060 as 180 x 3000 is 0.01458 m³, exactly 0.01545; of two such boards one was counted so, one so."""
    lines = (
        "    - {material: beech 27, width: 187, length: 3060, cubic metres: 0.0146}\n"
        "    - {material: beech 27, width: 187, length: 3060, cubic metres: 0.0154}\n"
    )
    found = measured(tmp_path, lines).sums.of(VOLUME).seller
    assert found is not None
    assert (found.rules, found.odd, found.lines) == ((), (), 2)
    _, told, _ = tallied(tmp_path, WOODS, lines, "mm")
    assert any("no one rule explains it, but each line has one of its own: ask the seller" in words for words in told)


def test_a_thickness_that_is_the_materials_own_is_not_told_twice(tmp_path: Path) -> None:
    lines = (
        "    - {material: beech 27, thickness: 27, width: 187, length: 3060}\n"
        "    - {material: beech 27, thickness: 28, width: 187, length: 3060}\n"
    )
    source, receipt = tmp_path / "build.yaml", tmp_path / "receipt.yaml"
    tallied(tmp_path, WOODS, lines, "mm")
    assert source.exists() and receipt.exists()
    words = " ".join(page.extract_text() for page in PdfReader(tmp_path / "out" / "tally.pdf").pages)
    assert "bought 28 mm thick" in words
    assert "bought 27 mm thick" not in words


@pytest.mark.parametrize(
    ("column", "text", "amount", "step"),
    [
        ("cubic metres", "0.0585", "0.0585", "0.0001"),
        ("Cubic_metres", "0.058 m³", "0.058", "0.001"),
        ("square metres", "3.1 m2", "3.1", "0.1"),
    ],
)
def test_columns_of_a_table(tmp_path: Path, column: str, text: str, amount: str, step: str) -> None:
    measured(tmp_path, "    - {material: stud, length: 3000}\n")
    build, _, _ = check_build(str(tmp_path / "build.yaml"))
    assert build is not None
    path = tmp_path / "receipt.csv"
    path.write_text(f"material;width;length;{column}\nbeech 27;187;3060;{text.replace('.', ',')}\n", "utf-8")
    receipt, problems = read_receipt(read_given(str(path)), build)
    assert receipt is not None and not problems
    ((by, said),) = receipt.lines[0].said.items()
    assert by is (VOLUME if "ubic" in column else AREA)
    assert (said.amount, said.step) == (Fraction(amount), Fraction(step))


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("'0,0585'", "write 0.0585"),
        ("some", "write 0.0585"),
        ("-1", "write"),
        ("1/2", "write"),
        ("0", "write"),
        ("NaN", "write"),
        ("1e400", "write"),
    ],
)
def test_a_bad_volume_is_told(tmp_path: Path, text: str, right: str) -> None:
    measured(tmp_path, "    - {material: stud, length: 3000}\n")
    build, _, _ = check_build(str(tmp_path / "build.yaml"))
    assert build is not None
    path = tmp_path / "receipt.yaml"
    before = "receipt:\n  boards:\n    - {material: beech 27, width: 187, length: 3060, cubic metres: "
    path.write_text(f"{before}{text}}}\n", "utf-8")
    _, problems = read_receipt(read_given(str(path)), build)
    (problem,) = problems
    assert "is not a number of cubic metres" in problem.wrong
    assert right in problem.right
    assert (problem.at.line, problem.at.column) == (3, len(before.splitlines()[2]) + 1)
