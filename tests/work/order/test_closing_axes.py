"""Which way a joint is drawn together, by hand: a tenon out of its piece, tails through the thickness of theirs, what
slides along its trench, an edge joint across the seam."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.pipeline.checking import checked
from shopdocs.work.order.levels import closing_axis

X, Y, Z = range(3)
# A post stands at the left; the rail goes off to the right of it, on edge, so its thickness lies front to back and its
# width upright; the shelf lies flat, its width front to back. The batten stands on edge
# under the top and runs front to back; two boards lie edge to edge, front and back.
BUILD = """
build: {title: Joints, mark: J, units: mm, free standing: no}
materials: {oak: {kind: hardwood, rough: 54}}
parts:
  post: {material: oak, size: 40 x 60 x 400, runs: {length: z, width: x}, pieces: {P: {x: 0, y: 0, z: 0}}}
  rail: {material: oak, size: 40 x 60 x 300, runs: {length: x, width: z}, pieces: {R: {x: 60, y: 0, z: 340}}}
  shelf: {material: oak, size: 18 x 40 x 300, runs: {length: x, width: y}, pieces: {S: {x: 60, y: 0, z: 100}}}
  top: {material: oak, size: 20 x 200 x 500, runs: {length: x, width: y}, pieces: {T: {x: 1000, y: 0, z: 100}}}
  batten: {material: oak, size: 20 x 40 x 200, runs: {length: y, width: z}, pieces: {B: {x: 1100, y: 0, z: 60}}}
  board:
    material: oak
    size: 20 x 100 x 300
    runs: {length: x, width: y}
    pieces: {C: {x: 2000, y: 0, z: 0}, D: {x: 2000, y: 100, z: 0}}
joints:
  the joint: {kind: KIND, MEETS}
"""


@pytest.mark.parametrize(
    ("kind", "meets", "axis"),
    [
        ("mortise and tenon", "pieces: [R into P], thickness: 14, length: 30", X),
        ("dowels", "pieces: [R into P], thickness: 14, length: 40, count: 2", X),
        ("dovetail", "pieces: [R into P], count: 2", Y),
        ("sliding dovetail", "pieces: [S into P], depth: 10", Y),
        ("housing", "pieces: [S into P], depth: 10", X),
        ("sliding dovetail", "pieces: [B into T], depth: 7", Y),
        ("housing", "pieces: [B into T], depth: 7", Z),
        ("edge joint", "pieces: [C into D]", Y),
    ],
)
def test_the_way_a_joint_is_drawn_together(tmp_path: Path, kind: str, meets: str, axis: int) -> None:
    path = tmp_path / "build.yaml"
    path.write_text(BUILD.replace("KIND", kind).replace("MEETS", meets), "utf-8")
    found = checked(str(path), None)
    assert found.build is not None
    assert found.work is not None, found.problems
    assert found.work.space is not None
    ((joint, meeting),) = found.build.meetings()
    assert closing_axis(joint, meeting.number, found.work.space, meeting.entering) == axis
