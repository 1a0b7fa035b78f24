"""Clamps: the pressure a glue wants, the force one clamp gives, how far apart clamps may stand.

Every force is an order of magnitude: what a hand tightens differs from clamp to clamp. Pressure counts on glue lines
that clamps press flat together; a tenon's cheeks are held by their fit, and the clamp only closes the shoulders. The
faces of a lap lie between shoulders and count with tenons (common practice, no source).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from shopdocs.core.length import INCH, Length
from shopdocs.facts.adhesives import GLUING_GUIDE, Adhesive
from shopdocs.facts.screws import WoodGroup
from shopdocs.facts.source import COMMON_PRACTICE, Confidence, Source

# Specific gravity (at 12 % moisture) up to which a wood counts as light, and as medium (cherry, soft maple): habit.
LIGHT_WOOD = Fraction("0.45")
MEDIUM_WOOD = Fraction("0.57")


@dataclass(frozen=True, slots=True)
class Pressure:
    """Clamping pressure on the glue line, lbf/in²."""

    low: Fraction
    high: Fraction
    source: Source


# A maker's guide, read; magazines quote the same maker with 175 to 250 for hardwood and 125 to 175 for medium woods,
# so the low end of both is planned with.
PVA_LIGHT = Pressure(Fraction(100), Fraction(150), GLUING_GUIDE)
PVA_MEDIUM = Pressure(Fraction(125), Fraction(200), GLUING_GUIDE)
PVA_DENSE = Pressure(Fraction(175), Fraction(300), GLUING_GUIDE)


def pressure_range(glue: Adhesive, group: WoodGroup, specific_gravity: Fraction | None = None) -> Pressure | None:
    """Pressure for a glue on a wood; None where contact is all it wants. PVA goes by density where it is known, else by
    hardwood and softwood."""
    if glue.contact_pressure:
        return None
    if glue.pressure is not None:
        hard = glue.hardwood_pressure if group == "hardwood" else None
        return Pressure(*(hard or glue.pressure), glue.pressure_source)
    if specific_gravity is None:
        return PVA_LIGHT if group == "softwood" else PVA_DENSE
    if specific_gravity <= LIGHT_WOOD:
        return PVA_LIGHT
    return PVA_MEDIUM if specific_gravity <= MEDIUM_WOOD else PVA_DENSE


@dataclass(frozen=True, slots=True)
class ClampForce:
    """Force of one clamp tightened by hand, lbf, and the width of its head."""

    kind: str
    words: tuple[str, ...]
    force: Fraction
    head: Length
    source: Source


_MAGAZINE_TEST = Source(
    "clamping test of a woodworking magazine, 2007", Confidence.SECONDARY, page="forum thread quoting the test"
)
_WORKED_EXAMPLE = Source("Dealing with pressure", Confidence.SECONDARY, page="magazine, September 2021")
_CLAMP_MEMORY = Source("clamp makers' ratings, tightened by hand", Confidence.MEMORY)
_HEAD = Length.inches(Fraction(5, 4))  # common practice, no source, for every kind that is not a spring clamp
# The first row whose words stand in the name is taken, so the more particular ones come first.
CLAMP_FORCES = (
    ClampForce("parallel jaw", ("parallel",), Fraction(370), _HEAD * 2, _MAGAZINE_TEST),
    ClampForce("pipe", ("pipe",), Fraction(1050), _HEAD, _MAGAZINE_TEST),
    ClampForce("I-beam bar", ("i-beam", "sash", "t-bar"), Fraction(1350), _HEAD, _MAGAZINE_TEST),
    ClampForce(
        "spring",
        ("spring",),
        Fraction(35),
        INCH,
        Source("The fine art of sticking two pieces of wood together", Confidence.SECONDARY),
    ),
    ClampForce("one-handed bar", ("one-handed", "quick", "trigger", "ratchet"), Fraction(300), _HEAD, _CLAMP_MEMORY),
    ClampForce("C", ("c clamp", "g clamp", "c-clamp", "g-clamp"), Fraction(500), _HEAD, _CLAMP_MEMORY),
    ClampForce("F", ("f clamp", "f-clamp"), Fraction(300), _HEAD, _CLAMP_MEMORY),
    ClampForce("handscrew", ("handscrew", "hand screw"), Fraction(300), _HEAD * 2, COMMON_PRACTICE),
    ClampForce("band", ("band", "strap", "web"), Fraction(100), INCH, COMMON_PRACTICE),
    ClampForce("bar", ("bar",), Fraction(420), _HEAD, _WORKED_EXAMPLE),
)
_WEAKEST_SCREW = Fraction(300)  # for a kind that is not listed: the least of the screw clamps above


def clamp_force(name: str) -> ClampForce:
    """Force of a clamp by the name the shop uses for it ('600 mm parallel clamp').

    A kind that is not listed counts as the weakest screw clamp of the table.
    """
    words = " ".join(name.casefold().replace("i beam", "i-beam").split())
    for row in CLAMP_FORCES:
        if any(word in words for word in row.words):
            return row
    return ClampForce(name, (), _WEAKEST_SCREW, _HEAD, COMMON_PRACTICE)


def force_needed(square_inches: Fraction, psi: Fraction) -> Fraction:
    """Force on a joint, lbf: pressure times glued area."""
    return square_inches * psi


def clamps_for_force(square_inches: Fraction, psi: Fraction, clamp: ClampForce) -> int:
    """Clamps of one kind that bring this pressure on the joint, at least one."""
    return max(1, math.ceil(force_needed(square_inches, psi) / clamp.force))


# Pressure spreads by 45° to each side of the head, and neighbours must meet at the glue line.
SPREAD_45 = Source(
    "How to glue up joints: positioning the clamps", Confidence.SECONDARY, page="magazine, May 2010, after R. Rabiej"
)


def widest_spacing(to_glue_line: Length, clamp: ClampForce) -> Length:
    """How far apart clamps may stand, middle to middle: twice the distance from the head to the nearest glue line (the
    caul counted in) and the width of the head (`SPREAD_45`)."""
    return to_glue_line * 2 + clamp.head


def clamps_for_length(run: Length, to_glue_line: Length, clamp: ClampForce) -> int:
    """Clamps along a glue line of length `run`, so that no stretch of it is left without pressure; at least one."""
    return max(1, math.ceil(run / widest_spacing(to_glue_line, clamp)))
