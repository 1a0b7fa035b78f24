"""Where pieces end that go into the side of a round: at the round, where their centre line meets it.

They are placed by the faces of the stock, as any other, and follow from there.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.rounds import Round
from shopdocs.core.turn import Vector, near
from shopdocs.model.cutting import CutKind
from shopdocs.model.joining import End, Joint, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import Direction, Part, Piece
from shopdocs.source.cut_schema import CutKeys
from shopdocs.source.joining import Known
from shopdocs.source.rounds import read_rounds
from shopdocs.source.values import Values

NEAR_END = Length(5)  # an end placed so far before or behind both stock and round was not meant to meet it there
_DIRECTIONS = (Direction.X, Direction.Y, Direction.Z)


def early_rounds(entries: Mapping[str, CutKeys], known: Known, values: Values) -> dict[str, Round]:
    """The rounds of the build by mark, before pieces follow from them; what is wrong with them is told later."""
    found: dict[str, Round] = {}
    if not any(keys.kind is not None and keys.kind.text.strip() == CutKind.ROUND for keys in entries.values()):
        return found
    aside = copy.copy(values)
    aside.problems = []
    for keys in entries.values():
        if keys.kind is not None and keys.kind.text.strip() == CutKind.ROUND:
            for cut in read_rounds("", keys, known, aside, early=True):
                found |= {place.piece: place.turned for place in cut.on if place.turned is not None}
    return found


def turned_down(rounds: Mapping[str, Round], part: Part, meeting: Meeting, joint: Joint) -> bool:
    """Whether the end that enters is turned down to its tenon, and has no shoulder to follow the other piece."""
    turned = rounds.get(meeting.entering)
    if turned is None or joint.thickness is None:
        return False
    at_b = meeting.end is End.B
    off = part.length - turned.end if at_b else turned.start
    return abs(off.mm) <= NEAR_END.mm and turned.spots[-1 if at_b else 0][1] <= joint.thickness


@dataclass(frozen=True, slots=True)
class Meets:
    """Where the centre line of a piece meets a round, along the piece's own direction of the build."""

    high: bool
    at: Length


def at_round(
    entering: tuple[Part, Piece],
    receiving: tuple[Part, Piece],
    turned: Round,
    joint: Joint,
    meeting: Meeting,
    values: Values,
) -> Meets | None:
    """Where a piece ends that enters the side of a round; None where its line meets none, and where it ends there
    already."""
    (part, piece), (other, leg) = entering, receiving
    place, runs = piece.place, part.runs
    if place is None or runs is None or leg.place is None or other.runs is None:
        return None
    if not KINDS[joint.kind].bored and not joint.flat:
        return None
    k = _DIRECTIONS.index(runs.length)
    high = (meeting.end is End.B) == place.end_a_low
    sizes = {runs.length: part.length, runs.width: part.width, runs.thickness: part.thickness}
    middle = [(place.corner[i] + sizes[direction] / 2).float_mm() for i, direction in enumerate(_DIRECTIONS)]
    way = [0.0, 0.0, 0.0]
    way[k] = 1.0 if high else -1.0
    origin, along = _axis(other, leg)
    found = turned.crossed(origin, along, (middle[0], middle[1], middle[2]), (way[0], way[1], way[2]))
    if found is None or found[0] <= 0:
        return None
    entry: float | None = found[0]
    if joint.flat:
        k_leg = _DIRECTIONS.index(other.runs.length)
        entry = _at_flat(turned, origin, middle, k, k_leg, along[k_leg] > 0, [sizes[d] for d in _DIRECTIONS])
    if entry is None:
        return None  # told where the joint is worked out
    at = near(middle[k] + entry * way[k])
    written = place.corner[k] + (sizes[runs.length] if high else ZERO)
    before = (at - written) if high else (written - at)  # how far it stops short of the round
    most = max(other.width, other.thickness) / 2 + NEAR_END
    if not -NEAR_END <= before <= most:
        wrong = f"'{piece.mark}' ends {exact_text(abs(before))} from the round of '{leg.mark}' that it enters"
        side = ("left", "front", "bottom")[k] if high else ("right", "back", "top")[k]
        values.note(meeting.at, "round", wrong, f"let it end there: {leg.mark}.{side}")
        return None
    return Meets(high, at) if before else None


def _at_flat(
    turned: Round, origin: Vector, middle: Sequence[float], k: int, k_leg: int, up: bool, sizes: Sequence[Length]
) -> float | None:
    """How far from the middle of a piece along direction `k` the flat lies that is planed for it on a plumb round along
    `k_leg`, which begins at `origin` and runs `up` or down; None where there is none."""
    if k == k_leg:
        return None
    third = 3 - k - k_leg
    place = near(middle[k_leg] - origin[k_leg] if up else origin[k_leg] - middle[k_leg])
    half = sizes[k_leg] / 2
    level = turned.flat(place - half, place + half, sizes[third].float_mm() / 2 + abs(middle[third] - origin[third]))
    return None if level is None else abs(origin[k] - middle[k]) - level


def _axis(part: Part, piece: Piece) -> tuple[Vector, Vector]:
    """The middle of end A of a piece, and the way from there to end B."""
    place, runs = piece.place, part.runs
    assert place is not None and runs is not None
    k = _DIRECTIONS.index(runs.length)
    sizes = {runs.length: part.length, runs.width: part.width, runs.thickness: part.thickness}
    sign = 1.0 if place.end_a_low else -1.0
    if place.lean is not None:
        lean, long = place.lean, part.length.float_mm()
        up, top = lean.turn.z, [v.float_mm() for v in lean.top]
        past = (long - lean.height.float_mm() / up[2]) / 2
        if not lean.level:
            half = {runs.width: part.width.float_mm() / 2, runs.thickness: part.thickness.float_mm() / 2}
            past = sum(abs(v) * half[direction] for v, direction in zip(lean.slopes(True), _DIRECTIONS, strict=False))
        at = past - long if place.end_a_low else past
        x, y, z = (t + at * u for t, u in zip(top, up, strict=True))
        return (x, y, z), (sign * up[0], sign * up[1], sign * up[2])
    ends = [(place.corner[i] + sizes[direction] / 2).float_mm() for i, direction in enumerate(_DIRECTIONS)]
    ends[k] = (place.corner[k] + (ZERO if place.end_a_low else part.length)).float_mm()
    way = [0.0, 0.0, 0.0]
    way[k] = sign
    return (ends[0], ends[1], ends[2]), (way[0], way[1], way[2])
