"""Two pieces that cross in one plane at an angle: an X of two legs, a rail over a splayed leg.

Each gives up part of its thickness over the four-sided place that both lie over.
The lap goes in square to the face, and lies askew on it; its two long sides are the sides of the other piece.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.length import ZERO, Length
from shopdocs.core.outline import Side as Line
from shopdocs.core.turn import Vector, dot, near
from shopdocs.model.joining import the_face
from shopdocs.work.joints.frame import Doubt, Joinery, JointSizes, thin
from shopdocs.work.joints.lying import FLAT, LEAST, MISS, clipped_by, face_on, planes_of
from shopdocs.work.shapes.carved import spread
from shopdocs.work.shapes.slopes import Plane, Polygon
from shopdocs.work.space.askew_piece import way_in_build, way_in_piece
from shopdocs.work.space.let_in import nearer_side, struck_sides
from shopdocs.work.space.placed import PIECE_AXES, Cuboid, FeatureKind, Flare, PlacedPiece, Slant, face_of, side_of
from shopdocs.work.space.slanting import Side, Sides

LEAST_ANGLE = 15.0  # degrees between two pieces: nearer to parallel, a lap is as good as along the grain
ALONG = 1e-6  # of a direction: less is none, so that a side runs along its piece
SAME = 0.002  # millimetres: places are true to half of that
_Flat = tuple[Length, Length]


class Layer(Struct, frozen=True, dict=True):
    """A piece seen along the direction `way` that both pieces are flat to: its axis that runs so, from where to where
    it reaches, in millimetres, and its sides."""

    piece: PlacedPiece
    axis: int
    way: Vector
    low: float
    high: float
    planes: Sequence[Plane]
    around: Sequence[Plane]

    @staticmethod
    def of(piece: PlacedPiece, axis: int, way: Vector, sides: Sequence[Side]) -> Layer:
        """A piece by its axis that runs along that direction of the build, and its sides as they are sawn."""
        planes = planes_of(piece, sides)
        level = [k for k, side in enumerate(sides) if side_of(side.face)[0] == axis]
        reach = sorted(planes[k].at * dot(planes[k].out, way) for k in level)
        around = [plane for k, plane in enumerate(planes) if k not in level]
        return Layer(piece, axis, way, reach[0], reach[1], planes, around)

    def face(self, high: bool) -> int:
        """The number among its planes of its face at the low or the high end."""
        return next(
            k for k, plane in enumerate(self.planes) if dot(plane.out, self.way) * (1 if high else -1) > 1 - FLAT
        )

    def is_sawn_at(self, side: Line) -> bool:
        """Whether a line on its face, in its own coordinates, lies where an end of it is sawn."""
        spot = [self.piece.size[self.axis] / 2] * 3
        first, second = (k for k in range(3) if k != self.axis)
        spot[first], spot[second] = ((a + b) / 2 for a, b in zip(side.start, side.end, strict=True))
        x, y, z = (value.float_mm() for value in self.piece.spot_in_build(spot))
        along = way_in_build(self.piece, 0)
        ends = (plane for plane in self.around if abs(dot(plane.out, along)) > ALONG)
        return any(abs(plane.over((x, y, z))) <= MISS for plane in ends)

    def looks(self, upper: bool) -> bool:
        """Whether its face at the upper or the lower end is that at the high end of its own axis."""
        return (way_in_piece(self.piece, self.way)[self.axis] > 0) == upper


def lapped(entering: PlacedPiece, receiving: PlacedPiece, sizes: JointSizes, sides: Sides) -> Joinery:
    """The half lap of two pieces of which one leans or is tipped. The entering piece keeps the upper half, or the front
    half (the left one) where they stand."""
    flat = flat_to(entering, receiving)
    if flat is None:
        wrong = f"{entering.mark} and {receiving.mark} have no faces that lie in one plane"
        right = "let both lean in one plane: the same rake with another splay, or the other way about"
        return _none(sizes, Doubt("lean-joint", wrong, right))
    mine, theirs, way = flat
    one, two = (Layer.of(piece, axis, way, sides(piece)) for piece, axis in ((entering, mine), (receiving, theirs)))
    low, high = max(one.low, two.low), min(one.high, two.high)
    shared = clipped_by(face_on(one.planes, one.face(True)), two.around)
    if high - low <= MISS or not shared or spread(shared) < LEAST:
        wrong = f"{entering.mark} does not cross {receiving.mark}"
        right = f"a half lap at an angle is placed over the other piece: let {entering.mark} run on across it"
        return _none(sizes, Doubt("not-touching", wrong, right))
    between = math.degrees(math.acos(min(1.0, abs(dot(way_in_build(entering, 0), way_in_build(receiving, 0))))))
    doubts: list[Doubt] = []
    if between < LEAST_ANGLE:
        wrong = f"{entering.mark} and {receiving.mark} cross at {between:.1f}°"
        doubts.append(Doubt("lean-steep", wrong, f"at least {LEAST_ANGLE:g}°: let them lean farther apart"))
    keeps_high = max(range(3), key=lambda k: abs(way[k])) == 2
    deep = sizes.depth.float_mm() if sizes.depth is not None else (high - low) / 2
    at = high - deep if keeps_high else low + deep
    cuts = []
    for layer, upper in ((one, not keeps_high), (two, keeps_high)):
        cut, told = _lap(layer, shared, at, upper, (low, high), sizes.name)
        cuts.append(cut)
        doubts += told
    area = Fraction(near(spread(shared)).mm)
    return Joinery(
        sizes.kind, None, None, (cuts[0],), (cuts[1],), glue_area=area, long_grain=area, doubts=tuple(doubts)
    )


def _none(sizes: JointSizes, doubt: Doubt) -> Joinery:
    return Joinery(sizes.kind, None, None, doubts=(doubt,))


def flat_to(one: PlacedPiece, two: PlacedPiece) -> tuple[int, int, Vector] | None:
    """The axes of two pieces that run in one direction, thickness before width, and that direction: to the rear, to the
    right or up."""
    for mine, theirs in ((2, 2), (2, 1), (1, 2), (1, 1)):
        way, other = way_in_build(one, mine), way_in_build(two, theirs)
        if abs(dot(way, other)) > 1 - FLAT:
            main = max(range(3), key=lambda k: abs(way[k]))
            a, b, c = way
            return mine, theirs, (way if way[main] > 0 else (-a, -b, -c))
    return None


def _lap(
    layer: Layer, shared: Polygon, at: float, upper: bool, span: tuple[float, float], name: str
) -> tuple[Cuboid, list[Doubt]]:
    """What is cut away of a piece over what both share, from a level to its upper or its lower face."""
    piece, axis = layer.piece, layer.axis
    doubts: list[Doubt] = []
    out = layer.high if upper else layer.low
    if abs(out - span[upper]) > MISS:
        wrong = f"the lap lies inside {piece.mark}"
        doubts.append(Doubt("lap-inside", wrong, "bring the faces of both pieces level"))
    deep = near(abs(out - at))
    left = piece.size[axis] - deep
    doubts += thin("thin-lap", f"the lap in {piece.mark}", left, "share the thickness more evenly")
    high = layer.looks(upper)
    levels = (piece.size[axis] - deep, piece.size[axis]) if high else (ZERO, deep)
    cut = cut_over(layer, shared, levels, high, FeatureKind.LAP, name)
    first, second = (k for k in range(3) if k != axis)
    if all(cut.lo[k] > ZERO and cut.hi[k] < piece.size[k] for k in (first, second)):
        wrong = f"the lap lies inside {the_face(face_of(axis, high))} of {piece.mark} and is open at no edge"
        doubts.append(Doubt("lap-inside", wrong, "let both pieces run on across each other"))
    return cut, doubts


def cut_over(
    layer: Layer, shared: Polygon, levels: tuple[Length, Length], high: bool, kind: FeatureKind, name: str
) -> Cuboid:
    """What is cut away of a piece over a flat polygon of the build, between two levels of its own; it is marked out on
    the face at the low or the `high` end."""
    piece, axis = layer.piece, layer.axis
    first, second = (k for k in range(3) if k != axis)
    rim = _in_piece(piece, shared, first, second)
    lo, hi = [ZERO] * 3, [ZERO] * 3
    for k, place in ((first, 0), (second, 1)):
        lo[k], hi[k] = min(spot[place] for spot in rim), max(spot[place] for spot in rim)
    lo[axis], hi[axis] = levels
    corners = (lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2])
    if all(spot[0] in (lo[first], hi[first]) and spot[1] in (lo[second], hi[second]) for spot in rim):
        return Cuboid(kind, *corners, joint=name)
    waste = tuple(Line(a, b) for a, b in zip(rim, (*rim[1:], rim[0]), strict=True))
    flare = Flare(PIECE_AXES[first], face_of(second, False), (hi[first] - lo[first]) / 2, waste=waste)
    slant = _slant(piece, axis, high, rim, (lo, hi), levels[1] - levels[0])
    shoulders = [side for side in struck_sides(waste) if not layer.is_sawn_at(side)]
    if shoulders:
        slant = replace(slant, struck=nearer_side(shoulders))
    return Cuboid(kind, *corners, joint=name, flare=flare, slant=slant)


def _in_piece(piece: PlacedPiece, shared: Polygon, first: int, second: int) -> list[_Flat]:
    """The corners of what is shared along two axes of a piece, on its edges where they lie there."""
    found: list[_Flat] = []
    for spot in shared:
        own = piece.spot_in_piece([near(value) for value in spot])
        flat = _on_edge(own[first], piece.size[first]), _on_edge(own[second], piece.size[second])
        flat = _level_with(flat[0], [each[0] for each in found]), _level_with(flat[1], [each[1] for each in found])
        if not found or flat != found[-1]:
            found.append(flat)
    found = found[:-1] if len(found) > 1 and found[0] == found[-1] else found
    around = zip([found[-1], *found[:-1]], found, [*found[1:], found[0]], strict=True)
    return [spot for before, spot, after in around if _turns(before, spot, after)]


def _turns(before: _Flat, spot: _Flat, after: _Flat) -> bool:
    """Whether an outline turns at a corner: planes of ends may meet in the middle of a side."""
    (a, b), (c, d), (e, f) = ((x.float_mm(), y.float_mm()) for x, y in (before, spot, after))
    return abs((c - a) * (f - b) - (d - b) * (e - a)) > SAME * math.hypot(e - a, f - b)


def _on_edge(value: Length, size: Length) -> Length:
    return next((edge for edge in (ZERO, size) if abs((value - edge).float_mm()) <= SAME), value)


def _level_with(value: Length, others: Sequence[Length]) -> Length:
    """A place where another one lies already, if both are the same but for rounding: what runs along an edge does."""
    return next((other for other in others if abs((value - other).float_mm()) <= SAME), value)


def _slant(
    piece: PlacedPiece,
    axis: int,
    high: bool,
    rim: Sequence[_Flat],
    box: tuple[list[Length], list[Length]],
    deep: Length,
) -> Slant:
    """How a lap lies on its face: as wide as the other piece, as long as the line that is struck for it."""
    first, second = (k for k in range(3) if k != axis)
    sides = [Line(a, b) for a, b in zip(rim, (*rim[1:], rim[0]), strict=True)]
    struck = [side for side in sides if side.start[0] != side.end[0] and side.start[1] != side.end[1]]
    side = max(struck or sides, key=lambda each: each.long)
    run = [(b - a).float_mm() for a, b in zip(side.start, side.end, strict=True)]
    long = math.hypot(*run)
    across = [0.0, 0.0, 0.0]
    across[first], across[second] = -run[1] / long, run[0] / long
    away = [
        (spot[0] - side.start[0]).float_mm() * across[first] + (spot[1] - side.start[1]).float_mm() * across[second]
        for spot in rim
    ]
    way = [0.0, 0.0, 0.0]
    way[axis] = -1.0 if high else 1.0
    centre = [(a + b) / 2 for a, b in zip(*box, strict=True)]
    centre[axis] = piece.size[axis] if high else ZERO
    return Slant(
        face_of(axis, high),
        (centre[0], centre[1], centre[2]),
        (way[0], way[1], way[2]),
        (across[0], across[1], across[2]),
        near(max(away) - min(away)),
        near(long),
        deep,
    )
