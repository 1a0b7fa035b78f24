"""Holes that joints ask for: in the schedule, on templates or marked through their mate, and on the shopping list.

Expected values are worked out by hand from the builds' own dimensions, in the comments.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.drawing import CentreMark, Circle, FullScale, Leader, Line, Stroke, Words
from shopdocs.blocks.text import Bullets, Checklist, Paragraph, Table, Text, plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.core.length import Length
from shopdocs.documents.drawn.measures import leader_words
from shopdocs.documents.job import Job
from shopdocs.documents.records import record_pages
from shopdocs.documents.shopping import shopping_list
from shopdocs.documents.templates import templates
from shopdocs.facts.screws import screw_for
from shopdocs.model.joining import Face
from tests.drawn_sheets import sheet_of
from tests.sample_jobs import job_of

SAMPLES = Path(__file__).parents[3] / "sample_builds"


@pytest.fixture(scope="module")
def cabinet() -> Job:
    return job_of(SAMPLES / "spice_cabinet" / "build.yaml")


@pytest.fixture(scope="module")
def bench() -> Job:
    return job_of(SAMPLES / "threshold_bench" / "build.yaml")


def schedule(job: Job) -> dict[tuple[str, str], tuple[str, str, str]]:
    """Purpose, pieces and count by bit and depth."""
    table = next(b for b in templates(job).blocks if isinstance(b, Table))
    rows = [[plain(cell.text) for cell in row.cells] for group in table.groups for row in group.rows]
    return {(row[0], row[1]): (row[2], row[3], row[4]) for row in rows}


def sheets(job: Job, mark: str) -> list[FullScale]:
    return [b for b in templates(job).blocks if isinstance(b, FullScale) and b.anchor.startswith(f"template-{mark}-")]


def all_words(job: Job) -> str:
    return " ".join(plain(content) for block in walk(templates(job).blocks) for content in texts(block))


def holes_told(job: Job, title: str) -> list[list[str]]:
    page = next(page for page in record_pages(job) if page.title == title)
    table = next(b for b in walk(page.blocks) if isinstance(b, Table) and b.name.startswith("holes-"))
    return [[plain(cell.text) for cell in row.cells] for group in table.groups for row in group.rows]


# Screwed butts.


def test_screws_of_a_butt_joint_stand_in_the_schedule(cabinet: Job) -> None:
    """Two screws at either end of the rail: 4 clearance holes in the sides (one more of that bit is the knob's), 4
    pilots in its ends, 40 less the side's 12 deep."""
    purpose, where, count = schedule(cabinet)["Ø 4.5 mm", "through"]
    assert "hanging rail: clearance" in purpose
    assert (where, count) == ("L  R  DR from the face side", "5")
    purpose, where, count = schedule(cabinet)["Ø 3 mm", "28 mm"]
    assert (purpose, where, count) == ("hanging rail: pilot", "HR from end A and end B", "4")


def test_clearance_holes_have_templates_and_pilots_are_marked_through_them(cabinet: Job) -> None:
    """The rail's upper edge is at z 548, it is 60 high: screws a quarter of it from its edges, at z 533 and 503; the
    sides' end B is at 560: 27 and 57 from it. The rail lies from y 138 to 158, its middle at 148, the sides' face edge
    at y 24: 124 from it, which is 16 from the far edge of a side 140 wide, the nearer of the two."""
    for mark in ("L", "R"):
        block = next(b for b in sheets(cabinet, mark) if b.anchor.endswith("-face"))
        told = " ".join(block.facts)
        assert "57, 27 mm from end B, 16 mm from far edge" in told
    assert {b.anchor for b in sheets(cabinet, "HR")} == {"template-HR-face"}
    told = all_words(cabinet)
    assert "the pilot holes in HR have no template" in told
    assert "mark them through the holes in L and R" in told


def test_records_say_the_whole_hole(cabinet: Job) -> None:
    """The slot with its length, the pilot with its depth: 40 - 12."""
    told = [row[-1] for row in holes_told(cabinet, "SC-HR")]
    assert "2 × Ø 5.5 mm, through, clearance, for 5 × 60 mm, slotted 12 mm long along" in told
    assert "2 × Ø 3 mm, 28 mm deep, pilot, marked through L" in told
    assert "Ø 5.5 mm, through, clearance, for 5 × 60 mm, slotted 12 mm long across" in {
        row[-1] for row in holes_told(cabinet, "SC-BK")
    }


def test_a_countersink_stands_on_the_record() -> None:
    """5 mm screws: a head of twice the diameter (DIN 7997, as the screw tables say)."""
    job = job_of(SAMPLES / "potting_table" / "build.yaml")
    told = holes_told(job, "PT-TS1")
    assert all("countersunk 90° to Ø 10 mm" in row[-1] for row in told)


def test_screws_and_dowels_are_on_the_shopping_list(cabinet: Job) -> None:
    """2 screws at each of 2 meetings; a 4 slides through 4.5, a 4.5 does not."""
    lists = [b for b in walk(shopping_list(cabinet).blocks) if isinstance(b, Checklist)]
    steps = {plain(step.text): plain(step.detail) for block in lists for step in block.steps}
    assert "clearance hole Ø 4.5 mm, pilot Ø 3 mm" in steps["4 × screw 4 × 40 mm"]


@pytest.mark.parametrize(
    ("hole", "screw"),
    [
        # common practice, no source: a metric wood screw needs two tenths of a millimetre
        (Length("3.3"), Length(3)),
        (Length("4.5"), Length(4)),
        (Length("4"), Length("3.5")),
        (Length("5.5"), Length(5)),
        (Length(1), None),
        # ASME B18.6.1: shanks of #8, #10 and #12 are 0.164, 0.190 and 0.216 in, each + 0.004 at most; 3/16 is 0.1875
        (Length.inches("3/16"), 8),
        (Length.inches("7/32"), 10),
    ],
)
def test_the_screw_that_passes_a_hole(hole: Length, screw: object) -> None:
    assert screw_for(hole) == screw


BUTT = """
build: {title: Trial, mark: T, units: mm}
materials: {ash: {kind: hardwood, rough: 40}}
parts:
  rail:
    material: ash
    thickness: 20
    width: 80
    runs: {length: x, width: y}
    pieces: {R: {x: 30 to 430, y: 0, z: 0}}
  post:
    material: ash
    thickness: 30
    width: 80
    length: 300
    runs: {length: z, width: y}
    pieces: {P: {x: 0, y: 0, z: 0}}
joints:
  corner: KIND
"""


def butt(kind: str, folder: Path) -> Job:
    path = folder / "b.yaml"
    path.write_text(BUTT.replace("KIND", kind), "utf-8")
    return job_of(path)


def test_dowel_holes_have_templates_on_both_pieces(tmp_path: Path) -> None:
    """Two dowels over the width of 80: at a quarter and three quarters of it, 20 and 60; in the middle of 20; each 16
    deep. On the post they lie across from the rail's end at z 0: 10 from its end A."""
    job = butt("{kind: dowels, from: rail, into: post, count: 2, thickness: 8, length: 30, depth: 16}", tmp_path)
    assert schedule(job)["Ø 8 mm", "16 mm"][1:] == ("P from the back face; R from end A", "4")
    (end,), (post,) = sheets(job, "R"), sheets(job, "P")
    assert "20, 60 mm from face edge, 10 mm from face side" in " ".join(end.facts)
    told = " ".join(post.facts)
    assert "10 mm from end A, 20 mm from face edge" in told
    assert "10 mm from end A, 60 mm from face edge" in told


def test_holes_that_the_build_does_not_size_are_said_to_be_missing(tmp_path: Path) -> None:
    job = butt("{kind: screwed butt, from: rail, into: post, count: 2, length: 60, width: 3}", tmp_path)
    told = " ".join(plain(b.text) for b in walk(templates(job).blocks) if isinstance(b, Paragraph))
    assert "the build gives no clearance hole" in told
    # without a hole to mark it through, the pilot is measured: it has a template
    assert [b.anchor for b in sheets(job, "R")] == ["template-R-A"]


@pytest.mark.parametrize(
    ("sizes", "said"),
    [
        ("thickness: 5, width: 3", "Corner: its holes are not known: its pieces have no places in this build."),
        ("width: 3", "Corner: the build gives no clearance hole; bore for the screw in hand."),
        ("thickness: 5", "Corner: the build gives no pilot hole; bore for the screw in hand."),
        ("length: 60", "Corner: the build gives no clearance and no pilot hole; bore for the screw in hand."),
    ],
)
def test_screws_between_pieces_without_places_are_told(tmp_path: Path, sizes: str, said: str) -> None:
    """Nobody knows where on its piece such a hole lies, so no template has it; the sheet says so and what to do."""
    path = tmp_path / "b.yaml"
    path.write_text(LOOSE.replace("SIZES", sizes), "utf-8")
    told = " ".join(plain(line) for b in walk(templates(job_of(path)).blocks) for line in _lines(b))
    assert said in told
    assert told.count("Corner:") == 1


def _lines(block: object) -> tuple[Text, ...]:
    if isinstance(block, Bullets):
        return block.items
    return (block.text,) if isinstance(block, Paragraph) else ()


# A hole of its own, so that there are templates at all.
LOOSE = """
build: {title: Loose, mark: L, units: mm}
materials: {ash: {kind: hardwood, rough: 40}}
parts:
  rail: {material: ash, size: 20 x 80 x 400, pieces: [R]}
  post: {material: ash, size: 30 x 80 x 300, pieces: [P]}
joints:
  corner: {kind: screwed butt, pieces: [R into P], count: 2, SIZES}
hardware:
  peg: {holes: [{bit: 8, depth: 12}], on: [{piece: P, face: face, along: 100, across: 40}]}
"""


# Holes from the back.


def test_holes_in_the_back_face_are_seen_from_there(bench: Job) -> None:
    """The back face is drawn, its six pilots open; only there."""
    sheet = sheet_of(bench, "T")
    assert list(sheet.views.long) == [Face.BACK]
    marks = [shape for shape in sheet.shapes if isinstance(shape, CentreMark)]
    assert len(marks) == 6 and not any(mark.hidden for mark in marks)
    assert {shape.stroke for shape in sheet.shapes if isinstance(shape, Circle)} == {Stroke.VISIBLE}
    (note,) = (shape for shape in sheet.shapes if isinstance(shape, Leader))
    assert note.text == "6 × Ø ¹⁄₈ in, ⁵⁄₈ deep"
    assert schedule(bench)["Ø ¹⁄₈ in", "⁵⁄₈ in"][1] == "T from the back face"
    told = holes_told(bench, "TB-T")
    assert {row[0] for row in told} == {"top button, from the back face"}
    assert sum(int(row[-1].split(" × Ø")[0]) for row in told) == 6


def test_holes_one_in_the_other_share_a_leader(bench: Job) -> None:
    """A recess and the pilot in its middle, one below each leg."""
    notes = [shape.text for shape in sheet_of(bench, "FL").shapes if isinstance(shape, Leader)]
    assert [note for note in notes if "Ø" in note] == ["Ø ⁵⁄₈ in, ¹⁄₁₆ deep, in it Ø ⁷⁄₆₄ in, ¹⁄₂ deep"]


# One template for several places.


BOARDS = """
build: {title: Boards, mark: B, units: in}
materials: {ash: {kind: hardwood, rough: 5/4}}
parts: {board: {material: ash, size: 7/8 x 5 x 44, pieces: [T1, T3]}}
hardware:
  button:
    holes: [{screw: '#8 x 1', as: pilot, depth: 5/8}]
    on:
      - {piece: T1, face: back, along: [6, length / 2, length - 6], across: 2-3/4}
      - {piece: T3, face: back, along: [6, length / 2, length - 6], across: width - 2-3/4}
"""


def test_the_same_holes_at_several_lines_have_one_template(tmp_path: Path) -> None:
    """Buttons 6, 22 and 44 - 6 in along a board of 44 in: 6 and 22 in from A and 6 in from B."""
    (tmp_path / "build.yaml").write_text(BOARDS)
    boards = job_of(tmp_path / "build.yaml")
    for mark in ("T1", "T3"):
        (block,) = sheets(boards, mark)
        told = "Square lines across the face 6 in, 22 in from end A and 6 in from end B; lay INDEX on each."
        assert told in block.facts
        words = [shape.text for shape in block.drawing.shapes if isinstance(shape, Words)]
        assert "INDEX 6 in, 22 in from A; 6 in from B" in " ".join(words)
        assert "to end B →" in words


WIDE = BOARDS.replace("7/8 x 5 x 44, pieces: [T1, T3]", "7/8 x 15 x 44, pieces: [T1]").split("      - {piece: T3")[0]


@pytest.mark.parametrize("face", ["face", "back"])
def test_holes_of_a_wide_board_are_laid_out_from_either_edge(tmp_path: Path, face: str) -> None:
    """A board 15 in wide, holes 4 in from end A, 2-3/4 in from the face edge and as far from the far edge: two
    templates, each laid by end A and by its own edge, each hole 2-3/4 in from the heavy line of that edge. Seen from
    one side of the board, end A is at the left on both, and the two edges lie on opposite sides."""
    text = WIDE.replace(
        "face: back, along: [6, length / 2, length - 6], across: 2-3/4", f"face: {face}, along: 4, across: A"
    )
    lines = [text.replace("across: A", "across: 2-3/4")]
    lines.append(f"      - {{piece: T1, face: {face}, along: 4, across: width - 2-3/4}}\n")
    (tmp_path / "build.yaml").write_text("".join(lines))
    near, far = sheets(job_of(tmp_path / "build.yaml"), "T1")
    above = []
    for block, edge in ((near, "FACE EDGE"), (far, "FAR EDGE")):
        (hole,) = (s for s in block.drawing.shapes if isinstance(s, Circle))
        heavy = [s for s in block.drawing.shapes if isinstance(s, Line) and s.stroke is Stroke.REFERENCE]
        (along,) = (s for s in heavy if s.start[1] == s.end[1])
        (end,) = (s for s in heavy if s.start[0] == s.end[0])
        assert abs(hole.centre[1] - along.start[1]) == Length.inches("11/4")
        assert hole.centre[0] - end.start[0] == Length.inches(4)  # to the right of end A
        words = {s.text for s in block.drawing.shapes if isinstance(s, Words)}
        assert edge in words and "END A" in words
        above.append(along.start[1] > hole.centre[1])
    assert above[0] != above[1]


def test_an_index_line_runs_through_its_hole(cabinet: Job) -> None:
    """The knob's hole in the middle of a stile of 560 - 2 x 2: 278 from end A."""
    block = next(b for b in sheets(cabinet, "DR") if b.anchor.endswith("-face"))
    (line,) = (s for s in block.drawing.shapes if isinstance(s, Line) and s.stroke is Stroke.CENTRE)
    (hole,) = (s for s in block.drawing.shapes if isinstance(s, Circle))
    assert line.start[0] == line.end[0] == hole.centre[0]
    assert "Square a line across the face 278 mm from end A; lay INDEX on it." in block.facts


def test_names_of_joints_hide_neither_holes_nor_mortises() -> None:
    """The back apron: mortises 12 deep at 6 to 24, 476 to 524 and 976 to 994 along, the far edge at 160. The words on
    their leaders cover none of them; the tenons carry their numbers."""
    sheet = sheet_of(job_of(SAMPLES / "potting_table" / "build.yaml"), "AB")
    views = sheet.views
    leaders = [shape for shape in sheet.shapes if isinstance(shape, Leader)]
    assert {leader.text.split(": ")[0] for leader in leaders} == {"14", "16", "18"}
    assert {s.text for s in sheet.shapes if isinstance(s, Words) and s.strong and s.boxed} == {"5", "6"}
    for start, end in ((6, 24), (476, 524), (976, 994)):
        one = views.base.place((Length(start), Length(148), Length(0)))
        two = views.base.place((Length(end), Length(160), Length(0)))
        (x0, x1), (y0, y1) = (sorted(float(p[k].mm * views.scale) for p in (one, two)) for k in (0, 1))
        for leader in leaders:
            a, b, c, d = leader_words(leader, views.scale)
            assert not (a < x1 and x0 < c and b < y1 and y0 < d), leader.text


def test_leaders_of_the_rail_name_the_holes_of_its_ends_and_of_its_face(cabinet: Job) -> None:
    sheet = sheet_of(cabinet, "HR")
    assert Face.EDGE not in sheet.views.long
    notes = [shape for shape in sheet.shapes if isinstance(shape, Leader)]
    assert len(notes) == 3  # the pilots of either end, and recess and slot together
