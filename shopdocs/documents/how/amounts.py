"""How the amount of finish is made, and what the check word is for."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.blocks.text import Text
from shopdocs.core.display import round_half_up, trimmed
from shopdocs.documents.figures import SQUARE_FOOT_M2, US_GALLON_L
from shopdocs.documents.job import Job


def coverage(job: Job) -> Text:
    """How much finish; empty without one."""
    work = job.finish
    if work is None:
        return ()
    runs = "The area is that of all faces at finished size, joints not taken off. "
    if work.finish.coverage is not None:
        runs += f"A coat is planned at {_spread(job, work.finish.coverage)}, as the build says. "
    elif work.kind is not None:
        far = _spread(job, work.kind.planned_coverage)
        runs += f"A coat is planned at {far}, the low end of what is usual for this kind by hand on sanded wood"
        said = work.kind.note
        if job.display.units == "in" and work.kind.inch_note:
            said = work.kind.inch_note
        runs += f"; {said}. " if said else ". "
    if work.kind is not None:
        runs += "Waits and grits are common practice. "
    return (f"{runs}Go by the can and its data sheet.",)


def _spread(job: Job, coverage: Fraction) -> str:
    """How far a finish goes, of `coverage` square metres a litre: "15 m² per litre", "610 ft² per gallon"."""
    if job.display.units == "mm":
        return f"{trimmed(coverage, 1)} m² per litre"
    feet = coverage / SQUARE_FOOT_M2 * US_GALLON_L
    return f"{10 * round_half_up(feet / 10)} ft² per gallon"


def check_word(job: Job) -> Text:
    """What the word at the head of every page is for; empty where nothing was read from a file."""
    if not job.check_word:
        return ()
    return (
        "It stands at the head of every page and is made from the text of the build and of the shop file: sheets with "
        "the same word belong together.",
    )
