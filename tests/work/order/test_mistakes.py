"""Wrong ways and wrong pieces, stage by stage, against rotated meshes of another geometry library."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from pathlib import Path

import manifold3d
import numpy as np
import pytest

from shopdocs.documents.fitting.turned import ways_of
from shopdocs.documents.job import Job
from shopdocs.work.space.placed import Bore, PlacedPiece, side_of
from tests.meshes import of_cells
from tests.sample_jobs import job_of

SAMPLES = Path(__file__).parents[3] / "sample_builds"
JOBS: dict[str, Job] = {}


def job(name: str) -> Job:
    if name not in JOBS:
        JOBS[name] = job_of(SAMPLES / name / "build.yaml")
    return JOBS[name]


def ways(name: str, mark: str) -> list[tuple[str, int, int | None]]:
    alike = job(name).alike
    assert alike is not None
    return [(one.way.words, one.stage, one.found) for one in alike.mistakes(mark)]


@pytest.mark.parametrize(("mark", "stage"), [("RL", 1), ("RR", 2)])
def test_the_end_rails_of_the_bench(mark: str, stage: int) -> None:
    """Worked out on the real rail: two equal tenons, so it goes into its legs four ways. Its housing for the stretcher
    must face inside and down; three ways put it outside or on top, and only the stretcher, at stage 3, would tell."""
    assert len(ways("threshold_bench", mark)) == 3
    assert {(one, found) for _, one, found in ways("threshold_bench", mark)} == {(stage, 3)}


def test_top_bottom_and_side_of_the_cabinet() -> None:
    """Top and bottom have one rabbet, at the rear and inside: of four ways three are wrong, and only the back, which is
    put on after the glue, would tell. The left side upside down has its housings elsewhere: the shelves tell, stage
    3."""
    for mark in ("TP", "BT"):
        assert [(stage, found) for _, stage, found in ways("spice_cabinet", mark)] == [(2, 0)] * 3
    assert ways("spice_cabinet", "L") == [("upside down", 2, 3)]


def test_the_back_of_the_cabinet_is_told_by_its_slots() -> None:
    """Two slots right through, as far from the left as from the right: half a turn about the upright is harmless."""
    alike = job("spice_cabinet").alike
    assert alike is not None
    assert all("upside down" in words for words, _, _ in ways("spice_cabinet", "BK"))
    assert [way.seen for way in ways_of(alike, "BK")] == ["screw holes nearer the top"]


def test_drawers_of_the_potting_table() -> None:
    """The pins of a drawer's back slope: end for end their cheeks would clash with the tails. Its bottom is a plain
    rectangle of plywood: it goes in every way, and every way is right."""
    for mark in ("DB1", "DB2", "DM1", "DM2", "DF1", "SL1", "SR1"):
        assert ways("potting_table", mark) == []


def test_handed_drawer_sides_do_not_go_in_for_each_other() -> None:
    """Lapped tails at the front, through ones at the rear, and the groove inside: a left side does not go in right."""
    alike = job("potting_table").alike
    assert alike is not None
    assert alike.swap("SL1", "SR1") is None
    assert alike.swap("SR1", "SL1") is None


def test_a_swapped_leg_is_found_when_the_frame_goes_on() -> None:
    """Rear legs of the bench are mirror images; each goes into its end rail's tenon, and the long rail finds it."""
    alike = job("threshold_bench").alike
    assert alike is not None
    swap = alike.swap("BL", "BR")
    assert swap is not None
    assert (swap.stage, swap.found) == (2, 3)


# By brute force: all 24 rotations as matrices, meshes of another library.

ROTATIONS = [
    matrix
    for order in itertools.permutations(range(3))
    for signs in itertools.product((1, -1), repeat=3)
    if round(float(np.linalg.det(matrix := np.eye(3)[list(order)] * np.array(signs)[:, None]))) == 1
]


def wood(job: Job, mark: str) -> manifold3d.Manifold:
    """The piece in millimetres of the build."""
    assert job.alike is not None
    fitting = job.alike.fitting
    return of_cells(fitting.solids[fitting.index[mark]], float(fitting.ticks.per_mm))


