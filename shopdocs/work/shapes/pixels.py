"""A picture of solids as a grid of small squares of paper, each knowing the face that is seen there.

Lines are worked out exactly elsewhere; this coarse picture only says where words have room: on a face, on free paper,
and what a leader would run over.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from shopdocs.core.box import AXES, Box, Ticks
from shopdocs.work.shapes.carved import Carved
from shopdocs.work.shapes.projection import View
from shopdocs.work.shapes.slopes import dot
from shopdocs.work.shapes.solid import Solid

if TYPE_CHECKING:
    import numpy as np

    Grid = np.ndarray[Any, np.dtype[np.int32]]

FINE_MM = 0.7  # side of a square of paper
Spot = tuple[float, float]


def number_of(solid: int, axis: int) -> int:
    """What a square shows: a face of this solid that stands square to this axis. 0 is paper."""
    return solid * 3 + axis + 1


@dataclass(frozen=True)
class Pixels:
    """`seen[row, column]` is what the square with its middle at `spot(row, column)` shows. Rows go up."""

    seen: Grid
    low: Spot

    def spot(self, row: float, column: float) -> Spot:
        """The middle of a pixel on the paper, millimetres."""
        return self.low[0] + (column + 0.5) * FINE_MM, self.low[1] + (row + 0.5) * FINE_MM

    def place(self, spot: Spot) -> tuple[int, int]:
        """Row and column of the square at a spot of the paper."""
        return int((spot[1] - self.low[1]) // FINE_MM), int((spot[0] - self.low[0]) // FINE_MM)


def pixels(solids: Sequence[Solid], view: View, ticks: Ticks, scale: float, low: Spot, high: Spot) -> Pixels:
    """The solids as they are seen, `scale` millimetres of paper for one of the picture, on the paper from `low` to
    `high` (millimetres; the build's origin is at 0, 0)."""
    import numpy as np

    rows, columns = (int((high[k] - low[k]) / FINE_MM) for k in (1, 0))
    seen: Grid = np.zeros((rows, columns), dtype=np.int32)
    depth = np.full((rows, columns), -np.inf)
    right = [part * float(view.across_unit) * scale / ticks.per_mm for part in view.right]
    up = [part * float(view.up_unit) * scale / ticks.per_mm for part in view.up]
    for number, solid in enumerate(solids):
        if isinstance(solid, Carved):
            _paint_bodies(seen, depth, solid, number, view, right, up, low)
        for cell in solid.cells:
            for axis in AXES:
                if view.toward[axis]:
                    _paint(seen, depth, cell.face(axis, view.toward[axis] > 0), axis, number, view, right, up, low)
    return Pixels(seen, low)


def _paint_bodies(
    seen: Grid,
    depth: Any,
    solid: Carved,
    number: int,
    view: View,
    right: Sequence[float],
    up: Sequence[float],
    low: Spot,
) -> None:
    """The faces of a solid that is off square, as those of the axis they look along most."""
    home = solid.body.lo
    for body in (*solid.core, *(pin.body for pin in solid.pins)):
        for plane, face in zip(body.planes, body.faces, strict=True):
            if dot(plane.out, view.toward) > 1e-6 and len(face) > 2:
                axis = max(AXES, key=lambda k: abs(plane.out[k]) * (view.toward[k] != 0))
                spots = [[a + b for a, b in zip(spot, home, strict=True)] for spot in face]
                corners = [
                    (
                        (sum(a * b for a, b in zip(right, spot, strict=True)) - low[0]) / FINE_MM - 0.5,
                        (sum(a * b for a, b in zip(up, spot, strict=True)) - low[1]) / FINE_MM - 0.5,
                        float(sum(a * b for a, b in zip(view.toward, spot, strict=True))),
                    )
                    for spot in spots
                ]
                _paint_polygon(seen, depth, corners, number_of(number, axis))


def _paint_polygon(seen: Grid, depth: Any, corners: Sequence[tuple[float, float, float]], shows: int) -> None:
    """A convex polygon of the picture with the depth of its corners, where nothing nearer was painted before."""
    import numpy as np

    spots = np.array(corners)
    left, bottom = (max(0, int(np.ceil(spots[:, k].min()))) for k in (0, 1))
    right, top = (min(seen.shape[1 - k], int(spots[:, k].max()) + 1) for k in (0, 1))
    if left >= right or bottom >= top:
        return
    flat = np.column_stack([spots[:, :2], np.ones(len(spots))])
    (a, b, c), *_ = np.linalg.lstsq(flat, spots[:, 2], rcond=None)
    xs, ys = np.arange(left, right)[None, :], np.arange(bottom, top)[:, None]
    turn = np.sign(_turn(spots))
    inside = np.ones((top - bottom, right - left), dtype=bool)
    for one, two in zip(spots, np.roll(spots, -1, axis=0), strict=True):
        inside &= turn * ((two[0] - one[0]) * (ys - one[1]) - (two[1] - one[1]) * (xs - one[0])) >= 0
    nearer = a * xs + b * ys + c
    part = (slice(bottom, top), slice(left, right))
    drawn = inside & (nearer > depth[part])
    seen[part][drawn] = shows
    depth[part][drawn] = nearer[drawn]


def _turn(spots: Any) -> float:
    """Twice the area of a polygon of the picture, below zero where it goes round with the clock."""
    import numpy as np

    x, y = spots[:, 0], spots[:, 1]
    return float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum())


def _paint(
    seen: Grid,
    depth: Any,
    face: Box,
    axis: int,
    number: int,
    view: View,
    right: Sequence[float],
    up: Sequence[float],
    low: Spot,
) -> None:
    """One rectangle of the build, where nothing nearer was painted before."""
    import numpy as np

    def paper(spot: Sequence[int]) -> Spot:
        x = sum(a * b for a, b in zip(right, spot, strict=True))
        y = sum(a * b for a, b in zip(up, spot, strict=True))
        return (x - low[0]) / FINE_MM - 0.5, (y - low[1]) / FINE_MM - 0.5

    u, v = (k for k in AXES if k != axis)
    wide, high = face.hi[u] - face.lo[u], face.hi[v] - face.lo[v]
    (x, y), near = paper(face.lo), float(sum(a * b for a, b in zip(view.toward, face.lo, strict=True)))
    ux, uy = right[u] * wide / FINE_MM, up[u] * wide / FINE_MM
    vx, vy = right[v] * high / FINE_MM, up[v] * high / FINE_MM
    turn = ux * vy - uy * vx
    if abs(turn) < 1e-9:
        return
    xs, ys = (x, x + ux, x + vx, x + ux + vx), (y, y + uy, y + vy, y + uy + vy)
    left, bottom = max(0, int(np.ceil(min(xs)))), max(0, int(np.ceil(min(ys))))
    right_, top = min(seen.shape[1], int(max(xs)) + 1), min(seen.shape[0], int(max(ys)) + 1)
    if left >= right_ or bottom >= top:
        return
    dx = np.arange(left, right_)[None, :] - x
    dy = np.arange(bottom, top)[:, None] - y
    s, t = (dx * vy - dy * vx) / turn, (dy * ux - dx * uy) / turn
    nearer = near + s * (view.toward[u] * wide) + t * (view.toward[v] * high)
    part = (slice(bottom, top), slice(left, right_))
    drawn = (s >= 0) & (s <= 1) & (t >= 0) & (t <= 1) & (nearer > depth[part])
    seen[part][drawn] = number_of(number, axis)
    depth[part][drawn] = nearer[drawn]
