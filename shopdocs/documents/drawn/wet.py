"""Where glue goes, in a picture: the seen faces of its joints, dotted. Dots survive a photocopy, a tint does not."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import product

from msgspec import Struct

from shopdocs.blocks.drawing import Circle, Stroke
from shopdocs.core.box import Box, Corner, Ticks
from shopdocs.documents.drawn.measures import true_length
from shopdocs.work.shapes.carved import Carved, Pin
from shopdocs.work.shapes.projection import View
from shopdocs.work.shapes.seen import seen_points
from shopdocs.work.shapes.slopes import Polygon
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.shapes.vectors import Vector, cross, dot
from shopdocs.work.space.contacts import Contacts, Pair

SPACING_MM, DOT_MM = 1.5, 0.28  # on paper: from dot to dot, and the radius of one
ALONG = 1e-3  # of a direction: less than that does not lean
LIFT = 8  # ticks that a dot on a round is held before it
MOST_DOTS = 4000  # a face so large that it wants more is dotted more thinly


class Wet(Struct, frozen=True):
    """A rectangle that takes glue, on the solid of this number in the scene, where that stands in the build; it is
    square to `axis` and looks to its high side or its low one."""

    solid: int
    where: Box
    axis: int
    high: bool


class WetPin(Struct, frozen=True):
    """A tenon that takes glue all round, of the solid of this number in the scene: it stands off square, or is round,
    and meets its mortise in no rectangle."""

    solid: int
    pin: Pin


def wet_pins(solids: Sequence[Solid], joints: Collection[str]) -> tuple[WetPin, ...]:
    """Those tenons of the glued `joints`, by their numbers."""
    return tuple(
        WetPin(number, pin)
        for number, solid in enumerate(solids)
        if isinstance(solid, Carved)
        for pin in solid.pins
        if pin.joint in joints
    )


def wet_faces(contacts: Contacts, pairs: Iterable[tuple[str, str]]) -> tuple[Wet, ...]:
    """Both faces of everything that touches between these pieces, by their marks; nothing of a pair that lies apart or
    on a slope."""
    found: list[Wet] = []
    marks = {piece.mark for piece in contacts.scene.pieces}
    for one, other in pairs:
        pair = contacts.between(one, other) if {one, other} <= marks else None
        found += _both(pair) if pair is not None else ()
    return tuple(found)


def _both(pair: Pair) -> Iterator[Wet]:
    for touch in pair.touches:
        yield Wet(pair.first, touch.where, touch.axis, touch.high)
        yield Wet(pair.second, touch.where, touch.axis, not touch.high)


def dots(
    wet: Sequence[Wet | WetPin],
    solids: Sequence[Solid],
    shifts: Sequence[Corner],
    ticks: Ticks,
    view: View,
    scale: Fraction,
) -> list[Circle]:
    """The seen dots of the faces that look to the eye, each row set off by half a step from the one before."""
    step = max(1, round(SPACING_MM / float(scale) * ticks.per_mm))
    points: list[tuple[Corner, int]] = []
    for face in wet:
        if isinstance(face, WetPin):
            points += [(spot, 0) for spot in _round(face.pin, solids[face.solid], view, step)]
        elif view.toward[face.axis] and (view.toward[face.axis] > 0) == face.high:
            points += [(spot, face.axis) for spot in _grid(face.where.shifted(shifts[face.solid]), face.axis, step)]
    if len(points) > MOST_DOTS:
        points = points[:: len(points) // MOST_DOTS + 1]
    seen = seen_points(solids, view, points)
    radius = true_length(DOT_MM, scale)
    return [
        Circle(view.picture(spot, ticks), radius, Stroke.THIN, "ink")
        for (spot, _), shown in zip(points, seen, strict=True)
        if shown
    ]


def _round(pin: Pin, solid: Solid, view: View, step: int) -> Iterator[Corner]:
    """Points on the sides of a tenon that look to the eye, each held a little before its face. A row along every side
    that is wide enough, and on a round along those that lie so far apart."""
    home, toward = solid.body.lo, view.toward
    gone = step / 2
    for plane, face in zip(pin.body.planes, pin.body.faces, strict=True):
        if abs(dot(plane.out, pin.way)) > ALONG or len(face) < 3:
            continue
        across = cross(plane.out, pin.way)
        (near, far), (left, right) = (_span(face, way) for way in (pin.way, across))
        gone += right - left
        rows, count = int(gone // step), max(1, int((far - near) // step))
        gone -= rows * step
        if dot(plane.out, toward) <= ALONG:
            continue
        at = dot(plane.out, face[0])
        for row, column in product(range(rows), range(count)):
            along, aside = near + (far - near) * (column + 0.5) / count, left + (right - left) * (row + 0.5) / rows
            x, y, z = (
                round(at * o + along * w + aside * c + h + LIFT * t)
                for o, w, c, h, t in zip(plane.out, pin.way, across, home, toward, strict=True)
            )
            yield x, y, z


def _span(face: Polygon, way: Vector) -> tuple[float, float]:
    far = [dot(spot, way) for spot in face]
    return min(far), max(far)


def _grid(box: Box, axis: int, step: int) -> Iterator[Corner]:
    """Points inside a rectangle, at least one."""
    u, v = (k for k in range(3) if k != axis)
    rows = max(1, box.size[v] // step)
    for row in range(rows):
        columns = max(1, box.size[u] // step)
        odd = row % 2 if columns > 1 else 0
        for column in range(columns - odd):
            spot = list(box.lo)
            spot[u] += box.size[u] * (2 * column + 1 + odd) // (2 * columns)
            spot[v] += box.size[v] * (2 * row + 1) // (2 * rows)
            yield spot[0], spot[1], spot[2]
