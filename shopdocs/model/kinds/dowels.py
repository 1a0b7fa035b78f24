"""Dowels: round pegs that stand with half of their length in either piece."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import PI, ZERO, Length
from shopdocs.core.problems import Problem, warning
from shopdocs.model.joining import Joint
from shopdocs.model.kinds.kind import AGAINST, Barred, Kind, Pegs, Room, Stated
from shopdocs.model.parts import Part

USUAL = (Fraction(1, 5), Fraction(3, 5))  # a dowel of its piece; common practice, no source
ENOUGH = Length(6)  # for a piece of any thickness


def _glue_area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """The round of every dowel, with pi to eleven places."""
    joint = stated.joint
    return joint.count * PI * (joint.thickness or ZERO).mm * (stated.length or ZERO).mm


def _pegs(stated: Stated) -> Pegs:
    """As long as both holes together, less the room."""
    return Pegs("dowel", stated.joint.count, stated.joint.thickness, stated.length)


def _doubts(joint: Joint, entering: Part, receiving: Part) -> Iterator[Problem]:
    """Dowels too thin or too thick for the wood they stand in."""
    if joint.thickness is None:
        return
    low = min(entering.thickness * USUAL[0], ENOUGH)
    if not low <= joint.thickness <= entering.thickness * USUAL[1]:
        thick = f"{exact_text(joint.thickness)} thick, '{entering.name}' {exact_text(entering.thickness)}"
        right = "a third to a half of the wood is usual (common practice)"
        at = joint.places.get("thickness", joint.at)
        yield warning(at, "dowel-thickness", f"the dowels of '{joint.name}' are {thick}", right)


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
    askew=True,
    tips=True,
    doubts=_doubts,
    pegs=_pegs,
)
