"""Dovetails in pictures: tails and sockets with sloping sides, as convex bodies.

A solid is made of cuboids; where a tail or a socket narrows, its cells are cut by the sloping planes: of a tail only
the inside is left, in a socket a wedge of wood stays on each side. What is drawn there are the lines about which the
wood is neither all, nor nothing, nor flat: between two neighbouring planes round a line it either is wood or it is not,
so the planes where this changes are the faces beside the line. Measures are ticks; they are finer than the step that
stands for "just beside a line" here (Scene.of sees to it), and ends are rounded to whole ticks.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property, lru_cache
from itertools import pairwise, product
from typing import NamedTuple

from shopdocs.core.box import AXES, Box, Corner, less_all
from shopdocs.work.shapes.arrays import EdgeSides, Faces, edge_sides, shown_faces_of
from shopdocs.work.shapes.convex import NEAR as NEAR
from shopdocs.work.shapes.convex import Body as Body
from shopdocs.work.shapes.convex import Plane as Plane
from shopdocs.work.shapes.convex import Polygon as Polygon
from shopdocs.work.shapes.convex import Uncut, cut, within
from shopdocs.work.shapes.convex import body_of as body_of
from shopdocs.work.shapes.convex import clipped as clipped
from shopdocs.work.shapes.lines_about import STEP as STEP
from shopdocs.work.shapes.lines_about import Line, edges_on
from shopdocs.work.shapes.lines_about import Side as Side
from shopdocs.work.shapes.lines_about import SlopedEdge as SlopedEdge
from shopdocs.work.shapes.profiled import Profile, Strip
from shopdocs.work.shapes.vectors import Vector as Vector
from shopdocs.work.shapes.vectors import dot as dot
from shopdocs.work.shapes.vectors import less as less

ARC_PIECES = 24  # straight pieces that stand for an arc, 1/900 of its chord beside it at most
QUARTER_PIECES = 12  # those of a quarter of a circle, 1/460 of its radius beside it at most: 0.02 mm of a 10 mm one


class Slope(NamedTuple):
    """The sides square to `axis` of a cuboid draw in by `by` towards its face at the low or `high` end of `stands`.
    `adds`: the cuboid is wood (a tail), otherwise cut away (a socket). `only`: one side alone draws in, that at the
    high end of `axis` where True (a mitre). They begin to draw in `after` so much of its length. An `arc` draws in by
    a circle instead, from a chord as long as the cuboid to nothing at its face there; with `only`, by a quarter of a
    circle (or of an ellipse), as a rounded arris does. An arc is only ever cut away. A
    compound cut, one-sided and over its whole length, takes `skew` of that length over the third axis: the more towards
    that axis' low end, or its high end where `skew_high`."""

    box: Box
    axis: int
    stands: int
    high: bool
    by: int
    adds: bool
    only: bool | None = None
    after: int = 0
    arc: bool = False
    skew: int = 0
    skew_high: bool = False
    profile: Profile | None = None

    def shifted(self, by: Corner) -> Slope:
        """The same slope on a cuboid moved by so many ticks."""
        return self._replace(box=self.box.shifted(by))

    def planes(self) -> tuple[Plane, ...]:
        """The planes of the sloping sides, looking out of the narrowed cuboid."""
        if self.skew:
            return (self._skewed(),)
        low, high = self.box.lo, self.box.hi
        rise = self.by / (high[self.stands] - low[self.stands] - self.after) * (1 if self.high else -1)
        foot = low[self.stands] + self.after if self.high else high[self.stands] - self.after
        below, above = [0.0, 0.0, 0.0], [0.0, 0.0, 0.0]
        below[self.axis], above[self.axis] = -1.0, 1.0
        below[self.stands] = above[self.stands] = rise
        both = (
            Plane.of(_vector(below), -low[self.axis] + rise * foot),
            Plane.of(_vector(above), high[self.axis] + rise * foot),
        )
        return both if self.only is None else (both[self.only],)

    def _skewed(self) -> Plane:
        """The plane of a compound cut: as far in as its parts along two axes add up to."""
        low, high = self.box.lo, self.box.hi
        third = 3 - self.axis - self.stands
        out = [0.0, 0.0, 0.0]
        out[self.stands] = 1.0 if self.high else -1.0
        at = out[self.stands] * (low[self.stands] if self.high else high[self.stands])
        whole = high[self.stands] - low[self.stands] - self.skew
        for axis, deep, to_high in ((self.axis, whole, not self.only), (third, self.skew, self.skew_high)):
            steep = deep / (high[axis] - low[axis]) * (1.0 if to_high else -1.0)
            out[axis] = -steep
            at -= steep * (low[axis] if to_high else high[axis])
        return Plane.of(_vector(out), at)

    @property
    def one_sided(self) -> bool:
        """Whether what the cuboid leaves of itself reaches its outer corners, as what a dovetail's socket leaves does
        not."""
        return self.only is not None or self.arc or self.profile is not None

    def left(self) -> list[tuple[Plane, ...]]:
        """What a cuboid that is cut away leaves of itself, as the planes of disjoint bodies."""
        if self.profile is not None:
            wide, high = self.box.size[self.axis], self.box.size[self.stands]
            return [tuple(self._walls(strip)) for strip in self.profile.strips(wide, high)]
        return self._left_by_arc() if self.arc else [(plane.turned(),) for plane in self.planes()]

    def _left_by_arc(self) -> list[tuple[Plane, ...]]:
        low, high = self.box.lo, self.box.hi
        begins = low[self.axis]
        base, up = (low[self.stands], 1.0) if self.high else (high[self.stands], -1.0)
        found: list[tuple[Plane, ...]] = []
        for (x, y), (to_x, to_y) in pairwise(self._arc()):
            before, after, under = [0.0] * 3, [0.0] * 3, [0.0] * 3
            before[self.axis], after[self.axis] = -1.0, 1.0
            under[self.axis], under[self.stands] = to_y - y, (x - to_x) * up
            at = under[self.axis] * (begins + x) + under[self.stands] * (base + up * y)
            sides = (Plane(_vector(before), -(begins + x)), Plane(_vector(after), begins + to_x))
            found.append((*sides, Plane.of(_vector(under), at)))
        return found

    def _walls(self, strip: Strip) -> Iterator[Plane]:
        """The planes of one strip of what a profile leaves: before and after it, under and over it."""
        low = self.box.lo
        a, b = low[self.axis], low[self.stands]
        for at, sense in ((strip.low, -1.0), (strip.high, 1.0)):
            out = [0.0] * 3
            out[self.axis] = sense
            yield Plane(_vector(out), sense * (a + at))
        for line, sense in ((strip.under, -1.0), (strip.over, 1.0)):
            if line is not None:
                (x, y), (to_x, to_y) = line
                out = [0.0] * 3
                out[self.axis], out[self.stands] = (y - to_y) * sense, (to_x - x) * sense
                yield Plane.of(_vector(out), out[self.axis] * (a + x) + out[self.stands] * (b + y))

    def boxes_left(self) -> Iterator[Box]:
        """Boxes inside what a profile leaves, one in each of its strips."""
        assert self.profile is not None
        wide, high = self.box.size[self.axis], self.box.size[self.stands]
        for strip in self.profile.strips(wide, high):
            under, over = strip.inside(high)
            if under < over:
                lo, hi = list(self.box.lo), list(self.box.hi)
                lo[self.axis], hi[self.axis] = self.box.lo[self.axis] + strip.low, self.box.lo[self.axis] + strip.high
                lo[self.stands], hi[self.stands] = self.box.lo[self.stands] + under, self.box.lo[self.stands] + over
                yield Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))

    def curves_on(self, line: Line) -> bool:
        """Whether a line lies where straight pieces that stand for a curve meet each other: an edge of the wood only as
        far as it bounds what is seen."""
        if not (self.arc or self.profile):
            return False
        start, end = _whole(line[0]), _whole(line[1])
        if any(not self.box.lo[j] <= spot[j] <= self.box.hi[j] for j in AXES for spot in (start, end)):
            return False
        at, low = (start[self.axis], start[self.stands]), (self.box.lo[self.axis], self.box.lo[self.stands])
        if self.profile is not None:
            level = at == (end[self.axis], end[self.stands])
            return level and (at[0] - low[0], at[1] - low[1]) in self.profile.curved
        return start[self.axis] == end[self.axis] and at[0] - low[0] in self._joints()

    def _joints(self) -> frozenset[int]:
        return frozenset(x for x, _ in self._arc()[1:-1])

    def _arc(self) -> list[tuple[int, int]]:
        """Its points along the axis from the cuboid's low end, and up from where the cuboid is widest."""
        low, high = self.box.lo, self.box.hi
        along, up = high[self.axis] - low[self.axis], high[self.stands] - low[self.stands]
        return arc_points(along, up) if self.only is None else quarter_points(along, up, self.only)


