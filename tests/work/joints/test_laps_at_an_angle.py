"""Half laps of pieces that cross at an angle, against manifold3d and worked out by hand."""

from __future__ import annotations

import math
import random
from pathlib import Path

import manifold3d
import numpy as np
import pytest

from shopdocs.core.problems import Severity
from shopdocs.pipeline import check_build
from shopdocs.work.computed import Computed
from shopdocs.work.space.let_in import marked_side, off_square
from tests.examples import some
from tests.work.space.test_tipping import mesh_of, read


def crossed(
    wide: tuple[float, float] = (70, 70),
    thick: tuple[float, float] = (40, 40),
    splay: tuple[float, float] = (30, 30),
    rear: float = 0,
    high: float = 800,
    lap: str = "",
) -> str:
    """Two legs that lean to each other in one plane and cross halfway up; the second stands `rear` behind the first."""
    apart = high / 2 * sum(math.tan(math.radians(each)) for each in splay)
    legs = "".join(
        f"""
  leg {mark}:
    material: ash
    thickness: {thick[k]:g}
    width: {wide[k]:g}
    runs: {{length: z, width: x}}
    pieces:
      {mark}: {{x: centred on {300 + k * round(apart, 3):g}, y: {k * rear:g}, z: 0 to {high:g},
        lean: {{splay: {splay[k]:g} {("right", "left")[k]}}}}}"""
        for k, mark in enumerate("LR")
    )
    return f"""
build: {{title: Trial, mark: T, units: mm}}
materials: {{ash: {{kind: hardwood, rough: 60}}}}
parts:{legs}
joints:
  crossing: {{kind: half lap, from: leg L, into: leg R{lap}}}
"""


def turned(wide: float, thick: float, at: float, rear: float, splay: float, high: float) -> manifold3d.Manifold:
    """A leg as it stands: a long box about the middle of its top, turned about the front-to-rear line, its ends sawn
    level. The foot of a leg with a splay above zero lies to the right."""
    long = 3 * high
    box = manifold3d.Manifold.cube([wide, thick, long]).translate([-wide / 2, 0, -long / 2])
    c, s = math.cos(math.radians(splay)), math.sin(math.radians(splay))
    # the way down of the leg is (sin, 0, -cos): its own z points to (-sin, 0, cos), its own x to (cos, 0, sin)
    matrix = np.array([[c, 0, -s, at], [0, 1, 0, rear], [s, 0, c, high]])
    level = manifold3d.Manifold.cube([20 * high, 20 * high, high]).translate([-10 * high, -10 * high, 0])
    return box.transform(matrix) ^ level


def test_the_lap_of_an_x_by_hand(tmp_path: Path) -> None:
    """Two legs of 70 x 40 that splay 30 degrees each and stand 800 high cross at 60 degrees in the middle of both.
    Along its middle a leg is 800 / cos 30 = 923.7604 long, from long point to long point 70 tan 30 = 40.4145 more:
    964.1749, its middle 482.0875 from end A. The other leg takes 70 / sin 60 = 80.8290 along the edges of this one, and
    lies 70 / tan 60 = 40.4145 farther on at one edge than at the other: at the one it reaches from 482.0875 - 40.4145 -
    20.2073 = 421.4658 on, at the other from 461.8802 on. Both halves are 20 thick."""
    _, work = read(tmp_path, crossed())
    for mark in "LR":
        (lap,) = [one for one in work.space.pieces[mark].cuboids if one.slant is not None]
        ends = sorted(spot[0].float_mm() for spot in marked_side(lap))
        assert ends == pytest.approx([421.4658, 461.8802], abs=0.002)
        assert {spot[1].float_mm() for spot in marked_side(lap)} == {0, 70}
        assert off_square(lap) == pytest.approx(30, abs=0.001)
        assert lap.slant.thick.float_mm() == pytest.approx(70, abs=0.002)
        assert lap.slant.wide.float_mm() == pytest.approx(80.8290, abs=0.002)
        assert lap.slant.deep.float_mm() == 20
    # glued over the whole four-sided place: 70 x 70 / sin 60 = 5658.03 square millimetres
    (joinery,) = work.space.joinery.values()
    assert float(joinery.glue_area) == pytest.approx(5658.03, abs=0.1)
    row = next(row for group in work.groups for row in group.rows)
    assert row.joinery.length.float_mm() == pytest.approx(964.175, abs=0.001)


