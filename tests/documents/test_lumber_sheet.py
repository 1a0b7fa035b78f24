"""The lumber sheet: its sums are those of its boards, every piece stands in a drawing, nothing runs off the paper."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pytest
from pypdf import PdfReader

from shopdocs.blocks.drawing import Drawing, Polygon, Words
from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Figure, Table, plain
from shopdocs.blocks.walk import figures, texts, walk
from shopdocs.core.display import Units
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Severity
from shopdocs.documents.appendix import appendix
from shopdocs.documents.how.rules import APPENDIX
from shopdocs.documents.job import Job, make_job
from shopdocs.documents.lumber import lumber_sheet
from shopdocs.documents.shopping import shopping_list
from shopdocs.documents.yard.board_drawings import board_drawings, board_scale, folds
from shopdocs.documents.yard.cut_words import saw_text
from shopdocs.page.compose import compose
from shopdocs.page.paper import paper
from shopdocs.page.typesetter import Typesetter
from shopdocs.pipeline import Request, check_build, render
from shopdocs.work.layout import lay_out
from tests.sample_jobs import BY_NAME, job_of, sample_job
from tests.values import replace
from tests.work.boards_case import ROOT, SAMPLES, write_case

# Strips, a narrow and a very long piece, a plan that leaves pieces out, a board from the rack with defects.
HOSTILE = """
materials:
  elm 8/4: {kind: hardwood, price: 11.25 per bf}
  ply: {kind: sheet, thickness: 1/2, sheet: 60 x 60}
parts:
  pole: {material: elm 8/4, size: 1-1/4 x 1-1/4 x 140, count: 3}
  lath: {material: elm 8/4, size: 1-1/2 x 3/4 x 11, count: 9, mark: Q}
  leaf: {material: elm 8/4, size: 1-1/2 x 21 x 30, count: 2, strips: 6, mark: F}
  beam: {material: elm 8/4, size: 1-1/2 x 5 x 195, count: 1, mark: Z}
  pane: {material: ply, size: 1/2 x 13 x 17, count: 14, turns: yes, mark: V}
"""
HOSTILE_SHOP = """
  kerf: 1/8
  milling: {thickness: 1/4, width: 1/4, length: 1}
  yard: [{material: elm 8/4, width: 9, length: 16 ft}]
  rack: [{mark: K1, material: elm 8/4, width: 5, length: 40, defects: [3 to 9 across 1 to 2]}]
"""


def cases(folder: Path) -> Iterator[Job]:
    for name in SAMPLES:
        yield job_of(ROOT / "sample_builds" / name / "build.yaml")
    yield job_of(write_case(folder, HOSTILE, HOSTILE_SHOP))


def table(document: Document, name: str) -> Table:
    return next(block for block in walk(document.blocks) if isinstance(block, Table) and block.name == name)


def named(document: Document, name: str) -> Figure:
    return next(figure for figure in figures(document.blocks) if figure.name == name)


def test_the_price_on_the_sheet_is_the_sum_of_the_rows(tmp_path: Path) -> None:
    for job in cases(tmp_path):
        sheet = lumber_sheet(job)
        rows = [
            figure for figure in figures(sheet.blocks) if figure.name.endswith(" · price") and "all" not in figure.name
        ]
        assert named(sheet, "all · price").value == sum(figure.value for figure in rows)
        shown = sum(Fraction(figure.shown) for figure in rows)
        assert Fraction(named(sheet, "all · price").shown.strip("$EUR ")) == shown  # the printed numbers add up too


def test_the_shopping_list_names_the_boards_of_the_lumber_sheet(tmp_path: Path) -> None:
    for job in cases(tmp_path):
        sheet, shopping = lumber_sheet(job), shopping_list(job)
        for plan in job.boards.materials:
            counts = [f.value for f in figures(shopping.blocks) if f.name == f"{plan.material.name} · boards"]
            counts += [f.value for f in figures(shopping.blocks) if f.name == f"{plan.material.name} · sheets"]
            assert len(plan.bought) in counts
        feet = [f for f in figures(shopping.blocks) if f.name.endswith(" to buy") and f.unit in ("bf", "m³")]
        boards = [f for f in figures(sheet.blocks) if f.name in ("all · to buy", "all · volume to buy")]
        assert sum(Fraction(f.shown) for f in feet) == sum(Fraction(f.shown) for f in boards)


def test_sums_are_those_of_the_figures_in_the_rows(tmp_path: Path) -> None:
    """By hand: 34 x 150 x 2505 mm are 0.0127755 m³, printed 0.0128; three of them 0.0384, though exactly they are
    0.0383. At 1000 a m³ one is 12.7755, asked 12.78; three are 38.34, though exactly 38.33. Blanks of 28 x 100 x 402
    mm sawn from 34 are 0.0013668 m³, printed 0.0014; those of ash as well: 0.0028, though exactly 0.0027."""
    build = """
