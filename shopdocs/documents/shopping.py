"""The shopping list: everything to have before starting."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from msgspec.structs import replace

from shopdocs.blocks.sheets import Block, Document, InColumns, SideBySide
from shopdocs.blocks.text import Bullets, Checklist, Paragraph, Run, Step, Text, Weight, plain, text
from shopdocs.core.display import trimmed
from shopdocs.core.length import Length
from shopdocs.documents.figures import (
    area_figure,
    count_figure,
    grams_figure,
    length_text,
    marks_text,
    screw_text,
    size_text,
    volume_figure,
)
from shopdocs.documents.fitting.buttons import button_text
from shopdocs.documents.fitting.glue_words import weighed
from shopdocs.documents.how.buying import measures_of
from shopdocs.documents.job import Job
from shopdocs.documents.noting import copies_blocks, hardware_notes
from shopdocs.documents.screw_rows import screw_size_words
from shopdocs.documents.tools import tool_steps
from shopdocs.documents.yard.words import (
    board_size,
    bought_text,
    describe_stock,
    equal_boards,
    feet_text,
    metres_text,
    random_sizes_text,
    sold_in_random_sizes,
)
from shopdocs.model.joining import Hardware, Joint
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import MaterialKind
from shopdocs.work.boards.results import MaterialPlan
from shopdocs.work.holes.joint_holes import screws_of
from shopdocs.work.joints.room import stated
from shopdocs.work.lumber_needs import Amount, counted
from shopdocs.work.order.mixing import LEAST_MIX
from shopdocs.work.space.placed import side_of

LITTLE = Fraction(1, 4)  # of the boards to buy; where less is used, the list says how little


def shopping_list(job: Job) -> Document:
    """Wood, hardware, glue and finish, what else the build names, and the tools to have ready: boxes to tick."""
    blocks: list[Block] = copies_blocks(job, "All is counted for all of them.")
    besides = list(_left_out_steps(job))
    if besides:
        words = "The boards named here do not give every piece: wood for the others stands under them."
        blocks.append(Paragraph(text(words), Weight.STRONG))
    blocks.append(Checklist((*_wood_steps(job), *besides), "Wood"))
    hardware = [*_hardware_steps(job), *_peg_steps(job), *_slip_steps(job), *_screw_steps(job)]
    lists: list[list[Block]] = [
        [*_ticked("Hardware", hardware), *hardware_notes(job.build)],
        _ticked("Glue and finish", _glue_steps(job)),
        _ticked(_also(job), (Step(text(line)) for line in job.build.buy if line not in _with_hardware(job))),
    ]
    blocks += _two_columns([one for one in lists if one])
    blocks.append(InColumns(tuple(_ticked("Tools to have ready", tool_steps(job)))))
    notes = [material.note for material in job.build.materials if material.note]
    if notes:
        blocks.append(Bullets(tuple(text(note) for note in notes)))
    if job.display.units != job.build.units:
        blocks.append(Paragraph(text(AS_SOLD), Weight.QUIET))
    question = "What must be in the shop before I start?"
    return Document("shopping", "Shopping list", question, tuple(blocks), runs_on=True)


def _ticked(title: str, steps: Iterable[Step]) -> list[Block]:
    """A list under its title; nothing without a step."""
    found = tuple(steps)
    return [Checklist(found, title)] if found else []


def _two_columns(lists: Sequence[list[Block]]) -> list[Block]:
    """The lists in their order, down one column and then the other, the taller of the two as low as can be."""
    if len(lists) < 2:
        return [block for one in lists for block in one]
    tall = [sum(map(_lines, one)) for one in lists]
    half = min(range(1, len(lists)), key=lambda n: max(sum(tall[:n]), sum(tall[n:])))
    columns = (tuple(block for one in some for block in one) for some in (lists[:half], lists[half:]))
    return [SideBySide(tuple(columns), (1.0, 1.0))]


_LETTERS, _SMALL_LETTERS = 50, 56  # of a line in a column, about


def _lines(block: Block) -> float:
    """About how many lines a list takes in a column, with the white about it."""
    if isinstance(block, Bullets):
        return 0.5 + sum(1 + len(plain(item)) // _LETTERS for item in block.items)
    assert isinstance(block, Checklist)
    told = ((len(plain(step.text)), len(plain(step.detail))) for step in block.steps)
    return 2.0 + sum(1.4 + words // _LETTERS + 0.9 * -(-small // _SMALL_LETTERS) for words, small in told)


def _also(job: Job) -> str:
    """Lines in the maker's own words are not multiplied."""
    return "Also" if job.build.copies == 1 else f"Also, for each of the {job.build.copies}"


