"""Volumes that solids with sloping sides share, against manifold3d."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from shopdocs.work.shapes.clashing import clash
from tests.meshes import of_cells
from tests.sample_jobs import job_of

TABLE = Path(__file__).parents[3] / "sample_builds" / "potting_table" / "build.yaml"


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
        expected = (of_cells(one, scale) ^ of_cells(moved, scale)).volume()
        assert clash(one, moved) / scale**3 == pytest.approx(expected, rel=1e-3, abs=0.5)
        assert clash(moved, one) == pytest.approx(clash(one, moved), rel=1e-6, abs=scale**3 / 2)


def test_a_joint_as_it_belongs_shares_nothing() -> None:
    job = job_of(TABLE)
    assert job.alike is not None
    fitting = job.alike.fitting
    front, side = (fitting.solids[fitting.index[mark]] for mark in ("DF1", "SL1"))
    assert clash(front, side) / float(fitting.ticks.per_mm) ** 3 < 0.1
