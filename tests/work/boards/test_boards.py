"""Boards for a build: what is laid out can be sawn, nothing is counted twice, reasons are told."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopdocs.core.length import Length
from shopdocs.model.parts import MaterialKind
from shopdocs.pipeline import check_build
from shopdocs.work.boards import supply
from shopdocs.work.boards.plan import Effort
from shopdocs.work.boards.results import BoardsPlan, MaterialPlan
from shopdocs.work.boards.ticks import COARSE, Steps, common_measure, least_sum
from tests.sample_jobs import job_of
from tests.work.boards_case import apart, box, inches, plan_case, read_case, sample_plans, saw_again, write_case

MIXED = """
materials:
  oak 4/4: {kind: hardwood, species: white oak, price: 8 per bf}
  ply: {kind: sheet, thickness: 3/4, sheet: 48 x 96, price: 60 per sheet}
parts:
  rail: {material: oak 4/4, size: 3/4 x 3-1/3 x 31, count: 7}
  slat: {material: oak 4/4, size: 3/4 x 1-7/8 x 22-3/16, count: 9}
  top: {material: oak 4/4, size: 3/4 x 20 x 40, count: 1, strips: 4, one board: each, mark: W}
  side: {material: ply, size: 3/4 x 17 x 33-1/7, count: 5, turns: yes, mark: P}
  shelf: {material: ply, size: 3/4 x 11-1/2 x 30, count: 6, mark: H}
"""
MIXED_SHOP = """
  kerf: 2 mm
  milling: {thickness: 0, width: 1/4, length: 1}
  end trim: 3/4
  sheet trim: 1/4
  yard:
    - {material: oak 4/4, width: 8, length: 12 ft, count: 3}
    - {material: oak 4/4, width: 11, length: 8 ft}
  rack:
    - {mark: K1, material: oak 4/4, width: 6, length: 60, defects: [30 to 33, 45 to 50 across 2 to 4]}
