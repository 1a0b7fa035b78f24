"""How much wood two solids would share, sloping sides of dovetails included.

Cuboids are counted exactly, in cubic ticks; where a slope is in play convex bodies are clipped by each other's planes.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from shopdocs.core.box import Box
from shopdocs.work.shapes.slopes import Body, Plane, Polygon, body_of, clipped
from shopdocs.work.shapes.solid import Solid


def clash(one: Solid, two: Solid, skin: float = 0.0) -> float:
    """Volume both solids would share, in cubic ticks; exact as long as no slope is in play. Where one is, what is no
    thicker than a `skin` of so many ticks is left out."""
    if one.bounds.overlap(two.bounds) is None:
        return 0
    if not one.slants and not two.slants:
        return one.overlap(two)
    mine, theirs = one.plain_cells, two.plain_cells
    shared: float = sum(common.volume for a in mine for b in theirs if (common := a.overlap(b)) is not None)
    ones, twos = sloping_bodies(one), sloping_bodies(two)
    shared += shared_by(ones, [body_of(cell) for cell in _near(theirs, one.bounds)], skin)
    shared += shared_by(twos, [body_of(cell) for cell in _near(mine, two.bounds)], skin)
    return shared + shared_by(ones, twos, skin)


def _near(cells: Sequence[Box], bounds: Box) -> list[Box]:
    return [cell for cell in cells if cell.overlap(bounds) is not None]


def sloping_bodies(solid: Solid) -> list[Body]:
    """The sloping bodies of a solid where it stands."""
    if not solid.slants:
        return []
    x, y, z = solid.body.lo
    return [_shifted(body, (float(x), float(y), float(z))) for body in solid.sloped.bodies]


def _shifted(body: Body, by: tuple[float, float, float]) -> Body:
    x, y, z = by
    planes = tuple(
        Plane(plane.out, plane.at + plane.out[0] * x + plane.out[1] * y + plane.out[2] * z) for plane in body.planes
    )
    faces = tuple(tuple((a + x, b + y, c + z) for a, b, c in face) for face in body.faces)
    (a, b, c), (d, e, f) = body.lo, body.hi
    return Body(planes, faces, (a + x, b + y, c + z), (d + x, e + y, f + z))


def shared_by(ones: Sequence[Body], twos: Sequence[Body], skin: float = 0.0) -> float:
    """Volume that two sets of convex bodies share, in cubic ticks; the bodies of a set lie beside each other. What two
    of them share counts where it is more than the largest face of that by so many ticks."""
    shared = 0.0
    for one in ones:
        for two in twos:
            if one.touches(two.lo, two.hi):
                rest: Body | None = one
                for plane in two.planes:
                    rest = clipped(rest, plane) if rest is not None else None
                shared += _more_than_skin(rest, skin) if rest is not None else 0.0
    return shared


def _more_than_skin(body: Body, skin: float) -> float:
    volume = volume_of(body)
    if skin and volume <= skin * max(area_of(face, plane) for plane, face in zip(body.planes, body.faces, strict=True)):
        return 0.0
    return volume


def volume_of(body: Body) -> float:
    """Volume of a convex body: the pyramids that its faces make with one of its corners."""
    x, y, z = body.lo
    home = _shifted(body, (-x, -y, -z))  # near the origin, where little is lost to rounding
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
