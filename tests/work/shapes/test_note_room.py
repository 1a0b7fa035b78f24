"""Where a note goes is the cheapest of all clear places, told by trying each with another geometry library."""

from __future__ import annotations

import math
from random import Random

import pytest
from shapely.geometry import LineString, Point, box

from shopdocs.documents.drawn.measures import STEEP, box_at_leader
from shopdocs.work.shapes.note_room import Edges, Manners, Spot, Stretch, Taken

MANNERS = Manners(1.2, 0.8, 0.36, STEEP, 6.0, 30.0)
SHEET = (-30.0, -25.0, 35.0, 30.0)
FARTHEST = 16.0


def scene(seed: int) -> tuple[list[Spot], Spot, list[Edges], list[Stretch], list[Edges]]:
    """Tips, the size of the words, words, lines and joints that are there; places off the half millimetre grid."""
    rng = Random(seed)

    def spot() -> Spot:
        return rng.uniform(-30, 30), rng.uniform(-25, 25)

    def area(wide: float, high: float) -> Edges:
        x, y = spot()
        return x, y, x + rng.uniform(1, wide), y + rng.uniform(1, high)

    tips = [spot() for _ in range(rng.choice((1, 2, 5)))]
    words = [area(12, 4) for _ in range(rng.randrange(9))]
    lines = [(spot(), spot()) for _ in range(rng.randrange(14))]
    lines += [((x, y), (x, y + 9)) for x, y in (spot() for _ in range(3))]
    return tips, (rng.uniform(3, 14), rng.uniform(2, 4)), words, lines, [area(9, 9) for _ in range(rng.randrange(4))]


def cheapest(seed: int, sheet: Edges | None) -> float:
    """The least cost of a clear leader by trying all of them; endless where there is none."""
    tips, (wide, high), words, lines, others = scene(seed)
    best = math.inf
    steps = range(-16, 17, 2)
    for dx, dy in ((x, y) for x in steps for y in steps if abs(y) >= 2 and 6 <= math.hypot(x, y) <= FARTHEST):
        for tip in tips:
            at = (tip[0] + dx, tip[1] + dy)
            edges = box_at_leader(tip, at, wide, high)
            mine, leader = box(*edges), LineString((tip, at))
            a, b, c, d = edges
            if sheet is not None and not box(*sheet).covers(mine):
                continue
            air = box(a - 1.2, b - 1.2, c + 1.2, d + 1.2)
            if any(air.intersection(box(*other)).area > 0 for other in words):
                continue
            if any(box(a - 0.8, b - 0.8, c + 0.8, d + 0.8).intersects(LineString(line)) for line in lines):
                continue
            beside = [box(p - 0.36, q - 0.36, r + 0.36, s + 0.36) for p, q, r, s in words]
            if any(leader.intersects(other) for other in beside):
                continue
            crossed = sum(leader.crosses(LineString(line)) for line in lines)
            astray = sum(leader.intersects(box(*o)) and not box(*o).covers(Point(tip)) for o in others)
            best = min(best, math.hypot(dx, dy) + 6 * crossed + 30 * astray)
    return best


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(24))
def test_the_cheapest_clear_place_is_found(seed: int) -> None:
    tips, size, words, lines, others = scene(seed)
    for sheet in (SHEET, None):
        found = Taken(words, lines).nearest(tips, size, MANNERS, others, sheet, FARTHEST)
        least = cheapest(seed, sheet)
        assert (math.inf if found is None else found[0]) == pytest.approx(least)
        if found is not None:
            cost, tip, at = found
            assert tip in tips
            assert math.dist(tip, at) <= cost


def test_what_is_far_off_is_left_out() -> None:
    taken = Taken([(0, 0, 1, 1), (50, 0, 51, 1)], [((0, 0), (60, 0)), ((0, 40), (60, 40))])
    near = taken.near((40, -5, 55, 5))
    assert near.words.tolist() == [[50, 0, 51, 1]]
    assert near.lines.tolist() == [[0, 0, 60, 0]]
