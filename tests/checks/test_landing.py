"""Where a hole comes out between two neighbours, the nearer one is named; distances by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.pipeline import check_build

# Two rails end against the right side of a post, 6 apart: the lower one ends at 140, the upper one begins at 146.
BUILD = """
build: {{title: Rack, mark: R, units: mm}}
materials: {{oak: {{kind: hardwood, rough: 80}}}}
parts:
  post:
    material: oak
    size: 60 x 60 x 300
    runs: {{length: z, width: x}}
    pieces: {{P: {{x: 0, y: 0, z: 0}}}}
  rail:
    material: oak
    size: 40 x 60 x 200
    runs: {{length: x, width: y}}
    pieces:
      LOW: {{x: P.right, y: 0, z: 100}}
      UPP: {{x: P.right, y: 0, z: 146}}
hardware:
  pin:
    holes: [{{bit: 10, depth: through}}]
    on: [{{piece: P, face: edge, along: {height}, across: 30}}]
"""


@pytest.mark.parametrize(
    ("height", "mark", "past"),
    [
        (142, "LOW", 7),  # from 137 to 147: 7 of it above 140; the axis is 2 from the lower rail, 4 from the upper one
        (144, "UPP", 7),  # from 139 to 149: 7 of it below 146
    ],
)
def test_the_nearer_neighbour_is_named(tmp_path: Path, height: int, mark: str, past: int) -> None:
    (tmp_path / "build.yaml").write_text(BUILD.format(height=height), "utf-8")
    _, _, problems = check_build(str(tmp_path / "build.yaml"))
    (told,) = (problem for problem in problems if problem.code == "landing")
    assert f"comes out {past} mm past the edge of '{mark}'" in told.wrong