def test_the_same_lap_in_the_edges_by_hand(tmp_path: Path) -> None:
    """The same two legs, but sawn from stock 70 thick and 40 wide: the wide faces cross now, and each lap is cut in an
    edge. It goes in square to that edge, along the width alone, and its figures are those above."""
    text = crossed(wide=(40, 40), thick=(70, 70)).replace("width: x", "width: y").replace("rough: 60", "rough: 80")
    _, work = read(tmp_path, text)
    for mark in "LR":
        (lap,) = [one for one in work.space.pieces[mark].cuboids if one.slant is not None]
        ends = sorted(spot[0].float_mm() for spot in marked_side(lap))
        assert ends == pytest.approx([421.4658, 461.8802], abs=0.002)
        assert [abs(part) for part in lap.slant.way] == [0, 1, 0]
        assert math.hypot(*lap.slant.across) == pytest.approx(1)
        assert sum(a * b for a, b in zip(lap.slant.way, lap.slant.across, strict=True)) == pytest.approx(0)
        assert lap.slant.wide.float_mm() == pytest.approx(80.8290, abs=0.002)
        assert lap.slant.deep.float_mm() == 20


@pytest.mark.parametrize("seed", range(some(8)))
def test_laps_against_a_mesh(tmp_path: Path, seed: int) -> None:
    """Two boxes turned and lapped by manifold3d alone: the first keeps the front half of what both lie in."""
    rnd = random.Random(seed)
    wide, splay = (rnd.uniform(40, 90) for _ in range(2)), (rnd.uniform(10, 40) for _ in range(2))
    (a, b), (c, d) = ([round(v) for v in each] for each in (wide, splay))
    one, two = rnd.choice([30, 36, 40]), rnd.choice([30, 36, 40])
    rear, high = rnd.choice([0, 0, 4, 8]) if one <= two else 0, 900.0
    deep = rnd.choice([None, None, 14])
    text = crossed((a, b), (one, two), (c, d), rear, high, f", depth: {deep}" if deep else "")
    path = tmp_path / "b.yaml"
    path.write_text(text, "utf-8")
    build, shop, problems = check_build(str(path))
    told = {p.code for p in problems if p.severity is Severity.ERROR}
    # where neither face of a piece is level with the other's, its half would have to lie within it
    front, behind = max(0.0, rear), min(one, two + rear)
    within = [mark for mark, end, level in (("L", one, behind), ("R", rear, front)) if end != level]
    assert told == ({"lap-inside"} if within else set())
    if within:
        return
    work = Computed(build, shop)
    apart = round(high / 2 * (math.tan(math.radians(c)) + math.tan(math.radians(d))), 3)
    legs = [turned(a, one, 300, 0, c, high), turned(b, two, 300 + apart, rear, -d, high)]
    at = front + (deep or (behind - front) / 2)
    room = manifold3d.Manifold.cube([4000, at, 4000]).translate([-2000, 0, -1000])
    wanted = [legs[0] - (legs[1] - room), legs[1] - (legs[0] ^ room)]
    scene = work.space.scene
    for mark, mesh in zip("LR", wanted, strict=True):
        own = mesh_of(scene.solids[scene.index(mark)], scene.ticks.per_mm)
        off = (own - mesh).volume() + (mesh - own).volume()
        assert off < 1e-5 * mesh.volume()
    pair = work.space.contacts.between("L", "R")
    assert pair is not None
    assert pair.overlap == 0


