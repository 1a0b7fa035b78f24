"""Holes are cylinders and cuts are blocks, both convex: going to and fro between the nearest points of two convex
bodies ends at their distance (Cheney and Goldstein, Proximity maps for convex sets, 1959, from memory). The same says
whether a remedy really is one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, dist, hypot, pi, sin
from random import Random

import pytest

from shopdocs.core.box import Box
from shopdocs.pipeline import check_build
from shopdocs.work.computed import Computed
from shopdocs.work.holes.fastening import Line
from shopdocs.work.holes.hollows import (
    Cut,
    Hollowed,
    Nearness,
    all_within,
    between_holes,
    hollowed_pieces,
    into,
    to_cut,
)
from shopdocs.work.space.placed import FeatureKind
from tests.values import replace

SIZE = (80.0, 60.0, 50.0)  # along, across, deep
FACES = {
    "face": (2, False),
    "back": (2, True),
    "edge": (1, False),
    "far edge": (1, True),
    "A": (0, False),
    "B": (0, True),
}
FINE = 0.02  # what the search for the distance may be off
Point = tuple[float, ...]


@dataclass(frozen=True)
class Cylinder:
    axis: int
    centre: Point  # on the face it is drilled from
    inward: int
    depth: float
    radius: float

    def nearest(self, point: Point) -> Point:
        found = list(point)
        u, v = [k for k in range(3) if k != self.axis]
        off = hypot(point[u] - self.centre[u], point[v] - self.centre[v])
        if off > self.radius:
            for k in (u, v):
                found[k] = self.centre[k] + (point[k] - self.centre[k]) * self.radius / off
        ends = sorted((self.centre[self.axis], self.centre[self.axis] + self.inward * self.depth))
        found[self.axis] = min(max(point[self.axis], ends[0]), ends[1])
        return tuple(found)

    def moved(self, axis: int, by: float) -> Cylinder:
        return replace(self, centre=tuple(value + by * (k == axis) for k, value in enumerate(self.centre)))


def apart(one: Callable[[Point], Point], other: Callable[[Point], Point]) -> float:
    """How far two convex bodies are apart, by their nearest points to any point."""
    here = one(tuple(value / 2 for value in SIZE))
    for _ in range(6000):
        there = other(here)
        back = one(there)
        if dist(back, here) < 1e-9:
            break
        here = back
    return dist(other(here), here)


def drilled(rng: Random) -> tuple[str, Cylinder]:
    """A hole as it is written, and as a cylinder."""
    face = rng.choice(list(FACES))
    axis, far = FACES[face]
    first, second = [k for k in range(3) if k != axis]
    radius = rng.randint(2, 6)
    depth = rng.randint(5, int(SIZE[axis]) - 8)
    centre = [0.0, 0.0, 0.0]
    for k in (first, second):
        centre[k] = rng.randint(radius + 3, int(SIZE[k]) - radius - 3)
    centre[axis] = SIZE[axis] if far else 0.0
    text = (
        f"{{holes: [{{bit: {2 * radius}, depth: {depth}}}], "
        f"on: [{{piece: MARK, face: {face}, along: {centre[first]:g}, across: {centre[second]:g}}}]}}"
    )
    return text, Cylinder(axis, tuple(centre), -1 if far else 1, depth, radius)


@pytest.fixture(scope="module")
def pairs(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[Hollowed, Cylinder, Cylinder]]:
    rng = Random(20310504)
    lines = ["build: {title: Blocks, mark: B, units: mm}", "materials: {oak: {kind: hardwood, rough: 80}}"]
    lines += ["parts:", "  block: {material: oak, size: 50 x 60 x 80, count: 400, mark: K}", "hardware:"]
    cylinders = []
    for number in range(1, 401):
        (first, one), (second, other) = drilled(rng), drilled(rng)
        for name, text in (("a", first), ("b", second)):
            lines.append(f"  {name}{number}: {text}".replace("MARK", f"K{number}"))
        cylinders.append((one, other))
    path = tmp_path_factory.mktemp("blocks") / "build.yaml"
    path.write_text("\n".join(lines) + "\n", "utf-8")
    build, shop, problems = check_build(str(path))
    assert build is not None
    assert not [str(problem) for problem in problems if not problem.severity]
    work = Computed(build, shop)
    pieces = hollowed_pieces(build, work.holes, work.fastening)
    return [(piece, *both) for piece, both in zip(pieces, cylinders, strict=True)]


def _remedies(near: Nearness, one: Cylinder, line: Line, per_mm: int) -> list[Callable[[float], Cylinder]]:
    """What may be done to a hole, each with so many millimetres more or less of it."""
    found: list[Callable[[float], Cylinder]] = []
    if near.way is not None:
        way = near.way
        found.append(lambda more: one.moved(way, near.shift / per_mm + more))
    for deep, at_most in near.depths:
        if deep is line:
            found.append(lambda more, at_most=at_most: replace(one, depth=at_most / per_mm - more))  # type: ignore[misc]
    return found


def test_holes_run_into_each_other_where_cylinders_do(pairs: list[tuple[Hollowed, Cylinder, Cylinder]]) -> None:
    met = passed = 0
    for piece, one, other in pairs:
        near = between_holes(*piece.lines)
        wall = near.wall / piece.ticks.per_mm
        true = apart(one.nearest, other.nearest)
        if near.wall < 0:
            assert true < FINE
            met += 1
        else:
            assert true > 0
            passed += near.wall < 10**9
            assert wall > 10**9 or wall == pytest.approx(true, abs=FINE)
    assert met > 25
    assert passed > 25


def test_slots_run_into_holes_where_swept_cylinders_do(pairs: list[tuple[Hollowed, Cylinder, Cylinder]]) -> None:
    """A slot is a cylinder moved to and fro: as near to a point as the one of its cylinders that is nearest to it."""
    rng = Random(9)
    met = passed = 0
    for piece, one, other in pairs[:200]:
        way, slack = rng.choice([k for k in range(3) if k != one.axis]), rng.randint(2, 12)

        def nearest(point: Point, one: Cylinder = one, way: int = way, slack: int = slack) -> Point:
            return one.moved(way, min(max(point[way] - one.centre[way], -slack), slack)).nearest(point)

        line, *rest = piece.lines
        along = [slack * piece.ticks.per_mm * (k == way) for k in range(3)]
        near = between_holes(replace(line, slack=(along[0], along[1], along[2])), *rest)
        true = apart(nearest, other.nearest)
        if near.wall < 0:
            assert true < FINE
            met += 1
        else:
            assert true > 0
            passed += near.wall < 10**9
            assert near.wall >= 10**9 or near.wall / piece.ticks.per_mm == pytest.approx(true, abs=FINE)
    assert met > 20 and passed > 15


def test_what_is_said_to_part_two_holes_parts_them(pairs: list[tuple[Hollowed, Cylinder, Cylinder]]) -> None:
    tried = 0
    for piece, one, other in pairs:
        near = between_holes(*piece.lines)
        if near.wall >= 0:
            continue
        line = piece.lines[0]
        if near.way is not None:
            side = 1 if one.centre[near.way] >= other.centre[near.way] else -1
            near = replace(near, shift=near.shift * side)
        for remedy in _remedies(near, one, line, piece.ticks.per_mm):
            sign = 1 if near.shift >= 0 or remedy(0).depth != one.depth else -1
            assert apart(remedy(0.1 * sign).nearest, other.nearest) > 0
            assert apart(remedy(-0.3 * sign).nearest, other.nearest) < FINE
            tried += 1
    assert tried > 40


def test_holes_run_into_blocks_where_cylinders_do(pairs: list[tuple[Hollowed, Cylinder, Cylinder]]) -> None:
    rng = Random(7)
    met = beside = 0
    for piece, one, _ in pairs:
        lows = [rng.randint(0, int(side) - 12) for side in SIZE]
        highs = [low + rng.randint(5, 30) for low in lows]

        def nearest(point: Point, lows: list[int] = lows, highs: list[int] = highs) -> Point:
            return tuple(min(max(value, low), high) for value, low, high in zip(point, lows, highs, strict=True))

        k = piece.ticks.per_mm
        box = Box.between([low * k for low in lows], [high * k for high in highs])
        near = to_cut(piece.lines[0], Cut(FeatureKind.MORTISE, box, False, 1, box))
        true = apart(nearest, one.nearest)
        if near.wall < 0:
            assert true < FINE
            met += 1
        elif near.wall < 10**9:
            assert near.wall / k == pytest.approx(true, abs=FINE)
            beside += 1
        else:
            assert true > 0
    assert met > 40
    assert beside > 40


def test_a_round_lies_within_blocks_where_its_points_do(pairs: list[tuple[Hollowed, Cylinder, Cylinder]]) -> None:
    rng = Random(8)
    within, moved = 0, {0: 0, 1: 0, 2: 0}
    for piece, one, _ in pairs:
        u, v = [k for k in range(3) if k != one.axis]
        low = [one.centre[k] - one.radius - rng.randint(-1, 4) for k in (u, v)]
        high = [one.centre[k] + one.radius + rng.randint(-1, 4) for k in (u, v)]
        k = piece.ticks.per_mm
        corners: list[list[int]] = [[0, 0, 0], [1, 1, 1]]
        for axis, lo, hi in zip((u, v), low, high, strict=True):
            corners[0][axis], corners[1][axis] = round(lo * k), round(hi * k)
        rim = [
            (one.centre[u] + one.radius * cos(n * pi / 180), one.centre[v] + one.radius * sin(n * pi / 180))
            for n in range(360)
        ]
        true = all(low[0] - 1e-9 <= a <= high[0] + 1e-9 and low[1] - 1e-9 <= b <= high[1] + 1e-9 for a, b in rim)
        assert all_within(piece.lines[0], [Box.between(*corners)]) == true
        # moved along one axis it lies within where its points are past the block along that axis alone
        past = {
            axis: max(lo - min(values), max(values) - hi)
            for axis, lo, hi, values in zip((u, v), low, high, zip(*rim, strict=True), strict=True)
        }
        out = [axis for axis, much in past.items() if much > 1e-9]
        fits = all(hi - lo >= 2 * one.radius for lo, hi in zip(low, high, strict=True))
        inward = into(piece.lines[0], Box.between(*corners))
        if fits and len(out) == 1:
            assert inward is not None and inward[1] == out[0]
            assert inward[0] / k == pytest.approx(past[out[0]])
            moved[out[0]] += 1
        else:
            assert inward is None
        halves = [Box.between(*corners), Box.between(*corners)]
        cut = (corners[0][u] + corners[1][u]) // 2
        halves[0] = Box.between(corners[0], [cut if axis == u else value for axis, value in enumerate(corners[1])])
        halves[1] = Box.between([cut if axis == u else value for axis, value in enumerate(corners[0])], corners[1])
        assert all_within(piece.lines[0], halves) == true
        within += true
    assert 40 < within < 360
    assert min(moved.values()) > 5
