"""Where a piece that is turned the wrong way would sit in what it meets, out of line with where it belongs.

A leg whose mortises lie elsewhere from end to end goes upside down onto the same rails, a little too high: the tenons
find their mortises, and nothing but the ends of the leg tells. So a turned piece is tried where one of its mortises
comes to lie over a tenon that is there, or one of its tenons over a mortise, moved along one axis.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import product
from math import sqrt
from typing import NamedTuple

from msgspec import Struct

from shopdocs.core.box import AXES, Box, Corner, touch
from shopdocs.core.length import Length
from shopdocs.core.turn import cross, dot
from shopdocs.work.shapes.carved import NEAR_MM, Carved, Pin, Ringed, bodies_of, touching_area
from shopdocs.work.shapes.clashing import all_uncut, shared_uncut
from shopdocs.work.shapes.convex import Body, Uncut, body_of
from shopdocs.work.shapes.mortised import Hollow
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.shapes.vectors import Vector
from shopdocs.work.space.turning import joined_parts

MOST_OUT = Length(25)  # what is farther out of line is seen at a glance (our own measure)
LEAST_HELD = 0.5  # of the area by which it is held where it belongs: in a mortise too long a tenon is held by less
MISSED = 0.5  # of what is inside where it belongs: where a round or slanting tenon is in by less, all see it
LESS = 0.99  # of what is worked out in floats: so much less is as much
_SAME_WAY = 1 - 1e-5  # the product of two directions that are one: a quarter of a degree


class _Line(NamedTuple):
    """A point on the centre line of a tenon or a mortise, and the way it goes in."""

    middle: Vector
    way: Vector


class Seat(Struct, frozen=True, dict=True):
    """How a piece, or pieces that are one already, are held by another where they belong: `inside` is the wood of each
    inside the bodies of the other, in cubic ticks. `solids` are the pieces there, `stock` is the body of the other that
    it was cut from, `per_mm` the ticks in a millimetre."""

    solids: Sequence[Solid]
    other: Solid
    stock: Body | None
    per_mm: int
    inside: float

    @cached_property
    def area(self) -> float:
        """The area in which they touch, in square ticks: worked out for the few that are tried out of line."""
        return _area(self.solids, self.other, self.per_mm)

    @staticmethod
    def of(solids: Sequence[Solid], other: Solid, stock: Body | None = None, per_mm: int = 1) -> Seat | None:
        """As they lie; None where neither reaches into the other."""
        inside = _inside(solids, other, stock)
        return Seat(solids, other, stock, per_mm, inside) if inside else None

    def misses(self, solids: Sequence[Solid]) -> bool:
        """Whether so little of the piece is in, as it lies now, that a tenon or a mortise stands empty."""
        return _inside(solids, self.other, self.stock) < MISSED * self.inside

    def lies_apart(self, solids: Sequence[Solid]) -> bool:
        """Whether so little of the piece lies against the other, as it lies now, that they are not joined."""
        return _area(solids, self.other, self.per_mm) < MISSED * self.area

    def holds(self, solids: Sequence[Solid]) -> bool:
        """Whether the piece is in as far, and held, as it lies now."""
        part = LESS if any(map(_is_bodies, (*solids, self.other))) else 1
        return _inside(solids, self.other, self.stock) >= part * self.inside and (
            any(_sleeved(one, self.other, self.per_mm) for one in solids)
            or _area(solids, self.other, self.per_mm) >= LEAST_HELD * self.area
        )


def _sleeved(one: Solid, two: Solid, per_mm: int) -> bool:
    """Whether a round tenon of one sits in a round mortise of the other that is as thick: their sides stand for a round
    and need not lie on each other, so that no area tells."""
    (pins, hollows), (their_pins, their_hollows) = joined_parts(one), joined_parts(two)
    for pin, hollow in (*product(pins, their_hollows), *product(their_pins, hollows)):
        if pin.round and hollow.round and dot(pin.way, hollow.way) > _SAME_WAY:
            middle = _middle(pin)
            unlike = abs(_radius(pin, middle) - _radius(hollow, hollow.middle))
            if max(_from_line(middle, hollow.middle, hollow.way), unlike) <= NEAR_MM * per_mm:
                return True
    return False


def _radius(part: Pin | Hollow, middle: Vector) -> float:
    return max(_from_line(spot, middle, part.way) for face in part.body.faces for spot in face)


def _from_line(spot: Vector, middle: Vector, way: Vector) -> float:
    """How far a point lies from the line through another."""
    off = cross((spot[0] - middle[0], spot[1] - middle[1], spot[2] - middle[2]), way)
    return sqrt(dot(off, off))


def _is_bodies(solid: Solid) -> bool:
    return isinstance(solid, (Carved, Ringed))


def _inside(solids: Sequence[Solid], other: Solid, stock: Body | None) -> float:
    if not any(map(_is_bodies, (*solids, other))):
        return sum(_within(one.cells, other.body) + _within(other.cells, one.body) for one in solids)
    theirs, block = all_uncut(other), [Uncut(stock if stock is not None else body_of(other.body))]
    return sum(shared_uncut(all_uncut(one), block) + shared_uncut(theirs, [Uncut(body_of(one.body))]) for one in solids)


def _within(cells: Sequence[Box], body: Box) -> int:
    return sum(shared.volume for cell in cells if (shared := cell.overlap(body)) is not None)


def _area(solids: Sequence[Solid], other: Solid, per_mm: int) -> float:
    area: float = 0
    for one in solids:
        round_both = one.bounds.common(other.bounds)  # nothing touches outside it
        if round_both is None:
            continue
        if _is_bodies(one) or _is_bodies(other):
            area += touching_area(bodies_of(one), bodies_of(other), per_mm)
            continue
        theirs = [cell for cell in other.cells if cell.common(round_both) is not None]
        mine = [cell for cell in one.cells if cell.common(round_both) is not None] if theirs else []
        area += sum(face.area for a, b in product(mine, theirs) if (face := touch(a, b)) is not None)
    return area


def shifts(turned: Sequence[Solid], seats: Sequence[Seat], most: int) -> list[Corner]:
    """The shifts along one axis, of at most so many ticks and the shortest first, that bring a cut of what is turned
    level with a tenon of what it meets, or one of its tenons with a cut there."""
    found: set[Corner] = set()
    for one, seat in product(turned, seats):
        (mine, cuts), (theirs, their_cuts) = _cuboids(one), _cuboids(seat.other)
        found.update(_level(theirs, cuts, most))
        found.update((-x, -y, -z) for x, y, z in _level(mine, their_cuts, most))
        (pins, hollows), (their_pins, their_hollows) = _lines(one), _lines(seat.other)
        lines = NEAR_MM * seat.per_mm
        found.update(by for pin, hollow in product(their_pins, hollows) for by in _in_line(pin, hollow, most, lines))
        for pin, hollow in product(pins, their_hollows):
            found.update((-x, -y, -z) for x, y, z in _in_line(pin, hollow, most, lines))
    return sorted(found, key=lambda by: (sum(map(abs, by)), by))


def _cuboids(solid: Solid) -> tuple[Sequence[Box], Sequence[Box]]:
    """Its tenons and its cuts that are cuboids."""
    return (solid.standing, solid.letting) if isinstance(solid, Carved) else (solid.adds, solid.cuts)


def _level(tenons: Sequence[Box], cuts: Sequence[Box], most: int) -> set[Corner]:
    """The shifts of the cuts that bring an end of one level with the same end of a tenon."""
    found: set[Corner] = set()
    for (tenon_lo, tenon_hi), (lo, hi) in product(tenons, cuts):
        shared = [tenon_hi[k] > lo[k] and hi[k] > tenon_lo[k] for k in AXES]
        if sum(shared) < 2:
            continue
        for k in AXES:
            if shared[k - 1] and shared[k - 2]:
                for by in (tenon_lo[k] - lo[k], tenon_hi[k] - hi[k]):
                    if 0 < abs(by) <= most:
                        found.add(_along(k, by))
    return found


def _lines(solid: Solid) -> tuple[list[_Line], list[_Line]]:
    """The centre lines of the tenons and of the mortises of a solid that are no cuboids, where it stands."""
    if not isinstance(solid, (Carved, Ringed)):
        return [], []
    a, b, c = solid.body.lo

    def there(spot: Vector) -> Vector:
        return (spot[0] + a, spot[1] + b, spot[2] + c)

    pins = [_Line(there(_middle(pin)), pin.way) for pin in solid.pins] if isinstance(solid, Carved) else []
    return pins, [_Line(there(hollow.middle), hollow.way) for hollow in solid.hollows]


def _in_line(pin: _Line, hollow: _Line, most: int, lines: float) -> Iterator[Corner]:
    """The shifts of a mortise at an angle, along an axis, that bring its centre line onto that of a tenon that points
    the same way."""
    if dot(pin.way, hollow.way) < _SAME_WAY:
        return
    middle = pin.middle
    away = (middle[0] - hollow.middle[0], middle[1] - hollow.middle[1], middle[2] - hollow.middle[2])
    beside = cross(away, hollow.way)
    for k in AXES:
        step = cross(tuple(float(k == j) for j in AXES), hollow.way)
        long = dot(step, step)
        if long < LEAST_ASIDE:
            continue
        by = dot(beside, step) / long
        left = [b - by * s for b, s in zip(beside, step, strict=True)]
        if dot(left, left) <= lines * lines and 0 < abs(round(by)) <= most:
            yield _along(k, round(by))


LEAST_ASIDE = 0.1  # the square of the sine between a mortise and an axis that it is moved along


def _middle(pin: Pin) -> Vector:
    """A point on the centre line of a tenon: the middle of its end."""
    face = max(zip(pin.body.planes, pin.body.faces, strict=True), key=lambda one: dot(one[0].out, pin.way))[1]
    spots = list(dict.fromkeys(face))
    a, b, c = (sum(spot[k] for spot in spots) / len(spots) for k in AXES)
    return (a, b, c)


def _along(axis: int, by: int) -> Corner:
    return (by if axis == 0 else 0, by if axis == 1 else 0, by if axis == 2 else 0)
