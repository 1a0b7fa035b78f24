"""Solids that do not stand square to the build: leaning legs, and pieces with shoulders and tenons off square.

Such a solid is convex bodies in floats; it has no cells, so that nothing that is counted in whole ticks sees it, and
what compares solids with it compares bodies. A square piece that takes a tenon at an angle keeps its cells, and is
bodies where such a mortise is cut (`mortised`).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import ClassVar

from msgspec import Struct, field
from msgspec.structs import replace

from shopdocs.core.box import AXES, Box, Corner, Touch
from shopdocs.work.shapes.convex import Uncut
from shopdocs.work.shapes.edged import clip_face, edges_with_faces, faces_of
from shopdocs.work.shapes.mortised import Hollow, Shown, inner_edges, meets, shown_faces
from shopdocs.work.shapes.slopes import (
    Body,
    Plane,
    Polygon,
    Side,
    Sloped,
    SlopedEdge,
    Vector,
    body_of,
    clipped,
    dot,
    edges_of,
)
from shopdocs.work.shapes.solid import Edge, Solid

NEAR_MM = 0.01  # faces this close touch, and wood that is shared no deeper is none: places are true to 1/1000 mm
_NEXT_FACET = 0.98  # the product of the normals of two strips of a round beside each other is more: 11 degrees
_ALONG = 0.02  # an edge that is less along the axis of its round goes round it
_FLAT = 1e-6  # how far from -1 the product of the normals of two faces may be that lie on each other: 0.08 degrees


class Pin(Struct, frozen=True, dict=True):
    """A tenon, or another part that goes into another piece: `joint` is its name, `way` leads out of its own piece. The
    sides of a `round` one stand for its round."""

    joint: str
    body: Body
    way: Vector
    round: bool = False

    def edges(self) -> Iterator[SlopedEdge]:
        """Its edges: those along a round are seen only as its outline, those at its root lie on its shoulder."""
        root = min(range(len(self.body.planes)), key=lambda k: dot(self.body.planes[k].out, self.way))
        for edge, faces in edges_with_faces(self.body):
            if root in faces:
                out = _vector([-v for v in self.body.planes[root].out])
                sides = [
                    Side(_vector([-v for v in side.into]), out) if face == root else side
                    for side, face in zip(edge.sides, faces, strict=True)
                ]
                yield edge._replace(sides=tuple(sides))
            else:
                tip = any(dot(self.body.planes[face].out, self.way) > 0.3 for face in faces)
                yield edge._replace(soft=self.round and not tip)


class Hewn(Sloped):
    """Bodies with their edges; those along the round of a tenon are seen only as its outline."""

    def __init__(
        self,
        bodies: tuple[Body, ...],
        pins: tuple[Pin, ...],
        rings: tuple[SlopedEdge, ...],
        axis: Vector | None = None,
        hollows: tuple[Hollow, ...] = (),
    ) -> None:
        prisms = tuple(hollow.body for hollow in hollows)
        super().__init__((), (*(Uncut(body, prisms) for body in bodies), *(Uncut(pin.body) for pin in pins)), ())
        self.core, self.pins, self.rings, self.axis, self.hollows = bodies, pins, rings, axis, hollows

    @property
    def fanned(self) -> bool:
        """Where it is round, or round mortises are cut."""
        return self.axis is not None or bool(self.hollows)

    @cached_property
    def screens(self) -> tuple[Shown, ...]:
        """The faces, walls of mortises among them."""
        return (*shown_faces(self.core, self.hollows), *faces_of(pin.body for pin in self.pins))

    @cached_property
    def edges(self) -> tuple[SlopedEdge, ...]:
        """All edges, and the rims of mortises."""
        lone = len(self.core) == 1
        found = [edge for edge, _ in edges_with_faces(self.core[0])] if lone else edges_of(self.core)
        if self.axis is not None:
            found = [edge._replace(soft=is_facet(edge, self.axis)) for edge in found]
        inner = (edge for hollow in self.hollows for edge in inner_edges(self.core, hollow))
        return (*found, *(edge for pin in self.pins for edge in pin.edges()), *self.rings, *inner)


@lru_cache(maxsize=256)
def _hewn_of(
    bodies: tuple[Body, ...],
    pins: tuple[Pin, ...],
    rings: tuple[SlopedEdge, ...],
    axis: Vector | None,
    hollows: tuple[Hollow, ...],
) -> Hewn:
    """The bodies of a piece; pieces that were made alike share them, with their edges."""
    return Hewn(bodies, pins, rings, axis, hollows)


def is_facet(edge: SlopedEdge, axis: Vector) -> bool:
    """Whether an edge lies between two of the flat strips that stand for a round about this axis."""
    if len(edge.sides) != 2 or dot(edge.sides[0].out, edge.sides[1].out) < _NEXT_FACET:
        return False
    way = _vector([b - a for a, b in zip(edge.start, edge.end, strict=True)])
    return abs(dot(way, axis)) > _ALONG * math.hypot(*way)


class Carved(Solid, frozen=True, dict=True):
    """Convex bodies about the low corner of `body`, the box of whole ticks around them. `pins` are its tenons,
    `hollows` its mortises at an angle, which `core` does not leave out; `axis` is the direction of the middle of a
    round. Where it stands square to the build, `standing` are its tenons that are cuboids and `letting` what is cut
    away in cuboids, where these stand."""

    apart: ClassVar[frozenset[str]] = frozenset({"shared"})

    core: tuple[Body, ...] = ()
    pins: tuple[Pin, ...] = ()
    hollows: tuple[Hollow, ...] = ()
    rings: tuple[SlopedEdge, ...] = ()
    axis: Vector | None = None
    standing: tuple[Box, ...] = ()
    letting: tuple[Box, ...] = ()
    shared: dict[str, Hewn] = field(default_factory=dict)

    @property
    def slants(self) -> bool:
        """Always: it is made of bodies."""
        return True

    @cached_property
    def cells(self) -> tuple[Box, ...]:
        """None: nothing of it is square to the build."""
        return ()

    @cached_property
    def bounds(self) -> Box:
        """Around it with its tenons."""
        return Box.around((self.body, *(_box(pin.body).shifted(self.body.lo) for pin in self.pins)))

    @property
    def volume(self) -> int:
        """Cubic ticks, without its tenons and its mortises at an angle."""
        from shopdocs.work.shapes.clashing import volume_of

        return round(sum(map(volume_of, self.core)))

    def shifted(self, by: Corner) -> Carved:
        """The same solid moved by so many ticks."""
        if by == (0, 0, 0):
            return self
        standing, letting = (tuple(box.shifted(by) for box in boxes) for boxes in (self.standing, self.letting))
        return replace(self, body=self.body.shifted(by), standing=standing, letting=letting)

    def moved(self, by: Corner) -> Carved:
        """The same: it has no edges along the build's own directions."""
        return self.shifted(by)

    @cached_property
    def edges(self) -> tuple[Edge, ...]:
        """None along the build's own directions."""
        return ()

    @cached_property
    def sloped(self) -> Sloped:
        """Its bodies with their edges."""
        if "made" not in self.shared:
            self.shared["made"] = _hewn_of(self.core, self.pins, self.rings, self.axis, self.hollows)
        return self.shared["made"]

    @cached_property
    def plain_cells(self) -> tuple[Box, ...]:
        """None."""
        return ()

    def without_pins(self, joints: frozenset[str] | None = None) -> Carved:
        """Without the tenons of these joints, or without any, and with the mortises for them filled."""
        pins = () if joints is None else tuple(pin for pin in self.pins if pin.joint not in joints)
        hollows = () if joints is None else tuple(hollow for hollow in self.hollows if hollow.joint not in joints)
        if len(pins) == len(self.pins) and len(hollows) == len(self.hollows):
            return self
        return replace(self, pins=pins, hollows=hollows, shared={})


