"""Tongue and groove: along an edge or an end, or round a panel in its frame."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Problem, warning
from shopdocs.model.joining import Face, Joint, Meeting
from shopdocs.model.kinds.kind import INTO, Kind, Room, Stated, Usual, other_depth, own_thickness
from shopdocs.model.parts import Part

# Common practice, no source.
LONGEST = Length(30)  # a tongue
USUAL = (
    # about a third of its piece, or the whole of a panel
    Usual("thickness", "tongue", "thick", Fraction(1, 6), Fraction(1), Length(3), own_thickness),
    Usual("length", "tongue", "long", Fraction(0), Fraction(20), Length(4), other_depth),
)


def _added(stated: Stated, meeting: Meeting) -> tuple[Length, Length]:
    """A tongue on an end adds to the length, along an edge to the width."""
    tongue = stated.length or ZERO
    return (tongue, ZERO) if meeting.end else (ZERO, tongue)


def _glue_area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """Both cheeks of the tongue, as long as the longer side of its piece."""
    return 2 * (stated.length or ZERO).mm * max(entering.length, entering.width).mm


def _flush(joint: Joint, part: Part, face: Face) -> Length:
    """A tongue as thick as its piece has no shoulder."""
    return joint.length or joint.depth or ZERO if joint.thickness == part.thickness else ZERO


def _doubts(joint: Joint, entering: Part, receiving: Part) -> Iterator[Problem]:
    """A tongue longer than any plane cuts a groove for."""
    if joint.length is not None and joint.length > LONGEST:
        wrong = f"the tongue of '{joint.name}' is {exact_text(joint.length)} long"
        right = f"up to {exact_text(LONGEST)} is usual (common practice)"
        yield warning(joint.places.get("length", joint.at), "tongue-length", wrong, right)


KIND = Kind(
    joins="an edge or an end, by a tongue in a groove; a panel in its frame",
    called="a tongue and groove",
    meets=INTO,
    hidden=("tongue", "floor of the groove"),
    aliases=(
        "groove",
        "plough",
        "plow",
        "ploughed groove",
        "tongue",
        "tongued and grooved",
        "tongue & groove",
        "frame and panel",
        "panel",
        "panel groove",
    ),
    rides=True,
    sizes=("thickness", "width", "length", "depth", "room"),
    needed=("thickness", "length"),
    size_names=("thick", "groove wide", "long", "groove deep"),
    room=Room("tongue", "groove"),
    ploughed=("width", "thickness"),
    added=_added,
    glue_area=_glue_area,
    usual=USUAL,
    doubts=_doubts,
    flush=_flush,
)