def arc_points(chord: int, rise: int) -> list[tuple[int, int]]:
    """Points of an arc over a chord from 0 on, at equal angles, both ends and the top among them; whole ticks, so that
    a line drawn between two of them lies in the plane between them."""
    half = chord / 2
    radius = (half * half + rise * rise) / (2 * rise)
    widest = math.atan2(half, radius - rise)
    turns = [widest * (2 * k / ARC_PIECES - 1) for k in range(1, ARC_PIECES)]
    inner = [
        (round(half + radius * math.sin(turn)), round(radius * math.cos(turn) - (radius - rise))) for turn in turns
    ]
    return [(0, 0), *inner, (chord, 0)]


def quarter_points(wide: int, deep: int, high: bool) -> list[tuple[int, int]]:
    """Points of a quarter of an ellipse that is as wide and deep as that, at even turns, both its ends among them: from
    (0, 0), where it runs out in one face, to (wide, deep) in the other; from (0, deep) to (wide, 0) if `high`."""
    turns = [math.pi / 2 * k / QUARTER_PIECES for k in range(1, QUARTER_PIECES)]
    inner = [(round(wide * math.sin(turn)), round(deep * (1 - math.cos(turn)))) for turn in turns]
    points = [(0, 0), *inner, (wide, deep)]
    return [(wide - x, y) for x, y in reversed(points)] if high else points


