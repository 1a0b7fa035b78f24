"""The least board that would cure a tally: its exact size, and that it really holds what is missing."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.source.given import read_given
from shopdocs.source.receipts import read_receipt
from shopdocs.work.boards.cure import refit
from shopdocs.work.boards.least import Least
from shopdocs.work.boards.plan import Effort, Names, material_plan
from shopdocs.work.boards.receipts import measure
from shopdocs.work.boards.supply import make_board
from tests.work.boards.test_tally import refitted
from tests.work.boards_case import apart, box, inches, read_case, write_case

SHOP = """
  kerf: 1/8
  milling: {{thickness: 1/8, width: {wide}, length: {long}}}
  end trim: {trim}
"""
HAD = "    - {material: oak 4/4, width: 5, length: 30}\n"  # one board that holds one piece or none


def least_of(folder: Path, parts: str, wide: str = "0", long: str = "0", trim: str = "0", had: str = HAD):  # type: ignore[no-untyped-def]
    build = "\nmaterials: {oak 4/4: {kind: hardwood, price: 6 per bf}}\nparts:\n" + parts
    build, shop, groups, found = refitted(folder, had, SHOP.format(wide=wide, long=long, trim=trim), build)
    assert found.plan.left_out
    assert found.cure is not None
    return build, shop, groups, found


@pytest.mark.parametrize(
    ("parts", "settings", "least", "sold"),
    [
        # One of 40 in with 1/2 in to mill off at either end, 1/4 in off its width, and 3/4 in of each end lost:
        # 40 + 1 + 2 x 3/4 = 42-1/2 in by 5 + 1/4 in; in whole inches and feet 6 in x 4 ft.
        (
            "  a: {material: oak 4/4, size: 3/4 x 5 x 40, count: 1}\n",
            ("1/4", "1", "3/4"),
            ("5-1/4", "42-1/2"),
            ("6", "48"),
        ),
        # Two of 40 x 3: side by side 3 + 1/8 + 3 = 6-1/8 in by 40, sold 7 x 48 = 336 in²; in a row 3 x 80-1/8, sold
        # 3 x 84 = 252 in², which is cheaper.
        ("  a: {material: oak 4/4, size: 3/4 x 3 x 40, count: 2}\n", ("0", "0", "0"), ("3", "80-1/8"), ("3", "84")),
        # Two of 47-15/16 x 2-7/8: side by side 5-7/8 by 47-15/16, sold 6 x 48 = 288 in²; in a row they are 96 in long
        # and sold 3 x 96 = 288 in² at the same price; the row takes 2-7/8 x 96 = 276 in², the pair 281.6 in².
        (
            "  a: {material: oak 4/4, size: 3/4 x 2-7/8 x 47-15/16, count: 2}\n",
            ("0", "0", "0"),
            ("2-7/8", "96"),
            ("3", "96"),
        ),
        # One of 11-1/2 x 10 that may turn, 3/4 in of each end lost: along the board it takes 13 in, sold 10 x 24 = 240
        # in²; across it 10 + 1-1/2 = 11-1/2 in, sold 12 x 12 = 144 in².
        (
            "  a: {material: oak 4/4, size: 3/4 x 10 x 11-1/2, count: 1, turns: yes}\n",
            ("0", "0", "3/4"),
            ("11-1/2", "11-1/2"),
            ("12", "12"),
        ),
        # One of 40 x 4 and four of 20 x 1-15/16 beside it, two by two, 1-15/16 + 1/8 + 1-15/16 = 4 in wide:
        # 40 + 1/8 + 20 + 1/8 + 20 = 80-1/4 in long.
        (
            "  a: {material: oak 4/4, size: 3/4 x 4 x 40, count: 1}\n"
            "  b: {material: oak 4/4, size: 3/4 x 1-15/16 x 20, count: 4, mark: Q}\n",
            ("0", "0", "0"),
            ("4", "80-1/4"),
            ("4", "84"),
        ),
    ],
)
def test_the_least_board_by_hand(
    tmp_path: Path, parts: str, settings: tuple[str, ...], least: tuple[str, str], sold: tuple[str, str]
) -> None:
    had = "    - {material: oak 4/4, width: 1, length: 10}\n"  # that gives nothing
    _, _, _, found = least_of(tmp_path, parts, *settings, had)
    assert (found.cure.least.width, found.cure.least.length) == (inches(least[0]), inches(least[1]))
    board = found.cure.least.sold
    assert (board.width, board.length) == (inches(sold[0]), inches(sold[1]))
    assert board.price == Fraction(round(board.width.inch * board.length.inch / 144 * 6 * 100), 100)


MANY = (
    "  a: {material: oak 4/4, size: 3/4 x 3-1/2 x 17, count: 3}\n"
    "  b: {material: oak 4/4, size: 3/4 x 2-1/4 x 11, count: 4, mark: Q}\n"
    "  c: {material: oak 4/4, size: 3/4 x 5 x 9, count: 1, mark: P}\n"
)


def test_everything_fits_with_the_exact_board_and_not_with_less(tmp_path: Path) -> None:
    """Laid out again, with pieces a kerf apart; on a board that is smaller by little no layout is found."""
    build, shop, groups, found = least_of(tmp_path, MANY, "1/8", "1/2", "1/2")
    least: Least = found.cure.least
    material = build.material("oak 4/4")
    rows = [row for group in groups for row in group.rows]
    had = make_board(material, inches("5"), inches("30"), shop, count=1)

    def laid(width, length):  # type: ignore[no-untyped-def]
        one = make_board(material, width, length, shop, count=1)
        return material_plan(material, rows, (had, one), shop, Names(build), Effort(800))

    again = laid(least.width, least.length)
    assert not again.left_out
    for board in again.boards:
        assert apart((box(piece.area) for piece in board.pieces), shop.kerf.mm)
    assert laid(least.width, least.length - inches("1")).left_out
    assert laid(least.width - inches("1/8"), least.length).left_out


def test_a_group_is_held_together(tmp_path: Path) -> None:
    """A top of three strips from one board: three of 2 x 30 in a row would be 90-1/4 in, side by side 6-1/4 x 30."""
    parts = "  top: {material: oak 4/4, size: 3/4 x 6 x 30, count: 1, strips: 3, one board: yes}\n"
    _, _, _, found = least_of(tmp_path, parts)
    least = found.cure.least
    assert (least.width, least.length) in [(inches("6-1/4"), inches("30")), (inches("2"), inches("90-1/4"))]
    assert least.sold.price == min(Fraction(round(Fraction(w * n, 144) * 6 * 100), 100) for w, n in ((7, 36), (2, 96)))


@pytest.mark.parametrize("wide", ["5", "5-1/2"])
def test_softwood_keeps_its_width_and_sheets_are_cut_to_size(tmp_path: Path, wide: str) -> None:
    """A 1x6 is 5-1/2 in wide (PS 20): one of 5 x 50, or as wide as it is, takes 50 in, sold by two feet 6 ft. Of a
    sheet 20-1/4 x 30-1/2 with 1/2 in lost at each edge: 21-1/4 x 31-1/2, cut to whole inches 22 x 32."""
    build = (
        "\nmaterials:\n  pine 1x6: {kind: softwood, nominal: 1x6}\n"
        "  ply: {kind: sheet, thickness: 1/2, sheet: 48 x 96}\n"
        f"parts:\n  a: {{material: pine 1x6, size: 3/4 x {wide} x 50, count: 1}}\n"
        "  b: {material: ply, size: 1/2 x 20-1/4 x 30-1/2, count: 1, mark: Q}\n"
    )
    shop = SHOP.format(wide="0", long="0", trim="0") + "  sheet trim: 1/2\n"
    described, bench, groups = read_case(write_case(tmp_path, build, shop))
    path = tmp_path / "receipt.yaml"
    path.write_text(
        "receipt:\n  boards:\n    - {material: pine 1x6, length: 20}\n    - {material: ply, width: 10, length: 10}\n",
        "utf-8",
    )
    receipt, problems = read_receipt(read_given(str(path)), described)
    assert receipt is not None and not problems
    pine, ply = refit(described, bench, groups, measure(receipt, described, bench))
    assert pine.cure is not None and pine.cure.least is not None
    assert (pine.cure.least.length, pine.cure.least.sold.length) == (inches("50"), inches("72"))
    assert pine.cure.least.sold.width == inches("5-1/2")
    assert ply.cure is not None and ply.cure.least is not None
    assert {ply.cure.least.width, ply.cure.least.length} == {inches("21-1/4"), inches("31-1/2")}
    assert {ply.cure.least.sold.width, ply.cure.least.sold.length} == {inches("22"), inches("32")}
    (sheet,) = ply.cure.boards  # a whole one is what is sold for a price by the sheet
    assert (sheet.width, sheet.length) == (inches("48"), inches("96"))
