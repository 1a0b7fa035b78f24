"""Splined edge joint."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.core.length import ZERO
from shopdocs.work.joints.frame import Doubt, Frame, Geometry, Joinery, JointSizes, about_middle, area, middle, thin
from shopdocs.work.joints.tenons import in_both, tenon_thickness, walls
from shopdocs.work.space.placed import FeatureKind, side_of


def splined_edge_joint(frame: Frame, sizes: JointSizes) -> Joinery:
    """A groove in either piece, as long as they touch, `depth` deep: half of the spline, whose width is `length`, and
    the `room`."""
    (wide, deep), thickness = (
        in_both(frame, sizes),
        sizes.thickness or tenon_thickness(frame.entering.mark, frame.entering.extent[frame.u], sizes)[0],
    )
    u, v = about_middle(frame.shared_u, thickness), frame.shared_v
    low, high = frame.extent(frame.entering, frame.u)
    what = f"the groove in {frame.entering.mark}"
    doubts: list[Doubt] = [
        *walls(frame, u, "groove", "spline"),
        *thin("thin-wall", what, min(u[0] - low, high - u[1]), "make the spline thinner or move the piece"),
        *thin("thin-floor", f"the groove in {frame.receiving.mark}", frame.depth - deep, "make the spline narrower"),
        *thin("thin-floor", what, frame.entering.extent[frame.n] - deep, "make the spline narrower"),
    ]
    edges = area(frame.shared_u[1] - frame.shared_u[0] - thickness, v[1] - v[0])
    on_edges = all(side_of(face)[0] for face in (frame.enters, frame.meets))
    return Joinery(
        sizes.kind,
        frame.enters,
        frame.meets,
        (frame.cuboid(frame.entering, FeatureKind.SPLINE_GROOVE, (-deep, ZERO), u, v, sizes.name),),
        (frame.cuboid(frame.receiving, FeatureKind.SPLINE_GROOVE, (ZERO, deep), u, v, sizes.name),),
        centres=(frame.centre(middle(u), middle(v)),),
        glue_area=edges + area(wide, v[1] - v[0]) * 2,
        long_grain=edges if on_edges else Fraction(0),
        doubts=tuple(doubts),
    )


GEOMETRY = Geometry(splined_edge_joint)
