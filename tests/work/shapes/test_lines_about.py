"""Edges of a solid of convex bodies, worked out for all lines at once, against probes in a circle round each line."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest

from shopdocs.core.box import Box
from shopdocs.work.shapes.convex import Body, Plane, body_of, halves
from shopdocs.work.shapes.lines_about import SlopedEdge, edges_on

Line = tuple[tuple[float, float, float], tuple[float, float, float]]
RADIUS, PROBES = 2.0, 720  # ticks round a line, and how many directions are probed: one every half degree


def pieces(rnd: random.Random) -> list[Body]:
    """A block cut by a few planes, each through some of its parts, and others left out: bodies that lie face to face,
    with steps and notches, and faces that end amid others."""
    parts = [body_of(Box((0, 0, 0), (3000, 2000, 1500)))]
    for number in range(5):
        out = [rnd.gauss(0, 1) for _ in range(3)]
        spot = [rnd.uniform(0.3, 0.7) * wide for wide in (3000, 2000, 1500)]
        plane = Plane.of((out[0], out[1], out[2]), sum(a * b for a, b in zip(out, spot, strict=True)))
        cut = [number == 0 or rnd.random() < 0.5 for _ in parts]
        split = (halves(part, plane) if some else (part,) for part, some in zip(parts, cut, strict=True))
        parts = [half for both in split for half in both if half is not None]
    return rnd.sample(parts, len(parts) - 2)


def lines_of(bodies: list[Body]) -> list[Line]:
    lines = []
    for body in bodies:
        for face in body.faces:
            for one, two in zip(face, (*face[1:], face[0]), strict=True):
                if math.dist(one, two) > 400:
                    lines.append((one, two))
    return lines


def wood_round(bodies: list[Body], spot: np.ndarray, way: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Directions square to a line, and whether there is wood just beside it in each."""
    one = np.cross(way, [0.3, 0.5, 0.8])
    one /= np.linalg.norm(one)
    two = np.cross(way, one)
    turns = (np.arange(PROBES) + 0.5) * 2 * math.pi / PROBES
    ways = np.cos(turns)[:, None] * one + np.sin(turns)[:, None] * two
    spots = spot + RADIUS * ways
    wood = np.zeros(PROBES, dtype=bool)
    for body in bodies:
        outs, ats = np.array([plane.out for plane in body.planes]), np.array([plane.at for plane in body.planes])
        wood |= ((spots @ outs.T - ats).max(axis=1)) <= 0
    return ways, wood


def shown_at(edges: list[SlopedEdge], spot: np.ndarray) -> SlopedEdge | None:
    """The edge that a spot lies on, well within its ends; None for none."""
    for edge in edges:
        start, end = np.array(edge.start, dtype=float), np.array(edge.end, dtype=float)
        part = (spot - start) @ (end - start) / ((end - start) @ (end - start))
        if 0 < part < 1:
            return edge
    return None


@pytest.mark.parametrize("seed", range(6))
def test_an_edge_is_where_wood_begins_and_ends_round_a_line(seed: int) -> None:
    rnd, edges, flat = random.Random(seed), 0, 0
    bodies = pieces(rnd)
    lines = lines_of(bodies)
    for (start, end), found in zip(lines, edges_on(lines, bodies), strict=True):
        one, two = np.array(start), np.array(end)
        way = (two - one) / np.linalg.norm(two - one)
        ends = [at for edge in found for at in (np.array(edge.start), np.array(edge.end))]
        for part in np.linspace(0.1, 0.9, 5):
            spot = one + part * (two - one)
            if any(np.linalg.norm(spot - at) < 30 for at in ends):
                continue
            ways, wood = wood_round(bodies, spot, way)
            changes = np.nonzero(wood != np.roll(wood, 1))[0]
            borders = [ways[at] + ways[at - 1] for at in changes]
            borders = [border / np.linalg.norm(border) for border in borders]
            straight = len(borders) == 2 and borders[0] @ borders[1] < -0.9999
            edge = shown_at(found, spot)
            if straight or not borders:
                flat += 1
                assert edge is None, (start, end, part)
                continue
            edges += 1
            assert edge is not None
            assert len(edge.sides) == len(borders)
            for side in edge.sides:
                assert max(float(border @ side.into) for border in borders) > 0.9999
                beside = wood[int(np.argmax(ways @ (side.into + 0.03 * np.array(side.out))))]
                within = wood[int(np.argmax(ways @ (side.into - 0.03 * np.array(side.out))))]
                assert within
                assert not beside
    assert edges > 60
    assert flat > 20


def test_no_lines_have_no_edges() -> None:
    assert list(edges_on([], [body_of(Box((0, 0, 0), (10, 10, 10)))])) == []
