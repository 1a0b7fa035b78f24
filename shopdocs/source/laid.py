"""Pieces that lie with a face on a leaning one: a cleat that is tipped as far as the boards it is screwed to lean.

Such a piece is placed by that face, `y: B1.back`, as it would lie if neither leaned. A slanting face is thicker along
the build than square to it, so that what lies on it follows from there by a hair: a 25 mm cleat at 10 degrees by
12.5 / cos 10° - 12.5 = 0.19 mm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from shopdocs.core.length import Length
from shopdocs.core.turn import UPRIGHT, Turn, Vector, dot, near
from shopdocs.model.joining import Joint
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import Direction, Part, Piece, Place, Tilt

MOST_OFF = 5.0  # millimetres: a face placed farther off was not meant to lie there
_FLAT = 1e-6  # how far from 1 the product of two ways may be that are parallel
_LEAST = 5e-4  # millimetres: nearer is on it
_DIRECTIONS = (Direction.X, Direction.Y, Direction.Z)
_Held = tuple[Part, Piece]


def laid(parts: Sequence[Part], joints: Sequence[Joint]) -> tuple[Part, ...]:
    """The parts with the pieces moved that are screwed flat to a leaning piece; all that are tipped with one go with
    it."""
    of_piece: dict[str, _Held] = {piece.mark: (part, piece) for part in parts for piece in part.pieces}
    moved: dict[str, Place] = {}
    for joint in joints:
        for meeting in joint.meetings if KINDS[joint.kind].screwed else ():
            one, two = (_now(of_piece[mark], moved) for mark in (meeting.entering, meeting.receiving))
            if one is None or two is None or meeting.end is not None or not (one[2].lean or two[2].lean):
                continue
            first, second = (one, two) if one[2].tilt is not None or two[2].tilt is None else (two, one)
            by = _off(first, second)
            if by is not None:
                moved |= _shifted(first, by, of_piece, moved)
    if not moved:
        return tuple(parts)
    return tuple(
        replace(part, pieces=tuple(replace(one, place=moved.get(one.mark, one.place)) for one in part.pieces))
        for part in parts
    )


def _now(held: _Held, moved: Mapping[str, Place]) -> tuple[Part, Piece, Place] | None:
    part, piece = held
    place = moved.get(piece.mark, piece.place)
    return (part, piece, place) if place is not None and part.runs is not None else None


def _off(one: tuple[Part, Piece, Place], two: tuple[Part, Piece, Place]) -> tuple[int, float] | None:
    """Along which direction of the build, and by how much, a piece is moved so that its face lies on the other's; None
    where it lies there, or was not meant to."""
    best: tuple[float, Vector] | None = None
    here, there = _middle(one), _middle(two)
    turns = [_turn(held[2]) for held in (one, two)]
    halves = [_halves(held[0]) for held in (one, two)]
    for i, half in halves[0].items():
        for j, other in halves[1].items():
            way, beside = (_axis(turn, k) for turn, k in zip(turns, (i, j), strict=True))
            if abs(dot(way, beside)) < 1 - _FLAT:
                continue
            apart = dot(way, [b - a for a, b in zip(here, there, strict=True)])
            gap = abs(apart) - half - other
            if abs(gap) <= MOST_OFF and (best is None or abs(gap) < abs(best[0])):
                best = gap if apart > 0 else -gap, way
    if best is None or abs(best[0]) < _LEAST:
        return None
    gap, way = best
    k = max(range(2), key=lambda axis: abs(way[axis]))
    return (k, gap / way[k]) if abs(way[k]) > abs(way[2]) else (2, gap / way[2])


def _shifted(
    held: tuple[Part, Piece, Place], by: tuple[int, float], of_piece: Mapping[str, _Held], moved: Mapping[str, Place]
) -> dict[str, Place]:
    """The new places of a piece, and of what is tipped with it."""
    k, far = by
    found: dict[str, Place] = {}
    for mark, each in of_piece.items():
        now = _now(each, moved)
        if now is not None and (mark == held[1].mark or (now[2].tilt is not None and now[2].tilt == held[2].tilt)):
            found[mark] = _moved(now[2], k, near(far))
    return found


def _moved(place: Place, k: int, by: Length) -> Place:
    def gone(spot: tuple[Length, Length, Length]) -> tuple[Length, Length, Length]:
        x, y, z = (value + by if axis == k else value for axis, value in enumerate(spot))
        return x, y, z

    lean = replace(place.lean, top=gone(place.lean.top)) if place.lean is not None else None
    tilt: Tilt | None = replace(place.tilt, about=gone(place.tilt.about)) if place.tilt is not None else None
    return replace(place, corner=gone(place.corner), lean=lean, tilt=tilt)


def _turn(place: Place) -> Turn:
    return place.lean.turn if place.lean is not None else place.tilt.turn if place.tilt is not None else UPRIGHT


def _axis(turn: Turn, k: int) -> Vector:
    return (turn.x, turn.y, turn.z)[k]


def _halves(part: Part) -> dict[int, float]:
    """Half the width and half the thickness of a part, by the direction of the build that they run in."""
    runs = part.runs
    assert runs is not None
    sizes = ((runs.width, part.width), (runs.thickness, part.thickness))
    return {_DIRECTIONS.index(direction): size.float_mm() / 2 for direction, size in sizes}


def _middle(held: tuple[Part, Piece, Place]) -> Vector:
    """A point of the middle line of a piece."""
    part, _, place = held
    if place.lean is not None:
        x, y, z = (value.float_mm() for value in place.lean.top)
        return x, y, z
    runs = part.runs
    assert runs is not None
    size = {runs.length: part.length, runs.width: part.width, runs.thickness: part.thickness}
    spot = [(place.corner[k] + size[direction] / 2).float_mm() for k, direction in enumerate(_DIRECTIONS)]
    if place.tilt is not None:
        about = [value.float_mm() for value in place.tilt.about]
        away = place.tilt.turn.of([a - b for a, b in zip(spot, about, strict=True)])
        spot = [a + b for a, b in zip(about, away, strict=True)]
    return spot[0], spot[1], spot[2]
