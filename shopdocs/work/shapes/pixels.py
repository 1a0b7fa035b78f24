"""A picture of solids as a grid of small squares of paper, each knowing the face that is seen there.

Lines are worked out exactly elsewhere; this coarse picture only says where words have room: on a face, on free paper,
and what a leader would run over.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from shopdocs.core.box import AXES, Ticks
from shopdocs.work.shapes.carved import Carved
from shopdocs.work.shapes.projection import View
from shopdocs.work.shapes.slopes import dot
from shopdocs.work.shapes.solid import Solid

if TYPE_CHECKING:
    import numpy as np

    Grid = np.ndarray[Any, np.dtype[np.int32]]

FINE_MM = 0.7  # side of a square of paper
_FEW = 150  # squares: faces over no more are painted all at once
_ACROSS = ((1, 2), (0, 2), (0, 1))  # the axes along a face, by the one it stands square to
Spot = tuple[float, float]
_Face = tuple[int, int, int, int, int, int]  # a rectangle: its low corner, the axis it stands square to, two sides


def number_of(solid: int, axis: int) -> int:
    """What a square shows: a face of this solid that stands square to this axis. 0 is paper."""
    return solid * 3 + axis + 1


class Pixels(Struct, frozen=True, dict=True):
    """`seen[row, column]` is what the square with its middle at `spot(row, column)` shows. Rows go up."""

    seen: Grid
    low: Spot

    @cached_property
    def solids(self) -> Grid:
        """The number of the solid that each square shows and one; 0 for paper."""
        return (self.seen + 2) // 3

    @cached_property
    def sizes(self) -> dict[int, int]:
        """How many squares show each solid that is seen, by its number."""
        import numpy as np

        counts = np.bincount(self.solids.ravel()).tolist()
        return {number - 1: count for number, count in enumerate(counts) if number and count}

    @cached_property
    def dotted(self) -> frozenset[int]:
        """The solids of which two by two squares are seen together somewhere: a dot has room on these alone."""
        import numpy as np

        here = self.solids[1:, 1:]
        whole = (here == self.solids[:-1, 1:]) & (here == self.solids[1:, :-1]) & (here == self.solids[:-1, :-1])
        counts = np.bincount(here[whole]).tolist()
        return frozenset(number - 1 for number, count in enumerate(counts) if number and count)

    @cached_property
    def boxes(self) -> dict[int, tuple[slice, slice]]:
        """The rows and columns that each solid is seen in."""
        import numpy as np

        places = np.nonzero(self.solids)
        numbers = self.solids[places]
        if not len(numbers):
            return {}
        order = np.argsort(numbers.astype(np.int16) if numbers.max() < 2**15 else numbers, kind="stable")
        firsts = np.concatenate(([0], np.nonzero(np.diff(numbers[order]))[0] + 1))
        edges = [edge.reduceat(along[order], firsts).tolist() for along in places for edge in (np.minimum, np.maximum)]
        return {
            number - 1: (slice(bottom, top + 1), slice(left, right + 1))
            for number, bottom, top, left, right in zip(numbers[order[firsts]].tolist(), *edges, strict=True)
        }

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
    faces: list[_Face] = []
    shown: list[int] = []
    turns = [k for k in AXES if view.toward[k]]
    for number, solid in enumerate(solids):
        if isinstance(solid, Carved):
            _paint_faces(seen, depth, faces, shown, view, right, up, low)
            faces, shown = [], []
            _paint_bodies(seen, depth, solid, number, view, right, up, low)
        for lo, hi in solid.cells:
            for axis in turns:
                u, v = _ACROSS[axis]
                at = [*lo]
                if view.toward[axis] > 0:
                    at[axis] = hi[axis]
                faces.append((at[0], at[1], at[2], axis, hi[u] - lo[u], hi[v] - lo[v]))
                shown.append(number_of(number, axis))
    _paint_faces(seen, depth, faces, shown, view, right, up, low)
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
    a, b, c = _plane_through(corners)
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


def _plane_through(corners: Sequence[tuple[float, float, float]]) -> tuple[float, float, float]:
    """The depth of a flat polygon as a x + b y + c: by the normal that its sides turn round, in plain arithmetic, so
    that every machine paints the same. All 0 but the depth where it is seen on edge."""
    out = [0.0, 0.0, 0.0]
    for one, two in zip(corners, (*corners[1:], corners[0]), strict=True):
        for k in range(3):
            i, j = (k + 1) % 3, (k + 2) % 3
            out[k] += (one[i] - two[i]) * (one[j] + two[j])
    x, y, deep = (sum(corner[k] for corner in corners) / len(corners) for k in range(3))
    if not out[2]:
        return 0.0, 0.0, deep
    a, b = -out[0] / out[2], -out[1] / out[2]
    return a, b, deep - a * x - b * y


def _turn(spots: Any) -> float:
    """Twice the area of a polygon of the picture, below zero where it goes round with the clock."""
    import numpy as np

    x, y = spots[:, 0], spots[:, 1]
    return float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum())


def _paint_faces(
    seen: Grid,
    depth: Any,
    faces: Sequence[_Face],
    shown: Sequence[int],
    view: View,
    right: Sequence[float],
    up: Sequence[float],
    low: Spot,
) -> None:
    """Rectangles of the build, where nothing nearer was painted before; `shown` says what each of them shows."""
    import numpy as np

    if not faces:
        return
    table = np.array(faces, dtype=np.int64)
    corner, axes, wide, high = table[:, :3], table[:, 3], table[:, 4], table[:, 5]
    across = np.array(_ACROSS)[axes]
    toward, rights, ups = np.array(view.toward), np.array(right), np.array(up)
    near = (corner @ toward).astype(float)
    x, y = (
        (way[0] * corner[:, 0] + way[1] * corner[:, 1] + way[2] * corner[:, 2] - edge) / FINE_MM - 0.5
        for way, edge in ((rights, low[0]), (ups, low[1]))
    )
    (ux, vx), (uy, vy) = (
        tuple(way[across[:, k]] * side / FINE_MM for k, side in enumerate((wide, high))) for way in (rights, ups)
    )
    turn = ux * vy - uy * vx
    left, bottom, beyond, above = (
        np.clip(edge, 0, most).astype(int)
        for edge, most in (
            (np.ceil(x + np.minimum(ux, 0) + np.minimum(vx, 0)), seen.shape[1]),
            (np.ceil(y + np.minimum(uy, 0) + np.minimum(vy, 0)), seen.shape[0]),
            (np.floor(x + np.maximum(ux, 0) + np.maximum(vx, 0)) + 1, seen.shape[1]),
            (np.floor(y + np.maximum(uy, 0) + np.maximum(vy, 0)) + 1, seen.shape[0]),
        )
    )
    deep_u, deep_v = (toward[across[:, k]] * side for k, side in enumerate((wide, high)))
    some = (np.abs(turn) >= 1e-9) & (left < beyond) & (bottom < above)
    figures = np.stack((x, y, ux, uy, vx, vy, turn, near, deep_u, deep_v), axis=1)
    edges = np.stack((left, beyond, bottom, above), axis=1)
    few = (beyond - left) * (above - bottom) <= _FEW
    which = np.full(seen.shape, -1, dtype=np.int32)  # the face on top, by its number; one painted before comes first
    _paint_large(depth, which, np.nonzero(some & ~few)[0], figures, edges)
    _paint_small(depth, which, np.nonzero(some & few)[0], figures, edges)
    new = which >= 0
    seen[new] = np.array(shown, dtype=np.int32)[which[new]]


def _paint_large(depth: Any, which: Grid, numbers: Any, figures: Any, edges: Any) -> None:
    """The faces of these numbers, one after the other."""
    import numpy as np

    columns, rows = np.arange(depth.shape[1], dtype=float), np.arange(depth.shape[0], dtype=float)[:, None]
    for number, own, (a, b, c, d) in zip(
        numbers.tolist(), figures[numbers].tolist(), edges[numbers].tolist(), strict=True
    ):
        nearer, drawn = _on_face(columns[a:b], rows[c:d], own)
        before = depth[c:d, a:b]
        drawn &= nearer > before
        np.copyto(before, nearer, where=drawn)
        np.copyto(which[c:d, a:b], number, where=drawn)


def _paint_small(depth: Any, which: Grid, numbers: Any, figures: Any, edges: Any) -> None:
    """The faces of these numbers, over few squares each, all at once; of two that are as near the first is seen."""
    import numpy as np

    wide, high = edges[numbers, 1] - edges[numbers, 0], edges[numbers, 3] - edges[numbers, 2]
    face = np.repeat(numbers, wide * high)
    place = np.arange(len(face)) - np.repeat(np.cumsum(wide * high) - wide * high, wide * high)
    up, along = np.divmod(place, np.repeat(wide, wide * high))
    columns, rows = edges[face, 0] + along, edges[face, 2] + up
    nearer, drawn = _on_face(columns, rows, figures[face].T)
    square = rows * depth.shape[1] + columns
    face, nearer, square = face[drawn], nearer[drawn], square[drawn]
    order = np.lexsort((face, -nearer, square))
    face, nearer, square = face[order], nearer[order], square[order]
    top = np.ones(len(square), dtype=bool)
    top[1:] = square[1:] != square[:-1]
    face, nearer, square = face[top], nearer[top], square[top]
    before = depth.ravel()[square]
    drawn = (nearer > before) | ((nearer == before) & (face < which.ravel()[square]))
    depth.ravel()[square[drawn]] = nearer[drawn]
    which.ravel()[square[drawn]] = face[drawn]


def _on_face(columns: Any, rows: Any, figures: Sequence[Any]) -> tuple[Any, Any]:
    """How near a face is to the eye at squares of the paper, and whether it is there at all."""
    x, y, ux, uy, vx, vy, turn, near, deep_u, deep_v = figures
    dx, dy = columns - x, rows - y
    s, t = (dx * vy - dy * vx) / turn, (dy * ux - dx * uy) / turn
    drawn = s >= 0
    drawn &= s <= 1
    drawn &= t >= 0
    drawn &= t <= 1
    return near + s * deep_u + t * deep_v, drawn
