"""Loose tenon: a separate tenon with half of its length in a mortise of either piece."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.problems import Problem
from shopdocs.model.kinds.kind import AGAINST, Barred, Kind, Room, Stated
from shopdocs.model.kinds.tenoned import tenon_area, too_wide
from shopdocs.model.parts import Part


def _glue_area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """Four sides of every tenon."""
    return stated.joint.count * tenon_area(stated, entering, receiving)


def _wrong(stated: Stated, entering: Part, receiving: Part) -> Iterator[Problem]:
    yield from too_wide(stated, entering)


KIND = Kind(
    joins="two touching faces, by separate tenons in mortises of both",
    called="a loose tenon",
    meets=AGAINST,
    hidden=("face beside the mortise", "face beside the mortise"),
    aliases=("floating tenon", "slip tenon", "loose mortise and tenon"),
    sizes=("thickness", "width", "length", "depth", "count", "room"),
    needed=("thickness", "width", "length"),
    size_names=("thick", "wide", "long", "mortise deep"),
    room=Room("loose tenon", "mortise", halved=True),
    at_end=True,
    alone=True,
    flat=True,
    counted="mortises",
    barred=Barred.ACROSS,
    glue_area=_glue_area,
    wrong=_wrong,
    chopped=True,
    askew=True,
    tips=True,
)