"""


def every_plan(folder: Path) -> list[tuple[Length, Length, Length, MaterialPlan]]:
    """Kerf, end trim, sheet trim and plan of each material of the samples and of a mixed build."""
    cases = [*sample_plans(), plan_case(write_case(folder, MIXED, MIXED_SHOP))]
    return [(shop.kerf, shop.end_trim, shop.sheet_trim, plan) for _, shop, boards in cases for plan in boards.materials]


def test_cuts_made_one_by_one_leave_every_piece_and_offcut(tmp_path: Path) -> None:
    boards = 0
    for kerf, _, _, plan in every_plan(tmp_path):
        for board in plan.boards:
            there = saw_again(board, kerf)
            pieces = [box(piece.area) for piece in board.pieces]
            assert set(pieces) <= there
            assert {box(offcut) for offcut in board.offcuts} <= there
            assert apart([*pieces, *map(box, board.offcuts)], kerf.mm)
            boards += 1
    assert boards > 8


def test_every_piece_is_sawn_once_at_its_rough_size(tmp_path: Path) -> None:
    """Allowances are in the rough size already: what lies on the board is that size, not a larger one."""
    build, _, groups = read_case(write_case(tmp_path, MIXED, MIXED_SHOP))
    _, _, plan = plan_case(tmp_path / "build.yaml")
    found: Counter[tuple[str, int]] = Counter()
    for material in plan.materials:
        assert not material.left_out
        for board in material.boards:
            for piece in board.pieces:
                found[piece.mark, piece.strip] += 1
                rough = piece.row.rough
                sizes = (piece.area.length, piece.area.width)
                assert sizes == ((rough.width, rough.length) if piece.turned else (rough.length, rough.width))
                assert not piece.turned or piece.row.part.turns
    wanted = Counter(
        (piece.mark, strip)
        for part, piece in build.pieces()
        for strip in (range(1, part.strips + 1) if part.strips > 1 else (0,))
    )
    assert found == wanted
    top = next(row for group in groups for row in group.rows if row.part.name == "top")
    # By hand: 20 in wide from four strips is 5 in each and 1/4 in for jointing; 40 in and 1 in for the ends.
    assert (top.rough.width, top.rough.length) == (inches("5-1/4"), inches("41"))


def test_pieces_keep_clear_of_trimmed_ends_and_defects(tmp_path: Path) -> None:
    defects = 0
    for _, end, edge, plan in every_plan(tmp_path):
        sheet = plan.material.kind is MaterialKind.SHEET
        ends, edges = (edge, edge) if sheet else (end, Length(0))
        for board in plan.boards:
            whole = board.board
            for piece in board.pieces:
                x0, y0, x1, y1 = box(piece.area)
                assert ends.mm <= x0 < x1 <= (whole.length - ends).mm
                assert edges.mm <= y0 < y1 <= (whole.width - edges).mm
                for defect in whole.defects:
                    low, high = defect.low or Length(0), defect.high or whole.width
                    clear = x1 <= defect.start.mm or defect.end.mm <= x0 or y1 <= low.mm or high.mm <= y0
                    assert clear, f"{piece.name} lies on a defect of {board.mark}"
                    defects += 1
    assert defects


def test_solid_boards_are_crosscut_before_they_are_ripped(tmp_path: Path) -> None:
    """The order of a maker with hand tools (common practice, no source): no long rip through a whole board."""
    checked = 0
    for _, _, _, plan in every_plan(tmp_path):
        for board in plan.boards:
            if plan.material.kind is MaterialKind.SHEET or board.board.defects:
                continue
            rips = [cut.number for cut in board.cuts if not cut.crosscut]
            across = [cut.number for cut in board.cuts if cut.crosscut and cut.over.width == board.board.width]
            assert not rips or max(across, default=0) < min(rips)
            longest = max(piece.area.length for piece in board.pieces)
            assert all(cut.over.length <= longest for cut in board.cuts if not cut.crosscut)
            checked += bool(rips)
    assert checked


def test_costs_add_up_and_no_bound_is_above_its_cost(tmp_path: Path) -> None:
    for _, _, _, plan in every_plan(tmp_path):
        bought = [board.board for board in plan.bought]
        measure = [b.price if plan.in_money else b.square_metres for b in bought]
        assert plan.cost == sum(value for value in measure if value is not None)
        assert plan.bound <= plan.cost
        assert plan.gap >= 0
        if plan.material.rough is not None:
            # Board measure: thickness x width x length over 144 cubic inches, under 1 in counted as 1 in
            # (US Navy, Engineering Aid training manual).
            thick = max(plan.material.rough.inch, Fraction(1))
            assert plan.measured.exact == sum(thick * b.width.inch * b.length.inch / 144 for b in bought)
        pieces = sum(p.area.length.mm * p.area.width.mm for b in plan.boards for p in b.pieces)
        boards = sum(b.board.length.mm * b.board.width.mm for b in plan.boards)
        assert plan.used == Fraction(pieces) / boards


def test_whole_boards_cut_up_are_found_again(tmp_path: Path) -> None:
    """Pieces made by sawing two whole boards (kerf 1/8 in): two boards suffice, and fewer hold less wood than is
    wanted, so the cheapest plan is known without searching."""
    build = """
materials: {oak 4/4: {kind: hardwood, price: 6 per bf}}
parts:
  a: {material: oak 4/4, size: 1 x 6 x 40, count: 2}
  b: {material: oak 4/4, size: 1 x 2-15/16 x 55-7/8, count: 2}
  c: {material: oak 4/4, size: 1 x 2-15/16 x 55-7/8, count: 2}
"""
    shop = """
  kerf: 1/8
  milling: {thickness: 0, width: 0, length: 0}
  end trim: 0
  yard: [{material: oak 4/4, width: 6, length: 96}]
"""
    _, _, plan = plan_case(write_case(tmp_path, build, shop))
    (oak,) = plan.materials
    assert len(oak.boards) == 2
    assert oak.cost == oak.bound == 2 * 6 * Fraction(6 * 96, 144)


def test_the_same_input_gives_the_same_plan_and_more_effort_never_costs_more(tmp_path: Path) -> None:
    path = write_case(tmp_path, MIXED, MIXED_SHOP)

    def costs(plan: BoardsPlan) -> list[Fraction]:
        return [material.cost for material in plan.materials]

    again = [plan_case(path, Effort(200, 60.0))[2] for _ in range(2)]
    assert again[0] == again[1]
    first, more = plan_case(path, Effort(0))[2], plan_case(path, Effort(600, 60.0))[2]
    assert costs(first) >= costs(again[0]) >= costs(more)
    for one, other in ((first, again[0]), (again[0], more)):
        assert all(a >= b for a, b in zip(costs(one), costs(other), strict=True))


def test_the_rack_is_used_first_and_costs_nothing(tmp_path: Path) -> None:
    build = """