AS_SOLD = (
    "Bits, chisels, clamps and hardware keep the sizes they are sold by. Boards are sold by the sizes in brackets, and "
    "by the yard's own measure; what you saw and mark out is in the units of the set."
)
_COUNTED = re.compile(r"(\d+) (?:× )?(.+?)(?: (for .+))?")


def _with_hardware(job: Job) -> dict[str, tuple[Hardware, int, str]]:
    """Lines of what else to buy that are more of what some hardware is bought as: "13 stainless screws 4 × 35 mm for
    stops" beside "stainless screw 4 × 35 mm"; with that hardware, their number and what they are for."""
    bought = {_singular(item.buy): item for item in job.build.hardware if item.buy and item.count}
    found = {}
    for line in job.build.buy:
        match = _COUNTED.fullmatch(line)
        if match and _singular(match[2]) in bought:
            found[line] = bought[_singular(match[2])], int(match[1]), match[3] or ""
    return found


def _singular(words: str) -> str:
    """As one of it is called, to compare by: not all that ends in s is several, such as brass and glass."""
    return re.sub(r"(?<=[a-z][a-rt-z])s\b", "", re.sub(r"(?<=s|x|h)es\b", "", words)).casefold()


def _hardware_steps(job: Job) -> list[Step]:
    steps = []
    more = list(_with_hardware(job).values())
    for item in job.build.hardware:
        screws = ", ".join(dict.fromkeys(screw_text(hole.screw) for hole in item.holes if hole.screw))
        words = item.buy or (f"{item.name}, {screws}" if screws else item.name)
        if item.count:
            own = [(number, what) for other, number, what in more if other is item]
            whole = (item.count + sum(number for number, _ in own)) * job.build.copies
            count = count_figure(f"{item.name} · to buy", whole, item.at)
            each = "; ".join(f"{number * job.build.copies} of them {what}".rstrip() for number, what in own)
            told = text(". ".join(filter(None, (item.note.removesuffix("."), each))) if each else item.note)
            steps.append(Step(text(count, f" × {words}"), (*_pin_sizes(job, item), *button_text(job, item), *told)))
    return steps


# What a pin is cut longer than its hole: drawn through by its point, or to hold and to saw off; common practice, no
# source.
SAWN_OFF = {"in": Length.inches(1), "mm": Length(25)}


def _pin_sizes(job: Job, item: Hardware) -> Text:
    """How thick and how long the pins or pegs of some hardware are cut that go through joints; nothing for others."""
    parts = {piece.mark: part for part, piece in job.build.pieces()}
    holes = [c.hole for c in job.crossings if c.item is item and (c.meetings or c.joints) and c.hole.bore.screw is None]
    counts: dict[tuple[Length, Length], int] = {}
    for hole in holes:
        part = parts[hole.piece]
        through = (part.length, part.width, part.thickness)[side_of(hole.face)[0]]
        size = hole.bore.bit, hole.bore.depth or through
        counts[size] = counts.get(size, 0) + 1
    runs: list[Run] = []
    for (wide, deep), count in counts.items():
        if len(counts) > 1:
            runs += [count_figure(f"{item.name} · Ø {wide.mm} × {deep.mm}", count * job.build.copies, item.at), " × "]
        long = deep + SAWN_OFF[job.build.units]
        runs += [f"Ø {job.display.drill(wide)}, hole ", *length_text(f"{item.name} · hole", deep, job.display, item.at)]
        runs += [" deep: cut ", *length_text(f"{item.name} · pin", long, job.display, item.at), " long. "]
    return tuple(runs)