materials:
  oak 34: {kind: hardwood, rough: 34 mm, price: 1000 per m3}
  ash 34: {kind: hardwood, rough: 34 mm, price: 1000 per m3}
parts:
  rail: {material: oak 34, size: 28 mm x 120 mm x 2300 mm, count: 3}
  post: {material: ash 34, size: 28 mm x 100 mm x 402 mm, count: 1, mark: P}
"""
    shop = """
  milling: {thickness: 2 mm, width: 0 mm, length: 0 mm}
  end trim: 0 mm
  yard:
    - {material: oak 34, width: 150 mm, length: 2505 mm}
    - {material: ash 34, width: 150 mm, length: 1000 mm}
"""
    sheet = lumber_sheet(job_of(write_case(tmp_path, build, shop)))
    assert [f.shown for f in figures(sheet.blocks) if f.name.startswith("oak") and f.name.endswith(" · volume")] == [
        "0.0128"
    ]
    assert named(sheet, "oak 34 · boards").shown == "0.0384"
    assert named(sheet, "oak 34 · B1 · each").shown == "12.78"
    assert named(sheet, "oak 34 · B1 · price").shown == "38.34"
    # 34 x 150 x 1000 mm are 0.0051 m³, and 5.10
    assert named(sheet, "all · volume to buy").shown == "0.0435"
    assert named(sheet, "all · price").shown.split(" ")[0].strip("$") == "43.44"
    for word in ("net", "rough"):
        rows = [named(sheet, f"{wood} 34 · {word}").shown for wood in ("oak", "ash")]
        assert Fraction(named(sheet, f"all · {word}").shown) == sum(map(Fraction, rows))


def test_every_piece_is_marked_in_a_drawing_or_told_as_left_out(tmp_path: Path) -> None:
    for job in cases(tmp_path):
        sheet = lumber_sheet(job)
        drawn = [
            shape.text
            for b in walk(sheet.blocks)
            if isinstance(b, Drawing)
            for shape in b.shapes
            if isinstance(shape, Words)
        ]
        marks = [text.split("  ")[0] for text in drawn]
        left = {mark for plan in job.boards.materials for out in plan.left_out for mark in out.marks}
        words = " ".join(plain(content) for block in walk(sheet.blocks) for content in texts(block))
        for part, piece in job.build.pieces():
            wanted = [piece.mark] if part.strips == 1 else [f"{piece.mark}{chr(97 + n)}" for n in range(part.strips)]
            if piece.mark not in left:
                for mark in wanted:  # in the drawing, or under it where the piece is too narrow for its mark
                    assert marks.count(mark) + words.count(f" {mark}, ") == 1, mark
        assert all(mark in words for mark in left)


def test_every_offcut_worth_keeping_has_its_size_on_the_sheet(tmp_path: Path) -> None:
    """In its drawing or in the words under it; every size is that of the layout."""
    told = 0
    for job in cases(tmp_path):
        for plan in job.boards.materials:
            for board, block in zip(plan.boards, board_drawings(plan, job.display, job.shop), strict=True):
                name = f"{board.mark} · offcut · "
                found = [(f.name.removeprefix(name), f.value) for f in figures((block,)) if f.name.startswith(name)]
                lengths, widths = ([v for what, v in found if what == side] for side in ("length", "width"))
                wanted = {(area.length.mm, area.width.mm) for area in board.offcuts}
                assert wanted == set(zip(lengths, widths, strict=True))
                assert len(lengths) >= len(board.offcuts)
                told += len(board.offcuts)
    assert told > 10


def test_drawn_pieces_are_as_large_as_they_are_sawn() -> None:
    """White rectangles of a drawing that is not folded have the rough sizes of its pieces and of the offcuts worth
    keeping, which have dashes within; every cut has its number."""
    job = job_of(ROOT / "sample_builds" / "threshold_bench" / "build.yaml")
    drawings = [block for block in walk(lumber_sheet(job).blocks) if isinstance(block, Drawing)]
    boards = [board for plan in job.boards.materials for board in plan.boards]
    assert len(drawings) == len(boards)
    for drawing, board in zip(drawings, boards, strict=True):
        boxes = [
            (s.points[2][0] - s.points[0][0], s.points[2][1] - s.points[0][1])
            for s in drawing.shapes
            if isinstance(s, Polygon) and s.fill == "paper" and s.stroke == "visible"
        ]
        areas = [*(piece.area for piece in board.pieces), *board.offcuts]
        assert sorted(boxes) == sorted((area.length, area.width) for area in areas)
        dashed = [s for s in drawing.shapes if isinstance(s, Polygon) and s.stroke == "hidden"]
        assert len(dashed) == len(board.offcuts)
        numbers = [shape.text for shape in drawing.shapes if isinstance(shape, Words) and shape.text.isdigit()]
        assert numbers == [str(n) for n in range(1, len(board.cuts) + 1)]


@pytest.mark.thorough
@pytest.mark.parametrize("sheet", ["letter", "a4"])
@pytest.mark.parametrize("turned", [False, True], ids=["own units", "other units"])
def test_the_sheet_fits_its_paper(tmp_path: Path, sheet: str, turned: bool) -> None:
    for job in cases(tmp_path):
        display = job.display.turned() if turned else job.display
        composed = compose((lumber_sheet(replace(job, display=display)),), job.imprint, paper(sheet))
        assert composed.notes == ()
        assert composed.missing == ()


def test_a_board_is_drawn_in_rows_that_end_at_cuts(tmp_path: Path) -> None:
    """What is kept lies whole in one row, and no row shows nothing but waste."""
    folded = 0
    for job in cases(tmp_path):
        for plan in job.boards.materials:
            for board in plan.boards:
                rows = folds(board, board_scale(board))
                assert rows is not None
                kept = [(area.x, area.x + area.length) for area in (*(p.area for p in board.pieces), *board.offcuts)]
                homes = [[i for i, (low, high) in enumerate(rows) if low <= a and b <= high] for a, b in kept]
                assert all(len(home) == 1 for home in homes)
                assert len(rows) == 1 or {home[0] for home in homes} == set(range(len(rows)))
                folded += len(rows) > 1
    assert folded


def test_rows_of_a_long_board_by_hand(tmp_path: Path) -> None:
    """Four pieces sawn 850 long with kerfs of 3 end at 850, 1703, 2556 and 3409. Drawn 1:10, a row of 176 mm of paper
    shows 1760 of a board of 4000: two pieces, two pieces, and the offcut of 588."""
    part = "{material: oak, size: 20 mm x 80 mm x 840 mm, count: 4}"
    build = f"materials: {{oak: {{kind: hardwood, rough: 27 mm}}}}\nparts: {{a: {part}}}"
    shop = """
  kerf: 3 mm
  milling: {thickness: 0, width: 5 mm, length: 10 mm}
  end trim: 0
  keep offcuts: 50 mm x 300 mm
  yard: [{material: oak, width: 85 mm, length: 4000 mm}]
