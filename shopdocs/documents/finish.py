"""The finish: in what order, how long between coats, and what to beware of."""

from __future__ import annotations

from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Bullets, Caution, Checklist, Facts, Paragraph, Step, Text, Weight, text
from shopdocs.documents.figures import area_figure, count_figure, hours_figure, volume_figure
from shopdocs.documents.job import Job
from shopdocs.facts.cautions import FINISH_VAPOUR, OILY_RAGS
from shopdocs.facts.finish_types import END_GRAIN
from shopdocs.work.finish_needs import FinishWork

MOST_COATS = 12  # a line to tick for each; more are told in one


def has_finish(job: Job) -> bool:
    return job.finish is not None


def finish_sheet(job: Job) -> Document:
    work = job.finish
    assert work is not None
    blocks: list[Block] = [Facts(tuple(_facts(job, work)))]
    if work.finish.note:
        blocks.append(Bullets((text(work.finish.note),)))
    if work.kind is None or work.kind.vapour:
        blocks.append(Caution(FINISH_VAPOUR.title, FINISH_VAPOUR.text))
    if work.kind is None or work.kind.oily_rags:
        blocks.append(Caution(OILY_RAGS.title, OILY_RAGS.text))
    blocks.append(Checklist(tuple(_before(work)), "Before the first coat"))
    blocks.append(Checklist(tuple(_coats(work)), "Coats"))
    blocks.append(Paragraph(text(_sources(work)), Weight.QUIET))
    question = "What goes on, in what order, and what do I beware of?"
    return Document("finish", "Finish", question, tuple(blocks))


def _facts(job: Job, work: FinishWork) -> list[tuple[str, Text]]:
    at = work.finish.at
    pairs: list[tuple[str, Text]] = [("Finish", text(work.finish.kind))]
    pairs.append(("Coats", text(count_figure("finish · coats", work.finish.coats, at))))
    pairs.append(("All faces", text(area_figure("finish · area", work.area, job.display, at))))
    if work.litres is not None:
        pairs.append(("For all coats", text("about ", volume_figure("finish", work.litres, job.display, at))))
    return pairs


def _before(work: FinishWork) -> list[Step]:
    steps = [Step(text("Glue has set, squeeze-out is gone, labels are off"))]
    if work.grits:
        grits = ", ".join(str(grit) for grit in work.grits)
        steps.append(Step(text(f"Sanded with grit {grits}, with the grain"), text(f"{END_GRAIN}.".capitalize())))
    steps += [Step(text(line)) for line in work.finish.steps]
    steps.append(Step(text("Dust off; one coat tried on an offcut of the same wood")))
    return steps


def _coats(work: FinishWork) -> list[Step]:
    wait = _wait(work)
    coats = work.finish.coats
    between = work.kind.between_grit if work.kind is not None else None
    if coats > MOST_COATS:
        return [Step(text(f"{coats} coats, each thin and even"), wait, blank="first on at")]
    steps = []
    for number in range(1, coats + 1):
        last = number == coats
        steps.append(Step(text(f"Coat {number}, thin and even"), () if last else wait, blank="on at"))
        if not last and between is not None:
            steps.append(Step(text(f"Cut back lightly with grit {between}, dust off")))
    steps.append(Step(text("Left to harden as the can says before use")))
    return steps


def _wait(work: FinishWork) -> Text:
    if work.kind is None:
        return text("The can says how long to wait.")
    low, high = (hours_figure("finish · wait", hours, work.finish.at) for hours in work.kind.wait_hours)
    return text("Wait ", low, *((" to ", high) if low.value != high.value else ()), ", longer when it is cold or damp.")


def _sources(work: FinishWork) -> str:
    if work.kind is None:
        return "The can and its data sheet decide."
    own = work.finish.coverage is not None
    coverage = "" if own else f"Coverage: {work.kind.coverage_source}. "
    note = f"{work.kind.note[0].upper()}{work.kind.note[1:]}. " if work.kind.note and not own else ""
    return f"{coverage}{note}Waits and grits: {work.kind.practice}. The can and its data sheet decide."
