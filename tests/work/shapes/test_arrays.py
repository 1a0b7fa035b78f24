"""Faces and edges as arrays, against the same looked at one by one."""

from __future__ import annotations

import random

import numpy as np
import pytest

from shopdocs.work.shapes.arrays import Faces, all_faces, edge_sides, faces_of, shown_faces_of
from shopdocs.work.shapes.hidden_sloped import FaceSet, seen_spans
from shopdocs.work.shapes.lines_about import STEP, Side, SlopedEdge
from shopdocs.work.shapes.projection import ISOMETRIC, ISOMETRIC_BELOW, TOP, View

Vector = tuple[float, float, float]
VIEWS = pytest.mark.parametrize("view", [ISOMETRIC, ISOMETRIC_BELOW, TOP], ids=lambda view: view.name)


def way(rnd: random.Random) -> Vector:
    one = np.array([rnd.gauss(0, 1) for _ in range(3)])
    a, b, c = one / np.linalg.norm(one)
    return (float(a), float(b), float(c))


def some_edges(rnd: random.Random, many: int) -> list[SlopedEdge]:
    def corner() -> tuple[int, int, int]:
        return (rnd.randint(0, 900), rnd.randint(0, 900), rnd.randint(0, 900))

    def sides() -> tuple[Side, ...]:
        return tuple(Side(way(rnd), way(rnd)) for _ in range(rnd.randint(1, 3)))

    return [SlopedEdge(corner(), corner(), sides(), rnd.random() < 0.5) for _ in range(many)]


@VIEWS
def test_edges_that_are_drawn(view: View) -> None:
    """A soft one only where some face beside it looks to the eye and some does not; seen from end to end, where nothing
    is in front, if a face beside it looks to the eye."""
    rnd = random.Random(view.name)
    solids = [(some_edges(rnd, 40), (rnd.randint(-99, 99), 5, -7)) for _ in range(3)]
    expected = []
    for edges, home in solids:
        for edge in edges:
            looks = [float(np.dot(side.out, view.toward)) > 0 for side in edge.sides]
            if not edge.soft or (any(looks) and not all(looks)):
                moved = [tuple(a + b for a, b in zip(end, home, strict=True)) for end in (edge.start, edge.end)]
                expected.append((*moved, [(0.0, 1.0)] * sum(looks)))
    nothing = FaceSet(view, all_faces([]))
    found = seen_spans([(edge_sides(edges), home) for edges, home in solids], view, (nothing,))
    assert found == expected
    assert 20 < len(expected) < 120


def test_a_side_is_looked_at_just_beside_its_edge() -> None:
    """Two sides of one edge, left and right of it, and a roof over what lies to the right alone."""
    left, right = Side((-1.0, 0.0, 0.0), (0.0, 0.0, 1.0)), Side((1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    roof = faces_of([((1.0, -50.0, 90.0), (99.0, -50.0, 90.0), (99.0, 300.0, 90.0), (1.0, 300.0, 90.0))], [(0, 0, 1.0)])
    assert STEP > 1
    for side, seen in ((left, [(0.0, 1.0)]), (right, [])):
        edges = edge_sides([SlopedEdge((0, 0, 0), (0, 200, 0), (side,))])
        assert seen_spans([(edges, (0, 0, 0))], TOP, (FaceSet(TOP, roof),)) == [((0, 0, 0), (0, 200, 0), seen)]


@VIEWS
def test_faces_that_look_to_the_eye(view: View) -> None:
    """With their own corners, moved, and no others but for the last one again."""
    rnd, home = random.Random(view.name), (40, -3, 17)
    shown = [(tuple(way(rnd) for _ in range(rnd.randint(3, 6))), way(rnd)) for _ in range(60)]
    faces = all_faces([shown_faces_of(part, False).looking(view.toward, home) for part in (shown[:9], [], shown[9:])])
    expected = [(face, out) for face, out in shown if np.dot(out, view.toward) > 0]
    assert isinstance(faces, Faces)
    assert len(expected) > 10
    for spots, out, (face, looks) in zip(faces.spots, faces.outs, expected, strict=True):
        assert np.allclose(out, looks)
        assert np.allclose(spots[: len(face)], np.array(face) + home)
        assert np.allclose(spots[len(face) :], np.array(face[-1]) + home)


def test_parts_of_a_face_cover_it() -> None:
    """A round face of 24 corners in parts of few, whose areas add up."""
    turns = np.arange(24) * 2 * np.pi / 24
    face = tuple((float(np.cos(turn)), float(np.sin(turn)), 0.0) for turn in turns)
    parts = shown_faces_of([(face, (0.0, 0.0, 1.0))], True).spots
    assert parts.shape[1] <= 8

    def area(spots: np.ndarray) -> float:
        x, y = spots[:, 0], spots[:, 1]
        return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2

    assert sum(map(area, parts)) == pytest.approx(area(np.array(face)))
