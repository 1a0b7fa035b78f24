"""Loose tenon."""

from __future__ import annotations

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO
from shopdocs.work.joints.frame import Doubt, Frame, Geometry, Joinery, JointSizes, about_middle, area, middle, thin
from shopdocs.work.joints.tenons import in_both, tenon_thickness, walls
from shopdocs.work.space.placed import FeatureKind


def loose_tenon(frame: Frame, sizes: JointSizes) -> Joinery:
    """Mortises in both pieces for `count` loose tenons, `depth` deep in each: half of `length` and the `room`."""
    thickness, doubts = tenon_thickness(frame.entering.mark, frame.entering.extent[frame.u], sizes)
    length, deep = in_both(frame, sizes)
    half = length / 2
    places = frame.spread(sizes.count)
    whole = frame.shared_v[1] - frame.shared_v[0]
    width = sizes.width or sizes.about(whole / (2 * sizes.count))
    if width * sizes.count >= whole:
        doubts.append(
            Doubt(
                "no-room",
                f"{sizes.count} loose tenons {exact_text(width)} wide do not fit in {exact_text(whole)}",
                "make them narrower or fewer",
            )
        )
    u = about_middle(frame.shared_u, thickness)
    entering, receiving = [], []
    for place in places:
        v = (place - width / 2, place + width / 2)
        entering.append(frame.cuboid(frame.entering, FeatureKind.MORTISE, (-deep, ZERO), u, v, sizes.name))
        receiving.append(frame.cuboid(frame.receiving, FeatureKind.MORTISE, (ZERO, deep), u, v, sizes.name))
    doubts += walls(frame, u)
    doubts += thin(
        "thin-floor", f"the mortise in {frame.receiving.mark}", frame.depth - deep, "shorten the loose tenon"
    )
    cheeks = area(half, width) * 4 * sizes.count
    return Joinery(
        sizes.kind,
        frame.enters,
        frame.meets,
        tuple(entering),
        tuple(receiving),
        centres=tuple(frame.centre(middle(frame.shared_u), place) for place in places),
        glue_area=cheeks + area(half, thickness) * 4 * sizes.count,
        long_grain=cheeks,
        doubts=tuple(doubts),
    )


GEOMETRY = Geometry(loose_tenon)
