"""Keyed mitre."""

from __future__ import annotations

from shopdocs.work.joints.corner import no_corner
from shopdocs.work.joints.frame import Geometry
from shopdocs.work.joints.mitre import keyed

GEOMETRY = Geometry(no_corner, keyed)
