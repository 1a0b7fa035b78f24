"""What joints add to the length that is sawn, in builds without places, by sums done by hand: from shoulder to
shoulder, the tenon, tail or lap at each end, and what is to stand proud of the far face until it is trimmed."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.core.length import Length
from shopdocs.pipeline import check_build
from shopdocs.work.computed import Computed

RAIL = """
build: {{title: Rail, mark: R, units: mm}}
materials: {{oak: {{kind: hardwood, rough: 27}}}}
parts:
  rail: {{material: oak, size: 20 x 60 x 300, pieces: [R]}}
  post: {{material: oak, size: 20 x 60 x 500, pieces: [P1, P2]}}
joints:
  end: {{kind: {joint}, pieces: [{meetings}]}}
"""
BOTH = "R into P1 at A, R into P2 at B"


@pytest.mark.parametrize(
    ("joint", "meetings", "long"),
    [
        ("through tenon, thickness: 7, length: 20, proud: 2", BOTH, 344),  # 300 + 2 x (20 + 2)
        ("bridle, thickness: 7, length: 20, proud: 2", BOTH, 344),
        ("half lap, length: 60, proud: 1", BOTH, 422),  # 300 + 2 x (60 + 1)
        ("dovetail, count: 2, length: 20, proud: 1", BOTH, 342),  # 300 + 2 x (20 + 1)
        ("dovetail, count: 2, length: 20, proud: 1", "R into P1 at A", 321),
        ("mortise and tenon, thickness: 7, length: 15", BOTH, 330),
        ("housing, depth: 6", BOTH, 312),
        ("rabbet, depth: 6", "R into P1 at A", 306),
        ("tongue and groove, thickness: 7, length: 8", BOTH, 316),
        ("half lap", "R into P1", 300),  # two that cross: nothing is added
        ("dowels, thickness: 8, length: 40, count: 2", BOTH, 300),  # what goes in is no part of the rail
        ("loose tenon, thickness: 7, width: 30, length: 40", BOTH, 300),
    ],
)
def test_a_rail_is_sawn_longer_by_what_its_joints_add(tmp_path: Path, joint: str, meetings: str, long: int) -> None:
    path = tmp_path / "build.yaml"
    path.write_text(RAIL.format(joint=joint, meetings=meetings), "utf-8")
    build, shop, problems = check_build(str(path))
    assert build is not None, problems
    rows = [row for group in Computed(build, shop).groups for row in group.rows]
    (rail,) = (row for row in rows if row.pieces[0].mark == "R")
    assert rail.joinery.length == Length(long)
    assert rail.joinery.width == Length(60)
