"""What follows from leaning pieces for the ends of pieces: level feet and tops, and shoulders that meet a leaning leg.

A piece is as long as from long point to long point. What comes off there is an end cut like any other, so that every
sheet tells it; it only says of itself that it follows.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.angle import FINE, Angle
from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.rounds import Round
from shopdocs.core.turn import dot, near
from shopdocs.model.cutting import CutKind, CutPlace, OwnCut
from shopdocs.model.joining import End, Face, Joint, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import Axis, Direction, Lean, Part, Piece, Tilt
from shopdocs.source.laid import laid
from shopdocs.source.leaning_ends import against, sawn_long, sawn_to, told_off
from shopdocs.source.round_ends import at_round, turned_down
from shopdocs.source.values import Values

LEVEL, SHOULDERS, FLUSH = "level end", "shoulder", "end"
MOST_OFF = Length(5)  # an end placed farther from the face of its leg than that was not meant to meet it there
_DIRECTIONS = (Direction.X, Direction.Y, Direction.Z)
_NONE = 1e-7  # a slope that is nothing


class _End(Struct, frozen=True):
    """An end off square: which one, whether it lies at the high side of the build, the slope of its plane along the two
    other directions of the build, and where its long point lies along the piece's own."""

    face: Face
    high: bool
    slopes: Mapping[Direction, float]
    at: Length
    round: bool = False  # it follows a round, and stays square
    flush: bool = False  # it lies level with the outside of what it is lapped over, and is no shoulder


def fitted(
    parts: Sequence[Part], joints: Sequence[Joint], values: Values, rounds: Mapping[str, Round] | None = None
) -> tuple[tuple[Part, ...], tuple[OwnCut, ...]]:
    """The parts with the ends that their joints into leaning pieces and into `rounds` give them, and all ends off
    square that follow from a lean."""
    rounds = rounds or {}
    of_piece = {piece.mark: (part, piece) for part in parts for piece in part.pieces}
    leaning = {
        mark for mark, (_, piece) in of_piece.items() if piece.place is not None and piece.place.lean is not None
    }
    if not leaning and not rounds:
        return tuple(parts), ()
    parts = _ends_of_leaning(laid(parts, joints), joints, values)
    of_piece = {piece.mark: (part, piece) for part in parts for piece in part.pieces}
    ends: dict[str, list[_End]] = {}
    for joint in joints:
        for meeting in joint.meetings:
            if KINDS[joint.kind].lapped and leaning & {meeting.entering, meeting.receiving}:
                pair = (meeting.entering, meeting.receiving)
                for one, leg in (pair, pair[::-1]):
                    for end in _flush(of_piece, one, leg) if leg in leaning and one not in leaning else ():
                        ends.setdefault(one, []).append(end)
            if meeting.entering in leaning or meeting.end is None:
                continue
            if meeting.receiving in rounds and (at := _at_round(of_piece, meeting, joint, rounds, values)) is not None:
                ends.setdefault(meeting.entering, []).append(at)
            elif meeting.receiving in leaning:
                bare = turned_down(rounds, of_piece[meeting.entering][0], meeting, joint)
                found = _shoulder(of_piece, meeting, values, bare)
                if found is not None:
                    ends.setdefault(meeting.entering, []).append(found)
    made: list[Part] = []
    cuts: list[OwnCut] = []
    for part in parts:
        whole = _longer(part, ends, values) if any(piece.mark in ends for piece in part.pieces) else part
        made.append(whole)
        for name, level in ((LEVEL, True), (SHOULDERS, False)):
            cuts += _cuts(name, whole, {piece.mark: list(_leaning_ends(piece, whole, level)) for piece in whole.pieces})
        for name, flush in ((SHOULDERS, False), (FLUSH, True)):
            own = {one.mark: [end for end in ends.get(one.mark, []) if end.flush is flush] for one in whole.pieces}
            cuts += _cuts(name, whole, own)
    return tuple(made), tuple(cuts)


