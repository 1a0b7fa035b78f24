"""Splined mitre."""

from __future__ import annotations

from shopdocs.work.joints.corner import no_corner
from shopdocs.work.joints.frame import Geometry
from shopdocs.work.joints.mitre import splined

GEOMETRY = Geometry(no_corner, splined)
