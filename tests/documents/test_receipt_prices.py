"""The prices of a receipt, line by line: the rate, what it makes by either measure, what the seller asks, and why."""

from __future__ import annotations

import csv
from pathlib import Path

from tests.work.boards.test_tally import tallied

BUILD = """
materials:
  oak 4/4: {kind: hardwood, price: 6 per bf}
  elm 4/4: {kind: hardwood}
  ply: {kind: sheet, thickness: 3/4, sheet: 48 x 96, price: 45 per sheet}
parts:
  a: {material: oak 4/4, size: 3/4 x 4 x 20, count: 1}
  b: {material: ply, size: 3/4 x 20 x 40, count: 1}
  c: {material: elm 4/4, size: 3/4 x 4 x 20, count: 1}
"""


def test_each_line_is_held_against_its_own_rate(tmp_path: Path) -> None:
    """By hand: 6-1/2 in x 8 ft of 4/4 are 4-1/3 bf, 26.00 at 6, and 4 bf, 24.00, by surface measure; two sheets are 90,
    however they are measured. Of a board without a rate, or without a price asked, nothing can be said."""
    boards = """
    - {material: oak 4/4, width: 6-1/2, length: 8 ft, amount: 24}
    - {material: oak 4/4, width: 6-1/2, length: 8 ft, amount: 25}
    - {material: oak 4/4, width: 6-1/2, length: 8 ft}
    - {material: elm 4/4, width: 6-1/2, length: 8 ft, amount: 30}
    - {material: ply, width: 48, length: 96, count: 2, amount: 90}
    - {material: ply, width: 48, length: 96, amount: 44}
"""
    _, _, out = tallied(tmp_path, BUILD, boards)
    head, *rows = csv.reader((out / "tables" / "tally-prices.csv").read_text("utf-8-sig").splitlines())
    kept = [
        k for k, name in enumerate(head) if name in ("Exact", "By surface", "Seller", "Off by", "The seller asks by")
    ]
    assert [[row[k] for k in kept] for row in rows] == [
        ["26.00", "24.00", "24.00", "-2.00", "surface measure"],
        ["26.00", "24.00", "25.00", "-1.00", "no rule here"],
        ["26.00", "24.00", "—", "—", "—"],
        ["—", "—", "30.00", "—", "—"],
        ["90.00", "—", "90.00", "0.00", "the rate"],
        ["45.00", "—", "44.00", "-1.00", "not the rate"],
    ]


def test_the_sums_are_those_of_each_rule_and_the_seller(tmp_path: Path) -> None:
    """By hand: two boards of 6-1/2 in x 8 ft of 4/4 are 8-2/3 bf, 52.00 at 6, and by surface measure 4 each, 8 bf and
    48.00. The seller counts 8 and asks 50: less than exact measure by 2/3 bf and by 2, and 2 more than by surface."""
    boards = "    - {material: oak 4/4, width: 6-1/2, length: 8 ft, count: 2}\n  board feet: 8\n  total: 50\n"
    _, said, out = tallied(tmp_path, BUILD, boards)
    _, *rows = csv.reader((out / "tables" / "tally-sums.csv").read_text("utf-8-sig").splitlines())
    told = {row[0]: row[1:9:2] for row in rows}  # beside each stands what it is exactly
    assert told == {
        "by exact measure": ["8.67", "-0.67", "52.00", "-2.00"],
        "by surface measure": ["8.00", "0.00", "48.00", "+2.00"],
        "by rounding each board up": told["by rounding each board up"],
        "the seller": ["8.00", "", "50.00", ""],
    }
    assert told["by rounding each board up"][0] == "10.00", "5 bf each"
    assert any("surface measure explains it" in line for line in said), said
