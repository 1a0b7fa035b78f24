"""What the title sheet and the list of records warn of: dust, a wall, a fall, glass."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from shopdocs.documents.job import Job
from shopdocs.facts.cautions import GLASS, ON_A_WALL, TIP_OVER, WOOD_DUST, Caution, may_tip
from shopdocs.work.scene.overall import all_placed, overall_of, pounds_of
from shopdocs.work.seasons.fits import enclosed

_GLASS = re.compile(r"\b(glass|glazed|glazing|mirror)\b", re.IGNORECASE)


def cautions_of(job: Job) -> list[Caution]:
    """In the order in which they stand."""
    overall = overall_of(job.build, job.space)
    found = [WOOD_DUST]
    if not job.build.free_standing:
        found.append(ON_A_WALL)
    elif overall is not None and may_tip(overall.height, pounds_of(job.build), _enclosed(job)):
        found.append(TIP_OVER)
    if any(_GLASS.search(word) for word in _named(job)):
        found.append(GLASS)
    return found


def _enclosed(job: Job) -> Fraction | None:
    """What drawers and doors enclose, in cubic feet: as the build says, else of those that are drawn; None where not
    every piece has a place."""
    if job.build.encloses is not None:
        return job.build.encloses
    return enclosed(job.fits) if job.space is not None and all_placed(job.build, job.space) else None


def _named(job: Job) -> Iterator[str]:
    """What the build names that is made or bought."""
    for material in job.build.materials:
        yield from (material.name, material.species)
    yield from (part.name for part in job.build.parts)
    for item in job.build.hardware:
        yield from (item.name, item.buy)
    yield from job.build.buy
