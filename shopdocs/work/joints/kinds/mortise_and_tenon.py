"""Mortise and tenon."""

from __future__ import annotations

from shopdocs.work.joints.frame import Frame, Geometry, Joinery, JointSizes
from shopdocs.work.joints.tenons import with_tenon


def mortise_and_tenon(frame: Frame, sizes: JointSizes) -> Joinery:
    """A tenon that stops inside the receiving piece."""
    return with_tenon(frame, sizes, through=False)


GEOMETRY = Geometry(mortise_and_tenon)
