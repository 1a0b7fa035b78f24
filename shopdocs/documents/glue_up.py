"""The glue-up checklist: in what order, with what, in how much time."""

from __future__ import annotations

from shopdocs.blocks.sheets import Block, Document, SideBySide, Together
from shopdocs.blocks.text import Bullets, Caution, Checklist, Facts, Heading, Paragraph, Step, Text, Weight, text
from shopdocs.core.display import trimmed
from shopdocs.documents.figures import (
    area_figure,
    count_figure,
    grams_figure,
    hours_figure,
    marks_text,
    minutes_figure,
    strips_text,
    temperature_figure,
)
from shopdocs.documents.fitting.crossing import pin_steps, pinned
from shopdocs.documents.fitting.sequence import Notes, later_steps, order_caution, unglued_steps, wet_steps
from shopdocs.documents.job import Job
from shopdocs.documents.look_alikes import stage_warnings
from shopdocs.facts.adhesives import EPOXY, Adhesive, adhesive
from shopdocs.facts.cautions import EPOXY_HEAT
from shopdocs.model.joining import Gluing
from shopdocs.model.parts import Part, Piece
from shopdocs.work.order.stages import Mix, StageWork
from shopdocs.work.order.unglued import unglued

IN_ORDER = "Strips lie in the order of their letters, and the triangle across them is whole"


def has_stages(job: Job) -> bool:
    return bool(job.stages)


def glue_up(job: Job) -> Document:
    gluing = job.build.gluing
    assert gluing is not None
    glue = adhesive(gluing.adhesive)
    blocks: list[Block] = [_facts(job, gluing, glue)]
    if gluing.note:
        blocks.append(Paragraph(text(gluing.note)))
    if glue is not None and glue.family == EPOXY:
        blocks.append(Caution(EPOXY_HEAT.title, EPOXY_HEAT.text))
    if job.panels:
        blocks.append(_panels(job))
    blocks += [_stage(job, work) for work in job.stages]
    left = unglued(job.build, job.stages, job.space)
    if left is not None:
        blocks.append(unglued_steps(job, left, Notes()))
    blocks.append(Paragraph(text(_sources(job)), Weight.QUIET))
    question = "In what order, with what, and in how much time?"
    return Document("glue-up", "Glue-up", question, tuple(blocks))


def _panels(job: Job) -> Block:
    """Wide pieces of strips without a stage of their own are glued up before any, planed and cut to size."""
    steps = []
    for panel in job.panels:
        words = _strips(panel.part, panel.pieces)
        each = text(" each") if len(panel.pieces) > 1 else ()
        area = area_figure(f"{panel.part.name} · seams", panel.area, job.display, panel.part.at)
        glue: Text = ()
        if panel.mix is not None:
            grams = grams_figure(f"{panel.part.name} · glue", panel.mix.grams, job.display, panel.part.at)
            glue = ("about ", grams, _smallest(panel.mix))
        steps.append(Step((*words, *each), ("glue on ", area), glue))
    steps.append(Step(text(IN_ORDER)))
    return Checklist(tuple(steps), "Panels first")


def _strips(part: Part, pieces: tuple[Piece, ...]) -> Text:
    marks = marks_text([piece.mark for piece in pieces])
    strips = "; ".join(strips_text(part.strip_marks(piece.mark)) for piece in pieces)
    seams = count_figure(f"{part.name} · seams", part.strips - 1, part.at)
    return text(f"{marks} of the strips {strips}, ", seams, " seam" + ("s" if part.strips > 2 else ""))


def _facts(job: Job, gluing: Gluing, glue: Adhesive | None) -> Facts:
    pairs: list[tuple[str, Text]] = [("Adhesive", text(gluing.adhesive))]
    window = job.stages[0].open if job.stages else None
    if window is not None:
        at = gluing.places.get("open time", gluing.at)
        label = ", from the label" if gluing.open_minutes else ", plan with this"
        pairs.append(("Open time", text(minutes_figure("open time", window.low, at), label)))
    if gluing.shop_celsius is not None:
        at = gluing.places.get("shop", gluing.at)
        warning = " — too cold for this glue" if window is not None and window.too_cold else ""
        pairs.append(("Shop", text(temperature_figure("shop", gluing.shop_celsius, job.display, at), warning)))
    if glue is not None:
        pairs.append(("Full strength", text("after ", hours_figure("full strength", glue.full_hours))))
    return Facts(tuple(pairs))


