"""The pages of the stages of a glue-up: what stands, what goes on, in which order, how it is clamped, what goes in
wrong."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from msgspec.structs import replace

from shopdocs.blocks.sheets import Block, SideBySide, Together
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
from shopdocs.documents.drawn.build_pictures import stage_marks
from shopdocs.documents.figures import (
    area_figure,
    count_figure,
    grams_figure,
    hours_figure,
    marks_text,
    minutes_figure,
    strips_text,
)
from shopdocs.documents.fitting.clamp_words import tighten_words
from shopdocs.documents.fitting.crossed_holes import peg_steps, pin_steps
from shopdocs.documents.fitting.driving import driving_steps
from shopdocs.documents.fitting.dry_run import capital, fitted_last, hung_by, stops
from shopdocs.documents.fitting.glue_words import mix_steps, served, weighed
from shopdocs.documents.fitting.planing import arrises_of_panels, planed_panels
from shopdocs.documents.fitting.sequence import (
    Notes,
    jointless_stage,
    later_steps,
    locked_stage,
    wet_steps,
)
from shopdocs.documents.fitting.trimming import trimming_steps
from shopdocs.documents.fitting.twin_stages import twin_stages
from shopdocs.documents.job import Job
from shopdocs.documents.look_alikes import either_words, stage_warnings, whole_warnings
from shopdocs.documents.stage_rooms import (
    BESIDE_LONG_MM,
    CLAMPED_MM,
    LARGE_MM,
    LAST_MM,
    LESS_MM,
    LONG_MM,
    SIDES,
    TALLER_LONG,
    Rooms,
    growing_pictures,
    pictures_of,
    with_larger,
)
from shopdocs.model.parts import Part, Piece
from shopdocs.work.joints.off_square import leans
from shopdocs.work.order.closing import Outcome
from shopdocs.work.order.mixing import Mix
from shopdocs.work.order.stages import StageWork, time_words


def last_of_all(job: Job) -> list[Checklist]:
    """What stays in reach and goes on when everything else is done: hardware stays out of the finish (common practice,
    no source)."""
    steps = fitted_last(job)
    if not steps and job.left is not None:
        return []  # what is left to do is told under that
    steps += wall_steps(job)
    done = "glue has set" if job.finish is None else "finish is dry"
    return [Checklist(tuple(steps), f"Last of all, when the {done}")] if steps else []


FIX_IT = "Fix it to the wall, into studs or sound masonry"  # as facts.cautions has it


def wall_steps(job: Job, when: str = "") -> list[Step]:
    """The last step of what does not stand by itself."""
    if job.build.free_standing:
        return []
    hung = hung_by(job)
    by = f": {', '.join(name[:1].lower() + name[1:] for name, _ in hung)}" if hung else ""
    return [Step(text(f"{FIX_IT}{when}{by}"), text(" ".join(note for _, note in hung if note)))]


def told_last(job: Job, work: StageWork) -> list[Checklist]:
    """The same where it has room under the pictures of this stage, and nothing comes between."""
    last = last_of_all(job)
    if not last or work is not job.stages[-1] or job.left is not None or not work.meetings or _is_long(job, work):
        return []
    wet, rest = _lists(job, work)
    return last if _has_room(_rooms(job, work), (wet, *rest), [*_told(job, work), *last]) else []


def strips_words(part: Part, pieces: tuple[Piece, ...]) -> Text:
    """Wide pieces with the strips they are glued up from, and how many seams that makes."""
    marks = marks_text([piece.mark for piece in pieces])
    strips = "; ".join(strips_text(part.strip_marks(piece.mark)) for piece in pieces)
    seams = count_figure(f"{part.name} · seams", part.strips - 1, part.at)
    return text(f"{marks}: glue {strips} edge to edge, ", seams, " seam" + ("s" if part.strips > 2 else ""))


IN_CLAMPS = ("While the glue sets", "In the clamps")
FEET = 2  # legs of one end; more stand round a build
MOST_STEPS = 11  # beside a picture; more run over the foot of a page


def stage_page(job: Job, work: StageWork) -> Together:
    """A stage stays on one page where it fits, so that it can be followed with both hands full: at the left what goes
    together and how it is clamped, at the right the steps, across both what goes in wrong."""
    if work.order.outcome is Outcome.LOCKED:
        return Together((_head(work), *locked_stage(work.order)))
    if not work.meetings and not work.panels:
        return Together((_head(work), *jointless_stage(work)))
    blocks, (wet, rest), told = _across(_head_of_page(job, work)), _lists(job, work), _told(job, work)
    rooms = _rooms(job, work)
    if _is_long(job, work):
        pictures = growing_pictures(job, work, [rooms, *TALLER_LONG], 0.0) or pictures_of(job, work, *rooms)
        columns = tuple(each if isinstance(each, tuple) else (each,) for each in pictures)
        blocks += [SideBySide(columns, (1.0,) * len(columns))] if columns else []
        return Together((*blocks, _two_columns(wet, rest, told)))
    steps = (wet, *rest)
    headed = any(isinstance(block, Heading) for block in told)
    under = not headed or _has_room(rooms, (wet, *rest), told)  # a line or two, under the pictures
    sides = with_larger(job, work, rooms, (*told, *told_last(job, work)) if under else (), steps)
    if sides is None:
        return Together((*blocks, SideBySide((steps,), (1.0,)), *told))
    return Together((*blocks, sides, *(() if under else told)))


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


def by_twos(job: Job, stages: Sequence[Together], twins_only: bool = False) -> list[Together]:
    """The pages of the stages, two that follow each other beside each other on one where both have room there;
    `twins_only` those of one make."""
    found: list[Together] = []
    number = 0
    while number < len(stages):
        may = number + 1 < len(stages) and (not twins_only or _are_twins(job, number + 1))
        both = beside(job, number + 1) if may else None
        found.append(both or stages[number])
        number += 2 if both else 1
    return found


def _are_twins(job: Job, number: int) -> bool:
    """Whether a stage and the one after it are of one make."""
    return twin_stages(job)[number] is twin_stages(job)[number + 1]


def beside(job: Job, number: int) -> Together | None:
    """The stage of this number and the one after it beside each other, each in a column: its pictures over its steps.
    What goes in wrong stands under its steps; once under both where the stages are of one make. None where a page
    would have to leave out something for it."""
    return job.once(("stages beside each other", number), lambda: _made_beside(job, number))


def _made_beside(job: Job, number: int) -> Together | None:
    works = job.stages[number - 1 : number + 1]
    if any(work.order.outcome is Outcome.LOCKED or not (work.meetings or work.panels) for work in works):
        return None
    twins = _are_twins(job, number)
    under = _wrong(job, works) if twins else []
    heads = [_head_of_page(job, work) for work in works]
    rest: list[list[Block]] = []
    for work in works:
        wet, others = _lists(job, work)
        rest.append([wet, *others, *_noted(job, work), *([] if twins else _wrong(job, [work]))])
    tall = max(_tall_mm(head) + _tall_mm(more) for head, more in zip(heads, rest, strict=True))
    if PAGE_MM.get(job.shop.paper, min(PAGE_MM.values())) - tall - _tall_mm(under, WIDE_LETTERS) < BESIDE_MM[0]:
        return None
    rooms = [((COLUMN_MM, high), (COLUMN_MM, high)) for high in BESIDE_MM]
    pictures = [growing_pictures(job, work, rooms) for work in works]
    if not all(pictures):
        return None
    shown = [SideBySide(tuple((drawing,) for drawing in both), (1.0, 1.0)) for both in pictures]
    columns = [(*head, picture, *more) for head, picture, more in zip(heads, shown, rest, strict=True)]
    return Together((SideBySide(tuple(columns), (1.0, 1.0)), *under))


PAGE_MM = {"letter": 243.0, "a4": 260.0}  # of the height of a page, what the two columns take
COLUMN_MM = 40.0  # the width of a picture in a column: two to a column, and two columns across an A4 page
BESIDE_MM = (47.0, 58.0, 72.0, 90.0)  # its height as there is room
WIDE_LETTERS = 112  # across the page, about
LOW_MM = 80.0  # at least, of both pictures of a stage over each other
LOW_SHARE = 0.57  # of that the one of what goes on


def low_page(job: Job, work: StageWork) -> Together | None:
    """A stage in little height, to share a page with what stands before or after it: its pictures over each other are
    no taller than its steps beside them, or as tall as the page has room. None where that spares nothing."""
    stuck = work.order.outcome is Outcome.LOCKED or not (work.meetings or work.panels)
    if stuck or _is_long(job, work):
        return None
    (wet, rest), told = _lists(job, work), _told(job, work)
    steps = _tall_mm([wet, *rest])
    under = _tall_mm(told) <= steps - LOW_MM
    high = max(LOW_MM, steps - (_tall_mm(told) if under else 0.0))
    large = sum(room[1] for room in _rooms(job, work))
    if high >= large:
        return None
    heights = [high, (high + large) / 2, large]
    rooms = [((LARGE_MM[0], each * LOW_SHARE), (LARGE_MM[0], each * (1 - LOW_SHARE))) for each in heights]
    pictures = growing_pictures(job, work, rooms)
    if not pictures:
        return None
    top = _across(_head_of_page(job, work))
    shown = told if under else []
    full = with_larger(job, work, _rooms(job, work), shown, (wet, *rest))
    larger = (*full.larger, replace(full, larger=())) if full is not None else ()
    sides = SideBySide(((*pictures, *shown), (wet, *rest)), SIDES, larger)
    return Together((*top, sides, *(() if under else told)))


def _tall_mm(blocks: Iterable[Block], letters: int = 55) -> float:
    return sum(_block_mm(block, letters) for block in blocks)


def _block_mm(block: Block, letters: int = 55) -> float:
    """About how tall a block is in half the page, or across it."""
    if isinstance(block, Checklist):
        return _LIST_MM + _STEP_MM * sum(map(_tall, block.steps))
    if isinstance(block, Bullets):
        return _TOLD_MM * sum(-(-len(plain(item)) // letters) for item in block.items) + 2.0
    if isinstance(block, Paragraph):
        return _TOLD_MM * -(-len(plain(block.text)) // letters) + 1.0
    if isinstance(block, (Stop, Caution)):
        return _TOLD_MM * (-(-len(block.text) // (letters - 12)) - (-len(block.title) * 5 // (3 * letters))) + 8.0
    return _HEADING_MM if isinstance(block, Heading) else _GAUGE_MM


_LIST_MM, _STEP_MM, _GAUGE_MM = 7.5, 3.7, 9.0


def _head(work: StageWork) -> Heading:
    return Heading(f"{work.number}  {work.stage.title}", 1, f"stage-{work.number}")


def _head_of_page(job: Job, work: StageWork) -> list[Block]:
    """What stands over the picture of a stage and its steps."""
    blocks: list[Block] = [_head(work), *_gauge(work), *_in_brief(job, work), *stops(job, work)]
    if work.too_long and work.open is not None:
        blocks.append(Caution("Longer than the glue stays open", f"{time_words(work)}. {TOO_LONG}"))
    return blocks


def _across(blocks: list[Block]) -> list[Block]:
    """What stands over a stage in little height: its minutes beside its title."""
    head, *more = blocks
    if more and isinstance(more[0], Gauge):
        return [SideBySide(((head,), (more[0],)), (1.0, 2.0)), *more[1:]]
    return blocks


def _lists(job: Job, work: StageWork) -> tuple[Checklist, tuple[Checklist, ...]]:
    """What is done with wet glue, and what after that."""
    return job.once(("steps of a stage", work.number), lambda: _made_lists(job, work))


def _made_lists(job: Job, work: StageWork) -> tuple[Checklist, tuple[Checklist, ...]]:
    notes = Notes()
    wet = Checklist(tuple(_during(job, work, notes)), "With wet glue", large=True)
    clamped = Checklist(tuple(_afterwards(job, work)), IN_CLAMPS[not _holds(job, work)], large=True)
    dry_later = later_steps(job, work, notes)
    own = [Step(text(line)) for line in work.stage.when_set]
    trimmed_later = [*planed_panels(job, work), *trimming_steps(job, work), *own, *arrises_of_panels(job, work)]
    later = [*dry_later, *trimmed_later]
    dry = ": no glue from here" if dry_later and not [*peg_steps(job, work)] else ""
    then = (Checklist(tuple(later), f"When the glue has set{dry}", large=True),) if later else ()
    return wet, (clamped, *then)


def _told(job: Job, work: StageWork) -> list[Block]:
    """The note above the mistakes: under their heading it would read as one of them."""
    return [*_noted(job, work), *_wrong(job, [work])]


def _noted(job: Job, work: StageWork) -> list[Block]:
    return [Bullets((text(work.stage.note),))] if work.stage.note else []


# After the gluing guide that `facts.adhesives` names: several days for water-borne glue.
TOO_LONG = "Split this stage, call a second pair of hands, or take a slower glue."


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


def _wrong(job: Job, works: Sequence[StageWork]) -> list[Block]:
    """The mistakes that go in at these stages, a line each."""
    loose = [mark for work in works if not work.panels for mark in work.loose]
    if not loose:
        return []
    glued = frozenset(mark for before in job.stages[: works[0].number - 1] for mark in before.stage.pieces)
    told = stage_warnings(job, loose, glued)
    told += [line for work in works for line in whole_warnings(job, work.number)]
    head = f"{EASY}, at {' and '.join(f'stage {work.number}' for work in works)}" if len(works) > 1 else EASY
    wrong: list[Block] = [Heading(head, 2), Bullets(tuple(told))] if told else []
    if ways := either_words(job, loose):
        wrong.append(Paragraph(text(ways), Weight.QUIET))
    return wrong


EASY = "Easy to get wrong"


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
        batches = f", {work.mix.batches} batches" if work.mix.batches > 1 else f"{served(work.mix)}{smallest(work.mix)}"
        batches = batches.removesuffix(",") if work.mix.serves else batches
        glue = text(grams_figure(f"{name} · glue", weighed(work.mix), job.display, work.stage.at), batches)
        if not work.mix.portions:
            glue = text(f"Glue from stage {work.mix.serves[0]}")
        area = area_figure(f"{name} · glued area", work.area, job.display)
        pairs.append(("", (*glue, " · ", area, " here") if work.mix.serves else (*glue, " on ", area)))
    if work.clamps:
        pairs.append(("", text(", ".join(f"{count}\u00a0×\u00a0{kind}" for kind, count, _ in work.clamps))))
    return pairs


def smallest(mix: Mix) -> str:
    """What is said of a mix that is as small as can be weighed."""
    return ", the smallest mix," if mix.least else ""


def _during(job: Job, work: StageWork, notes: Notes) -> list[Step]:
    batches = mix_steps(job, work.mix, work.number) if work.mix is not None else {}
    first, *more = batches.pop(0, [Step(text("Open the glue"), blank="at")])
    steps = [first, *(Step(strips_words(part, (piece,))) for part, piece in work.panels), *more]
    steps += wet_steps(job, work, notes, batches)
    steps += pin_steps(job, work)
    told = tighten_words(job, work)
    check = text(f"{capital(_checked(job, work))}; wipe off the squeeze-out.")
    put = "No clamps: the joints hold" if _holds(job, work) else "Clamps on"
    clamps = Step(text(put), (*told, " ", *check) if told else check, blank="at")
    # a screw driven before the clamps draw the joints home would hold them open
    driven = [*driving_steps(work)]
    return [*steps, *driven, clamps] if _holds(job, work) else [*steps, clamps, *driven]


def _holds(job: Job, work: StageWork) -> bool:
    """Whether no joint of a stage has to be drawn together."""
    clamping = job.clampings.get(work.number)
    return clamping is not None and not clamping.count and not work.clamps


def _checked(job: Job, work: StageWork) -> str:
    """What is looked at while the glue is wet: whether a panel is flat, a frame square, legs that lean do so alike."""
    if work.panels:
        return "check for flat with a straightedge"
    pieces = job.space.pieces if job.space is not None else {}
    marks = {*work.stage.pieces, *(mark for ready in work.ready.values() for mark in ready)}
    leaning = [mark for mark in marks if mark in pieces and leans(pieces[mark])]
    if not leaning:
        return "check for square corner to corner"
    if len(leaning) == 1:
        return f"check the lean of {leaning[0]} with the bevel"
    return "check both diagonals from foot to foot" if len(leaning) > FEET else "check that both legs lean alike"


def _afterwards(job: Job, work: StageWork) -> list[Step]:
    steps = [Step(text(line)) for line in work.stage.after]
    if work.wait_hours is not None:
        at = work.stage.places.get("wait", work.stage.at)
        wait = hours_figure(f"stage {work.number} · in clamps", work.wait_hours, at)
        left = "Leave it alone for " if _holds(job, work) else "Leave them on for "
        steps.append(Step(text(left, wait), blank="off at"))
    return steps or [Step(text("Leave them on as the label says"), blank="off at")]