"""
    (plan,) = job_of(write_case(tmp_path, build, shop)).boards.materials
    (board,) = plan.boards
    rows = folds(board, Fraction(1, 10))
    assert rows == [(ZERO, Length(1703)), (Length(1703), Length(3409)), (Length(3409), Length(4000))]
    assert folds(board, Fraction(1, 25)) == [(ZERO, Length(4000))]
    assert folds(board, Fraction(1, 4)) is None  # a piece is longer than a row of 704


def test_the_sheet_tells_what_nearly_fits_and_leaves_it_to_the_maker(tmp_path: Path) -> None:
    """By hand: 94-1/2 in between trimmed ends, less 47-1/2 and a kerf of 1/8, leave 46-7/8 in: 5/8 in too short."""
    part = "{material: oak 4/4, size: 3/4 x 5 x 46-1/2, count: 2}"
    build = f"materials: {{oak 4/4: {{kind: hardwood}}}}\nparts: {{a: {part}}}"
    shop = """
  kerf: 1/8
  milling: {thickness: 0, width: 1/4, length: 1}
  end trim: 3/4
  keep offcuts: 2 x 12
  yard: [{material: oak 4/4, width: 6, length: 96}]
"""
    sheet = lumber_sheet(job_of(write_case(tmp_path, build, shop)))
    words = " ".join(plain(content) for block in walk(sheet.blocks) for content in texts(block))
    assert "B2 can stay at the yard if A2, 5¹⁄₄ × 47¹⁄₂ rough, comes out of B1, 6 × 46⁷⁄₈ left" in words
    assert "short by ⁵⁄₈ in of the 1 in" in words


def test_a_piece_short_both_ways_on_a_board_with_defects(tmp_path: Path) -> None:
    """By hand: 60 in less 13 in of knot and 1/8 in of end trim are 46-7/8 in; 6 in less 7/8 in of wane are 5-1/8 in."""
    part = "{material: oak 4/4, size: 3/4 x 5 x 46-1/2, count: 1}"
    build = f"materials: {{oak 4/4: {{kind: hardwood}}}}\nparts: {{a: {part}}}"
    shop = """
  kerf: 1/8
  milling: {thickness: 0, width: 1/4, length: 1}
  end trim: 1/8
  yard: [{material: oak 4/4, width: 6-3/8, length: 96}]
  rack: [{mark: R9, material: oak 4/4, width: 6, length: 60, defects: [0 to 13, 30 to 35 across 0 to 7/8]}]
