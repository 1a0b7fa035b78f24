"""The title sheet's figures are those of the pieces in their places."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.text import Facts, Figure, Table, plain
from shopdocs.blocks.walk import figures, walk
from shopdocs.core.problems import Severity, has_errors
from shopdocs.documents.job import Job, make_job
from shopdocs.documents.title import title_sheet
from shopdocs.pipeline import check_build
from tests.sample_jobs import PLACED, SAMPLES, sample_job

BENCH, TABLE = ("threshold_bench", "potting_table")
INCH = Fraction("25.4")

STOOL = """
build: {{title: Stool, mark: ST, units: mm, overall: {overall}}}
materials: {{ash: {{kind: hardwood, rough: 40}}}}
parts:
  leg:
    material: ash
    thickness: 30
    width: 30
    length: 380
    runs: {{length: z, width: x}}
    pieces:
      A: {{x: 25, y: 40, z: 0}}
      B: {{x: 345, y: 40, z: 0}}
      C: {{x: 25, y: 230, z: 0}}
      D: {{x: 345, y: 230, z: 0}}
  seat:
    material: ash
    thickness: 20
    width: 300
    length: 400
    runs: {{length: x, width: y}}
    pieces:
      S: {{x: 0, y: 0, z: 380}}
{more}
hardware:
  seat screw:
    holes: [{{screw: 5 x 50 mm, as: clearance, depth: through}}]
    on:
      - {{piece: S, face: face, along: [40, length - 40], across: 55}}
      - {{piece: S, face: face, along: [40, length - 40], across: 245}}
