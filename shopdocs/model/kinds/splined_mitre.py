"""Splined mitre: two ends of a flat frame at 45 degrees, with a slip of wood in the mitre."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.length import ZERO
from shopdocs.core.problems import Problem
from shopdocs.model.kinds.kind import Kind, Meets, Slips, Stated
from shopdocs.model.kinds.mitred import OVER_LONG_POINTS, ROOT_2, along, mitre_area, slip_too_thick, unequal
from shopdocs.model.parts import Part


def _glue_area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """The mitre, as wide as the frame is thick, less where it is cut away for the spline; and both sides of that in
    both pieces."""
    joint = stated.joint
    long = entering.width.mm * ROOT_2
    return mitre_area(entering) + long * (4 * (joint.depth or ZERO).mm - (joint.thickness or ZERO).mm)


def _wrong(stated: Stated, entering: Part, receiving: Part) -> Iterator[Problem]:
    yield from unequal(stated, entering, receiving)
    yield from slip_too_thick(stated, entering, entering.thickness)


def _slips(stated: Stated, entering: Part, receiving: Part) -> Slips | None:
    joint = stated.joint
    if joint.thickness is None or joint.depth is None:
        return None
    size = (joint.thickness, joint.depth * 2, along(entering.width))
    return Slips("spline", 1, size, "grain across its length, and some more to trim flush")


KIND = Kind(
    joins="two ends of a flat frame at 45 degrees, by a spline in the mitre, that deep in either piece",
    called="a splined mitre",
    meets=Meets("mitred with", "is mitred with", "is mitred with"),
    hidden=("mitre, beside the slot", "mitre, beside the slot"),
    aliases=(
        "splined miter",
        "mitre with spline",
        "miter with spline",
        "mitred corner",
        "mitered corner",
    ),
    sizes=("thickness", "depth"),
    needed=("thickness", "depth"),
    size_names=("spline", "wide", "long", "slot deep"),
    at_end=True,
    alone=True,
    flat=True,
    measured=OVER_LONG_POINTS,
    how="Both mitres get glue twice, for end grain drinks the first coat. The grain of the spline runs across the "
    "mitre.",
    glue_area=_glue_area,
    wrong=_wrong,
    slips=_slips,
)
