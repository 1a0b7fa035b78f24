"""Breadboard end: a cross piece on the end of a solid panel, on a tongue that slides in its groove.

The panel grows and shrinks across its grain, the cross piece along its own hardly at all. So only the middle is glued,
and pinned tight; the outer pins stand in slots of the tongue.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Problem, error
from shopdocs.model.joining import Meeting
from shopdocs.model.kinds.kind import Kind, Meets, Pegs, Room, Stated
from shopdocs.model.kinds.tenoned import too_thick
from shopdocs.model.parts import Part

# Common practice, no source:
PINS = 3
GLUED_SHARE = Fraction(1, 5)  # of the tongue's width, in its middle
MOVES = Fraction(1, 96)  # 1/8 in for every foot across the grain over a year, of wood whose own figures nobody knows


def pins_of(count: int) -> int:
    """How many pins: a count that is not written stands as 1."""
    return count if count > 1 else PINS


def uneven(count: int) -> str:
    """What is wrong with a number of pins; "" where nothing is."""
    return "" if pins_of(count) % 2 else f"{count} pins have none in the middle"


def right_count(count: int) -> str:
    """What to write instead."""
    return f"make them {max(PINS, count - 1)} or {count + 1}: one in the middle is tight, the others stand in slots"


def _added(stated: Stated, meeting: Meeting) -> tuple[Length, Length]:
    """The tongue is on the end of the panel."""
    return stated.length or ZERO, ZERO


def _glue_area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """Both cheeks of the tongue in its middle."""
    return 2 * (stated.length or ZERO).mm * entering.width.mm * GLUED_SHARE


def _wrong(stated: Stated, entering: Part, receiving: Part) -> Iterator[Problem]:
    """A tongue as thick as the panel, a groove through the cross piece, no pin in the middle."""
    yield from too_thick(stated, entering)
    joint = stated.joint
    if stated.depth is not None and stated.depth >= receiving.width:
        wrong = f"the groove is {exact_text(stated.depth)} deep in '{receiving.name}' of {exact_text(receiving.width)}"
        key = "depth" if joint.depth is not None else "length"
        yield error(stated.place(key), "groove", wrong, "about half of the cross piece is common practice")
    if uneven(joint.count):
        yield error(stated.place("count"), "pins", uneven(joint.count), right_count(joint.count))


def _pegs(stated: Stated) -> Pegs:
    return Pegs("pin", pins_of(stated.joint.count), stated.joint.width, None)


KIND = Kind(
    joins="a cross piece on the end of a panel, by a tongue that slides in it, and pins (width) of which one is tight",
    called="a breadboard end",
    meets=Meets("into", "slides into", "slides onto"),
    hidden=("tongue, in its middle", "floor of the groove"),
    aliases=("breadboard", "breadboard ends", "bread board end", "clamped end", "cleated end", "sliding tongue"),
    sizes=("thickness", "length", "depth", "room", "width", "count"),
    needed=("thickness", "length", "width"),
    size_names=("thick", "pin Ø", "long", "groove deep"),
    room=Room("tongue", "groove"),
    ploughed=("thickness",),
    least_count=PINS,
    at_end=True,
    alone=True,
    clamped=False,
    slides="breadboard ends",
    how="Glue only the middle fifth of the tongue; no glue on the rest, so that the panel can move.",
    added=_added,
    glue_area=_glue_area,
    wrong=_wrong,
    pegs=_pegs,
)
