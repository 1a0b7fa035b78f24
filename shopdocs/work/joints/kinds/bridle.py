"""Bridle."""

from __future__ import annotations

from shopdocs.core.length import ZERO
from shopdocs.work.joints.bridled import bridled
from shopdocs.work.joints.frame import Doubt, Frame, Geometry, Joinery, JointSizes, about_middle, area, overhang
from shopdocs.work.joints.tenons import tenon_thickness, walls
from shopdocs.work.space.placed import FeatureKind


def bridle(frame: Frame, sizes: JointSizes) -> Joinery:
    """A tenon as wide as its piece in a mortise open at the end of the other."""
    thickness, doubts = tenon_thickness(frame.entering.mark, frame.entering.extent[frame.u], sizes)
    u = about_middle(frame.extent(frame.entering, frame.u), thickness)
    v, whole, out = frame.shared_v, (ZERO, frame.depth), frame.depth + sizes.proud
    doubts += overhang(frame) + walls(frame, u)
    if v[0] > frame.receiving.at[frame.v] and v[1] < frame.receiving.far[frame.v]:
        doubts.append(
            Doubt(
                "bridle-not-at-the-end",
                f"{frame.entering.mark} does not meet {frame.receiving.mark} at its end",
                "make a through tenon, or move the piece to the end",
            )
        )
    cheeks = area(frame.depth, v[1] - v[0]) * 2
    return Joinery(
        sizes.kind,
        frame.enters,
        frame.meets,
        (frame.cuboid(frame.entering, FeatureKind.TENON, (ZERO, out), u, v, sizes.name, adds=True),),
        (frame.cuboid(frame.receiving, FeatureKind.SLOT, whole, u, v, sizes.name),),
        out,
        glue_area=cheeks,
        long_grain=cheeks,
        doubts=tuple(doubts),
    )


GEOMETRY = Geometry(bridle, askew=bridled)