materials: {oak 4/4: {kind: hardwood, price: 6 per bf}}
parts: {a: {material: oak 4/4, size: 1 x 4 x 30, count: 3}}
"""
    shop = """
  kerf: 1/8
  milling: {thickness: 0, width: 0, length: 0}
  end trim: 0
  yard: [{material: Oak   4/4, width: 6, length: 96}]
  rack: [{mark: K1, material: oak 4/4, width: 4, length: 93}]
"""
    _, _, plan = plan_case(write_case(tmp_path, build, shop))
    assert [board.mark for board in plan.materials[0].boards] == ["K1"]
    assert plan.materials[0].cost == plan.materials[0].bound == 0
    assert plan.materials[0].price == 0


def test_pieces_of_one_board_stay_together(tmp_path: Path) -> None:
    _, _, plan = plan_case(write_case(tmp_path, MIXED, MIXED_SHOP))
    oak = plan.materials[0]
    strips = {board.mark: sum(piece.mark.startswith("W") for piece in board.pieces) for board in oak.boards}
    assert sorted(count for count in strips.values() if count) == [4]


def test_a_worthless_end_and_the_defect_behind_it_come_off_in_one_cut(tmp_path: Path) -> None:
    """Pith in the first 2 in of a board whose ends lose 3/4 in: one cut at 2 in takes both."""
    build = """
materials: {oak 4/4: {kind: hardwood}}
parts: {a: {material: oak 4/4, size: 3/4 x 5 x 40, count: 1}}
"""
    shop = """
  kerf: 1/8
  milling: {thickness: 0, width: 0, length: 0}
  end trim: 3/4
  rack: [{mark: K1, material: oak 4/4, width: 5, length: 50, defects: [0 to 2]}]
"""
    _, made, plan = plan_case(write_case(tmp_path, build, shop))
    (board,) = plan.materials[0].boards
    first, *others = board.cuts
    assert (first.crosscut, first.at, first.over.x) == (True, inches("2"), Length(0))
    assert all(cut.over.x > first.at for cut in others)
    assert {box(piece.area) for piece in board.pieces} <= saw_again(board, made.kerf)


@pytest.mark.parametrize(
    ("part", "shop", "reason", "key"),  # of two pieces, 6 x 96 in boards
    [
        ("{size: 1/2 x 4 x 97}", "", "too long: 97 in is sawn, the longest board gives 96 in", "size"),
        ("{size: 1/2 x 9 x 40}", "", "too wide: 9 in is sawn, the widest board gives 6 in", "size"),
        (
            "{thickness: 1/2, width: 9, length: 40, one board: yes}",
            "",
            "too wide: 9 in is sawn, the widest board gives 6 in",
            "width",
        ),
        ("{size: 1/2 x 5 x 60, one board: yes}", "", "no board holds all its pieces together", "one board"),
        ("{size: 1/2 x 5 x 60}", "limited", "the boards are not enough", "count"),
        ("{size: 1/2 x 5 x 60}", "thin", "5/8 in is needed, the thickest board has 9/16 in", "size"),
        ("{size: 1/2 x 5 x 60}", "trimmed", "the end trim leaves nothing of any board", "size"),
        ("{size: 1/2 x 5 x 60}", "knots", "no stretch clear of defects is large enough", "size"),
    ],
)
def test_the_reason_is_told_at_the_part(tmp_path: Path, part: str, shop: str, reason: str, key: str) -> None:
    from shopdocs.work.boards.reasons import left_out_problems

    yard = "yard: [{material: oak 4/4, width: 6, length: 96%s}]" % (", count: 1" if shop == "limited" else "")
    rack = {
        "thin": "rack: [{mark: K1, material: oak 4/4, thickness: 9/16, width: 6, length: 96}]",
        "knots": "rack: [{mark: K1, material: oak 4/4, width: 6, length: 96, defects: [30 to 60]}]",
    }.get(shop)
    if rack is not None:
        yard = rack + "\n  yard: [{material: oak 4/4, width: 6, length: 96, count: 0}]"
    trim = 48 if shop == "trimmed" else 0  # off both ends of 96
    lines = f"kerf: 1/8\n  milling: {{thickness: 1/8, width: 0, length: 0}}\n  end trim: {trim}\n  {yard}"
    build = f"materials: {{oak 4/4: {{kind: hardwood}}}}\nparts:\n  a: {part[:-1]}, material: oak 4/4, count: 2}}\n"
    path = write_case(tmp_path, build, lines)
    _, _, plan = plan_case(path)
    found = left_out_problems(plan)
    assert found, "the pieces have a place"
    assert reason in found[0].wrong
    line = path.read_text().splitlines()[found[0].at.line - 1]
    expected = {"count": "2}", "one board": "yes", "width": "9, length", "size": "1/2 x"}[key]
    assert line[found[0].at.column - 1 :].startswith(expected)


def test_a_thin_board_gives_the_thin_pieces(tmp_path: Path) -> None:
    build = """
