"""Hidden lines where something slopes: convex faces against lines in any direction.

The same idea as for cuboids (`hidden`): a side of a line is looked at just beside the line, on its face, and each face
nearer the eye hides one span of it. Here all is in floating point, "just beside" is a few thousandths of a millimetre,
and a face hides what lies behind its plane and inside every edge of its picture; all these conditions are linear along
the line.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from shopdocs.core.box import AXES, Box, Corner, Span
from shopdocs.work.shapes.arrays import EdgeSides, Faces, all_faces, along, faces_of
from shopdocs.work.shapes.projection import View
from shopdocs.work.shapes.slopes import STEP, Polygon, Vector
from shopdocs.work.shapes.solid import Solid

if TYPE_CHECKING:
    import numpy as np

    Floats = np.ndarray[Any, np.dtype[np.float64]]
    Ints = np.ndarray[Any, np.dtype[np.intp]]

_TOUCH = 0.1  # ticks: what lies no deeper inside the border of a face is not hidden by it
_DEEP = 1.0  # ticks: nor what lies no deeper behind it; ends of lines are whole ticks, up to 0.87 off their own face
_ROUNDING = 3.0  # ticks: hidden parts run this far past their ends, or slivers would be left between two of them
_CHUNK = 256  # sides whose pictures are compared in one go


class FaceSet:
    """Convex faces that look to the eye, ready to hide lines."""

    def __init__(self, view: View, faces: Faces) -> None:
        import numpy as np

        self.np = np
        self.toward = np.array(view.toward, dtype=float)
        self.flat = np.array([view.right, view.up], dtype=float).T  # (3, 2): from the build to the picture
        spots, self.outs = faces
        most = spots.shape[1]
        self.at = np.einsum("fk,fk->f", self.outs, spots[:, 0]) if most else np.zeros(0)
        pictured = spots @ self.flat
        steps = np.roll(pictured, -1, axis=1) - pictured
        long = np.hypot(steps[..., 0], steps[..., 1])
        area = (pictured[..., 0] * np.roll(pictured, -1, axis=1)[..., 1]).sum(axis=1)
        area -= (pictured[..., 1] * np.roll(pictured, -1, axis=1)[..., 0]).sum(axis=1)
        turn = np.where(area > 0, 1.0, -1.0)[:, None]
        some = long > 1e-6
        safe = np.where(some, long, 1.0)
        self.inward = np.stack([-steps[..., 1] * turn / safe, steps[..., 0] * turn / safe], axis=-1) * some[..., None]
        self.border = np.where(some, np.einsum("fek,fek->fe", self.inward, pictured), -1e18)
        none = np.zeros((0, 2))
        self.low: Floats = pictured.min(axis=1) if most else none
        self.high: Floats = pictured.max(axis=1) if most else none
        self.nearest = (spots @ self.toward).max(axis=1) if most else np.zeros(0)

    def __len__(self) -> int:
        return len(self.outs)

    def hidden_parts(self, starts: Floats, ways: Floats) -> list[list[tuple[float, float]]]:
        """For each line from `starts` (n, 3) along `ways` (n, 3), the parts of it, between 0 and 1, that are hidden."""
        np = self.np
        parts: list[list[tuple[float, float]]] = [[] for _ in starts]
        if not len(self) or not len(starts):
            return parts
        ends = starts + ways
        one, two = starts @ self.flat, ends @ self.flat
        low, high = np.minimum(one, two), np.maximum(one, two)
        deepest = np.minimum(starts @ self.toward, ends @ self.toward)
        order = np.lexsort((low[:, 1], low[:, 0]))
        for first in range(0, len(order), _CHUNK):
            mine = order[first : first + _CHUNK]
            near = np.nonzero(
                np.all((self.low <= high[mine].max(axis=0)) & (self.high >= low[mine].min(axis=0)), axis=1)
                & (self.nearest > deepest[mine].min())
            )[0]
            met = self.nearest[near] > deepest[mine, None]
            for k in (0, 1):
                met &= self.low[near, k] <= high[mine, k, None]
                met &= self.high[near, k] >= low[mine, k, None]
            which, faces = np.nonzero(met)
            if len(which):
                self._compare(mine[which], near[faces], starts, ways, parts)
        return parts

    def _compare(
        self, lines: Ints, faces: Ints, starts: Floats, ways: Floats, parts: list[list[tuple[float, float]]]
    ) -> None:
        """What each of these faces hides of the line beside it, by their numbers, is added to the parts of that."""
        np = self.np
        low, high = np.zeros(len(lines)), np.ones(len(lines))
        value, rate = self._deep(lines, faces, starts, ways)
        self._bound(low, high, value - (_DEEP - _TOUCH), rate)
        left = low < high
        lines, faces, low, high = lines[left], faces[left], low[left], high[left]
        flat_starts, flat_ways = starts @ self.flat, ways @ self.flat
        x, y, along, up = flat_starts[lines, 0], flat_starts[lines, 1], flat_ways[lines, 0], flat_ways[lines, 1]
        for edge in range(self.inward.shape[1]):
            a, b = self.inward[faces, edge, 0], self.inward[faces, edge, 1]
            self._bound(low, high, x * a + y * b - self.border[faces, edge], along * a + up * b)
        left = low < high
        lines, low, high = lines[left], low[left], high[left]
        over = _ROUNDING / np.sqrt((ways * ways).sum(axis=1))[lines]
        low, high = np.maximum(low - over, 0.0), np.minimum(high + over, 1.0)
        for line, start, end in zip(lines.tolist(), low.tolist(), high.tolist(), strict=True):
            parts[line].append((start, end))

    def _deep(self, lines: Ints, faces: Ints, starts: Floats, ways: Floats) -> tuple[Floats, Floats]:
        """How far the start of each line lies behind the face beside it, and how much farther its end."""
        outs, start, way = self.outs[faces], starts[lines], ways[lines]
        spare = self.at[faces] - (start[:, 0] * outs[:, 0] + start[:, 1] * outs[:, 1] + start[:, 2] * outs[:, 2])
        return spare, -(way[:, 0] * outs[:, 0] + way[:, 1] * outs[:, 1] + way[:, 2] * outs[:, 2])

    def _bound(self, low: Floats, high: Floats, value: Floats, rate: Floats) -> None:
        """Draw in the stretch of each line to where `value`, growing by `rate` from its start to its end, is more than
        _TOUCH."""
        np = self.np
        spare = value - _TOUCH
        rising, falling = rate >= 1e-9, rate <= -1e-9
        level = ~(rising | falling)
        crossing = -spare / np.where(level, 1.0, rate)
        np.maximum(low, crossing, out=low, where=rising)
        np.minimum(high, crossing, out=high, where=falling)
        high[level & (spare <= 0)] = -1.0


def sloping_faces(solids: Iterable[Solid], view: View) -> FaceSet:
    """The faces of all bodies with slopes that look to the eye."""
    some = [solid.sloped.screening.looking(view.toward, solid.body.lo) for solid in solids if solid.slants]
    return FaceSet(view, all_faces(some))


def cuboid_faces(boxes: Iterable[Box], view: View) -> FaceSet:
    """The faces of all boxes that look to the eye."""
    polygons: list[Polygon] = []
    outs: list[Vector] = []
    for box in boxes:
        for axis in AXES:
            if view.toward[axis]:
                flat = box.face(axis, view.toward[axis] > 0)
                u, v = (axis + 1) % 3, (axis + 2) % 3
                corners = []
                for a, b in (
                    (flat.lo[u], flat.lo[v]),
                    (flat.hi[u], flat.lo[v]),
                    (flat.hi[u], flat.hi[v]),
                    (flat.lo[u], flat.hi[v]),
                ):
                    spot = [float(flat.lo[axis])] * 3
                    spot[u], spot[v] = float(a), float(b)
                    corners.append((spot[0], spot[1], spot[2]))
                polygons.append(tuple(corners))
                out = [0.0, 0.0, 0.0]
                out[axis] = float(view.toward[axis])
                outs.append((out[0], out[1], out[2]))
    return FaceSet(view, faces_of(polygons, outs))


def seen_spans(
    drawn: Sequence[tuple[EdgeSides, Corner]], view: View, faces: Sequence[FaceSet]
) -> list[tuple[Corner, Corner, list[tuple[float, float]]]]:
    """The edges of solids that are drawn, by their ends once they are moved so far, each with the spans of it, between
    0 and 1, that are seen on one side of it at least."""
    import numpy as np

    ends: list[tuple[Corner, Corner]] = []
    owned, begins, steps = [], [], []
    for edges, home in drawn:
        shown = edges.drawn(view.toward)
        looking = (along(edges.out, view.toward) > 1e-6) & shown[edges.owner]
        owner = edges.owner[looking]
        owned.append((np.cumsum(shown) - 1)[owner] + len(ends))
        begins.append((edges.start + home)[owner] + STEP * edges.into[looking])
        steps.append((edges.end - edges.start)[owner].astype(float))
        moved = ((edges.start[shown] + home).tolist(), (edges.end[shown] + home).tolist())
        ends += [((a, b, c), (d, e, f)) for (a, b, c), (d, e, f) in zip(*moved, strict=True)]
    owners, start, way = owned[0].tolist(), begins[0], steps[0]
    if len(drawn) > 1:
        owners, start, way = np.concatenate(owned).tolist(), np.concatenate(begins), np.concatenate(steps)
    hidden: list[list[tuple[float, float]]] = [[] for _ in owners]
    for some in faces:
        for spans, more in zip(hidden, some.hidden_parts(start, way), strict=True):
            spans += more
    seen: list[list[tuple[float, float]]] = [[] for _ in ends]
    for owner, spans in zip(owners, hidden, strict=True):
        at = 0.0
        for low, high in sorted(spans):
            if low > at:
                seen[owner].append((at, low))
            at = max(at, high)
        if at < 1.0:
            seen[owner].append((at, 1.0))
    return [(one, two, spans) for (one, two), spans in zip(ends, seen, strict=True)]


def whole_spans(parts: Iterable[tuple[float, float]], length: int) -> list[Span]:
    """Parts of a line as spans of ticks."""
    return [(round(low * length), round(high * length)) for low, high in parts]
