"""Hidden-line removal for solids made of cuboids, exact in whole ticks.

An edge is seen where the faces beside it that look to the eye are seen just beside it. So each such side of an edge (an
*edge side*) is moved an infinitely small step into its face, and every face of every solid hides one span of it: the
span where the line of sight meets that face nearer the eye. In a view along (±1 or 0, ±1 or 0, ±1 or 0) each condition
is `a + b s + c e > 0` with b and c from -1, 0, 1, s the way along the edge and e the infinitely small step, so that all
ends of spans are whole ticks and ties are decided, never guessed.

Edge sides are divided again and again at the median of their place in the picture, each half taking along only faces
whose picture overlaps it and that are nearer the eye; small sets are compared all at once. In practice this grows
as n log n.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from heapq import nlargest
from typing import TYPE_CHECKING, Any, NamedTuple

from shopdocs.core.box import AXES, Box, Corner, Span, Ticks, joined_spans, without_spans
from shopdocs.work.space.hidden_sloped import cuboid_faces, seen_spans, sloping_faces, whole_spans
from shopdocs.work.space.projection import Flat, View
from shopdocs.work.space.slopes import STEP
from shopdocs.work.space.solid import Edge, Solid

if TYPE_CHECKING:
    import numpy as np

    Ints = np.ndarray[Any, np.dtype[np.int64]]

_LARGEST = 2**58  # sums of a few coordinates must fit 64 bits
_FACES_FIRST, _FACES_TRIED = 2, 6  # largest faces of a solid, each way, that are searched for a seen spot
_AT_ONCE = 6000  # pairs compared in one go


class Segment(NamedTuple):
    """A straight line of the picture, between two points of the build, in ticks."""

    start: Corner
    end: Corner


@dataclass(frozen=True, slots=True)
class Outline:
    """What a view shows of some solids: every line once, seen lines first."""

    view: View
    ticks: Ticks
    visible: tuple[Segment, ...]
    hidden: tuple[Segment, ...]

    def pictured(self, segments: Iterable[Segment]) -> Iterator[tuple[Flat, Flat]]:
        """The segments in the picture, in lengths."""
        for start, end in segments:
            yield self.view.picture(start, self.ticks), self.view.picture(end, self.ticks)


class _Side(NamedTuple):
    """One side of an edge: where it starts, how long it is, and which edge it belongs to."""

    start: Corner
    length: int
    owner: int


_Direction = tuple[int, int, int]  # axis of the edge, axis and sense of the small step into the face


@lru_cache(maxsize=256)
def outline_of(solid: Solid, view: View, ticks: Ticks) -> Outline:
    """The outline of one solid: drawings of a piece are tried at several scales, and again for its record."""
    return outline([solid], view, ticks)


def outline(solids: Sequence[Solid], view: View, ticks: Ticks) -> Outline:
    """The seen and hidden lines of `solids`. Lines that coincide in the picture are drawn once, seen before hidden.
    Raises OverflowError for coordinates past 2**58 ticks."""
    edges = [
        edge for solid in solids for edge in solid.edges
        if any(part for k, part in enumerate(view.toward) if k != edge.axis)
    ]  # fmt: skip
    sides: dict[_Direction, list[_Side]] = defaultdict(list)
    sides_of: list[int] = [0] * len(edges)
    for number, edge in enumerate(edges):
        for face in edge.faces:
            if face.looks == view.toward[face.normal]:
                sides[edge.axis, face.leaves, face.sense].append(_Side(edge.start, edge.length, number))
                sides_of[number] += 1
    seen: list[list[Span]] = [[] for _ in edges]
    screens = _Screens(solids, view)
    for direction, group in sides.items():
        for side, spans in zip(group, screens.hidden_spans(direction, group), strict=True):
            seen[side.owner] += without_spans((0, side.length), spans)
    straight, slanting = _sloped_edges(solids, view, screens)
    edges += [edge for edge, _ in straight]
    seen += [spans for _, spans in straight]
    # where slopes are, ends are rounded: what is left between two of them is no line
    least = STEP if slanting else 0
    shown = [[span for span in joined_spans(spans) if span[1] - span[0] > least] for spans in seen]
    visible, hidden = _drawn_once(edges, shown, view)
    for (start, end), (parts, long) in slanting.items():
        visible += [Segment(_part(start, end, low, long), _part(start, end, high, long)) for low, high in parts]
        hidden += [
            Segment(_part(start, end, low, long), _part(start, end, high, long))
            for low, high in without_spans((0, long), parts)
        ]
    return Outline(view, ticks, tuple(visible), tuple(hidden))


def _sloped_edges(
    solids: Sequence[Solid], view: View, screens: _Screens
) -> tuple[list[tuple[Edge, list[Span]]], dict[tuple[Corner, Corner], tuple[list[Span], int]]]:
    """The edges about slopes with their seen spans: those along an axis, and the others once for each place of the
    picture, with their length in ticks of their longest axis."""
    edges = [
        edge._replace(start=_added(edge.start, solid.body.lo), end=_added(edge.end, solid.body.lo))
        for solid in solids if solid.slopes for edge in solid.sloped.edges
    ]  # fmt: skip
    straight: list[tuple[Edge, list[Span]]] = []
    slanting: dict[tuple[Corner, Corner], tuple[list[Span], int]] = {}
    if not edges:
        return straight, slanting
    faces = (cuboid_faces(screens.boxes, view), screens.sloping)
    pictured: dict[tuple[int, ...], tuple[Corner, Corner]] = {}
    for edge, parts in zip(edges, seen_spans(edges, view, faces), strict=True):
        axes = [k for k in AXES if edge.start[k] != edge.end[k]]
        long = max(abs(edge.end[k] - edge.start[k]) for k in AXES)
        spans = whole_spans(parts, long)
        if len(axes) == 1:
            if any(part for k, part in enumerate(view.toward) if k != axes[0]):
                straight.append((Edge(axes[0], edge.start, long, ()), spans))
            continue
        place = tuple(sum(a * b for a, b in zip(way, spot, strict=True))
                      for spot in (edge.start, edge.end) for way in (view.right, view.up))  # fmt: skip
        if place[:2] != place[2:]:
            line = pictured.setdefault(place, (edge.start, edge.end))
            before = slanting.get(line, ([], long))[0]
            slanting[line] = (joined_spans([*before, *spans]), long)
    return straight, slanting


def _part(start: Corner, end: Corner, at: int, long: int) -> Corner:
    x, y, z = (a + round((b - a) * at / long) for a, b in zip(start, end, strict=True))
    return (x, y, z)


def _added(spot: Corner, by: Corner) -> Corner:
    return (spot[0] + by[0], spot[1] + by[1], spot[2] + by[2])


def _drawn_once(edges: Sequence[Edge], seen: Sequence[list[Span]], view: View) -> tuple[list[Segment], list[Segment]]:
    """Lines that fall on one line of the picture are joined there."""
    lines: dict[tuple[int, int], tuple[Corner, list[Span], list[Span]]] = {}
    for edge, spans in zip(edges, seen, strict=True):
        key, along = _line_of(edge, view)
        base, shown, every = lines.setdefault((edge.axis, key), (_moved(edge.start, edge.axis, -along), [], []))
        every.append((along, along + edge.length))
        shown += [(along + low, along + high) for low, high in spans]
    visible: list[Segment] = []
    hidden: list[Segment] = []
    for (axis, _), (base, shown, every) in lines.items():
        shown = joined_spans(shown)
        visible += [Segment(_moved(base, axis, low), _moved(base, axis, high)) for low, high in shown]
        for whole in joined_spans(every):
            hidden += [
                Segment(_moved(base, axis, low), _moved(base, axis, high)) for low, high in without_spans(whole, shown)
            ]
    return visible, hidden


def _line_of(edge: Edge, view: View) -> tuple[int, int]:
    """The line of the picture an edge falls on, and where on it the edge starts: both unchanged along a sight line."""
    axis, at, d = edge.axis, edge.start, view.toward
    u, v = (axis + 1) % 3, (axis + 2) % 3
    other = u if d[u] else v
    return at[u] * d[v] - at[v] * d[u], at[axis] - at[other] * d[axis] * d[other]


def _moved(spot: Corner, axis: int, by: int) -> Corner:
    x, y, z = spot
    return (x + by, y, z) if axis == 0 else (x, y + by, z) if axis == 1 else (x, y, z + by)


class _Screens:
    """The faces of all solids that look to the eye, ready to hide edge sides."""

    def __init__(self, solids: Sequence[Solid], view: View) -> None:
        import numpy as np

        self.np = np
        self.view, self.toward = view, view.toward
        boxes = self.boxes = [cell for solid in solids for cell in solid.plain_cells]
        self.sloping = sloping_faces(solids, view)
        if any(abs(v) > _LARGEST for box in boxes for v in (*box.lo, *box.hi)):
            raise OverflowError("coordinates are too large for hidden lines")
        lo = np.array([box.lo for box in boxes], dtype=np.int64).reshape(-1, 3)
        hi = np.array([box.hi for box in boxes], dtype=np.int64).reshape(-1, 3)
        self.lo: dict[int, Ints] = {}
        self.hi: dict[int, Ints] = {}
        self.places: dict[int, tuple[Ints, Ints]] = {}
        for axis in AXES:
            if self.toward[axis]:
                self.lo[axis], self.hi[axis] = lo.copy(), hi.copy()
                level = hi[:, axis] if self.toward[axis] > 0 else lo[:, axis]
                self.lo[axis][:, axis] = self.hi[axis][:, axis] = level
                self.places[axis] = self._place(self.lo[axis], self.hi[axis])

    def _place(self, lo: Ints, hi: Ints) -> tuple[Ints, Ints]:
        """Bounds of flat boxes in the picture (three numbers that do not change along a line of sight) and in depth."""
        np, d = self.np, self.toward
        lows, highs = [], []
        for weights in ((0, d[2], -d[1]), (-d[2], 0, d[0]), (d[1], -d[0], 0), d):
            low = np.zeros(len(lo), dtype=np.int64)
            high = np.zeros(len(lo), dtype=np.int64)
            for axis, weight in enumerate(weights):
                low += weight * (lo if weight > 0 else hi)[:, axis]
                high += weight * (hi if weight > 0 else lo)[:, axis]
            lows.append(low)
            highs.append(high)
        return np.stack(lows, axis=1), np.stack(highs, axis=1)

    def hidden_spans(self, direction: _Direction, sides: Sequence[_Side]) -> list[list[Span]]:
        """For each side, the spans along it that faces nearer the eye hide, in order of their start."""
        np = self.np
        start = np.array([side.start for side in sides], dtype=np.int64).reshape(-1, 3)
        length = np.array([side.length for side in sides], dtype=np.int64)
        end = start.copy()
        end[:, direction[0]] += length
        place = self._place(start, end)
        found: list[tuple[Ints, Ints, Ints]] = []
        everything = {axis: np.arange(len(self.lo[axis])) for axis in self.lo}
        self._divide(direction, start, length, place, np.arange(len(sides)), everything, found)
        spans: list[list[Span]] = [[] for _ in sides]
        if found:
            which, low, high = (np.concatenate(column) for column in zip(*found, strict=True))
            order = np.lexsort((low, which))
            for i, a, b in zip(which[order].tolist(), low[order].tolist(), high[order].tolist(), strict=True):
                spans[i].append((a, b))
        return self._and_sloping(direction, start, length, spans) if len(self.sloping) else spans

    def _and_sloping(
        self, direction: _Direction, start: Ints, length: Ints, spans: list[list[Span]]
    ) -> list[list[Span]]:
        """The spans and those that sloping faces hide, in order of their start."""
        np = self.np
        axis, step, sense = direction
        starts, ways = start.astype(float), np.zeros(start.shape)
        starts[:, step] += STEP * sense
        ways[:, axis] = length
        parts = self.sloping.hidden_parts(starts, ways)
        for number, (mine, more, long) in enumerate(zip(spans, parts, length.tolist(), strict=True)):
            if more:
                spans[number] = sorted([*mine, *whole_spans(more, long)])
        return spans

    def _divide(
        self, direction: _Direction, start: Ints, length: Ints, place: tuple[Ints, Ints], mine: Ints,
        faces: dict[int, Ints], found: list[tuple[Ints, Ints, Ints]],
    ) -> None:  # fmt: skip
        np = self.np
        low, high = place[0][mine], place[1][mine]
        least, most = low.min(axis=0), high.max(axis=0)
        near: dict[int, Ints] = {}
        for axis, some in faces.items():
            f_low, f_high = self.places[axis][0][some], self.places[axis][1][some]
            meets = (f_high[:, 3] > least[3]) & np.all(
                (f_low[:, :3] <= most[:3]) & (f_high[:, :3] >= least[:3]), axis=1
            )
            near[axis] = some[meets]
        pairs = len(mine) * sum(len(some) for some in near.values())
        if pairs == 0:
            return
        if pairs <= _AT_ONCE or len(mine) <= 4:
            for axis, some in near.items():
                if len(some):
                    self._compare(direction, start, length, mine, axis, some, found)
            return
        middle = low[:, :3] + high[:, :3]
        widest = int(np.argmax(middle.max(axis=0) - middle.min(axis=0)))
        order = np.argsort(middle[:, widest], kind="stable")
        half = len(mine) // 2
        for part in (order[:half], order[half:]):
            self._divide(direction, start, length, place, mine[part], near, found)

    def _compare(
        self, direction: _Direction, start: Ints, length: Ints, mine: Ints, normal: int, faces: Ints,
        found: list[tuple[Ints, Ints, Ints]],
    ) -> None:  # fmt: skip
        """All of these sides against all of these faces, which stand square to `normal`."""
        np, d = self.np, self.toward
        axis, step, sense = direction
        at, lo, hi = start[mine], self.lo[normal][faces], self.hi[normal][faces]
        # the way to the face along the line of sight, in parts of `toward`: way + way_s * s + way_e * e
        way = (lo[None, :, normal] - at[:, None, normal]) * d[normal]
        way_s = -d[normal] if axis == normal else 0
        way_e = -d[normal] * sense if step == normal else 0
        low = np.zeros(way.shape, dtype=np.int64)
        high = np.broadcast_to(length[mine][:, None], way.shape)
        holds = np.ones(way.shape, dtype=bool)
        conditions: list[tuple[Ints, int, int]] = [(way, way_s, way_e)]
        for m in AXES:
            if m != normal:
                meets = at[:, None, m] + way * d[m]
                meets_s = (axis == m) + way_s * d[m]
                meets_e = sense * (step == m) + way_e * d[m]
                conditions.append((meets - lo[None, :, m], meets_s, meets_e))
                conditions.append((hi[None, :, m] - meets, -meets_s, -meets_e))
        # a bare point (no step into a face) on the border of a face counts as hidden by it
        conditions[1:] = [(value + (sense == 0), along, small) for value, along, small in conditions[1:]]
        for value, along, small in conditions:
            if along == 0:
                holds &= (value >= 0) if small > 0 else (value > 0)
            elif along > 0:
                low = np.maximum(low, -value)
            else:
                high = np.minimum(high, value)
        one, two = np.nonzero(holds & (low < high))
        if len(one):
            found.append((mine[one], low[one, two], high[one, two]))


def seen_parts(solids: Sequence[Solid], view: View, segments: Iterable[Segment]) -> list[Segment]:
    """The parts of loose axis-parallel lines (assembly lines, say) that no solid hides."""
    groups: dict[int, list[_Side]] = defaultdict(list)
    for number, (start, end) in enumerate(segments):
        axis = next((k for k in AXES if start[k] != end[k]), None)
        if axis is not None and any(part for k, part in enumerate(view.toward) if k != axis):
            first = start if start[axis] < end[axis] else end
            groups[axis].append(_Side(first, abs(end[axis] - start[axis]), number))
    screens = _Screens(solids, view)
    parts = []
    for axis, group in groups.items():
        for side, spans in zip(group, screens.hidden_spans((axis, axis, 0), group), strict=True):
            for low, high in without_spans((0, side.length), spans):
                parts.append((side.owner, Segment(_moved(side.start, axis, low), _moved(side.start, axis, high))))
    return [segment for _, segment in sorted(parts)]


def seen_points(solids: Sequence[Solid], view: View, points: Sequence[tuple[Corner, int]]) -> list[bool]:
    """Whether nothing hides a point that lies on a face; with each point comes the axis its face stands square to."""
    screens = _Screens(solids, view)
    seen = [True] * len(points)
    for normal in AXES:
        group = [i for i, (_, axis) in enumerate(points) if axis == normal]
        along = (normal + 1) % 3
        sides = [_Side(_moved(points[i][0], along, -1), 2, i) for i in group]
        if sides:
            for side, spans in zip(sides, screens.hidden_spans((along, along, 0), sides), strict=True):
                seen[side.owner] = not spans
    return seen


def visible_spots(
    solids: Sequence[Solid], view: View, wanted: Iterable[int] | None = None
) -> list[Corner | None]:  # fmt: skip
    """For each solid, a point on it that is seen in the view, well inside the seen part of one of its faces; looked for
    on a grid of points on each face, a coarse one on its largest faces first. None where nothing of it is seen, and for
    solids whose number is not among `wanted`, where that is given."""
    screens = _Screens(solids, view)
    best: dict[int, Corner | None] = dict.fromkeys(range(len(solids)) if wanted is None else wanted)
    for faces, fine in ((_FACES_FIRST, 6), (_FACES_TRIED, 6), (_FACES_TRIED, 20)):
        lost = [number for number, spot in best.items() if spot is None]
        if lost:
            best |= _best_spots(screens, solids, lost, faces, fine)
    return [best.get(number) for number in range(len(solids))]


def _best_spots(
    screens: _Screens, solids: Sequence[Solid], wanted: Iterable[int], tried: int, fine: int
) -> dict[int, Corner | None]:  # fmt: skip
    """The best spot of each solid that has one on grids of `fine` - 1 points each way on its `tried` largest faces."""
    view = screens.view
    best: dict[int, tuple[tuple[int, int], Corner] | None] = dict.fromkeys(wanted)
    for normal in AXES:
        if not view.toward[normal]:
            continue
        faces = [
            (number, cell.face(normal, view.toward[normal] > 0))
            for number in best
            for cell in nlargest(tried, solids[number].plain_cells, key=partial(_face_area, axis=normal))
        ]
        axis = (normal + 1) % 3
        # a tick to both sides, so that no spot lies just at the foot of another piece
        sides = [_Side(_moved(spot, axis, -1), 2, 0) for _, face in faces for spot in _grid_spots(face, normal, fine)]
        spans = screens.hidden_spans((axis, axis, 0), sides)
        each = (fine - 1) ** 2
        for at, (number, face) in enumerate(faces):
            known, most = best[number], (fine // 2) * min(face.size[k] for k in AXES if k != normal)
            if known is not None and known[0][0] >= most:
                continue  # the face is too narrow to hold a better spot
            part = range(at * each, (at + 1) * each)
            seen = {divmod(k - at * each, fine - 1) for k in part if not spans[k]}
            for i, j in seen:
                merit = _merit(face, normal, seen, i, j)
                spot = _moved(sides[at * each + i * (fine - 1) + j].start, axis, 1)
                now = best[number]
                if now is None or (merit, now[1]) > (now[0], spot):
                    best[number] = (merit, spot)
    return {number: None if choice is None else choice[1] for number, choice in best.items()}


def _face_area(box: Box, axis: int) -> int:
    return box.volume // box.size[axis]


def _grid_spots(face: Box, normal: int, fine: int) -> Iterator[Corner]:
    """Points inside a face, row by row."""
    u, v = (normal + 1) % 3, (normal + 2) % 3
    size = face.size
    for i in range(1, fine):
        for j in range(1, fine):
            spot = list(face.lo)
            spot[u] += size[u] * i // fine
            spot[v] += size[v] * j // fine + (size[v] > 4 * fine)  # a tick off round measures
            yield (spot[0], spot[1], spot[2])


def _merit(face: Box, normal: int, seen: set[tuple[int, int]], i: int, j: int) -> tuple[int, int]:
    """How far the seen part of the face reaches round a grid point, in its narrowest and its widest direction."""
    reach = []
    for di, dj, axis in ((1, 0, (normal + 1) % 3), (0, 1, (normal + 2) % 3)):
        steps = []
        for sign in (1, -1):
            k = 1
            while (i + sign * k * di, j + sign * k * dj) in seen:
                k += 1
            steps.append(k)
        reach.append(min(steps) * face.size[axis])
    return min(reach), max(reach)
