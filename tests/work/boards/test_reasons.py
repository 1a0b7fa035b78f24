"""Why pieces are on no board: rows of one size have one reason, and each has the one it has by itself."""

from __future__ import annotations

from pathlib import Path
from random import Random

from shopdocs.work.boards.reasons import CERTAIN, why_left_out
from shopdocs.work.boards.supply import rack_boards, yard_boards
from shopdocs.work.boards.wanted import items_of, left_out, on_no_board, thick_enough
from tests.work.boards_case import read_case, write_case

SHOP = """
  kerf: 1/8
  milling: {thickness: 3/16, width: 1/4, length: 1}
  end trim: 1
  yard:
  - {material: oak 4/4, width: 7, length: 60}
  - {material: oak 4/4, width: 10, length: 40}
  rack: [{mark: R1, material: oak 4/4, width: 6, length: 80, defects: [38 to 41]}]
"""


def test_a_row_has_the_reason_that_it_has_by_itself(tmp_path: Path) -> None:
    """Against each row asked for alone, on random parts of few sizes, of strips or whole, free to turn or not."""
    dice, keys = Random(11), set()
    parts = ["materials: {oak 4/4: {kind: hardwood, species: white oak}}", "parts:"]
    for number in range(60):
        thick, wide = dice.choice(["3/4", "5/8"]), dice.choice(["3", "5-1/2", "8", "12"])
        strips = dice.choice(["", "", ", strips: 2", ", strips: 2, one board: each"])
        long = dice.choice(["20", "45", "70", "90"])
        parts.append(f"  part {number}: {{material: oak 4/4, size: {thick} x {wide} x {long}, count: 2{strips}}}")
    build, shop, groups = read_case(write_case(tmp_path, "\n".join(parts) + "\n", SHOP))
    rows = [row for group in groups for row in group.rows]
    (material,) = build.materials
    boards = (*rack_boards(material, shop), *yard_boards(material, build, shop, rows))
    found = list(left_out(items_of(rows), boards, shop))
    assert len(found) == len(rows) == 60
    for left in found:
        alone = why_left_out(left.row, [board for board in boards if thick_enough(board, left.row, shop)], boards, shop)
        assert (left.reason, left.help, left.key, left.lengths) == (alone.wrong, alone.right, alone.key, alone.lengths)
        keys.add(left.key)
    assert keys >= {"length", "width"} and keys - {*CERTAIN}


def test_a_board_that_is_sold_out_gives_nothing(tmp_path: Path) -> None:
    """A part 8 wide is on no board once the only one wide enough is sold out."""
    parts = "materials: {oak 4/4: {kind: hardwood}}\nparts:\n  top: {material: oak 4/4, size: 3/4 x 8 x 20, count: 1}\n"
    for count, missed in ((0, ["width"]), (1, [])):
        shop = SHOP.replace("width: 10, length: 40", f"width: 10, length: 40, count: {count}")
        build, bench, groups = read_case(write_case(tmp_path, parts, shop))
        assert [left.key for left in on_no_board(build, bench, groups)] == missed
