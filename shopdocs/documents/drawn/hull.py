"""The outer border of what is drawn, and whether something lies clear of it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from shopdocs.blocks.drawing import Point


def hull(points: Sequence[Point]) -> tuple[Point, ...]:
    """The convex hull, anticlockwise (Andrew's monotone chain)."""
    ordered = sorted(set(points), key=lambda p: (p[0].mm, p[1].mm))

    def half(run: Sequence[Point]) -> list[Point]:
        out: list[Point] = []
        for p in run:
            while len(out) > 1 and _turn(out[-2], out[-1], p) <= 0:
                out.pop()
            out.append(p)
        return out[:-1]

    return (*half(ordered), *half(ordered[::-1]))


def _turn(a: Point, b: Point, c: Point) -> float:
    """Above zero where the way from a by b to c turns left."""
    (ax, ay), (bx, by), (cx, cy) = ((x.float_mm(), y.float_mm()) for x, y in (a, b, c))
    return (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)


def is_clear(square: Sequence[Point], border: Sequence[Point]) -> bool:
    """Whether a convex form lies outside a convex border that goes anticlockwise: beyond one of its sides, or on one
    side of it altogether (separating axes of convex polygons)."""
    for axis in (0, 1):
        ours, theirs = [p[axis] for p in square], [p[axis] for p in border]
        if max(ours) <= min(theirs) or min(ours) >= max(theirs):
            return True
    return any(all(_turn(a, b, p) <= 0 for p in square) for a, b in pairwise((*border, border[0])))
