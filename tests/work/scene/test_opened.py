"""Which way a door swings in the pictures, worked out by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.core.length import Length
from shopdocs.core.problems import has_errors
from shopdocs.pipeline import check_build
from shopdocs.work.scene.opened import opened
from shopdocs.work.space.in_place import placed_piece
from shopdocs.work.space.placed import Scene

# A box 400 wide and 500 high, and a door of one board before it: its face side looks to the front.
BOX = """
build: {{title: Box, mark: B, units: mm}}
materials: {{oak: {{kind: hardwood, rough: 34}}}}
parts:
  side: {{material: oak, size: 20 x 200 x 500, runs: {{length: z, width: y}}, pieces: {{L: {{x: 0, y: 20, z: 0}}, R: {{x: 380, y: 20, z: 0}}}}}}
  shelf: {{material: oak, size: 20 x 200 x 360, runs: {{length: x, width: y}}, pieces: {{S: {{x: 20, y: 20, z: 240}}}}}}
  door: {{material: oak, size: 20 x 400 x 500, runs: {{length: z, width: x}}, pieces: {{D: {{x: 0, y: 0, z: 0, face side: front}}}}}}
joints: {{corners: {{kind: housing, from: shelf, into: side}}}}
hardware:
  surface hinge:
    holes: [{{bit: 3, depth: 10}}]
    on: [{{piece: D, face: {face}, along: [60, 440], across: {across}}}]
"""  # noqa: E501


@pytest.mark.parametrize(
    ("face", "across", "left", "right"),
    [("back", 15, 0, 20), ("back", 385, 400, 800), ("edge", 10, 0, 20), ("far edge", 10, 400, 800)],
)
def test_a_door_swings_about_the_side_its_hinges_lie_on(
    tmp_path: Path, face: str, across: int, left: int, right: int
) -> None:
    """About the left front corner by a quarter turn it stands square out, its thickness of 20 wide; about the right one
    by half a turn it lies from 400 to 800."""
    file = tmp_path / "build.yaml"
    file.write_text(BOX.format(face=face, across=across), "utf-8")
    build, _, problems = check_build(str(file))
    assert build is not None
    assert not has_errors(problems), problems
    placed = [placed_piece(part, piece) for part, piece in build.pieces()]
    scene = opened(build, Scene.of(filter(None, placed))).scene
    (door,) = (piece for piece in scene.pieces if piece.mark == "D")
    assert (door.at[0], door.far[0]) == (Length(left), Length(right))
