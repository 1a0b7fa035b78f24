"""What is done to a panel that comes out of its clamps."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shopdocs.blocks.text import Step, text
from shopdocs.documents.edges import edge_groups
from shopdocs.documents.figures import marks_text
from shopdocs.documents.fitting.askew_cuts import askew_cuts, askew_holes
from shopdocs.documents.fitting.wording import numbers_text
from shopdocs.documents.job import Job
from shopdocs.documents.own_cuts import cut_steps
from shopdocs.facts.adhesives import adhesive
from shopdocs.model.joining import Joint, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.order.stages import StageWork
from shopdocs.work.space.arrises import Verdict
from shopdocs.work.space.drilled import use_of
from shopdocs.work.space.placed import Bore

WAIT_TO_PLANE = "Better some days later: seams still damp from the glue sink when they dry."
WORKED = {Verdict.CHAMFER, Verdict.STOPPED}


def planed_panels(job: Job, work: StageWork) -> Iterator[Step]:
    """What the panels of a stage are not done without: planed, sized, their joints cut, drilled. Their arrises wait
    until nothing more is sawn or bored: `arrises_of_panels`."""
    if not work.panels:
        return
    panels = [piece.mark for _, piece in work.panels]
    glue = adhesive(job.build.gluing.adhesive) if job.build.gluing is not None else None
    wet = f"{WAIT_TO_PLANE} " if glue is not None and glue.water_borne else ""
    yield Step(
        text(f"Scrape and plane {marks_text(panels)} flat, cut to size"), text(f"{wet}Sizes as on the cut list.")
    )
    yield from cut_steps(job, work)
    yield from _joint_steps(job, panels)
    drilled = [mark for mark in panels if any(not hole.through_mate for hole in job.holes_in(mark))]
    if drilled:
        yield Step(text(f"Drill {marks_text(drilled)}"), text("By the templates."))


def _joint_steps(job: Job, panels: Sequence[str]) -> Iterator[Step]:
    """The joints that a panel could not have while it was in strips, with the sheets that show them."""
    for mark in panels:
        found = [pair for pair in job.meets.get(mark, ()) if _is_cut(job, *pair, mark)]
        if not found:
            continue
        numbers = [meeting.number for _, meeting in found]
        which = f"joint{'s' if len(found) > 1 else ''} {numbers_text(numbers)}"
        bored = all(KINDS[joint.kind].bored and meeting.receiving == mark for joint, meeting in found)
        askew = any(cut.piece.mark == mark for cut in (*askew_cuts(job), *askew_holes(job)))
        sheets = "By its piece drawing and the sheet Angles to set." if askew else "By its piece drawing."
        yield Step(text(f"Bore {mark} for {which}" if bored else f"Cut {mark} for {which}"), text(sheets))


def _is_cut(job: Job, joint: Joint, meeting: Meeting, mark: str) -> bool:
    """Whether a joint is sawn, chopped or bored in this piece; what is drilled by a template is no part of it."""
    made = job.space.joinery.get(meeting.number) if job.space is not None else None
    if made is None:
        return not KINDS[joint.kind].screwed
    features = made.entering if meeting.entering == mark else made.receiving
    return any(not isinstance(one, Bore) or use_of(one.kind) is None for one in features)


def arrises_of_panels(job: Job, work: StageWork) -> Iterator[Step]:
    """The arrises that the strips of a panel had to keep, last of all: a bit or a plane would spoil them again."""
    panels = [piece.mark for _, piece in work.panels]
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
