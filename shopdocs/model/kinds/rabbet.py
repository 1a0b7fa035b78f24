"""Rabbet: an end or an edge in a step at the edge of the other piece."""

from __future__ import annotations

from shopdocs.model.kinds.housed import USUAL_DEEP, housed_added, housed_flush, housed_wrong, stepped_area
from shopdocs.model.kinds.kind import Kind, Meets

KIND = Kind(
    joins="an end or an edge in a step at the edge of the other piece",
    called="a rabbet",
    meets=Meets("in the rabbet of", "lies in the rabbet of", "takes in its rabbet"),
    hidden=("end grain that is covered", "floor of the rabbet"),
    aliases=("rebate", "rabbet joint", "rebate joint", "rabbeted", "rebated"),
    rides=True,
    rabbeted=True,
    sizes=("depth",),
    needed=("depth",),
    asks_end=True,
    said=True,
    added=housed_added,
    glue_area=stepped_area,
    wrong=housed_wrong,
    usual=(USUAL_DEEP,),
    flush=housed_flush,
    let_in="edge in the rabbet",
)
