"""Cuts that free nothing are not made, and what is left is kept where it is of use."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopdocs.core.length import Length
from shopdocs.work.boards.plan import Effort
from shopdocs.work.boards.results import Area, SawCut
from shopdocs.work.boards.saw import needed_cuts
from tests.work.boards_case import box, inches, plan_case, saw_again, write_case


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


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.tuples(st.integers(8, 60), st.integers(4, 20)), min_size=1, max_size=6),
    st.lists(st.tuples(st.integers(0, 70), st.integers(1, 6), st.integers(0, 20), st.integers(2, 10)), max_size=3),
    st.sampled_from(["0", "3/4"]),
)
def test_boards_with_defects_are_sawn_up_cut_by_cut(
    pieces: list[tuple[int, int]], defects: list[tuple[int, int, int, int]], trim: str
) -> None:
    """Every cut goes through what is there, and leaves pieces and offcuts as they are drawn, clear of defects."""
    parts = "".join(
        f"  p{n}: {{material: oak 4/4, size: 3/4 x {wide}/4 x {long}, count: 2, mark: P{n}}}\n"
        for n, (long, wide) in enumerate(pieces)
    )
    bad = ", ".join(f"{x} to {x + w} across {y}/4 to {y + h}/4" for x, w, y, h in defects)
    rack = f"{{mark: K1, material: oak 4/4, width: 6-1/2, length: 78, defects: [{bad}]}}"
    shop = f"""
  kerf: 1/8
  milling: {{thickness: 0, width: 0, length: 0}}
  end trim: {trim}
  keep offcuts: 2 x 12
  yard: [{{material: oak 4/4, width: 6, length: 78}}]
  rack: [{rack}]
"""
    with TemporaryDirectory() as folder:
        build = f"\nmaterials: {{oak 4/4: {{kind: hardwood}}}}\nparts:\n{parts}"
        _, made, plan = plan_case(write_case(Path(folder), build, shop), Effort(60))
    for board in plan.materials[0].boards:
        there = saw_again(board, made.kerf)
        kept = [box(area) for area in (*(piece.area for piece in board.pieces), *board.offcuts)]
        assert set(kept) <= there
        for defect in board.board.defects:
            low, high = defect.low, defect.high
            assert low is not None and high is not None
            knot = (defect.start.mm, low.mm, defect.end.mm, high.mm)
            assert not any(a[0] < knot[2] and knot[0] < a[2] and a[1] < knot[3] and knot[1] < a[3] for a in kept)


def area(x: int, y: int, length: int, width: int) -> Area:
    return Area(Length(x), Length(y), Length(length), Length(width))


def sawn(*cuts: tuple[bool, int, Area]) -> list[SawCut]:
    return [SawCut(number, across, Length(at), over) for number, (across, at, over) in enumerate(cuts, 1)]


KERF = Length(3)
# A board 1003 x 150, ripped at 100, crosscut at 500, and each half ripped to its piece.
RIPPED = sawn(
    (False, 100, area(0, 0, 1003, 150)),
    (True, 500, area(0, 0, 1003, 100)),
    (False, 60, area(0, 0, 500, 100)),
    (False, 80, area(503, 0, 500, 100)),
)


def test_a_rip_that_nothing_lies_along_leaves_its_waste_on() -> None:
    """Pieces 60 and 80 wide: the rip at 100 frees neither, and without it the crosscut is 50 longer, where the rip was
    1003 long. The other rips take off 50 more waste, and are as long as before."""
    found = needed_cuts(RIPPED, [area(0, 0, 500, 60), area(503, 0, 500, 80)], KERF)
    assert list(found) == sawn(
        (True, 500, area(0, 0, 1003, 150)),
        (False, 60, area(0, 0, 500, 150)),
        (False, 80, area(503, 0, 500, 150)),
    )


def test_a_rip_that_a_piece_lies_along_is_made() -> None:
    """The second piece is 100 wide, and its edge is the rip; or an offcut beyond is worth keeping; or it is a sheet,
    whose trimmed edge one measures from."""
    three = RIPPED[:3]
    assert list(needed_cuts(three, [area(0, 0, 500, 60), area(503, 0, 500, 100)], KERF)) == three
    pieces = [area(0, 0, 500, 60), area(503, 0, 500, 80)]
    assert list(needed_cuts(RIPPED, [*pieces, area(0, 103, 1003, 47)], KERF)) == RIPPED
    assert list(needed_cuts(RIPPED, pieces, KERF, sheet=True)) == RIPPED


def test_waste_below_a_rip_stays_on_too() -> None:
    """The same board turned over: the waste lies from 0 to 47, the kerf to 50, and the pieces at the upper edge."""
    cuts = sawn(
        (False, 47, area(0, 0, 1003, 150)),
        (True, 500, area(0, 50, 1003, 100)),
        (False, 87, area(0, 50, 500, 100)),
        (False, 67, area(503, 50, 500, 100)),
    )
    found = needed_cuts(cuts, [area(0, 90, 500, 60), area(503, 70, 500, 80)], KERF)
    assert list(found) == sawn(
        (True, 500, area(0, 0, 1003, 150)),
        (False, 87, area(0, 0, 500, 150)),
        (False, 67, area(503, 0, 500, 150)),
    )
    along = [area(0, 90, 500, 60), area(503, 50, 500, 100)]
    assert list(needed_cuts(cuts[:3], along, KERF)) == cuts[:3]
