"""A picture of solids as a grid of small squares of paper, each knowing the face that is seen there.

Lines are worked out exactly elsewhere; this coarse picture only says where words have room: on a face, on free paper,
and what a leader would run over.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from shopdocs.core.box import AXES, Box, Ticks
from shopdocs.work.shapes.projection import View
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
        for cell in solid.cells:
            for axis in AXES:
                if view.toward[axis]:
                    _paint(seen, depth, cell.face(axis, view.toward[axis] > 0), axis, number, view, right, up, low)
    return Pixels(seen, low)


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