class Sloped:
    """What slopes do to a solid: cells that stay cuboids, and the sloping bodies."""

    def __init__(self, plain: tuple[Box, ...], uncut: tuple[Uncut, ...], slopes: tuple[Slope, ...]) -> None:
        self.plain, self.uncut, self._slopes = plain, uncut, slopes

    @cached_property
    def bodies(self) -> tuple[Body, ...]:
        """The sloping bodies with their mortises cut, which takes long and is often not asked for."""
        return tuple(part for one in self.uncut for part in (cut(one) if one.prisms else (one.body,)))

    @cached_property
    def screens(self) -> tuple[tuple[Polygon, Vector], ...]:
        """The faces of the bodies with the directions they look, ready to hide what is behind them."""
        both = (zip(body.faces, body.planes, strict=True) for body in self.bodies)
        return tuple((face, plane.out) for faces in both for face, plane in faces)

    @property
    def fanned(self) -> bool:
        """Whether its faces with many corners are split to screen what is behind them."""
        return False

    @cached_property
    def screening(self) -> Faces:
        """The `screens` as arrays."""
        return shown_faces_of(self.screens, self.fanned)

    @cached_property
    def edge_sides(self) -> EdgeSides:
        """The `edges` as arrays."""
        return edge_sides(self.edges)

    @cached_property
    def edges(self) -> tuple[SlopedEdge, ...]:
        """The lines about them; worked out when they are drawn, for it takes longer than all the rest."""
        beside = [cell for cell in self.plain if any(slope.box.common(cell) is not None for slope in self._slopes)]
        near = [*map(body_of, beside), *self.bodies]
        found = [line for solid in self.bodies for face in solid.faces for line in _round(face)]
        found += [line for cell in self.plain for line in _lines_in(cell, self._slopes)]
        lines = {(_whole(start), _whole(end)): (start, end) for start, end in found}
        curves = [slope for slope in self._slopes if slope.arc or slope.profile]
        edges = []
        ordered = [line for _, line in sorted(lines.items())]
        for line, on_it in zip(ordered, edges_on(ordered, near), strict=True):
            soft = any(slope.curves_on(line) for slope in curves)
            edges += [edge._replace(soft=soft) if soft else edge for edge in on_it]
        return tuple(dict.fromkeys(edges))


