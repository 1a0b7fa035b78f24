"""Housing."""

from __future__ import annotations

from shopdocs.core.length import ZERO
from shopdocs.work.joints.frame import (
    HOUSING_SHARE,
    Frame,
    Geometry,
    Joinery,
    JointSizes,
    about_middle,
    area,
    overhang,
    thin,
)
from shopdocs.work.space.placed import FeatureKind


def housing(frame: Frame, sizes: JointSizes) -> Joinery:
    """The whole end of the entering piece let into the receiving one. With `width`, the housing stops short of the
    entering piece's face edge and only so much of the end goes in."""
    depth = sizes.depth or sizes.about(frame.depth * HOUSING_SHARE)
    u, v = frame.shared_u, frame.stopped(sizes.width)
    if sizes.thickness is not None:
        u = about_middle(frame.extent(frame.entering, frame.u), sizes.thickness)
    doubts = overhang(frame)
    deepest = frame.depth - depth - sizes.room
    doubts += thin("thin-floor", f"the housing in {frame.receiving.mark}", deepest, "cut it less deep")
    sides = area(depth, v[1] - v[0]) * 2
    return Joinery(
        sizes.kind,
        frame.enters,
        frame.meets,
        (frame.cuboid(frame.entering, FeatureKind.HOUSED_END, (ZERO, depth), u, v, sizes.name, adds=True),),
        (frame.cuboid(frame.receiving, FeatureKind.HOUSING, (ZERO, depth + sizes.room), u, v, sizes.name),),
        depth,
        sizes.room,
        glue_area=sides + area(u[1] - u[0], v[1] - v[0]),
        doubts=tuple(doubts),
    )


GEOMETRY = Geometry(housing)
