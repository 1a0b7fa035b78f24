"""What stands in the way of what: for each of the six ways of a build, the things that a thing runs into on it, however
far it goes.

Cuboids are compared exactly, in ticks. Where wood slopes (dovetails, mitres), convex bodies are: one runs into another
that it shares no wood with just where their shadows on the plane square to the way meet, and a plane that lies between
them tells which of both is ahead.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from typing import NamedTuple

from msgspec import Struct

from shopdocs.core.box import AXES, Box
from shopdocs.work.scene.in_space import Space
from shopdocs.work.shapes.carved import without_pins
from shopdocs.work.shapes.clashing import sloping_bodies
from shopdocs.work.shapes.slopes import Body, Vector, dot, less
from shopdocs.work.shapes.solid import Solid

Way = tuple[int, bool]  # a direction of the build: axis, and whether to its high side
WAYS: tuple[Way, ...] = tuple((axis, high) for axis in AXES for high in (False, True))
Masks = Mapping[Way, Sequence[int]]  # for each way and thing a number with a bit for each thing in its way
SLACK = 4.0  # ticks, of a thousandth of a millimetre at most: sloping faces that slide on each other share no wood


class Obstacles(Struct, frozen=True, dict=True):
    """What stands in the way of the pieces of a build, worked out once for all its stages."""

    space: Space

    @cached_property
    def index(self) -> Mapping[str, int]:
        """The number of each piece by its mark."""
        return {piece.mark: i for i, piece in enumerate(self.space.scene.pieces)}

    @cached_property
    def masks(self) -> Masks:
        """For each way and piece, the pieces in its way."""
        return masks_of([[solid] for solid in self.space.scene.solids])

    def of(self, things: Sequence[Sequence[str]]) -> Masks:
        """For each way and thing, the things in its way; a thing is named by the marks of its pieces."""
        places = [[self.index[mark] for mark in marks] for marks in things]
        wholes = [sum(1 << place for place in thing) for thing in places]
        bit_of = {place: 1 << i for i, thing in enumerate(places) for place in thing}
        every = sum(wholes)
        return {way: [_things(self.masks[way], thing, every, bit_of) for thing in places] for way in WAYS}


def _things(masks: Sequence[int], thing: Sequence[int], every: int, bit_of: Mapping[int, int]) -> int:
    met = 0
    for place in thing:
        met |= masks[place]
    found = 0
    for place in bits(met & every):
        found |= bit_of[place]
    for place in thing:
        found &= ~bit_of[place]
    return found


def bits(group: int) -> Iterable[int]:
    """The places of the bits that are set in a number, the lowest first."""
    while group:
        low = group & -group
        yield low.bit_length() - 1
        group ^= low


def taken(thing: int, stands: Mapping[int, int] | Sequence[int], among: int = -1) -> int:
    """A thing with all that stands in its way, and in theirs, as bits; of a group of them where one is given."""
    found, fresh = 1 << thing, [thing]
    while fresh:
        ahead = stands[fresh.pop()] & among & ~found
        found |= ahead
        fresh += bits(ahead)
    return found


def masks_of(things: Sequence[Sequence[Solid]]) -> dict[Way, list[int]]:
    """For each way and thing, the things in its way; a thing is one or several solids that hold together."""
    masks = {way: [0] * len(things) for way in WAYS}
    convex = Convex()
    bounds = [[solid.bounds for solid in thing] for thing in things]
    around = [Box.around(boxes) for boxes in bounds]
    for i, thing in enumerate(things):
        for j in range(i):
            if not shadows(around[i], around[j]):
                continue
            met = [
                (mine, other)
                for mine, near in zip(thing, bounds[i], strict=True)
                for other, far in zip(things[j], bounds[j], strict=True)
                if shadows(near, far)
            ]
            for axis, high in _in_the_way(met, convex):
                masks[axis, high][i] |= 1 << j
                masks[axis, not high][j] |= 1 << i
    return masks


def shadows(one: Box, two: Box) -> bool:
    """Whether the shadows of two boxes meet along two axes at least, so that one can run into the other."""
    (a, b, c), (d, e, f) = one.lo, one.hi
    (g, h, i), (j, k, m) = two.lo, two.hi
    return (a < j and g < d) + (b < k and h < e) + (c < m and i < f) >= 2


class Part(NamedTuple):
    """Convex wood: the box round it, its corners, the normals of its faces, the directions of its edges."""

    lo: Vector
    hi: Vector
    corners: tuple[Vector, ...]
    normals: tuple[Vector, ...]
    edges: tuple[Vector, ...]


class Convex:
    """The convex parts of solids, taken apart once: those that slope, and those that do not."""

    def __init__(self) -> None:
        self.known: dict[int, tuple[Solid, list[Part], list[Part]]] = {}

    def of(self, solid: Solid) -> tuple[list[Part], list[Part]]:
        """The parts of a solid that slope, and its cuboids."""
        if id(solid) not in self.known:
            # a tenon at an angle is left out: the joint itself says which way it lets go
            slopes = [_part(body) for body in sloping_bodies(without_pins(solid))]
            self.known[id(solid)] = solid, slopes, [_cuboid(cell) for cell in solid.whole_cells]
        return self.known[id(solid)][1:]


def _in_the_way(pairs: Iterable[tuple[Solid, Solid]], convex: Convex) -> set[Way]:
    """The ways in which something of a first solid runs into something of its second."""
    ways: set[Way] = set()
    for mine, other in pairs:
        _cells_in_the_way(mine.whole_cells, other.whole_cells, ways)
        if mine.slants or other.slants:
            (slopes, flat), (theirs, even) = convex.of(mine), convex.of(other)
            for one in slopes:
                for two in (*theirs, *even):
                    _meet(one, two, ways)
            for one in flat if theirs else ():
                for two in theirs:
                    _meet(one, two, ways)
        if len(ways) == len(WAYS):
            break
    return ways


def _cells_in_the_way(cells: Sequence[Box], others: Sequence[Box], ways: set[Way]) -> None:
    for a in cells:
        (ax, ay, az), (bx, by, bz) = a.lo, a.hi
        for c in others:
            (cx, cy, cz), (dx, dy, dz) = c.lo, c.hi
            x, y, z = ax < dx and cx < bx, ay < dy and cy < by, az < dz and cz < bz
            if y and z and not x:
                ways.add((0, cx >= bx))
            elif x and z and not y:
                ways.add((1, cy >= by))
            elif x and y and not z:
                ways.add((2, cz >= bz))


def _part(body: Body) -> Part:
    edges, corners = set(), set()
    for face in body.faces:
        for start, end in zip(face, (*face[1:], face[0]), strict=True):
            corners.add(start)
            way = less(end, start)
            long = dot(way, way) ** 0.5
            if long > SLACK:
                sign = next(1 if v > 0 else -1 for v in way if abs(v) > SLACK / 2)
                x, y, z = (round(v * sign / long, 6) + 0.0 for v in way)
                edges.add((x, y, z))
    normals = tuple(plane.out for plane in body.planes)
    return Part(body.lo, body.hi, tuple(corners), normals, tuple(sorted(edges)))


_UNITS: tuple[Vector, ...] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def _cuboid(box: Box) -> Part:
    (a, b, c), (d, e, f) = box.lo, box.hi
    corners = tuple((float(x), float(y), float(z)) for x in (a, d) for y in (b, e) for z in (c, f))
    return Part(corners[0], corners[-1], corners, _UNITS, _UNITS)


def _meet(one: Part, two: Part, ways: set[Way]) -> None:
    """The ways on which a convex part runs into another one that it shares no wood with."""
    (a, b, c), (d, e, f) = one.lo, one.hi
    (g, h, i), (j, k, m) = two.lo, two.hi
    x, y, z = a < j - SLACK and g < d - SLACK, b < k - SLACK and h < e - SLACK, c < m - SLACK and i < f - SLACK
    if x + y + z < 2:  # most parts of two pieces lie well apart
        return
    beside = (x, y, z)
    for axis in AXES:
        if not (beside[axis - 1] and beside[axis - 2]) or ((axis, False) in ways and (axis, True) in ways):
            continue
        if not all(_overlap(one, two, out) for out in _across(axis, one, two)):
            continue
        if beside[axis]:
            ahead = _ahead(one, two, axis)
            if ahead is not None:
                ways.add((axis, ahead))
        else:
            ways.add((axis, two.lo[axis] >= one.hi[axis] - SLACK))


def _across(axis: int, one: Part, two: Part) -> set[Vector]:
    """The directions square to an axis on which the shadows of two parts lie apart where they do on their plane."""
    u, v = (axis + 1) % 3, (axis + 2) % 3
    found = set()
    for edge in (*one.edges, *two.edges):
        long = (edge[u] ** 2 + edge[v] ** 2) ** 0.5
        if long > 1e-6 and min(abs(edge[u]), abs(edge[v])) > 1e-6:  # the others are those of the boxes
            out = [0.0, 0.0, 0.0]
            out[u], out[v] = edge[v] / long, -edge[u] / long
            found.add((out[0], out[1], out[2]))
    return found


def _overlap(one: Part, two: Part, out: Vector) -> bool:
    (a, b), (c, d) = shadow(one, out), shadow(two, out)
    return a < d - SLACK and c < b - SLACK


def _ahead(one: Part, two: Part, axis: int) -> bool | None:
    """Whether the second of two parts lies on the high side of the first; None where they share wood."""
    crosses = (crossed(first, second) for first in one.edges for second in two.edges)
    for out in (*one.normals, *two.normals, *crosses):
        if abs(out[axis]) > 1e-6:
            (a, b), (c, d) = shadow(one, out), shadow(two, out)
            if b <= c + SLACK:
                return out[axis] > 0
            if d <= a + SLACK:
                return out[axis] < 0
    return None


def crossed(one: Vector, two: Vector) -> Vector:
    """The direction square to two others, 1 long; all zeros where they run the same way."""
    (a, b, c), (d, e, f) = one, two
    x, y, z = b * f - c * e, c * d - a * f, a * e - b * d
    long = (x * x + y * y + z * z) ** 0.5 or 1.0
    return x / long, y / long, z / long


def shadow(part: Part, out: Vector) -> tuple[float, float]:
    """How far a part reaches along a direction, from and to."""
    a, b, c = out
    reach = [a * x + b * y + c * z for x, y, z in part.corners]
    return min(reach), max(reach)
