"""What is done to a panel that comes out of its clamps."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.blocks.text import Step, text
from shopdocs.documents.edges import edge_groups
from shopdocs.documents.figures import marks_text
from shopdocs.documents.job import Job
from shopdocs.documents.own_cuts import cut_steps
from shopdocs.facts.adhesives import adhesive
from shopdocs.work.order.stages import StageWork
from shopdocs.work.space.arrises import Verdict

WAIT_TO_PLANE = "Better some days later: seams still damp from the glue sink when they dry."
WORKED = {Verdict.CHAMFER, Verdict.STOPPED}


def planed_panels(job: Job, work: StageWork) -> Iterator[Step]:
    """What the panels of a stage are not done without: planed, sized, drilled, and their arrises chamfered, which their
    strips had to keep."""
    if not work.panels:
        return
    panels = [piece.mark for _, piece in work.panels]
    glue = adhesive(job.build.gluing.adhesive) if job.build.gluing is not None else None
    wet = f"{WAIT_TO_PLANE} " if glue is not None and glue.water_borne else ""
    yield Step(
        text(f"Scrape and plane {marks_text(panels)} flat, cut to size"), text(f"{wet}Sizes as on the cut list.")
    )
    yield from cut_steps(job, work)
    drilled = [mark for mark in panels if any(not hole.through_mate for hole in job.holes_in(mark))]
    if drilled:
        yield Step(text(f"Drill {marks_text(drilled)}"), text("By the templates."))
    chamfered = chamfered_panels(job, panels)
    if chamfered:
        yield Step(text(f"Chamfer {marks_text(chamfered)}, smooth"), text("Arrises as on the sheet Edges."))


def chamfered_panels(job: Job, marks: list[str]) -> list[str]:
    """Those of these pieces that have an arris to chamfer."""
    if job.alike is None:
        return []
    worked = {
        mark
        for group in edge_groups(job)
        if any(found.verdict in WORKED for found in group.edges)
        for mark in group.marks
    }
    return [mark for mark in marks if mark in worked]