class Ringed(Solid, frozen=True, dict=True):
    """A square solid with mortises at an angle, `hollows` about the low corner of its body, and their rims. Its cells
    do not leave them out, its bodies do."""

    apart: ClassVar[frozenset[str]] = frozenset({"shared"})

    rings: tuple[SlopedEdge, ...] = ()
    hollows: tuple[Hollow, ...] = ()
    shared: dict[str, Rimmed] = field(default_factory=dict)

    @property
    def slants(self) -> bool:
        """Always: its mortises do."""
        return True

    @property
    def square(self) -> Solid:
        """The same with its mortises at an angle filled."""
        return Solid(self.body, self.adds, self.cuts, self.slopes)

    @cached_property
    def sloped(self) -> Sloped:
        """What slopes in it, and what its mortises cut."""
        if "made" not in self.shared:
            x, y, z = self.body.lo
            square = self.square.moved((-x, -y, -z))
            self.shared["made"] = Rimmed(square, self.rings, self.hollows)
        return self.shared["made"]

    @cached_property
    def plain_cells(self) -> tuple[Box, ...]:
        """The cells that neither a slope nor a mortise at an angle cuts."""
        return tuple(cell.shifted(self.body.lo) for cell in self.sloped.plain)

    @cached_property
    def whole_cells(self) -> tuple[Box, ...]:
        """The cells that no slope cuts, as if its mortises were filled."""
        return self.square.plain_cells

    def without_pins(self, joints: frozenset[str] | None = None) -> Ringed:
        """With the mortises of these joints filled, or all of them."""
        kept = () if joints is None else tuple(hollow for hollow in self.hollows if hollow.joint not in joints)
        return self if len(kept) == len(self.hollows) else replace(self, hollows=kept, shared={})

    def shifted(self, by: Corner) -> Ringed:
        """The same solid moved by so many ticks."""
        moved = self.square.shifted(by)
        return replace(self, body=moved.body, adds=moved.adds, cuts=moved.cuts, slopes=moved.slopes)

    def moved(self, by: Corner) -> Ringed:
        """The same as `shifted`."""
        return self.shifted(by)


