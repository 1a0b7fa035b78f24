"""Ends of leaning pieces that come to the side of another piece and not to a level one: a strut against a leaning leg,
a brace against a post, a leg under a seat that is tipped.

Such an end is sawn to the face that it comes to. The piece is placed as any that leans; where its centre line meets
that face is where it ends, if it was placed within 5 mm of it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.turn import UPRIGHT, Turn, Vector, dot, near
from shopdocs.model.joining import End
from shopdocs.model.parts import Direction, Lean, Part, Piece, Place, Slopes

MOST_OFF = 5.0  # millimetres: an end placed farther off was not meant to meet that face
NEARLY = 250.0  # millimetres: within these it is told how far off it is
_LEVEL = 1 - 1e-9  # of a direction: more is plumb
_SLANTING = 0.3  # a face that looks more aside is met by no end: 73 degrees off square
_DIRECTIONS = (Direction.X, Direction.Y, Direction.Z)
_SIDES = (("left", "right"), ("front", "back"), ("bottom", "top"))


class Against(Struct, frozen=True):
    """An end of a leaning piece at the side of another: the `top` or the foot, `far` from where it is placed along its
    centre line, the way that side looks (`out`), and its name."""

    top: bool
    far: float
    out: Vector
    side: str

    def end(self, place: Place) -> End:
        """Which end that is."""
        return End.B if self.top == place.end_a_low else End.A


def against(part: Part, piece: Piece, other: Part, receiving: Piece) -> Against | None:
    """The end of a leaning piece that lies nearest to a side of another one, along its own centre line; None where no
    side is near. A level side is met by a level end, and is not counted, nor is an end that stands out beyond the other
    piece: those two cross."""
    place, theirs = piece.place, receiving.place
    if place is None or place.lean is None or theirs is None or other.runs is None:
        return None
    turn, middle, halves, long = _body(other, theirs)
    axis = _DIRECTIONS.index(other.runs.length)
    best: Against | None = None
    for top in (False, True):
        spot, way = end_of(place.lean, top)
        for k in (k for k in range(3) if k != axis):
            for high in (False, True):
                out = _signed(_axis(turn, k), high)
                if abs(out[2]) > _LEVEL or dot(out, way) > -_SLANTING:
                    continue
                away = [a - b for a, b in zip(spot, middle, strict=True)]
                far = (halves[k] - dot(out, away)) / dot(out, way)
                if far < 2 * halves[k] / dot(out, way):
                    continue
                met = [a + far * w for a, w in zip(away, way, strict=True)]
                beside = [
                    abs(dot(_axis(turn, j), met)) - (halves[j] if j != axis else long) for j in range(3) if j != k
                ]
                if max(beside) <= 0 and abs(far) <= NEARLY and (best is None or abs(far) < abs(best.far)):
                    best = Against(top, far, out, _SIDES[k][high])
    return best


def end_of(lean: Lean, top: bool) -> tuple[Vector, Vector]:
    """The middle of an end of a leaning piece, and the way out of the piece there."""
    up = lean.turn.z
    long = 0.0 if top else lean.height.float_mm() / up[2]
    x, y, z = (value.float_mm() - long * u for value, u in zip(lean.top, up, strict=True))
    return (x, y, z), (up if top else (-up[0], -up[1], -up[2]))


def sawn_to(lean: Lean, found: Against) -> Lean:
    """The lean of a piece with an end sawn to a side: that end moved to where its middle meets it."""
    spot, way = end_of(lean, found.top)
    x, y, z = (near(a + found.far * w) for a, w in zip(spot, way, strict=True))
    own = lean.turn.back(found.out)
    slopes: Slopes = (-own[0] / own[2], -own[1] / own[2])
    if found.top:
        return replace(lean, top=(x, y, z), ends=(lean.ends[0], slopes))
    return replace(lean, foot=z, ends=(slopes, lean.ends[1]))


def told_off(piece: Piece, receiving: Piece, found: Against) -> tuple[str, str]:
    """What is wrong about an end that lies too far from its side, and where it would lie on it."""
    assert piece.place is not None
    assert piece.place.lean is not None
    lean = piece.place.lean
    wrong = f"'{piece.mark}' ends {exact_text(near(abs(found.far)))} from the face of '{receiving.mark}' that it enters"
    k = max(range(3), key=lambda axis: abs(found.out[axis]))
    by = found.far * dot(found.out, end_of(lean, found.top)[1]) / found.out[k]
    at = exact_text(near(round((lean.top[k] if found.top or k < 2 else lean.foot).float_mm() + by, 1)))
    if k == 2:
        return wrong, f"its middle lies on that face at z: {f'… to {at}' if found.top else f'{at} to …'}"
    return wrong, f"its top stands so that it does at {_DIRECTIONS[k].value}: centred on {at}"


def _body(part: Part, place: Place) -> tuple[Turn, Vector, Mapping[int, float], float]:
    """How a piece is turned, a point of its middle line halfway, half its sizes by the direction they run in, and half
    its length."""
    runs = part.runs
    assert runs is not None
    sizes = {runs.length: part.length, runs.width: part.width, runs.thickness: part.thickness}
    halves = {k: sizes[direction].float_mm() / 2 for k, direction in enumerate(_DIRECTIONS)}
    if place.lean is not None:
        (x, y, z), _ = end_of(place.lean, True)
        half = place.lean.height.float_mm() / place.lean.turn.z[2] / 2
        u, v, w = place.lean.turn.z
        return place.lean.turn, (x - half * u, y - half * v, z - half * w), halves, half
    spot = [place.corner[k].float_mm() + halves[k] for k in range(3)]
    turn = UPRIGHT
    if place.tilt is not None:
        turn, about = place.tilt.turn, [value.float_mm() for value in place.tilt.about]
        away = turn.of([a - b for a, b in zip(spot, about, strict=True)])
        spot = [a + b for a, b in zip(about, away, strict=True)]
    return turn, (spot[0], spot[1], spot[2]), halves, halves[_DIRECTIONS.index(runs.length)]


def _axis(turn: Turn, k: int) -> Vector:
    return (turn.x, turn.y, turn.z)[k]


def _signed(way: Vector, high: bool) -> Vector:
    return way if high else (-way[0], -way[1], -way[2])


def sawn_long(lean: Lean, half: tuple[Length, Length]) -> Length:
    """The length of a leaning piece from long point to long point; `half` of it across along x and y, plumb."""
    reach = sum(
        abs(slope) * size.float_mm()
        for top in (False, True)
        for slope, size in zip(lean.slopes(top), half, strict=True)
    )
    return near(lean.height.float_mm() / lean.turn.z[2] + reach) if math.isfinite(reach) else Length(0)
