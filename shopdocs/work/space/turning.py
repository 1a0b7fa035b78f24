"""Solids turned by quarters about the build's own directions, and seen from the frame of a piece that leans.

A piece that leans, or is tipped, has a frame: the turn by which it leans, about a point. What is put in its place is
turned as it would stand plumb, and what stands there is seen from that frame, so that nothing of the piece itself is
ever off square for its lean.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from shopdocs.core import turn as leans
from shopdocs.core.box import Box, Corner, Ticks
from shopdocs.work.shapes.carved import Carved, Pin, Ringed, bodies_of, box_around, moved, without_pins
from shopdocs.work.shapes.clashing import clash, sloping_bodies, volume_of
from shopdocs.work.shapes.mortised import Hollow
from shopdocs.work.shapes.slopes import Slope, Vector, body_of
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.askew_piece import AskewPiece
from shopdocs.work.space.hewing import hewn, moved_hollow
from shopdocs.work.space.likeness import Turn
from shopdocs.work.space.placed import PlacedPiece

Place = Callable[[Vector], Vector]


class Leaning(Struct, frozen=True):
    """The frame of a piece off square: from how it would stand plumb to where it is, in ticks."""

    turn: leans.Turn
    about: Vector

    def out(self, spot: Vector) -> Vector:
        """A point of the plumb piece where it stands."""
        a, b, c = self.about
        x, y, z = self.turn.of((spot[0] - a, spot[1] - b, spot[2] - c))
        return (a + x, b + y, c + z)

    def back(self, spot: Vector) -> Vector:
        """A point of the build as the plumb piece has it."""
        a, b, c = self.about
        x, y, z = self.turn.back((spot[0] - a, spot[1] - b, spot[2] - c))
        return (a + x, b + y, c + z)

    def around(self, box: Box) -> Box:
        """The box of the build round a box of the plumb piece."""
        return box_around([moved(body_of(box), self.out)])


def leaning(piece: PlacedPiece, ticks: Ticks) -> Leaning | None:
    """The frame of a piece; None where it stands square to the build."""
    if not isinstance(piece, AskewPiece):
        return None
    a, b, c = (float(v.mm * ticks.per_mm) for v in piece.about)
    return Leaning(piece.turn, (a, b, c))


def plumb_solid(piece: AskewPiece, ticks: Ticks) -> Solid:
    """The solid of a piece as it would stand plumb."""
    if piece.turned is None and not any(cuboid.askew for cuboid in piece.cuboids):
        return piece.upright().solid(ticks)
    return hewn(piece, ticks, piece.plumb)


def seen_from(solid: Solid, frame: Leaning) -> Carved:
    """A solid of the build as a frame has it."""
    return _placed(solid, frame.back)


def _placed(solid: Solid, place: Place) -> Carved:
    """A solid after a move, as bodies."""
    filled = without_pins(solid)
    core = [moved(body, place) for body in (*map(body_of, filled.plain_cells), *sloping_bodies(filled))]
    box = box_around(core)
    pins, hollows = joined_parts(solid)

    def home(spot: Vector) -> Vector:
        return _less(place(spot), box.lo)

    return Carved(
        box,
        core=tuple(moved(body, lambda spot: _less(spot, box.lo)) for body in core),
        pins=tuple(_moved_pin(pin, home) for pin in pins),
        hollows=tuple(moved_hollow(hollow, home) for hollow in hollows),
    )


def joined_parts(solid: Solid) -> tuple[list[Pin], list[Hollow]]:
    """The tenons and mortises of a solid that are no cuboids, where it stands."""
    if not isinstance(solid, (Carved, Ringed)):
        return [], []

    def there(spot: Vector) -> Vector:
        a, b, c = solid.body.lo
        return (spot[0] + a, spot[1] + b, spot[2] + c)

    pins = [_moved_pin(pin, there) for pin in solid.pins] if isinstance(solid, Carved) else []
    return pins, [moved_hollow(hollow, there) for hollow in solid.hollows]


def lying(solid: Solid, turn: Turn) -> Solid:
    """The solid turned about the origin."""
    if not isinstance(solid, (Carved, Ringed)):
        return _square(solid, turn)
    now, then = solid.body.lo, turn.box(solid.body).lo

    def home(spot: Vector) -> Vector:
        there = (spot[0] + now[0], spot[1] + now[1], spot[2] + now[2])
        return _less(turned(there, turn), then)

    hollows = tuple(moved_hollow(hollow, home) for hollow in solid.hollows)
    square = _square(solid, turn)
    if isinstance(solid, Ringed):
        return Ringed(square.body, square.adds, square.cuts, square.slopes, (), hollows)
    return Carved(
        square.body,
        core=tuple(moved(body, home) for body in solid.core),
        pins=tuple(_moved_pin(pin, home) for pin in solid.pins),
        hollows=hollows,
        letting=tuple(turn.box(box) for box in solid.letting),
        standing=tuple(turn.box(box) for box in solid.standing),
    )


def turned(spot: Vector, turn: Turn) -> Vector:
    """A point turned about the origin."""
    x, y, z = (-spot[s] if r else spot[s] for s, r in zip(turn.source, turn.reverse, strict=True))
    return (x, y, z)


def _square(solid: Solid, turn: Turn) -> Solid:
    return Solid(
        turn.box(solid.body),
        tuple(turn.box(box) for box in solid.adds),
        tuple(turn.box(box) for box in solid.cuts),
        tuple(_turned_slope(slope, turn) for slope in solid.slopes),
    )


def _turned_slope(slope: Slope, turn: Turn) -> Slope:
    axis, stands = turn.source.index(slope.axis), turn.source.index(slope.stands)
    only = None if slope.only is None else slope.only != turn.reverse[axis]
    box, profile = turn.box(slope.box), slope.profile
    if profile is not None:
        wide, high = (box.size[k] if turn.reverse[k] else 0 for k in (axis, stands))
        profile = profile.mirrored(wide, high)
    return slope._replace(
        box=box,
        axis=axis,
        stands=stands,
        high=slope.high != turn.reverse[stands],
        only=only,
        skew_high=slope.skew_high != turn.reverse[3 - axis - stands],
        profile=profile,
    )


def _moved_pin(pin: Pin, place: Place) -> Pin:
    start, end = place((0.0, 0.0, 0.0)), place(pin.way)
    return Pin(pin.joint, moved(pin.body, place), leans.unit(_less(end, start)), pin.round)


def _less(spot: Vector, home: Corner | Vector) -> Vector:
    return (spot[0] - home[0], spot[1] - home[1], spot[2] - home[2])


def same_wood(one: Solid, two: Solid, skin: float) -> bool:
    """Whether two solids are the same wood where they lie, but for a skin so thick."""
    ends = zip((*one.bounds.lo, *one.bounds.hi), (*two.bounds.lo, *two.bounds.hi), strict=True)
    if any(abs(a - b) > 2 + 2 * skin for a, b in ends):
        return False
    volumes = [sum(map(volume_of, bodies_of(solid))) for solid in (one, two)]
    x, y, z = one.bounds.size
    return sum(volumes) - 2 * clash(one, two) < 2 * skin * (x * y + y * z + z * x)


def bodies_about_corner(solid: Solid) -> object:
    """What tells solids of bodies apart that lie alike about the low corner of their body: equal for pieces that were
    made alike, and never for others."""
    if isinstance(solid, Carved):
        return solid.body.size, solid.core, solid.pins, solid.hollows
    return solid.hollows if isinstance(solid, Ringed) else None
