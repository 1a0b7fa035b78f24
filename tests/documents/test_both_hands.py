"""One template for a left and a right piece, where it lies right on both as it is printed, and two where it does not.

The left piece lies at x = 0 and the right one is its mirror image. Expected places are worked out by hand from the
build's own figures.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Circle, FullScale, Line, Stroke, Words
from shopdocs.core.length import Length
from shopdocs.documents.job import Job
from shopdocs.documents.templates import templates
from tests.sample_jobs import job_of

SIDES = """
build: {{title: Shelves, mark: S, units: mm}}
materials: {{pine: {{kind: hardwood, rough: 27}}}}
parts:
  side:
    material: pine
    size: 20 x {width} x 400
    runs: {{length: z, width: y}}
    pieces:
      L: {{x: 0, y: 0, z: 0}}
      R: {{mirror: L across x at 300}}
hardware:
  pin:
    holes: [{holes}]
    on: [{{piece: side, face: {face}, along: [60, 90], across: {across}}}]
    holds: [L, R]
"""


def sheets(folder: Path, width: int, across: str, face: str = "face", holes: str = "{bit: 6, depth: 10}") -> Job:
    text = SIDES.format(width=width, across=across, face=face, holes=holes)
    (folder / "build.yaml").write_text(text, "utf-8")
    return job_of(folder / "build.yaml")


def drawn(job: Job) -> list[FullScale]:
    return [block for block in templates(job).blocks if isinstance(block, FullScale)]


@pytest.mark.parametrize(
    ("width", "across", "face", "holes", "marks"),
    [
        (60, "30", "face", "{bit: 6, depth: 10}", ["L R"]),  # 30 from either edge of 60
        (90, "45", "face", "{bit: 6, depth: through}", ["L R"]),
        (60, "20", "face", "{bit: 6, depth: through}", ["L", "R"]),  # 20 from one edge, 40 from the other
        (60, "30", "face", "{bit: 6, depth: 10}, {bit: 4, depth: 5, across: 10}", ["L", "R"]),
        (60, "10", "edge", "{bit: 6, depth: 10}", ["L R"]),  # half of 20
        (60, "8", "edge", "{bit: 6, depth: 10}", ["L", "R"]),
        (300, "150", "face", "{bit: 6, depth: 10}", ["L R"]),
    ],
)
def test_one_template_where_neither_is_turned_over(
    tmp_path: Path, width: int, across: str, face: str, holes: str, marks: list[str]
) -> None:
    sheets_ = drawn(sheets(tmp_path, width, across, face, holes))
    assert [" ".join(sheet.title.split(" · ")[0].split()) for sheet in sheets_] == marks
    words = [{shape.text for shape in sheet.drawing.shapes if isinstance(shape, Words)} for sheet in sheets_]
    either = {"face": "EITHER EDGE", "edge": "EITHER SIDE"}[face]
    for sheet, told in zip(sheets_, words, strict=True):
        one = len(marks) == 1
        assert (either in told) == one
        assert any("Fits both of the mirrored pair, printed side up" in fact for fact in sheet.facts) == one


@pytest.mark.parametrize(("width", "face", "across"), [(60, "face", 30), (90, "face", 45), (60, "edge", 10)])
def test_its_holes_are_as_far_from_either_edge(tmp_path: Path, width: int, face: str, across: int) -> None:
    """Read off the paper: from the heavy line to the centres it is half of the face, so that the line may lie on the
    edge that is below on the left piece, or on the other that is below on the right one; and both ways along they lie
    60 and 90 from end A."""
    (sheet,) = drawn(sheets(tmp_path, width, str(across), face))
    heavy = [s for s in sheet.drawing.shapes if isinstance(s, Line) and s.stroke is Stroke.REFERENCE]
    level = next(s.start[1] for s in heavy if s.start[1] == s.end[1])
    end_a = next(s.start[0] for s in heavy if s.start[0] == s.end[0])
    centres = [s.centre for s in sheet.drawing.shapes if isinstance(s, Circle)]
    assert {abs(y - level) for _, y in centres} == {Length(across)}
    assert sorted(abs(x - end_a).mm for x, _ in centres) == [60, 90]