materials: {oak 4/4: {kind: hardwood, price: 5 per bf}}
parts:
  thick: {material: oak 4/4, size: 3/4 x 5 x 40, count: 2}
  thin: {material: oak 4/4, size: 3/8 x 5 x 40, count: 2, mark: N}
"""
    shop = """
  kerf: 1/8
  milling: {thickness: 1/8, width: 0, length: 0}
  end trim: 0
  rack: [{mark: K1, material: oak 4/4, thickness: 5/8, width: 6, length: 90}]
  yard: [{material: oak 4/4, width: 6, length: 96}]
"""
    _, _, plan = plan_case(write_case(tmp_path, build, shop))
    by_board = {board.mark: {piece.mark for piece in board.pieces} for board in plan.materials[0].boards}
    assert by_board == {"K1": {"N1", "N2"}, "B1": {"T1", "T2"}}
    # By hand: the thick pieces need one 6 x 96 in board, 4 bf at 5 each; one board is also what any plan must buy.
    assert plan.materials[0].cost == 20
    assert 0 <= plan.materials[0].bound <= 20


def test_a_bound_over_boards_of_several_thicknesses_is_a_bound(tmp_path: Path) -> None:
    """Thin boards are filled first, whatever that costs elsewhere. All pieces on thick boards alone is a plan too: the
    bound must not be above its cost either."""
    build = """
materials: {oak 4/4: {kind: hardwood, price: 5 per bf}}
parts:
  thick: {material: oak 4/4, size: 3/4 x 3 x 40, count: 2}
  thin: {material: oak 4/4, size: 3/8 x 3 x 40, count: 2, mark: N}
"""
    shop = """
  kerf: 1/8
  milling: {thickness: 1/8, width: 0, length: 0}
  end trim: 0
  rack: [{mark: K1, material: oak 4/4, thickness: 5/8, width: 6-1/8, length: 40}]
  yard: [{material: oak 4/4, width: 6-1/8, length: 40}, {material: oak 4/4, width: 3, length: 40}]
"""
    _, _, plan = plan_case(write_case(tmp_path, build, shop))
    (oak,) = plan.materials
    one = Fraction(3 * 40, 144) * 5
    assert not oak.left_out
    assert oak.bound <= oak.cost <= 2 * one + Fraction(5, 100)


@pytest.mark.parametrize(
    ("material", "yard", "price"),
    [
        # By hand: 6 x 96 in of 5/4 is 5 bf exactly; 6-1/2 x 96 in is 4-1/3 ft² of surface, rounded to 4 (NHLA), 5 bf.
        ("oak 5/4: {kind: hardwood, price: 7.60 per bf}", "width: 6, length: 96", "38.00"),
        ("oak 5/4: {kind: hardwood, price: 7.60 per bf}", "width: 6-1/2, length: 96", "38.00"),
        (
            "oak 5/4: {kind: hardwood, price: 7.60 per bf}",
            "width: 6, length: 96, price: 31 per piece",
            "31.00",
        ),
        # 8 ft at 2.40 a foot; a square metre and a half of sheet at 10 a square metre; 0.025 x 0.2 x 2 m at 2000 a m³.
        ("pine: {kind: softwood, nominal: 1x6, price: 2.40 per ft}", "length: 8 ft", "19.20"),
        (
            "ply: {kind: sheet, thickness: 3/4, price: 10 per m2}",
            "width: 1000 mm, length: 1500 mm",
            "15.00",
        ),
        (
            "oak: {kind: hardwood, rough: 25 mm, price: 2000 per m3}",
            "width: 200 mm, length: 2 m",
            "20.00",
        ),
    ],
)
def test_a_board_costs_what_the_yard_asks(tmp_path: Path, material: str, yard: str, price: str) -> None:
    name = material.split(":")[0]
    build = f"materials:\n  {material}\nparts: {{a: {{material: {name}, size: 3/4 x 3 x 20, count: 1}}}}"
    rule = "tally: surface measure" if "6-1/2" in yard else "tally: exact"
    _, _, plan = plan_case(write_case(tmp_path, build, f"{rule}\n  yard: [{{material: {name}, {yard}}}]"))
    assert [board.board.price for board in plan.materials[0].boards] == [Fraction(price)]


def test_what_is_bought_beside_the_rack_is_assumed_too(tmp_path: Path) -> None:
    """The rack gives one of two pieces; nobody says what the yard has for the other."""
    build = """