def _stage(job: Job, work: StageWork) -> Together:
    """A stage stays on one page where it fits, so that it can be read with both hands full."""
    stage = work.stage
    head: list[Block] = [
        Heading(f"{work.number}  {stage.title}", 2, f"stage-{work.number}"),
        Facts(tuple(_stage_facts(job, work))),
    ]
    if work.too_long and work.open is not None:
        head.append(
            Caution(
                "Longer than the glue stays open",
                f"Planned {trimmed(work.minutes, 1)} min, open time {trimmed(work.open.low, 1)} min. "
                "Split this stage, call a second pair of hands, or take a slower glue.",
            )
        )
    notes = Notes()
    blocks = head + order_caution(work.order)
    dry = Checklist(tuple(_before(job, work)), "Before the glue is opened")
    wet = Checklist(tuple(_during(job, work, notes)), "With wet glue")
    clamped = Checklist(tuple(_afterwards(job, work)), "In the clamps")
    later = later_steps(work.order, notes)
    then = (Checklist(tuple(later), "When the glue has set, without glue"),) if later else ()
    blocks.append(SideBySide(((dry,), (wet, clamped, *then)), (0.9, 1.1)))  # so that short stages share a page
    if stage.note:
        blocks.append(Bullets((text(stage.note),)))
    return Together(tuple(blocks))


def _stage_facts(job: Job, work: StageWork) -> list[tuple[str, Text]]:
    at = work.stage.places.get("minutes", work.stage.at)
    name = f"stage {work.number}"
    pairs: list[tuple[str, Text]] = []
    if work.stage.uses:
        pairs.append(("With", text(", ".join(work.stage.uses))))
    how = " (estimate)" if work.estimated else ""
    of = f" of {trimmed(work.open.low, 1)} min open" if work.open is not None else ""
    pairs.append(("Time", text(minutes_figure(f"{name} · work", work.minutes, at), how, of)))
    if work.mix is not None:
        batches = f", {work.mix.batches} batches" if work.mix.batches > 1 else _smallest(work.mix)
        glue = text(grams_figure(f"{name} · glue", work.mix.grams, job.display, work.stage.at), batches)
        pairs.append(("Glue", (*glue, " on ", area_figure(f"{name} · glued area", work.area, job.display))))
    if work.clamps:
        pairs.append(("Clamps", text(", ".join(f"{count} × {kind}" for kind, count, _ in work.clamps))))
    return pairs


def _before(job: Job, work: StageWork) -> list[Step]:
    stage = work.stage
    steps = [Step(text(line)) for line in stage.first]
    steps += _fitted(job, work)
    glued = frozenset(mark for before in job.stages[: work.number - 1] for mark in before.stage.pieces)
    if not work.panels:  # strips have no place of their own yet, and the panel does not go to its place in this stage
        steps += [Step(warning) for warning in stage_warnings(job, work.loose, glued)]
    if work.panels:
        steps.append(Step(text(IN_ORDER)))
    square = "" if work.panels else "square, "
    steps.append(Step(text(f"Dry fit, {square}clamps set to width; every mark read once more")))
    if work.meetings:
        steps.append(Step(text("Mate marks pencilled inside every joint while it is dry, only then the labels off")))
    strips = [strip for part, piece in work.panels for strip in part.strip_marks(piece.mark)]
    steps.append(Step(text("Pieces in reach: ", marks_text(strips or [*stage.pieces]))))
    if stage.tools:
        steps.append(Step(text("Tools in reach: ", ", ".join(stage.tools))))
    for kind, count, on_wall in work.clamps:
        short = f"the wall has {on_wall}" if on_wall is not None and on_wall < count else ""
        steps.append(Step(text(f"{count} × {kind}"), text(short)))
    return steps