"""
LOOSE_SHELF = "  shelf: {material: ash, size: 20 x 100 x 600, count: 1}"


def stool(folder: Path, overall: str, more: str = "") -> tuple[Job | None, list[str]]:
    path = folder / "build.yaml"
    path.write_text(STOOL.format(overall=overall, more=more))
    build, shop, problems = check_build(str(path))
    assert build is not None
    assert not has_errors(problem for problem in problems if problem.code != "overall")
    told = [str(problem) for problem in problems if problem.code == "overall" and problem.severity is Severity.ERROR]
    return (None if told else make_job(build, shop, build.display, "", "cut")), told


def sizes(job: Job) -> list[Fraction]:
    """Width, depth and height on the title sheet, in millimetres."""
    return [f.value for f in figures(title_sheet(job, ()).blocks) if f.name.startswith("overall")]


def sample(name: str) -> Job:
    folder = next(path for path in SAMPLES if path.name == name)
    return sample_job(folder, "in" if name == BENCH else "mm")


def cells(job: Job) -> dict[str, list[Fraction]]:
    """Underside and top of each row of key heights, in millimetres."""
    table = next(b for b in walk(title_sheet(job, ()).blocks) if isinstance(b, Table) and b.name == "heights")
    return {
        plain(row.cells[0].text): [run.value for cell in row.cells[1:] for run in cell.text if isinstance(run, Figure)]
        for row in table.groups[0].rows
    }


@pytest.mark.parametrize("overall", ["400 x 300 x 400", "400 x 400 x 300", "300 x 400 x 400"])
def test_a_size_in_any_order_is_taken_and_printed_as_the_pieces_have_it(tmp_path: Path, overall: str) -> None:
    """By hand: the seat is 400 along x and 300 along y, its top lies at 380 + 20."""
    job, told = stool(tmp_path, overall)
    assert not told
    assert job is not None
    assert sizes(job) == [400, 300, 400]


@pytest.mark.parametrize("overall", ["400 x 300 x 401", "401 x 300 x 400", "300 x 300 x 400"])
def test_a_size_that_the_pieces_contradict_is_an_error(tmp_path: Path, overall: str) -> None:
    _, told = stool(tmp_path, overall)
    assert len(told) == 1
    assert "the pieces in their places measure 400 mm x 300 mm x 400 mm, not" in told[0]


def test_a_piece_without_a_place_may_make_it_larger_but_never_smaller(tmp_path: Path) -> None:
    assert not stool(tmp_path, "400 x 300 x 650", LOOSE_SHELF)[1]
    assert stool(tmp_path, "390 x 300 x 650", LOOSE_SHELF)[1]


def test_heights_and_overhangs_by_hand() -> None:
    """From the dimensions in the builds: the bench is 18 high with a top of 7/8, its rails are 3-1/2, its stretcher is
    2 and level with them below; its legs stand 1 in from all edges. The table's legs stand 40 in from the sides, 30 in
    from front and rear; its long stretchers lie 10 over the end ones, which are at 150, and are 50 wide."""
    bench = cells(sample(BENCH))
    assert bench["top"] == [(18 - Fraction(7, 8)) * INCH, 18 * INCH]
    under = (18 - Fraction(7, 8) - Fraction(7, 2)) * INCH
    assert bench["long rail, short rail"] == [under, (18 - Fraction(7, 8)) * INCH]
    assert bench["stretcher"] == [under, under + 2 * INCH]
    told = [
        plain(value)
        for b in walk(title_sheet(sample(BENCH), ()).blocks)
        if isinstance(b, Facts)
        for name, value in b.pairs
        if name == "Top overhangs"
    ]
    assert told == ["1 in all round"]
    table = cells(sample(TABLE))
    assert table["top slat"] == [850, 880]
    assert table["long stretcher"] == [160, 210]
    assert table["end stretcher"] == [150, 150 + 70]
    assert table["shelf slat"] == [210, 210 + 18]
    assert not [name for name in table if "drawer" in name]  # of many heights those of what stands fast are told
    told = [
        plain(value)
        for b in walk(title_sheet(sample(TABLE), ()).blocks)
        if isinstance(b, Facts)
        for name, value in b.pairs
        if name == "Top overhangs"
    ]
    assert told == ["40 mm left and right; 30 mm front and rear"]


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_the_picture_grows_in_small_steps_and_never_wider(folder: Path) -> None:
    """It stands beside the facts, in 1.9 of 2.9 parts of the page: 110 mm and no more of the 170 or so that letter and
    A4 leave. Each size fits the height it says it has, and none is a fifth smaller than the one before it, or the page
    would stay empty."""
    picture = next(b for b in walk(title_sheet(sample_job(folder, "mm"), ()).blocks) if isinstance(b, Drawing))
    assert picture.scale is not None
    scales = [drawing.scale for drawing in (*picture.larger, picture) if drawing.scale is not None]
    assert scales == sorted(set(scales), reverse=True)
    wide, high = picture.width.float_mm(), picture.height.float_mm()
    for drawing in (*picture.larger, picture):
        assert drawing.scale is not None and drawing.tallest_mm is not None
        assert wide * drawing.scale <= 110
        assert high * drawing.scale <= drawing.tallest_mm <= 172
    for larger, smaller in pairwise(scales):
        assert smaller > larger * Fraction(4, 5)
    assert wide * scales[0] > 109 or high * scales[0] > 169  # as large as the page ever has room for


def test_what_is_finished_sooner_is_told_by_the_steps_of_the_list() -> None:
    """The rack is sanded and finished in places before each of its last three stages: they are steps of this list,
    which names no stages by their numbers."""
    job = sample_job(next(path for path in SAMPLES if path.name == "plate_rack"), "in")
    (order,) = [b for b in walk(title_sheet(job, ()).blocks) if isinstance(b, Table) and b.name == "build-order"]
    steps = [plain(row.cells[1].text) for group in order.groups for row in group.rows]
    stages = [number for number, step in enumerate(steps, 1) if re.match("Glue up|Final glue-up", step)]
    told = re.fullmatch(r"Finish with .*, some of it before steps (\d+)–(\d+)", steps[-1])
    assert told is not None
    assert [int(told[1]), int(told[2])] == [stages[2], stages[4]]


def test_the_order_of_the_work_does_not_leave_out_what_no_glue_holds() -> None:
    """The top of the bench rides on its buttons: after the last glue it is put on, and all of it is finished; but the
    edge of the stretcher that lies under it takes its coats before."""
    job = sample_job(next(path for path in SAMPLES if path.name == "threshold_bench"), "in")
    (order,) = [b for b in walk(title_sheet(job, ()).blocks) if isinstance(b, Table) and b.name == "build-order"]
    steps = [plain(row.cells[1].text) for group in order.groups for row in group.rows]
    assert steps[-3:-1] == ["Glue up Top panel: T", "Fit without glue: Top panel"]
    assert steps[-1] == f"Finish with hardwax oil, some of it before step {len(steps) - 1}"
    assert steps[:4] == [
        "Saw and mill the pieces",
        "Mark out and cut the joints and button groove",  # it is cut into the rails
        "Drill; T once glued up",
        "Chamfer and smooth the pieces; T once glued up",
    ]


@pytest.mark.parametrize(
    ("sample", "units", "told"),
    [
        ("threshold_bench", "in", "Drill; T once glued up"),  # its top is three strips until stage 4
        ("spice_cabinet", "mm", "Mark out and cut the joints and hinge recesses"),  # let into door and side
        ("sorting_table", "mm", "Mark out and cut the joints and button groove"),  # its tapers have patterns
        ("loft_stool", "mm", "Mark out and cut the joints; S once glued up"),
        ("plate_rack", "in", "Final glue-up: Left end"),  # a title that says so itself is not glued up twice
        ("spice_cabinet", "mm", "Fit without glue: BK, Door"),  # a piece and a stage's work: two things
        ("potting_table", "mm", "Fit without glue: Drawer DF1, Drawer DF2, TS1–TS6  SH1–SH12"),
    ],
)
def test_the_order_of_the_work_reads_as_it_is_spoken(sample: str, units: str, told: str) -> None:
    """By hand, from the stages of the samples."""
    job = sample_job(next(path for path in SAMPLES if path.name == sample), units)
    (order,) = [b for b in walk(title_sheet(job, ()).blocks) if isinstance(b, Table) and b.name == "build-order"]
    assert any(plain(row.cells[1].text).startswith(told) for group in order.groups for row in group.rows)


def test_nothing_is_turned_where_nothing_is_round() -> None:
    """The sorting table has tapers and arches, the stool turned legs and stretchers, by their builds."""
    for name, words in (("sorting_table", "Saw to shape"), ("loft_stool", "Saw and turn to shape")):
        table = next(
            b for b in walk(title_sheet(sample(name), ()).blocks) if isinstance(b, Table) and b.name == "build-order"
        )
        steps = [plain(row.cells[1].text) for row in table.groups[0].rows]
        assert [step for step in steps if "to shape" in step] == [f"{words} what has a pattern"]
