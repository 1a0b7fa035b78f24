"""Marks round a picture, each on a straight leader to its piece.

Marks stand in a column on each side of the picture, in rows of one height, so that marks never overlap; leaders end at
the columns and so never run through a mark. Two leaders that cross are given each other's row: that shortens both
together, so it ends, and then none cross.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

Spot = tuple[float, float]

ROW_MM = 5.2  # from mark to mark
CLEAR_MM = 7.0  # from the picture to the marks
# A leader flatter than this reads its mark beside its end; steeper ones would set it above or below.
FLATTEST = 0.4
_NEAR_MM = 0.4


@dataclass(frozen=True, slots=True)
class Placed:
    """A mark with its leader, in millimetres of paper: from `tip` on the piece to `at`."""

    text: str
    tip: Spot
    at: Spot


def place_marks(tips: Sequence[tuple[str, Spot]], low: Spot, high: Spot) -> list[Placed]:
    """Places marks left and right of the picture that fills the rectangle from `low` to `high`, all in millimetres of
    paper. The result is in the order of `tips`."""
    order = sorted(range(len(tips)), key=lambda i: (tips[i][1][0], tips[i][1][1], i))
    half = (len(order) + 1) // 2
    middle = (low[0] + high[0]) / 2
    lefts = [i for i in order if tips[i][1][0] < middle]
    # no side carries more than six tenths of the marks
    most = max(half, math.ceil(0.6 * len(order)))
    lefts = order[: min(max(len(lefts), len(order) - most), most)]
    rights = [i for i in order if i not in set(lefts)]
    placed: dict[int, Placed] = {}
    for side, members in ((-1, lefts), (1, rights)):
        edge = low[0] - CLEAR_MM if side < 0 else high[0] + CLEAR_MM
        for i, at in zip(members, _column([tips[i][1] for i in members], edge, side), strict=True):
            placed[i] = Placed(tips[i][0], tips[i][1], at)
    return [placed[i] for i in range(len(tips))]


def _column(tips: Sequence[Spot], edge: float, side: int) -> list[Spot]:
    """Ends of leaders in one column, moved out until every leader is flat enough."""
    while True:
        ends = _uncrossed(tips, [(edge, y) for y in spaced([y for _, y in tips], ROW_MM)])
        short = max(
            (FLATTEST * abs(end[1] - tip[1]) - abs(end[0] - tip[0]) for tip, end in zip(tips, ends, strict=True)),
            default=0.0,
        )
        if short <= 0:
            return ends
        edge += side * (short + 1.0)


def spaced(heights: Sequence[float], row: float) -> list[float]:
    """Places at least `row` apart, in the same order, with the least squared moves (pooling neighbours that clash)."""
    order = sorted(range(len(heights)), key=lambda i: (heights[i], i))
    pools: list[tuple[float, int]] = []  # mean of (height - place * row), members
    for place, i in enumerate(order):
        mean, size = heights[i] - place * row, 1
        while pools and pools[-1][0] > mean:
            other, members = pools.pop()
            mean, size = (other * members + mean * size) / (members + size), members + size
        pools.append((mean, size))
    rows = [0.0] * len(heights)
    place = 0
    for mean, size in pools:
        for _ in range(size):
            rows[order[place]] = mean + place * row
            place += 1
    return rows


def _uncrossed(tips: Sequence[Spot], ends: list[Spot]) -> list[Spot]:
    """The same ends, given out so that no two leaders cross or run through the dot of another."""
    changed = True
    while changed:
        changed = False
        for i in range(len(tips)):
            for j in range(i + 1, len(tips)):
                if _meet(tips[i], ends[i], tips[j], ends[j]):
                    now = math.dist(tips[i], ends[i]) + math.dist(tips[j], ends[j])
                    then = math.dist(tips[i], ends[j]) + math.dist(tips[j], ends[i])
                    if then < now - 1e-9:
                        ends[i], ends[j] = ends[j], ends[i]
                        changed = True
    return ends


def _meet(a: Spot, b: Spot, c: Spot, d: Spot) -> bool:
    """Whether the segments a-b and c-d cross, or the dot of one lies on the other."""

    if max(a[1], b[1]) + _NEAR_MM < min(c[1], d[1]) or max(c[1], d[1]) + _NEAR_MM < min(a[1], b[1]):
        return False

    def turn(p: Spot, q: Spot, r: Spot) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    if turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0:
        return True
    return _distance(c, a, b) < _NEAR_MM or _distance(a, c, d) < _NEAR_MM


def _distance(p: Spot, a: Spot, b: Spot) -> float:
    """From p to the segment a-b."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    long = dx * dx + dy * dy
    t = 0.0 if long == 0 else min(1.0, max(0.0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / long))
    return math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy)
