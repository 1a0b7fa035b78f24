"""What lies on faces in a picture: the rims of round holes, drawn as short chords, and the seams between strips."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from msgspec.structs import replace

from shopdocs.blocks.drawing import Line, Point, Stroke
from shopdocs.core.box import AXES, Corner, Span, Ticks, joined_spans, without_spans
from shopdocs.core.length import ZERO, Length
from shopdocs.work.shapes.hidden import Screens, Segment, seen_parts
from shopdocs.work.shapes.projection import View
from shopdocs.work.shapes.seen import seen_points
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.placed import Bore, PlacedPiece, side_of

_CHORDS = 24
_STEP = 2 * math.pi / _CHORDS


def rims(
    pieces: Sequence[PlacedPiece],
    solids: Sequence[Solid],
    shifts: Sequence[Corner],
    ticks: Ticks,
    view: View,
    screens: Screens | None = None,
) -> list[Line]:
    """The seen chords of the rims of all holes that open towards the eye, and of their countersinks. `screens` are
    those of the solids, where they are made already."""
    chords = [
        chord
        for piece, shift in zip(pieces, shifts, strict=True)
        for bore in piece.bores
        for rim in (bore, *_sunk(bore))
        for chord in _chords(piece, rim, shift, ticks, view)
    ]
    seen = seen_points(solids, view, [(middle, normal) for _, middle, normal in chords], screens)
    return [line for (line, _, _), shown in zip(chords, seen, strict=True) if shown]


def _sunk(bore: Bore) -> Iterator[Bore]:
    """The rim of a countersink as that of a hole that does not go through."""
    if bore.head is not None:
        yield replace(bore, diameter=bore.head, depth=ZERO)


def _chords(
    piece: PlacedPiece, bore: Bore, shift: Corner, ticks: Ticks, view: View
) -> Iterator[tuple[Line, Corner, int]]:
    """Each chord of a rim, its middle in the build (ticks) and the axis its face stands square to; for a hole through
    the piece the rim on the side that looks to the eye."""
    axis, high = side_of(bore.face)
    normal, looks_high = piece.pose.look_of(bore.face)
    if not view.toward[normal]:
        return
    centre = list(bore.centre)
    if (view.toward[normal] > 0) != looks_high:
        if bore.depth is not None:
            return
        centre[axis] = ZERO if high else piece.size[axis]
    a, b, c = (v + ticks.length(by) for v, by in zip(piece.spot_in_build(centre), shift, strict=True))
    across, up = (v.float_mm() for v in view.picture_of((a, b, c)))
    place = [v.mm * ticks.per_mm for v in (a, b, c)]
    u, v = (normal + 1) % 3, (normal + 2) % 3
    radius = float(bore.diameter.mm / 2)
    # what a radius along u and along v does in the picture
    ways = [
        (float(view.right[k] * view.across_unit) * radius, float(view.up[k] * view.up_unit) * radius) for k in (u, v)
    ]

    def pictured(turn: float) -> Point:
        cos, sin = math.cos(turn), math.sin(turn)
        x = across + cos * ways[0][0] + sin * ways[1][0]
        y = up + cos * ways[0][1] + sin * ways[1][1]
        return Length.parts(round(x * 1000), 1000), Length.parts(round(y * 1000), 1000)

    points = [pictured(k * _STEP) for k in range(_CHORDS)]
    middle = [round(at) for at in place]
    for k in range(_CHORDS):
        turn = (k + 0.5) * _STEP
        middle[u] = _moved(place[u], radius * math.cos(turn) * ticks.per_mm)
        middle[v] = _moved(place[v], radius * math.sin(turn) * ticks.per_mm)
        yield Line(points[k], points[(k + 1) % _CHORDS]), (middle[0], middle[1], middle[2]), normal


def _moved(at: Fraction, by: float) -> int:
    """A place moved by so much, to the nearest whole number (halves to the even one): in whole numbers, for a rim has
    many."""
    above, below = by.as_integer_ratio()
    whole, rest = divmod(at.numerator * below + above * at.denominator, at.denominator * below)
    twice = 2 * rest - at.denominator * below
    return whole + (twice > 0 or (twice == 0 and whole % 2 == 1))


def seams(
    pieces: Sequence[PlacedPiece],
    solids: Sequence[Solid],
    shifts: Sequence[Corner],
    strips: Mapping[str, int],
    ticks: Ticks,
    view: View,
    screens: Screens | None = None,
) -> list[Line]:
    """The seen seams of pieces that are glued up from so many strips of even width, on every face one sees:
    thin lines, for the glue line is all there is to see."""
    segments: list[Segment] = []
    for piece, solid, shift in zip(pieces, solids, shifts, strict=True):
        normal = piece.pose.build_axis(1)
        for k in range(1, strips.get(piece.mark, 1)):
            spot = piece.spot_in_build((ZERO, piece.width * Fraction(k, strips[piece.mark]), ZERO))
            segments += _seam(solid, normal, round(spot[normal].mm * ticks.per_mm) + shift[normal], view)
    return [
        Line(view.picture(start, ticks), view.picture(end, ticks), Stroke.THIN)
        for start, end in seen_parts(solids, view, segments, screens)
    ]


def _seam(solid: Solid, normal: int, at: int, view: View) -> Iterator[Segment]:
    """Where a seam square to the axis `normal` comes out on the body of the solid, as it is cut, on faces that look to
    the eye: the outline of the section there."""
    section = [cell for cell in solid.cells if cell.lo[normal] <= at < cell.hi[normal]]
    found: dict[tuple[int, int], list[Span]] = defaultdict(list)
    for cell in section:
        mine = cell.overlap(solid.body)
        if mine is None:
            continue
        for out in AXES:
            toward, along = view.toward[out], 3 - normal - out
            if out == normal or not toward:
                continue
            face = mine.hi[out] if toward > 0 else mine.lo[out]
            beyond = [
                (other.lo[along], other.hi[along])
                for other in section
                if other.lo[out] < face + (toward > 0) and face < other.hi[out] + (toward < 0)
            ]
            found[out, face] += without_spans((mine.lo[along], mine.hi[along]), beyond)
    for (out, face), spans in found.items():
        for low, high in joined_spans(spans):
            ends = [[at, at, at], [at, at, at]]
            for end, value in zip(ends, (low, high), strict=True):
                end[out], end[3 - normal - out] = face, value
            yield Segment((ends[0][0], ends[0][1], ends[0][2]), (ends[1][0], ends[1][1], ends[1][2]))