def _peg_steps(job: Job) -> list[Step]:
    """Dowels and pins by diameter and by what they are long: both holes together."""
    steps = []
    for joint in job.build.joints:
        pegs = KINDS[joint.kind].pegs(stated(joint, job.build))
        count = pegs.count * len(joint.meetings) * job.build.copies if pegs else 0
        if pegs is None or pegs.diameter is None or not count:
            continue
        long = f" × {job.display.length(pegs.length)}" if pegs.length is not None else ""
        words = f" × {pegs.word} Ø {job.display.drill(pegs.diameter)}{long}"
        steps.append(Step(text(count_figure(f"{joint.name} · {pegs.word}s", count, joint.at), words)))
    return steps


def _slip_steps(job: Job) -> list[Step]:
    """Splines and keys, made in the shop: for each line of joinery, by the first of its meetings."""
    steps = []
    parts = {piece.mark: part for part, piece in job.build.pieces()}
    for joint in job.build.joints:
        first = next(iter(joint.meetings), None)
        if first is None:
            continue
        slips = KINDS[joint.kind].slips(stated(joint, job.build), parts[first.entering], parts[first.receiving])
        if slips is not None:
            count = count_figure(
                f"{joint.name} · {slips.word}s", slips.count * len(joint.meetings) * job.build.copies, joint.at
            )
            size = " × ".join(job.display.length(side) for side in slips.size)
            steps.append(Step(text(count, f" × {slips.word} {size}"), text(f"for {joint.name}; {slips.grain}")))
    return steps


def _screw_steps(job: Job) -> list[Step]:
    """The screws of screwed joints, by the size that passes their clearance hole."""
    steps = []
    for joint in job.build.joints:
        count = screws_of(joint) * job.build.copies
        if not count:
            continue
        named = f"screw {screw_size_words(job, joint)}".rstrip()
        note = f"for {joint.name}" + (f"; {holes}" if (holes := _holes_words(job, joint)) else "")
        steps.append(Step(text(count_figure(f"{joint.name} · screws", count, joint.at), f" × {named}"), text(note)))
    return steps


def _holes_words(job: Job, joint: Joint) -> str:
    told = []
    if joint.thickness is not None:
        told.append(f"clearance hole Ø {job.display.drill(joint.thickness)}")
    worked_out = (hole.bore.bit for hole in job.holes if hole.hardware == joint.name and hole.through_mate)
    pilot = joint.width or next(worked_out, None)
    if pilot is not None:
        told.append(f"pilot Ø {job.display.drill(pilot)}")
    return ", ".join(told)


def _wood_steps(job: Job) -> list[Step]:
    steps = []
    measures = measures_of(job)
    # at the yard a board is asked for by the size that it is sold by
    display = replace(job.display, both=job.display.both or job.display.units != job.build.units)
    for plan in job.boards.materials:
        material, name = plan.material, plan.material.name
        boards: list[Run] = []
        for alike in equal_boards(plan.bought):
            board = alike[0].board
            size = board_size(display, f"{name} · {alike[0].mark}", board, unit=True)
            boards += [", " if boards else ": ", count_figure(f"{name} · boards", len(alike), board.at), " at ", *size]
        detail: list[Run] = []
        if sold_in_random_sizes(plan):
            wasted = random_sizes_text(measures, plan, job.shop)
            detail += ["In random sizes ", *wasted, ", ", *_least_size(job, name, plan), ". "]
        detail += _much_left(job, plan)
        right = bought_text(measures, job.shop.tally, name, (plan,))
        steps.append(Step((describe_stock(display, material), *boards), tuple(detail), right))
    return steps


