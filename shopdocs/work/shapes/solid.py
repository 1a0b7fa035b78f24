"""A body with cuboid cuts and additions, as exact disjoint cells and as faces and edges."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property, lru_cache
from typing import ClassVar, NamedTuple

from shopdocs.core.box import AXES, Box, Corner, less_all, without_spans
from shopdocs.core.compared import Compared
from shopdocs.work.shapes.slopes import Slope, Sloped, sloped


class EdgeFace(NamedTuple):
    """A face beside an edge: the axis it stands square to, the sense its outside looks along that axis (+1 or -1), the
    axis and the sense in which the face leaves the edge."""

    normal: int
    looks: int
    leaves: int
    sense: int


class Edge(NamedTuple):
    """A straight edge of a solid: parallel to `axis`, from `start` so many ticks forward, between these faces."""

    axis: int
    start: Corner
    length: int
    faces: tuple[EdgeFace, ...]

    def shifted(self, by: Corner) -> Edge:
        """The same edge moved by so many ticks."""
        axis, (x, y, z), length, faces = self
        return Edge(axis, (x + by[0], y + by[1], z + by[2]), length, faces)


class Solid(Compared, frozen=True, dict=True):
    """`body` together with `adds`, less `cuts`, in ticks. `slopes` narrow some of them in pictures; cells, volumes and
    contacts are those of the cuboids."""

    apart: ClassVar[frozenset[str]] = frozenset()

    body: Box
    adds: tuple[Box, ...] = ()
    cuts: tuple[Box, ...] = ()
    slopes: tuple[Slope, ...] = ()

    @cached_property
    def cells(self) -> tuple[Box, ...]:
        """Disjoint boxes that fill the solid exactly."""
        cells = [self.body]
        for add in self.adds:
            cells += less_all([add], cells)
        return tuple(box for box in less_all(cells, self.cuts) if box.volume)

    @cached_property
    def touching(self) -> tuple[Box, ...]:
        """The cells that others may lie against: with boxes inside what is left beside cuts of any outline."""
        inner = (box for slope in self.slopes if slope.profile for box in slope.boxes_left())
        return self.cells + tuple(box for wide in inner for box in less_all([wide], self.cuts_but_profiles))

    @cached_property
    def cuts_but_profiles(self) -> tuple[Box, ...]:
        """What is cut away as a whole."""
        profiled = {slope.box for slope in self.slopes if slope.profile}
        return tuple(cut for cut in self.cuts if cut not in profiled)

    @cached_property
    def bounds(self) -> Box:
        """Around the solid (around its body, should the cuts leave nothing)."""
        if not self.adds and not self.cuts:
            return self.body
        # what a cut that slopes on one side leaves reaches as far as the cut does
        left = [box for slope in self.slopes if slope.one_sided and (box := slope.box.overlap(self.body))]
        return Box.around((*self.cells, *left) or (self.body,))

    @property
    def slants(self) -> bool:
        """Whether anything of it is off square, so that its bodies are compared and not only its cells."""
        return bool(self.slopes)

    @property
    def volume(self) -> int:
        """Cubic ticks, slopes not counted: of the cells before anything slopes."""
        return sum(cell.volume for cell in self.cells)

    def shifted(self, by: Corner) -> Solid:
        """The same solid moved by so many ticks; what is worked out of it moves along, its edges too."""
        if by == (0, 0, 0):
            return self
        moved = self.moved(by)
        moved.__dict__["edges"] = tuple(edge.shifted(by) for edge in self.edges)
        return moved

    def moved(self, by: Corner) -> Solid:
        """The same as `shifted`, but for the edges, which few ask for."""
        moved = Solid(
            self.body.shifted(by),
            tuple(box.shifted(by) for box in self.adds),
            tuple(box.shifted(by) for box in self.cuts),
            tuple(slope.shifted(by) for slope in self.slopes),
        )
        # known already
        moved.__dict__["cells"] = tuple(cell.shifted(by) for cell in self.cells)
        moved.__dict__["bounds"] = self.bounds.shifted(by)
        if self.slopes:
            moved.__dict__["sloped"] = self.sloped
        return moved

    def overlap(self, other: Solid) -> int:
        """Volume both solids would share, in cubic ticks."""
        if self.bounds.overlap(other.bounds) is None:
            return 0
        shared = 0
        near = [cell for cell in other.cells if cell.overlap(self.bounds) is not None]
        for mine in self.cells:
            for theirs in near:
                common = mine.overlap(theirs)
                shared += common.volume if common is not None else 0
        return shared

    @cached_property
    def edges(self) -> tuple[Edge, ...]:
        """Every edge where two faces meet at an angle; collinear stretches between the same faces are one edge. Without
        the stretches at slopes, where `sloped` has the edges."""
        if not self.slopes:
            return self._cuboid_edges()
        return tuple(part for edge in self._cuboid_edges() for part in _less_slopes(edge, self.slopes))

    @cached_property
    def sloped(self) -> Sloped:
        """What slopes make of the solid, moved so that the low corner of its body is the origin."""
        x, y, z = self.body.lo
        home = (-x, -y, -z)
        return sloped(
            self.body.shifted(home),
            tuple(cell.shifted(home) for cell in self.cells),
            tuple(cut.shifted(home) for cut in self.cuts),
            tuple(slope.shifted(home) for slope in self.slopes),
        )

    @cached_property
    def plain_cells(self) -> tuple[Box, ...]:
        """The cells that no slope cuts."""
        return tuple(cell.shifted(self.body.lo) for cell in self.sloped.plain) if self.slopes else self.cells

    @property
    def whole_cells(self) -> tuple[Box, ...]:
        """The same here; where mortises at an angle are cut, the cells as if these were filled."""
        return self.plain_cells

    def _cuboid_edges(self) -> tuple[Edge, ...]:
        if len(self.cells) == 1:
            return tuple(_box_edges(self.cells[0]))
        x, y, z = self.body.lo
        alike = _edges_of(tuple(cell.shifted((-x, -y, -z)) for cell in self.cells))
        return tuple(edge.shifted((x, y, z)) for edge in alike)


def _less_slopes(edge: Edge, slopes: Iterable[Slope]) -> Iterator[Edge]:
    axis, start = edge.axis, edge.start
    u, v = (axis + 1) % 3, (axis + 2) % 3
    boxes = [slope.box for slope in slopes]
    spans = [
        (box.lo[axis], box.hi[axis])
        for box in boxes
        if box.lo[u] <= start[u] <= box.hi[u] and box.lo[v] <= start[v] <= box.hi[v]
    ]
    for low, high in without_spans((start[axis], start[axis] + edge.length), spans):
        at = list(start)
        at[axis] = low
        yield Edge(axis, (at[0], at[1], at[2]), high - low, edge.faces)


@lru_cache(maxsize=512)
def _edges_of(cells: tuple[Box, ...]) -> tuple[Edge, ...]:
    """The edges of cells about the origin: pieces of one part that lie alike share them."""
    return tuple(_Grid(cells).edges())


def _box_edges(box: Box) -> Iterator[Edge]:
    for axis in AXES:
        u, v = (axis + 1) % 3, (axis + 2) % 3
        for high_u in (False, True):
            for high_v in (False, True):
                start = list(box.lo)
                if high_u:
                    start[u] = box.hi[u]
                if high_v:
                    start[v] = box.hi[v]
                out_u, out_v = (1 if high_u else -1), (1 if high_v else -1)
                faces = (EdgeFace(u, out_u, v, -out_v), EdgeFace(v, out_v, u, -out_u))
                yield Edge(axis, (start[0], start[1], start[2]), box.size[axis], faces)


class _Grid:
    """The cells of a solid on the grid of all their planes."""

    def __init__(self, cells: tuple[Box, ...]) -> None:
        self.planes = [sorted({v for cell in cells for v in (cell.lo[k], cell.hi[k])}) for k in AXES]
        self.filled: set[Corner] = set()
        for cell in cells:
            spans = [
                range(bisect_left(self.planes[k], cell.lo[k]), bisect_left(self.planes[k], cell.hi[k])) for k in AXES
            ]
            self.filled.update((i, j, k) for i in spans[0] for j in spans[1] for k in spans[2])

    def edges(self) -> Iterator[Edge]:
        for axis in AXES:
            u, v = (axis + 1) % 3, (axis + 2) % 3
            columns: dict[tuple[int, int], int] = {}  # which cells of a column are filled, as bits
            for cell in self.filled:
                columns[cell[u], cell[v]] = columns.get((cell[u], cell[v]), 0) | 1 << cell[axis]
            for iu in range(len(self.planes[u])):
                for iv in range(len(self.planes[v])):
                    around = [columns.get((iu + du, iv + dv), 0) for du, dv in _QUARTERS]
                    if len(set(around)) > 1:
                        yield from self._along(axis, self.planes[u][iu], self.planes[v][iv], around)

    def _along(self, axis: int, at_u: int, at_v: int, around: Sequence[int]) -> Iterator[Edge]:
        """The edges on one grid line, `around` which the filled cells of four columns lie."""
        u, v = (axis + 1) % 3, (axis + 2) % 3
        run: tuple[int, tuple[EdgeFace, ...]] | None = None
        planes, meeting = self.planes[axis], _MEETING[axis]
        steps = [(at, meeting[_quarters(column >> i & 1 for column in around)]) for i, at in enumerate(planes)]
        for at, faces in steps:
            if run is not None and run[1] != faces:
                start = [0, 0, 0]
                start[axis], start[u], start[v] = run[0], at_u, at_v
                yield Edge(axis, (start[0], start[1], start[2]), at - run[0], run[1])
                run = None
            if faces and run is None:
                run = (at, faces)


_QUARTERS = ((-1, -1), (-1, 0), (0, -1), (0, 0))  # round a line along an axis: lower or higher along the next two


def _quarters(wood: Iterable[int]) -> int:
    """Which quarters round a line are wood, as one number."""
    number = 0
    for bit in wood:
        number = number << 1 | bit
    return number


def _meeting(axis: int, quarters: int) -> tuple[EdgeFace, ...]:
    """The faces that meet on a line along an axis; none where it lies inside, outside, or in the middle of a face."""
    u, v = (axis + 1) % 3, (axis + 2) % 3
    at = {quarter: bool(quarters >> 3 - k & 1) for k, quarter in enumerate(_QUARTERS)}
    faces = []
    for far, sense in ((-1, -1), (0, 1)):
        if at[-1, far] != at[0, far]:
            faces.append(EdgeFace(u, 1 if at[-1, far] else -1, v, sense))
        if at[far, -1] != at[far, 0]:
            faces.append(EdgeFace(v, 1 if at[far, -1] else -1, u, sense))
    flat = len(faces) == 2 and faces[0][:3] == faces[1][:3]
    return () if flat else tuple(faces)


_MEETING = tuple(tuple(_meeting(axis, quarters) for quarters in range(16)) for axis in AXES)
