"""Boards you need not buy if some pieces may be a little short, and boards that give no piece."""

from __future__ import annotations

from shopdocs.blocks.sheets import Block
from shopdocs.blocks.text import Bullets, Figure, Paragraph, Run, Text, Weight, text
from shopdocs.core.display import Display
from shopdocs.documents.figures import length_text, marks_text, size_text
from shopdocs.documents.job import Job
from shopdocs.documents.yard.words import board_size, lengths_text
from shopdocs.work.boards.idle import idle_boards
from shopdocs.work.boards.near import Near, allowances, gained_pieces, spared_boards
from shopdocs.work.boards.supply import rack_boards


def nearly_blocks(job: Job) -> list[Block]:
    """Boards that need not be bought if pieces go where they are a little short, and pieces on no board that only just
    fail to fit; the maker decides."""
    items: list[Text] = []
    for plan in job.boards.materials:
        for spared in spared_boards(plan, job.shop):
            runs: list[Run] = [f"{spared.board.mark} can stay at the yard if "]
            for index, near in enumerate(spared.pieces):
                runs += ["; " if index else "", *near_text(job.display, near)]
            items.append((*runs, "."))
        gained = gained_pieces(plan, job.shop, rack_boards(plan.material, job.shop))
        items += [(*near_text(job.display, near), ".") for near in gained]
    if not items:
        return []
    return [Paragraph(text("Nearly fits, decide at the bench:"), Weight.STRONG), Bullets(tuple(items))]


def near_text(display: Display, near: Near) -> Text:
    """'TS2, 1225 × 101 rough, comes out of B2, 1223.5 × 200 left: short by 1.5 mm of the 25 mm …'."""
    display, rough, at = display.alone(), near.row.rough, near.row.part.at
    name = f"{near.name} · nearly fits"
    wanted = size_text(f"{name} · rough", display, ("width", rough.width, at), ("length", rough.length, at))
    there = near.place
    place = size_text(f"{name} · left", display, ("width", there.width, at), ("length", there.length, at))
    source = f"what is then left of {near.board}" if near.rest else near.board
    runs: list[Run] = [f"{near.name}, ", *wanted, f" rough, comes out of {source}, ", *place]
    runs.append(" left" if near.left_over and not near.rest else "")
    if near.clear:
        runs += [" clear of defects, from ", *length_text(f"{name} · from the left end", there.x, display, at)]
        if there.y:
            runs += [" on and ", *length_text(f"{name} · from the lower edge", there.y, display, at), " up"]
        else:
            runs.append(" on")
    shorts = 0
    for what, short, spare in zip(("length", "width"), (near.long, near.wide), allowances(near.row), strict=True):
        if short:
            figure = Figure(f"{name} · short in {what}", display.small(short), short.mm, "mm", at)
            runs += [" and " if shorts else ": short by ", figure, " of the "]
            shorts += 1
            runs += [*length_text(f"{name} · {what} allowance", spare, display, at), " to mill off its ", what]
    return tuple(runs)


def idle_blocks(job: Job) -> list[Block]:
    """Boards of the rack that stay there and boards of the yard's list that can give no piece, with the reason."""
    items: list[Text] = []
    spare: list[str] = []
    for plan in job.boards.materials:
        idle_ones = idle_boards(plan, job.build, job.shop)
        spare += [idle.board.mark for idle in idle_ones if not idle.reason]
        for idle in (idle for idle in idle_ones if idle.reason):
            board, name = idle.board, plan.material.name
            figure = f"{name} · {board.mark or 'of the yard'} · left alone"
            size = board_size(job.display.alone(), figure, board, unit=True)
            words = lengths_text(figure, idle.reason, idle.lengths, job.display, board.at)
            which = f"{board.mark}, {name}, " if board.mark else f"{name} of the yard, "
            items.append((which, *size, ": ", *words, "."))
    if spare:
        items.append((f"Not needed: {marks_text(spare)}.",))
    if not items:
        return []
    return [Paragraph(text("Boards left alone:"), Weight.STRONG), Bullets(tuple(items))]