class Rimmed(Sloped):
    """What slopes and what is cut at an angle in a square solid about the origin, and rims."""

    def __init__(self, square: Solid, rings: tuple[SlopedEdge, ...], hollows: tuple[Hollow, ...]) -> None:
        own = square.sloped if square.slopes else None
        plain, made = (own.plain, own.bodies) if own is not None else (square.cells, ())
        met = [cell for cell in plain if any(meets(cell, hollow) for hollow in hollows)]
        self.core = (*made, *map(body_of, met))
        whole = tuple(cell for cell in plain if cell not in met)
        prisms = tuple(hollow.body for hollow in hollows)
        super().__init__(whole, tuple(Uncut(body, prisms) for body in self.core), ())
        self.own, self.rings, self.hollows = own, rings, hollows

    @property
    def fanned(self) -> bool:
        """Always: what is left of a face round a mortise has many corners."""
        return True

    @cached_property
    def screens(self) -> tuple[Shown, ...]:
        """The faces of its bodies, walls of mortises among them."""
        return tuple(shown_faces(self.core, self.hollows))

    @cached_property
    def edges(self) -> tuple[SlopedEdge, ...]:
        """Its own, the rims, and those inside the mortises."""
        inner = (edge for hollow in self.hollows for edge in inner_edges(self.core, hollow))
        return (*(self.own.edges if self.own else ()), *self.rings, *inner)


def without_pins(solid: Solid) -> Solid:
    """A solid without its tenons that go in at an angle, and with the mortises for such tenons filled."""
    return solid.without_pins() if isinstance(solid, (Carved, Ringed)) else solid


def rough_cells(solid: Solid) -> Sequence[Box]:
    """The cells of a solid; of one that is off square a box round each of its bodies."""
    if not isinstance(solid, Carved):
        return solid.cells
    return [_box(body).shifted(solid.body.lo) for body in solid.core]


def part_beside(solid: Solid, other: Box, axis: int) -> Box | None:
    """The box round as much of a solid without its tenons as lies beside another box, seen along an axis; None where
    nothing does. What is square is its body, whatever stands beside it."""
    if not isinstance(solid, Carved):
        return solid.body
    parts: list[Body] = []
    for body in solid.core:
        left: Body | None = body
        for k in (k for k in AXES if k != axis):
            for high in (False, True):
                at = (other.hi[k] - solid.body.lo[k]) if high else (solid.body.lo[k] - other.lo[k])
                out = [0.0, 0.0, 0.0]
                out[k] = 1.0 if high else -1.0
                left = clipped(left, Plane(_vector(out), at)) if left is not None else None
        parts += [left] if left is not None else []
    return Box.around(_box(part).shifted(solid.body.lo) for part in parts) if parts else None