materials: {oak 4/4: {kind: hardwood}}
parts: {a: {material: oak 4/4, size: 3/4 x 5 x 40, count: 2}}
"""
    rack = "rack: [{mark: K1, material: oak 4/4, width: 6, length: 44}]"
    (oak,) = plan_case(write_case(tmp_path, build, rack))[2].materials
    assert sorted(board.board.on_hand for board in oak.boards) == [False, True]
    assert oak.assumed
    yard = f"{rack}\n  yard: [{{material: oak 4/4, width: 6, length: 96}}]"
    (oak,) = plan_case(write_case(tmp_path, build, yard))[2].materials
    assert not oak.assumed


def test_assumed_boards_are_as_a_yard_has_them() -> None:
    """Hardwood by the half metre or two feet and by 50 mm or 2 in; dressed softwood by 300 mm or two feet (common
    practice, no source)."""
    for lengths, step in ((supply.ASSUMED_LENGTHS, 500), (supply.SOFTWOOD_LENGTHS, 300)):
        assert all(length.mm % step == 0 and 2000 < length.mm <= 5000 for length in lengths["mm"])
        assert all(length.inch % 24 == 0 and 96 <= length.inch <= 192 for length in lengths["in"])
    assert all(width.mm % 50 == 0 for width in supply.ASSUMED_WIDTHS["mm"])
    assert all(width.inch % 2 == 0 for width in supply.ASSUMED_WIDTHS["in"])


def test_without_a_yard_list_boards_are_assumed_and_said_to_be(tmp_path: Path) -> None:
    build = """
materials:
  oak 4/4: {kind: hardwood}
  pine: {kind: softwood, nominal: 1x8}
parts:
  a: {material: oak 4/4, size: 3/4 x 7 x 20, count: 1}
  b: {material: pine, size: 3/4 x 7-1/4 x 100, count: 1}
"""
    _, _, plan = plan_case(write_case(tmp_path, build, "end trim: 1"))
    oak, pine = plan.materials
    assert oak.assumed
    assert pine.assumed
    assert [(b.board.width, b.board.length) for b in oak.boards] == [(inches("8"), inches("96"))]
    # PS 20: a 1x8 measures 7-1/4 in; 101 in and trimmed ends ask for a 10 ft board.
    assert [(b.board.width, b.board.length) for b in pine.boards] == [(inches("7-1/4"), inches("120"))]


@pytest.mark.parametrize(
    ("shop", "wrong"),  # ¦ stands before the place that must be told
    [
        ("yard: [¦{material: oak 4/4, length: 96}]", "lacks 'width'"),
        ("yard: [{material: oak 4/4, width: ¦1/16, length: 96}]", "no wider than the saw cut"),
        ("yard: [{material: oak 4/4, width: 6, length: ¦-96}]", "not more than zero"),
        ("yard: [{material: oak 4/4, width: 6, length: 8 ¦rods}]", "'rods' is not a unit"),
        ("yard: [{BOARD, count: ¦-2}]", "out of range"),
        ("yard: [{BOARD, count: ¦1000000}]", "out of range"),
        ("rack: [{mark: A, BOARD, defects: [¦9 to 2]}]", "ends where it begins"),
        ("rack: [{mark: A, BOARD, defects: [¦100 to 101]}]", "beyond the board's length"),
        ("rack: [{mark: A, BOARD}, {mark: ¦a, BOARD}]", "is taken"),
        ("rack: [{mark: ¦P1, BOARD}]", "both called"),
        ("yard: [{BOARD, price: ¦5 per sheet}]", "is hardwood, and its price is per sheet"),
        ("yard: [{BOARD, price: 5 per bf}, ¦{BOARD}]", "has no price, others have"),
        ("yard: [{material: ¦oka 4/4, width: 6, length: 96}]", "no material of the build"),
    ],
)
def test_bad_boards_are_told_at_their_place(tmp_path: Path, shop: str, wrong: str) -> None:
    shop = shop.replace("BOARD", "material: oak 4/4, width: 6, length: 96")
    build = "materials: {oak 4/4: {kind: hardwood}}\nparts: {p: {material: oak 4/4, size: 3/4 x 3 x 20, count: 1}}"
    path = write_case(tmp_path, build, shop.replace("¦", ""))
    _, _, problems = check_build(str(path))
    (found,) = problems
    assert wrong in found.wrong
    assert (Path(found.at.file).name, found.at.line, found.at.column) == ("shop.yaml", 2, 3 + shop.index("¦"))


def test_pieces_of_two_materials_cannot_share_a_board(tmp_path: Path) -> None:
    build = """
