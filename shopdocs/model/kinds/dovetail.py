"""Dovetail: tails on one end in sockets of the other."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Problem, warning
from shopdocs.model.joining import Joint, Meeting
from shopdocs.model.kinds.kind import Barred, Kind, Meets, Stated
from shopdocs.model.kinds.tailed import slope_doubts
from shopdocs.model.parts import Part

# Common practice, no source.
SHORTEST_TAIL = Fraction(1, 3)  # of the thickness of what it goes into


def _added(stated: Stated, meeting: Meeting) -> tuple[Length, Length]:
    """The end is longer by its tails, and what stands proud."""
    return ((stated.joint.length or ZERO) + stated.joint.proud if meeting.end else ZERO), ZERO


def _glue_area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """The end, and two cheeks a tail as if they stood square to the board: under 1 % too little at 1 in 8."""
    joint = stated.joint
    cheeks = 2 * joint.count * (joint.length or joint.depth or receiving.thickness).mm
    return (cheeks + entering.width.mm) * entering.thickness.mm


def _doubts(joint: Joint, entering: Part, receiving: Part) -> Iterator[Problem]:
    """Tails that hardly go in, or whose sides are too steep or too flat."""
    yield from slope_doubts(joint)
    least = receiving.thickness * SHORTEST_TAIL
    if joint.length is not None and ZERO < joint.length < least:
        wrong = f"the tails of '{joint.name}' are {exact_text(joint.length)} long"
        right = f"at least {exact_text(least)} into '{receiving.name}' is usual (common practice)"
        yield warning(joint.places.get("length", joint.at), "tail-length", wrong, right)


KIND = Kind(
    joins="two ends at a corner, by tails; lapped if length is less than the thickness",
    called="a dovetail",
    meets=Meets("into", "tails go into", "takes the tails of"),
    hidden=("inside of a tail", "side of a socket"),
    aliases=(
        "dovetails",
        "dovetail joint",
        "through dovetail",
        "lapped dovetail",
        "half blind dovetail",
        "half-blind dovetail",
        "blind dovetail",
        "carcase dovetail",
    ),
    sizes=("count", "slope", "length", "depth", "width", "proud"),
    needed=("length",),  # without places nothing else says how far the tails go
    at_end=True,
    alone=True,
    counted="tails and sockets",
    barred=Barred.ALONG,
    sloped="sides of dovetail tails, the stock on the end",
    added=_added,
    glue_area=_glue_area,
    doubts=_doubts,
    shouldered=True,
)