def filled(solid: Solid, joints: frozenset[str]) -> Solid:
    """A solid without the tenons of some joints that go in at an angle, and with the mortises for these filled."""
    return solid.without_pins(joints) if isinstance(solid, (Carved, Ringed)) else solid


def bodies_of(solid: Solid, but: frozenset[str] = frozenset()) -> list[Body]:
    """All convex bodies of a solid where it stands, its cuboids among them; without the tenons of some joints, and with
    the mortises of these filled."""
    from shopdocs.work.shapes.clashing import sloping_bodies

    solid = filled(solid, but)
    return [*(body_of(cell) for cell in solid.plain_cells), *sloping_bodies(solid)]


def touches(ones: Sequence[Body], twos: Sequence[Body], per_mm: int) -> Iterator[Touch]:
    """Where bodies lie face to face, as flat boxes round what they share, square to the axis that the faces look along
    most."""
    return (_touch(shared, plane, per_mm) for shared, plane in _touching(ones, twos, per_mm))


def touching_area(ones: Sequence[Body], twos: Sequence[Body], per_mm: int) -> float:
    """The area in which bodies lie face to face, in square ticks."""
    return sum(spread(shared) for shared, _ in _touching(ones, twos, per_mm))


def _touching(ones: Sequence[Body], twos: Sequence[Body], per_mm: int) -> Iterator[tuple[Polygon, Plane]]:
    reach = NEAR_MM * per_mm
    twos = _near(twos, ones, reach)
    for one in _near(ones, twos, reach):
        for two in twos:
            if not _beside(one, two, reach):
                continue
            for plane, face in zip(one.planes, one.faces, strict=True):
                for other in two.planes:
                    if dot(plane.out, other.out) < -1 + _FLAT and len(face) > 2:
                        shared = _shared(face, two, other, reach)
                        if shared is not None:
                            yield shared, plane


def _near(bodies: Sequence[Body], others: Sequence[Body], reach: float) -> Sequence[Body]:
    """Those of some bodies that come near the box round others."""
    if not others:
        return ()
    low = [min(body.lo[k] for body in others) - reach for k in AXES]
    high = [max(body.hi[k] for body in others) + reach for k in AXES]
    return [one for one in bodies if all(low[k] <= one.hi[k] and one.lo[k] <= high[k] for k in AXES)]


def _beside(one: Body, two: Body, reach: float) -> bool:
    (a, b, c), (d, e, f) = one.lo, one.hi
    (g, h, i), (j, k, m) = two.lo, two.hi
    return a <= j + reach and g <= d + reach and b <= k + reach and h <= e + reach and c <= m + reach and i <= f + reach


def _shared(face: Polygon, two: Body, level: Plane, reach: float) -> Polygon | None:
    """The part of a face that lies on a face of another body; None where that is less than half a square millimetre."""
    if any(abs(level.over(spot)) > reach for spot in face) and not _crosses(face, level, reach):
        return None
    left = face
    for plane in two.planes:
        if plane is level:
            continue
        left = clip_face(left, plane)
        if len(left) < 3:
            return None
    return left if all(abs(level.over(spot)) <= reach for spot in left) else None


def _crosses(face: Polygon, level: Plane, reach: float) -> bool:
    """Whether a face that is a hair off parallel lies on the other where they meet."""
    return min(abs(level.over(spot)) for spot in face) <= reach


def _touch(face: Polygon, plane: Plane, per_mm: int) -> Touch:
    axis = max(AXES, key=lambda k: abs(plane.out[k]))
    lo, hi = ([round(pick(spot[k] for spot in face)) for k in AXES] for pick in (min, max))
    lo[axis] = hi[axis] = (lo[axis] + hi[axis]) // 2
    return Touch(axis, plane.out[axis] > 0, Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2])))


