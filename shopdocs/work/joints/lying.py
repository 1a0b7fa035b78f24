"""Pieces of which one leans or is tipped and that meet face to face: which faces lie on each other, and over what.

Joints of square pieces are worked out along the directions of the build (`frame`). Here the two faces are found by the
way they look, wherever that is; an end off square counts as it is sawn. All is in floats, in millimetres of the build.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from shopdocs.core.display import exact_text
from shopdocs.core.turn import Vector, cross, dot, near, unit
from shopdocs.model.joining import Face, the_face
from shopdocs.work.joints.frame import Doubt
from shopdocs.work.shapes.carved import spread
from shopdocs.work.shapes.edged import clip_face
from shopdocs.work.shapes.slopes import Plane, Polygon
from shopdocs.work.space.askew_piece import way_in_build
from shopdocs.work.space.placed import PlacedPiece, Spot
from shopdocs.work.space.slanting import Side, Sides

FLAT = 1e-6  # how far from -1 the product of the ways may be that two faces look which lie on each other
MISS = 0.05  # millimetres between such faces: more is a gap
NEARLY = 6.0  # millimetres: faces so far apart were meant to touch
LEAST = 1.0  # square millimetres in which faces lie on each other
_FAR = 1e5


class Lying(Struct, frozen=True, dict=True):
    """Two pieces with a face of one on a face of the other: `enters` is that of the entering piece, `meets` that of the
    receiving one, `way` the direction in which this looks, `outline` what they share."""

    entering: PlacedPiece
    receiving: PlacedPiece
    enters: Face
    meets: Face
    way: Vector
    outline: Polygon

    @property
    def area(self) -> float:
        """What they share, in square millimetres."""
        return spread(self.outline)

    def spread_out(self, count: int) -> list[Spot]:
        """So many points of the build in the middle of what they share, evenly along its longer direction on the
        entering piece, half a space at the ends."""
        axes = [k for k in (2, 1, 0) if k != _axis_of(self.entering, self.way)]
        along = _within(way_in_build(self.entering, axes[-1]), self.way)
        beside = cross(self.way, along)
        reach = [dot(spot, along) for spot in self.outline]
        low, high = min(reach), max(reach)
        found = []
        for k in range(count):
            at = low + (high - low) * (2 * k + 1) / (2 * count)
            one, two = _chord(self.outline, along, beside, at)
            height = dot(self.way, self.outline[0])
            a, b, c = (
                near(at * u + (one + two) / 2 * v + height * w) for u, v, w in zip(along, beside, self.way, strict=True)
            )
            found.append((a, b, c))
        return found


def planes_of(piece: PlacedPiece, sides: Sequence[Side]) -> list[Plane]:
    """The sides of a body as planes of the build, in the order of the sides."""
    origin = [value.float_mm() for value in piece.spot_in_build([value - value for value in piece.size])]
    ways = [way_in_build(piece, k) for k in range(3)]

    def turned(own: Sequence[float]) -> Vector:
        a, b, c = (sum(own[k] * ways[k][i] for k in range(3)) for i in range(3))
        return a, b, c

    found = []
    for side in sides:
        out, spot = turned(side.out), [a + b for a, b in zip(origin, turned(side.spot), strict=True)]
        found.append(Plane(out, dot(out, spot)))
    return found


def face_on(planes: Sequence[Plane], number: int) -> Polygon:
    """The polygon of a convex body on one of its planes."""
    plane = planes[number]
    one = unit(
        cross(plane.out, min(((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)), key=lambda v: abs(dot(v, plane.out))))
    )
    two = cross(plane.out, one)
    corners = []
    for a, b in ((-_FAR, -_FAR), (_FAR, -_FAR), (_FAR, _FAR), (-_FAR, _FAR)):
        x, y, z = (plane.at * o + a * u + b * v for o, u, v in zip(plane.out, one, two, strict=True))
        corners.append((x, y, z))
    return clipped_by(tuple(corners), [each for k, each in enumerate(planes) if k != number])


def clipped_by(face: Polygon, planes: Sequence[Plane]) -> Polygon:
    """What of a flat polygon lies within planes; empty where nothing does."""
    for plane in planes:
        face = clip_face(face, plane)
        if len(face) < 3:
            return ()
    return face


def lying(entering: PlacedPiece, receiving: PlacedPiece, sides: Sides) -> Lying | Doubt:
    """How two pieces lie on each other; the doubt that says how far they are from it where they do not."""
    gaps: list[tuple[float, Face, Face]] = []
    best: Lying | None = None
    for gap, found in _pairs(entering, receiving, sides):
        if abs(gap) > MISS:
            gaps.append((gap, found.enters, found.meets))
        elif best is None or found.area > best.area:
            best = found
    if best is not None:
        return best
    nearest = min(gaps, key=lambda one: abs(one[0]), default=None)
    if nearest is None:
        wrong = f"no face of {entering.mark} lies flat on a face of {receiving.mark}"
        right = f"tip it or let it lean as far as {receiving.mark} does, or saw its end to that angle"
        return Doubt("lean-joint", wrong, right)
    gap, mine, theirs = nearest
    far = exact_text(near(abs(gap)))
    wrong = f"{the_face(mine)} of {entering.mark} "
    wrong += (
        f"stands {far} off {the_face(theirs)} of {receiving.mark}"
        if gap > 0
        else (f"lies {far} within {the_face(theirs)} of {receiving.mark}")
    )
    return Doubt("not-touching", wrong, f"move {entering.mark} so that it lies on {receiving.mark}")


def _pairs(entering: PlacedPiece, receiving: PlacedPiece, sides: Sides) -> Iterator[tuple[float, Lying]]:
    """Every two faces that look at each other and overlap, and how far apart they are."""
    mine, theirs = sides(entering), sides(receiving)
    ones, twos = planes_of(entering, mine), planes_of(receiving, theirs)
    for i, one in enumerate(ones):
        for j, two in enumerate(twos):
            if dot(one.out, two.out) > FLAT - 1:
                continue
            face = face_on(ones, i)
            if not face:
                continue
            gap = two.over(face[0])
            if abs(gap) > NEARLY:
                continue
            shared = clipped_by(face, [each for k, each in enumerate(twos) if k != j])
            if shared and spread(shared) >= LEAST:
                level = tuple(_dropped(spot, two) for spot in shared)
                yield gap, Lying(entering, receiving, mine[i].face, theirs[j].face, two.out, level)


def _dropped(spot: Vector, plane: Plane) -> Vector:
    over = plane.over(spot)
    a, b, c = (v - over * o for v, o in zip(spot, plane.out, strict=True))
    return a, b, c


def _axis_of(piece: PlacedPiece, way: Vector) -> int:
    """The axis of a piece that a direction of the build follows most."""
    return max(range(3), key=lambda k: abs(dot(way_in_build(piece, k), way)))


def _within(way: Vector, out: Vector) -> Vector:
    """A direction as it runs in the plane square to another."""
    away = dot(way, out)
    a, b, c = (v - away * o for v, o in zip(way, out, strict=True))
    return unit((a, b, c))


def _chord(face: Polygon, along: Vector, beside: Vector, at: float) -> tuple[float, float]:
    """From where to where a convex polygon reaches `beside` its line at a place `along`."""
    found = []
    for one, two in zip(face, (*face[1:], face[0]), strict=True):
        a, b = dot(one, along) - at, dot(two, along) - at
        if a * b <= 0 and not math.isclose(a, b):
            share = a / (a - b)
            found.append(dot(one, beside) + (dot(two, beside) - dot(one, beside)) * share)
    return min(found), max(found)
