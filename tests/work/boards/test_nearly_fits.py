"""Boards that need not be bought because their pieces nearly fit elsewhere."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopdocs.blocks.text import plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.core.length import Length
from shopdocs.documents.yard.nearly import nearly_blocks
from shopdocs.model.stock import Defect
from shopdocs.work.boards.clear import clear_places
from shopdocs.work.boards.idle import idle_boards
from shopdocs.work.boards.near import Near, gained_pieces, spared_boards
from shopdocs.work.boards.plan import Effort
from shopdocs.work.boards.results import Area, MaterialPlan
from tests.documents.test_lumber_sheet import job_of
from tests.work.boards_case import apart, box, inches, plan_case, write_case


def only_near_fit(tmp_path: Path, build: str, shop: str) -> tuple[Near, str, MaterialPlan] | None:
    """The one piece that nearly fits elsewhere, the mark of the board it spares and the plan; None where none does."""
    _, made, plan = plan_case(write_case(tmp_path, build, shop))
    (oak,) = plan.materials
    found = spared_boards(oak, made)
    if not found:
        return None
    (spared,) = found
    (near,) = spared.pieces
    return near, spared.board.mark, oak


@pytest.mark.parametrize(
    ("long", "wide", "spared"),
    [
        # By hand: 2 x 3/4 in of ends off 96 in leave 94-1/2; a piece of 46-1/2 + 1 in, a kerf of 1/8 in, and 46-7/8 in
        # are left, 5/8 in less than wanted and within two thirds of the inch to mill off.
        ("46-1/2", "5", ("5/8", "0")),
        ("46-1/16", "5", None),  # both fit one board
        ("46-5/8", "5", None),  # 47-5/8 wanted, 46-3/4 left: 7/8 in short is more than two thirds
        ("30", "2-3/4", None),  # three fit one stretch of a board after another
        ("60", "2-15/16", ("0", "1/8")),  # 3-3/16 in twice and a kerf is 6-1/2 in; the board is 6-3/8 in wide
    ],
)
def test_a_board_is_spared_where_little_of_an_allowance_is_missing(
    tmp_path: Path, long: str, wide: str, spared: tuple[str, str] | None
) -> None:
    build = f"""
materials: {{oak 4/4: {{kind: hardwood}}}}
parts: {{a: {{material: oak 4/4, size: 3/4 x {wide} x {long}, count: 2}}}}
"""
    shop = """
  kerf: 1/8
  milling: {thickness: 0, width: 1/4, length: 1}
  end trim: 3/4
  keep offcuts: 2 x 12
  yard: [{material: oak 4/4, width: 6-3/8, length: 96}]
"""
    only = only_near_fit(tmp_path, build, shop)
    if spared is None or only is None:
        assert spared is None
        assert only is None
        return
    near, spared_mark, oak = only
    assert (near.long, near.wide) == (inches(spared[0]), inches(spared[1]))
    assert len(oak.bought) == 2
    assert {near.board, spared_mark} == {board.mark for board in oak.bought}


@pytest.mark.parametrize(
    ("defects", "spared"),  # 46-1/2 in finished, 47-1/2 rough, 5-1/4 wide; the board of the rack is 6 x 60
    [
        ("0 to 13", ("5/8", "0", "13", "0")),  # 59-7/8 - 13 = 46-7/8 is left behind the knot
        ("45 to 50", None),  # 44-7/8 and 9-7/8 in: neither is near
        ("0 to 13, 30 to 35 across 0 to 7/8", ("5/8", "1/8", "13", "7/8")),  # 5-1/8 in of width above the wane
    ],
)
def test_a_board_of_the_rack_with_defects_spares_one_too(
    tmp_path: Path, defects: str, spared: tuple[str, str, str, str] | None
) -> None:
    build = """
materials: {oak 4/4: {kind: hardwood}}
parts: {a: {material: oak 4/4, size: 3/4 x 5 x 46-1/2, count: 1}}
"""
    shop = f"""
  kerf: 1/8
  milling: {{thickness: 0, width: 1/4, length: 1}}
  end trim: 1/8
  yard: [{{material: oak 4/4, width: 6-3/8, length: 96}}]
  rack: [{{mark: R9, material: oak 4/4, width: 6, length: 60, defects: [{defects}]}}]
