"""What waits until the glue has set: pegs that are bored for and driven, tenons left proud, all of it pared flush."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.blocks.text import Step, text
from shopdocs.core.length import Length
from shopdocs.documents.figures import length_figure
from shopdocs.documents.fitting.crossing import peg_steps, pinned
from shopdocs.documents.fitting.wording import listed
from shopdocs.documents.job import Job
from shopdocs.work.order.stages import StageWork

# What a tenon is sawn back to once the glue has set, before it is pared: common practice, no source.
LEFT_PROUD = {"in": Length.inches("1/8"), "mm": Length(3)}


def trimming_steps(job: Job, work: StageWork) -> Iterator[Step]:
    """Pegs go in, proud tenons are sawn back, then pared with pegs and all; never in the clamps, where a jaw sits on
    them."""
    yield from peg_steps(job, work)
    left = LEFT_PROUD[job.build.units]
    proud: dict[Length, list[str]] = {}
    for joint, meeting in work.meetings:
        if joint.glued and joint.proud > Length(0):
            proud.setdefault(joint.proud, []).append(meeting.entering)
    for high, marks in proud.items():
        names = listed(dict.fromkeys(marks))
        shown = length_figure(f"stage {work.number} · proud", high, job.display, unit=True)
        if high > left:
            to = length_figure(f"stage {work.number} · sawn back to", left, job.display, unit=True)
            yield Step(
                text(f"Saw the tenons of {names} from ", shown, " proud to about ", to),
                text("Common practice. Pare or plane them flush later, from the edge inwards, or chamfer what stays."),
            )
        else:
            yield Step(text(f"Pare the tenons of {names} flush, from ", shown, " proud"))
    pegs = [name for name in pinned(job, (meeting for _, meeting in work.meetings))]
    if pegs:
        yield Step(text(f"Saw off and pare flush: {listed(pegs)}"))
