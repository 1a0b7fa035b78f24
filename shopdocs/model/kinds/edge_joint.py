"""Edge joint: boards edge to edge, by glue alone."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.model.kinds.kind import AGAINST, Kind, Stated
from shopdocs.model.parts import Part


def _glue_area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """The edge, as long as the shorter board."""
    return min(entering.thickness, receiving.thickness).mm * min(entering.length, receiving.length).mm


KIND = Kind(
    joins="boards edge to edge, by glue alone",
    called="an edge joint",
    meets=AGAINST,
    hidden=("edge that is glued", "edge that is glued"),
    aliases=(
        "edge glue",
        "edge glued",
        "edge-glued",
        "edge glued joint",
        "glue joint",
        "rubbed joint",
        "rub joint",
        "glued edge",
        "panel glue-up",
        "long grain joint",
    ),
    sizes=(),
    flat=True,
    glue_area=_glue_area,
)
