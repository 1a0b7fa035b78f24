"""Dowels."""

from __future__ import annotations

from shopdocs.core.display import exact_text
from shopdocs.core.length import PI
from shopdocs.core.problems import Severity
from shopdocs.work.joints.frame import (
    DOWEL_SHARES,
    THINNEST_WALL,
    Doubt,
    Frame,
    Geometry,
    Joinery,
    JointSizes,
    about_middle,
    middle,
    thin,
)
from shopdocs.work.joints.tenons import in_both, walls
from shopdocs.work.space.placed import FeatureKind


def dowels(frame: Frame, sizes: JointSizes) -> Joinery:
    """`count` dowels of diameter `thickness`; the holes `depth` deep in each piece: half the dowel's `length` and the
    `room`."""
    thinner = min(frame.shared_u[1] - frame.shared_u[0], frame.entering.thickness)
    diameter = sizes.thickness or sizes.about(thinner * DOWEL_SHARES[0])
    length, deep = in_both(frame, sizes)
    doubts = []
    if not DOWEL_SHARES[0] <= diameter / thinner <= DOWEL_SHARES[1]:
        doubts.append(
            Doubt(
                "dowel-size",
                f"dowels of {exact_text(diameter)} in wood {exact_text(thinner)} thick",
                "common practice is a third to half of the thickness",
                Severity.WARNING,
            )
        )
    whole = frame.shared_v[1] - frame.shared_v[0]
    if diameter * sizes.count * 2 > whole:
        doubts.append(
            Doubt(
                "no-room",
                f"{sizes.count} dowels of {exact_text(diameter)} do not fit well in {exact_text(whole)}",
                "take fewer or thinner dowels",
            )
        )
    u = middle(frame.shared_u)
    least = min(THINNEST_WALL, thinner * (1 - DOWEL_SHARES[1]) / 2)  # what the thickest dowel leaves of thin wood
    doubts += walls(frame, about_middle(frame.shared_u, diameter), "dowel hole", "dowels", least)
    doubts += thin("thin-floor", f"the hole in {frame.receiving.mark}", frame.depth - deep, "shorten the dowels")
    centres = tuple(frame.centre(u, place) for place in frame.spread(sizes.count))
    kind = FeatureKind.DOWEL_HOLE
    surface = PI * diameter.mm * length.mm * sizes.count
    return Joinery(
        sizes.kind,
        frame.enters,
        frame.meets,
        tuple(frame.bore(frame.entering, kind, c, frame.enters, diameter, deep, sizes.name) for c in centres),
        tuple(frame.bore(frame.receiving, kind, c, frame.meets, diameter, deep, sizes.name) for c in centres),
        centres=centres,
        glue_area=surface,
        long_grain=surface / 2,
        doubts=tuple(doubts),
    )


GEOMETRY = Geometry(dowels)
