"""The finish: in what order, how long between coats, and what to beware of."""

from __future__ import annotations

from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Bullets, Caution, Checklist, Facts, Step, Text, text
from shopdocs.documents.figures import area_figure, count_figure, hours_figure, volume_figure
from shopdocs.documents.how.rules import note, where_notes_are
from shopdocs.documents.job import Job
from shopdocs.facts.cautions import FINISH_VAPOUR, OILY_RAGS
from shopdocs.facts.cautions import Caution as FactCaution
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
    blocks += [Caution(caution.title, caution.text) for caution in cautions_of(job)]
    blocks.append(Checklist(tuple(_before(work)), "Before the first coat"))
    blocks.append(Checklist(tuple(_coats(work)), "Coats"))
    blocks += where_notes_are(job)
    question = "What goes on, in what order, and what do I beware of?"
    return Document("finish", "Finish", question, tuple(blocks))


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
    pairs.append((f"All faces{note(job, 'coverage')}", text(area_figure("finish · area", work.area, job.display, at))))
    if work.litres is not None:
        pairs.append(("For all coats", text("about ", volume_figure("finish", work.litres, job.display, at))))
    return pairs


def _before(work: FinishWork) -> list[Step]:
    steps = [Step(text("The glue is cured, squeeze-out is gone, labels are off"))]
    if work.grits:
        grits = ", ".join(str(grit) for grit in work.grits)
        steps.append(Step(text(f"Sand with the grain: {grits} grit"), text(f"{END_GRAIN}.".capitalize())))
    steps += [Step(text(line)) for line in work.finish.steps]
    steps.append(Step(text("Dust off; try one coat on an offcut of the same wood")))
    return steps


def _coats(work: FinishWork) -> list[Step]:
    wait = _wait(work)
    coats = work.finish.coats
    between = work.kind.between_grit if work.kind is not None else None
    wiped = work.kind is not None and work.kind.wiped
    if coats > MOST_COATS:
        each = "each thin and even" + (", each wiped off" if wiped else "")
        return [Step(text(f"{coats} coats, {each}"), wait, blank="first on at")]
    steps = []
    for number in range(1, coats + 1):
        last = number == coats
        flood = "a thin coat, let it soak in" if wiped else "thin and even"
        steps.append(Step(text(f"Coat {number}: {flood}"), () if wiped or last else wait, blank="on at"))
        if wiped:
            steps.append(_wipe(() if last else wait))
        if not last and between is not None:
            steps.append(Step(text(f"Rub down lightly with {between} grit, dust off")))
    steps.append(Step(text("Let it cure before use, as long as the can says")))
    return steps


def _wipe(wait: Text) -> Step:
    """Taking off what has not soaked in; the rags go where the caution says."""
    words = "Wipe off all that still lies wet before it turns tacky, corners and edges too"
    detail = ("The can says after how many minutes. Rags: see above. ", *wait)
    return Step(text(words), detail, blank="off at")


def _wait(work: FinishWork) -> Text:
    if work.kind is None:
        return text("The can says how long to wait.")
    low, high = (hours_figure("finish · wait", hours, work.finish.at) for hours in work.kind.wait_hours)
    return text(
        "Then wait ", low, *((" to ", high) if low.value != high.value else ()), ", longer in the cold or the damp."
    )
