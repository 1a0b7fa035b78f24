"""What convex faces hide of lines, all lines and faces at once, against the same worked out one pair at a time."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest

from shopdocs.work.shapes.arrays import faces_of
from shopdocs.work.shapes.hidden_sloped import FaceSet
from shopdocs.work.shapes.projection import FRONT, ISOMETRIC, ISOMETRIC_BELOW, View

Vector = tuple[float, float, float]
SPARE, PAST = 0.1, 3.0  # ticks: as far inside its border a face begins to hide, as far past its end what it hides runs


def unlike_ways(rnd: random.Random, view: View) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """A direction that looks to the eye, and two square to it and to each other."""
    while True:
        out = np.array([rnd.gauss(0, 1) for _ in range(3)])
        out /= np.linalg.norm(out)
        if out @ view.toward > 0.2:
            one = np.cross(out, [rnd.gauss(0, 1) for _ in range(3)])
            one /= np.linalg.norm(one)
            return out, one, np.cross(out, one)


def plain(view: View, face: list[np.ndarray], out: np.ndarray, start: np.ndarray, way: np.ndarray) -> list[float]:
    """From where to where a face hides a line: behind its plane by a tick, and inside each of its sides."""
    flat = np.array([view.right, view.up], dtype=float)
    pictured = [flat @ spot for spot in face]
    middle = sum(pictured) / len(face)
    low, high = 0.0, 1.0
    tests = [(out @ face[0] - out @ start - 1.0, -(out @ way))]
    for one, two in zip(pictured, [*pictured[1:], pictured[0]], strict=True):
        side = two - one
        inward = np.array([-side[1], side[0]]) / np.linalg.norm(side)
        inward *= 1 if inward @ (middle - one) > 0 else -1
        tests.append((inward @ (flat @ start - one) - SPARE, inward @ (flat @ way)))
    for spare, rate in tests:
        if abs(rate) < 1e-9:
            high = high if spare > 0 else -1.0
        elif rate > 0:
            low = max(low, -spare / rate)
        else:
            high = min(high, -spare / rate)
    past = PAST / float(np.linalg.norm(way))
    return [max(0.0, low - past), min(1.0, high + past)] if low < high else []


@pytest.mark.thorough
@pytest.mark.parametrize("view", [ISOMETRIC, ISOMETRIC_BELOW, FRONT], ids=lambda view: view.name)
def test_all_at_once_is_one_after_the_other(view: View) -> None:
    rnd = random.Random(view.name)
    faces, outs = [], []
    for _ in range(60):
        out, one, two = unlike_ways(rnd, view)
        middle = np.array([rnd.uniform(0, 4000) for _ in range(3)])
        radius = rnd.uniform(200, 1500)
        turns = sorted(rnd.uniform(0, 2 * math.pi) for _ in range(rnd.randint(3, 9)))
        faces.append([middle + radius * (math.cos(turn) * one + math.sin(turn) * two) for turn in turns])
        outs.append(out)
    starts = np.array([[rnd.uniform(0, 4000) for _ in range(3)] for _ in range(300)])
    ways = np.array([[rnd.uniform(-1500, 1500) for _ in range(3)] for _ in range(300)])
    ways[::7, 1:] = 0.0  # some along an axis
    polygons = [tuple((a, b, c) for a, b, c in face) for face in faces]
    found = FaceSet(view, faces_of(polygons, [(a, b, c) for a, b, c in outs])).hidden_parts(starts, ways)
    hidden = 0
    for start, way, mine in zip(starts, ways, found, strict=True):
        every = (plain(view, face, out, start, way) for face, out in zip(faces, outs, strict=True))
        expected = sorted(part for part in every if part)
        assert [list(part) for part in sorted(mine)] == [pytest.approx(part, abs=1e-7) for part in expected]
        hidden += len(expected)
    assert hidden > 300
