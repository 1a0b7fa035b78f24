"""Rails into the side of a round, against its flat: worked out by hand and against manifold3d."""

from __future__ import annotations

import math
import random
from pathlib import Path

import manifold3d
import pytest

from shopdocs.pipeline import check_build
from shopdocs.work.space.placed import STRIPS, FeatureKind
from tests.examples import some
from tests.sample_jobs import document_of, job_of
from tests.work.space.test_tipping import mesh_of, read


def frame(
    diameters: str,
    thick: float = 22,
    high: float = 60,
    at: float = 370,
    length: int = 22,
    off: float = 0,
    turn: str = "",
) -> str:
    """Two round legs of 45 x 45 x 800 stock whose middles stand 500 apart, and a rail between them."""
    return f"""
build: {{title: Trial, mark: T, units: mm}}
materials: {{ash: {{kind: hardwood, rough: 65}}}}
parts:
  leg:
    material: ash
    size: 45 x 45 x 800
    runs: {{length: z, width: x}}
    pieces: {{L: {{x: 0, y: 0, z: 0{turn}}}, R: {{x: 500, y: 0, z: 0{turn}}}}}
  rail:
    material: ash
    thickness: {thick:g}
    width: {high:g}
    runs: {{length: x, width: z}}
    pieces: {{P: {{x: L.right to R.left, y: centred on {22.5 + off:g}, z: {at:g}}}}}
joints:
  rails: {{kind: mortise and tenon, from: rail, into: leg, thickness: 8, width: 40, length: {length}, flat: yes}}
cuts:
  legs: {{kind: round, on: [{{piece: leg}}], diameters: [{diameters}]}}
"""


NOWHERE = """
build: {title: Trial, mark: T, units: mm}
materials: {ash: {kind: hardwood, rough: 65}}
parts:
  leg: {material: ash, size: 45 x 45 x 800, pieces: [L1]}
  rail: {material: ash, size: 22 x 60 x 400, pieces: [R1]}
joints: {rails: {kind: mortise and tenon, pieces: [R1 into L1 at A], thickness: 8, length: 20, flat: yes}}
cuts: {legs: {kind: round, on: [{piece: leg}], diameters: ['0, 40', 'length, 40']}}
"""
CONE = "'0, 24', '340, 42', '460, 40', 'length, 24'"


def test_a_flat_by_hand(tmp_path: Path) -> None:
    """From 340 to 460 the legs go from 42 to 40: at 430, the top of the rail, they are 42 - 2 x 90 / 120 = 40.5 across.
    There a flat 22 wide lies root(20.25^2 - 11^2) = 17.0018 from the middle, and 20.25 - 17.0018 = 3.2482 deep. The
    rail is 500 - 2 x 17.0018 = 465.9964 long, and 44 longer with its tenons."""
    _, work = read(tmp_path, frame(CONE))
    rail, leg = work.space.pieces["P"], work.space.pieces["L"]
    assert rail.length.float_mm() == pytest.approx(465.9964, abs=0.002)
    (flat,) = [cut for cut in leg.cuboids if cut.kind is FeatureKind.FLAT]
    (mortise,) = [cut for cut in leg.cuboids if cut.kind is FeatureKind.MORTISE]
    assert [(flat.lo[0].float_mm(), flat.hi[0].float_mm())] == [(370, 430)]
    assert flat.lo[1].float_mm() == pytest.approx(22.5 + 17.0018, abs=0.002)
    assert mortise.hi[1] == flat.lo[1]
    assert mortise.size[1].float_mm() == 23.5  # 22, and 1.5 more
    row = next(row for group in work.groups for row in group.rows if row.part.name == "rail")
    assert row.joinery.length.float_mm() == pytest.approx(465.9964 + 44, abs=0.002)


def test_the_drawing_gauges_the_flat_and_the_mortise_from_it(tmp_path: Path) -> None:
    path = tmp_path / "b.yaml"
    path.write_text(frame(CONE), "utf-8")
    said = repr(document_of(job_of(path), "piece-drawings").blocks)
    assert "flat 22 × 60, ≈3 deep; mortise 8 × 40, 23.5 deep" in said
    assert "1: flat, ≈3 deep" in said and "1: 23.5 deep" in said
    assert "draw the line of each face that gets a flat over both ends" in said


@pytest.mark.parametrize("seed", range(some(8)))
def test_flats_against_a_body_of_revolution(tmp_path: Path, seed: int) -> None:
    """Legs of two cones, any way round, the rail a little beside their middle: the left leg less all beyond the flat,
    as high as the rail, and less the mortise."""
    rnd = random.Random(seed)
    foot, middle, head = rnd.randint(22, 34), rnd.randint(36, 45), rnd.randint(30, 44)
    thick, high, at = rnd.randint(12, 24), rnd.randint(44, 90), rnd.randint(250, 400)
    knee, off = rnd.randint(200, 500), rnd.choice([0, 0, 1, -2])
    turn = rnd.choice(["", ", end A: top", ", face edge: right", ", end A: top, face edge: right"])
    spots = [(0, foot), (knee, middle), (800, head)]
    if "top" in turn:
        spots = [(800 - place, wide) for place, wide in reversed(spots)]
    told = ", ".join(f"'{place}, {wide}'" for place, wide in spots)
    _, work = read(tmp_path, frame(told, thick, high, at, 15, off, turn))

    def across(z: float) -> float:
        return foot + (middle - foot) * z / knee if z < knee else middle + (head - middle) * (z - knee) / (800 - knee)

    least = min(across(at), across(at + high))
    level = math.sqrt(least**2 / 4 - (thick / 2 + abs(off)) ** 2)
    side = [(0, 0), (foot / 2, 0), (middle / 2, knee), (head / 2, 800), (0, 800)]
    leg = manifold3d.Manifold.revolve(manifold3d.CrossSection([side]), STRIPS)
    leg -= manifold3d.Manifold.cube([99, 99, high]).translate([level, -49.5, at])
    leg -= manifold3d.Manifold.cube([16.5, 8, 40]).translate([level - 16.5, off - 4, at + high / 2 - 20])
    scene = work.space.scene
    own = mesh_of(scene.solids[scene.index("L")], scene.ticks.per_mm)
    wanted = leg.translate([22.5, 22.5, 0])
    assert (own - wanted).volume() + (wanted - own).volume() < 3e-5 * wanted.volume()
    rail = mesh_of(scene.solids[scene.index("P")], scene.ticks.per_mm)
    assert (own ^ rail).volume() < 1
    assert work.space.pieces["P"].length.float_mm() == pytest.approx(500 - 2 * level, abs=0.003)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (frame("'0, 20', 'length, 20'"), "L is 20 mm across where P meets it"),
        (frame("'0, 24', '400, 40'"), "L is not round all along the shoulder of P"),
        (frame(CONE).replace("mortise and tenon", "dowels").replace(", width: 40", ""), "a flat for dowels"),
        (frame(CONE)[: frame(CONE).index("cuts:")], "L is no round that stands square to P"),
        (NOWHERE, "a flat on 'L1' for 'R1', and no place for both"),
        (frame(CONE).replace(", flat: yes", ""), "L is round where P meets it"),
    ],
)
def test_where_no_flat_can_be(tmp_path: Path, text: str, told: str) -> None:
    path = tmp_path / "b.yaml"
    path.write_text(text, "utf-8")
    found = [problem for problem in check_build(str(path))[2] if told in problem.wrong]
    assert len(found) == 1
    if "flat" not in text:
        assert "; or write flat: yes in the joint" in found[0].right
