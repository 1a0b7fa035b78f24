"""Volumes, surfaces, contacts and overlaps against manifold3d and trimesh (solids) and shapely (rectangles)."""

from __future__ import annotations

import random
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
import shapely
import shapely.ops
import trimesh

from shopdocs.core.box import Box, Ticks, touch
from shopdocs.core.length import Length
from shopdocs.pipeline import check_build
from shopdocs.work.scene.in_space import space_of
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.contacts import close_pairs, find_contacts
from shopdocs.work.space.drilled import drilled
from tests.meshes import of_boxes
from tests.values import replace
from tests.work.scenes import ALL_POSES, random_box, random_piece, random_scene, random_solid

BUILDS = 500
SAMPLES = Path(__file__).parents[3] / "sample_builds"


def _mesh(solid: Solid) -> trimesh.Trimesh:
    mesh = of_boxes(solid).to_mesh()
    return trimesh.Trimesh(np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts))


def test_volume_of_500_random_solids():
    rnd = random.Random(1)
    for _ in range(BUILDS):
        solid = random_solid(rnd)
        assert solid.volume == pytest.approx(of_boxes(solid).volume(), abs=1e-3)


def test_edges_bound_the_true_surface():
    """Total length of sharp edges against the creases of the mesh, as trimesh measures them."""
    rnd = random.Random(2)
    compared = 0
    for _ in range(120):
        solid = random_solid(rnd)
        mesh = _mesh(solid)
        if not solid.volume or not mesh.is_watertight:
            continue
        sharp = mesh.face_adjacency_edges[mesh.face_adjacency_angles > 0.1]
        creases = np.linalg.norm(mesh.vertices[sharp[:, 0]] - mesh.vertices[sharp[:, 1]], axis=1).sum()
        single = sum(edge.length for edge in solid.edges if len(edge.faces) == 2)
        double = sum(edge.length for edge in solid.edges if len(edge.faces) == 4)  # two corners on one line
        assert single + 2 * double == pytest.approx(creases, abs=1e-2)
        compared += 1
    assert compared > 100


def _flat(box: Box, axis: int) -> shapely.Polygon:
    u, v = (k for k in range(3) if k != axis)
    return shapely.box(box.lo[u], box.lo[v], box.hi[u], box.hi[v])


def _touching_area(one: Solid, two: Solid) -> float:
    """Area where faces of two meshes lie in one plane and look at each other, by shapely from the triangles."""
    area = 0.0
    first, second = _mesh(one), _mesh(two)
    for axis in range(3):
        u, v = (k for k in range(3) if k != axis)
        for sense in (1, -1):
            by_level: list[dict[int, list[shapely.Polygon]]] = [{}, {}]
            for levels, mesh, looks in ((by_level[0], first, sense), (by_level[1], second, -sense)):
                for triangle, normal in zip(mesh.triangles, mesh.face_normals, strict=True):
                    if normal[axis] * looks > 0.9:
                        level = round(float(triangle[0][axis]))
                        levels.setdefault(level, []).append(shapely.Polygon(triangle[:, [u, v]]))
            for level in by_level[0].keys() & by_level[1].keys():
                a, b = (shapely.ops.unary_union(levels[level]) for levels in by_level)
                area += a.intersection(b).area
    return area


@pytest.mark.thorough
def test_contacts_of_500_random_builds():
    touched = overlapped = 0
    for seed in range(BUILDS):
        scene = random_scene(seed, 6)
        contacts = find_contacts(scene)
        per_mm = scene.ticks.per_mm
        assert per_mm == 1
        found = {(p.first, p.second): p for p in contacts.pairs}
        shapes = [of_boxes(solid) for solid in scene.solids]
        for i in range(len(shapes)):
            for j in range(i + 1, len(shapes)):
                pair = found.get((i, j))
                shared = (shapes[i] ^ shapes[j]).volume()
                assert (pair.overlap if pair else 0) == pytest.approx(shared, abs=1e-3)
                overlapped += shared > 0.5
                if scene.solids[i].bounds.common(scene.solids[j].bounds) is None:
                    assert pair is None
                elif shared < 0.5:
                    area = _touching_area(scene.solids[i], scene.solids[j])
                    assert (pair.area if pair else 0) == pytest.approx(area, abs=1e-3)
                    touched += area > 0
    assert touched > 100
    assert overlapped > 500


