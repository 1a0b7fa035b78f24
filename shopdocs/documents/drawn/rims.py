"""The rims of round holes in a picture: circles on a face, drawn as short chords where the face is seen."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction

from shopdocs.blocks.drawing import Line
from shopdocs.core.box import Corner, Ticks
from shopdocs.core.length import ZERO, Length
from shopdocs.work.space.hidden import seen_points
from shopdocs.work.space.placed import Bore, PlacedPiece, Spot, side_of
from shopdocs.work.space.projection import View
from shopdocs.work.space.solid import Solid

_CHORDS = 24


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
