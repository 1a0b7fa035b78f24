"""Convex bodies in floats: what planes leave of them.

Measures are ticks. A corner no farther than NEAR from a plane lies on it: what is thinner is neither cut off nor left.
Nearly all planes that a body is tried with leave it whole or take all of it; that is asked of its corners before
anything is cut, and changes nothing, for what is cut already lies between those corners.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import chain
from typing import NamedTuple

from shopdocs.core.box import Box
from shopdocs.work.shapes.vectors import Vector, across

Polygon = tuple[Vector, ...]
_Heights = list[list[float]]  # of the corners of each face over a plane

NEAR = 0.05  # ticks: closer than that is the same place


class Plane(NamedTuple):
    """Points x with out . x = at; `out` is a unit vector and looks out of the body."""

    out: Vector
    at: float

    @staticmethod
    def of(out: Vector, at: float) -> Plane:
        """The plane square to `out`, of any length, with `at` its product with a point on the plane."""
        long = math.hypot(*out)
        return Plane((out[0] / long, out[1] / long, out[2] / long), at / long)

    def over(self, spot: Vector) -> float:
        """How far a point lies outside."""
        (a, b, c), (x, y, z) = self.out, spot
        return a * x + b * y + c * z - self.at

    def turned(self) -> Plane:
        """The same plane looking the other way."""
        return Plane((-self.out[0], -self.out[1], -self.out[2]), -self.at)


_Faces = list[tuple[Plane, Polygon]]


class Body(NamedTuple):
    """A convex body: its planes, the polygon on each, and the cuboid around it."""

    planes: tuple[Plane, ...]
    faces: tuple[Polygon, ...]
    lo: Vector
    hi: Vector

    def touches(self, lo: Vector, hi: Vector) -> bool:
        """Whether the box round the body meets the box from `lo` to `hi`, or comes as close as NEAR."""
        (a, b, c), (d, e, f) = self.lo, self.hi
        if a > hi[0] + NEAR or b > hi[1] + NEAR or c > hi[2] + NEAR:
            return False
        return lo[0] <= d + NEAR and lo[1] <= e + NEAR and lo[2] <= f + NEAR

    def corners(self) -> set[Vector]:
        """The corners of its faces, each once but for the last digits."""
        return set(chain.from_iterable(self.faces))


class Uncut(NamedTuple):
    """A convex body with the prisms that are still to be cut out of it."""

    body: Body
    prisms: tuple[Body, ...] = ()


def body_of(box: Box) -> Body:
    """A cuboid as a convex body."""
    (a, b, c), (d, e, f) = box
    lo, hi = (float(a), float(b), float(c)), (float(d), float(e), float(f))
    planes, faces = [], []
    for axis, high, flat in box.faces():
        u, v = (axis + 1) % 3, (axis + 2) % 3
        out, corners = [0.0, 0.0, 0.0], []
        out[axis] = 1.0 if high else -1.0
        (a0, b0), (a1, b1) = (flat.lo[u], flat.lo[v]), (flat.hi[u], flat.hi[v])
        for a, b in ((a0, b0), (a1, b0), (a1, b1), (a0, b1)):
            spot = [0.0, 0.0, 0.0]
            spot[axis], spot[u], spot[v] = float(flat.lo[axis]), float(a), float(b)
            corners.append((spot[0], spot[1], spot[2]))
        planes.append(Plane((out[0], out[1], out[2]), out[axis] * flat.lo[axis]))
        faces.append(tuple(corners))
    return Body(tuple(planes), tuple(faces), lo, hi)


def clipped(body: Body, plane: Plane) -> Body | None:
    """The part of a convex body inside a plane."""
    heights = _heights(body, plane)
    if max(map(max, heights)) <= NEAR:
        return body
    if min(map(min, heights)) >= -NEAR:
        return None
    inside, _, rim = _cut_faces(body, heights)
    return _closed(inside, plane, _distinct(rim))


def halves(body: Body, plane: Plane) -> tuple[Body | None, Body | None]:
    """The parts of a convex body outside and inside a plane."""
    heights = _heights(body, plane)
    under, over = min(map(min, heights)) < -NEAR, max(map(max, heights)) > NEAR
    if not (under and over):
        return (None if under else body), (None if over else body)
    inside, outside, rim = _cut_faces(body, heights)
    corners = _distinct(rim)
    return _closed(outside, plane.turned(), corners), _closed(inside, plane, corners)


def cutting(corners: Iterable[Vector], planes: Iterable[Plane]) -> list[Plane] | None:
    """Those of some planes that take a part of a convex body with these corners; None where one of them takes all."""
    found = []
    for plane in planes:
        (a, b, c), at = plane
        heights = [a * x + b * y + c * z - at for x, y, z in corners]
        if max(heights) <= NEAR:
            continue
        if min(heights) >= -NEAR:
            return None
        found.append(plane)
    return found


def within(body: Body, planes: Iterable[Plane], corners: Iterable[Vector] = ()) -> Body | None:
    """The part of a convex body inside all of some planes; `corners` are its own, where they are known already."""
    found = cutting(corners or body.corners(), planes)
    if found is None:
        return None
    left: Body | None = body
    for plane in found:
        left = clipped(left, plane) if left is not None else None
    return left


def less_prisms(body: Body, prisms: Iterable[Body]) -> list[Body]:
    """What convex prisms leave of a convex body: one body beside each of their sides that cuts it."""
    left = [body]
    for prism in prisms:
        left = [part for one in left for part in _less(one, prism)]
    return left


@lru_cache(maxsize=512)
def cut(uncut: Uncut) -> tuple[Body, ...]:
    """The same of a body with its prisms; pieces of one part that lie alike share it."""
    return tuple(less_prisms(*uncut))


def _less(body: Body, prism: Body) -> list[Body]:
    """What a convex prism leaves of a convex body: the body itself where it is not met."""
    if not body.touches(prism.lo, prism.hi):
        return [body]
    planes = cutting(body.corners(), prism.planes)
    if planes is None:
        return [body]
    left: list[Body] = []
    inside = body
    for plane in planes:
        beside, rest = halves(inside, plane)
        if rest is None:
            return [body]
        left += [beside] if beside is not None else []
        inside = rest
    return left


def moved_by(body: Body, by: Vector) -> Body:
    """A body moved without a turn."""
    x, y, z = by
    planes = tuple([Plane(out, at + out[0] * x + out[1] * y + out[2] * z) for out, at in body.planes])
    faces = tuple([tuple([(a + x, b + y, c + z) for a, b, c in face]) for face in body.faces])
    (a, b, c), (d, e, f) = body.lo, body.hi
    return Body(planes, faces, (a + x, b + y, c + z), (d + x, e + y, f + z))


def _heights(body: Body, plane: Plane) -> _Heights:
    (a, b, c), at = plane
    return [[a * x + b * y + c * z - at for x, y, z in face] for face in body.faces]


def _cut_faces(body: Body, heights: _Heights) -> tuple[_Faces, _Faces, list[Vector]]:
    """The faces of a body, over a plane through it over which its corners lie so high, as far as they lie inside and
    outside, and the corners on the plane, some of them more than once."""
    inside: _Faces = []
    outside: _Faces = []
    rim: list[Vector] = []
    for own, face, row in zip(body.planes, body.faces, heights, strict=True):
        lowest, highest = min(row), max(row)
        if highest <= NEAR:
            if highest >= -NEAR:
                rim += [spot for spot, height in zip(face, row, strict=True) if height >= -NEAR]
            if lowest < -NEAR:
                inside.append((own, face))
        elif lowest >= -NEAR:
            if lowest <= NEAR:
                rim += [spot for spot, height in zip(face, row, strict=True) if height <= NEAR]
            outside.append((own, face))
        else:
            under, over = _cut_face(face, row, rim)
            inside.append((own, under))
            outside.append((own, over))
    return inside, outside, rim


def _cut_face(face: Polygon, row: Sequence[float], rim: list[Vector]) -> tuple[Polygon, Polygon]:
    """The parts of a face inside and outside a plane; its corners on the plane are added to the `rim`."""
    inside: list[Vector] = []
    outside: list[Vector] = []
    one, a = face[0], row[0]
    for two, b in zip((*face[1:], one), (*row[1:], a), strict=True):
        if a <= NEAR:
            inside.append(one)
            if a >= -NEAR:
                outside.append(one)
                rim.append(one)
        else:
            outside.append(one)
        if (a < -NEAR and b > NEAR) or (a > NEAR and b < -NEAR):
            part = a / (a - b)
            (x, y, z), (u, v, w) = one, two
            spot = (x + (u - x) * part, y + (v - y) * part, z + (w - z) * part)
            inside.append(spot)
            outside.append(spot)
            rim.append(spot)
        one, a = two, b
    return tuple(inside), tuple(outside)


def _closed(cut: _Faces, plane: Plane, corners: Sequence[Vector]) -> Body:
    """The body of these faces and of one on a plane with these corners."""
    kept = [(own, face) for own, face in cut if len(face) > 2]
    planes = (*[own for own, _ in kept], plane)
    faces = (*[face for _, face in kept], _ordered(corners, plane.out))
    x, y, z = zip(*chain.from_iterable(faces), strict=True)
    return Body(planes, faces, (min(x), min(y), min(z)), (max(x), max(y), max(z)))


def _distinct(spots: Iterable[Vector]) -> list[Vector]:
    """Points, each place once."""
    once: list[Vector] = []
    for spot in dict.fromkeys(spots):
        x, y, _ = spot
        for other in once:
            if abs(other[0] - x) <= NEAR and abs(other[1] - y) <= NEAR and math.dist(spot, other) <= NEAR:
                break
        else:
            once.append(spot)
    return once


def _ordered(once: Sequence[Vector], out: Vector) -> Polygon:
    """The corners of a convex polygon square to `out`, going round."""
    many = len(once)
    x, y, z = (sum(values) / many for values in zip(*once, strict=True))
    (a, b, c), (d, e, f) = across(out)

    def turn(spot: Vector) -> float:
        u, v, w = spot[0] - x, spot[1] - y, spot[2] - z
        return math.atan2(u * d + v * e + w * f, u * a + v * b + w * c)

    return tuple(sorted(once, key=turn))