def _ends_of_leaning(parts: Sequence[Part], joints: Sequence[Joint], values: Values) -> tuple[Part, ...]:
    """The parts with the ends of leaning pieces that come to the side of another piece sawn to that, and as long as
    they then are."""
    of_piece = {piece.mark: (part, piece) for part in parts for piece in part.pieces}
    leans: dict[str, Lean] = {}
    let_in = (joint for joint in joints if not KINDS[joint.kind].lapped)
    for meeting in (meeting for joint in let_in for meeting in joint.meetings if meeting.end is not None):
        (part, piece), (other, receiving) = of_piece[meeting.entering], of_piece[meeting.receiving]
        found = against(part, piece, other, receiving)
        if found is None or piece.place is None or piece.place.lean is None:
            continue
        if found.end(piece.place) is not meeting.end:
            continue
        if abs(found.far) > MOST_OFF.float_mm():
            values.note(meeting.at, "lean", *told_off(piece, receiving, found))
        leans[piece.mark] = sawn_to(leans.get(piece.mark, piece.place.lean), found)
    if not leans:
        return tuple(parts)
    return tuple(
        _sawn(part, leans, values) if any(one.mark in leans for one in part.pieces) else part for part in parts
    )


def _sawn(part: Part, leans: Mapping[str, Lean], values: Values) -> Part:
    """A part of leaning pieces with these ends."""
    assert part.runs is not None
    half = {part.runs.width: part.width / 2, part.runs.thickness: part.thickness / 2}
    lengths, pieces = [], []
    for piece in part.pieces:
        if piece.place is None or piece.place.lean is None:
            return part  # told where the part is read: all of its pieces lean, or none
        lean = leans.get(piece.mark, piece.place.lean)
        lengths.append(sawn_long(lean, (half[Direction.X], half[Direction.Y])))
        pieces.append(replace(piece, place=replace(piece.place, lean=lean)))
    if not _alike(part, lengths, "with its ends sawn", values):
        return part
    return replace(part, length=lengths[0], pieces=tuple(pieces))


def _alike(part: Part, lengths: Sequence[Length], how: str, values: Values) -> bool:
    """Whether all pieces of a part come out equally long, to 1/100 mm."""
    for piece, length in zip(part.pieces, lengths, strict=False):
        if abs((length - lengths[0]).mm) > Fraction(1, 100):
            wrong = f"'{piece.mark}' comes out {exact_text(length)} long {how}, '{part.pieces[0].mark}' "
            values.note(piece.at, "lean", wrong + exact_text(lengths[0]), "make it a part of its own")
            return False
    return True


def _leaning_ends(piece: Piece, part: Part, level: bool) -> Iterator[_End]:
    """The ends of a leaning piece that are sawn level, or those that are sawn to another piece."""
    place = piece.place
    if place is None or place.lean is None:
        return
    for high in (False, True):
        if (place.lean.ends[high] is None) is not level:
            continue
        slopes = dict(zip((Direction.X, Direction.Y), place.lean.slopes(high), strict=True))
        yield _End(Face.A if place.end_a_low != high else Face.B, high, slopes, part.length)


def _at_round(
    of_piece: Mapping[str, tuple[Part, Piece]],
    meeting: Meeting,
    joint: Joint,
    rounds: Mapping[str, Round],
    values: Values,
) -> _End | None:
    """The square end of a plumb piece at a round that it enters."""
    entering, receiving = of_piece[meeting.entering], of_piece[meeting.receiving]
    found = at_round(entering, receiving, rounds[meeting.receiving], joint, meeting, values)
    if found is None or meeting.end is None:
        return None
    return _End(Face(meeting.end.value), found.high, dict.fromkeys(_DIRECTIONS, 0.0), found.at, round=True)