"""
    only = only_near_fit(tmp_path, build, shop)
    if spared is None or only is None:
        assert spared is None
        assert only is None
        return
    near, _, _ = only
    assert near.board == "R9"
    assert near.clear
    assert (near.place.x, near.place.y) == (inches(spared[2]), inches(spared[3]))
    assert near.long == inches(spared[0])
    assert near.wide == inches(spared[1])


@pytest.mark.thorough
@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.integers(0, 9), st.integers(1, 4), st.one_of(st.none(), st.tuples(st.integers(0, 4), st.integers(1, 3)))
        ),
        max_size=4,
    )
)
def test_clear_places_are_those_of_trying_every_rectangle(
    defects: list[tuple[int, int, tuple[int, int] | None]],
) -> None:
    """Against brute force on a grid: a rectangle of whole cells is clear where no cell is bad, and counts where it
    cannot grow."""
    long, wide = 10, 5
    made = [
        Defect(Length(x), Length(x + w), *((Length(y[0]), Length(y[0] + y[1])) if y is not None else ()))
        for x, w, y in defects
    ]
    bad = {
        (i, j)
        for x, w, y in defects
        for i in range(x, x + w)
        for j in (range(wide) if y is None else range(y[0], y[0] + y[1]))
    }
    spans = [(a, b) for a in range(long) for b in range(a + 1, long + 1)]
    rises = [(a, b) for a in range(wide) for b in range(a + 1, wide + 1)]
    clear = {(*x, *y) for x in spans for y in rises if not any((i, j) in bad for i in range(*x) for j in range(*y))}
    within = {
        c for c in clear for d in clear if c != d and d[0] <= c[0] and c[1] <= d[1] and d[2] <= c[2] and c[3] <= d[3]
    }
    found = clear_places(Area(Length(0), Length(0), Length(long), Length(wide)), made)
    corners = {(a.x.mm, (a.x + a.length).mm, a.y.mm, (a.y + a.width).mm) for a in found}
    assert corners == clear - within


SHORT_SHOP = """
  kerf: 1/8
  milling: {{thickness: 0, width: 1/4, length: 1}}
  end trim: {trim}
  keep offcuts: 1 x 6
  yard: [{{material: oak 4/4, width: {wide}, length: {long}}}]
"""


def test_several_pieces_share_what_is_left_of_one_board(tmp_path: Path) -> None:
    """By hand: rough 31 in, three of them and two kerfs are 93-1/4 in of 96; three boards give 2-3/4 in each. Of 92-1/2
    in two pieces and two kerfs leave 30-1/4, 3/4 in short of 31: more than two thirds of the inch. Of 92-3/4 in they
    leave 30-1/2, 1/2 in short: the two pieces of one board go on the two others."""
    build = """
materials: {oak 4/4: {kind: hardwood}}
parts: {a: {material: oak 4/4, size: 3/4 x 5 x 30, count: 6}}
"""
    for long, spared in (("92-1/2", 0), ("92-3/4", 1)):
        shop = SHORT_SHOP.format(trim="0", wide="5-1/4", long=long)
        _, made, plan = plan_case(write_case(tmp_path, build, shop))
        (oak,) = plan.materials
        assert len(oak.bought) == 3
        found = spared_boards(oak, made)
        assert len(found) == spared
        for each in found:  # its two pieces go on the two other boards
            assert [near.long for near in each.pieces] == [inches("1/2")] * 2
            assert len({near.board for near in each.pieces}) == 2


@pytest.mark.parametrize(
    ("rack", "board", "short"),
    [
        # A piece of 30 + 1 by 5 + 1/4 in goes where it gives up the least, on the smallest of several that are alike.
        ("{mark: R1, width: 6, length: 30-1/2}, {mark: R2, width: 6, length: 30-3/4}", "R2", ("1/4", "0")),
        ("{mark: R1, width: 6, length: 30-3/4}, {mark: R2, width: 6, length: 30-1/2}", "R1", ("1/4", "0")),
        ("{mark: R1, width: 8, length: 30-3/4}, {mark: R2, width: 6, length: 30-3/4}", "R2", ("1/4", "0")),
        # 1/8 in is half of what the width has to spare, 1/4 in a quarter of the inch in length
        ("{mark: R1, width: 5-1/8, length: 40}, {mark: R2, width: 6, length: 30-3/4}", "R2", ("1/4", "0")),
        ("{mark: R1, width: 5-1/8, length: 40}, {mark: R2, width: 6, length: 30-3/8}", "R1", ("0", "1/8")),  # 5/8 in
    ],
)
def test_a_piece_goes_where_least_of_its_allowance_is_missing(
    tmp_path: Path, rack: str, board: str, short: tuple[str, str]
) -> None:
    build = """
