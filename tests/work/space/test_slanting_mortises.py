"""Mortises and tenons at an angle and round ones, cut out of the solids, against meshes of another library."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import manifold3d
import numpy as np
import pytest

from shopdocs.core.length import Length
from shopdocs.model.joining import Face
from shopdocs.work.shapes.carved import bodies_of, without_pins
from shopdocs.work.shapes.clashing import clash, volume_of
from shopdocs.work.space.features import ROUND, Slant
from shopdocs.work.space.placed import side_of
from tests.examples import some
from tests.leaning_stools import Stool
from tests.meshes import of_cells
from tests.sample_jobs import job_of

SKIN = 0.003  # mm: places are true to 1/1000 mm, in each of three directions


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(some(8)))
def test_random_stools_against_manifold(seed: int, tmp_path: Path) -> None:
    """Every piece of a stool of leaning legs as large as the mesh that is made of the written numbers, and the same but
    for a skin as thick as places are rounded; put together, no two share more than such a skin."""
    stool = Stool.at_random(seed)
    path = tmp_path / "b.yaml"
    path.write_text(stool.text(), "utf-8")
    work = job_of(path)
    assert work.space is not None
    scene = work.space.scene
    n = scene.ticks.per_mm
    theirs = stool.meshes()
    for mark, mesh in theirs.items():
        solid = scene.solids[scene.index(mark)]
        ours = of_cells(solid, n)
        skin = SKIN * mesh.surface_area()
        assert sum(map(volume_of, bodies_of(solid))) / n**3 == pytest.approx(mesh.volume(), abs=skin), mark
        assert (ours - mesh).volume() + (mesh - ours).volume() < skin, mark
    for one, two in combinations(scene.pieces, 2):
        first, second = (scene.solids[scene.index(piece.mark)] for piece in (one, two))
        assert clash(first, second) / n**3 < 4, (one.mark, two.mark)
        if one.mark in theirs and two.mark in theirs:
            filled = clash(first, without_pins(second)) + clash(without_pins(first), second)
            meshes: list[manifold3d.Manifold] = [theirs[one.mark], theirs[two.mark]]
            assert (meshes[0] ^ meshes[1]).volume() < 4
            joints = ({f.joint for f in piece.cuboids if f.askew} for piece in (one, two))
            joined = set.intersection(*joints)
            assert (filled > 1000 * n**3) == bool(joined), "filled, a mortise is in the way of its tenon"


@pytest.mark.parametrize("face", Face)
@pytest.mark.parametrize("wide", [None, 25])
def test_a_rim_lies_on_its_face_and_on_the_sides_of_the_mortise(face: Face, wide: int | None) -> None:
    """With numpy, on the near face and, where one asks for it, on the opposite one: every point of the rim in that
    plane, and as far from the middle line as the mortise is thick and wide."""
    dice = np.random.default_rng(7)
    axis, high = side_of(face)
    for _ in range(4):
        way = dice.uniform(-0.4, 0.4, 3)
        way[axis] = -1.0 if high else 1.0
        way /= np.linalg.norm(way)
        aside = np.cross(way, dice.uniform(-1, 1, 3))
        aside /= np.linalg.norm(aside)
        centre = [Length(at) for at in (100, 30, 12)]
        centre[axis] = Length(60) if high else Length(0)
        slant = Slant(face, tuple(centre), tuple(way), tuple(aside), Length(8), None if wide is None else Length(wide))
        for level in (None, Length(0), Length(60)):
            rim = np.array(slant.mouth(level))
            at = centre[axis] if level is None else level
            assert rim[:, axis] == pytest.approx(at.float_mm())
            off = rim - np.array([at.float_mm() for at in centre])
            thick, tall = off @ aside, off @ np.cross(way, aside)
            if wide is None:
                assert np.hypot(thick, tall) == pytest.approx(4)
                assert len(rim) == ROUND
            else:
                assert np.abs(thick) == pytest.approx(4) and np.abs(tall) == pytest.approx(12.5)
                assert len({(x > 0, y > 0) for x, y in zip(thick, tall, strict=True)}) == 4
