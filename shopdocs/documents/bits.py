"""Bits and cutters as they are printed: a tool keeps its own size in either system of units."""

from __future__ import annotations

from collections.abc import Iterable

from shopdocs.blocks.text import Figure, Run
from shopdocs.core.display import mixed_number
from shopdocs.core.length import Length
from shopdocs.documents.job import Job
from shopdocs.facts.inch_bits import inch_bit
from shopdocs.facts.screws import thread_diameter
from shopdocs.model.joining import HoleUse
from shopdocs.work.space.drilled import Bore, screw_size


def stand_in(job: Job, bit: Length, bores: Iterable[Bore]) -> str:
    """ " (11/64 in)" behind a metric bit of a set in inches, where an inch bit does for all these holes; else ""."""
    if job.display.units != "in" or not job.display.drill(bit).endswith("mm"):
        return ""
    found = {_stand_in(bit, bore) for bore in bores}
    other = found.pop() if len(found) == 1 else None
    return f" ({mixed_number(other.inch)}\u00a0in)" if other is not None else ""


def _stand_in(bit: Length, bore: Bore) -> Length | None:
    if bore.use is HoleUse.PILOT:
        return inch_bit(bit)
    if bore.use is HoleUse.CLEARANCE and bore.screw is not None:
        return inch_bit(bit, thread_diameter(screw_size(bore.screw)))
    return None


def widths_text(job: Job, name: str, widths: Iterable[Length]) -> tuple[Run, ...]:
    """Widths of chisels and cutters, each in the unit it is made in: "9 mm, 10 mm"."""
    runs: list[Run] = []
    for width in sorted(widths):
        runs += [", " if runs else "", Figure(name, job.display.drill(width), width.mm, "mm")]
    return tuple(runs)
