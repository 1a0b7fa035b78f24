"""The shopping list: everything to have before starting."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Bullets, Checklist, Run, Step, Text, text
from shopdocs.core.display import trimmed
from shopdocs.documents.figures import (
    count_figure,
    grams_figure,
    length_text,
    volume_figure,
)
from shopdocs.documents.job import Job
from shopdocs.documents.noting import hardware_notes
from shopdocs.documents.yard.words import (
    Measures,
    board_size,
    bought_text,
    describe_stock,
    equal_boards,
    random_sizes_text,
    sold_in_random_sizes,
)
from shopdocs.facts.screws import screw_for
from shopdocs.model.joining import Joint
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.boards.results import MaterialPlan
from shopdocs.work.holes.joint_holes import screws_of
from shopdocs.work.joints.room import stated
from shopdocs.work.order.stages import LEAST_MIX


def shopping_list(job: Job) -> Document:
    blocks: list[Block] = [Checklist(tuple(_wood_steps(job)), "Wood")]
    hardware = [*_hardware_steps(job), *_peg_steps(job), *_slip_steps(job), *_screw_steps(job)]
    if hardware:
        blocks.append(Checklist(tuple(hardware), "Hardware"))
    blocks += hardware_notes(job.build)
    glue = list(_glue_steps(job))
    if glue:
        blocks.append(Checklist(tuple(glue), "Glue and finish"))
    if job.build.buy:
        blocks.append(Checklist(tuple(Step(text(line)) for line in job.build.buy), "Also"))
    notes = [material.note for material in job.build.materials if material.note]
    if notes:
        blocks.append(Bullets(tuple(text(note) for note in notes)))
    question = "What must be in the shop before I start?"
    return Document("shopping", "Shopping list", question, tuple(blocks))


def _hardware_steps(job: Job) -> list[Step]:
    steps = []
    for item in job.build.hardware:
        screws = ", ".join(dict.fromkeys(hole.screw.text for hole in item.holes if hole.screw))
        words = item.buy or (f"{item.name}, {screws}" if screws else item.name)
        if item.count:
            count = count_figure(f"{item.name} · to buy", item.count, item.at)
            steps.append(Step(text(count, f" × {words}"), text(item.note)))
    return steps


def _peg_steps(job: Job) -> list[Step]:
    """Dowels and pins by diameter and by what they are long: both holes together."""
    steps = []
    for joint in job.build.joints:
        pegs = KINDS[joint.kind].pegs(stated(joint, job.build))
        count = pegs.count * len(joint.meetings) if pegs else 0
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
            count = count_figure(f"{joint.name} · {slips.word}s", slips.count * len(joint.meetings), joint.at)
            size = " × ".join(job.display.length(side) for side in slips.size)
            steps.append(Step(text(count, f" × {slips.word} {size}"), text(f"for {joint.name}; {slips.grain}")))
    return steps


def _screw_steps(job: Job) -> list[Step]:
    """The screws of screwed joints, by the size that passes their clearance hole."""
    steps = []
    for joint in job.build.joints:
        count = screws_of(joint)
        if not count:
            continue
        named = screw_words(job, joint)
        note = f"for {joint.name}" + (f"; {holes}" if (holes := _holes_words(job, joint)) else "")
        steps.append(Step(text(count_figure(f"{joint.name} · screws", count, joint.at), f" × {named}"), text(note)))
    return steps


def screw_words(job: Job, joint: Joint) -> str:
    """ "screw 4 × 40 mm", "screw #8 × 1¼ in", or what the build says of it."""
    size = screw_for(joint.thickness) if joint.thickness is not None else None
    long = job.display.length(joint.length) if joint.length is not None else ""
    if size is None:
        return f"screw, {long} long" if long else "screw"
    if isinstance(size, int):
        return f"screw #{size} × {long}" if long else f"screw #{size}"
    if long and job.display.units == "mm":
        return f"screw {trimmed(size.mm, 2)} × {long}"
    return f"screw Ø {trimmed(size.mm, 2)} mm" + (f", {long} long" if long else "")


def _holes_words(job: Job, joint: Joint) -> str:
    told = []
    if joint.thickness is not None:
        told.append(f"clearance hole Ø {job.display.drill(joint.thickness)}")
    if joint.width is not None:
        told.append(f"pilot Ø {job.display.drill(joint.width)}")
    return ", ".join(told)


def _wood_steps(job: Job) -> list[Step]:
    steps = []
    measures = Measures.of(job.display, job.shop, job.boards.materials)
    for plan in job.boards.materials:
        material, name = plan.material, plan.material.name
        detail: list[Run] = []
        for boards in equal_boards(plan.bought):
            board = boards[0].board
            size = board_size(job.display, f"{name} · {boards[0].mark}", board, unit=True)
            detail += [", " if detail else "", count_figure(f"{name} · boards", len(boards), board.at), " of ", *size]
        if sold_in_random_sizes(plan):
            wasted = random_sizes_text(measures, plan, job.shop)
            detail += ["; " if detail else "", "in random sizes ", *wasted, ", ", *_least_size(job, name, plan)]
        right = bought_text(measures, job.shop.tally, name, (plan,))
        steps.append(Step(text(describe_stock(job.display, material)), tuple(detail), right))
    return steps


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
    mixes = [*(panel.mix for panel in job.panels), *(work.mix for work in job.stages)]
    grams = sum((mix.grams for mix in mixes if mix is not None), Fraction(0))
    if job.build.gluing is not None:
        at = job.build.gluing.at
        amount = text("about ", grams_figure("adhesive", grams, job.display, at)) if grams else ()
        least = sum(mix is not None and mix.least for mix in mixes)
        many = f"{least} mix{'es' if least > 1 else ''}"
        mixed = f"{many} of at least {trimmed(LEAST_MIX, 0)} g, less cannot be measured true"
        detail = ". ".join(filter(None, (mixed if least else "", job.build.gluing.note)))
        steps.append(Step(text(job.build.gluing.adhesive), text(detail), amount))
    if job.finish is not None:
        litres = job.finish.litres
        amount = text("about ", volume_figure("finish", litres, job.display, job.finish.finish.at)) if litres else ()
        detail = f"{job.finish.finish.coats} coats" + (f"; {job.finish.finish.note}" if job.finish.finish.note else "")
        steps.append(Step(text(job.finish.finish.kind), text(detail), amount))
        if job.finish.grits:
            grits = ", ".join(str(grit) for grit in job.finish.grits)
            steps.append(Step(text(f"abrasives, grit {grits}")))
    return steps
