"""How a template says where the holes of a row are: all of a short one, the first two and the last of a long one."""

from __future__ import annotations

from itertools import accumulate
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import FullScale
from shopdocs.blocks.text import plain
from shopdocs.documents.templates import templates
from tests.sample_jobs import job_of

STILE = """
build: {{title: Shelf pins, mark: SP, units: mm}}
materials: {{ash: {{kind: hardwood, rough: 27}}}}
parts:
  stile: {{material: ash, size: 20 x 60 x 700, runs: {{length: x, width: y}}, pieces: {{P: {{x: 0, y: 0, z: 0}}}}}}
hardware:
  pin:
    holes: [{{bit: 5, depth: 10}}]
    on: [{{piece: P, face: face, along: {along}, across: 30}}]
    holds: [P]
"""


@pytest.mark.parametrize(
    ("steps", "holes", "places"),
    [
        ([32] * 4, "Holes 1, 2, 3, 4, 5:", "50, 82, 114, 146, 178 mm from end A"),
        ([32] * 5, "Holes 1, 2 … 6:", "50, 82 … 210 mm from end A, 32 mm apart"),
        ([32, 32, 32, 32, 30], "Holes 1, 2 … 6:", "50, 82, 114, 146, 178, 208 mm from end A"),
        ([20] * 7, "Holes 1, 2 … 8:", "50, 70 … 190 mm from end A, 20 mm apart"),
    ],
)
def test_a_long_row_is_told_by_its_first_two_and_its_last(
    tmp_path: Path, steps: list[int], holes: str, places: str
) -> None:
    """The first hole is 50 from end A, the others follow in these steps; from six on a row is long."""
    path = tmp_path / "build.yaml"
    path.write_text(STILE.format(along=list(accumulate([50, *steps]))), "utf-8")
    (sheet,) = [block for block in templates(job_of(path)).blocks if isinstance(block, FullScale)]
    (told,) = [fact for fact in map(plain, sheet.facts) if fact.startswith("Hole")]
    assert told.startswith(holes)
    assert places in told
