"""Through tenon: it comes out at the far side."""

from __future__ import annotations

from shopdocs.model.kinds.kind import Kind, Meets
from shopdocs.model.kinds.tenoned import USUAL_LONG, USUAL_THICK, tenon_added, tenon_area, tenon_doubts, tenon_wrong

KIND = Kind(
    joins="the end of a rail, by a tenon that comes out at the far side",
    called="a through tenon",
    meets=Meets("through", "goes through", "is passed through by"),
    hidden=("cheek of the tenon, near the shoulder", "beside the mortise, lightly"),
    aliases=(
        "through mortise and tenon",
        "through mortice and tenon",
        "through mortise",
        "wedged tenon",
        "wedged through tenon",
        "tusk tenon",
    ),
    sizes=("thickness", "width", "shoulder", "length", "haunch", "proud"),
    needed=("thickness", "length"),
    at_end=True,
    alone=True,
    tenoned=True,
    added=tenon_added,
    glue_area=tenon_area,
    wrong=tenon_wrong,
    usual=(USUAL_THICK, USUAL_LONG),
    doubts=tenon_doubts,
    shouldered=True,
    askew=True,
    tips=True,
    chopped=True,
)
