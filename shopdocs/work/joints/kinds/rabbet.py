"""Rabbet."""

from __future__ import annotations

from shopdocs.core.length import ZERO
from shopdocs.work.joints.frame import Doubt, Frame, Geometry, Joinery, JointSizes, area, thin
from shopdocs.work.space.placed import FeatureKind


def rabbet(frame: Frame, sizes: JointSizes) -> Joinery:
    """The end or edge of the entering piece in a rabbet at the edge of the receiving one."""
    depth = sizes.depth or frame.depth / 2
    u, v = frame.shared_u, frame.shared_v
    doubts: list[Doubt] = []
    low, high = frame.extent(frame.receiving, frame.u)
    if u[0] > low and u[1] < high:
        doubts.append(
            Doubt(
                "rabbet-not-at-the-edge",
                f"{frame.entering.mark} does not meet {frame.receiving.mark} at its edge",
                "make a housing, or move the piece to the edge",
            )
        )
    doubts += thin("thin-floor", f"the rabbet in {frame.receiving.mark}", frame.depth - depth, "cut it less deep")
    return Joinery(
        sizes.kind,
        frame.enters,
        frame.meets,
        (frame.cuboid(frame.entering, FeatureKind.HOUSED_END, (ZERO, depth), u, v, sizes.name, adds=True),),
        (frame.cuboid(frame.receiving, FeatureKind.RABBET, (ZERO, depth), u, v, sizes.name),),
        depth,
        glue_area=area(u[1] - u[0], v[1] - v[0]) + area(depth, v[1] - v[0]),
        doubts=tuple(doubts),
    )


GEOMETRY = Geometry(rabbet)
