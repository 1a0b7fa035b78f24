"""How the amount of finish is made, and what the check word is for."""

from __future__ import annotations

from shopdocs.blocks.text import Text
from shopdocs.documents.job import Job


def coverage(job: Job) -> Text:
    """How much finish; empty without one."""
    work = job.finish
    if work is None:
        return ()
    runs = "The area is that of all faces at finished size, joints not taken off. "
    if work.finish.coverage is not None:
        runs += "How far the can goes is what the build says. "
    elif work.kind is not None:
        runs += "How far the can goes is the low end of what is usual for this kind, on sanded wood"
        said = work.kind.note
        if job.display.units == "in" and work.kind.inch_note:
            said = work.kind.inch_note
        runs += f"; {said}. " if said else ". "
    if work.kind is not None:
        runs += "Waits and grits are common practice. "
    return (f"{runs}The can and its data sheet decide.",)


def check_word(job: Job) -> Text:
    """What the word at the head of every page is for; empty where nothing was read from a file."""
    if not job.check_word:
        return ()
    return (
        "It stands at the head of every page and is made from the text of the build and of the shop file: sheets with "
        "the same word belong together.",
    )
