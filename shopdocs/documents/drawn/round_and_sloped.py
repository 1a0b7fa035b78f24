"""What is not square in a picture: the slopes of dovetails and the rims of round holes.

Hidden lines are worked out on cuboids. A dovetail is a cuboid narrowed at one end, so the corners there are drawn in by
as much afterwards; a rim is a circle on a face, drawn as short chords where the face is seen.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import product

from shopdocs.blocks.drawing import Line
from shopdocs.core.box import Corner, Ticks
from shopdocs.core.length import ZERO, Length
from shopdocs.work.space.hidden import seen_points
from shopdocs.work.space.placed import PIECE_AXES, Bore, PlacedPiece, Spot, side_of
from shopdocs.work.space.projection import Flat, View
from shopdocs.work.space.solid import Solid

_CHORDS = 24


def drawn_in(pieces: Sequence[PlacedPiece], shifts: Sequence[Corner], ticks: Ticks, view: View) -> dict[Flat, Flat]:
    """Corners of the picture that dovetails move, and where to."""
    moves: dict[Flat, Flat] = {}
    for piece, shift in zip(pieces, shifts, strict=True):
        for cuboid in piece.cuboids:
            if cuboid.flare is None:
                continue
            axis = PIECE_AXES.index(cuboid.flare.axis)
            stands, high = side_of(cuboid.flare.at)
            third = 3 - axis - stands
            for upper, end in product((False, True), repeat=2):
                wide = [ZERO, ZERO, ZERO]
                wide[stands] = cuboid.hi[stands] if high else cuboid.lo[stands]
                wide[axis] = cuboid.hi[axis] if upper else cuboid.lo[axis]
                wide[third] = cuboid.hi[third] if end else cuboid.lo[third]
                narrow = list(wide)
                narrow[axis] = wide[axis] - cuboid.flare.by if upper else wide[axis] + cuboid.flare.by
                moves[_pictured(piece, wide, shift, ticks, view)] = _pictured(piece, narrow, shift, ticks, view)
    return moves


def _pictured(piece: PlacedPiece, spot: Sequence[Length], shift: Corner, ticks: Ticks, view: View) -> Flat:
    return view.picture_of(_shifted(piece.spot_in_build(spot), shift, ticks))


def _shifted(spot: Spot, shift: Corner, ticks: Ticks) -> Spot:
    a, b, c = (value + ticks.length(by) for value, by in zip(spot, shift, strict=True))
    return (a, b, c)


def rims(
    pieces: Sequence[PlacedPiece], solids: Sequence[Solid], shifts: Sequence[Corner], ticks: Ticks, view: View
) -> list[Line]:
    """The seen chords of the rims of all holes that open towards the eye."""
    chords = [
        chord
        for piece, shift in zip(pieces, shifts, strict=True)
        for bore in piece.bores
        for chord in _chords(piece, bore, shift, ticks, view)
    ]
    middles = [(_ticked(middle, ticks), normal) for _, _, middle, normal in chords]
    seen = seen_points(solids, view, middles)
    return [
        Line(view.picture_of(start), view.picture_of(end))
        for (start, end, _, _), shown in zip(chords, seen, strict=True)
        if shown
    ]


def _chords(
    piece: PlacedPiece, bore: Bore, shift: Corner, ticks: Ticks, view: View
) -> Iterator[tuple[Spot, Spot, Spot, int]]:
    """Start, end and middle of each chord of a rim in the build, and the axis its face stands square to; for a hole
    through the piece the rim on the side that looks to the eye."""
    axis, high = side_of(bore.face)
    normal, looks_high = piece.pose.look_of(bore.face)
    if not view.toward[normal]:
        return
    centre = list(bore.centre)
    if (view.toward[normal] > 0) != looks_high:
        if bore.depth is not None:
            return
        centre[axis] = ZERO if high else piece.size[axis]
    middle = _shifted(piece.spot_in_build(centre), shift, ticks)
    u, v = (normal + 1) % 3, (normal + 2) % 3

    def at(turn: float, part: float = 1.0) -> Spot:
        spot = list(middle)
        radius = bore.diameter.mm / 2 * Fraction(part)
        spot[u] = middle[u] + Length(Fraction(round(radius * Fraction(math.cos(turn)) * 10**6), 10**6))
        spot[v] = middle[v] + Length(Fraction(round(radius * Fraction(math.sin(turn)) * 10**6), 10**6))
        return (spot[0], spot[1], spot[2])

    step = 2 * math.pi / _CHORDS
    for k in range(_CHORDS):
        yield at(k * step), at((k + 1) * step), at((k + 0.5) * step), normal


def _ticked(spot: Spot, ticks: Ticks) -> Corner:
    a, b, c = (round(value.mm * ticks.per_mm) for value in spot)
    return (a, b, c)
