"""How the movement of wood is reckoned."""

from __future__ import annotations

from shopdocs.blocks.text import Text
from shopdocs.documents.job import Job
from shopdocs.facts.movement import species
from shopdocs.work.seasons.wood import wood_name


def movement(job: Job) -> Text:
    """How it is reckoned, and what was assumed; empty where nothing moves."""
    if not job.moves:
        return ()
    words = [
        "Width × coefficient of the species × change of moisture (outside 6 to 14 % by the shrinkage). Gaps are "
        "rounded up, all else to the nearest.",
        "Where the build does not say how the wood was cut, the larger coefficient is taken." if _assumed(job) else "",
        "Where a wood is named only by its group, the species that moves most stands for it." if _grouped(job) else "",
    ]
    return (" ".join(word for word in words if word),)


def _assumed(job: Job) -> bool:
    return any(moves.assumed for moves in job.moves.values())


def _grouped(job: Job) -> bool:
    woods = {wood_name(job.build.material(job.build.part(name).material)) for name, m in job.moves.items() if not m.own}
    return any(species(wood) is None for wood in woods)
