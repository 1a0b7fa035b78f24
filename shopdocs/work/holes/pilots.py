"""The pilots that no line of the build asks for: a screw through one piece bites in the next one, and where that wood
splits it wants a hole there, on the same axis, as deep as the screw goes in.

A pilot that the maker gives, or any other hole that is there already, wins. What cannot be worked out is kept, so that
a check can tell it: a screw without a length, and a piece between the head and the thread that holds the screw fast.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.length import ZERO, Length
from shopdocs.facts.movement import species
from shopdocs.facts.screws import Size, nearest_bit, needs_pilot, pilot_hole, screw_for
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import Face, Hole, HolePlace, HoleUse, Joint, Meeting, Screw
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import Part
from shopdocs.work.holes.fastening import Fastening, Line, Mouth, Passage, apart
from shopdocs.work.scene.in_space import Space
from shopdocs.work.space.askew_piece import AskewPiece, way_in_build
from shopdocs.work.space.drilled import Bore, Drilled, bore, wood_group
from shopdocs.work.space.placed import Bore as PlacedBore
from shopdocs.work.space.placed import FeatureKind, side_of
from shopdocs.work.space.slanting import passed, sides_of


class Lacking(Struct, frozen=True):
    """A hole that the build should give: in `mark`, on `face`, its centre `along` and `across`, for the screw of
    `line`. `use` is pilot where the screw's length is not known, clearance where the screw only passes; `bites` is the
    piece that its thread ends in, `room` the wood behind the face."""

    line: Line
    screw: Screw
    mark: str
    face: Face
    along: Length
    across: Length
    use: HoleUse
    bites: str
    room: Length


class Pilots(Struct, frozen=True):
    """Pilots of hardware that were worked out, in reading order of the holes their screws come through, and what is
    lacking all the same."""

    drilled: tuple[Drilled, ...] = ()
    lacking: tuple[Lacking, ...] = ()


def wants_pilot(build: Build, part: Part) -> bool:
    """Whether the wood of a part splits, or stops a screw, without a pilot."""
    wood = species(build.material(part.material).species)
    return needs_pilot(wood_group(build, part), wood.gravity if wood is not None else None)


def pilots_of(build: Build, shop: Shop, fastening: Fastening) -> Pilots:
    """What the screws of all hardware need in the pieces behind the one their head is in."""
    parts = {piece.mark: part for part, piece in build.pieces()}
    wanting = {mark: wants_pilot(build, part) for mark, part in parts.items()}
    drilled: list[Drilled] = []
    lacking: list[Lacking] = []
    taken: set[tuple[int, tuple[int, ...]]] = set()
    for line, mouth in _nearest(fastening).items():
        assert line.screw is not None
        passage = fastening.passage(mouth)
        if not passage.into or not _lands(fastening, mouth):
            continue
        lacking += list(_held_fast(fastening, line, passage))
        far = passage.into[-1]
        own = (far, tuple(line.entry[k] for k in line.across))
        if not wanting[fastening.space.scene.pieces[far].mark] or own in taken or _has_hole(fastening, line, far):
            continue
        if _has_slanting_hole(fastening, line, far):
            continue
        taken.add(own)
        if line.screw.length is None:
            lacking.append(_lacking(fastening, line, far, HoleUse.PILOT, far, mouth.plane))
        elif passage.before:
            drilled += _pilot(build, shop, fastening, line, passage, parts)
    return Pilots(tuple(drilled), tuple(lacking))


def _nearest(fastening: Fastening) -> Mapping[Line, Mouth]:
    """The first mouth behind every clearance hole of a wood screw, in reading order."""
    found: dict[Line, Mouth] = {}
    for mouth in fastening.mouths:
        line = mouth.line
        screw = line.screw
        if not mouth.outward or mouth.off or line.joint or line.use is not HoleUse.CLEARANCE:
            continue
        if screw is None or screw.bolt:
            continue
        if line not in found or line.along(mouth.plane) < line.along(found[line].plane):
            found[line] = mouth
    return found


def _lands(fastening: Fastening, mouth: Mouth) -> bool:
    """Whether the whole round of a hole comes out on the neighbour; where it does not, that is told, and no pilot is
    put at its edge."""
    line = mouth.line
    facings = (each for each in fastening.touches(line.piece, line.axis) if each.neighbour == mouth.neighbour)
    return any(line.within(facing.where) for facing in facings if facing.where.lo[line.axis] == mouth.plane)


def _has_hole(fastening: Fastening, line: Line, piece: int) -> bool:
    """Whether a piece has a hole there already, or one near it that was meant to be there and is told as amiss."""
    return any(
        other.axis == line.axis and apart(line, other) <= max(line.radius + other.radius, _meant(fastening, other))
        for other in fastening.of_piece.get(piece, ())
    )


def _has_slanting_hole(fastening: Fastening, line: Line, piece: int) -> bool:
    """Whether the same hardware has a hole at an angle in a piece, or one square to a side of a piece that leans, on
    the axis of a hole that leads there."""
    placed = fastening.space.scene.pieces[piece]
    for other in placed.bores:
        if (other.slanting is not None or isinstance(placed, AskewPiece)) and other.joint == line.name:
            spot = [round(value.mm * fastening.ticks.per_mm) for value in placed.spot_in_build(other.centre)]
            if max(abs(spot[k] - line.entry[k]) for k in line.across) <= line.radius:
                return True
    return False


def _meant(fastening: Fastening, other: Line) -> int:
    return fastening.near if other.use is HoleUse.PILOT else 0


def _held_fast(fastening: Fastening, line: Line, passage: Passage) -> Iterator[Lacking]:
    """Pieces that the screw goes right through without a hole to slide in."""
    for piece in passage.into[:-1]:
        if not _has_hole(fastening, line, piece):
            yield _lacking(fastening, line, piece, HoleUse.CLEARANCE, passage.into[-1], 0)


def _lacking(fastening: Fastening, line: Line, piece: int, use: HoleUse, bites: int, plane: int) -> Lacking:
    assert line.screw is not None
    pieces = fastening.space.scene.pieces
    face = _face_to_head(fastening, line, piece)
    along, across = fastening.measures(line, piece, face)
    room = pieces[piece].extent[line.axis]
    return Lacking(line, line.screw, pieces[piece].mark, face, along, across, use, pieces[bites].mark, room)


def _face_to_head(fastening: Fastening, line: Line, piece: int) -> Face:
    """The face of a piece that looks to where the head of the screw is."""
    return fastening.space.scene.pieces[piece].pose.face_toward(line.axis, not line.ahead)


def _pilot(
    build: Build, shop: Shop, fastening: Fastening, line: Line, passage: Passage, parts: Mapping[str, Part]
) -> Iterator[Drilled]:
    """As deep as the screw goes in, but never out at the other side. In a piece that leans or is tipped it keeps the
    line of the screw, at an angle to its own faces."""
    assert line.screw is not None
    assert line.screw.length is not None
    far = passage.into[-1]
    mark = fastening.space.scene.pieces[far].mark
    face = _face_to_head(fastening, line, far)
    along, across = fastening.measures(line, far, face)
    tip = line.seat + fastening.ticks.count(line.screw.length)
    deep = fastening.ticks.length(min(tip, passage.room or tip) - passage.last)
    hole = Hole(along, across, HoleUse.PILOT, line.screw, depth=deep, at=line.hole_at)
    found = bore(hole, wood_group(build, parts[mark]), build, shop)
    piece = fastening.space.scene.pieces[far]
    if isinstance(piece, AskewPiece):
        way = [0.0, 0.0, 0.0]
        way[line.axis] = 1.0 if line.ahead else -1.0
        start = [fastening.ticks.length(value) for value in line.entry]
        gone = passed(piece, sides_of(piece, build.cuts), start, (way[0], way[1], way[2]))
        if gone is None:
            return
        face, found = gone.enters, replace(found, slanting=gone.slanting)
        along, across = (value for k, value in enumerate(gone.mouth) if k != side_of(face)[0])
    place = HolePlace(mark, face, ZERO, ZERO, at=line.at)
    yield Drilled(mark, face, along, across, False, found, line.name, hole, place, line.mark)


# Pilots of screwed joints.


def pilot_of_joint(
    build: Build, shop: Shop, space: Space, joint: Joint, meeting: Meeting
) -> tuple[tuple[PlacedBore, ...], Bore] | None:
    """The pilots of a screwed joint whose lines give the screw, by its clearance hole and its length, and no pilot:
    where they are, and what is bored. None where the build gives it, or no screw, or the wood wants none."""
    joinery = space.joinery.get(meeting.number)
    size = screw_of_joint(joint)
    if joinery is None or joinery.enters is None or size is None or joint.length is None or joint.width is not None:
        return None
    part = next(part for part, piece in build.pieces() if piece.mark == meeting.entering)
    piece, other = space.pieces[meeting.entering], space.pieces[meeting.receiving]
    axis, high = side_of(joinery.enters)
    if joinery.meets is None:
        return None
    meets = side_of(joinery.meets)
    deep = joint.length - other.size[meets[0]]
    if not wants_pilot(build, part) or deep <= ZERO:
        return None
    pilot = pilot_hole(size, wood_group(build, part))
    choice = nearest_bit(pilot.diameter, build.units, shop.bits or None, HoleUse.PILOT.value)
    found = Bore(HoleUse.PILOT, pilot.diameter, choice, deep, None, None, None, None, pilot.source, pilot.note)
    bores = []
    askew = isinstance(piece, AskewPiece) or isinstance(other, AskewPiece)
    looks = way_in_build(other, meets[0])
    way = looks if meets[1] else (-looks[0], -looks[1], -looks[2])
    for centre in joinery.centres:
        gone = passed(piece, sides_of(piece, build.cuts), centre, way) if askew else None
        if gone is not None:  # it keeps the line of the screw
            made = PlacedBore(FeatureKind.PILOT_HOLE, gone.enters, gone.mouth, found.bit, deep, str(meeting.number))
            bores.append(replace(made, slanting=gone.slanting))
            continue
        spot = list(piece.spot_in_piece(centre))
        spot[axis] = piece.size[axis] if high else ZERO
        at = (spot[0], spot[1], spot[2])
        bores.append(PlacedBore(FeatureKind.PILOT_HOLE, joinery.enters, at, found.bit, deep, str(meeting.number)))
    return tuple(bores), found


def screw_of_joint(joint: Joint) -> Size | None:
    """The screw that the clearance hole of a screwed joint is for; None where it is no screwed joint, or gives none."""
    if not KINDS[joint.kind].screwed or joint.thickness is None:
        return None
    return screw_for(joint.thickness)