"""
    sheet = lumber_sheet(job_of(write_case(tmp_path, build, shop)))
    words = " ".join(plain(content) for block in walk(sheet.blocks) for content in texts(block))
    assert "comes out of R9, 5¹⁄₈ × 46⁷⁄₈ clear of defects, from 13 in on and ⁷⁄₈ in up: short by ⁵⁄₈ in" in words
    assert "of the 1 in to mill off its length and ¹⁄₈ in of the ¹⁄₄ in to mill off its width." in words


def test_a_cut_and_its_number_stay_on_one_line(tmp_path: Path) -> None:
    """Every line of a cut list that is broken to the paper's width begins with a whole cut."""
    ts, broken = Typesetter(), 0
    for job in cases(tmp_path):
        for plan in job.boards.materials:
            for board in plan.boards:
                words = plain(saw_text(board, job.display.alone(), job.shop))
                for line in ts.wrap(words, "regular", ts.style.quiet, 120.0)[1:]:
                    assert re.match(r"\d+(–\d+|,\u00a0\d+)?:\u00a0", line), line
                    broken += 1
    assert broken


@pytest.mark.parametrize(
    ("asked", "offered"), [(None, 100_000), (60, 100_000), (20_000, 200_000), (400_000, 1_000_000), (1_000_000, 0)]
)
def test_a_longer_search_than_the_one_made_is_offered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, asked: int | None, offered: int
) -> None:
    """Ten times what was asked for, 100,000 at least, and no more than the million that `--effort` takes; how many were
    gone through makes no difference."""
    monkeypatch.setattr(
        "shopdocs.work.boards.plan.lay_out",
        lambda job, rounds, *more, **others: lay_out(job, min(rounds, 60), *more, **others),
    )
    build = ROOT / "sample_builds" / "potting_table" / "build.yaml"
    render(Request(str(build), only=(APPENDIX,), effort=asked), str(tmp_path))
    words = " ".join(PdfReader(tmp_path / f"{APPENDIX}.pdf").pages[0].extract_text().split())
    assert (f"A longer search, of {offered:,} rounds, may find" in words) == bool(offered)
    assert ("A longer search" in words) == bool(offered)


