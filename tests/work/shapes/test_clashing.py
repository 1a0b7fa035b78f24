"""Volumes that solids with sloping sides share, against manifold3d."""

from __future__ import annotations

import math
import random
from itertools import combinations
from pathlib import Path

import manifold3d
import numpy as np
import pytest

from shopdocs.core.box import Box
from shopdocs.work.shapes.carved import moved
from shopdocs.work.shapes.clashing import all_uncut, clash, radius_for, share_a_ball, shared_uncut, volume_of
from shopdocs.work.shapes.convex import Body, Uncut, body_of, less_prisms, within
from tests.leaning_stools import Stool
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


def turned_block(rnd: random.Random, least: int, most: int) -> Body:
    """A block of so many ticks, turned any way about a place near the origin."""
    size = [rnd.randint(least, most) for _ in range(3)]
    one, two = (np.array([rnd.gauss(0, 1) for _ in range(3)]) for _ in range(2))
    one /= np.linalg.norm(one)
    two = np.cross(one, two) / np.linalg.norm(np.cross(one, two))
    axes, middle = np.column_stack([one, two, np.cross(one, two)]), np.array([rnd.uniform(-600, 600) for _ in range(3)])

    def place(spot: tuple[float, float, float]) -> tuple[float, float, float]:
        x, y, z = axes @ (np.array(spot) - np.array(size) / 2) + middle
        return (float(x), float(y), float(z))

    return moved(body_of(Box((0, 0, 0), (size[0], size[1], size[2]))), place)


def hull(body: Body) -> manifold3d.Manifold:
    return manifold3d.Manifold.hull_points(np.array(sorted(body.corners())))


def test_a_ball_is_found_only_in_wood_that_is_shared() -> None:
    """Of two blocks, one with a hole: where a ball is found, manifold3d measures more wood in both than it was asked
    for; and it is found nearly always where they share much more."""
    rnd, found, much, missed = random.Random(8), 0, 0, 0
    for _ in range(400):
        one, two, prism = turned_block(rnd, 300, 1500), turned_block(rnd, 300, 1500), turned_block(rnd, 100, 1200)
        shared = ((hull(one) - hull(prism)) ^ hull(two)).volume()
        enough = 10 ** rnd.uniform(5, 8)
        if share_a_ball([Uncut(one, (prism,))], [Uncut(two)], radius_for(enough)):
            found += 1
            assert shared > 3.99 * enough
        elif shared > 100 * enough:
            missed += 1
        much += shared > 100 * enough
    assert found > 100
    assert missed < 0.15 * much


def test_what_lies_in_a_hole_shares_nothing() -> None:
    """Blocks with a hole against smaller ones that lie in it, partly or not, against manifold3d."""
    rnd, inside, partly = random.Random(9), 0, 0
    for _ in range(400):
        one, prism, two = turned_block(rnd, 1500, 2500), turned_block(rnd, 800, 1600), turned_block(rnd, 50, 400)
        shared, both = ((hull(one) - hull(prism)) ^ hull(two)).volume(), (hull(one) ^ hull(two)).volume()
        assert shared_uncut([Uncut(one, (prism,))], [Uncut(two)]) == pytest.approx(shared, rel=1e-3, abs=100)
        assert shared_uncut([Uncut(two)], [Uncut(one, (prism,))]) == pytest.approx(shared, rel=1e-3, abs=100)
        inside += shared < 1 < both
        partly += 1 < shared < 0.9 * both
    assert inside > 20
    assert partly > 20


@pytest.mark.parametrize(("radius", "found"), [(40, True), (60, False)])
def test_a_ball_lies_beside_a_hole(radius: int, found: bool) -> None:
    """A hole leaves a slab of 100 of a cube of 1000: no ball of 120 across lies in it."""
    cube, hole = body_of(Box((0, 0, 0), (1000, 1000, 1000))), body_of(Box((100, -50, -50), (1050, 1050, 1050)))
    assert share_a_ball([Uncut(cube, (hole,))], [Uncut(cube)], radius) == found


def test_a_ball_has_four_times_the_volume() -> None:
    assert 4 / 3 * math.pi * radius_for(1000.0) ** 3 == pytest.approx(4000)


@pytest.mark.parametrize("seed", [3, 8, 11])
def test_tenons_in_their_mortises_left_out_at_a_glance(seed: int, tmp_path: Path) -> None:
    """The same as all is cut that two pieces of a stool share, whether a tenon fills its mortise or not; and what they
    share once they are pushed out of line."""
    path = tmp_path / "build.yaml"
    path.write_text(Stool.at_random(seed).text(), "utf-8")
    job = job_of(path)
    assert job.alike is not None
    fitting, rnd = job.alike.fitting, random.Random(seed)
    scale = fitting.ticks.per_mm
    some = 0
    for one, two in combinations(fitting.solids, 2):
        for by in (0, 8 * scale):
            there = two.shifted((rnd.randint(-by, by), rnd.randint(-by, by), rnd.randint(-by, by)))
            ones, twos = all_uncut(one), all_uncut(there)
            expected = 0.0
            for mine, prisms in ones:
                for theirs, others in twos:
                    both = within(mine, theirs.planes)
                    expected += sum(map(volume_of, less_prisms(both, (*prisms, *others)))) if both is not None else 0.0
            assert shared_uncut(ones, twos) == pytest.approx(expected, rel=1e-9, abs=1e-3)
            if one.slants or there.slants:
                enough = rnd.uniform(0, 2) * expected + scale**3
                assert (clash(one, there, 0.0, enough) > enough) == (clash(one, there) > enough)
            some += expected > scale**3
    assert some > 4