def holes(piece: PlacedPiece) -> Iterator[manifold3d.Manifold]:
    """What is bored out of it, countersinks as wider holes, slots as boxes."""
    for bore in piece.bores:
        yield tube(piece, bore, float(bore.diameter.mm), None)
        if bore.head is not None:
            yield tube(piece, bore, float(bore.head.mm), 1.0)


def tube(piece: PlacedPiece, bore: Bore, wide: float, deep: float | None) -> manifold3d.Manifold:
    axis, high = side_of(bore.face)
    depth = deep or float((bore.depth or piece.size[axis]).mm)
    low = [float(v.mm) for v in bore.centre]
    lo = [v - wide / 2 for v in low]
    hi = [v + wide / 2 for v in low]
    lo[axis], hi[axis] = (low[axis] - depth, low[axis]) if high else (low[axis], low[axis] + depth)
    if bore.slot is not None and deep is None:
        half = float((bore.slot - bore.diameter).mm) / 2
        lo[bore.slot_axis] -= half
        hi[bore.slot_axis] += half
    ends = [
        [float(v.mm) for v in piece.spot_in_build([type(bore.diameter)(str(round(x, 6))) for x in spot])]
        for spot in (lo, hi)
    ]
    one, two = np.min(ends, axis=0), np.max(ends, axis=0)
    return manifold3d.Manifold.cube([float(v) for v in two - one]).translate([float(v) for v in one])


def turned(solid: manifold3d.Manifold, matrix: np.ndarray, centre: np.ndarray) -> manifold3d.Manifold:
    affine = [[*map(float, row), 0.0] for row in matrix]
    return solid.translate([-float(v) for v in centre]).transform(affine).translate([float(v) for v in centre])


@pytest.mark.parametrize("name", ["threshold_bench", "spice_cabinet", "potting_table"])
def test_mistakes_by_brute_force(name: str) -> None:
    """For every piece and every rotation that brings its stock back into its place with the grain along: it is a
    mistake of its stage exactly where it shares no more wood with what is there than the right way does (a slack of
    half a millimetre each way at slopes) and yet is another piece of wood then."""
    work = job(name)
    assert work.space is not None and work.alike is not None
    meshes = {mark: wood(work, mark) for mark in work.space.pieces}
    tried: set[object] = set()
    for mark, piece in work.space.pieces.items():
        meets = work.alike.meets(mark)
        key = (piece.part, meets.numbers, len(meets.groups[0]), frozenset(f.joint for f in piece.features))
        if key in tried:
            continue
        tried.add(key)
        fitting = work.alike.fitting
        shape, scale = fitting.shapes[fitting.index[mark]], float(fitting.ticks.per_mm)
        size = np.array(shape.body.size) / scale
        centre = (np.array(shape.body.lo) + np.array(shape.body.hi)) / 2 / scale
        bored = list(holes(piece))
        solid = (
            meshes[mark] - manifold3d.Manifold.batch_boolean(bored, manifold3d.OpType.Add) if bored else meshes[mark]
        )
        expected = []
        for matrix in ROTATIONS:
            if not np.allclose(abs(matrix) @ size, size) or not abs(matrix[shape.grain, shape.grain]):
                continue
            other = turned(solid, matrix, centre)
            if (other - solid).volume() < 1 and (solid - other).volume() < 1:
                continue
            plain = turned(meshes[mark], matrix, centre)
            stops = None
            for number, group in zip(meets.numbers, meets.groups, strict=True):
                clash = sum((plain ^ meshes[o]).volume() - (meshes[mark] ^ meshes[o]).volume() for o in group)
                if clash > 1:
                    stops = number
                    break
            if stops != meets.numbers[0]:
                expected.append(stops)
        found = [one.found for one in work.alike.mistakes(mark)]
        assert sorted(map(str, found)) == sorted(map(str, expected)), mark
    assert len(tried) > 5