@lru_cache(maxsize=256)
def sloped(body: Box, cells: tuple[Box, ...], cuts: tuple[Box, ...], slopes: tuple[Slope, ...]) -> Sloped:
    """The solid of these cells with its slopes; near the origin, so that pieces of one part share the result."""
    plain: list[Box] = []
    made: list[Body] = []
    tails = [slope for slope in slopes if slope.adds]
    for cell in cells:
        within = next((tail for tail in tails if tail.box.common(cell) == cell), None)
        if within is None:
            plain.append(cell)
        else:
            made += _bodies(cell, within.planes())
    sockets = [slope for slope in slopes if not slope.adds]
    flat = [cut for cut in cuts if all(cut != socket.box for socket in sockets)]
    for rest, over in _by_sockets(body, flat, sockets):
        for left in product(*(socket.left() for socket in over)):
            made += _bodies(rest, (plane for planes in left for plane in planes))
    return Sloped(tuple(plain), tuple(map(Uncut, made)), slopes)


def _by_sockets(body: Box, flat: Sequence[Box], sockets: Sequence[Slope]) -> Iterator[tuple[Box, list[Slope]]]:
    """The places of a body that some sockets take, but for what `flat` cuts take, with the sockets that take each."""
    for number, socket in enumerate(sockets):
        within = socket.box.overlap(body)
        if within is None:
            continue
        before = [other.box for other in sockets[:number]]
        places = [(rest, [socket]) for rest in less_all([within], [*flat, *before])]
        for other in sockets[number + 1 :]:
            split: list[tuple[Box, list[Slope]]] = []
            for place, over in places:
                common = place.overlap(other.box)
                if common is None:
                    split.append((place, over))
                else:
                    split.append((common, [*over, other]))
                    split += [(rest, over) for rest in less_all([place], [other.box])]
            places = split
        yield from places


def _bodies(box: Box, planes: Iterable[Plane]) -> list[Body]:
    """The part of a cuboid inside all of `planes`; empty where nothing is left."""
    body = within(body_of(box), planes)
    return [] if body is None else [body]


def _round(face: Polygon) -> Iterator[Line]:
    for one, two in _pairs(face):
        a, b = _whole(one), _whole(two)
        if a != b:
            yield (one, two) if a < b else (two, one)


def _lines_in(cell: Box, slopes: Sequence[Slope]) -> Iterator[Line]:
    """The edges of a cell, as far as they lie in or on a cuboid that slopes."""
    for axis in AXES:
        u, v = (axis + 1) % 3, (axis + 2) % 3
        for a in (cell.lo[u], cell.hi[u]):
            for b in (cell.lo[v], cell.hi[v]):
                for slope in slopes:
                    box = slope.box
                    low, high = max(cell.lo[axis], box.lo[axis]), min(cell.hi[axis], box.hi[axis])
                    if low < high and box.lo[u] <= a <= box.hi[u] and box.lo[v] <= b <= box.hi[v]:
                        start = [0.0, 0.0, 0.0]
                        start[axis], start[u], start[v] = low, a, b
                        end = list(start)
                        end[axis] = high
                        yield _vector(start), _vector(end)


def edges_of(bodies: Sequence[Body]) -> list[SlopedEdge]:
    """The edges of the solid that convex bodies make together."""
    found = [line for body in bodies for face in body.faces for line in _round(face)]
    lines = {(_whole(start), _whole(end)): (start, end) for start, end in found}
    found_on = edges_on([line for _, line in sorted(lines.items())], bodies)
    return list(dict.fromkeys(edge for edges in found_on for edge in edges))


def _vector(values: Sequence[float]) -> Vector:
    return (float(values[0]), float(values[1]), float(values[2]))


def _whole(spot: Vector) -> Corner:
    return (round(spot[0]), round(spot[1]), round(spot[2]))


def _pairs(face: Polygon) -> Iterator[tuple[Vector, Vector]]:
    yield from zip(face, (*face[1:], face[0]), strict=True)
