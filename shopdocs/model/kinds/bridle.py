"""Bridle: a tenon as wide as its piece in a mortise that is open at the end of the other."""

from __future__ import annotations

from shopdocs.model.kinds.kind import Kind, Meets
from shopdocs.model.kinds.tenoned import USUAL_THICK, cheek_area, tenon_added, tenon_doubts, tenon_wrong

KIND = Kind(
    joins="two ends at a corner, or an end astride a post; the mortise is open at its end",
    called="a bridle",
    meets=Meets("into", "goes into", "straddles"),
    hidden=("cheek of the tenon", "cheek of the open mortise"),
    aliases=(
        "bridle joint",
        "open mortise",
        "open mortice",
        "open mortise and tenon",
        "open tenon",
        "slip joint",
        "corner bridle",
        "t-bridle",
        "slot mortise",
    ),
    sizes=("thickness", "length", "proud"),
    needed=("thickness", "length"),
    at_end=True,
    alone=True,
    tenoned=True,
    added=tenon_added,
    glue_area=cheek_area,
    wrong=tenon_wrong,
    usual=(USUAL_THICK,),
    doubts=tenon_doubts,
    shouldered=True,
    askew=True,
    lapped=True,
)