@pytest.mark.parametrize("name", ["threshold_bench", "spice_cabinet", "potting_table"])
def test_volumes_and_contacts_of_the_samples(name: str):
    """Every piece with its joints cut, and every pair of pieces that meet, dry: no two take the same space."""
    build, shop, _ = check_build(str(SAMPLES / name / "build.yaml"))
    assert build is not None
    space = space_of(build, drilled(build, shop))
    assert space is not None
    solids = space.scene.solids
    shapes = [of_boxes(solid) for solid in solids]
    for solid, shape in zip(solids, shapes, strict=True):
        assert shape.volume() == pytest.approx(solid.volume, rel=1e-6)
    found = {(pair.first, pair.second): pair for pair in find_contacts(space.scene).pairs}
    touched = 0
    for i in range(len(solids)):
        for j in range(i + 1, len(solids)):
            pair = found.get((i, j))
            assert pair is None or not pair.overlap
            assert (shapes[i] ^ shapes[j]).volume() == pytest.approx(0, abs=1e-6 * solids[i].volume)
            if solids[i].bounds.common(solids[j].bounds) is not None:
                area = _touching_area(solids[i], solids[j])
                assert (pair.area if pair else 0) == pytest.approx(area, rel=1e-5, abs=1)
                touched += area > 0
    assert touched > len(solids) / 2


def test_touch_of_plain_boxes_against_shapely():
    rnd = random.Random(3)
    found_any = 0
    for _ in range(4000):
        one, two = random_box(rnd, 8, 5), random_box(rnd, 8, 5)
        reach = rnd.randrange(3)
        found = touch(one, two, reach)
        expected = []
        for axis in range(3):
            gap = max(two.lo[axis] - one.hi[axis], one.lo[axis] - two.hi[axis])
            area = _flat(one, axis).intersection(_flat(two, axis)).area
            if 0 <= gap <= reach and area > 0:
                expected.append((axis, two.lo[axis] >= one.hi[axis], gap, area))
        assert ([(found.axis, found.high, found.gap, found.area)] if found else []) == expected
        found_any += bool(found)
    assert found_any > 200


def test_close_pairs_are_those_of_comparing_all():
    rnd = random.Random(4)
    for count in (0, 1, 2, 3, 10, 40, 150):
        for reach in (0, 3):
            boxes = [random_box(rnd, 60, rnd.choice((4, 25))) for _ in range(count)]
            every = {(i, j) for i in range(count) for j in range(i + 1, count) if max(boxes[i].gaps(boxes[j])) <= reach}
            found = list(close_pairs(boxes, reach))
            assert len(found) == len(set(found))
            assert set(found) == every


def test_poses_keep_the_piece_and_turn_back():
    """All 48 ways a box can lie, half of them mirrored (24 rotations of the cube, and 24 with a reflection)."""
    assert len(set(ALL_POSES)) == 48
    assert sum(pose.right_handed for pose in ALL_POSES) == 24
    for number, pose in enumerate(ALL_POSES):
        unit = [[0.0] * 3 for _ in range(3)]
        for axis, toward in enumerate(pose.axes):
            unit[axis][toward.index] = 1.0 if toward.forward else -1.0
        assert (np.linalg.det(unit) > 0) == pose.right_handed
        rnd = random.Random(number)
        piece = random_piece(rnd, "P")
        turned = replace(piece, pose=pose)
        there = turned.spot_in_build((Length(1), Length(2), Length(Fraction(1, 3))))
        assert turned.spot_in_piece(there) == (Length(1), Length(2), Length(Fraction(1, 3)))
        assert turned.solid(Ticks(1)).volume == piece.own_solid(Ticks(1)).volume


def test_loose_pieces_and_near_misses():
    scene = random_scene(9, 1)
    piece = scene.pieces[0]
    edge = piece.far[0]
    near = replace(piece, mark="Q", at=(edge + Length.inches("1/64"), piece.at[1], piece.at[2]), features=())
    both = type(scene).of([replace(piece, features=()), near])
    assert find_contacts(both).loose() == ("P0", "Q")
    gaps = find_contacts(both, Length.inches("1/32")).pairs[0].gaps
    assert [both.ticks.length(gap.gap) for gap in gaps] == [Length.inches("1/64")]


@pytest.mark.parametrize("axis", [0, 1, 2])
@pytest.mark.parametrize("far", [-1, 0, 1, 2])
def test_a_solid_moves_by_any_step(axis: int, far: int) -> None:
    solid = random_solid(random.Random(5))
    by = (far * (axis == 0), far * (axis == 1), far * (axis == 2))
    moved = solid.shifted(by)
    assert moved.body.lo == tuple(a + b for a, b in zip(solid.body.lo, by, strict=True))
    assert moved.bounds.hi == tuple(a + b for a, b in zip(solid.bounds.hi, by, strict=True))