def _shoulder(
    of_piece: Mapping[str, tuple[Part, Piece]], meeting: Meeting, values: Values, bare: bool = False
) -> _End | None:
    """The shoulder of a plumb or a tipped piece against the face of a leaning one; a `bare` end has none, and ends
    where its centre line meets that face."""
    part, piece = of_piece[meeting.entering]
    other, leg = of_piece[meeting.receiving]
    place, runs = piece.place, part.runs
    assert leg.place is not None and leg.place.lean is not None
    if place is None or runs is None or other.runs is None or runs.length is Direction.Z:
        return None  # told where the joint is worked out
    lean, k = leg.place.lean, _DIRECTIONS.index(runs.length)
    high = (meeting.end is End.B) == place.end_a_low
    sizes = {runs.length: part.length, runs.width: part.width, runs.thickness: part.thickness}
    middle = [(place.corner[i] + sizes[direction] / 2).float_mm() for i, direction in enumerate(_DIRECTIONS)]
    half = (other.width if other.runs.width is runs.length else other.thickness) / 2
    if place.tilt is not None:
        about = [v.float_mm() for v in place.tilt.about]
        away = place.tilt.turn.of([a - b for a, b in zip(middle, about, strict=True)])
        middle = [a + b for a, b in zip(about, away, strict=True)]
    at, slopes = _plane(lean, k, half, high, middle, place.tilt)
    written = place.corner[k] + (sizes[runs.length] if high else Length(0))
    if abs((near(at) - written).mm) > MOST_OFF.mm:
        far = exact_text(near(abs(at - written.float_mm())))
        wrong = f"'{piece.mark}' ends {far} from the face of '{leg.mark}' that it enters"
        side = ("left", "front")[k] if high else ("right", "back")[k]
        values.note(meeting.at, "lean", wrong, f"let it end there: {leg.mark}.{side}")
        return None
    if bare:
        slopes = dict.fromkeys(slopes, 0.0)
    reach = sum(abs(slope) * sizes[direction].float_mm() / 2 for direction, slope in slopes.items())
    return _End(Face(meeting.end.value), high, slopes, near(at + reach if high else at - reach))  # type: ignore[union-attr]


def _flush(of_piece: Mapping[str, tuple[Part, Piece]], level: str, leaning: str) -> Iterator[_End]:
    """The ends of a level piece that runs over a leaning one and ends at its outer side: sawn to that."""
    part, piece = of_piece[level]
    other, leg = of_piece[leaning]
    place, runs = piece.place, part.runs
    assert leg.place is not None and leg.place.lean is not None
    if place is None or runs is None or other.runs is None or runs.length is Direction.Z or place.tilt is not None:
        return
    if "length" in part.places or "size" in part.places:
        return  # it is as long as it is written
    k = _DIRECTIONS.index(runs.length)
    sizes = {runs.length: part.length, runs.width: part.width, runs.thickness: part.thickness}
    middle = [(place.corner[i] + sizes[direction] / 2).float_mm() for i, direction in enumerate(_DIRECTIONS)]
    half = (other.width if other.runs.width is runs.length else other.thickness) / 2
    for high in (False, True):
        at, slopes = _plane(leg.place.lean, k, half, not high, middle, None)
        written = place.corner[k] + (sizes[runs.length] if high else Length(0))
        if abs((near(at) - written).mm) <= MOST_OFF.mm:
            reach = sum(abs(slope) * sizes[direction].float_mm() / 2 for direction, slope in slopes.items())
            face = Face.A if place.end_a_low != high else Face.B
            yield _End(face, high, slopes, near(at + reach if high else at - reach), flush=True)


def _plane(
    lean: Lean, k: int, half: Length, high: bool, middle: Sequence[float], tilt: Tilt | None
) -> tuple[float, dict[Direction, float]]:
    """Where a centre line along the build's axis `k` meets the face of a leaning piece that it comes to, and how that
    face slopes along the two other directions: of what is tipped, as it lies before it is."""
    normal = (lean.turn.x, lean.turn.y)[k]
    out = -half.float_mm() if high else half.float_mm()  # a piece that ends at its high side comes to the low face
    away = [middle[i] - lean.top[i].float_mm() for i in range(3)]
    away[k] = 0.0
    at = lean.top[k].float_mm() + (out - dot(normal, away)) / normal[k]
    own = tilt.turn.back(normal) if tilt is not None else normal
    return at, {_DIRECTIONS[i]: -own[i] / own[k] for i in range(3) if i != k}


