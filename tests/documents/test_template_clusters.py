"""Which holes of a face share one template: those that a hand's breadth or two parts, up to 120 mm along the piece
(about 4-3/4 in; common practice, no source). A template that reaches farther is a strip of paper that stretches."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Circle, FullScale
from shopdocs.documents.templates import templates
from tests.sample_jobs import job_of

BUILD = """
build: {{title: Rail, mark: R, units: mm}}
materials: {{ash: {{kind: hardwood, rough: 27}}}}
parts:
  rail: {{material: ash, size: 20 x 60 x 900, pieces: [RA]}}
hardware:
  peg:
    holes: [{{bit: 6, depth: 10}}]
    on: [{rows}]
"""


@pytest.mark.parametrize(
    ("places", "holes"),
    [
        ((100, 220), [2]),  # 120 apart
        ((100, 221), [1, 1]),  # 121 apart
        ((100, 350), [1, 1]),
        ((100, 200, 300, 400), [4]),  # each 100 from the next
        ((100, 200, 350, 440), [2, 2]),  # 100, 150 and 90 apart
    ],
)
def test_holes_far_apart_have_templates_of_their_own(tmp_path: Path, places: tuple[int, ...], holes: list[int]) -> None:
    """Each hole is at a height of its own, so that no two templates are one that is laid twice."""
    rows = [f"{{piece: RA, face: face, along: {x}, across: {15 + 3 * n}}}" for n, x in enumerate(places)]
    path = tmp_path / "build.yaml"
    path.write_text(BUILD.format(rows=", ".join(rows)), "utf-8")
    sheets = [block for block in templates(job_of(path)).blocks if isinstance(block, FullScale)]
    assert [sum(isinstance(shape, Circle) for shape in sheet.drawing.shapes) for sheet in sheets] == holes
