"""Splined edge joint: boards edge to edge, with a slip of wood in a groove of either."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Problem, error
from shopdocs.model.kinds.kind import AGAINST, Barred, Kind, Room, Slips, Stated, Usual, own_thickness
from shopdocs.model.parts import Part

USUAL = Usual("thickness", "spline", "thick", Fraction(1, 5), Fraction(1, 2), Length(3), own_thickness)  # about a third


def run_of(one: Part, other: Part) -> Length:
    """How long the seam is, as far as is known without places: the shorter board."""
    return min(one.length, other.length)


def _glue_area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """The edges beside the spline, and both sides of that."""
    left = min(entering.thickness, receiving.thickness).mm - (stated.joint.thickness or ZERO).mm
    return (left + 2 * (stated.length or ZERO).mm) * run_of(entering, receiving).mm


def _wrong(stated: Stated, entering: Part, receiving: Part) -> Iterator[Problem]:
    """A spline that leaves no wood beside it, a groove through the whole board."""
    for part in (entering, receiving):
        thickness = stated.joint.thickness
        if thickness and thickness >= part.thickness:
            wrong = f"the spline is {exact_text(thickness)} thick in '{part.name}' of {exact_text(part.thickness)}"
            yield error(stated.place("thickness"), "spline", wrong, "a third of the board is common practice")
            return
        if stated.depth is not None and stated.depth >= part.width:
            wrong = f"the groove is {exact_text(stated.depth)} deep in '{part.name}' of {exact_text(part.width)}"
            key = "depth" if stated.joint.depth is not None else "length"
            yield error(stated.place(key), "groove", wrong, "about as deep as the board is thick is plenty")
            return


def _slips(stated: Stated, entering: Part, receiving: Part) -> Slips | None:
    thickness, wide = stated.joint.thickness, stated.length
    if thickness is None or wide is None:
        return None
    size = (thickness, wide, run_of(entering, receiving))
    return Slips("spline", 1, size, "grain across its length, in as many lengths as it takes, or of plywood")


KIND = Kind(
    joins="boards edge to edge, by a spline in a groove of either; length is how wide the spline is",
    called="a splined edge joint",
    meets=AGAINST,
    hidden=("edge beside the groove", "edge beside the groove"),
    aliases=(
        "spline",
        "spline joint",
        "splined joint",
        "splined edge",
        "slip feather",
        "feather joint",
        "loose tongue",
    ),
    sizes=("thickness", "length", "depth", "room"),
    needed=("thickness", "length"),
    size_names=("spline thick", "wide", "spline wide", "groove deep"),
    room=Room("spline", "groove", halved=True),
    ploughed=("thickness",),
    flat=True,
    barred=Barred.ACROSS,
    how="Glue one groove and press the spline home in it, then glue its other half and both edges.",
    glue_area=_glue_area,
    wrong=_wrong,
    usual=(USUAL,),
    slips=_slips,
)
