"""Edges of a single convex body, and what a plane leaves of one of its faces."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from shopdocs.core.box import AXES, Corner
from shopdocs.work.shapes.slopes import Body, Plane, Polygon, Side, SlopedEdge, Vector, dot
from shopdocs.work.shapes.vectors import cross


def edges_with_faces(body: Body) -> Iterator[tuple[SlopedEdge, tuple[int, ...]]]:
    """The edges of a convex body, each with the numbers of the two faces that meet there."""
    found: dict[tuple[Corner, Corner], list[tuple[int, Side]]] = {}
    for number, (plane, face) in enumerate(zip(body.planes, body.faces, strict=True)):
        if len(face) < 3:
            continue
        middle = [sum(spot[k] for spot in face) / len(face) for k in AXES]
        for one, two in zip(face, (*face[1:], *face[:1]), strict=True):
            a, b = sorted((corner(one), corner(two)))
            if a == b:
                continue
            into = cross(vector([q - p for p, q in zip(one, two, strict=True)]), plane.out)
            long = math.hypot(*into) or 1.0
            away = [m - (p + q) / 2 for m, p, q in zip(middle, one, two, strict=True)]
            sign = 1.0 if dot(into, vector(away)) > 0 else -1.0
            side = Side(vector([sign * v / long for v in into]), plane.out)
            found.setdefault((a, b), []).append((number, side))
    for (start, end), faces in found.items():
        yield SlopedEdge(start, end, tuple(side for _, side in faces)), tuple(number for number, _ in faces)


def faces_of(bodies: Iterable[Body]) -> Iterator[tuple[Polygon, Vector]]:
    """The faces of bodies with the directions they look."""
    return ((face, plane.out) for body in bodies for plane, face in zip(body.planes, body.faces, strict=True))


def clip_face(face: Polygon, plane: Plane) -> Polygon:
    """The part of a flat convex face inside a plane (Sutherland and Hodgman); fewer than three corners for none."""
    kept: list[Vector] = []
    for one, two in zip(face, (*face[1:], *face[:1]), strict=True):
        a, b = plane.over(one), plane.over(two)
        if a <= 0:
            kept.append(one)
        if (a < 0) != (b < 0) and a != b:
            part = a / (a - b)
            kept.append(vector([p + (q - p) * part for p, q in zip(one, two, strict=True)]))
    return tuple(kept)


def vector(values: Sequence[float]) -> Vector:
    """Three numbers as a vector."""
    return (float(values[0]), float(values[1]), float(values[2]))


def corner(spot: Sequence[float]) -> Corner:
    """The whole ticks nearest a point."""
    return (round(spot[0]), round(spot[1]), round(spot[2]))