@pytest.mark.parametrize(("there", "asked"), [(False, 1200), (False, 60), (True, 60)])
def test_a_long_search_without_its_compiler_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, there: bool, asked: int
) -> None:
    monkeypatch.setattr("shopdocs.work.boards.plan.compiler_installed", lambda: there)
    monkeypatch.setattr("shopdocs.work.layout.solve.compiler_installed", lambda: there)
    build = ROOT / "sample_builds" / "seed_tote" / "build.yaml"
    outcome = render(Request(str(build), only=(APPENDIX,), effort=asked), str(tmp_path))
    words = " ".join(PdfReader(tmp_path / f"{APPENDIX}.pdf").pages[0].extract_text().split())
    told = not there and asked > 1100
    assert ("pip install 'shopdocs[search]'" in words) is told
    assert [p.at.file for p in outcome.problems if p.code == "compiler"] == ["--effort"] * told


@pytest.mark.parametrize(("pieces", "told"), [(300, True), (301, False)])
def test_no_compiler_is_missed_where_none_would_be_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, pieces: int, told: bool
) -> None:
    """Above 300 pieces of a material the search stays in Python, however long it is asked to be."""
    monkeypatch.setattr("shopdocs.work.boards.plan.compiler_installed", lambda: False)
    monkeypatch.setattr(
        "shopdocs.work.boards.plan.lay_out", lambda job, rounds, *more, **others: lay_out(job, 1, *more, **others)
    )
    build = tmp_path / "build.yaml"
    wood = "build: {title: Rack, mark: R, units: in}\nmaterials: {oak 4/4: {kind: hardwood, species: white oak}}\n"
    build.write_text(f"{wood}parts: {{slat: {{material: oak 4/4, size: 3/4 x 2 x 12, count: {pieces}}}}}\n", "utf-8")
    outcome = render(Request(str(build), only=(APPENDIX,), effort=1200), str(tmp_path / "out"))
    assert [problem.code for problem in outcome.problems].count("compiler") == told, outcome.problems


def test_the_same_build_gives_the_same_sheet(tmp_path: Path) -> None:
    build = str(write_case(tmp_path, HOSTILE, HOSTILE_SHOP))
    outcomes = [render(Request(build, only=("lumber",), effort=50), str(tmp_path / name)) for name in ("one", "two")]
    assert [problem.code for problem in outcomes[0].problems].count("no-board") == 1
    first, second = ((tmp_path / name / "tables" / "lumber.csv").read_bytes() for name in ("one", "two"))
    assert first == second
    assert (tmp_path / "one" / "lumber.pdf").read_bytes() == (tmp_path / "two" / "lumber.pdf").read_bytes()


METRIC = """
build: {{title: Stool, mark: S, units: mm}}
materials: {{ash 27: {{kind: hardwood, {sold}}}}}
parts:
  leg: {{material: ash 27, size: 21 x 50 x 400, count: 4}}
"""


@pytest.mark.parametrize(
    ("sold", "shop", "feet", "metres"),
    [
        ("rough: 27, price: 2000 per m3", "", False, True),
        ("rough: 27, price: 9 per bf", "", True, False),  # paid by the board foot
        ("rough: 27, price: 2000 per m3", "tally: surface measure", False, True),  # paid by the cubic metre
        ("rough: 27", "tally: surface measure", True, False),  # counted by the board foot
        ("rough: 27", "", False, True),
        ("rough: 5/4, price: 9 per bf", "", True, False),  # sold by quarters
    ],
)
def test_one_measure_all_over_the_sheet(tmp_path: Path, sold: str, shop: str, feet: bool, metres: bool) -> None:
    """Sums and columns use the measures of the yard, and no other. Net volume by hand: 4 legs of 27 mm (as sawn) x 50 x
    400 mm are 0.00216 m³."""
    path, bench = tmp_path / "b.yaml", tmp_path / "s.yaml"
    path.write_text(METRIC.format(sold=sold), "utf-8")
    bench.write_text("shop: {kerf: 2 mm" + (f", {shop}" if shop else "") + "}\n", "utf-8")
    build, found, problems = check_build(str(path), str(bench))
    assert build is not None
    assert not [problem for problem in problems if problem.severity is Severity.ERROR]
    job = make_job(build, found, build.display, "", "letter-30")
    sheet, shopping = lumber_sheet(job), shopping_list(job)
    units = {figure.unit for figure in figures((*sheet.blocks, *shopping.blocks))}
    heads = {column.unit.split(" ")[0] for b in walk(sheet.blocks) if isinstance(b, Table) for column in b.columns}
    assert ("bf" in units, "m³" in units) == (feet, metres)
    assert ("bf" in heads, "m³" in heads) == (feet, metres)
    words = " ".join(plain(content) for block in walk(appendix(job).blocks) for content in texts(block))
    assert ("board foot" in words) == feet
    if metres:
        (net,) = (f.value for f in figures(sheet.blocks) if f.name == "ash 27 · net")
        assert net == Fraction(216, 100000)


