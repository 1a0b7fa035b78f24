"""Gates: holes that a stage of the glue-up closes the way to, worked out by hand on a small frame."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.work.order.reach import closed_off
from tests.sample_jobs import job_of

# A rail 60 high between two posts, a second rail 80 behind it, an apron board on top. A screw from the front of the
# front rail stays in reach; one from its back is shut in by the second rail, 80 mm behind it and so within the 150 mm
# (common practice, no source) that a driver needs; one from above is shut in by the board.
BUILD = """
build: {title: Frame, mark: F, units: mm}
materials: {oak: {kind: hardwood, rough: 34}}
parts:
  rail:
    material: oak
    size: 20 x 60 x 400
    runs: {length: x, width: z}
    pieces: {A: {x: 0, y: 0, z: 0}, B: {x: 0, y: 100, z: 0}}
  board:
    material: oak
    size: 20 x 200 x 400
    runs: {length: x, width: y}
    pieces: {T: {x: 0, y: 0, z: 60}}
hardware:
  front: {holes: [{bit: 4, depth: 10}], on: [{piece: A, face: FRONT, along: 200, across: 30}]}
  rear: {holes: [{bit: 4, depth: 10}], on: [{piece: A, face: REAR, along: 200, across: 30}]}
  top: {holes: [{bit: 4, depth: 10}], on: [{piece: A, face: face edge, along: 200, across: 10}]}
  through: {holes: [{bit: 4, depth: through}], on: [{piece: A, face: FRONT, along: 100, across: 30}]}
"""


@pytest.mark.parametrize(
    ("hardware", "standing", "closed"),
    [
        ("front", ["A", "B", "T"], False),
        ("rear", ["A"], False),
        ("rear", ["A", "T"], False),
        ("rear", ["A", "B"], True),
        ("top", ["A", "B"], False),
        ("top", ["A", "T"], True),
        ("through", ["A", "B", "T"], False),  # still reached from the front
    ],
)
def test_what_shuts_a_hole_in(tmp_path: Path, hardware: str, standing: list[str], closed: bool) -> None:
    for front, rear in (("face", "back"), ("back", "face")):
        (tmp_path / "build.yaml").write_text(BUILD.replace("FRONT", front).replace("REAR", rear), "utf-8")
        job = job_of(tmp_path / "build.yaml")
        assert job.space is not None
        if job.space.pieces["A"].pose.look_of(next(b.face for b in job.space.pieces["A"].bores)) == (1, False):
            break
    assert closed_off(job.space, "A", hardware, standing) is closed