materials: {oak 4/4: {kind: hardwood}}
parts: {a: {material: oak 4/4, size: 3/4 x 5 x 30, count: 1}}
"""
    shop = SHORT_SHOP.format(trim="0", wide="5-1/4", long="96")
    shop += f"  rack: [{rack.replace('width', 'material: oak 4/4, width')}]\n"
    only = only_near_fit(tmp_path, build, shop)
    assert only is not None
    near, _, _ = only
    assert (near.board, near.long, near.wide) == (board, inches(short[0]), inches(short[1]))


@pytest.mark.parametrize(
    ("rack", "shorts", "second"),
    [
        # Two pegs of 17 + 1 by 5 + 1/4 in; a board of 5-1/8 in is 1/8 in too narrow for either. Of 40 in both have
        # their length; 18 + 1/8 + 18 is 36-1/8: of 35-5/8 in the second is 1/2 in short, of 35-1/8 both share the inch.
        ("40", ["0", "0"], "18-1/8"),
        ("35-5/8", ["0", "1/2"], "18-1/8"),
        ("35-1/8", ["1/2", "1/2"], "17-5/8"),
        ("34-7/8", ["2/3", "7/12"], "17-11/24"),  # 1-1/4 in together, and no more than two thirds of either inch
        ("34-3/4", None, ""),  # 1-3/8 in together is more than 2/3 + 2/3
    ],
)
def test_two_pieces_go_on_one_place(tmp_path: Path, rack: str, shorts: list[str] | None, second: str) -> None:
    build = """
materials: {oak 4/4: {kind: hardwood}}
parts:
  peg: {material: oak 4/4, size: 3/4 x 5 x 17, count: 2, mark: Q}
"""
    shop = SHORT_SHOP.format(trim="0", wide="5-1/4", long="96")
    shop += f"  rack: [{{mark: R9, material: oak 4/4, width: 5-1/8, length: {rack}}}]\n"
    _, made, plan = plan_case(write_case(tmp_path, build, shop))
    (oak,) = plan.materials
    found = spared_boards(oak, made)
    if shorts is None:
        assert not found
        return
    ((one, other),) = (spared.pieces for spared in found)
    assert (one.board, other.board) == ("R9", "R9")
    assert [near.wide for near in (one, other)] == [inches("1/8")] * 2
    assert [near.long for near in (one, other)] == [inches(short) for short in shorts]
    assert (one.rest, other.rest) == (False, True)
    assert other.place.x == inches(second)


def test_missing_pieces_that_nearly_fit_are_named_one_after_another(tmp_path: Path) -> None:
    """Two boards of 92-3/4 in give two of 31 in each, 62-1/8 and a kerf; 30-1/2 in are left of either, 1/2 in short."""
    build = """
materials: {oak 4/4: {kind: hardwood}}
parts: {a: {material: oak 4/4, size: 3/4 x 5 x 30, count: 6}}
"""
    shop = SHORT_SHOP.format(trim="0", wide="5-1/4", long="92-3/4").replace("}]", ", count: 2}]")
    path = write_case(tmp_path, build, shop)
    _, made, plan = plan_case(path)
    (oak,) = plan.materials
    nears = gained_pieces(oak, made, ())
    assert [(near.long, near.place.length) for near in nears] == [(inches("1/2"), inches("30-1/2"))] * 2
    assert {near.board for near in nears} == {board.mark for board in oak.boards}
    words = [plain(text) for block in walk(nearly_blocks(job_of(path))) for text in texts(block)]
    assert sum("short by ¹⁄₂ in" in each for each in words) == 2


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.integers(20, 60), st.integers(4, 16)), min_size=2, max_size=6), st.integers(60, 90))
def test_pieces_that_nearly_fit_lie_apart_on_what_is_left(pieces: list[tuple[int, int]], board: int) -> None:
    """Wherever a board is spared or a missing piece gained, the pieces, less what they are short of, lie on places that
    nothing else takes, a kerf apart, and lack at most two thirds of their allowances."""
    parts = "".join(
        f"  p{n}: {{material: oak 4/4, size: 3/4 x {wide}/4 x {length}, count: 2, mark: P{n}}}\n"
        for n, (length, wide) in enumerate(pieces)
    )
    build = f"\nmaterials: {{oak 4/4: {{kind: hardwood}}}}\nparts:\n{parts}"
    shop = SHORT_SHOP.format(trim="1/2", wide="4-1/2", long=board).replace("}]", ", count: 3}]")
    with TemporaryDirectory() as folder:
        _, made, plan = plan_case(write_case(Path(folder), build, shop), Effort(60))
    (oak,) = plan.materials
    moves = [spared.pieces for spared in spared_boards(oak, made)]
    gained = gained_pieces(oak, made, ())
    gone = {spared.board.mark for spared in spared_boards(oak, made)}
    for nears in ([near for pieces in moves for near in pieces], gained):
        laid: dict[str, list[Area]] = {}
        for near in nears:
            assert near.long <= (near.row.rough.length - near.row.joinery.length) * Fraction(2, 3)
            assert near.wide <= (near.row.rough.width - near.row.joinery.width) * Fraction(2, 3)
            length, width = near.row.rough.length - near.long, near.row.rough.width - near.wide
            assert length <= near.place.length and width <= near.place.width
            laid.setdefault(near.board, []).append(Area(near.place.x, near.place.y, length, width))
        for sawn in oak.boards:
            there = [box(piece.area) for piece in sawn.pieces] + [box(area) for area in laid.get(sawn.mark, [])]
            assert apart(there, made.kerf.mm)
            assert not (laid.get(sawn.mark) and sawn.mark in gone and nears is not gained)
            long, wide = sawn.board.length.mm, sawn.board.width.mm
            assert all(x0 >= 0 and y0 >= 0 and x1 <= long and y1 <= wide for x0, y0, x1, y1 in there)


LEFT_ALONE = """
materials: {elm 5/4: {kind: hardwood, price: 8 per bf}, ply: {kind: sheet, thickness: 1/2, sheet: 48 x 96}}
parts:
  rail: {material: elm 5/4, size: 7/8 x 3-1/2 x 30, count: 2}
  door: {material: elm 5/4, size: 7/8 x 5 x 24, count: 2, one board: yes, mark: D}
  shelf: {material: ply, size: 1/2 x 10 x 20, count: 1, turns: yes, mark: S}
