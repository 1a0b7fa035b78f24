"""Screwed butt."""

from __future__ import annotations

from shopdocs.core.display import exact_text
from shopdocs.model.joining import OPPOSITE
from shopdocs.work.joints.frame import Doubt, Frame, Geometry, Joinery, JointSizes, area, middle, overhang
from shopdocs.work.space.placed import Bore, FeatureKind


def screwed_butt(frame: Frame, sizes: JointSizes) -> Joinery:
    """`count` screws through the receiving piece into the entering one. `thickness` is the clearance hole, `width` the
    pilot hole, `length` the screw; holes whose diameter is not given are left to the screw tables, by `centres`."""
    u = middle(frame.shared_u)
    centres = tuple(frame.centre(u, place) for place in frame.spread(sizes.count))
    entering: list[Bore] = []
    receiving: list[Bore] = []
    doubts = overhang(frame)
    if sizes.length is not None and sizes.length <= frame.depth:
        doubts.append(
            Doubt(
                "screw-too-short",
                f"the screws are {exact_text(sizes.length)} long, {frame.receiving.mark} is "
                f"{exact_text(frame.depth)} thick",
                "take longer screws or counterbore",
            )
        )
    through = frame.depth + frame.entering.extent[frame.n]
    if sizes.length is not None and sizes.length > through:
        doubts.append(
            Doubt(
                "screw-too-long",
                f"the screws are {exact_text(sizes.length)} long and come out of {frame.entering.mark}, "
                f"by {exact_text(sizes.length - through)}",
                f"take screws shorter than {exact_text(through)}",
            )
        )
    for centre in centres:
        if sizes.thickness is not None:
            outside = OPPOSITE[frame.meets]
            receiving.append(
                frame.bore(frame.receiving, FeatureKind.SCREW_HOLE, centre, outside, sizes.thickness, None, sizes.name)
            )
        if sizes.width is not None and sizes.length is not None and sizes.length > frame.depth:
            deep = sizes.length - frame.depth
            entering.append(
                frame.bore(frame.entering, FeatureKind.PILOT_HOLE, centre, frame.enters, sizes.width, deep, sizes.name)
            )
    shared = area(frame.shared_u[1] - frame.shared_u[0], frame.shared_v[1] - frame.shared_v[0])
    return Joinery(
        sizes.kind,
        frame.enters,
        frame.meets,
        tuple(entering),
        tuple(receiving),
        centres=centres,
        glue_area=shared,
        doubts=tuple(doubts),
    )


GEOMETRY = Geometry(screwed_butt)
