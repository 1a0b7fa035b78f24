"""Dovetail."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Severity
from shopdocs.model.joining import OPPOSITE
from shopdocs.work.joints.frame import Doubt, Frame, Geometry, Joinery, JointSizes, Range, area, axis_name
from shopdocs.work.space.placed import FeatureKind, Flare


def dovetail(frame: Frame, sizes: JointSizes) -> Joinery:
    """`count` tails on the entering piece in sockets of the receiving one: through, or lapped (half blind) where
    `length` is less than the receiving piece is thick. The narrow part of a pin is a quarter of the spacing of the
    tails unless `width` gives the wide end of a tail (common practice, no source)."""
    length = min(sizes.length or sizes.depth or frame.depth, frame.depth)
    u, (low, high) = frame.extent(frame.entering, frame.u), frame.shared_v
    spacing = (high - low) / sizes.count
    wide = sizes.width or spacing * Fraction(3, 4)
    by = length / sizes.slope
    doubts = tuple(_doubts(frame, sizes, length, wide))
    tails, sockets = [], []
    for place in frame.spread(sizes.count):
        v: Range = (place - wide / 2, place + wide / 2)
        n = (ZERO, length)
        mine = Flare(axis_name(frame.entering, frame.v), OPPOSITE[frame.enters], by)
        theirs_flare = Flare(axis_name(frame.receiving, frame.v), frame.meets, by)
        tails.append(
            frame.cuboid(
                frame.entering, FeatureKind.TAIL, (ZERO, length + sizes.proud), u, v, sizes.name, adds=True, flare=mine
            )
        )
        sockets.append(frame.cuboid(frame.receiving, FeatureKind.SOCKET, n, u, v, sizes.name, flare=theirs_flare))
    cheeks = area(length, u[1] - u[0]) * 2 * sizes.count
    return Joinery(
        sizes.kind,
        frame.enters,
        frame.meets,
        tuple(tails),
        tuple(sockets),
        length + sizes.proud,
        glue_area=cheeks + area(u[1] - u[0], high - low),
        long_grain=cheeks,
        doubts=doubts,
    )


def _doubts(frame: Frame, sizes: JointSizes, length: Length, wide: Length) -> Iterator[Doubt]:
    """Of tails so long and at their ends so wide. A bottom may run on past a side, a side stand higher than a back."""
    u, theirs = frame.extent(frame.entering, frame.u), frame.extent(frame.receiving, frame.u)
    low, high = frame.shared_v
    by = length / sizes.slope
    if wide >= (high - low) / sizes.count or wide <= by * 2:
        yield Doubt(
            "tails-do-not-fit",
            f"{sizes.count} tail{'s' if sizes.count > 1 else ''} {exact_text(wide)} wide in {exact_text(high - low)}",
            "change their number or width",
        )
    if u[0] > theirs[0] and u[1] < theirs[1]:
        yield Doubt(
            "dovetail-not-at-the-end",
            f"{frame.entering.mark} does not meet {frame.receiving.mark} at its end",
            "move it to the end, or make a housing",
        )
    asked = sizes.length or sizes.depth
    if asked is not None and asked > frame.depth:
        yield Doubt(
            "tails-too-long",
            f"the tails are {exact_text(asked)} long, {frame.receiving.mark} is {exact_text(frame.depth)} thick",
            "leave the length out for through dovetails; proud lets them stand out",
        )
    if length < frame.depth and sizes.proud:
        yield Doubt(
            "lapped-and-proud",
            f"tails {exact_text(length)} long end inside {frame.receiving.mark}, and are to stand proud of it",
            "leave out the length, or proud",
        )
    if length < frame.depth and frame.depth - length < Length(3):
        yield Doubt(
            "thin-lap",
            f"the lap before the tails is {exact_text(frame.depth - length)}",
            "common practice leaves at least 3 mm",
            Severity.WARNING,
        )


GEOMETRY = Geometry(dovetail)
