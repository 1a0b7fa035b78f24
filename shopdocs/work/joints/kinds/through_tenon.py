"""Through tenon."""

from __future__ import annotations

from shopdocs.work.joints.frame import Frame, Geometry, Joinery, JointSizes
from shopdocs.work.joints.tenons import with_tenon


def through_tenon(frame: Frame, sizes: JointSizes) -> Joinery:
    """A tenon that comes out at the far side of the receiving piece."""
    return with_tenon(frame, sizes, through=True)


GEOMETRY = Geometry(through_tenon)
