"""Mortises and tenons at an angle and round ones, cut out of the solids, against meshes of another library."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import manifold3d
import pytest

from shopdocs.work.shapes.carved import bodies_of, without_pins
from shopdocs.work.shapes.clashing import clash, volume_of
from tests.examples import some
from tests.leaning_stools import Stool
from tests.meshes import of_cells
from tests.sample_jobs import job_of

SKIN = 0.003  # mm: places are true to 1/1000 mm, in each of three directions


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
