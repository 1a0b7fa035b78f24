"""Holes that run on from one piece into another that does not stand square to it: where they enter there, how they run
through its wood, and where they come out.

A hole is square to the face that it is drilled from in its own piece. In the other it keeps its line, and so slants.
Places are worked out as those of leaning pieces are, to 1/1000 mm; an end off square counts as it is sawn.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

from msgspec import Struct

from shopdocs.core.length import ZERO, Length
from shopdocs.core.turn import Vector, dot, near, unit
from shopdocs.model.cutting import CutKind, CutPlace, OwnCut
from shopdocs.model.joining import Face, HolePlace
from shopdocs.work.space.askew_piece import AskewPiece, way_in_build, way_in_piece
from shopdocs.work.space.in_place import placed_piece
from shopdocs.work.space.mates import REACH, Pieces, mate_of, spot_of_pattern
from shopdocs.work.space.placed import PlacedPiece, Slanting, Spot, face_of, side_of
from shopdocs.work.space.tipped_board import TippedPiece

SQUARE = 1e-10  # so near to 1 the cosine of what is square
_FLAT = 1e-12


class Side(Struct, frozen=True):
    """One side of a body: its face, a point of it and the way it looks, in piece coordinates, millimetres."""

    face: Face
    spot: Vector
    out: Vector


Sides = Callable[[PlacedPiece], Sequence[Side]]  # of a piece, its ends as they are sawn


class Passed(Struct, frozen=True):
    """How a line goes through the body of a piece, in its coordinates: `way` is its direction; it enters by a face at
    `mouth`, whose surface looks `out` and lies `behind` the long point of an end, `far` millimetres from where the line
    begins; it comes out of the face `leaves` at `exit`."""

    enters: Face
    mouth: Spot
    way: Vector
    out: Vector
    behind: Length
    leaves: Face
    exit: Spot
    far: float

    @property
    def slanting(self) -> Slanting | None:
        """How a hole along it runs; None where it is square to its face."""
        axis = side_of(self.enters)[0]
        if abs(self.way[axis]) > 1 - SQUARE and abs(self.out[axis]) > 1 - SQUARE:
            return None
        return Slanting(self.way, self.out, self.behind, self.leaves, self.exit)


class SlantingMate(Struct, frozen=True, dict=True):
    """The piece that a pattern meets at an angle: `first` is the one it lies on, `sides` are those of the other."""

    first: PlacedPiece
    second: PlacedPiece
    place: HolePlace
    sides: tuple[Side, ...]

    @property
    def thick(self) -> Length:
        """How much wood of the first piece lies under the pattern."""
        return self.first.size[side_of(self.place.face)[0]]

    def passed(self, along: Length, across: Length) -> tuple[Passed, float] | None:
        """How the line of a hole, `along` and `across` from the pattern's origin, goes through the other piece, and how
        far that lies off the first one along it; None where it misses it. It lies ahead of the hole, or against the
        face that the hole is drilled from."""
        axis, high = side_of(self.place.face)
        start, out = spot_of_pattern(self.place, self.first, along, across), way_in_build(self.first, axis)
        found: list[tuple[Passed, float]] = []
        for ahead in (True, False):
            sign = 1 if ahead != high else -1
            gone = passed(self.second, self.sides, start, (sign * out[0], sign * out[1], sign * out[2]))
            if gone is not None:
                found.append((gone, gone.far - (self.thick.float_mm() if ahead else 0.0)))
        return min(found, key=lambda one: abs(one[1]), default=None)


def slanting_mate(place: HolePlace, pieces: Pieces, cuts: Iterable[OwnCut]) -> SlantingMate | None:
    """What a pattern meets at an angle at one of its places; None where it meets nothing, either piece has no place, or
    they stand square to each other there."""
    if place.meets not in pieces or place.piece not in pieces or place.meets == place.piece:
        return None
    first, second = (placed_piece(*pieces[mark]) for mark in (place.piece, place.meets))
    if first is None or second is None or not (isinstance(first, AskewPiece) or isinstance(second, AskewPiece)):
        return None
    if _runs_square(first, place.face):
        mate = mate_of(place, pieces)
        if mate is not None and _runs_square(second, mate.face):
            return None
    return SlantingMate(first, second, place, sides_of(second, cuts))


def is_reached(gap: float) -> bool:
    """Whether a piece so many millimetres off is met."""
    return abs(gap) <= REACH.float_mm()


def _runs_square(piece: PlacedPiece, face: Face) -> bool:
    """Whether a hole square to a face runs along a direction of the build."""
    return not isinstance(piece, AskewPiece) or (isinstance(piece, TippedPiece) and piece.is_square(face))


def sides_of(piece: PlacedPiece, cuts: Iterable[OwnCut]) -> tuple[Side, ...]:
    """The six sides of a body, its ends as they are sawn."""
    size = [value.float_mm() for value in piece.size]
    found: dict[Face, Side] = {}
    for axis in range(3):
        for high in (False, True):
            spot, out = [0.0] * 3, [0.0] * 3
            spot[axis], out[axis] = size[axis] if high else 0.0, 1.0 if high else -1.0
            face = face_of(axis, high)
            found[face] = Side(face, (spot[0], spot[1], spot[2]), (out[0], out[1], out[2]))
    for cut in cuts:
        for place in cut.on if cut.kind is CutKind.END_CUT else ():
            if place.piece == piece.mark:
                found[place.face] = _sawn(cut, place, size)
    return tuple(found.values())


def _sawn(cut: OwnCut, place: CutPlace, size: Sequence[float]) -> Side:
    """An end off square, from its long point on."""
    at_b = place.face is Face.B
    spot, out = [size[0] if at_b else 0.0, 0.0, 0.0], [1.0 if at_b else -1.0, 0.0, 0.0]
    skew = cut.skew.float_mm() if cut.skew is not None else 0.0
    assert cut.depth is not None and cut.width is not None
    for short, fall in ((place.second, cut.depth.float_mm() - skew), (place.third, skew)):
        if short is not None:
            axis, high = side_of(short)
            over = cut.width.float_mm() if short is place.second else size[axis]
            spot[axis], out[axis] = 0.0 if high else size[axis], (1 if high else -1) * fall / over
    return Side(place.face, (spot[0], spot[1], spot[2]), unit(out))


def passed(piece: PlacedPiece, sides: Iterable[Side], start: Sequence[Length], way: Vector) -> Passed | None:
    """How the line from a point of the build on, in a direction of the build, goes through a body with these sides;
    None where it misses it."""
    at = [value.float_mm() for value in piece.spot_in_piece(start)]
    along = way_in_piece(piece, way)
    low, high = -math.inf, math.inf
    first, last = None, None
    for side in sides:
        speed, away = dot(side.out, along), dot(side.out, [a - b for a, b in zip(side.spot, at, strict=True)])
        if abs(speed) < _FLAT:
            if away < 0:
                return None
        elif speed < 0 and away / speed > low:
            low, first = away / speed, side
        elif speed > 0 and away / speed < high:
            high, last = away / speed, side
    if first is None or last is None or low >= high:
        return None
    axis = side_of(first.face)[0]
    mouth, exit_ = ([a + far * b for a, b in zip(at, along, strict=True)] for far in (low, high))
    level = piece.size[axis] if side_of(first.face)[1] else ZERO
    if abs(first.out[axis]) > 1 - SQUARE:
        mouth[axis] = level.float_mm()
    a, b, c = (round(value, 12) for value in along)
    return Passed(
        first.face,
        _spot(mouth),
        (a, b, c),
        first.out,
        abs(_spot(mouth)[axis] - level),
        last.face,
        _spot(exit_),
        low,
    )


def wood_at(
    sides: Iterable[Side], spot: Sequence[float], way: Vector, radius: float, enters: Face
) -> tuple[Face, float]:
    """The side that the floor of a hole comes nearest to, but for the one that it enters by, and how much wood is left
    before it, in millimetres, below zero where it comes out: `spot` is the middle of its floor in piece coordinates."""
    found = []
    for side in sides:
        if side.face is not enters:
            along = dot(side.out, way)
            away = dot(side.out, [a - b for a, b in zip(side.spot, spot, strict=True)])
            found.append((side.face, away - radius * math.sqrt(max(0.0, 1 - along * along))))
    return min(found, key=lambda one: one[1])


def _spot(at: Sequence[float]) -> Spot:
    a, b, c = (near(value) for value in at)
    return a, b, c
