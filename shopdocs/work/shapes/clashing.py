"""How much wood two solids would share, sloping sides of dovetails included.

Cuboids are counted exactly, in cubic ticks; where a slope is in play convex bodies are clipped by each other's planes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

from shopdocs.core.box import Box, Corner
from shopdocs.work.shapes.convex import (
    NEAR,
    Body,
    Plane,
    Polygon,
    Uncut,
    body_of,
    cutting,
    less_prisms,
    moved_by,
    within,
)
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.shapes.vectors import Vector

_TRIED = 12  # places for a ball
_PAST = 1.05  # of its radius: so far it is drawn in


def clash(one: Solid, two: Solid, skin: float = 0.0, enough: float = math.inf) -> float:
    """Volume both solids would share, in cubic ticks; exact as long as no slope is in play. Where one is, what is no
    thicker than a `skin` of so many ticks is left out. Nothing is added any more once that is more than `enough`, and
    where it is at a glance no more is told than that."""
    if one.bounds.overlap(two.bounds) is None:
        return 0
    if not one.slants and not two.slants:
        return one.overlap(two)
    mine, theirs = one.plain_cells, two.plain_cells
    shared: float = sum(common.volume for a in mine for b in theirs if (common := a.overlap(b)) is not None)
    if shared > enough:
        return shared
    ones, twos = _uncut(one, two.bounds), _uncut(two, one.bounds)
    their_cells = [Uncut(body_of(cell)) for cell in _near(theirs, one.bounds)]
    my_cells = [Uncut(body_of(cell)) for cell in _near(mine, two.bounds)]
    met = ((ones, their_cells), (twos, my_cells), (ones, twos))
    if enough < math.inf and any(share_a_ball(*both, radius_for(enough)) for both in met):
        return math.nextafter(enough, math.inf)
    for some, others in met:
        shared += shared_uncut(some, others, skin, enough - shared)
        if shared > enough:
            break
    return shared


def _near(cells: Sequence[Box], bounds: Box) -> list[Box]:
    return [cell for cell in cells if cell.overlap(bounds) is not None]


def sloping_bodies(solid: Solid) -> list[Body]:
    """The sloping bodies of a solid where it stands."""
    if not solid.slants:
        return []
    x, y, z = solid.body.lo
    return [moved_by(body, (float(x), float(y), float(z))) for body in solid.sloped.bodies]


def all_uncut(solid: Solid) -> list[Uncut]:
    """The bodies of a solid where it stands, its cuboids among them, with the mortises still to be cut."""
    return [*(Uncut(body_of(cell)) for cell in solid.plain_cells), *_uncut(solid, solid.bounds)]


def _uncut(solid: Solid, near: Box) -> list[Uncut]:
    """The sloping bodies of a solid where it stands, mortises not cut, as far as they may reach into a box."""
    return uncut_near(solid.sloped.uncut, solid.body.lo, near) if solid.slants else []


def uncut_near(bodies: Iterable[Uncut], home: Corner, near: Box) -> list[Uncut]:
    """As many of these bodies about `home`, and of the prisms in them, where they stand, as may reach into a box."""
    x, y, z = by = (float(home[0]), float(home[1]), float(home[2]))
    (a, b, c), (d, e, f) = near
    lo, hi = (a - x, b - y, c - z), (d - x, e - y, f - z)
    found = []
    for body, prisms in bodies:
        if body.touches(lo, hi):
            met = (one for one in prisms if one.touches(lo, hi) and one.touches(body.lo, body.hi))
            found.append(Uncut(moved_by(body, by), tuple(moved_by(prism, by) for prism in met)))
    return found


def shared_uncut(ones: Sequence[Uncut], twos: Sequence[Uncut], skin: float = 0.0, enough: float = math.inf) -> float:
    """What `shared_by` says of two sets of bodies once their prisms are cut: cut out of what two bodies share, which
    meets few of them. Nothing is added any more once that is more than `enough`."""
    shared = 0.0
    for one, prisms in ones:
        corners: set[Vector] = set()
        for two, their_prisms in twos:
            if one.touches(two.lo, two.hi) and not (_is_in(two, prisms) or _is_in(one, their_prisms)):
                corners = corners or one.corners()
                both = within(one, two.planes, corners)
                for rest in less_prisms(both, (*prisms, *their_prisms)) if both is not None else ():
                    shared += _more_than_skin(rest, skin)
                if shared > enough:
                    return shared
    return shared


def _is_in(body: Body, prisms: Iterable[Body]) -> bool:
    """Whether all of a body lies in one of these prisms, as a tenon does in the mortise made for it."""
    (a, b, c), (d, e, f) = body.lo, body.hi
    for prism in prisms:
        (g, h, i), (j, k, m) = prism.lo, prism.hi
        if g > a + NEAR or h > b + NEAR or i > c + NEAR or d > j + NEAR or e > k + NEAR or f > m + NEAR:
            continue
        if cutting(body.corners(), prism.planes) == []:
            return True
    return False


def radius_for(volume: float) -> float:
    """The radius of a ball that holds so much four times over: what is cut into thin parts of it may be left out."""
    return math.pow(3 * volume / math.pi, 1 / 3)


def share_a_ball(ones: Sequence[Uncut], twos: Sequence[Uncut], radius: float) -> bool:
    """Whether a ball of this radius is found in what some body of both sets shares, outside all prisms. A few places
    are tried, the next one drawn in from where the last stands out farthest: that none is found says nothing."""
    return any(
        _ball_place(one, two, (*prisms, *others), radius)
        for one, prisms in ones
        for two, others in twos
        if one.touches(two.lo, two.hi)
    )


def _ball_place(one: Body, two: Body, prisms: Sequence[Body], radius: float) -> bool:
    low, high = map(max, one.lo, two.lo), map(min, one.hi, two.hi)
    wide = [(a, b) for a, b in zip(low, high, strict=True)]
    if min(b - a for a, b in wide) < 2 * radius:
        return False
    x, y, z = ((a + b) / 2 for a, b in wide)
    planes = (*one.planes, *two.planes)
    for _ in range(_TRIED):
        by, (a, b, c) = max([(p * x + q * y + r * z - at, (p, q, r)) for (p, q, r), at in planes])
        if by > -radius:
            by = -by - _PAST * radius
        else:
            inner = (
                max([(p * x + q * y + r * z - at, (p, q, r)) for (p, q, r), at in prism.planes]) for prism in prisms
            )
            by, (a, b, c) = min(inner, default=(radius, (a, b, c)))
            if by >= radius:
                return True
            by = _PAST * radius - by
        x, y, z = x + by * a, y + by * b, z + by * c
    return False


def shared_by(ones: Sequence[Body], twos: Sequence[Body], skin: float = 0.0) -> float:
    """Volume that two sets of convex bodies share, in cubic ticks; the bodies of a set lie beside each other. What two
    of them share counts where it is more than the largest face of that by so many ticks."""
    return shared_uncut([Uncut(one) for one in ones], [Uncut(two) for two in twos], skin)


def _more_than_skin(body: Body, skin: float) -> float:
    volume = volume_of(body)
    if skin and volume <= skin * max(area_of(face, plane) for plane, face in zip(body.planes, body.faces, strict=True)):
        return 0.0
    return volume


def volume_of(body: Body) -> float:
    """Volume of a convex body: the pyramids that its faces make with one of its corners."""
    x, y, z = body.lo
    home = moved_by(body, (-x, -y, -z))  # near the origin, where little is lost to rounding
    return sum(plane.at * area_of(face, plane) for plane, face in zip(home.planes, home.faces, strict=True)) / 3


def area_of(face: Polygon, plane: Plane) -> float:
    """The area of a convex polygon on a plane."""
    if len(face) < 3:
        return 0.0
    total = [0.0, 0.0, 0.0]
    (ox, oy, oz) = face[0]
    for (ax, ay, az), (bx, by, bz) in pairwise(face[1:]):
        ux, uy, uz, vx, vy, vz = ax - ox, ay - oy, az - oz, bx - ox, by - oy, bz - oz
        total[0] += uy * vz - uz * vy
        total[1] += uz * vx - ux * vz
        total[2] += ux * vy - uy * vx
    return abs(sum(t * n for t, n in zip(total, plane.out, strict=True))) / 2
