"""Where a hole comes out between two neighbours, the nearer one is named; distances by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.pipeline import check_build
from shopdocs.pipeline.checking import checked

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


def test_a_hole_outside_its_face_is_told_with_the_room_there_is(tmp_path: Path) -> None:
    """A bore of 10 has a radius of 5; the edge of the post is its whole length by its thickness."""
    text = BUILD.format(height=150).replace("across: 30", "across: 58")
    (tmp_path / "build.yaml").write_text(text, "utf-8")
    (told,) = (problem for problem in check_build(str(tmp_path / "build.yaml"))[2] if problem.code == "outside")
    assert told.wrong == "the hole of 'pin' at 150 mm along, 58 mm across lies outside the face edge of 'P'"
    assert told.right == "with its radius of 5 mm it must lie within 300 mm x 60 mm"


def test_a_hole_wider_than_its_face_is_told_with_the_wood_there_is(tmp_path: Path) -> None:
    text = BUILD.format(height=150).replace("bit: 10", "bit: 70")
    (tmp_path / "build.yaml").write_text(text, "utf-8")
    (told,) = (problem for problem in check_build(str(tmp_path / "build.yaml"))[2] if problem.code == "outside")
    assert told.wrong == "the hole of 'pin' is 70 mm wide, more than the face edge of 'P'"
    assert told.right == "there is 60 mm of wood; take smaller hardware, a smaller bit or a wider piece"


PILOT = """
build: {{title: Trial, mark: T, units: mm}}
materials: {{oak: {{kind: hardwood, rough: 65}}}}
parts:
  post: {{material: oak, size: 50 x 50 x 300, runs: {{length: z, width: x}}, pieces: {{P: {{x: 0, y: 0, z: 0}}}}}}
  rail: {{material: oak, size: 25 x 76 x 200, runs: {{length: x, width: z}}, pieces: {{R: {{x: P.right, y: 12.5, z: 150}}}}}}
hardware:
  screw: {{holes: [{{screw: 5 x 90, as: clearance, depth: through}}], on: [{{piece: P, face: edge, along: 188, across: 25}}]}}
  bite: {{holes: [{{screw: 5 x 90, as: pilot, depth: 40}}], on: [{{piece: R, face: A, along: {along}, across: 12.5}}]}}
"""  # noqa: E501


@pytest.mark.parametrize(
    ("along", "amiss", "own"), [("38", 0, 0), ("41", 1, 0), ("47.5", 1, 0), ("50.5", 1, 0), ("51", 0, 1)]
)
def test_a_pilot_near_by_was_meant_for_the_screw(tmp_path: Path, along: str, amiss: int, own: int) -> None:
    """The screw goes in at 188 over the floor, 38 under the rail's upper edge at 226. A pilot less than half an inch
    beside it was meant for it (common practice, no source): it is told as amiss, and the screw gets none of its own,
    which it does beside one farther off."""
    path = tmp_path / "build.yaml"
    path.write_text(PILOT.format(along=along), "utf-8")
    found = checked(str(path), None)
    assert [one.code for one in found.problems].count("misaligned") == amiss
    assert found.work is not None
    assert len(found.work.pilots.drilled) == own
