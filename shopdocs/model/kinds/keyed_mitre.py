"""Keyed mitre: two ends at 45 degrees, with thin keys let in across the outside of the corner when the glue has set."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.length import ZERO
from shopdocs.core.problems import Problem
from shopdocs.model.kinds.kind import Kind, Meets, Slips, Stated
from shopdocs.model.kinds.mitred import OVER_LONG_POINTS, mitre_area, slip_too_thick, unequal
from shopdocs.model.parts import Part


def _glue_area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """The mitre, and both sides of every key: a triangle as high as the slot is deep and twice as wide."""
    return mitre_area(entering) + stated.joint.count * 2 * (stated.joint.depth or ZERO).mm ** 2


def _wrong(stated: Stated, entering: Part, receiving: Part) -> Iterator[Problem]:
    yield from unequal(stated, entering, receiving)
    # flat or on edge, the build does not say
    yield from slip_too_thick(stated, entering, max(entering.thickness, entering.width))


def _slips(stated: Stated, entering: Part, receiving: Part) -> Slips | None:
    joint = stated.joint
    if joint.thickness is None or joint.depth is None:
        return None
    size = (joint.thickness, joint.depth, joint.depth * 2)
    return Slips("key", joint.count, size, "grain along its length, and some more to trim flush")


KIND = Kind(
    joins="two ends at 45 degrees, by keys across the outside of the corner, that deep from it",
    called="a keyed mitre",
    meets=Meets("mitred with", "is mitred with", "is mitred with"),
    hidden=("mitre", "mitre"),
    aliases=("keyed miter", "mitre with key", "mitre with keys", "slip feathers", "feather keys", "mitre key"),
    sizes=("thickness", "depth", "count"),
    needed=("thickness", "depth"),
    size_names=("key", "wide", "long", "slot deep"),
    at_end=True,
    alone=True,
    flat=True,
    measured=OVER_LONG_POINTS,
    how="Both mitres get glue twice, for end grain drinks the first coat. The slots for the keys are sawn across the "
    "corner when the glue has set.",
    glue_area=_glue_area,
    wrong=_wrong,
    slips=_slips,
)