def test_a_level_rail_lapped_over_a_splayed_leg(tmp_path: Path) -> None:
    """By hand: a level rail of 50 x 20 over a leg of 60 x 40 that splays 20 degrees, front faces level. On the leg the
    lap is 50 high: 50 / cos 20 = 53.2089 along its edges; on the rail the leg takes 60 / cos 20 = 63.8507 along its
    edges. Each is cut 10 deep over 60 x 50 / cos 20 = 3192.53 square millimetres; both lie 20 degrees off square."""
    text = """
build: {title: Trial, mark: T, units: mm}
materials: {ash: {kind: hardwood, rough: 60}}
parts:
  leg:
    material: ash
    thickness: 40
    width: 60
    runs: {length: z, width: x}
    pieces: {L: {x: centred on 300, y: 0, z: 0 to 600, lean: {splay: 20 right}}}
  rail:
    material: ash
    size: 20 x 50 x 500
    runs: {length: x, width: z}
    pieces: {M: {x: 150, y: 0, z: 300}}
joints:
  laps: {kind: half lap, from: rail, into: leg}
"""
    path = tmp_path / "b.yaml"
    path.write_text(text, "utf-8")
    build, shop, problems = check_build(str(path))
    # the leg is 40 thick and the rail 20: the rear half of what both lie in is no outer face of the leg
    assert [p.code for p in problems if p.severity is Severity.ERROR] == []
    work = Computed(build, shop)
    for mark, along in (("M", 63.8507), ("L", 53.2089)):
        (lap,) = [one for one in work.space.pieces[mark].cuboids if one.slant is not None]
        ends = [spot[0].float_mm() for spot in marked_side(lap)]
        first = [side.start for side in lap.flare.waste if side.start[1] == side.end[1]]
        assert first
        runs = [
            abs((side.end[0] - side.start[0]).float_mm()) for side in lap.flare.waste if side.start[1] == side.end[1]
        ]
        assert runs == pytest.approx([along, along], abs=0.003)
        assert off_square(lap) == pytest.approx(20, abs=0.001)
        assert len(ends) == 2


def test_a_rail_that_ends_at_the_outside_of_its_legs_is_sawn_to_them(tmp_path: Path) -> None:
    """By hand: legs 60 wide that splay 20 degrees from 300 and 700, 600 up; 200 up the middle of the left one stands
    at 300 - 400 tan 20 = 154.4119, its outside 30 / cos 20 = 31.9253 farther out, at 122.4866. A rail 50 high is as
    long in its middle as 1000 - 2 x 122.4866 = 755.0268, and 50 tan 20 = 18.1985 longer along its lower edge:
    773.2253. Each lap is the whole of what lies over the leg: 60 x 50 / cos 20 = 3192.53 square millimetres."""
    text = """
build: {title: Trial, mark: T, units: mm}
materials: {ash: {kind: hardwood, rough: 60}}
parts:
  leg:
    material: ash
    thickness: 40
    width: 60
    runs: {length: z, width: x}
    pieces:
      L: {x: centred on 300, y: 0, z: 0 to 600, lean: {splay: 20}}
      R: {mirror: L across x at 500}
  rail:
    material: ash
    thickness: 40
    width: 50
    runs: {length: x, width: z}
    pieces: {M: {x: L.left to R.right, y: 0, z: centred on 200}}
joints:
  laps: {kind: half lap, from: rail, into: leg}
"""
    build, work = read(tmp_path, text)
    assert build.part("rail").length.float_mm() == pytest.approx(773.2253, abs=0.002)
    assert len(work.space.joinery) == 2
    assert {cut.name for cut in build.cuts} == {"level end of leg", "end of rail"}
    for made in work.space.joinery.values():
        assert float(made.glue_area) == pytest.approx(3192.53, abs=0.1)
    scene = work.space.scene
    rail, *legs = (mesh_of(scene.solids[scene.index(mark)], scene.ticks.per_mm) for mark in "MLR")
    # all that is left of the rail: between slanting ends 755.0268 apart, less two laps 20 deep
    assert rail.volume() == pytest.approx(755.0268 * 50 * 40 - 2 * 20 * 3192.53, rel=1e-5)
    assert all((rail ^ leg).volume() < 3 for leg in legs)
