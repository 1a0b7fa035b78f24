"""What must be on a template once it is cut out, and that short ones are not tiled (common practice, no source)."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Circle, FullScale, Line, Polygon, Stroke, Words
from shopdocs.blocks.sheets import Document, Imprint
from shopdocs.blocks.text import plain
from shopdocs.blocks.walk import walk
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.job import Job, make_job
from shopdocs.documents.templates import templates
from shopdocs.documents.tools import tool_steps
from shopdocs.page.compose import compose
from shopdocs.page.items import TextRun
from shopdocs.page.paper import paper
from shopdocs.pipeline import check_build
from tests.sample_jobs import BY_NAME, sample_job

BUILD = """
build: {{title: Trial, mark: T, units: mm}}
materials: {{ash 27: {{kind: hardwood, rough: 27 mm}}}}
parts:
  bar: {{material: ash 27, size: {size}, pieces: [BAR1, BAR2]}}
hardware:
  peg:
    holes: [{{bit: 6 mm, depth: 10 mm}}]
    on: [{{piece: [BAR1, BAR2], face: {face}, along: {along}, across: {across}}}]
"""


def job_of(folder: Path, size: str, face: str, along: str, across: str) -> Job:
    path = folder / "b.yaml"
    path.write_text(BUILD.format(size=size, face=face, along=along, across=across), "utf-8")
    build, shop, problems = check_build(str(path))
    assert build is not None, problems
    return make_job(build, shop, build.display, "", "letter-30")


def sheets(job: Job) -> list[FullScale]:
    return [block for block in templates(job).blocks if isinstance(block, FullScale)]


CASES = [
    # a wide board, the hole near end B and near the face edge; a board hardly longer than the reach from both ends
    ("20 x 300 x 900", "face", "760", "30"),
    ("20 x 280 x 330", "back", "165", "140"),
    ("20 x 90 x 330", "face", "170", "40"),
    # faces too narrow for words within
    ("12 x 40 x 600", "edge", "300", "6"),
    ("12 x 40 x 600", "far edge", "40", "6"),
    ("14 x 14 x 400", "A", "7", "7"),
    ("14 x 14 x 400", "face", "200", "7"),
]


@pytest.mark.parametrize("key", ["a4", "letter"])
@pytest.mark.parametrize(("size", "face", "along", "across"), CASES)
def test_one_hole_never_needs_tiles(tmp_path: Path, key: str, size: str, face: str, along: str, across: str) -> None:
    job = job_of(tmp_path, size, face, along, across)
    (block,) = sheets(job)
    composed = compose([Document("d", "t", "", (block,))], Imprint("", "", "", "", ""), paper(key))
    words = [item.text for frame in composed.frames for item in frame.items if isinstance(item, TextRun)]
    assert not [text for text in words if text.startswith("tile ")]


@pytest.mark.parametrize(("size", "face", "along", "across"), CASES)
def test_marks_and_face_stand_on_the_paper_that_is_cut_out(
    tmp_path: Path, size: str, face: str, along: str, across: str
) -> None:
    (block,) = sheets(job_of(tmp_path, size, face, along, across))
    drawing = block.drawing
    inside = [
        shape
        for shape in drawing.shapes
        if isinstance(shape, Words) and ZERO < shape.at[0] < drawing.width and ZERO < shape.at[1] < drawing.height
        if shape.dx_mm == shape.dy_mm == 0
    ]
    told = " ".join(shape.text for shape in inside)
    assert "BAR1" in told
    assert "BAR2" in told
    named = {"face": "face side", "back": "back", "edge": "face edge", "far edge": "far edge", "A": "end A"}[face]
    assert named in told
    lines = [shape for shape in drawing.shapes if isinstance(shape, Line)]
    if any(line.stroke is Stroke.CENTRE for line in lines):
        assert "INDEX" in told


@pytest.mark.parametrize(("size", "face", "along", "across"), CASES)
def test_a_hole_lies_where_it_is_told_from_the_heavy_edges(
    tmp_path: Path, size: str, face: str, along: str, across: str
) -> None:
    """Measured on the drawing: from the heavy long edge, and from the heavy end or the index line, as built."""
    (block,) = sheets(job_of(tmp_path, size, face, along, across))
    lines = [shape for shape in block.drawing.shapes if isinstance(shape, Line)]
    (hole,) = (shape.centre for shape in block.drawing.shapes if isinstance(shape, Circle))
    (level,) = (line for line in lines if line.stroke is Stroke.REFERENCE and line.start[1] == line.end[1])
    assert abs(hole[1] - level.start[1]) == Length(across)
    whole = Length(size.split(" x ")[2]) if face != "A" else Length(14)
    ends = [line.start[0] for line in lines if line.stroke is Stroke.REFERENCE and line.start[0] == line.end[0]]
    index = [line.start[0] for line in lines if line.stroke is Stroke.CENTRE]
    from_ends = {abs(hole[0] - end) for end in ends}
    assert from_ends <= {Length(along), whole - Length(along)}
    assert ends or index
    if index:
        (note,) = (fact for fact in block.facts if fact.startswith("Square a line"))
        told = Length(Fraction(note.split(" mm ")[0].rsplit(" ", 1)[1]))
        apart = abs(hole[0] - index[0])
        assert apart in (abs(Length(along) - told), abs(whole - Length(along) - told))


def test_a_flap_is_folded_along_the_far_edge(tmp_path: Path) -> None:
    """On a face of 12 mm the name finds no room beside its hole; the fold lies 12 mm from the heavy edge."""
    (block,) = sheets(job_of(tmp_path, "12 x 40 x 600", "edge", "300", "6"))
    lines = [shape for shape in block.drawing.shapes if isinstance(shape, Line)]
    (fold,) = (line for line in lines if line.stroke is Stroke.FOLD)
    (level,) = (line for line in lines if line.stroke is Stroke.REFERENCE)
    assert abs(fold.start[1] - level.start[1]) == Length(12)
    assert any(fact.startswith("Fold the flap") for fact in block.facts)


@pytest.mark.parametrize(("face", "corners"), [("face", 17), ("edge", 3), ("far edge", 0), ("back", 0), ("A", 0)])
def test_face_side_and_face_edge_carry_their_marks(tmp_path: Path, face: str, corners: int) -> None:
    """Common practice of the trade: a loop on the face side, a V on the face edge, both from the arris they share,
    which is the heavy edge that the template is laid to."""
    across = {"face": "60", "edge": "10", "far edge": "10", "back": "60", "A": "10"}[face]
    (block,) = sheets(job_of(tmp_path, "30 x 100 x 140", face, "60", across))
    marks = [s for s in block.drawing.shapes if isinstance(s, Polygon) and not s.closed and len(s.points) in (3, 17)]
    assert [len(mark.points) for mark in marks] == ([corners] if corners else [])
    heavy = [s for s in block.drawing.shapes if isinstance(s, Line) and s.stroke is Stroke.REFERENCE]
    edges = {line.start[1] for line in heavy if line.start[1] == line.end[1]}
    for mark in marks:
        ends = (mark.points[0][1], mark.points[-1][1]) if corners == 17 else (mark.points[1][1],)
        assert set(ends) == edges


@pytest.mark.parametrize(("size", "face", "along", "across"), CASES[:3])
def test_the_names_of_the_edges_are_cut_out_with_the_paper(
    tmp_path: Path, size: str, face: str, along: str, across: str
) -> None:
    """A template that has lost the names of its edges is laid the wrong way round: where there is room they stand
    inside the outline, beside the edge or the end that they name."""
    (block,) = sheets(job_of(tmp_path, size, face, along, across))
    drawing = block.drawing
    lines = [shape for shape in drawing.shapes if isinstance(shape, Line) and shape.stroke is Stroke.REFERENCE]
    named = {shape.text: shape for shape in drawing.shapes if isinstance(shape, Words) and shape.text.isupper()}
    level = next(line for line in lines if line.start[1] == line.end[1])
    words = next(shape for text, shape in named.items() if text in ("FACE EDGE", "FAR EDGE"))
    assert words.dx_mm == words.dy_mm == 0
    assert ZERO < words.at[0] < drawing.width
    assert abs(words.at[1] - level.start[1]) < Length(8)
    for end in (line for line in lines if line.start[0] == line.end[0]):
        words = min(
            (shape for text, shape in named.items() if text.startswith("END")),
            key=lambda shape: abs(shape.at[0] - end.start[0]),
        )
        assert abs(words.at[0] - end.start[0]) < Length(8)
        assert ZERO < words.at[1] < drawing.height


@pytest.mark.parametrize(("size", "face", "along", "across"), [case for case in CASES[3:] if case[1] != "A"])
def test_where_there_is_no_room_the_name_stands_over_its_edge(
    tmp_path: Path, size: str, face: str, along: str, across: str
) -> None:
    (block,) = sheets(job_of(tmp_path, size, face, along, across))
    names = ("FACE EDGE", "FAR EDGE", "FACE SIDE", "BACK", "EITHER EDGE", "EITHER SIDE")
    told = [shape for shape in block.drawing.shapes if isinstance(shape, Words) and shape.text.endswith(names)]
    assert told  # inside the edge, or on the lip that is folded over it
    assert all(ZERO < words.at[0] < block.drawing.width for words in told)


@pytest.mark.parametrize("key", ["a4", "letter"])
@pytest.mark.parametrize("face", ["face", "back"])
def test_a_hole_far_from_the_edge_is_laid_by_a_gauged_line(tmp_path: Path, face: str, key: str) -> None:
    """In a panel 420 wide, 70 from end A and 200 from the face edge: the paper is a strip about a line gauged 200 from
    the edge, which runs through the hole, and not 212 high; its end is the real one."""
    (block,) = sheets(job_of(tmp_path, "20 x 420 x 1100", face, "70", "200"))
    lines = [shape for shape in block.drawing.shapes if isinstance(shape, Line)]
    (hole,) = (shape.centre for shape in block.drawing.shapes if isinstance(shape, Circle))
    (line,) = (shape for shape in lines if shape.stroke is Stroke.CENTRE)
    assert line.start[1] == line.end[1] == hole[1]
    (end,) = (shape for shape in lines if shape.stroke is Stroke.REFERENCE)
    assert end.start[0] == end.end[0] and abs(hole[0] - end.start[0]) == Length(70)
    assert block.drawing.height < Length(60)
    assert block.facts[0] == "Gauge a line along the face 200 mm from face edge; lay INDEX on it."
    told = {shape.text for shape in block.drawing.shapes if isinstance(shape, Words)}
    assert {"INDEX 200 mm from face edge", "TO FACE EDGE", "END A"} <= told
    # on the side of the face edge stands its name: above the line where the face edge is the upper one
    (name,) = (shape for shape in block.drawing.shapes if isinstance(shape, Words) and shape.text == "TO FACE EDGE")
    assert (name.at[1] > line.start[1]) == (face == "back")


def test_holes_of_a_panel_part_where_that_takes_less_paper(tmp_path: Path) -> None:
    """In a panel 420 wide, 70 from end A and 200 from the edge, and 152 from end A and 70 from the edge: together they
    would take 165 by 212 of paper; apart a strip of 83 by 40 and one of 40 by 83."""
    path = tmp_path / "b.yaml"
    text = BUILD.format(size="20 x 420 x 1100", face="back", along="70", across="200")
    more = "{piece: [BAR1, BAR2], face: back, along: 152, across: 70}"
    path.write_text(text.replace("across: 200}]", f"across: 200}}, {more}]"), "utf-8")
    build, shop, problems = check_build(str(path))
    assert build is not None, problems
    made = sheets(make_job(build, shop, build.display, "", "letter-30"))
    assert [sum(isinstance(shape, Circle) for shape in block.drawing.shapes) for block in made] == [1, 1]
    assert all((block.drawing.width.mm * block.drawing.height.mm) < 165 * 212 / 4 for block in made)


def test_a_template_says_how_a_slot_is_made() -> None:
    """The cabinet's slots stand in its rail and its back, by its build; its knob's hole is round."""
    job = sample_job(BY_NAME["spice_cabinet"], "mm")
    facts = [fact for block in walk(templates(job).blocks) if isinstance(block, FullScale) for fact in block.facts]
    slots = [fact for fact in facts if "slotted" in fact]
    made = [fact for fact in facts if "bore both ends, cut out between them with a chisel or round file" in fact]
    assert slots and made == slots and not any("knob" in fact for fact in made)
    assert any("round file" in plain(step.text) for step in tool_steps(job))
    bench = sample_job(BY_NAME["threshold_bench"], "in")
    assert not any("round file" in plain(step.text) for step in tool_steps(bench))
