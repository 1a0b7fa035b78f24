"""Housing: the whole end of a shelf in a trench across the other piece."""

from __future__ import annotations

from shopdocs.model.kinds.housed import USUAL_DEEP, housed_added, housed_area, housed_flush, housed_wrong
from shopdocs.model.kinds.kind import Kind, Meets

KIND = Kind(
    joins="the whole end of a shelf or a rail in a trench across the other piece",
    called="a housing",
    meets=Meets("housed in", "is housed in", "houses"),
    hidden=("end grain that is housed", "floor of the housing"),
    aliases=(
        "dado",
        "dado joint",
        "stopped dado",
        "through dado",
        "trench",
        "trenched joint",
        "housed joint",
        "housing joint",
        "stopped housing",
        "let in",
    ),
    rides=True,
    sizes=("depth", "thickness", "width", "room"),
    needed=("depth",),
    asks_end=True,
    said=True,
    added=housed_added,
    glue_area=housed_area,
    wrong=housed_wrong,
    usual=(USUAL_DEEP,),
    flush=housed_flush,
    let_in="housed end",
    trenched=True,
    tips=True,
)