def _longer(part: Part, ends: Mapping[str, list[_End]], values: Values) -> Part:
    """The part from long point to long point."""
    assert part.runs is not None
    k = _DIRECTIONS.index(part.runs.length)
    if "length" in part.places or "size" in part.places:
        into = "rounds" if all(end.round for each in ends.values() for end in each) else "leaning pieces"
        wrong = f"'{part.name}' meets {into}, and its length is written"
        right = "leave it out: it follows from its place, such as y: FL.back to BL.front"
        values.note(part.place("length" if "length" in part.places else "size"), "lean", wrong, right)
    pieces, lengths = [], []
    for piece in part.pieces:
        place = piece.place
        if place is None:
            pieces.append(piece)
            continue
        low, high = place.corner[k], place.corner[k] + part.length
        for end in ends.get(piece.mark, ()):
            low, high = (low, end.at) if end.high else (end.at, high)
        corner = [*place.corner]
        corner[k] = low
        lengths.append(high - low)
        pieces.append(replace(piece, place=replace(place, corner=(corner[0], corner[1], corner[2]))))
    if not _alike(part, lengths, "between its shoulders", values):
        return part
    return replace(part, length=lengths[0], pieces=tuple(pieces))


def _cuts(name: str, part: Part, ends: Mapping[str, Iterable[_End]]) -> Iterator[OwnCut]:
    """The end cuts of one part, those of one setting together."""
    alike: dict[tuple[Length, Length, Length | None], list[CutPlace]] = {}
    angles: dict[tuple[Length, Length, Length | None], tuple[Angle, Angle | None]] = {}
    for piece in part.pieces:
        for end in ends[piece.mark]:
            found = _cut(part, piece, end)
            if found is not None:
                place, key, set_to = found
                alike.setdefault(key, []).append(place)
                angles.setdefault(key, set_to)
    for key, on in alike.items():
        (off, over, skew), (angle, tilt) = key, angles[key]
        whole = off + skew if skew is not None else off
        called = f"{name} of {part.name}"
        at = on[0].at
        yield OwnCut(
            called, CutKind.END_CUT, tuple(on), whole, over, "", at, {}, angle=angle, tilt=tilt, skew=skew, follows=True
        )


def _cut(
    part: Part, piece: Piece, end: _End
) -> tuple[CutPlace, tuple[Length, Length, Length | None], tuple[Angle, Angle | None]] | None:
    """One end off square: where it is shorter, what comes off, and what is set; None of a square one."""
    place, runs = piece.place, part.runs
    assert place is not None and runs is not None
    across = abs(end.slopes[runs.width]), _short(end, runs.width, place.face_edge_low, (Face.EDGE, Face.FAR_EDGE))
    through = abs(end.slopes[runs.thickness]), _short(end, runs.thickness, place.face_side_low, (Face.FACE, Face.BACK))
    at = place.lean.at if place.lean is not None else piece.at
    if across[0] <= _NONE and through[0] <= _NONE:
        return None
    if across[0] <= _NONE or through[0] <= _NONE:
        lone, axis, other = (across, Axis.WIDTH, Axis.THICKNESS)
        if across[0] <= _NONE:
            lone, axis, other = (through, Axis.THICKNESS, Axis.WIDTH)
        angle, over = _angle(lone[0]), part.along(axis)
        found = CutPlace(piece.mark, end.face, (Length(0), part.along(other)), (Length(0), over), lone[1], at)
        return found, (_rounded(over * angle.tangent), over, None), (angle, None)
    angle = _angle(across[0])
    tilt = _angle(through[0] / (1 + across[0] ** 2) ** 0.5)
    on = CutPlace(
        piece.mark, end.face, (Length(0), part.thickness), (Length(0), part.width), across[1], at, third=through[1]
    )
    skew = _rounded(part.thickness * _angle(through[0]).tangent)
    return on, (_rounded(part.width * angle.tangent), part.width, skew), (angle, tilt)


def _short(end: _End, direction: Direction, first_low: bool, faces: tuple[Face, Face]) -> Face:
    """The face where the end comes out shorter: where its plane lies low at a high end, and high at a low one."""
    low = (end.slopes[direction] > 0) == end.high
    return faces[0] if low == first_low else faces[1]


def _angle(slope: float) -> Angle:
    return Angle(Fraction(round(slope * FINE), FINE))


def _rounded(length: Length) -> Length:
    return near(length.float_mm())
