"""Mortise and tenon: the tenon stops inside the other piece."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Problem, error, warning
from shopdocs.model.joining import Joint, Meeting
from shopdocs.model.kinds.kind import INTO, Kind, Room, Stated
from shopdocs.model.kinds.tenoned import USUAL_LONG, USUAL_THICK, comes_through, tenon_area, tenon_doubts, tenon_wrong
from shopdocs.model.parts import Part

# A tenon goes in at least this share of a piece, or so many times its own thickness: common practice, no source.
SHORTEST, THICKNESSES = Fraction(1, 3), 2
COMMON = "(common practice)"


def _added(stated: Stated, meeting: Meeting) -> tuple[Length, Length]:
    """The tenon; nothing of it stands proud."""
    return stated.joint.length or ZERO, ZERO


def _wrong(stated: Stated, entering: Part, receiving: Part) -> Iterator[Problem]:
    """The tenon must fit on its piece, and stop inside the other with walls beside it."""
    yield from tenon_wrong(stated, entering, receiving)
    joint, (least, deepest) = stated.joint, sorted((receiving.width, receiving.thickness))
    if not joint.length:
        return
    if joint.length >= deepest:
        wrong = comes_through(joint.length, stated.room, receiving, deepest)
        yield error(stated.place("length"), "mortise", wrong, "shorten it, or make it a through tenon")
    elif joint.length + stated.room >= deepest:
        wrong = comes_through(joint.length, stated.room, receiving, deepest)
        yield error(stated.place("length"), "mortise", wrong, "shorten the tenon, or make it a through tenon")
    if joint.thickness and joint.thickness > least / 2:
        walls = exact_text((least - joint.thickness) / 2)
        wrong = f"the mortise leaves walls of {walls} in '{receiving.name}'"
        yield warning(stated.place("thickness"), "mortise", wrong, "half the piece or less is common practice")


def _doubts(joint: Joint, entering: Part, receiving: Part) -> Iterator[Problem]:
    """How wide the tenon is; and whether it is short both for the piece it goes into and for its own thickness."""
    yield from tenon_doubts(joint, entering, receiving)
    if joint.length is None or joint.thickness is None:
        return
    least = min(receiving.width, receiving.thickness)
    enough = min(least * SHORTEST, joint.thickness * THICKNESSES)
    if USUAL_LONG.least <= joint.length < enough:  # what is shorter still is told for that
        wrong = (
            f"the tenon of '{joint.name}' goes only {exact_text(joint.length)} into '{receiving.name}' of "
            f"{exact_text(least)}"
        )
        yield warning(
            joint.places.get("length", joint.at),
            "short-tenon",
            wrong,
            f"{exact_text(enough)} or more is usual {COMMON}",
        )


KIND = Kind(
    joins="the end of a rail, by a tenon that stops inside the other piece",
    called="a mortise and tenon",
    meets=INTO,
    hidden=("cheek of the tenon", "beside the mortise, lightly"),
    on_flat=True,
    aliases=(
        "mortice and tenon",
        "mortise & tenon",
        "mortice & tenon",
        "mortise tenon",
        "mortise",
        "mortice",
        "tenon",
        "stopped tenon",
        "blind tenon",
        "stub tenon",
        "haunched tenon",
        "haunched mortise and tenon",
        "drawbored tenon",
        "stopped mortise and tenon",
        "blind mortise and tenon",
    ),
    sizes=("thickness", "width", "shoulder", "length", "haunch", "room"),
    needed=("thickness", "length"),
    size_names=("thick", "wide", "long", "mortise deep"),
    room=Room("tenon", "mortise"),
    at_end=True,
    alone=True,
    tenoned=True,
    added=_added,
    glue_area=tenon_area,
    wrong=_wrong,
    usual=(USUAL_THICK, USUAL_LONG),
    doubts=_doubts,
    shouldered=True,
    askew=True,
    tips=True,
    chopped=True,
)
