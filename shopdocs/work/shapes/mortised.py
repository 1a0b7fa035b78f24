"""Mortises that are no cuboids, because they go in at an angle or are round, cut out of convex bodies.

A mortise is a convex prism that reaches out of the wood at its mouth, and at its far end where it goes through. What it
leaves of a convex body is convex again, one body beside each of its sides. A round one has as many sides as the tenon
for it, and the same corners, so that both fit; it takes 1.1 % less than a true circle. All is in floats: planes lie
true to 1/1000 of a tick, places to 1/1000 mm as they were worked out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property

from msgspec import Struct

from shopdocs.core.box import AXES, Box
from shopdocs.work.shapes.edged import clip_face, corner, edges_with_faces, vector
from shopdocs.work.shapes.slopes import NEAR, STEP, Body, Plane, Polygon, Side, SlopedEdge, Vector, dot

_TIP = 0.3  # the floor of a mortise looks along its way more than that
Shown = tuple[Polygon, Vector]  # a face and the direction it looks


class Hollow(Struct, frozen=True, dict=True):
    """A mortise: `joint` is its name, `way` leads into the wood, along it runs the prism that it takes."""

    joint: str
    body: Body
    way: Vector
    round: bool = False

    @cached_property
    def middle(self) -> Vector:
        """A point on its centre line: the middle of its mouth cap."""
        face = min(zip(self.body.planes, self.body.faces, strict=True), key=lambda one: dot(one[0].out, self.way))[1]
        a, b, c = (sum(spot[k] for spot in face) / len(face) for k in AXES)
        return (a, b, c)


def meets(box: Box, hollow: Hollow) -> bool:
    """Whether a mortise may take something of a cuboid."""
    return all(hollow.body.lo[k] < box.hi[k] and box.lo[k] < hollow.body.hi[k] for k in AXES)


def shown_faces(bodies: Sequence[Body], hollows: Sequence[Hollow]) -> Iterator[Shown]:
    """The faces of bodies with mortises: what their mouths leave of each, and their walls and floors within. Where two
    bodies lie against each other, the faces between them are among these."""
    for body in bodies:
        near = [hollow for hollow in hollows if body.touches(hollow.body.lo, hollow.body.hi)]
        for plane, face in zip(body.planes, body.faces, strict=True):
            for part in _less(face, near):
                yield part, plane.out
        for hollow in near:
            yield from _walls(hollow, body, [other for other in near if other is not hollow])


def _walls(hollow: Hollow, body: Body, others: Sequence[Hollow]) -> Iterator[Shown]:
    for plane, face in zip(hollow.body.planes, hollow.body.faces, strict=True):
        within = _kept(face, body.planes)
        if len(within) > 2:
            a, b, c = plane.out
            for part in _less(within, others):
                yield part, (-a, -b, -c)


def _less(face: Polygon, hollows: Sequence[Hollow]) -> list[Polygon]:
    """What mortises leave of a flat convex face, as convex parts."""
    parts = [face]
    for hollow in hollows:
        parts = [left for part in parts for left in _less_one(part, hollow.body.planes)]
    return parts


def _less_one(face: Polygon, planes: Sequence[Plane]) -> list[Polygon]:
    left: list[Polygon] = []
    within = face
    for plane in planes:
        heights = [plane.over(spot) for spot in within]
        if not heights or min(heights) >= -NEAR:
            return [face]
        if max(heights) > NEAR:
            beside = clip_face(within, plane.turned())
            left += [beside] if len(beside) > 2 else []
            within = clip_face(within, plane)
    return left


def _kept(face: Polygon, planes: Iterable[Plane]) -> Polygon:
    for plane in planes:
        face = clip_face(face, plane)
        if len(face) < 3:
            return ()
    return face


def inner_edges(bodies: Sequence[Body], hollow: Hollow) -> Iterator[SlopedEdge]:
    """The edges inside a mortise, as far as there is wood round them: round its floor, and in its corners. No line
    shows where the strips of a round one meet."""
    planes = hollow.body.planes
    mouth = min(range(len(planes)), key=lambda k: dot(planes[k].out, hollow.way))
    for edge, faces in edges_with_faces(hollow.body):
        floor = any(dot(planes[face].out, hollow.way) > _TIP for face in faces)
        if mouth in faces or (hollow.round and not floor):
            continue
        sides = tuple(Side(side.into, (-side.out[0], -side.out[1], -side.out[2])) for side in edge.sides)
        for start, end in _inside(edge, bodies):
            yield SlopedEdge(corner(start), corner(end), sides)


def _inside(edge: SlopedEdge, bodies: Sequence[Body]) -> Iterator[tuple[Vector, Vector]]:
    """The stretches of an edge that lie in wood."""
    start, end = edge.start, edge.end
    spans: list[tuple[float, float]] = []
    for body in bodies:
        low, high = 0.0, 1.0
        for plane in body.planes:
            a, b = plane.over(vector(start)), plane.over(vector(end))
            if max(a, b) <= NEAR:
                continue
            if min(a, b) >= -NEAR:
                low, high = 1.0, 0.0
                break
            part = a / (a - b)
            low, high = (max(low, part), high) if a > 0 else (low, min(high, part))
        if low < high:
            spans.append((low, high))
    long = max(abs(b - a) for a, b in zip(start, end, strict=True)) or 1
    for low, high in _joined(spans):
        if (high - low) * long > STEP:
            one, two = (vector([a + (b - a) * part for a, b in zip(start, end, strict=True)]) for part in (low, high))
            yield one, two


def _joined(spans: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    made: list[tuple[float, float]] = []
    for low, high in sorted(spans):
        if made and low <= made[-1][1] + 1e-6:
            made[-1] = made[-1][0], max(made[-1][1], high)
        else:
            made.append((low, high))
    return made
