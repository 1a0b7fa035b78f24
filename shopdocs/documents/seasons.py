"""What the season of making asks for: a line for each way in which wood that moves is held, for several sheets."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

from shopdocs.blocks.sheets import Block
from shopdocs.blocks.text import Bullets, Figure, Paragraph, Text, Weight, text
from shopdocs.core.display import SMALL, Display
from shopdocs.core.length import Length
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.documents.figures import marks_text
from shopdocs.documents.job import Job
from shopdocs.work.seasons.ties import Sort, Tie


def at_least(name: str, value: Length, job: Job, at: Position = NOWHERE) -> Figure:
    """What must be left: rounded up to what the build measures in, for a gap rounded down would be too small."""
    step = job.build.display.step
    up = step * -(-value.mm // step.mm)
    return Figure(name, f"{replace(job.display, both=False).bare(up)} {job.display.units}", up.mm, "mm", at)


def change(name: str, value: Length, display: Display, at: Position = NOWHERE) -> Figure:
    """How far wood moves, no finer than a 64th of an inch or a tenth of a millimetre."""
    fine = replace(display, step=SMALL[display.units], both=False)
    return Figure(name, fine.bare(value), value.mm, "mm", at)


def alike(ties: Collection[Tie]) -> list[tuple[Tie, tuple[str, ...], tuple[str, ...]]]:
    """Ties of the same sort and size told once, with all the pieces, and all that hold them."""
    groups: dict[object, list[Tie]] = {}
    for tie in ties:
        groups.setdefault((tie.sort, tie.part, tie.through, tie.needs, tie.gives, tie.span), []).append(tie)
    found = []
    for same in groups.values():
        marks = tuple(dict.fromkeys(tie.mark for tie in same))
        found.append((same[0], marks, tuple(dict.fromkeys(by for tie in same for by in tie.by))))
    return found


def season_lines(job: Job, marks: Collection[str] | None = None) -> Iterator[Text]:
    """What to leave on the day of making, for all pieces or for those of these marks."""
    chosen = [tie for tie in job.ties if marks is None or tie.mark in marks]
    for tie, pieces, by in alike(chosen):
        words = _words(job, tie, by)
        if words:
            yield text(f"{marks_text(pieces, 8)}: ", *words)


def _words(job: Job, tie: Tie, by: tuple[str, ...]) -> Text:
    name, display = f"{tie.part} · season", job.display
    if tie.sort is Sort.PANEL and not tie.glued and tie.needs:
        left = at_least(name, tie.needs / 2, job, tie.at)
        return text("leave ", left, " on each side now, between the tongue and the floor of its groove")
    if tie.sort is Sort.HELD:
        return text("leave ", at_least(name, tie.needs, job, tie.at), f" of play each way now, at each {tie.through}")
    if tie.sort is Sort.GAP and tie.needs:
        left = at_least(name, tie.needs, job, tie.at)
        where = f" now, between {' and '.join(by[:2])}" if len(by) < 3 else " now, both sides together"
        return text("leave a gap of ", left, where)
    if tie.sort is Sort.BREADBOARD:
        moves = job.moves[tie.part]
        grown = change(name, tie.span * moves.grows / 2, display, tie.at)
        shrunk = change(name, tie.span * moves.shrinks / 2, display, tie.at)
        return text(
            "flush with its breadboard ends on the day you make it; each edge will stand out by up to ",
            grown,
            " and back by up to ",
            shrunk,
            f" {display.units} over the year",
        )
    return ()


def season_blocks(job: Job, marks: Collection[str] | None = None) -> list[Block]:
    """The lines under a title of their own, for a sheet where pieces are sawn or drawn; nothing where none is held."""
    lines = tuple(season_lines(job, marks))
    if not lines:
        return []
    if len(lines) == 1:
        return [Paragraph(text("Allow for the season: ", *lines[0], "."), Weight.NORMAL)]
    return [Paragraph(text("Allow for the season:")), Bullets(lines)]
