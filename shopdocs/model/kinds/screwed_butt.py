"""Screwed butt: two touching faces held by screws."""

from __future__ import annotations

from shopdocs.model.kinds.kind import AGAINST, Kind

KIND = Kind(
    joins="two touching faces, by screws (length) in clearance holes (thickness) and pilots (width)",
    called="a screwed butt",
    meets=AGAINST,
    hidden=("end that meets the other piece", "face under that end"),
    aliases=("screws", "screw", "screwed", "screwed joint", "screw joint"),
    sizes=("count", "length", "thickness", "width"),
    size_names=("clearance Ø", "pilot Ø", "screw", "deep"),
    flat=True,
    screwed=True,
    clamped=False,
    askew=True,
    tips=True,
)
