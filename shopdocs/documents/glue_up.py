"""The glue-up checklist: in what order, with what, in how much time."""

from __future__ import annotations

from msgspec.structs import replace

from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import (
    Caution,
    Checklist,
    Paragraph,
    Step,
    Stop,
    Text,
    Weight,
    text,
)
from shopdocs.core.display import trimmed
from shopdocs.documents.figures import (
    area_figure,
    grams_figure,
)
from shopdocs.documents.fitting.calendar import calendar, soonest_words
from shopdocs.documents.fitting.clamp_words import ROOM_TOLD
from shopdocs.documents.fitting.dry_run import IN_ORDER, WHOLE_PAGE, dry_runs, finished_before, fitted_last, last_steps
from shopdocs.documents.fitting.glue_words import glue_facts, weighed
from shopdocs.documents.fitting.sequence import (
    Notes,
    unglued_steps,
)
from shopdocs.documents.fitting.wording import numbered
from shopdocs.documents.job import Job
from shopdocs.documents.noting import copies_blocks
from shopdocs.documents.stage_pages import (
    by_twos,
    last_of_all,
    low_page,
    smallest,
    stage_page,
    strips_words,
    told_last,
    wall_steps,
)
from shopdocs.facts.adhesives import EPOXY, adhesive
from shopdocs.facts.cautions import EPOXY_HEAT

MARKS_ON = "Mate marks on inside every joint while it is dry, then labels off"
BEFORE_EACH = (
    "Fit each stage dry, naming each piece aloud; check for square, set the clamps to the width given ({} over work "
    "and pads, for joints not yet home), wax or tape pads and cauls; lay brush, mallet and rags within reach. Do what "
    "a bar like this says before you open the glue."
)
LABEL_FIRST = "The glue's own label and data sheet come first."
IN_PICTURES = "In the pictures: bold goes on now, pale is together already, dots are glue, C1 is a clamp."
WHOSE_SIDES = "Left and right are as seen from the front."


def has_stages(job: Job) -> bool:
    """Whether anything is glued up in stages."""
    return bool(job.stages)


def glue_up(job: Job) -> Document:
    """Dry run first, then one stage after the other: what stands, what goes on, in which order."""
    gluing = job.build.gluing
    assert gluing is not None
    glue = adhesive(gluing.adhesive)
    blocks: list[Block] = [
        *copies_blocks(job, "This is one of them: do every stage for each."),
        glue_facts(job, gluing),
    ]
    if gluing.note:
        blocks.append(Paragraph(text(gluing.note)))
    if glue is not None and glue.family == EPOXY:
        blocks.append(Caution(EPOXY_HEAT.title, EPOXY_HEAT.text))
    if job.panels:
        blocks.append(_panels(job))
    soonest = soonest_words(job)
    first = finished_before(job)
    waits = f"The finish that dries before {numbered('stage', first)} is not counted." if first else ""
    told = " ".join(
        filter(None, (soonest, waits, IN_PICTURES, WHOSE_SIDES if job.space is not None else "", LABEL_FIRST))
    )
    blocks += [
        calendar(job),
        Paragraph(text(told), Weight.QUIET),
        Stop(MARKS_ON, BEFORE_EACH.format(ROOM_TOLD[job.display.units])),
    ]
    dry, dry_close = dry_runs(job), dry_runs(job, WHOLE_PAGE)
    pages = [stage_page(job, work) for work in job.stages]
    stages = by_twos(job, pages, twins_only=True)
    small = by_twos(job, [low_page(job, work) or page for work, page in zip(job.stages, pages, strict=True)])
    after: list[Block] = []
    if job.left is not None:
        unglued = unglued_steps(job, job.left, Notes(), last_steps(job))
        if not fitted_last(job):
            unglued = replace(unglued, steps=(*unglued.steps, *wall_steps(job, ", when the finish is dry")))
        after.append(unglued)
    last = last_of_all(job)
    trust = [Paragraph(text(words), Weight.QUIET)] if (words := _trust(job)) else []
    is_told = told_last(job, job.stages[-1]) and stages[-1] is pages[-1]
    question = "In what order, with what, and in how much time?"
    instead: tuple[Block, ...] = ()
    if (small, dry_close) != (stages, dry):
        apart = last if small[-1] is not pages[-1] or not is_told else []
        instead = (*blocks, *dry_close, *small, *after, *apart, *trust)
    full = (*blocks, *dry, *stages, *after, *([] if is_told else last), *trust)
    return Document("glue-up", "Glue-up", question, full, runs_on=True, instead=instead)


def _panels(job: Job) -> Block:
    """Wide pieces of strips without a stage of their own are glued up before any, planed and cut to size."""
    steps = []
    for panel in job.panels:
        words = strips_words(panel.part, panel.pieces)
        each = text(" each") if len(panel.pieces) > 1 else ()
        area = area_figure(f"{panel.part.name} · seams", panel.area, job.display, panel.part.at)
        glue: Text = ()
        if panel.mix is not None:
            grams = grams_figure(f"{panel.part.name} · glue", weighed(panel.mix), job.display, panel.part.at)
            glue = ("about ", grams, smallest(panel.mix))
        steps.append(Step((*words, *each), ("glue on ", area), glue))
    steps.append(Step(text(IN_ORDER)))
    return Checklist(tuple(steps), "Panels first")


def _trust(job: Job) -> str:
    """How far its figures go; where they come from stands on the sheet that says how figures are made."""
    note = next((". ".join(work.open.notes) for work in job.stages if work.open is not None and work.open.notes), "")
    estimate = (
        "Estimated times are common practice for one pair of hands; the build file can give your own. "
        if any(work.estimated for work in job.stages)
        else ""
    )
    noted = f"{note[0].upper()}{note[1:]}. " if note else ""
    mixed = any(work.mix is not None and work.mix.batches > 1 for work in job.stages)
    if mixed and "epoxy batch" in job.shop.defaults:
        noted += f"Batches of {trimmed(job.shop.batch_grams, 0)} g are a usual size; the shop file can set yours. "
    return f"{noted}{estimate}".strip()
