"""Volumes that solids with sloping sides share, against manifold3d."""

from __future__ import annotations

import random
from pathlib import Path

import manifold3d
import numpy as np
import pytest

from shopdocs.work.shapes.clashing import clash
from shopdocs.work.shapes.solid import Solid
from tests.sample_jobs import job_of

TABLE = Path(__file__).parents[3] / "sample_builds" / "potting_table" / "build.yaml"


def mesh(solid: Solid, scale: float) -> manifold3d.Manifold:
    parts = [
        manifold3d.Manifold.cube([v / scale for v in box.size]).translate([v / scale for v in box.lo])
        for box in solid.plain_cells
    ]
    if solid.slopes:
        low = np.array(solid.body.lo)
        for body in solid.sloped.bodies:
            corners = np.unique(np.round(np.array([spot for face in body.faces for spot in face]), 3), axis=0)
            parts.append(manifold3d.Manifold.hull_points((corners + low) / scale))
    return manifold3d.Manifold.batch_boolean(parts, manifold3d.OpType.Add)


@pytest.mark.parametrize("seed", range(6))
def test_dovetailed_pieces_pushed_into_each_other(seed: int) -> None:
    """Front, side and back of a drawer, each moved up to 15 mm along each axis from where it belongs: the wood they
    share, in cubic millimetres."""
    job = job_of(TABLE)
    assert job.alike is not None
    fitting, rnd = job.alike.fitting, random.Random(seed)
    scale = float(fitting.ticks.per_mm)
    for first, second in (("DF1", "SL1"), ("DB1", "SR1"), ("SL1", "DM1")):
        one, two = (fitting.solids[fitting.index[mark]] for mark in (first, second))
        by = tuple(round(rnd.randint(-150, 150) / 10 * scale) for _ in range(3))
        moved = two.shifted((by[0], by[1], by[2]))
        expected = (mesh(one, scale) ^ mesh(moved, scale)).volume()
        assert clash(one, moved) / scale**3 == pytest.approx(expected, rel=1e-3, abs=0.5)
        assert clash(moved, one) == pytest.approx(clash(one, moved), rel=1e-6, abs=scale**3 / 2)


def test_a_joint_as_it_belongs_shares_nothing() -> None:
    job = job_of(TABLE)
    assert job.alike is not None
    fitting = job.alike.fitting
    front, side = (fitting.solids[fitting.index[mark]] for mark in ("DF1", "SL1"))
    assert clash(front, side) / float(fitting.ticks.per_mm) ** 3 < 0.1