def _much_left(job: Job, plan: MaterialPlan) -> list[Run]:
    """What is really needed, where the boards to buy are far more: an offcut or a short length would do."""
    area = sum((board.board.square_metres for board in plan.bought), Fraction(0))
    used = sum((board.used * board.board.square_metres for board in plan.bought), Fraction(0))
    if not plan.bought or used >= area * LITTLE:
        return []
    name, at = f"{plan.material.name} · used", plan.material.at
    rows = {piece.row.part.name: piece.row for board in plan.bought for piece in board.pieces}
    if plan.material.kind is MaterialKind.SHEET:
        needed: Text = (area_figure(name, used, job.display, at),)
    else:
        sawn = [counted(plan.material, piece.row.rough) for board in plan.bought for piece in board.pieces]
        amount = sum(sawn, Amount())
        in_feet = plan.material.name in measures_of(job).feet
        needed = feet_text(name, amount.board_feet, 2, at) if in_feet else metres_text(name, amount.cubic_metres, at)
    runs: list[Run] = ["Only ", *needed, " is used, for "]
    for number, row in enumerate(rows.values()):
        size = row.rough
        runs += [", " if number else "", f"{row.part.name} "]
        runs += size_text(
            f"{row.part.name} · rough",
            job.display,
            ("thickness", size.thickness, at),
            ("width", size.width, at),
            ("length", size.length, at),
            unit=True,
        )
    return [*runs, ": ask for an offcut or a short length first."]


def _left_out_steps(job: Job) -> Iterator[Step]:
    """Wood for pieces that are on no board: their number and what is sawn for each."""
    for plan in job.boards.materials:
        for left in plan.left_out:
            part, size = left.row.part, left.row.rough
            count = count_figure(f"{part.name} · wood for", left.count, part.at)
            rough = size_text(
                f"{part.name} · rough",
                job.display,
                ("thickness", size.thickness, part.place("thickness")),
                ("width", size.width, part.place("width")),
                ("length", size.length, part.place("length")),
                unit=True,
            )
            what = "strip" if part.strips > 1 else "piece"
            words = f" {what}{'' if left.count == 1 else 's'} of {part.name} ({marks_text(left.marks)})"
            stock = describe_stock(job.display, plan.material)
            yield Step(text(f"{stock}: wood for ", count, words), (*rough, f" rough each; on no board, {left.help}"))


def _least_size(job: Job, name: str, plan: MaterialPlan) -> Text:
    """The length and width below which a board gives none of some piece."""
    rows = [piece.row for board in plan.bought for piece in board.pieces] + [left.row for left in plan.left_out]
    longest, widest = max(row.rough.length for row in rows), max(row.rough.width for row in rows)
    return (
        "one at least ",
        *length_text(f"{name} · longest", longest, job.display, plan.material.at),
        " long and one ",
        *length_text(f"{name} · widest", widest, job.display, plan.material.at),
        " wide",
    )


def _glue_steps(job: Job) -> list[Step]:
    steps = []
    every = [*(panel.mix for panel in job.panels), *(work.mix for work in job.stages)]
    mixes = [mix for mix in every if mix is not None]
    grams = sum(map(weighed, mixes), Fraction(0)) * job.build.copies
    if job.build.gluing is not None:
        at = job.build.gluing.at
        amount = text(", about ", grams_figure("adhesive", grams, job.display, at)) if grams else ()
        least = sum(mix.least for mix in mixes) * job.build.copies
        among = sum(mix.batches for mix in mixes) * job.build.copies
        many = f"{least} mix{'es' if least > 1 else ''} of"
        if least < among:
            many = f"{least} of the {among} mixes {'are' if least > 1 else 'is'}"
        mixed = f"{many} {trimmed(LEAST_MIX, 0)} g, as little as can be weighed accurately"
        detail = ". ".join(filter(None, (mixed if least else "", job.build.gluing.note)))
        steps.append(Step((job.build.gluing.adhesive, *amount), text(detail)))
    if job.finish is not None:
        finish, litres = job.finish.finish, job.finish.litres * job.build.copies if job.finish.litres else None
        amount = text(", about ", volume_figure("finish", litres, job.display, finish.at)) if litres else ()
        coats = f"{finish.coats} coat{'s' if finish.coats != 1 else ''}"
        steps.append(Step((finish.kind, *amount), text(f"{coats}; {finish.note}" if finish.note else coats)))
    return steps
