"""Pieces screwed flat to what leans, worked out by hand and held against manifold3d."""

from __future__ import annotations

import math
import random
from pathlib import Path

import pytest

from shopdocs.work.holes.joint_holes import joint_holes
from shopdocs.work.space.placed import Bore
from tests.examples import some
from tests.work.space.test_tipping import mesh_of, read

BACK = """
build: {{title: Trial, mark: T, units: mm}}
materials: {{ash: {{kind: hardwood, species: white ash, rough: 52}}}}
parts:
  board:
    material: ash
    thickness: {thick}
    width: 90
    runs: {{length: z, width: x}}
    pieces:
      B1: {{x: 0, y: centred on 100, z: 0 to 600, lean: {{rake: {rake} front}}}}
      B2: {{x: 100, y: centred on 100, z: 0 to 600, lean: {{rake: {rake} front}}}}
  cleat:
    material: ash
    size: {cleat} x 50 x 190
    runs: {{length: x, width: z}}
    pieces:
      C: {{x: 0, y: B1.back, z: centred on {high}, tilt: {rake} rear}}
joints:
  screws: {{kind: screwed butt, from: cleat, into: board, count: 2, length: 40, thickness: 4.5}}
"""


def test_a_cleat_on_leaning_boards_by_hand(tmp_path: Path) -> None:
    """Boards 20 thick that rake 10 degrees, their middle 100 from the front at the top, 600 up: at 300 up it stands at
    100 - 300 tan 10 = 47.1019, their back 10 / cos 10 = 10.1543 behind that. The middle of a cleat 25 thick lies
    12.5 / cos 10 = 12.6928 behind their back: at 69.9490. The screws are square to the board, and so lie where the foot
    of the cleat's middle, (69.9490, 300), falls on the board's middle line, which runs through (100, 600) along
    (sin 10, cos 10): (69.9490 - 100) sin 10 + (300 - 600) cos 10 = -5.2183 - 295.4423 = -300.6606 along it.
    The board's long point is 20 / 2 tan 10 = 1.7633 above that middle, its length 600 / cos 10 + 2 x 1.7633 =
    612.7826: from end A the screws are 612.7826 - 1.7633 - 300.6606 = 310.3587 along, a quarter and three quarters of
    90 across."""
    build, work = read(tmp_path, BACK.format(thick=20, cleat=25, rake=10, high=300))
    cleat = work.space.pieces["C"]
    middle = [(a + b).float_mm() / 2 for a, b in zip(cleat.at, cleat.far, strict=True)]
    assert middle == pytest.approx([95, 69.9490, 300], abs=0.002)
    board = work.space.pieces["B1"]
    holes = [(one.centre[0].float_mm(), one.centre[1].float_mm()) for one in board.bores]
    assert sorted(holes) == [pytest.approx((310.3587, across), abs=0.002) for across in (22.5, 67.5)]
    # through the board, 20 thick, and 20 into the cleat by pilots that nobody wrote
    pilots = [hole for hole in joint_holes(build, work.shop, work.space) if hole.piece == "C"]
    assert len(pilots) == 4
    assert {hole.bore.depth.float_mm() for hole in pilots} == {20}
    assert {hole.bore.slanting for hole in pilots} == {None}
    assert build.part("cleat").length.float_mm() == 190


def test_a_seat_screwed_to_a_leg_that_leans(tmp_path: Path) -> None:
    """By hand: the screw goes down square through the seat, 30 thick, and 40 into the end grain of a leg that splays 12
    degrees and is sawn level there; in the leg it runs 12 degrees off its length, square to the sawn end."""
    text = """
build: {title: Trial, mark: T, units: mm}
materials: {ash: {kind: hardwood, species: white ash, rough: 52}}
parts:
  leg:
    material: ash
    thickness: 40
    width: 40
    runs: {length: z, width: x}
    pieces: {L: {x: centred on 100, y: centred on 60, z: 0 to S.bottom, lean: {splay: 12 right}}}
  seat:
    material: ash
    size: 30 x 120 x 300
    runs: {length: x, width: y}
    pieces: {S: {x: 0, y: 0, z: 400}}
joints:
  screws: {kind: screwed butt, from: leg, into: seat, length: 70, thickness: 5, width: 3}
"""
    _, work = read(tmp_path, text)
    (through,) = work.space.pieces["S"].bores
    assert [value.float_mm() for value in through.centre[:2]] == pytest.approx([100, 60], abs=0.001)
    (pilot,) = work.space.pieces["L"].bores
    assert isinstance(pilot, Bore)
    assert pilot.depth is not None
    assert pilot.depth.float_mm() == 40
    assert pilot.slanting is not None
    assert pilot.slanting.off == pytest.approx(0, abs=0.001)
    assert math.degrees(math.acos(abs(pilot.slanting.way[0]))) == pytest.approx(12, abs=0.001)


@pytest.mark.parametrize("seed", range(some(6)))
def test_what_is_screwed_flat_lies_flat(tmp_path: Path, seed: int) -> None:
    """Held against manifold3d: cleat and board share no wood, and pushed a millimetre into the board the cleat shares
    the whole of its face, 50 by 90, with it."""
    rnd = random.Random(seed)
    thick, cleat, rake = rnd.randrange(18, 30), rnd.randrange(28, 40), rnd.randrange(3, 30)
    _, work = read(tmp_path, BACK.format(thick=thick, cleat=cleat, rake=rake, high=rnd.randrange(150, 450)))
    scene = work.space.scene
    one, two = (mesh_of(scene.solids[scene.index(mark)], scene.ticks.per_mm) for mark in ("C", "B1"))
    assert (one ^ two).volume() < 3  # places are true to 1/1000 mm: half of that over 50 x 90
    pair = work.space.contacts.between("C", "B1")
    assert pair is not None
    assert pair.overlap == 0
    turn = math.radians(rake)
    pushed = one.translate([0, -math.cos(turn), math.sin(turn)])
    assert (pushed ^ two).volume() == pytest.approx(50 * 90, rel=2e-3)
