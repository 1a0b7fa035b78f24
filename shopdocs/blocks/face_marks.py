"""The marks a maker pencils on a true face and a true edge, for drawings, labels, templates and records alike.

The face side gets a loop whose tail runs out over the arris it shares with the face edge; the face edge gets a V whose
point lies on the same arris (common practice of the trade). So each mark points to the other face that was trued with
it: seen on a drawing, loop and V say which face is which and which arris both are gauged from.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache, lru_cache
from typing import Literal

from shopdocs.blocks.drawing import Point, Polygon, Stroke
from shopdocs.core.length import ZERO, Length

Way = Literal["left", "right", "up", "down"]

_ALONG = {"left": (-1, 0), "right": (1, 0), "up": (0, 1), "down": (0, -1)}
_STEPS = 16
# Bezier control points of the loop, as parts of its size: beside the way it runs, and along it.
_LOOP = ((-0.32, 0.0), (0.98, 1.33), (-0.98, 1.33), (0.32, 0.0))
_V_HALF = 0.42


def face_side_mark(at: Point, into: Way, size: Length, stroke: Stroke = Stroke.VISIBLE) -> Polygon:
    """The loop: `at` lies on the arris shared with the face edge, the loop runs `into` the face by `size`. `at` and
    `size` are in the measure of the drawing (true lengths, or paper as lengths)."""
    points = tuple((at[0] + x, at[1] + y) for x, y in _loop_points(into, size))
    return Polygon(points, stroke, "none", closed=False)


def face_edge_mark(at: Point, into: Way, size: Length, stroke: Stroke = Stroke.VISIBLE) -> Polygon:
    """The V: its point `at` the arris shared with the face side, open `into` the edge, `size` long."""
    half = Fraction(str(_V_HALF))
    spots = ((-half, Fraction(1)), (Fraction(0), Fraction(0)), (half, Fraction(1)))
    return Polygon(tuple(_put(at, into, size, *spot) for spot in spots), stroke, "none", closed=False)


@lru_cache(maxsize=512)
def _loop_points(into: Way, size: Length) -> tuple[Point, ...]:
    """The loop about the origin: a drawing is tried at many scales, and the marks of most pieces are of few sizes."""
    return tuple(_put((ZERO, ZERO), into, size, *spot) for spot in _loop_spots())


@cache
def _loop_spots() -> tuple[tuple[Fraction, Fraction], ...]:
    return tuple(_loop(Fraction(k, _STEPS)) for k in range(_STEPS + 1))


def _loop(t: Fraction) -> tuple[Fraction, Fraction]:
    weights = ((1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t**2, t**3)
    aside, along = (
        sum((w * Fraction(str(point[k])) for w, point in zip(weights, _LOOP, strict=True)), Fraction(0)) for k in (0, 1)
    )
    return aside, along


def _put(at: Point, into: Way, size: Length, aside: Fraction, along: Fraction) -> Point:
    dx, dy = _ALONG[into]
    # beside is a quarter turn clockwise of the way
    return at[0] + size * (along * dx + aside * dy), at[1] + size * (along * dy - aside * dx)
