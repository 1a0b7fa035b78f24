"""Where rungs end that go into a round, worked out by hand and by a vector computation of its own."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from shopdocs.core.length import Length
from shopdocs.pipeline.checking import checked
from shopdocs.work.space.placed import Cuboid, PlacedPiece

UPRIGHT = """
build: {title: Frame, mark: F, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 65}}
parts:
  leg:
    material: oak
    size: 45 x 45 x 700
    runs: {length: z, width: x}
    pieces: {L: {x: 0, y: 0, z: 0}, R: {x: 545, y: 0, z: 0}}
  rung:
    material: oak
    thickness: 26
    width: 26
    runs: {length: x, width: z}
    pieces: {U: {x: L.right to R.left, y: centred on 22.5, z: 200}}
joints:
  rungs: {kind: round tenon, from: rung, into: leg, thickness: 16, length: 20}
cuts:
  legs: {kind: round, on: [{piece: leg}], diameters: ['0, 25', '400, 45']}
  rungs: {kind: round, on: [{piece: rung}], diameters: ['0, 16', 'length/2, 26', 'length, 16']}
"""
LEANING = """
build: {title: Stool, mark: S, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 65}}
parts:
  leg:
    material: oak
    thickness: 40
    width: 40
    runs: {length: z, width: x}
    pieces:
      F: {x: centred on 60, y: centred on 60, z: 0 to 400, lean: {splay: 10 left, rake: 6 front}}
      B: {mirror: F across y at 150}
  rung:
    material: oak
    thickness: 26
    width: 26
    runs: {length: y, width: z}
    pieces: {U: {x: centred on (F.left + F.right) / 2, y: F.back to B.front, z: centred on 140}}
joints:
  rungs: {kind: round tenon, from: rung, into: leg, thickness: 16, length: 20}
cuts:
  legs: {kind: round, on: [{piece: leg}], diameters: ['50, 30', '350, 40']}
  rungs: {kind: round, on: [{piece: rung}], diameters: ['0, 16', 'length/2, 26', 'length, 16']}
"""


def pieces(path: Path, text: str) -> dict[str, PlacedPiece]:
    path.write_text(text, "utf-8")
    found = checked(str(path), None)
    assert found.work is not None and found.work.space is not None
    assert not [problem for problem in found.problems if problem.severity == 0], found.problems
    return dict(found.work.space.pieces)


def test_a_rung_between_cones(tmp_path: Path) -> None:
    """Its centre line is at 213, where a leg is 25 + 20 x 213 / 400 = 35.65 across: it ends 17.825 from the middle of
    each leg, at 40.325 and at 549.675, and is 509.35 long. The mortises lie there, and stop 21.5 further in."""
    placed = pieces(tmp_path / "build.yaml", UPRIGHT)
    rung = placed["U"]
    assert (rung.at[0], rung.far[0]) == (Length("40.325"), Length("549.675"))
    assert rung.length == Length("509.35") and rung.turned is not None
    assert rung.turned.end == rung.length, "what is named by its length follows"
    (mortise,) = (cut for cut in placed["L"].cuboids if not cut.adds)
    assert mortise.slant is not None
    spot = placed["L"].spot_in_build(mortise.slant.centre)
    assert spot == (Length("40.325"), Length("22.5"), Length(213))
    assert mortise.slant.deep == Length("21.5")
    tenons: list[Cuboid] = [cut for cut in rung.cuboids if cut.adds]
    assert sorted(round((cut.hi[0] if cut.hi[0] > rung.length else cut.lo[0]).float_mm(), 3) for cut in tenons) == [
        -20.0,
        529.35,
    ]


def test_a_rung_between_leaning_cones(tmp_path: Path) -> None:
    """Both ends lie on the side of the leg: as far from its axis as its radius there, 15 + 5 (s - 50) / 300 at s from
    its foot. The axis runs from (60, 60, 400), the middle of the top, down to where splay and rake of 10 and 6 degrees
    take it: tan 10° to the left and tan 6° to the front for each millimetre down. The foot of the piece is half as far
    beyond its middle line as its level ends reach up and down, so that s counts from its long point."""
    placed = pieces(tmp_path / "build.yaml", LEANING)
    rung, leg = placed["U"], placed["F"]
    top = (60.0, 60.0, 400.0)
    a, b = math.tan(math.radians(10)), math.tan(math.radians(6))
    long = math.sqrt(1 + a * a + b * b)
    up = (a / long, b / long, 1 / long)
    past = (leg.length.float_mm() - 400 * long) / 2
    spot = tuple(((low + high) / 2).float_mm() for low, high in zip(rung.at, rung.far, strict=True))
    end = (spot[0], rung.at[1].float_mm(), spot[2])
    away = [p - q for p, q in zip(end, top, strict=True)]
    along = sum(p * q for p, q in zip(away, up, strict=True))
    beside = math.dist(away, [along * u for u in up])
    from_foot = along + 400 * long + past
    assert 100 < from_foot < 200
    assert beside == pytest.approx(15 + 5 * (from_foot - 50) / 300, abs=0.003)
    assert (rung.at[1] + rung.far[1]) / 2 == Length(150)
