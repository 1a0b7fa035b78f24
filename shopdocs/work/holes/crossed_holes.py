"""What the holes go through that are meant to cross others, and where a drawbored tenon has a hole of its own.

A drawbore pin pulls the shoulder up because the hole in the tenon lies a little nearer to the shoulder than the one
through the cheeks of the mortise (common practice).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

from shopdocs.core.length import Length
from shopdocs.model.build import Build
from shopdocs.model.joining import Hardware, Meeting
from shopdocs.work.scene.in_space import Space, bore_of
from shopdocs.work.space.drilled import Drilled
from shopdocs.work.space.placed import Bore, Cuboid, FeatureKind, PlacedPiece, Spot, face_of, side_of


class Crossing(Struct, frozen=True):
    """A hole of hardware that crosses something: the meetings whose tenon or dowels it goes through, by their pieces'
    places, and the other hardware with holes in its piece. `joints` are names, where no place tells the meetings."""

    hole: Drilled
    item: Hardware
    meetings: tuple[Meeting, ...]
    joints: tuple[str, ...]
    hardware: tuple[str, ...]


class TenonHole(Struct, frozen=True):
    """The hole of a drawbore pin in a tenon, `offset` nearer to the shoulder than the hole `crossing` it."""

    mark: str
    bore: Bore
    offset: Length
    crossing: Crossing


def crossings(build: Build, holes: Iterable[Drilled], space: Space | None) -> tuple[Crossing, ...]:
    """Every hole of hardware that says what it crosses, in reading order."""
    asking = {item.name: item for item in build.hardware if item.crosses}
    if not asking:
        return ()
    meetings = {meeting.number: meeting for _, meeting in build.meetings()}
    parts = {piece.mark: part for part, piece in build.pieces()}
    own = [hole for hole in holes if hole.hardware in asking or hole.hardware in _named(asking.values())]
    found = []
    for hole in own:
        item = asking.get(hole.hardware)
        if item is None:
            continue
        placed = space.pieces.get(hole.piece) if space is not None else None
        crossed: list[Meeting] = []
        if placed is not None:
            bore = bore_of(hole, parts[hole.piece])
            crossed = [meetings[n] for n in _numbers(placed, bore) if meetings[n].joint in item.crosses]
        told = {meeting.joint for meeting in crossed}
        near = {m.joint for m in meetings.values() if hole.piece in (m.entering, m.receiving)} if placed is None else ()
        here = {other.hardware for other in own if other.piece == hole.piece}
        found.append(
            Crossing(
                hole,
                item,
                tuple(crossed),
                tuple(name for name in item.crosses if name in near and name not in told),
                tuple(name for name in item.crosses if name in here),
            )
        )
    return tuple(found)


def _named(items: Iterable[Hardware]) -> set[str]:
    return {name for item in items for name in item.crosses}


def _numbers(piece: PlacedPiece, bore: Bore) -> list[int]:
    """The joints of a piece whose mortise or dowel holes the axis of a bore goes through."""
    axis, _ = side_of(bore.face)
    numbers: dict[int, None] = {}
    for feature in piece.features:
        if not feature.joint.isdecimal():
            continue
        if isinstance(feature, Cuboid):
            through = not feature.adds and _within(feature, bore.centre, axis)
        else:
            other = side_of(feature.face)[0]
            third = 3 - axis - other
            apart = abs(feature.centre[third] - bore.centre[third])
            reach = abs(bore.centre[other] - feature.centre[other])
            through = other != axis and apart < (feature.diameter + bore.diameter) / 2
            through = through and (feature.depth is None or reach < feature.depth)
        if through:
            numbers[int(feature.joint)] = None
    return sorted(numbers)


def _within(cuboid: Cuboid, spot: Spot, look: int) -> bool:
    """Whether a line along one axis through a spot goes through a cuboid."""
    return all(cuboid.lo[k] < spot[k] < cuboid.hi[k] for k in range(3) if k != look)


def tenon_holes(found: Iterable[Crossing], build: Build, space: Space | None) -> Iterator[TenonHole]:
    """The holes of drawbore pins in the tenons they draw, for pieces with places."""
    parts = {piece.mark: part for part, piece in build.pieces()}
    for crossing in found:
        offset = crossing.item.offset
        if space is None or not offset:
            continue
        for meeting in crossing.meetings:
            holed, tenoned = space.pieces[crossing.hole.piece], space.pieces[meeting.entering]
            enters = space.joinery[meeting.number].enters
            if meeting.receiving != holed.mark or enters is None:
                continue
            own = bore_of(crossing.hole, parts[holed.mark])
            look = tenoned.pose.piece_axis(holed.pose.build_axis(side_of(own.face)[0]))
            spot = tenoned.spot_in_piece(holed.spot_in_build(own.centre))
            for tenon in tenoned.cuboids:
                if tenon.adds and tenon.joint == str(meeting.number) and _within(tenon, spot, look):
                    bore = _in_tenon(own, tenon, spot, look, side_of(enters), offset)
                    yield TenonHole(tenoned.mark, bore, offset, crossing)


def _in_tenon(own: Bore, tenon: Cuboid, spot: Spot, look: int, enters: tuple[int, bool], offset: Length) -> Bore:
    """The hole through a tenon: as wide as the other, from cheek to cheek."""
    level = [*spot]
    level[look] = tenon.lo[look]
    axis, high = enters
    moved = [*level]
    moved[axis] = level[axis] - offset if high else level[axis] + offset
    centre, against = (moved[0], moved[1], moved[2]), (level[0], level[1], level[2])
    return Bore(FeatureKind.HOLE, face_of(look, False), centre, own.diameter, tenon.size[look], against=against)
