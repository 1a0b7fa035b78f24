"""Hidden lines of dovetails against rays cast through sample points.

The rays know no faces, edges or cells: a corner is a body, with tails added and sockets taken away, each an
intersection of half-spaces written down here from the joint's own sizes. A line of the picture is seen exactly where
the first surface met just beside it, on one side, is another plane or another piece than on the other side.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from fractions import Fraction

import manifold3d
import numpy as np
import pytest

from shopdocs.core.length import ZERO, Length
from shopdocs.model.joining import Face
from shopdocs.model.parts import Axis, Direction
from shopdocs.work.shapes.hidden import Outline, outline
from shopdocs.work.shapes.projection import FRONT, ISOMETRIC, ISOMETRIC_BELOW, ISOMETRIC_LEFT, RIGHT, TOP, View
from shopdocs.work.space.placed import PIECE_AXES, Cuboid, FeatureKind, Flare, PlacedPiece, Pose, Scene, Spot, Toward
from tests.values import replace

Vector = tuple[float, float, float]
Plane = tuple[Vector, float]  # inside where out . x <= at
Body = list[Plane]
Met = list[tuple[Vector, float, float, tuple[float, ...]]]
X, Y, Z = (Toward(d) for d in (Direction.X, Direction.Y, Direction.Z))
BESIDE = 0.02  # mm to either side of a line
CLEAR = 0.4  # mm to the next line


def corner(rnd: random.Random) -> list[PlacedPiece]:
    """Two boards of random sizes dovetailed in a corner, tails lapped or through, often with a groove through both; the
    first one, which has the tails, stands somewhat apart most times."""
    thick, lap = rnd.randrange(10, 24), rnd.choice((0, 0, 4))
    wide, count = rnd.randrange(60, 140), rnd.randint(1, 4)
    deep = thick - lap
    spacing = Fraction(wide, count)
    tail, by = spacing * Fraction(3, 4), Fraction(deep, rnd.choice((6, 8)))
    apart = rnd.choice((0, 5, 17, 40))
    spot = (Length(30), Length(-apart), ZERO)  # tails come out sideways
    mine = PlacedPiece("T", "side", spot, Length(120), Length(wide), Length(rnd.randrange(8, 20)), Pose(X, Z, Y))
    other = PlacedPiece(
        "S",
        "front",
        (Length(150), ZERO, ZERO),
        mine.thickness + Length(rnd.choice((0, 60))),
        Length(wide),
        Length(thick),
        Pose(Y, Z, X),
    )
    tails, sockets = [], []
    for k in range(count):
        low = spacing * k + (spacing - tail) / 2
        high = low + tail
        tails.append(
            Cuboid(
                FeatureKind.TAIL,
                (Length(120), Length(low), ZERO),
                (Length(120 + deep), Length(high), mine.thickness),
                adds=True,
                flare=Flare(Axis.WIDTH, Face.A, Length(by)),
            )
        )
        sockets.append(
            Cuboid(
                FeatureKind.SOCKET,
                (ZERO, Length(low), ZERO),
                (mine.thickness, Length(high), Length(deep)),
                flare=Flare(Axis.WIDTH, Face.FACE, Length(by)),
            )
        )
    if rnd.random() < 0.6:
        at = rnd.randrange(5, wide - 15)
        cut = (Length(at), Length(at + 6))
        half = mine.thickness / 2
        tails.append(Cuboid(FeatureKind.GROOVE, (ZERO, cut[0], ZERO), (Length(120 + deep), cut[1], half)))
        sockets.append(Cuboid(FeatureKind.GROOVE, (ZERO, cut[0], ZERO), (other.length, cut[1], Length(5))))
    return [replace(mine, features=tuple(tails)), replace(other, features=tuple(sockets))]


def in_mm(piece: PlacedPiece, where: Spot) -> Vector:
    a, b, c = (float(v.mm) for v in piece.spot_in_build(where))
    return (a, b, c)


def half_spaces(piece: PlacedPiece, lo: Spot, hi: Spot, flare: Flare | None = None) -> Body:
    """The cuboid between two corners of the piece, narrowed by its flare, in the build."""
    one, two = in_mm(piece, lo), in_mm(piece, hi)
    planes: Body = []
    for k in range(3):
        out = [0.0, 0.0, 0.0]
        out[k] = 1.0
        low, high = min(one[k], two[k]), max(one[k], two[k])
        planes += [((out[0], out[1], out[2]), high), ((-out[0], -out[1], -out[2]), -low)]
    if flare is None:
        return planes
    across = PIECE_AXES.index(flare.axis)
    along, high_end = {Face.A: (0, False), Face.FACE: (2, False)}[flare.at]
    assert not high_end
    # three corners of each sloping side: two where the cuboid is narrow, one where it is wide
    for wide, sign in ((lo[across], 1), (hi[across], -1)):
        corners = []
        for end, third, shift in ((lo, lo, flare.by), (lo, hi, flare.by), (hi, lo, ZERO)):
            where = [ZERO, ZERO, ZERO]
            where[along] = end[along]
            where[3 - along - across] = third[3 - along - across]
            where[across] = wide + shift if sign > 0 else wide - shift
            corners.append(in_mm(piece, (where[0], where[1], where[2])))
        a, b, c = corners
        u, v = [q - p for p, q in zip(a, b, strict=True)], [q - p for p, q in zip(a, c, strict=True)]
        out = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]]
        inside = in_mm(piece, tuple((p + q) / 2 for p, q in zip(lo, hi, strict=True)))  # type: ignore[arg-type]
        at = sum(p * q for p, q in zip(out, a, strict=True))
        if sum(p * q for p, q in zip(out, inside, strict=True)) > at:
            out, at = [-p for p in out], -at
        long = math.hypot(*out)
        planes.append(((out[0] / long, out[1] / long, out[2] / long), at / long))
    return planes


class Rays:
    def __init__(self, pieces: list[PlacedPiece], view: View) -> None:
        self.view = view
        self.wood: list[tuple[list[Met], list[Met]]] = []
        for piece in pieces:
            body = self._met(half_spaces(piece, (ZERO, ZERO, ZERO), piece.size))
            adds = [self._met(half_spaces(piece, f.lo, f.hi, f.flare)) for f in piece.cuboids if f.adds]
            cuts = [self._met(half_spaces(piece, f.lo, f.hi, f.flare)) for f in piece.cuboids if not f.adds]
            self.wood.append(([body, *adds], cuts))

    def _met(self, body: Body) -> Met:
        """Its planes with how fast a line of sight leaves each, and a name for each."""
        met: Met = []
        for out, level in body:
            rate = sum(a * b for a, b in zip(out, self.view.toward, strict=True))
            met.append((out, level, rate, (*(round(v, 4) for v in out), round(level, 4))))
        return met

    def _through(self, body: Met, at: Vector):
        """Where a line of sight enters and leaves a convex body (far end first), with the planes met there."""
        far, near = (-math.inf, ()), (math.inf, ())
        x, y, z = at
        for (a, b, c), level, rate, name in body:
            spare = level - (a * x + b * y + c * z)
            if abs(rate) < 1e-12:
                if spare < 0:
                    return None
            elif rate > 0:
                near = min(near, (spare / rate, name))
            else:
                far = max(far, (spare / rate, name))
        return (far, near) if far[0] < near[0] - 1e-9 else None

    def first_surface(self, at: Vector):
        """Piece and plane nearest to the eye."""
        best = None
        for number, (adds, cuts) in enumerate(self.wood):
            filled = [span for body in adds if (span := self._through(body, at))]
            taken = [span for body in cuts if (span := self._through(body, at))]
            for t, plane in sorted([near for _, near in filled] + [far for far, _ in taken], reverse=True):
                inside = t - 1e-6
                if any(far[0] < inside < near[0] for far, near in filled) and not any(
                    far[0] < inside < near[0] for far, near in taken
                ):
                    if best is None or t > best[0] + 1e-7:
                        sign = -1 if plane[:3] < (0, 0, 0) else 1  # a plane of a cut is the same seen from inside
                        best = (t, (number, tuple(round(sign * v, 3) for v in plane)))
                    break
        return None if best is None else best[1]

    def seen(self, at: Vector, way: Vector) -> bool | None:
        """Whether the line through `at` is seen; None where another line is too near to tell."""
        d = self.view.toward
        off = (way[1] * d[2] - way[2] * d[1], way[2] * d[0] - way[0] * d[2], way[0] * d[1] - way[1] * d[0])
        long = math.hypot(*off)
        answers = set()
        for along in (-CLEAR, 0.0, CLEAR):
            spots = [
                tuple(p + along * w + s * o / long for p, w, o in zip(at, way, off, strict=True))
                for s in (-2 * BESIDE, -BESIDE, BESIDE, 2 * BESIDE)
            ]
            a, b, c, e = (self.first_surface(spot) for spot in spots)  # type: ignore[arg-type]
            if a != b or c != e:
                return None
            answers.add(b != c)
        return answers.pop() if len(answers) == 1 else None


def corners_of(piece: PlacedPiece, cuboid: Cuboid) -> Iterator[tuple[Vector, Vector]]:
    """The twelve edges of a cuboid of a piece, narrowed by its flare, in the build."""

    def at(bits: tuple[int, int, int]) -> Vector:
        where = [(cuboid.lo, cuboid.hi)[bit][k] for k, bit in enumerate(bits)]
        if cuboid.flare is not None:
            across, along = PIECE_AXES.index(cuboid.flare.axis), {Face.A: 0, Face.FACE: 2}[cuboid.flare.at]
            if bits[along] == 0:
                where[across] = where[across] - cuboid.flare.by if bits[across] else where[across] + cuboid.flare.by
        return in_mm(piece, (where[0], where[1], where[2]))

    every = [(a, b, c) for a in (0, 1) for b in (0, 1) for c in (0, 1)]
    for one in every:
        for two in every:
            if one < two and sum(p != q for p, q in zip(one, two, strict=True)) == 1:
                yield at(one), at(two)


def on_line(view: View, segments: list[tuple[Vector, Vector]], at: Vector) -> bool:
    """Whether the picture of a point lies on one of the segments."""

    def flat(spot: Vector) -> tuple[float, float]:
        return tuple(sum(a * b for a, b in zip(way, spot, strict=True)) for way in (view.right, view.up))  # type: ignore[return-value]

    p = flat(at)
    for start, end in segments:
        a, b = flat(start), flat(end)
        long = math.dist(a, b)
        t = ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1])) / long**2
        foot = (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
        if -1e-9 <= t <= 1 + 1e-9 and math.dist(p, foot) < 0.006:
            return True
    return False


@pytest.mark.parametrize("view", [ISOMETRIC, ISOMETRIC_LEFT, ISOMETRIC_BELOW, FRONT, TOP, RIGHT], ids=lambda v: v.name)
def test_seen_lines_of_dovetails_are_those_the_rays_see(view):
    rnd = random.Random(view.name)
    seen = unseen = sloped = 0
    for _ in range(4):
        pieces = corner(rnd)
        scene = Scene.of(pieces)
        picture: Outline = outline(scene.solids, view, scene.ticks)
        rays = Rays(pieces, view)
        drawn, behind = (
            [(_mm(s.start, scene), _mm(s.end, scene)) for s in some] for some in (picture.visible, picture.hidden)
        )
        edges = [edge for piece in pieces for cuboid in piece.cuboids for edge in corners_of(piece, cuboid)]
        for start, end in rnd.choices([*edges, *drawn, *behind], k=80):
            part = rnd.uniform(0.02, 0.98)
            at = tuple(a + (b - a) * part for a, b in zip(start, end, strict=True))
            long = math.dist(start, end)
            way = tuple((b - a) / long for a, b in zip(start, end, strict=True))
            if abs(abs(sum(a * b for a, b in zip(way, view.toward, strict=True))) - math.hypot(*view.toward)) < 1e-9:
                continue
            shown = rays.seen(at, way)  # type: ignore[arg-type]
            if shown is None:
                continue
            assert on_line(view, drawn, at) == shown, (view.name, at, way)  # type: ignore[arg-type]
            seen, unseen = seen + shown, unseen + (not shown)
            sloped += sum(abs(w) > 1e-6 for w in way) > 1
    assert seen > 60 and unseen > 40 and sloped > 20


def _mm(spot: tuple[int, int, int], scene: Scene) -> Vector:
    a, b, c = (v / scene.ticks.per_mm for v in spot)
    return (a, b, c)


def test_tails_and_sockets_have_the_volume_of_their_trapezoids():
    """A cuboid narrowed by `by` on each side of one face holds `by` times its depth times its height less; bodies are
    measured as convex hulls by manifold3d, and together they fill what the piece is."""
    rnd = random.Random(11)
    for _ in range(8):
        pieces = corner(rnd)
        scene = Scene.of(pieces)
        for piece, solid in zip(pieces, scene.solids, strict=True):
            body = math.prod(float(v.mm) for v in piece.size)
            grooves = [f for f in piece.cuboids if f.kind is FeatureKind.GROOVE]
            if grooves:
                continue
            features = sum((1 if f.adds else -1) * _trapezoid(f) for f in piece.cuboids)
            plain = sum(cell.volume for cell in solid.sloped.plain)
            sloping = sum(
                manifold3d.Manifold.hull_points(np.array([spot for face in part.faces for spot in face])).volume()
                for part in solid.sloped.bodies
            )
            # slopes are rounded to whole ticks
            assert (plain + sloping) / scene.ticks.per_mm**3 == pytest.approx(body + features, rel=1e-5)


def _trapezoid(cuboid: Cuboid) -> float:
    assert cuboid.flare is not None
    long, wide, thick = (float(v.mm) for v in cuboid.size)
    deep = long if cuboid.flare.at is Face.A else thick
    return long * wide * thick - float(cuboid.flare.by.mm) * deep * (thick if cuboid.flare.at is Face.A else long)