def ring(rim: Sequence[Vector], outs: Sequence[Vector]) -> tuple[SlopedEdge, ...]:
    """The rim of a mortise as edges of a face; at each of its points that looks along one of `outs`."""
    middle = _vector([sum(spot[k] for spot in rim) / len(rim) for k in AXES])
    found = []
    for one, two, here in zip(rim, (*rim[1:], rim[0]), outs, strict=True):
        way = _vector([b - a for a, b in zip(one, two, strict=True)])
        into = _crossed(way, here)
        long = math.hypot(*into) or 1.0
        away = [(a + b) / 2 - m for a, b, m in zip(one, two, middle, strict=True)]
        sign = 1.0 if dot(into, _vector(away)) > 0 else -1.0
        side = Side(_vector([sign * v / long for v in into]), here)
        start, end = sorted((_corner(one), _corner(two)))
        found.append(SlopedEdge(start, end, (side,)))
    return tuple(found)


def prism(middle: Vector, way: Vector, long: float, rim: Sequence[Vector]) -> Body:
    """A convex prism: its first face has the corners `rim`, the other lies `long` farther along `way`."""
    far_face = tuple(_vector([a + long * b for a, b in zip(spot, way, strict=True)]) for spot in rim)
    return between(middle, way, tuple(rim), far_face)


def between(middle: Vector, way: Vector, near_face: Polygon, far_face: Polygon) -> Body:
    """A convex body from one face to another with as many corners, each beside its own; both stand square to `way`, and
    `middle` is the middle of the first."""
    planes, faces = [], []
    for face, out in ((near_face, _vector([-v for v in way])), (far_face, way)):
        planes.append(Plane.of(out, dot(out, face[0])))
        faces.append(face)
    for a, b, c, d in zip(
        near_face, (*near_face[1:], near_face[0]), (*far_face[1:], far_face[0]), far_face, strict=True
    ):
        out = _crossed(
            _vector([q - p for p, q in zip(a, b, strict=True)]), _vector([q - p for p, q in zip(a, d, strict=True)])
        )
        if dot(out, _vector([p - m for p, m in zip(a, middle, strict=True)])) < 0:
            out = _vector([-v for v in out])
        planes.append(Plane.of(out, dot(out, a)))
        faces.append((a, b, c, d))
    spots = [spot for face in faces for spot in face]
    lo, hi = (_vector([pick(spot[k] for spot in spots) for k in AXES]) for pick in (min, max))
    return Body(tuple(planes), tuple(faces), lo, hi)


def moved(body: Body, place: Callable[[Vector], Vector]) -> Body:
    """A body as it lies after a move."""
    there = {spot: place(spot) for spot in body.corners()}
    faces = tuple([tuple([there[spot] for spot in face]) for face in body.faces])
    planes = []
    a, b, c = place((0.0, 0.0, 0.0))
    for plane, face in zip(body.planes, faces, strict=True):
        x, y, z = place(plane.out)
        out = (x - a, y - b, z - c)
        planes.append(Plane.of(out, dot(out, face[0])))
    xs, ys, zs = zip(*there.values(), strict=True)
    return Body(tuple(planes), faces, (min(xs), min(ys), min(zs)), (max(xs), max(ys), max(zs)))


def spread(face: Polygon) -> float:
    """The area of a flat convex polygon."""
    total = [0.0, 0.0, 0.0]
    for one, two in pairwise(face[1:]):
        ways = [_vector([b - a for a, b in zip(face[0], spot, strict=True)]) for spot in (one, two)]
        total = [t + c for t, c in zip(total, _crossed(ways[0], ways[1]), strict=True)]
    return math.hypot(*total) / 2


def _box(body: Body) -> Box:
    return Box(_corner(body.lo), _corner(body.hi))


def box_around(bodies: Sequence[Body]) -> Box:
    """The box of whole ticks round bodies."""
    return Box.around(map(_box, bodies))


def _crossed(one: Vector, two: Vector) -> Vector:
    (a, b, c), (d, e, f) = one, two
    return (b * f - c * e, c * d - a * f, a * e - b * d)


def _vector(values: Sequence[float]) -> Vector:
    return (float(values[0]), float(values[1]), float(values[2]))


def _corner(spot: Sequence[float]) -> Corner:
    return (round(spot[0]), round(spot[1]), round(spot[2]))
