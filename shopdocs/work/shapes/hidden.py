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
from collections.abc import Container, Iterable, Iterator, Sequence
from functools import cached_property
from itertools import islice
from typing import TYPE_CHECKING, Any, NamedTuple

from msgspec import Struct

from shopdocs.core.box import AXES, Box, Corner, Span, Ticks, joined_spans, without_spans
from shopdocs.work.shapes.hidden_sloped import FaceSet, cuboid_faces, seen_spans, sloping_faces, whole_spans
from shopdocs.work.shapes.projection import Flat, View
from shopdocs.work.shapes.slopes import STEP
from shopdocs.work.shapes.solid import Edge, Solid

if TYPE_CHECKING:
    import numpy as np

    Ints = np.ndarray[Any, np.dtype[np.int64]]
    Flags = np.ndarray[Any, np.dtype[np.bool_]]
    _Spans = tuple[Ints, Ints, Ints]  # what is hidden of lines: number of the line, from, to

_LARGEST = 2**58  # sums of a few coordinates must fit 64 bits
_AT_ONCE = 12000  # pairs compared in one go


# The small step into a face, by its axis and its sense.
_STEPS: dict[tuple[int, int], Corner] = {
    (axis, sense): (sense * (axis == 0), sense * (axis == 1), sense * (axis == 2)) for axis in AXES for sense in (-1, 1)
}


class Segment(NamedTuple):
    """A straight line of the picture, between two points of the build, in ticks."""

    start: Corner
    end: Corner


class Outline(Struct, frozen=True):
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
    """One side of an edge: where it starts, how long it is, which edge it belongs to, and the small step into its face;
    none for a loose line."""

    start: Corner
    length: int
    owner: int
    step: Corner = (0, 0, 0)


class _Lines(NamedTuple):
    """Edge sides along one axis: where they start (n, 3), how long they are, the small step of each (n, 3), and their
    bounds in the picture and in depth (n, 4)."""

    axis: int
    start: Ints
    length: Ints
    step: Ints
    low: Ints
    high: Ints


def outline(
    solids: Sequence[Solid],
    view: View,
    ticks: Ticks,
    of: Container[int] | None = None,
    screens: Screens | None = None,
) -> Outline:
    """The seen and hidden lines of `solids`; only those of some, by their number, behind and before the others, where
    `of` says so. `screens` are those of all the solids, where they are made already. Lines that coincide in the picture
    are drawn once, seen before hidden. Raises OverflowError for coordinates past 2**58 ticks."""
    screens = screens or Screens(solids, view)
    drawn = screens.shown([number for number in range(len(solids)) if of is None or number in of])
    edges = [edge for one in drawn for edge in one.edges]
    seen = [spans for one in drawn for spans in one.seen]
    straight, slanting = _sloped_edges([sloped for one in drawn for sloped in one.sloped], view)
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
    edges: Iterable[tuple[Corner, Corner, list[tuple[float, float]]]], view: View
) -> tuple[list[tuple[Edge, list[Span]]], dict[tuple[Corner, Corner], tuple[list[Span], int]]]:
    """The edges about slopes with their seen spans: those along an axis, and the others once for each place of the
    picture, with their length in ticks of their longest axis."""
    straight: list[tuple[Edge, list[Span]]] = []
    slanting: dict[tuple[Corner, Corner], tuple[list[Span], int]] = {}
    pictured: dict[tuple[int, ...], tuple[Corner, Corner]] = {}
    (a, b, c), (d, e, f) = view.right, view.up
    for begin, finish, parts in edges:
        (x, y, z), (u, v, w) = begin, finish
        axes = [k for k, by in enumerate((u - x, v - y, w - z)) if by]
        long = max(abs(u - x), abs(v - y), abs(w - z))
        spans = whole_spans(parts, long)
        if len(axes) == 1:
            if any(part for k, part in enumerate(view.toward) if k != axes[0]):
                straight.append((Edge(axes[0], begin, long, ()), spans))
            continue
        start, end = (a * x + b * y + c * z, d * x + e * y + f * z), (a * u + b * v + c * w, d * u + e * v + f * w)
        place = (*start, *end)
        if start != end:
            line = pictured.setdefault(place, (begin, finish))
            before = slanting.get(line, ([], long))[0]
            slanting[line] = (joined_spans([*before, *spans]), long)
    return straight, slanting


def _part(start: Corner, end: Corner, at: int, long: int) -> Corner:
    if at in (0, long):  # as most lines are seen or hidden from end to end
        return end if at else start
    (x, y, z), (u, v, w) = start, end
    return (x + round((u - x) * at / long), y + round((v - y) * at / long), z + round((w - z) * at / long))


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


class _Shown(NamedTuple):
    """The edges of a solid with what is seen of each: spans from its start, and of those about slopes, which stand here
    by their ends, parts of it."""

    edges: list[Edge]
    seen: list[list[Span]]
    sloped: list[tuple[Corner, Corner, list[tuple[float, float]]]]