TWO_MEASURES = """
build: {title: Stool, mark: S, units: mm}
materials:
  ash 27: {kind: hardwood, rough: 27, price: 2000 per m3}
  elm 8/4: {kind: hardwood, price: 9 per bf}
  pine: {kind: softwood, nominal: 2x4, price: 3 per m}
parts:
  leg: {material: ash 27, size: 21 x 50 x 400, count: 4}
  top: {material: elm 8/4, size: 45 x 100 x 400, count: 2}
  bar: {material: pine, size: 38 x 88.9 x 400, count: 2, mark: R}
"""


def test_a_metric_build_keeps_board_feet_and_cubic_metres_apart(tmp_path: Path) -> None:
    """By hand: the assumed board of 150 x 2500 mm is 0.010125 m³ of 27 mm; of 8/4 it holds 2 x 5.9055 x 98.4252 / 144 =
    8.0729 bf exactly, and 5.9055 x 8 / 12 = 3.94, so 4 ft² or 8 bf by surface measure. A 2x4 of 2400 mm is 2 x 4 x
    94.488 / 144 = 5.2493 bf, which softwood counts by either rule."""
    path, bench = tmp_path / "b.yaml", tmp_path / "s.yaml"
    path.write_text(TWO_MEASURES, "utf-8")
    bench.write_text("shop: {kerf: 2 mm}\n", "utf-8")
    build, shop, _ = check_build(str(path), str(bench))
    assert build is not None
    job = make_job(build, shop, build.display, "", "letter-30")
    sheet = lumber_sheet(job)
    amounts = table(sheet, "lumber")
    shown = {plain(row.cells[0].text): [plain(cell.text) for cell in row.cells[2:6]] for row in amounts.groups[0].rows}
    assert shown["ash 27"][2:] == ["0.0101 m³", "—"]
    assert shown["elm 8/4"][2:] == ["8.07 bf", "8"]
    assert shown["pine"][2:] == ["5.25 bf", "—"]
    assert shown["All"] == [""] * 4
    said = " ".join(plain(content) for block in walk(sheet.blocks) for content in texts(block))
    assert "To buy: 3 boards, 13.32 bf, 0.0101 m³" in said
    boards = {plain(row.cells[0].text): row for group in table(sheet, "boards").groups for row in group.rows}
    assert [plain(cell.text) for cell in boards["B1"].cells[4:7]] == ["—", "—", "0.0101"]
    assert [plain(cell.text) for cell in boards["B2"].cells[4:7]] == ["8.07", "4", "—"]


def test_softwood_counts_in_the_sum_by_surface_measure(tmp_path: Path) -> None:
    """By hand: 6 in x 8 ft of 8/4 is 4 ft², 8 bf; a 2x4 of 8 ft is 5.33 bf and no surface measure: 13.33 in all."""
    build = """
materials: {elm 8/4: {kind: hardwood}, pine: {kind: softwood, nominal: 2x4}}
parts:
  top: {material: elm 8/4, size: 1-3/4 x 4 x 20, count: 2}
  bar: {material: pine, size: 1-1/2 x 3-1/2 x 20, count: 2, mark: R}
"""
    sheet = lumber_sheet(job_of(write_case(tmp_path, build)))
    total = named(sheet, "all · by surface")
    assert (total.value, total.shown) == (Fraction("13.33"), "13.33")
    assert named(sheet, "elm 8/4 · by surface").shown == "8"


