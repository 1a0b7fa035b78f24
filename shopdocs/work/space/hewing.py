"""Placed pieces as solids where something is off square: pieces that lean, shoulders and tenons at an angle."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from typing import Protocol

from shopdocs.core.box import Box, Ticks
from shopdocs.core.length import ZERO, Length
from shopdocs.core.rounds import Round
from shopdocs.core.turn import UPRIGHT, Turn, Vector, cross, unit
from shopdocs.model.joining import Face
from shopdocs.model.joint_names import Trait
from shopdocs.work.shapes.carved import Carved, Pin, Ringed, between, box_around, moved, prism, ring
from shopdocs.work.shapes.clashing import sloping_bodies
from shopdocs.work.shapes.convex import within
from shopdocs.work.shapes.mortised import Hollow
from shopdocs.work.shapes.slopes import Body, Plane, SlopedEdge, body_of, clipped, dot
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.features import (
    OWN_POSE,
    ROUND,
    STRIPS,
    Cuboid,
    FeatureKind,
    Pose,
    Slant,
    Spot,
    face_of,
    side_of,
    slope_of,
)


class Hewable(Protocol):
    """As much of a placed piece as its solid takes."""

    @property
    def at(self) -> Spot:
        """Its low corner in the build."""
        ...

    @property
    def size(self) -> Spot:
        """Length, width and thickness."""
        ...

    @property
    def length(self) -> Length:
        """Its length along the grain."""
        ...

    @property
    def pose(self) -> Pose:
        """How it stands."""
        ...

    @property
    def cuboids(self) -> Sequence[Cuboid]:
        """What is cut away and added."""
        ...

    @property
    def turned(self) -> Round | None:
        """What it is turned to."""
        ...


@lru_cache(maxsize=512)
def hewn(
    piece: Hewable,
    ticks: Ticks,
    plumb: Spot | None = None,
    turn: Turn = UPRIGHT,
    about: Spot | None = None,
    foot: Length | None = None,
) -> Solid:
    """The solid of a piece with what is off square in it. `plumb` is the low corner of its body before it turns, by
    `turn` and `about` the middle of its top, `foot` the height of its foot; without them it stands square."""
    stand = _Stand(piece, ticks, plumb or piece.at, turn, about)
    if foot is not None and about is not None:
        stand.levels = ticks.count(foot), ticks.count(about[2])
    if about is None and piece.turned is None and not any(cuboid.adds and cuboid.askew for cuboid in piece.cuboids):
        square = stand.square(lambda cuboid: True)
        home = square.body.lo
        rings = tuple(edge for ring_ in stand.rings() for edge in _moved_edges(ring_, home))
        hollows = tuple(moved_hollow(hollow, lambda spot: _from(spot, home)) for hollow in stand.hollows())
        return Ringed(square.body, square.adds, square.cuts, square.slopes, rings, hollows)
    return stand.carved()


class _Stand:
    """A piece in ticks, from its own coordinates to where it stands."""

    def __init__(self, piece: Hewable, ticks: Ticks, low: Spot, turn: Turn, about: Spot | None) -> None:
        self.piece, self.ticks, self.turn = piece, ticks, turn
        self.in_the_build = piece.pose is not OWN_POSE  # on the bench a tenon is as long as it is sawn
        self.levels: tuple[int, int] | None = None
        pose = piece.pose
        extent = [piece.size[pose.piece_axis(k)] for k in range(3)]
        self.low = [ticks.count(value) for value in low]
        self.far = [a + ticks.count(b) for a, b in zip(self.low, extent, strict=True)]
        self.about = None if about is None else [float(v.mm * ticks.per_mm) for v in about]

    def _box(self, lo: Spot, hi: Spot) -> Box:
        ends = [[0, 0, 0], [0, 0, 0]]
        for end, spot in zip(ends, (lo, hi), strict=True):
            for value, toward in zip(spot, self.piece.pose.axes, strict=True):
                k, count = toward.index, self.ticks.count(value)
                end[k] = self.low[k] + count if toward.forward else self.far[k] - count
        return Box.between(*ends)

    def spot(self, own: Sequence[float]) -> Vector:
        """A point of the piece, in millimetres of its own coordinates, where it stands plumb."""
        found = [0.0, 0.0, 0.0]
        for value, toward in zip(own, self.piece.pose.axes, strict=True):
            k, along = toward.index, value * self.ticks.per_mm
            found[k] = self.low[k] + along if toward.forward else self.far[k] - along
        return (found[0], found[1], found[2])

    def way(self, own: Sequence[float]) -> Vector:
        """A direction of the piece where it stands plumb."""
        found = [0.0, 0.0, 0.0]
        for value, toward in zip(own, self.piece.pose.axes, strict=True):
            found[toward.index] = value if toward.forward else -value
        return (found[0], found[1], found[2])

    def turned(self, spot: Vector) -> Vector:
        """A point of the plumb piece where it leans."""
        if self.about is None:
            return spot
        a, b, c = self.about
        x, y, z = self.turn.of((spot[0] - a, spot[1] - b, spot[2] - c))
        return (a + x, b + y, c + z)

    def square(self, keeps: Callable[[Cuboid], bool]) -> Solid:
        """The plumb piece with those of its square features."""
        kept = [f for f in self.piece.cuboids if not f.askew and keeps(f)]
        pose = self.piece.pose
        slopes = [
            slope_of(f, f.flare, self._box, pose.build_axis, pose.look_of, self.ticks)
            for f in kept
            if f.flare is not None
        ]
        return Solid(
            self._box((ZERO, ZERO, ZERO), self.piece.size),
            tuple(self._box(f.lo, f.hi) for f in kept if f.adds),
            tuple(self._box(f.lo, f.hi) for f in kept if not f.adds),
            tuple(slopes),
        )

    def _ends(self) -> list[Plane]:
        """The planes of ends off square, looking out of the wood."""
        pose = self.piece.pose
        return [
            slope_of(f, f.flare, self._box, pose.build_axis, pose.look_of, self.ticks).planes()[0].turned()
            for f in self.piece.cuboids
            if f.kind is FeatureKind.END_CUT and f.flare is not None
        ]

    def carved(self) -> Carved:
        """The piece as bodies where it stands."""
        square = self.square(lambda cuboid: cuboid.kind is not FeatureKind.END_CUT)
        ends = self._ends()
        bodies = [*(body_of(cell) for cell in square.plain_cells), *sloping_bodies(square)]
        if self.piece.turned is not None:
            bodies = list(self._turned_down(bodies, self.piece.turned))
        borders = [*ends, *self._without_shoulders()]
        core = [left for body in bodies if (left := within(body, borders)) is not None]
        pins = list(self._pins(ends))
        stands = [moved(body, self.turned) for body in core]
        body = box_around(stands)
        if self.levels is not None:  # level ends lie where they are meant to, whatever was rounded on the way
            low, high = self.levels
            body = Box((body.lo[0], body.lo[1], low), (body.hi[0], body.hi[1], high))
        home = body.lo

        def at_home(spot: Vector) -> Vector:
            return _from(self.turned(spot), home)

        rings = [edge for rim in self.rings() for edge in _moved_edges(rim, home)]
        made = []
        start = self.turned((0.0, 0.0, 0.0))
        for pin in pins:
            a, b, c = (p - q for p, q in zip(self.turned(pin.way), start, strict=True))
            made.append(Pin(pin.joint, moved(pin.body, at_home), unit((a, b, c)), pin.round))
        core = [moved(one, at_home) for one in core]
        axis: Vector | None = None
        if self.piece.turned is not None:
            a, b, c = (p - q for p, q in zip(self.turned(self.way((1.0, 0.0, 0.0))), start, strict=True))
            axis = (a, b, c)
        hollows = tuple(moved_hollow(hollow, at_home) for hollow in self.hollows())
        return Carved(
            body,
            core=tuple(core),
            pins=tuple(made),
            hollows=hollows,
            rings=tuple(rings),
            axis=axis,
            standing=square.adds if self.about is None else (),
            letting=square.cuts if self.about is None else (),
        )

    def _turned_down(self, bodies: Sequence[Body], turned: Round) -> Iterator[Body]:
        """What a round leaves of the square piece: all beyond its ends and its pommels, and its cones between them,
        where there is wood."""
        way = self.way((1.0, 0.0, 0.0))
        back = (-way[0], -way[1], -way[2])
        begins = (None, *(high for _, high in turned.stretches))
        ends = (*(low for low, _ in turned.stretches), None)
        for low, high in zip(begins, ends, strict=True):
            both = ((low, back), (high, way))
            planes = [Plane.of(out, dot(out, self._middle(at))) for at, out in both if at is not None]
            for body in bodies:
                if all(min(plane.over(spot) for face in body.faces for spot in face) < 0 for plane in planes):
                    left = within(body, planes)
                    yield from (left,) if left is not None else ()
        for cone in turned.cones():
            rims = [self._rim(*spot) for spot in (cone.start, cone.end)]
            whole = between(self._middle(cone.start[0]), way, *rims)
            if all(cuboid.slant is not None for cuboid in self.piece.cuboids):
                yield whole  # nothing square is cut or added
                continue
            for body in bodies:
                left = within(whole, body.planes)
                yield from (left,) if left is not None else ()

    def _without_shoulders(self) -> list[Plane]:
        """Where tenons begin in a turned piece that is no thicker there: planes looking out of the rest of it."""
        found: list[Plane] = []
        turned = self.piece.turned
        sawn = any(cuboid.kind is FeatureKind.END_CUT for cuboid in self.piece.cuboids)
        for cuboid in self.piece.cuboids if turned is not None and not sawn and self.in_the_build else ():
            if cuboid.adds and cuboid.slant is not None and Trait.ROUND in cuboid.kind.traits:
                high = cuboid.slant.way[0] > 0
                root = cuboid.lo[0] if high else cuboid.hi[0]
                assert turned is not None
                if ZERO < root < self.piece.length and turned.spots[-1 if high else 0][1] <= cuboid.slant.thick:
                    way = self.way((1.0 if high else -1.0, 0.0, 0.0))
                    found.append(Plane.of(way, dot(way, self.spot((root.float_mm(), 0.0, 0.0)))))
        return found

    def _middle(self, along: Length) -> Vector:
        _, wide, thick = (v.float_mm() for v in self.piece.size)
        return self.spot((along.float_mm(), wide / 2, thick / 2))

    def _rim(self, along: Length, diameter: Length) -> tuple[Vector, ...]:
        """Points round a turned piece, four of them where it comes nearest to the faces of its stock."""
        middle, radius = self._middle(along), diameter.float_mm() / 2 * self.ticks.per_mm
        one, two = self.way((0.0, 1.0, 0.0)), self.way((0.0, 0.0, 1.0))
        return tuple(_about(middle, one, two, radius, STRIPS))

    def _pins(self, ends: Sequence[Plane]) -> Iterator[Pin]:
        """Tenons that stand out of an end off square."""
        for cuboid in self.piece.cuboids:
            if not cuboid.adds or cuboid.slant is None or not cuboid.askew:
                continue
            way = self.way(cuboid.slant.way)
            body: Body | None = None
            if cuboid.slant.wide is None:
                lo, hi = ([v.float_mm() for v in spot] for spot in (cuboid.lo, cuboid.hi))
                root, tip = (lo[0], hi[0]) if cuboid.slant.way[0] > 0 else (hi[0], lo[0])
                if self.piece.turned is not None and not self.in_the_build:
                    root = cuboid.slant.centre[0].float_mm()  # drawn from where it is measured
                middle = self.spot((root, (lo[1] + hi[1]) / 2, (lo[2] + hi[2]) / 2))
                long = abs(tip - root) * self.ticks.per_mm
                body = prism(middle, way, long, self._circle(cuboid.slant, middle, way))
            else:
                body = body_of(self._box(cuboid.lo, cuboid.hi))
            shoulder = max(ends, key=lambda plane: dot(plane.out, way), default=None)
            if body is not None and shoulder is not None and dot(shoulder.out, way) > 0:
                body = clipped(body, shoulder.turned())
            if body is not None and cuboid.slant.flush is not None and self.in_the_build:
                at, out = (self.spot(cuboid.slant.flush[0]), self.way(cuboid.slant.flush[1]))
                body = clipped(body, Plane.of(out, dot(out, at)))
            if body is not None:
                yield Pin(cuboid.joint, body, way, cuboid.slant.wide is None)

    def _circle(self, slant: Slant, middle: Vector, way: Vector) -> list[Vector]:
        """Points round the section of a round tenon."""
        radius = slant.thick.float_mm() / 2 * self.ticks.per_mm
        one = self.way(slant.across)
        return list(_about(middle, one, cross(way, one), radius, ROUND))

    def hollows(self) -> Iterator[Hollow]:
        """Mortises at an angle as the prisms that they take, where the piece stands plumb: out of the wood at the mouth
        as far as the face slopes, and at the other end of one that goes through."""
        for cuboid in self.piece.cuboids:
            slant = cuboid.slant
            if slant is None or cuboid.adds or not cuboid.askew:
                continue
            axis = side_of(slant.face)[0]
            straight = abs(slant.way[axis])
            half = math.hypot(slant.thick.float_mm(), slant.wide.float_mm() if slant.wide is not None else 0.0) / 2
            past = half * (math.sqrt(max(0.0, 1 - straight * straight)) / straight) + 1
            before = past if self.piece.turned is None or not axis else past + half  # the side of a cone slopes too
            through = self.piece.size[axis].float_mm() / straight + past
            deep = through if slant.deep is None else slant.deep.float_mm()
            way = self.way(slant.way)
            centre = self.spot([value.float_mm() for value in slant.centre])
            scale = self.ticks.per_mm
            mouth = _along(centre, way, -before * scale)
            rim = self._circle(slant, mouth, way) if slant.wide is None else self._corners(slant, mouth, way)
            yield Hollow(cuboid.joint, prism(mouth, way, (before + deep) * scale, rim), way, slant.wide is None)

    def _corners(self, slant: Slant, middle: Vector, way: Vector) -> list[Vector]:
        """The corners of the section of a mortise."""
        assert slant.wide is not None
        one = self.way(slant.across)
        two, scale = cross(way, one), self.ticks.per_mm
        thick, wide = slant.thick.float_mm() / 2 * scale, slant.wide.float_mm() / 2 * scale
        return [_along(_along(middle, one, a * thick), two, b * wide) for a, b in ((1, 1), (-1, 1), (-1, -1), (1, -1))]

    def _rims_on_round(self, slant: Slant, turned: Round) -> list[tuple[SlopedEdge, ...]]:
        """The rims of a mortise in the side of a round, where it goes in and where it comes out of it; none where the
        piece is square."""
        wide, thick = (v.float_mm() / 2 for v in self.piece.size[1:])
        mouths: list[list[Vector]] = [[], []]
        for spot in slant.mouth():
            met = turned.crossed((0.0, wide, thick), (1.0, 0.0, 0.0), spot, slant.way)
            if met is None:
                return []
            for mouth, t in zip(mouths, met, strict=True):
                a, b, c = (s + t * w for s, w in zip(spot, slant.way, strict=True))
                mouth.append((a, b, c))
        made = []
        for mouth in mouths if slant.deep is None else mouths[:1]:
            rim = [self.turned(self.spot(spot)) for spot in mouth]
            outs = [_stands(self, unit((0.0, b - wide, c - thick))) for _, b, c in mouth]
            made.append(ring(rim, outs))
        return made

    def rings(self) -> Iterator[tuple[SlopedEdge, ...]]:
        """The rims of mortises that go in at an angle, where they stand."""
        start = self.turned((0.0, 0.0, 0.0))
        for cuboid in self.piece.cuboids:
            slant = cuboid.slant
            if slant is None or cuboid.adds or not cuboid.askew:
                continue
            axis, high = side_of(slant.face)
            faces: list[tuple[Face, Length | None]] = [(slant.face, None)]
            if slant.deep is None:
                faces.append((face_of(axis, not high), ZERO if high else self.piece.size[axis]))
            if self.piece.turned is not None and axis:
                found = self._rims_on_round(slant, self.piece.turned)
                if found:
                    yield from found
                    continue
            for face, level in faces:
                rim = [self.turned(self.spot(spot)) for spot in slant.mouth(level)]
                out = [0.0, 0.0, 0.0]
                out[side_of(face)[0]] = 1.0 if side_of(face)[1] else -1.0
                a, b, c = self.turned(self.way(slant.out or out))
                yield ring(rim, [(a - start[0], b - start[1], c - start[2])] * len(rim))


def moved_hollow(hollow: Hollow, place: Callable[[Vector], Vector]) -> Hollow:
    """A mortise as it lies after a move."""
    start, end = place((0.0, 0.0, 0.0)), place(hollow.way)
    way = (end[0] - start[0], end[1] - start[1], end[2] - start[2])
    return Hollow(hollow.joint, moved(hollow.body, place), unit(way), hollow.round)


def _from(spot: Vector, home: Sequence[float]) -> Vector:
    return (spot[0] - home[0], spot[1] - home[1], spot[2] - home[2])


def _along(spot: Vector, way: Vector, by: float) -> Vector:
    return (spot[0] + by * way[0], spot[1] + by * way[1], spot[2] + by * way[2])


def _stands(stand: _Stand, way: Vector) -> Vector:
    """A direction of the piece where it stands."""
    start, end = stand.turned((0.0, 0.0, 0.0)), stand.turned(stand.way(way))
    return (end[0] - start[0], end[1] - start[1], end[2] - start[2])


def _about(middle: Vector, one: Vector, two: Vector, radius: float, count: int) -> Iterator[Vector]:
    """So many points of a circle in the plane of two directions square to each other; the first is on the first."""
    for turn in (math.tau * k / count for k in range(count)):
        c, s = radius * math.cos(turn), radius * math.sin(turn)
        x, y, z = (m + c * a + s * b for m, a, b in zip(middle, one, two, strict=True))
        yield (x, y, z)


def _moved_edges(edges: Sequence[SlopedEdge], home: Sequence[int]) -> Iterator[SlopedEdge]:
    a, b, c = home
    for edge in edges:
        (x, y, z), (u, v, w) = edge.start, edge.end
        yield edge._replace(start=(x - a, y - b, z - c), end=(u - a, v - b, w - c))