materials: {oak 4/4: {kind: hardwood}, ash 4/4: {kind: hardwood}}
parts:
  a: {material: oak 4/4, size: 3/4 x 3 x 20, count: 1, one board: fronts}
  c: {material: ash 4/4, size: 3/4 x 3 x 20, count: 1, one board: fronts}
"""
    path = write_case(tmp_path, build)
    _, _, problems = check_build(str(path))
    (found,) = [problem for problem in problems if problem.code == "one-board"]
    line = path.read_text().splitlines()[found.at.line - 1]
    assert line[found.at.column - 1 :] == "fronts}"
    assert line.startswith("  c:")


# --- whole numbers ---------------------------------------------------------------------------------------------------

fractions = st.fractions(min_value=0, max_value=500, max_denominator=64)


@given(st.lists(fractions, min_size=1, max_size=5))
def test_the_common_measure_divides_all_and_is_the_largest(values: list[Fraction]) -> None:
    unit = common_measure(values)
    counts = [value / unit for value in values]
    assert all(count.denominator == 1 for count in counts)
    if any(counts):
        for prime in (2, 3, 5, 7, 11, 13):  # were they all multiples of a prime, a larger measure would do
            assert any(count % prime for count in counts)


@given(st.lists(fractions, min_size=1, max_size=4), st.fractions(min_value=Fraction(1, 10**9), max_value=1))
def test_a_step_too_fine_rounds_pieces_up_and_boards_down(values: list[Fraction], odd: Fraction) -> None:
    lengths = [Length(value) for value in (*values, odd)]
    steps = Steps.of(lengths)
    for length in lengths:
        assert steps.length(steps.down(length)) <= length <= steps.length(steps.up(length))
        assert steps.step == COARSE or steps.up(length) == steps.down(length)


@pytest.mark.thorough
@settings(max_examples=200)
@given(st.lists(st.integers(1, 40), min_size=1, max_size=3), st.integers(0, 60), st.integers(0, 60))
def test_the_least_sum_is_that_of_trying_all(parts: list[int], least: int, more: int) -> None:
    most = least + more
    ways = [range(most // part + 1) for part in parts]
    sums = {sum(n * part for n, part in zip(counts, parts, strict=True)) for counts in product(*ways)}
    within = [value for value in sums if least <= value <= most]
    found = least_sum(least, most, parts)
    assert found == (min(within) if within and least < most else least)


def test_each_board_has_its_price_in_cents_and_these_are_added_up(tmp_path: Path) -> None:
    # Boards of 5 x 50 in, 4/4: 250 / 144 board feet at 3.33 are 5.78125 each, asked 5.78; seven of them are 40.46, as
    # whoever adds up the bill finds (rounded once at the end they would be 40.47).
    (tmp_path / "shop.yaml").write_text(
        "shop: {units: in, kerf: 1/8, yard: [{material: ash 4/4, width: 5, length: 50, price: 3.33 per bf}]}"
    )
    (tmp_path / "build.yaml").write_text(
        "build: {title: Slats, mark: S, units: in}\n"
        "materials: {ash 4/4: {kind: hardwood, species: white ash}}\n"
        "parts: {slat: {material: ash 4/4, size: 3/4 x 4 x 45, count: 7}}\n",
        "utf-8",
    )
    (plan,) = job_of(tmp_path / "build.yaml").boards.materials
    assert [len(plan.bought), plan.price, plan.cost] == [7, Fraction("40.46"), Fraction("40.46")]
    assert plan.bound == plan.cost
