"""Cuts that free nothing are not made, and what is left is kept where it is of use."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.boards_case import box, inches, plan_case, saw_again, write_case


def test_a_rip_around_a_knot_that_frees_nothing_is_not_made(tmp_path: Path) -> None:
    """A knot from 30 to 33 in lies above 4-3/4 in; a piece of 4 in is under it. Crosscut to 45 in and ripped at 4 in it
    is free: two cuts. Ripped at 4-5/8 in first, under the knot, it takes three."""
    build = """
materials: {oak 4/4: {kind: hardwood}}
parts: {a: {material: oak 4/4, size: 3/4 x 4 x 45, count: 1}}
"""
    shop = """
  kerf: 1/8
  milling: {thickness: 0, width: 0, length: 0}
  end trim: 0
  keep offcuts: 8 x 40
  yard: [{material: oak 4/4, width: 9, length: 96}]
  rack: [{mark: K1, material: oak 4/4, width: 6, length: 50, defects: [30 to 33 across 4-3/4 to 6]}]
"""
    _, made, plan = plan_case(write_case(tmp_path, build, shop))
    (board,) = plan.materials[0].boards
    assert board.mark == "K1"
    assert [(cut.crosscut, cut.at) for cut in board.cuts] == [(True, inches("45")), (False, inches("4"))]
    assert {box(piece.area) for piece in board.pieces} <= saw_again(board, made.kerf)


@pytest.mark.parametrize(("size", "kept"), [("1/2 x 48 x 85-3/8", True), ("1/2 x 47 x 95", False)])
def test_what_is_left_of_a_sheet_is_kept_either_way(tmp_path: Path, size: str, kept: bool) -> None:
    """Of 96 in along the grain 10-1/2 in are left, 48 in high: less than 12 in, but 12 and 2 in the other way. Strips
    of an inch are not kept."""
    build = f"""
materials: {{ply: {{kind: sheet, thickness: 1/2, sheet: 48 x 96}}}}
parts: {{a: {{material: ply, size: {size}, count: 1}}}}
"""
    _, _, plan = plan_case(write_case(tmp_path, build))
    (board,) = plan.materials[0].boards
    sizes = [(offcut.length, offcut.width) for offcut in board.offcuts]
    assert sizes == ([(inches("10-1/2"), inches("48"))] if kept else [])
