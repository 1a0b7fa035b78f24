"""Holes at an angle: what they run into inside their piece, what wood is left where they enter and come out, and the
pieces that a hole leads on into which do not stand square to it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from shopdocs.core.length import ZERO, Length
from shopdocs.core.turn import Vector, cross, dot
from shopdocs.model.build import Build
from shopdocs.model.joining import Face
from shopdocs.work.holes.fastening import FASTENING, leads_on
from shopdocs.work.scene.in_space import Space
from shopdocs.work.space.askew_piece import AskewPiece, way_in_build
from shopdocs.work.space.drilled import Drilled
from shopdocs.work.space.placed import Bore, Cuboid, Feature, FeatureKind, PlacedPiece, face_of, side_of
from shopdocs.work.space.slanting import passed, sides_of

AGAINST = 0.6  # millimetres: no farther apart two pieces count as touching where a hole goes from one into the other
SEEN = 0.05  # degrees off square: less is not set, and not told
STEPS = 64  # places along a hole at which it is held against a cut

Segment = tuple[Vector, Vector]


def runs_into(piece: PlacedPiece) -> Iterator[tuple[Bore, Feature]]:
    """Every slanting hole of a piece with each other hole or cut of it that it runs into, each pair once."""
    bores = list(piece.bores)
    for number, bore in enumerate(bores):
        if bore.slanting is None:
            continue
        line, radius = segment(piece, bore), bore.diameter.float_mm() / 2
        for count, other in enumerate(bores):
            if other is bore or (other.slanting is not None and count < number):
                continue
            beside = apart(line, segment(piece, other)) - radius - other.diameter.float_mm() / 2
            if beside < 0 and other.centre != bore.centre:  # a recess about the same centre is meant
                yield bore, other
        for cuboid in piece.cuboids:
            cut = not cuboid.adds and cuboid.kind is not FeatureKind.END_CUT and cuboid.joint != bore.joint
            if cut and _to_cut(piece, line, cuboid) < radius:
                yield bore, cuboid


def segment(piece: PlacedPiece, bore: Bore) -> Segment:
    """The middle line of a hole in the wood, from where it enters, in piece coordinates."""
    axis, high = side_of(bore.face)
    start = [value.float_mm() for value in bore.centre]
    way: Sequence[float]
    if bore.slanting is None:
        square = [0.0, 0.0, 0.0]
        square[axis] = -1.0 if high else 1.0
        way = square
        long = (piece.size[axis] if bore.depth is None else bore.depth).float_mm()
    else:
        way = bore.slanting.way
        long = wood_along(bore) if bore.depth is None else bore.depth.float_mm()
    end = [a + long * b for a, b in zip(start, way, strict=True)]
    return (start[0], start[1], start[2]), (end[0], end[1], end[2])


def wood_along(bore: Bore) -> float:
    """How much wood lies on the middle line of a slanting hole, in millimetres."""
    assert bore.slanting is not None
    return math.dist(*([v.float_mm() for v in spot] for spot in (bore.centre, bore.slanting.exit)))


def apart(one: Segment, two: Segment) -> float:
    """The least distance between two segments, in millimetres."""
    (a, b), (c, d) = one, two
    u, v, w = _less(b, a), _less(d, c), _less(a, c)
    ends = [*(_to_segment(spot, two) for spot in one), *(_to_segment(spot, one) for spot in two)]
    out = cross(u, v)
    if dot(out, out) < 1e-12:
        return min(ends)
    uu, uv, vv, uw, vw = dot(u, u), dot(u, v), dot(v, v), dot(u, w), dot(v, w)
    s, t = (uv * vw - vv * uw) / (uu * vv - uv * uv), (uu * vw - uv * uw) / (uu * vv - uv * uv)
    if 0 <= s <= 1 and 0 <= t <= 1:
        return abs(dot(w, out)) / math.sqrt(dot(out, out))
    return min(ends)


def _to_segment(spot: Vector, line: Segment) -> float:
    start, end = line
    way, away = _less(end, start), _less(spot, start)
    share = min(1.0, max(0.0, dot(way, away) / dot(way, way))) if dot(way, way) else 0.0
    return math.dist(away, [share * v for v in way])


def _less(one: Sequence[float], two: Sequence[float]) -> Vector:
    return one[0] - two[0], one[1] - two[1], one[2] - two[2]


def _to_cut(piece: PlacedPiece, line: Segment, cuboid: Cuboid) -> float:
    """How near the middle line of a hole comes to a cut; to one that goes in at an angle less half its thickness."""
    if cuboid.slant is not None and cuboid.askew:
        slant = cuboid.slant
        long = (slant.deep or piece.size[side_of(slant.face)[0]]).float_mm()
        mouth = [v.float_mm() for v in slant.centre]
        floor = [a + long * b for a, b in zip(mouth, slant.way, strict=True)]
        middle = (mouth[0], mouth[1], mouth[2]), (floor[0], floor[1], floor[2])
        half = max(slant.thick, slant.wide or slant.thick).float_mm() / 2
        return apart(line, middle) - half
    lo, hi = ([v.float_mm() for v in spot] for spot in (cuboid.lo, cuboid.hi))
    start, end = line
    found = math.inf
    for step in range(STEPS + 1):
        spot = [a + (b - a) * step / STEPS for a, b in zip(start, end, strict=True)]
        found = min(found, math.hypot(*(max(a - v, v - b, 0.0) for a, v, b in zip(lo, spot, hi, strict=True))))
    return found


def spare(piece: PlacedPiece, bore: Bore) -> tuple[Face, float]:
    """The least wood beside a slanting hole where it enters and comes out, in millimetres, below zero where it runs out
    at the edge; and the face that this is on. Where it comes out of a face that is not opposite, there is none."""
    slant, slanting = bore.slant, bore.slanting
    assert slant is not None and slanting is not None
    found = bore.face, _beside(piece, bore.face, slant.mouth())
    if bore.depth is None:
        axis, high = side_of(bore.face)
        if slanting.leaves is not face_of(axis, not high):
            return slanting.leaves, -math.inf
        out = _beside(piece, slanting.leaves, slant.mouth(ZERO if high else piece.size[axis]))
        return min(found, (slanting.leaves, out), key=lambda each: each[1])
    return found


def _beside(piece: PlacedPiece, face: Face, rim: Iterable[Vector]) -> float:
    axes = [k for k in range(3) if k != side_of(face)[0]]
    return min(min(spot[k], piece.size[k].float_mm() - spot[k]) for spot in rim for k in axes)


def leads_into(build: Build, space: Space, holes: Iterable[Drilled]) -> Iterator[tuple[Drilled, str, float]]:
    """Every hole right through its piece that comes out against another piece which is not followed there, for one of
    them leans or is tipped; with the mark of that piece, and how far off square it enters, in degrees."""
    for hole in holes:
        piece = space.pieces.get(hole.piece)
        if piece is None or hole.bore.depth is not None or hole.bore.slanting is not None:
            continue
        if hole.bore.use not in FASTENING:
            continue
        square = leads_on(piece, hole.face)
        axis, high = side_of(hole.face)
        spot = [ZERO, ZERO, ZERO]
        first, second = (k for k in range(3) if k != axis)
        spot[first], spot[second], spot[axis] = hole.along, hole.across, piece.size[axis] if high else ZERO
        start, out = piece.spot_in_build(spot), way_in_build(piece, axis)
        way = tuple(-v for v in out) if high else out
        for other in space.scene.pieces:
            if other.mark == piece.mark or not (isinstance(piece, AskewPiece) or isinstance(other, AskewPiece)):
                continue
            gone = passed(other, sides_of(other, build.cuts), start, (way[0], way[1], way[2]))
            if gone is None or abs(gone.far - piece.size[axis].float_mm()) > AGAINST:
                continue
            off = math.degrees(math.acos(min(1.0, -dot(gone.way, gone.out))))
            if not square or off > SEEN:  # a hole along the build, into a face square to that, is followed there
                yield hole, other.mark, off


def depth_left(bore: Bore) -> Length | None:
    """How much wood a slanting hole with a depth leaves before it would come through; None of one right through."""
    if bore.depth is None or bore.slanting is None:
        return None
    return Length.parts(round(wood_along(bore) * 1000), 1000) - bore.depth
