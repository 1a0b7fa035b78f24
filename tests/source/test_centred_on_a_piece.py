""" "centred on FL": halfway between the two sides of a piece, of one that leans at the height of what is placed."""

from __future__ import annotations

from pathlib import Path

from shopdocs.core.length import Length
from tests.sample_jobs import job_of

BUILD = """
build: {title: Trestle, mark: T, units: mm}
dimensions: {X1: 5}
materials: {ash: {kind: hardwood, species: white ash, rough: 60}}
parts:
  leg:
    material: ash
    size: 40 x 60 x 400
    runs: {length: z, width: y}
    pieces: {FL: {x: 100, y: 30, z: 0}, BL: {x: 100, y: 310, z: 0}, X1: {x: 300, y: 400, z: 0}}
  strut:
    material: ash
    thickness: 40
    width: 40
    runs: {length: z, width: x}
    pieces: {L: {x: centred on 500, y: centred on 60, z: 0 to 400, lean: {splay: 1 in 8 right}}}
  rail: {material: ash, thickness: 20, width: 40, runs: {length: y, width: z},
    pieces: {R: {x: centred on FL, y: FL.back to BL.front, z: centred on 200}}}
  block: {material: ash, size: 20 x 20 x 30, runs: {length: z, width: y},
    pieces: {B: {x: centred on L, y: L.back, z: centred on 160}, C: {x: centred on X1, y: 600, z: 0}}}
"""


def test_the_middle_of_a_piece(tmp_path: Path) -> None:
    """By hand. FL is 40 thick from 100: its middle is 120, a rail 20 thick begins at 110. L is centred on 500 at its
    top, 400 up; it comes out to the right 1 in 8, so that 160 up, 240 lower, its middle is 240 / 8 = 30 farther right:
    a block 20 wide begins at 530 - 10. A dimension of that name goes first: C begins at 5 - 10."""
    path = tmp_path / "build.yaml"
    path.write_text(BUILD, "utf-8")
    space = job_of(path).space
    assert space is not None
    begins = {mark: space.pieces[mark].at[0] for mark in "RBC"}
    assert begins == {"R": Length(110), "B": Length(520), "C": Length(-5)}