class Screens:
    """The faces of all solids that look to the eye, ready to hide edge sides."""

    def __init__(self, solids: Sequence[Solid], view: View) -> None:
        import numpy as np

        self.np = np
        self.solids, self.view, self.toward = solids, view, view.toward
        self._shown: dict[int, _Shown] = {}
        boxes = self.boxes = [cell for solid in solids for cell in solid.plain_cells]
        self.sloping = sloping_faces(solids, view)
        d = view.toward
        weights = np.array([(0, d[2], -d[1]), (-d[2], 0, d[0]), (d[1], -d[0], 0), d], dtype=np.int64).T
        self.more, self.less = np.maximum(weights, 0), np.minimum(weights, 0)
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

    @cached_property
    def cuboids(self) -> FaceSet:
        """The faces of cuboids, for lines that run aslant."""
        return cuboid_faces(self.boxes, self.view)

    def _place(self, lo: Ints, hi: Ints) -> tuple[Ints, Ints]:
        """Bounds of flat boxes in the picture (three numbers that do not change along a line of sight) and in depth."""
        return lo @ self.more + hi @ self.less, hi @ self.more + lo @ self.less

    def shown(self, numbers: Sequence[int]) -> list[_Shown]:
        """What is seen of the edges of the solids with these numbers, found for all of them together and kept."""
        new = [number for number in numbers if number not in self._shown]
        if new:
            self._shown |= zip(new, self._found_of([self.solids[number] for number in new]), strict=True)
        return [self._shown[number] for number in numbers]

    def _found_of(self, solids: Sequence[Solid]) -> list[_Shown]:
        drawn: list[_Shown] = []
        sides: dict[int, list[_Side]] = defaultdict(list)  # by their axis: together they are found in one go
        every: list[list[Span]] = []
        seen_along = {axis for axis in AXES if any(part for k, part in enumerate(self.toward) if k != axis)}
        for solid in solids:
            edges = [edge for edge in solid.edges if edge.axis in seen_along]
            for number, (axis, start, length, faces) in enumerate(edges, len(every)):
                for normal, looks, leaves, sense in faces:
                    if looks == self.toward[normal]:
                        sides[axis].append(_Side(start, length, number, _STEPS[leaves, sense]))
            drawn.append(_Shown(edges, [[] for _ in edges], []))
            every += drawn[-1].seen
        for axis, group in sides.items():
            for side, spans in zip(group, self.hidden_spans(axis, group), strict=True):
                every[side.owner] += without_spans((0, side.length), spans)
        sloping = [(one, solid) for one, solid in zip(drawn, solids, strict=True) if solid.slants]
        if sloping:
            moved = [(solid.sloped.edge_sides, solid.body.lo) for _, solid in sloping]
            found = iter(seen_spans(moved, self.view, (self.cuboids, self.sloping)))
            for (one, _), (own, _) in zip(sloping, moved, strict=True):
                one.sloped.extend(islice(found, int(own.drawn(self.toward).sum())))
        return drawn

    def hidden_spans(self, axis: int, sides: Sequence[_Side]) -> list[list[Span]]:
        """For each side along the axis, the spans along it that faces nearer the eye hide, in order of their start."""
        np = self.np
        start = np.array([side.start for side in sides], dtype=np.int64).reshape(-1, 3)
        length = np.array([side.length for side in sides], dtype=np.int64)
        step = np.array([side.step for side in sides], dtype=np.int64).reshape(-1, 3)
        found = self._found(axis, start, length, step)
        spans: list[list[Span]] = [[] for _ in sides]
        if found:
            which, low, high = (np.concatenate(column) for column in zip(*found, strict=True))
            order = np.lexsort((low, which))
            for i, a, b in zip(which[order].tolist(), low[order].tolist(), high[order].tolist(), strict=True):
                spans[i].append((a, b))
        if len(self.sloping):
            left = [i for i, (mine, side) in enumerate(zip(spans, sides, strict=True)) if (0, side.length) not in mine]
            parts = self._sloping_parts(axis, start[left], length[left], step[left])
            for i, more in zip(left, parts, strict=True):
                if more:
                    spans[i] = sorted([*spans[i], *whole_spans(more, sides[i].length)])
        return spans

    def hides(self, axis: int, spots: Ints) -> Flags:
        """Whether faces nearer the eye hide any of the way from a tick before each of `spots` (n, 3) along the axis to
        a tick behind it."""
        np = self.np
        start, length, step = spots.copy(), np.full(len(spots), 2, dtype=np.int64), np.zeros_like(spots)
        start[:, axis] -= 1
        hidden: Flags = np.zeros(len(spots), dtype=bool)
        for which, _, _ in self._found(axis, start, length, step):
            hidden[which] = True
        if len(self.sloping):
            left = np.nonzero(~hidden)[0]
            parts = self._sloping_parts(axis, start[left], length[left], step[left])
            hidden[left] = [bool(some) for some in parts]
        return hidden

    def covers(self, boxes: Sequence[Box]) -> Flags:
        """Whether some one face nearer the eye hides the whole of each box."""
        np = self.np
        lo = np.array([box.lo for box in boxes], dtype=np.int64).reshape(-1, 3)
        hi = np.array([box.hi for box in boxes], dtype=np.int64).reshape(-1, 3)
        low, high = self._place(lo, hi)
        covered: Flags = np.zeros(len(boxes), dtype=bool)
        for normal, (f_low, f_high) in self.places.items():
            toward = self.toward[normal]
            hides = self.lo[normal][:, normal] * toward > (hi if toward > 0 else lo)[:, normal, None] * toward
            for k in AXES:
                if k != normal:
                    hides &= (f_low[:, k] <= low[:, k, None]) & (high[:, k, None] <= f_high[:, k])
            covered |= hides.any(axis=1)
        return covered

    def _found(self, axis: int, start: Ints, length: Ints, step: Ints) -> list[_Spans]:
        """What faces of cuboids hide of lines."""
        np = self.np
        end = start.copy()
        end[:, axis] += length
        lines = _Lines(axis, start, length, step, *self._place(start, end))
        found: list[_Spans] = []
        if len(start):
            everything = {normal: np.arange(len(lo)) for normal, lo in self.lo.items()}
            self._divide(lines, np.arange(len(start)), everything, found)
        return found

    def _sloping_parts(self, axis: int, start: Ints, length: Ints, step: Ints) -> list[list[tuple[float, float]]]:
        ways = self.np.zeros(start.shape)
        ways[:, axis] = length
        return self.sloping.hidden_parts(start + STEP * step, ways)

    def _divide(self, lines: _Lines, mine: Ints, faces: dict[int, Ints], found: list[_Spans]) -> None:
        np = self.np
        low, high = lines.low[mine], lines.high[mine]
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
                    self._compare(lines, mine, axis, some, found)
            return
        middle = low[:, :3] + high[:, :3]
        widest = int(np.argmax(middle.max(axis=0) - middle.min(axis=0)))
        order = np.argsort(middle[:, widest], kind="stable")
        half = len(mine) // 2
        for part in (order[:half], order[half:]):
            self._divide(lines, mine[part], near, found)

    def _compare(self, lines: _Lines, mine: Ints, normal: int, faces: Ints, found: list[_Spans]) -> None:
        """All of these sides against all of these faces, which stand square to `normal`."""
        np, d, axis = self.np, self.toward, lines.axis
        at, step, lo, hi = lines.start[mine], lines.step[mine], self.lo[normal][faces], self.hi[normal][faces]
        # the way to the face along the line of sight, in parts of `toward`: way + way_s * s + way_e * e
        way = (lo[None, :, normal] - at[:, None, normal]) * d[normal]
        way_s = -d[normal] if axis == normal else 0
        way_e = -d[normal] * step[:, normal]
        low = np.zeros(way.shape, dtype=np.int64)
        high = np.broadcast_to(lines.length[mine][:, None], way.shape)
        holds = np.ones(way.shape, dtype=bool)
        conditions: list[tuple[Ints, int, Ints]] = [(way, way_s, way_e)]
        bare = not step.any()  # without a step into a face, on the border of a face counts as hidden by it
        for m in AXES:
            if m != normal:
                meets = at[:, None, m] + way * d[m]
                meets_s = (axis == m) + way_s * d[m]
                meets_e = step[:, m] + way_e * d[m]
                conditions.append((meets - (lo[:, m] - bare), meets_s, meets_e))
                conditions.append(((hi[:, m] + bare) - meets, -meets_s, -meets_e))
        for value, along, small in conditions:
            if along == 0:
                holds &= value >= (small <= 0)[:, None]
            elif along > 0:
                low = np.maximum(low, -value)
            else:
                high = np.minimum(high, value)
        one, two = np.nonzero(holds & (low < high))
        if len(one):
            found.append((mine[one], low[one, two], high[one, two]))


def seen_parts(
    solids: Sequence[Solid], view: View, segments: Iterable[Segment], screens: Screens | None = None
) -> list[Segment]:
    """The parts of loose axis-parallel lines (assembly lines, say) that no solid hides. `screens` are those of the
    solids, where they are made already."""
    groups: dict[int, list[_Side]] = defaultdict(list)
    for number, (start, end) in enumerate(segments):
        axis = next((k for k in AXES if start[k] != end[k]), None)
        if axis is not None and any(part for k, part in enumerate(view.toward) if k != axis):
            first = start if start[axis] < end[axis] else end
            groups[axis].append(_Side(first, abs(end[axis] - start[axis]), number))
    if not groups:
        return []
    screens = screens or Screens(solids, view)
    parts = []
    for axis, group in groups.items():
        for side, spans in zip(group, screens.hidden_spans(axis, group), strict=True):
            for low, high in without_spans((0, side.length), spans):
                parts.append((side.owner, Segment(_moved(side.start, axis, low), _moved(side.start, axis, high))))
    return [segment for _, segment in sorted(parts)]
