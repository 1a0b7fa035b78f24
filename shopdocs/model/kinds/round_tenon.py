"""Round tenon: turned or cut on the end of a leg or a rung, in a bored mortise."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import PI, ZERO, Length
from shopdocs.core.problems import Problem, error, warning
from shopdocs.model.joining import Joint, Meeting
from shopdocs.model.kinds.kind import INTO, Kind, Room, Stated
from shopdocs.model.kinds.tenoned import comes_through
from shopdocs.model.parts import Part

LEAST, MOST = Fraction(2, 5), Fraction(4, 5)  # of its piece; common practice, no source


def _added(stated: Stated, meeting: Meeting) -> tuple[Length, Length]:
    """The tenon, and what stands proud."""
    return (stated.joint.length or ZERO) + stated.joint.proud, ZERO


def _area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """The round of the tenon, with pi to eleven places; of one that goes through as long as the other is thick."""
    length = stated.length or min(receiving.thickness, receiving.width)
    return PI * (stated.joint.thickness or ZERO).mm * length.mm


def _wrong(stated: Stated, entering: Part, receiving: Part) -> Iterator[Problem]:
    """The tenon must fit on its piece, and stop inside the other where it has a length."""
    joint = stated.joint
    least = min(entering.thickness, entering.width)
    if joint.thickness and joint.thickness > least:
        wrong = f"the tenon is {exact_text(joint.thickness)} across on '{entering.name}' of {exact_text(least)}"
        yield error(stated.place("thickness"), "tenon", wrong, "half to three quarters of the piece is usual")
    deepest = max(receiving.thickness, receiving.width)
    if joint.length and joint.length + stated.room >= deepest:
        wrong = comes_through(joint.length, stated.room, receiving, deepest)
        yield error(stated.place("length"), "mortise", wrong, "shorten it, or leave length out: then it goes through")


def _doubts(joint: Joint, entering: Part, receiving: Part) -> Iterator[Problem]:
    """Tenons too thin or too thick for the piece they stand on."""
    least = min(entering.thickness, entering.width)
    if joint.thickness and not least * LEAST <= joint.thickness <= least * MOST:
        thick = f"{exact_text(joint.thickness)} across, '{entering.name}' {exact_text(least)}"
        at = joint.places.get("thickness", joint.at)
        right = "half to three quarters is usual (common practice)"
        yield warning(at, "tenon-thickness", f"the round tenons of '{joint.name}' are {thick}", right)


KIND = Kind(
    joins="the end of a leg or a rung, by a round tenon in a bored mortise; without length it goes through",
    called="a round tenon",
    meets=INTO,
    hidden=("side of the tenon", "beside the mortise, lightly"),
    aliases=("round mortise and tenon", "round mortise", "turned tenon", "bored tenon", "staked leg", "staked tenon"),
    sizes=("thickness", "length", "proud", "room"),
    needed=("thickness", "length"),
    size_names=("tenon Ø", "wide", "long", "mortise deep"),
    room=Room("tenon", "mortise"),
    at_end=True,
    alone=True,
    added=_added,
    glue_area=_area,
    wrong=_wrong,
    doubts=_doubts,
    shouldered=True,
    askew=True,
    bored=True,
)
