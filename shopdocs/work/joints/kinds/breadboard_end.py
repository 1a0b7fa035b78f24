"""Breadboard end."""

from __future__ import annotations

from fractions import Fraction

from msgspec.structs import replace

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Severity
from shopdocs.model.joining import Face
from shopdocs.model.kinds.breadboard_end import GLUED_SHARE, MOVES, pins_of, right_count, uneven
from shopdocs.work.joints.frame import (
    DOWEL_SHARES,
    TENON_SHARE,
    Doubt,
    Frame,
    Geometry,
    Joinery,
    JointSizes,
    Range,
    about_middle,
    area,
    middle,
    thin,
)
from shopdocs.work.joints.room import depths
from shopdocs.work.space.placed import Bore, FeatureKind

GROOVE_SHARE = Fraction(1, 2)  # depth of the groove to the width of the cross piece (common practice, no source)


def breadboard_end(frame: Frame, sizes: JointSizes) -> Joinery:
    """A tongue across the end of the entering piece in a groove along the receiving one, and pins through both walls of
    the groove. The middle pin stands in a round hole of the tongue, the others in slots: as long as a pin is thick and
    the panel moves from there to the middle, either way."""
    whole = frame.entering.extent[frame.u]
    thickness = sizes.thickness or sizes.about(whole * TENON_SHARE)
    length, deep = depths(sizes.kind, sizes.length, sizes.depth, sizes.room)
    if length is None or deep is None:
        deep = sizes.about(frame.depth * GROOVE_SHARE)
        length = deep - sizes.room
    u, v = about_middle(frame.extent(frame.entering, frame.u), thickness), frame.shared_v
    entering, receiving = _pins(frame, sizes, u, length)
    cheeks = area(length, v[1] - v[0]) * 2 * GLUED_SHARE
    return Joinery(
        sizes.kind,
        frame.enters,
        frame.meets,
        (frame.cuboid(frame.entering, FeatureKind.TONGUE, (ZERO, length), u, v, sizes.name, adds=True), *entering),
        (frame.cuboid(frame.receiving, FeatureKind.GROOVE, (ZERO, deep), u, v, sizes.name), *receiving),
        length,
        deep - length,
        glue_area=cheeks,
        long_grain=cheeks,
        doubts=tuple(_doubts(frame, sizes, u, length, deep)),
    )


def pin_diameter(frame: Frame, sizes: JointSizes) -> Length:
    """What the build says, else a third of the cross piece's thickness, as for dowels."""
    return sizes.width or sizes.about(frame.receiving.extent[frame.u] * DOWEL_SHARES[0])


def _pins(frame: Frame, sizes: JointSizes, u: Range, length: Length) -> tuple[list[Bore], list[Bore]]:
    """The holes in the tongue and those through the cross piece, half way along the tongue."""
    diameter, centre = pin_diameter(frame, sizes), middle(frame.shared_v)
    moves = MOVES if sizes.moves is None else sizes.moves
    mine = _reference(frame.entering.pose.face_toward(frame.u, False), frame.entering.pose.face_toward(frame.u, True))
    theirs = _reference(
        frame.receiving.pose.face_toward(frame.u, False), frame.receiving.pose.face_toward(frame.u, True)
    )
    axis = frame.entering.pose.piece_axis(frame.u)
    entering, receiving = [], []
    for place in frame.spread(pins_of(sizes.count)):
        lo, _ = frame.corners((length / 2, length / 2), (middle(u), middle(u)), (place, place))
        spot = (lo[0], lo[1], lo[2])
        slack = _upward(abs(place - centre) * moves, sizes.step) * 2 if place != centre else ZERO
        kind = FeatureKind.PIN_SLOT if slack else FeatureKind.HOLE
        hole = frame.bore(frame.entering, kind, spot, mine, diameter, u[1] - u[0], sizes.name)
        level = list(hole.centre)
        level[axis] = (frame.entering.size[axis] - (u[1] - u[0])) / 2
        hole = replace(hole, centre=(level[0], level[1], level[2]))
        if slack:
            hole = replace(hole, slot=diameter + slack, slot_axis=frame.entering.pose.piece_axis(frame.v))
        entering.append(hole)
        receiving.append(frame.bore(frame.receiving, FeatureKind.PIN_HOLE, spot, theirs, diameter, None, sizes.name))
    return entering, receiving


def _reference(one: Face, other: Face) -> Face:
    """Which of two opposite faces you gauge from."""
    return one if one in (Face.FACE, Face.EDGE, Face.A) else other


def _upward(length: Length, step: Length) -> Length:
    return step * -(-length.mm // step.mm)


def _doubts(frame: Frame, sizes: JointSizes, u: Range, length: Length, deep: Length) -> list[Doubt]:
    panel, cross = frame.entering, frame.receiving
    doubts: list[Doubt] = []
    if frame.enters not in (Face.A, Face.B) or cross.pose.build_axis(0) != frame.v:
        doubts.append(
            Doubt(
                "not-across-the-end",
                f"{cross.mark} does not lie across an end of {panel.mark}, along its width",
                "a breadboard end goes across the grain; along an edge glue holds alone (edge joint)",
            )
        )
    if u[1] - u[0] >= panel.extent[frame.u]:
        doubts.append(
            Doubt(
                "tongue-too-thick",
                f"the tongue is {exact_text(u[1] - u[0])} thick, {panel.mark} {exact_text(panel.extent[frame.u])}",
                "about a third of it leaves two shoulders",
            )
        )
    low, high = frame.extent(cross, frame.u)
    doubts += thin("thin-wall", f"the groove in {cross.mark}", min(u[0] - low, high - u[1]), "make the tongue thinner")
    doubts += thin("thin-floor", f"the groove in {cross.mark}", frame.depth - deep, "make it less deep")
    ends = frame.extent(cross, frame.v)
    if frame.shared_v != frame.extent(panel, frame.v):
        doubts.append(
            Doubt(
                "shorter-than-the-panel",
                f"{cross.mark} is {exact_text(ends[1] - ends[0])} long and leaves some of the end of {panel.mark} bare",
                "make it as long as the panel is wide, or longer",
            )
        )
    if uneven(sizes.count):
        doubts.append(Doubt("pins-uneven", uneven(sizes.count), right_count(sizes.count)))
    diameter = pin_diameter(frame, sizes)
    beside = (length - diameter) / 2
    if beside < diameter / 2:
        what = "no wood" if beside <= ZERO else exact_text(beside)
        doubts.append(
            Doubt(
                "pin-near-the-shoulder",
                f"pins of {exact_text(diameter)} leave {what} beside them in a tongue {exact_text(length)} long",
                "take thinner pins, or a longer tongue; half a pin is common practice",
                Severity.ERROR if beside <= ZERO else Severity.WARNING,
            )
        )
    return doubts


GEOMETRY = Geometry(breadboard_end)