def _fitted(job: Job, work: StageWork) -> list[Step]:
    """Hardware that goes on before the glue, as many as sit on pieces of the stage."""
    named = [h for h in job.build.hardware if h.stage == work.stage.title or h.name in work.stage.hardware]
    known = {hardware.name for hardware in named}
    pieces = _pieces_of(job, work)
    steps = []
    driven = pinned(job, (meeting for _, meeting in work.meetings))  # told where its joints are closed
    for hardware in named:
        if hardware.name in driven:
            continue
        places = sum(place.piece in pieces for place in hardware.on) or len(hardware.on) or hardware.count
        count = f"{places} × " if places > 1 else ""
        name = hardware.name if count else hardware.name[:1].upper() + hardware.name[1:]
        steps.append(Step(text(f"{count}{name} fitted, while one can still reach"), text(hardware.note)))
    others = [name for name in dict.fromkeys(work.stage.hardware) if name not in known]
    return steps + [Step(text(f"{name[:1].upper()}{name[1:]} fitted, while one can still reach")) for name in others]


def _pieces_of(job: Job, work: StageWork) -> frozenset[str]:
    """All pieces that are there in a stage, those of the stages it uses among them."""
    stages = {before.stage.title: before for before in job.stages[: work.number - 1]}
    used = (_pieces_of(job, stages[title]) for title in work.stage.uses if title in stages)
    return frozenset(work.stage.pieces).union(*used)


def _smallest(mix: Mix) -> str:
    return ", the smallest mix," if mix.least else ""


def _during(job: Job, work: StageWork, notes: Notes) -> list[Step]:
    steps = []
    batches = work.mix.batches if work.mix else 1
    opened = "Mix the glue" if work.mix is not None and work.mix.mixed else "Open the glue"
    steps.append(Step(text("Mix batch 1" if batches > 1 else opened), right=(), blank="time"))
    if batches > 1:
        steps.append(Step(text(f"Mix each of the other {batches - 1} batches only when the one before is spread")))
    steps += [Step(_strips(part, (piece,)), text("edge to edge")) for part, piece in work.panels]
    steps += wet_steps(work.order, notes)
    steps += pin_steps(job, work)
    checked = "flat checked with a straightedge" if work.panels else "square checked corner to corner"
    steps.append(Step(text(f"Clamps on, {checked}, squeeze-out wiped"), blank="time"))
    return steps


def _afterwards(job: Job, work: StageWork) -> list[Step]:
    steps = [Step(text(line)) for line in work.stage.after]
    if work.wait_hours is not None:
        at = work.stage.places.get("wait", work.stage.at)
        wait = hours_figure(f"stage {work.number} · in clamps", work.wait_hours, at)
        steps.append(Step(text("Clamps stay on at least ", wait), blank="off at"))
    return steps or [Step(text("Clamps stay on as long as the glue's label asks"), blank="off at")]


def _sources(job: Job) -> str:
    sources: list[str] = []
    for work in job.stages:
        if work.open is not None:
            sources += [str(source) for source in work.open.sources]
    note = next((work.open.note for work in job.stages if work.open is not None and work.open.note), "")
    told = f"Open time: {'; '.join(dict.fromkeys(sources))}. " if sources else ""
    estimate = (
        "Estimated times are common practice for one pair of hands; write your own under minutes. "
        if any(work.estimated for work in job.stages)
        else ""
    )
    noted = f"{note[0].upper()}{note[1:]}. " if note else ""
    mixed = any(work.mix is not None and work.mix.batches > 1 for work in job.stages)
    if mixed and "epoxy batch" in job.shop.defaults:
        noted += f"Batches of {trimmed(job.shop.batch_grams, 0)} g are a usual size; the shop file can set yours. "
    return f"{told}{noted}{estimate}The label and data sheet of the glue decide."
