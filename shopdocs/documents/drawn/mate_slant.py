"""Where to write a mate mark on a mitre: the slanting face of either piece, beside the slot of a spline."""

from __future__ import annotations

from typing import NamedTuple

from shopdocs.core.box import AXES, Box, Corner, Ticks
from shopdocs.documents.drawn.mate_sketch import Patch
from shopdocs.model.joining import Meeting
from shopdocs.model.joint_names import Trait
from shopdocs.work.scene.in_space import Space
from shopdocs.work.space.placed import PlacedPiece


class Mitred(NamedTuple):
    """A mitre's face as either piece shows it, the box of the corner (ticks), and the axis that both lie along."""

    faces: tuple[Patch, Patch]
    corner: Box
    along: int


def mitred(space: Space, meeting: Meeting) -> Mitred | None:
    """None where the joint is not a mitre, or could not be cut as one."""
    scene, made = space.scene, space.joinery.get(meeting.number)
    pieces = [space.pieces.get(mark) for mark in (meeting.entering, meeting.receiving)]
    if made is None or made.enters is None or made.meets is None:
        return None
    one, two = pieces
    if one is None or two is None or not all(_is_mitred(piece, meeting) for piece in (one, two)):
        return None
    (n, n_high), (m, m_high) = one.pose.look_of(made.enters), two.pose.look_of(made.meets)
    corner = scene.solids[scene.index(one.mark)].body.overlap(scene.solids[scene.index(two.mark)].body)
    if corner is None or n == m:
        return None
    along = next(axis for axis in AXES if axis not in (n, m))
    low, high = _beside_slot(one, meeting, scene.ticks, along, (corner.lo[along], corner.hi[along]))
    outer, inner = _across(corner, n, m, n_high, m_high), _across(corner, n, m, not n_high, not m_high)
    ends = ((outer, low), (inner, low), (inner, high), (outer, high))
    corners = tuple(_at(spot, along, value) for spot, value in ends)
    out = [0, 0, 0]
    out[n], out[m] = 1 if n_high else -1, -1 if m_high else 1
    away = (-out[0], -out[1], -out[2])
    return Mitred((Patch(one.mark, corners, (out[0], out[1], out[2])), Patch(two.mark, corners, away)), corner, along)


def _is_mitred(piece: PlacedPiece, meeting: Meeting) -> bool:
    return any(Trait.MEETS_SLOPE in c.kind.traits and c.joint == str(meeting.number) for c in piece.cuboids)


def _beside_slot(
    piece: PlacedPiece, meeting: Meeting, ticks: Ticks, along: int, whole: tuple[int, int]
) -> tuple[int, int]:
    """The wider of the strips that the slot of a spline leaves; all of the face where there is none."""
    for cuboid in piece.cuboids:
        if Trait.IN_SLOPE in cuboid.kind.traits and cuboid.joint == str(meeting.number):
            lo, hi = piece.range_in_build(cuboid.lo, cuboid.hi)
            strips = ((whole[0], ticks.count(lo[along])), (ticks.count(hi[along]), whole[1]))
            return max(strips, key=lambda strip: strip[1] - strip[0])
    return whole


def _across(corner: Box, n: int, m: int, n_high: bool, m_high: bool) -> Corner:
    spot = list(corner.lo)
    spot[n], spot[m] = (corner.hi if n_high else corner.lo)[n], (corner.hi if m_high else corner.lo)[m]
    return (spot[0], spot[1], spot[2])


def _at(spot: Corner, axis: int, value: int) -> Corner:
    found = list(spot)
    found[axis] = value
    return (found[0], found[1], found[2])
