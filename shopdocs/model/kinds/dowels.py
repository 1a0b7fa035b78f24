"""Dowels: round pegs that stand with half of their length in either piece."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.core.length import PI, ZERO
from shopdocs.model.kinds.kind import AGAINST, Barred, Kind, Pegs, Room, Stated
from shopdocs.model.parts import Part


def _glue_area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """The round of every dowel, with pi to eleven places."""
    joint = stated.joint
    return joint.count * PI * (joint.thickness or ZERO).mm * (stated.length or ZERO).mm


def _pegs(stated: Stated) -> Pegs:
    """As long as both holes together, less the room."""
    return Pegs("dowel", stated.joint.count, stated.joint.thickness, stated.length)


KIND = Kind(
    joins="two touching faces, by dowels of that thickness",
    called="dowels",
    meets=AGAINST,
    hidden=("face the dowels stand in", "face the dowels go into"),
    aliases=("dowel", "dowel joint", "dowelled", "dowelled joint", "pegs"),
    sizes=("thickness", "length", "depth", "count", "room"),
    needed=("thickness", "depth"),
    size_names=("dowel Ø", "wide", "dowel", "hole deep"),
    room=Room("dowel", "hole", halved=True),
    alone=True,
    flat=True,
    barred=Barred.ACROSS,
    clash_hint="a peg through a tenon is a hole under hardware (depth: through)",
    glue_area=_glue_area,
    pegs=_pegs,
)
