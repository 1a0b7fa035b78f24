"""Round tenon."""

from __future__ import annotations

from msgspec.structs import replace

from shopdocs.work.joints.frame import Frame, Geometry, Joinery, JointSizes, middle, overhang
from shopdocs.work.joints.off_square import Line, joined


def round_tenon(frame: Frame, sizes: JointSizes) -> Joinery:
    """A round tenon `thickness` across, in the middle of its piece; it goes through where its length is not written."""
    u, v = (middle(frame.extent(frame.entering, axis)) for axis in (frame.u, frame.v))
    x, y, z = (value.float_mm() for value in frame.centre(u, v))
    way = [0.0, 0.0, 0.0]
    way[frame.n] = 1.0 if frame.high else -1.0
    made = joined(
        frame.entering, frame.receiving, sizes, Line((x, y, z), (way[0], way[1], way[2]), frame.enters, frame.meets)
    )
    return replace(made, doubts=(*made.doubts, *overhang(frame)))


GEOMETRY = Geometry(round_tenon)
