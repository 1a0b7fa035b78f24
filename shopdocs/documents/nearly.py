"""Boards that are spared if pieces go where they are a little short, and boards that give no piece."""

from __future__ import annotations

from shopdocs.blocks.sheets import Block
from shopdocs.blocks.text import Bullets, Figure, Paragraph, Run, Text, Weight, text
from shopdocs.documents.figures import length_text, marks_text, size_text
from shopdocs.documents.job import Job
from shopdocs.documents.stock import board_size, lengths_text
from shopdocs.work.boards.idle import idle_boards
from shopdocs.work.boards.near import Near, allowances, spared_boards


def nearly_blocks(job: Job) -> list[Block]:
    """Boards that need not be bought if pieces go where they are a little short; the maker decides."""
    items: list[Text] = []
    for plan in job.boards.materials:
        for spared in spared_boards(plan, job.shop):
            runs: list[Run] = [f"{spared.board.mark} is spared if "]
            for index, near in enumerate(spared.pieces):
                runs += ["; " if index else "", *_near_text(job, near)]
            items.append((*runs, "."))
    if not items:
        return []
    return [Paragraph(text("Nearly fits, decide at the bench:"), Weight.STRONG), Bullets(tuple(items))]


def _near_text(job: Job, near: Near) -> Text:
    """'TS2, 1225 × 101 rough, comes out of what is left of B2, 1223.5 × 200: short by 1.5 mm of the 25 mm …'."""
    display, rough, at = job.display.alone(), near.piece.row.rough, near.piece.row.part.at
    name = f"{near.piece.name} · nearly fits"
    wanted = size_text(f"{name} · rough", display, ("length", rough.length, at), ("width", rough.width, at))
    there = near.place
    place = size_text(f"{name} · left", display, ("length", there.length, at), ("width", there.width, at))
    runs: list[Run] = [f"{near.piece.name}, ", *wanted, f" rough, comes out of {near.board}, ", *place]
    runs.append(" left" if near.left_over else "")
    if near.clear:
        runs += [" clear of defects, from ", *length_text(f"{name} · from the left end", there.x, display, at)]
        if there.y:
            runs += [" on and ", *length_text(f"{name} · from the lower edge", there.y, display, at), " up"]
        else:
            runs.append(" on")
    shorts = 0
    for what, short, spare in zip(("length", "width"), (near.long, near.wide), allowances(near.piece.row), strict=True):
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
