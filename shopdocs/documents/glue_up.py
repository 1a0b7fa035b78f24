"""The glue-up checklist: in what order, with what, in how much time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from shopdocs.blocks.sheets import Block, Document, SideBySide, Together
from shopdocs.blocks.text import (
    Bullets,
    Caution,
    Checklist,
    Gauge,
    Heading,
    Paragraph,
    Run,
    Step,
    Stop,
    Text,
    Weight,
    plain,
    text,
)
from shopdocs.core.display import trimmed
from shopdocs.documents.drawn.build_pictures import stage_marks, stage_picture
from shopdocs.documents.drawn.clamped import clamped_picture
from shopdocs.documents.figures import (
    area_figure,
    count_figure,
    grams_figure,
    hours_figure,
    length_figure,
    marks_text,
    minutes_figure,
    strips_text,
)
from shopdocs.documents.fitting.calendar import calendar, soonest_words
from shopdocs.documents.fitting.clamp_words import tighten_words
from shopdocs.documents.fitting.crossed_holes import peg_steps, pin_steps
from shopdocs.documents.fitting.driving import driving_steps
from shopdocs.documents.fitting.dry_run import IN_ORDER, capital, dry_runs, fitted_last, last_steps, stops
from shopdocs.documents.fitting.glue_words import glue_facts, mix_steps, served
from shopdocs.documents.fitting.sequence import (
    Notes,
    jointless_stage,
    later_steps,
    locked_stage,
    unglued_steps,
    wet_steps,
)
from shopdocs.documents.fitting.trimming import trimming_steps
from shopdocs.documents.fitting.wording import listed
from shopdocs.documents.job import Job
from shopdocs.documents.look_alikes import either_way, stage_warnings, whole_warnings
from shopdocs.documents.noting import copies_blocks
from shopdocs.documents.own_cuts import cut_steps
from shopdocs.facts.adhesives import EPOXY, adhesive
from shopdocs.facts.cautions import EPOXY_HEAT
from shopdocs.model.parts import Part, Piece
from shopdocs.work.order.closing import Outcome
from shopdocs.work.order.diverging import diverging
from shopdocs.work.order.mixing import Mix
from shopdocs.work.order.stages import StageWork, time_words

MARKS_ON = "Mate marks on inside every joint while it is dry, then labels off"
BEFORE_EACH = (
    "Fit each stage dry, saying each piece aloud; check for square, set the clamps to width, wax or tape pads and "
    "cauls; lay brush, mallet and rags in reach. Do what a bar like this says before you open the glue."
)
IN_PICTURES = (
    "In the pictures bold goes on now and pale is already there; dots are glue, numbers are steps, C is a clamp."
)


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
    blocks += [calendar(job), *([Paragraph(text(soonest), Weight.QUIET)] if soonest else [])]
    blocks += [Stop(MARKS_ON, BEFORE_EACH), Paragraph(text(IN_PICTURES), Weight.QUIET), *dry_runs(job)]
    stages = [_stage(job, work) for work in job.stages]
    small = _by_twos(job, stages)
    after: list[Block] = []
    if job.left is not None:
        after.append(unglued_steps(job, job.left, Notes(), last_steps(job)))
    last = _last_of_all(job)
    if last and not _told_last(job, job.stages[-1]):
        after += last
    after.append(Paragraph(text(_trust(job)), Weight.QUIET))
    question = "In what order, with what, and in how much time?"
    instead = (*blocks, *small, *after) if small != stages else ()
    return Document("glue-up", "Glue-up", question, (*blocks, *stages, *after), runs_on=True, instead=instead)


def _last_of_all(job: Job) -> list[Checklist]:
    """What stays in reach and goes on when everything else is done."""
    steps = fitted_last(job)
    return [Checklist(tuple(steps), "Last of all, when the glue has set")] if steps else []


def _told_last(job: Job, work: StageWork) -> list[Checklist]:
    """The same where it has room under the pictures of this stage, and nothing comes between."""
    last = _last_of_all(job)
    if not last or work is not job.stages[-1] or job.left is not None or not work.meetings or _is_long(job, work):
        return []
    wet, rest = _lists(job, work)
    return last if _has_room(_rooms(job, work), (wet, *rest), [*_told(job, work), *last]) else []


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
    return text(f"{marks} from strips {strips}, ", seams, " seam" + ("s" if part.strips > 2 else ""))


MOST_STEPS = 11  # beside a picture; more run over the foot of a page
FEW_LINES, FEW_TOLD = 29, 9  # of steps and of mistakes, in half a page
SIDES = (1.0, 1.0)  # the pictures and the steps
SMALL_SIDES = (90.0, 82.0)


def _stage(job: Job, work: StageWork) -> Together:
    """A stage stays on one page where it fits, so that it can be followed with both hands full: at the left what goes
    together and how it is clamped, at the right the steps, across both what goes in wrong."""
    if work.order.outcome is Outcome.LOCKED:
        return Together((_head(work), *locked_stage(work.order)))
    if not work.meetings and not work.panels:
        return Together((_head(work), *jointless_stage(work)))
    blocks, wet, rest, told = _head_of_page(job, work), *_lists(job, work), _told(job, work)
    pictures = _pictures(job, work, *_rooms(job, work))
    if _is_long(job, work):
        blocks += [SideBySide(pictures, (1.0,) * len(pictures))] if pictures else []
        return Together((*blocks, _two_columns(wet, rest, told)))
    steps = (wet, *rest)
    left = tuple(block for each in pictures for block in each)
    headed = any(isinstance(block, Heading) for block in told)
    if left and (not headed or _has_room(_rooms(job, work), (wet, *rest), told)):
        left, told = (*left, *told, *_told_last(job, work)), []  # a line or two, under the pictures
    return Together((*blocks, SideBySide((left, steps), SIDES) if left else SideBySide((steps,), (1.0,)), *told))


_LINE_MM, _TOLD_MM, _HEADING_MM = 3.6, 4.6, 11.0  # of small type among steps, of what is told, and of its heading


def _has_room(rooms: Rooms, lists: Sequence[Checklist], told: Sequence[Block]) -> bool:
    """Whether what goes in wrong stands beside the last steps, under the pictures."""
    steps = _LINE_MM * (sum(_tall(step) for one in lists for step in one.steps) + 2 * len(lists))
    pictures = sum(tall for _, tall in rooms)
    words = [plain(item) for block in told for item in getattr(block, "items", ())]
    words += [plain(block.text) for block in told if isinstance(block, Paragraph)]
    words += [f"{plain(step.text)}{plain(step.detail)}" for b in told if isinstance(b, Checklist) for step in b.steps]
    return _HEADING_MM + _TOLD_MM * sum(-(-len(line) // _TOLD_LETTERS) for line in words) <= steps - pictures


def _is_long(job: Job, work: StageWork) -> bool:
    """Whether the steps of a stage run over the foot of a page beside its picture."""
    wet, rest = _lists(job, work)
    return len(wet.steps) + sum(len(one.steps) for one in rest) > MOST_STEPS


Rooms = tuple[tuple[float, float], tuple[float, float]]


def _rooms(job: Job, work: StageWork) -> Rooms:
    """The room of a stage's picture, and that of the one in the clamps; less where the mistakes have room under them
    then, beside the last steps."""
    if _is_long(job, work):
        return LONG_MM, BESIDE_LONG_MM
    if work is job.stages[-1] and job.left is not None:
        return LAST_MM
    (wet, rest), told = _lists(job, work), _told(job, work)
    large, less = (LARGE_MM, CLAMPED_MM), LESS_MM
    return less if not _has_room(large, (wet, *rest), told) and _has_room(less, (wet, *rest), told) else large


def names_all(job: Job, work: StageWork) -> bool:
    """Whether the sheet has a picture of this stage in which every new piece has its mark."""
    if work.order.outcome is Outcome.LOCKED or not (work.meetings or work.panels):
        return False
    marks = stage_marks(job, work, _rooms(job, work)[0])
    return marks is not None and not marks.unmarked


def _by_twos(job: Job, stages: Sequence[Together]) -> list[Together]:
    """The stages, those in half a page each where two that follow each other can share one."""
    found, small = list(stages), [_small_stage(job, work) for work in job.stages]
    number = 0
    while number + 1 < len(small):
        one, two = small[number : number + 2]
        if one is not None and two is not None:
            found[number : number + 2] = one, two
            number += 1
        number += 1
    return found


def _small_stage(job: Job, work: StageWork) -> Together | None:
    """A stage of few steps and mistakes in half a page: both pictures beside the steps, what goes in wrong under them;
    None for one that needs more."""
    if work.order.outcome is Outcome.LOCKED or not work.meetings:
        return None
    (wet, rest), told, (head, *more) = _lists(job, work), _told(job, work), _head_of_page(job, work)
    tall = sum(_tall(step) for one in (wet, *rest) for step in one.steps)
    lines = sum(
        -(-len(plain(item)) // _TOLD_LETTERS) for block in told if isinstance(block, Bullets) for item in block.items
    )
    if tall > FEW_LINES or lines > FEW_TOLD or any(isinstance(block, (Stop, Caution)) for block in more):
        return None
    pictures = _pictures(job, work, *SMALL_MM)
    if [len(column) for column in pictures] != [1, 1]:  # one is wanting, or has no room for every mark
        return None
    top: Block = head
    if more and isinstance(more[0], Gauge):
        top, more = SideBySide(((head,), (more[0],)), (1.0, 2.0)), more[1:]
    left = SideBySide(pictures, (1.0, 1.0))
    return Together((top, *more, SideBySide(((left, *told), (wet, *rest)), SMALL_SIDES)))


def _head(work: StageWork) -> Heading:
    return Heading(f"{work.number}  {work.stage.title}", 1, f"stage-{work.number}")


def _head_of_page(job: Job, work: StageWork) -> list[Block]:
    """What stands over the picture of a stage and its steps."""
    blocks: list[Block] = [_head(work), *_gauge(work), *_in_brief(job, work), *stops(job, work)]
    if work.too_long and work.open is not None:
        blocks.append(Caution("Longer than the glue stays open", f"{time_words(work)}. {TOO_LONG}"))
    return blocks


def _lists(job: Job, work: StageWork) -> tuple[Checklist, tuple[Checklist, ...]]:
    """What is done with wet glue, and what after that."""
    return job.once(("steps of a stage", work.number), lambda: _made_lists(job, work))


def _made_lists(job: Job, work: StageWork) -> tuple[Checklist, tuple[Checklist, ...]]:
    notes = Notes()
    wet = Checklist(tuple(_during(job, work, notes)), "With wet glue", large=True)
    clamped = Checklist(tuple(_afterwards(job, work)), "In the clamps", large=True)
    dry_later = later_steps(job, work, notes)
    own = [Step(text(line)) for line in work.stage.when_set]
    trimmed_later = [*_planed_panels(job, work), *trimming_steps(job, work), *own]
    later = [*dry_later, *trimmed_later]
    dry = ", no glue" if dry_later and not [*peg_steps(job, work)] else ""
    then = (Checklist(tuple(later), f"When the glue has set{dry}", large=True),) if later else ()
    return wet, (clamped, *then)


def _planed_panels(job: Job, work: StageWork) -> Iterator[Step]:
    """A panel is not done when it is out of its clamps."""
    if work.panels:
        marks = marks_text([piece.mark for _, piece in work.panels])
        glue = adhesive(job.build.gluing.adhesive) if job.build.gluing is not None else None
        wet = f"{WAIT_TO_PLANE} " if glue is not None and glue.water_borne else ""
        yield Step(text(f"Scrape and plane {marks} flat, cut to size"), text(f"{wet}Sizes as on the cut list."))
        yield from cut_steps(job, work)


def _told(job: Job, work: StageWork) -> list[Block]:
    """The note above the mistakes: under their heading it would read as one of them."""
    notes = [*([text(work.stage.note)] if work.stage.note else []), *_closing_together(job, work)]
    return [*([Bullets(tuple(notes))] if notes else []), *_wrong(job, work)]


def _closing_together(job: Job, work: StageWork) -> Iterator[Text]:
    """Tenons that lean each its own way: how they go in."""
    for found in diverging(job.build, job.space, work):
        name, unit = f"{work.stage.title} · {found.onto}", job.display.units
        runs: list[Run] = [
            f"{listed(found.legs)} each lean their own way and cannot go into {found.onto} one after another: "
            "leave the joints between them open, by "
        ]
        for what, value in (("left and right", found.sideways), ("front and rear", found.lengthways)):
            if value.mm:
                runs += [" and " if len(runs) > 1 else "", length_figure(f"{name} · {what}", value, job.display)]
                runs.append(f" {unit} {what}")
        yield (
            *runs,
            f". Start all tenons in {found.onto}, then drive a little at each in turn: all joints close together.",
        )


# The picture of a stage and of its clamps under it, beside the steps; above them where they are many.
LARGE_MM, CLAMPED_MM = (88.0, 96.0), (88.0, 68.0)
LESS_MM = (88.0, 80.0), (88.0, 54.0)
LAST_MM = (88.0, 86.0), (88.0, 62.0)  # leaves room for what goes on without glue
LONG_MM, BESIDE_LONG_MM = (84.0, 54.0), (84.0, 52.0)
SMALL_MM = (42.0, 51.0), (42.0, 51.0)
# After the gluing guide that `facts.adhesives` names: several days for water-borne glue.
WAIT_TO_PLANE = "Better some days later: seams still damp from the glue sink when they dry."
TOO_LONG = "Split this stage, call a second pair of hands, or take a slower glue."


def _pictures(
    job: Job, work: StageWork, apart_mm: tuple[float, float], closed_mm: tuple[float, float]
) -> tuple[tuple[Block, ...], ...]:
    """What goes together, with the pieces that had no room for a mark told under it; and how it is clamped."""
    picture = stage_picture(job, work, apart_mm)
    closed = clamped_picture(job, work, closed_mm)
    shown: tuple[Block, ...] = ()
    if picture is not None:
        bare = f"Not marked in the picture, where there was no room: {listed(picture.unmarked)}."
        shown = (picture.drawing, *((Paragraph(text(bare), Weight.QUIET),) if picture.unmarked else ()))
    return tuple(column for column in (shown, (closed,) if closed is not None else ()) if column)


def _two_columns(wet: Checklist, rest: tuple[Checklist, ...], told: Sequence[Block]) -> SideBySide:
    """A long list in two columns, the clamps under the second, what goes in wrong under the first."""
    under = sum(_tall(step) for one in rest for step in one.steps) + 2 * len(rest)
    tall = [_tall(step) for step in wet.steps]
    half = min(range(1, len(tall) + 1), key=lambda n: abs(sum(tall[:n]) - sum(tall[n:]) - under))
    if len(wet.steps) <= half:
        return SideBySide(((wet, *told), rest), (1.0, 1.0))
    second = Checklist(wet.steps[half:], "Go on at once", large=True)
    return SideBySide(((replace(wet, steps=wet.steps[:half]), *told), (second, *rest)), (1.0, 1.0))


_LETTERS, _SMALL_LETTERS, _TOLD_LETTERS = 33, 48, 55  # of a column, about


def _tall(step: Step) -> float:
    """About how tall a step is, in lines of small type."""
    words, told = len(plain(step.text)), len(plain(step.detail))
    return 0.8 + 1.6 * -(-words // _LETTERS) - (-told // _SMALL_LETTERS)


def _gauge(work: StageWork) -> Iterator[Gauge]:
    """Minutes that the stage takes against those the glue allows."""
    if work.open is None:
        return
    name, at = f"stage {work.number}", work.stage.places.get("minutes", work.stage.at)
    estimate = "about " if work.estimated else ""
    figure = minutes_figure(f"{name} · work", work.minutes, at)
    words = text(estimate, figure, f" of {trimmed(work.open.low, 1)} min open")
    yield Gauge(words, float(work.minutes / work.open.low))


def _wrong(job: Job, work: StageWork) -> list[Block]:
    """The mistakes that go in at this stage, a line each."""
    if work.panels:
        return []
    glued = frozenset(mark for before in job.stages[: work.number - 1] for mark in before.stage.pieces)
    told = [*stage_warnings(job, work.loose, glued), *whole_warnings(job, work.number)]
    wrong: list[Block] = [Heading("Easy to get wrong", 2), Bullets(tuple(told))] if told else []
    ways = [f"{how}: {listed(marks)}." for how, marks in either_way(job, work.loose).items()]
    if ways:
        wrong.append(Paragraph(text(" ".join(ways)), Weight.QUIET))
    return wrong


def _in_brief(job: Job, work: StageWork) -> Iterator[Paragraph]:
    """What a stage takes, in one line."""
    runs: list[Run] = []
    for name, value in _stage_facts(job, work):
        runs += [" · " if runs else "", f"{name} " if name else "", *value]
    if runs:
        yield Paragraph(tuple(runs), Weight.STRONG)


def _stage_facts(job: Job, work: StageWork) -> list[tuple[str, Text]]:
    at = work.stage.places.get("minutes", work.stage.at)
    name = f"stage {work.number}"
    pairs: list[tuple[str, Text]] = []
    if work.stage.uses:
        pairs.append(("With", text(", ".join(work.stage.uses))))
    if work.open is None:
        how = " (estimate)" if work.estimated else ""
        pairs.append(("Time", text(minutes_figure(f"{name} · work", work.minutes, at), how)))
    if work.mix is not None:
        batches = (
            f", {work.mix.batches} batches" if work.mix.batches > 1 else f"{served(work.mix)}{_smallest(work.mix)}"
        )
        glue = text(grams_figure(f"{name} · glue", work.mix.grams, job.display, work.stage.at), batches)
        if not work.mix.portions:
            glue = text(f"Glue of stage {work.mix.serves[0]}")
        pairs.append(("", (*glue, " on ", area_figure(f"{name} · glued area", work.area, job.display))))
    if work.clamps:
        pairs.append(("", text(", ".join(f"{count} × {kind}" for kind, count, _ in work.clamps))))
    return pairs


def _smallest(mix: Mix) -> str:
    return ", the smallest mix," if mix.least else ""


def _during(job: Job, work: StageWork, notes: Notes) -> list[Step]:
    batches = mix_steps(job, work.mix, work.number) if work.mix is not None else {}
    first, *more = batches.pop(0, [Step(text("Open the glue"), blank="at")])
    steps = [first, *(Step(_strips(part, (piece,)), text("edge to edge")) for part, piece in work.panels), *more]
    steps += wet_steps(job, work, notes, batches)
    steps += pin_steps(job, work)
    steps += driving_steps(work)
    checked = "check it is flat with a straightedge" if work.panels else "check for square corner to corner"
    told = tighten_words(job, work)
    check = text(f"{capital(checked)}, wipe off the squeeze-out.")
    steps.append(Step(text("Clamps on"), (*told, " ", *check) if told else check, blank="at"))
    return steps


def _afterwards(job: Job, work: StageWork) -> list[Step]:
    steps = [Step(text(line)) for line in work.stage.after]
    if work.wait_hours is not None:
        at = work.stage.places.get("wait", work.stage.at)
        wait = hours_figure(f"stage {work.number} · in clamps", work.wait_hours, at)
        steps.append(Step(text("Leave them on ", wait), blank="off at"))
    return steps or [Step(text("Leave them on as the label says"), blank="off at")]


def _trust(job: Job) -> str:
    """How far its figures go; where they come from stands on the sheet that says how figures are made."""
    note = next((". ".join(work.open.notes) for work in job.stages if work.open is not None and work.open.notes), "")
    estimate = (
        "Estimated times are common practice for one pair of hands; give a stage minutes: to use your own. "
        if any(work.estimated for work in job.stages)
        else ""
    )
    noted = f"{note[0].upper()}{note[1:]}. " if note else ""
    mixed = any(work.mix is not None and work.mix.batches > 1 for work in job.stages)
    if mixed and "epoxy batch" in job.shop.defaults:
        noted += f"Batches of {trimmed(job.shop.batch_grams, 0)} g are a usual size; the shop file can set yours. "
    return f"{noted}{estimate}The label and the data sheet of the glue come first."