"""


@pytest.mark.parametrize(
    ("board", "reason", "lengths"),
    # Rough sizes by hand, 1/4 in wider and 1 in longer: rails 3-3/4 x 31, doors 5-1/4 x 25; ends lose 1 in each.
    [
        ("width: 8, length: 26", "too short", ("25", "24")),
        ("width: 3-1/2, length: 80", "too narrow", ("3-3/4", "3-1/2")),
        ("width: 4, length: 30", "too small", ()),  # 28 in would do for a door, 4 in for a rail: no piece has both
        ("width: 8, length: 80, thickness: 1", "too thin", ("1-1/8", "1")),  # 7/8 in and 1/4 in for milling
        ("width: 8, length: 40, defects: [14 to 30]", "no stretch clear of its defects", ()),
        ("width: 5-1/4, length: 30", "must come from one board with others", ()),  # one door of two
        ("width: 3-3/4, length: 34", None, ()),  # gives a rail
    ],
)
def test_boards_that_give_no_piece_are_told_with_the_reason(
    tmp_path: Path, board: str, reason: str | None, lengths: tuple[str, ...]
) -> None:
    shop = f"""
  kerf: 1/8
  milling: {{thickness: 1/4, width: 1/4, length: 1}}
  end trim: 1
  yard:
    - {{material: elm 5/4, width: 3, length: 96}}
    - {{material: elm 5/4, width: 6, length: 96}}
    - {{material: ply}}
  rack: [{{mark: K1, material: elm 5/4, {board}}}]
"""
    build, made, plan = plan_case(write_case(tmp_path, LEFT_ALONE, shop))
    elm = plan.materials[0]
    rack, yard = [
        [idle for idle in idle_boards(elm, build, made) if bool(idle.board.mark) == there] for there in (True, False)
    ]
    assert [(idle.board.width, idle.reason[:10]) for idle in yard] == [(inches("3"), "too narrow")]
    assert not idle_boards(plan.materials[1], build, made)
    if reason is None:
        assert not rack
        return
    (idle,) = rack
    assert reason in idle.reason
    assert idle.lengths == tuple(map(inches, lengths))
    assert idle.useful == (reason.startswith("must"))


def test_a_board_of_the_rack_that_is_only_not_needed_has_no_reason(tmp_path: Path) -> None:
    build = (
        "materials: {elm 4/4: {kind: hardwood}}\nparts: {a: {material: elm 4/4, size: 3/4 x 3 x 20, count: 1, mark: C}}"
    )
    shop = """
  kerf: 1/8
  rack:
    - {mark: K1, material: elm 4/4, width: 5, length: 40}
    - {mark: K2, material: elm 4/4, width: 5, length: 60}
"""
    described, made, plan = plan_case(write_case(tmp_path, build, shop))
    (idle,) = idle_boards(plan.materials[0], described, made)
    assert {idle.board.mark, plan.materials[0].boards[0].mark} == {"K1", "K2"}
    assert (idle.reason, idle.useful) == ("", True)
