"""What is bought, in words: boards and sheets each by their own measure, and nothing where the rack holds all."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.text import plain
from shopdocs.core.display import Display
from shopdocs.documents.shopping import _singular
from shopdocs.documents.yard.words import Measures, bought_text
from shopdocs.work.boards.supply import EXACT
from tests.work.boards_case import PLAIN_SHOP, plan_case, write_case

# A lath 4 x 20 out of 4/4, 48 long; half a sheet. A board of 6 x 48 is 6 · 48 / 144 = 2 board feet.
BUILD = """
materials:
  oak 4/4: {kind: hardwood}
  ply: {kind: sheet, thickness: 3/4, sheet: 48 x 96}
parts:
  a: {material: oak 4/4, size: 1 x 4 x 20, count: 1, mark: Q}
  b: {material: ply, size: 3/4 x 40 x 40, count: 1, mark: P}
"""
YARD = "\n  yard: [{material: oak 4/4, width: 6, length: 48}]"
RACK = (
    "\n  rack: [{mark: R1, material: oak 4/4, width: 6, length: 48}, {mark: R2, material: ply, width: 48, length: 96}]"
)


def words(folder: Path, more: str) -> str:
    _, shop, plan = plan_case(write_case(folder, BUILD, PLAIN_SHOP + more))
    measures = Measures.of(Display.of("in"), shop, plan.materials)
    return plain(bought_text(measures, EXACT, "all", plan.materials))


def test_boards_by_board_feet_and_sheets_by_their_number(tmp_path: Path) -> None:
    assert words(tmp_path, YARD) == "1 board, 2.00 bf and 1 sheet"


def test_nothing_is_bought_where_the_rack_holds_all(tmp_path: Path) -> None:
    assert words(tmp_path, RACK) == "nothing to buy"


@pytest.mark.parametrize(
    ("one", "several"),
    [("brass screw 4 × 35 mm", "brass screws 4 × 35 mm"), ("glass knob", "glass knobs"), ("box", "boxes")],
)
def test_more_of_one_thing_is_told_by_its_plural(one: str, several: str) -> None:
    """English plurals, by hand; "brass" and "glass" are none."""
    assert _singular(one) == one
    assert _singular(several) == one
