"""Which holes of a face share one template: those that a hand's breadth or two parts, up to 120 mm along the piece
(about 4-3/4 in; common practice, no source). A template that reaches farther is a strip of paper that stretches."""

from __future__ import annotations

from collections.abc import Sequence
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


@pytest.mark.parametrize("places", [range(100, 229, 32), (100, 132, 164, 196, 228, 261)])
def test_holes_of_a_row_are_told_by_how_far_each_is_from_the_first(tmp_path: Path, places: Sequence[int]) -> None:
    (tmp_path / "build.yaml").write_text(
        BUILD.format(rows=f"{{piece: RA, face: face, along: {list(places)}, across: 20}}"), "utf-8"
    )
    (sheet,) = (block for block in templates(job_of(tmp_path / "build.yaml")).blocks if isinstance(block, FullScale))
    far = ", ".join(f"{place - places[0]} mm" for place in places[1:])
    assert any(f"toward end B: {far}" in fact for fact in sheet.facts)
    assert any("100 mm from end A" in fact for fact in sheet.facts)
    assert any("20 mm from face edge" in fact for fact in sheet.facts)


@pytest.mark.parametrize(
    ("places", "told"),
    [
        (range(10, 111, 20), "10, 30 … 110 mm from end A, 20 mm apart"),
        (range(10, 91, 20), "10, 30, 50, 70, 90 mm from end A"),
        ((10, 30, 50, 70, 90, 111), "10, 30, 50, 70, 90, 111 mm from end A"),
    ],
)
def test_a_long_row_at_even_steps_is_told_by_its_ends(tmp_path: Path, places: Sequence[int], told: str) -> None:
    """On a template that is laid at the end itself; of fewer than six, or at uneven steps, all are named."""
    (tmp_path / "build.yaml").write_text(
        BUILD.format(rows=f"{{piece: RA, face: face, along: {list(places)}, across: 20}}"), "utf-8"
    )
    (sheet,) = (block for block in templates(job_of(tmp_path / "build.yaml")).blocks if isinstance(block, FullScale))
    assert any(f"; {told}, " in fact for fact in sheet.facts)
