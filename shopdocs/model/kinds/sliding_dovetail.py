"""Sliding dovetail: a tail along the end of a shelf or the edge of a batten, slid into a trench with sloping walls."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Problem, error
from shopdocs.model.joining import Joint
from shopdocs.model.kinds.housed import housed_added, housed_area, housed_wrong
from shopdocs.model.kinds.kind import Barred, Kind, Meets, Stated, Usual, other_thickness, own_thickness
from shopdocs.model.kinds.tailed import slope_doubts
from shopdocs.model.parts import Part

SLOPE = 8  # 1 in so many where the build says nothing

# Common practice, no source: a third of the wood, so that the floor keeps two.
USUAL = (
    Usual("depth", "cut", "deep", Fraction(1, 6), Fraction(1, 2), Length(3), other_thickness),
    Usual("thickness", "tail", "thick", Fraction(1, 3), Fraction(1), Length(6), own_thickness),
)


def neck(thickness: Length, depth: Length, slope: int) -> Length:
    """How thick a tail is at its shoulders: less than at its end by what both sides slope in over the depth."""
    return thickness - depth * Fraction(2, slope)


def _wrong(stated: Stated, entering: Part, receiving: Part) -> Iterator[Problem]:
    """A trench through the other piece, a tail thicker than its own, or one that its slopes cut off."""
    yield from housed_wrong(stated, entering, receiving)
    joint, whole = stated.joint, entering.thickness
    if joint.thickness and joint.thickness > whole:
        wrong = f"the tail is {exact_text(joint.thickness)} thick on '{entering.name}' of {exact_text(whole)}"
        yield error(stated.place("thickness"), "tail", wrong, f"make it {exact_text(whole)} or less")
    elif joint.depth and neck(joint.thickness or whole, joint.depth, joint.slope or SLOPE) <= ZERO:
        wrong = f"a tail {exact_text(joint.thickness or whole)} thick and {exact_text(joint.depth)} long has no neck"
        yield error(stated.place("depth"), "tail", wrong, "make it shorter, thicker, or its slope less steep")


def _doubts(joint: Joint, entering: Part, receiving: Part) -> Iterator[Problem]:
    yield from slope_doubts(joint)


KIND = Kind(
    joins="the end of a shelf or the edge of a batten, by a tail slid into a trench that is open at one end",
    called="a sliding dovetail",
    meets=Meets("slid into", "slides into", "takes the tail of"),
    hidden=("side of the tail", "floor of the trench"),
    aliases=(
        "sliding dovetails",
        "dovetail housing",
        "dovetailed housing",
        "housed dovetail",
        "dovetail dado",
        "dovetailed batten",
        "dovetail key",
    ),
    sizes=("depth", "thickness", "slope", "width"),
    needed=("depth",),
    size_names=("tail thick", "tail wide", "long", "trench deep"),
    asks_end=True,
    alone=True,
    rides=True,
    shouldered=True,
    clamped=False,
    barred=Barred.SLID,
    sloped="sides of sliding tails, the stock on the tail's end",
    how="Brush glue thinly into the open end of the trench and on the last third of the tail to go in: glue swells the "
    "wood, and what is glued all along sticks half way. Drive it home without a stop.",
    added=housed_added,
    glue_area=housed_area,
    wrong=_wrong,
    usual=USUAL,
    doubts=_doubts,
)