@pytest.mark.parametrize(("rack", "said"), [("40", None), ("30", "1.2"), ("", "2.4")])
def test_wood_of_the_rack_is_not_bought_again_in_random_sizes(tmp_path: Path, rack: str, said: str | None) -> None:
    """By hand: a piece is 5-1/4 x 27 in rough, 1 x 5.25 x 27 / 144 = 0.984 bf, with 20 % of waste 1.18. A board of
    11 x 40 in on the rack gives both pieces, one of 6 x 30 in gives one."""
    build = "materials: {elm 4/4: {kind: hardwood}}\nparts: {a: {material: elm 4/4, size: 3/4 x 5 x 26, count: 2}}"
    shop = "end trim: 0\n  waste: 20 %\n  milling: {thickness: 1/8, width: 1/4, length: 1}"
    width = "11" if rack == "40" else "6"
    shop += f"\n  rack: [{{mark: K1, material: elm 4/4, width: {width}, length: {rack}}}]" if rack else ""
    job = job_of(write_case(tmp_path, build, shop))
    for document in (appendix(job), shopping_list(job)):
        found = [f.shown for f in figures(document.blocks) if f.name == "elm 4/4 · with waste"]
        words = " ".join(plain(content) for block in walk(document.blocks) for content in texts(block))
        assert found == ([said] if said else [])
        assert ("random" in words) == bool(said)
        assert " ; " not in words


def test_sheets_of_an_inch_build_are_measured_in_square_feet(tmp_path: Path) -> None:
    """60 x 60 in are 25 square feet, 12 in to the foot."""
    job = job_of(write_case(tmp_path, HOSTILE, HOSTILE_SHOP))
    areas = [f for f in figures(lumber_sheet(job).blocks) if f.name.startswith("ply · ") and f.name.endswith(" · area")]
    assert areas
    assert all((figure.value, figure.unit, figure.shown) == (25, "ft²", "25.00") for figure in areas)


@pytest.mark.parametrize(
    ("name", "units", "area", "told"),
    [
        ("potting_table", "in", "m² each", True),  # oak by the cubic metre, and lengths in inches
        ("potting_table", "mm", "m² each", False),
        ("plate_rack", "mm", "ft² each", True),  # maple by the board foot, and lengths in millimetres
        ("plate_rack", "in", "ft² each", False),
    ],
)
def test_boards_and_sheets_are_measured_as_the_yard_sells_them(name: str, units: Units, area: str, told: bool) -> None:
    """No table has board feet beside square metres. By hand: a foot is 0.3048 m, a cubic foot 12 board feet: 12 over
    0.0283 are 424 to the cubic metre, which is told where the yard's measure is not that of the lengths."""
    job = sample_job(BY_NAME[name], units)
    (sheets,) = [b for b in walk(lumber_sheet(job).blocks) if isinstance(b, Table) and b.name == "sheets"]
    assert [column.unit for column in sheets.columns if column.title == "Area"] == [area]
    words = " ".join(plain(content) for block in walk(appendix(job).blocks) for content in texts(block))
    assert ("A cubic metre is 424 board feet." in words) is told


def test_softwood_has_no_columns_for_surface_measure() -> None:
    """The rules of surface measure are for rough hardwood (NHLA); dressed softwood is sold by its nominal size, and two
    columns of dashes tell nothing."""
    heads = {}
    for name in ("seed_tote", "plate_rack"):  # pine 1x8, and maple 8/4
        sheet = lumber_sheet(sample_job(BY_NAME[name], "in"))
        heads[name] = [c.title for b in walk(sheet.blocks) if isinstance(b, Table) for c in b.columns]
    assert not {"Surface", "By surface"} & set(heads["seed_tote"])
    assert {"Surface", "By surface"} <= set(heads["plate_rack"])
