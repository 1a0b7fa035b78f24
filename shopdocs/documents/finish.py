"""The finish: in what order, how long between coats, and what to beware of."""

from __future__ import annotations

from shopdocs.blocks.sheets import Block, Document, SideBySide
from shopdocs.blocks.text import Bullets, Caution, Checklist, Facts, Figure, Step, Text, text
from shopdocs.core.display import trimmed
from shopdocs.documents.figures import area_figure, count_figure, volume_figure
from shopdocs.documents.fitting.dry_run import finished_before, finished_first
from shopdocs.documents.how.rules import note, where_notes_are
from shopdocs.documents.job import Job
from shopdocs.documents.noting import copies_blocks
from shopdocs.facts.cautions import FINISH_VAPOUR, OILY_RAGS
from shopdocs.facts.cautions import Caution as FactCaution
from shopdocs.facts.finish_types import END_GRAIN, VENEER_GRIT
from shopdocs.work.finish_needs import FinishWork
from shopdocs.work.seasons.wood import is_solid

MOST_NARROW = 6  # steps of the coats in the last of three columns
MOST_COATS = 12  # a line to tick for each; more are told in one


def has_finish(job: Job) -> bool:
    """Whether the build names a finish."""
    return job.finish is not None


def finish_sheet(job: Job) -> Document:
    """How much to have ready, the cautions, what to do before the first coat, and the coats in order. Only for a build
    with a finish: see `has_finish`."""
    work = job.finish
    assert work is not None
    blocks: list[Block] = [
        *copies_blocks(job, "Areas and amounts are for one of them."),
        Facts(tuple(_facts(job, work))),
    ]
    if work.finish.note:
        blocks.append(Bullets((text(work.finish.note),)))
    cautions = tuple((Caution(caution.title, caution.text),) for caution in cautions_of(job))
    if len(cautions) > 1:
        blocks.append(SideBySide(cautions, (1.0,) * len(cautions)))
    else:
        blocks += [caution for column in cautions for caution in column]
    first = _before_the_glue(job)
    # what only the last pieces close off, dry, waits until the glue has set
    title = "Before the glue" if finished_before(job) or not any(finished_first(job)) else "Before it is closed off"
    glued = [Checklist(tuple(first), title)] if first else []
    before = Checklist(tuple(_before(job, work)), "Before the first coat")
    coats = Checklist(tuple(_coats(work)), "Coats")
    notes = where_notes_are()
    question = "What goes on, in what order, and what do I beware of?"
    below: list[Block] = [*glued, SideBySide(((before,), (coats,)), (1.0, 1.3)), *notes]
    three = SideBySide((tuple(glued), (before,), (coats,)), (1.0, 1.0, 1.2))
    two = SideBySide(((*glued, before), (coats,)), (1.0, 1.0))
    beside = [two if len(coats.steps) > MOST_NARROW else three, *notes]
    instead = (*blocks, *beside) if glued else ()
    return Document("finish", "Finish", question, (*blocks, *below), runs_on=True, instead=instead)


def cautions_of(job: Job) -> list[FactCaution]:
    """What the finish sheet warns of."""
    if job.finish is None:
        return []
    kind = job.finish.kind
    found = [FINISH_VAPOUR] if kind is None or kind.vapour else []
    return [*found, OILY_RAGS] if kind is None or kind.oily_rags else found


def _facts(job: Job, work: FinishWork) -> list[tuple[str, Text]]:
    at = work.finish.at
    pairs: list[tuple[str, Text]] = [("Finish", text(work.finish.kind))]
    pairs.append(("Coats", text(count_figure("finish · coats", work.finish.coats, at))))
    pairs.append(
        (f"Area, all faces{note(job, 'coverage')}", text(area_figure("finish · area", work.area, job.display, at)))
    )
    if work.litres is not None:
        pairs.append(("For all coats", text("about ", volume_figure("finish", work.litres, job.display, at))))
    return pairs


def _before_the_glue(job: Job) -> list[Step]:
    """Where a stage closes the way to a face, it is coated first; what takes glue stays bare."""
    steps = [Step(text(where), text(f"{what}: sanded, all coats on.")) for where, what in finished_first(job)]
    if steps and not finished_before(job):
        return steps
    if steps:
        told = "Tenons, mortises, housings, edges to be glued, and their mate marks: glue does not hold on finish."
        return [Step(text("Tape what takes glue"), text(told)), *steps]
    if job.stages and job.space is not None:
        return [Step(text("No stage closes off a face: finish after the glue-up"))]
    return []


def _before(job: Job, work: FinishWork) -> list[Step]:
    steps = [Step(text("The glue is cured, squeeze-out is gone, labels are off"))]
    if work.grits:
        grits = ", ".join(str(grit) for grit in work.grits)
        told = f"{END_GRAIN}.".capitalize()
        fine = [grit for grit in work.grits if grit >= VENEER_GRIT]
        if _has_veneer(job) and 0 < len(fine) < len(work.grits):
            told += f" Sheet goods from {min(fine)} on only: their face veneer is thin."
        steps.append(Step(text(f"Sand with the grain: {grits} grit"), text(told)))
    steps += [Step(text(line)) for line in work.finish.steps]
    steps.append(Step(text("Dust off; try one coat on an offcut of the same wood")))
    return steps


def _has_veneer(job: Job) -> bool:
    return any(not is_solid(job.build.material(part.material)) for part in job.build.parts)


def _coats(work: FinishWork) -> list[Step]:
    coats, kind = work.finish.coats, work.kind
    wiped = kind is not None and kind.wiped
    if coats > MOST_COATS:
        each = "each thin and even" + (", each wiped off" if wiped else "")
        return [Step(text(f"{coats} coats, {each}"), _wait(work), blank="first on")]
    steps: list[Step] = []
    for number in range(1, coats + 1):
        if number > 1 and kind is not None and kind.between_grit is not None:
            steps.append(Step(text(f"Rub down lightly with {kind.between_grit} grit, dust off")))
        how = "thin, let it soak in" if wiped else "thin and even"
        first = _wait(work) if number > 1 else ()
        steps.append(Step(text(f"Coat {number}: {how}"), first, blank="on"))
        if wiped:
            told = "After as many minutes as the can says; corners and edges too. Rags as above." if number == 1 else ""
            steps.append(Step(text("Wipe off the excess before it turns tacky"), _told(told), blank="off"))
    steps.append(Step(text("Let it cure before use, as long as the can says")))
    return steps


def _told(words: str) -> Text:
    return (words,) if words else ()


def _wait(work: FinishWork) -> Text:
    """How long after the coat before; both ends in hours, for nobody holds 24 h against 2 days."""
    if work.kind is None:
        return text("Wait first, as long as the can says")
    low, high = (
        Figure("finish · wait", trimmed(hours, 1), hours, "h", work.finish.at) for hours in work.kind.wait_hours
    )
    span = (low, *((" to ", high) if low.value != high.value else ()))
    return text("Wait ", *span, " h first, longer in the cold or the damp")
