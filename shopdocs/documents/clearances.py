"""Drawers, doors and lids in their openings: the play on each side on the day of making, and what the seasons leave."""

from __future__ import annotations

from shopdocs.blocks.sheets import Block
from shopdocs.blocks.text import Bullets, Cell, Column, Group, Heading, Row, Run, Table, Text, text
from shopdocs.documents.figures import gap_figure, length_figure, marks_text
from shopdocs.documents.fitting.dry_run import capital
from shopdocs.documents.fitting.wording import anded
from shopdocs.documents.job import Job
from shopdocs.documents.seasons import change
from shopdocs.work.seasons.fits import Fit, Way

ENDS = (("left", "right"), ("front", "rear"), ("below", "above"))
WAYS = ("width", "depth", "height")
WORDS = ("drawer", "door", "lid")


def clearance_blocks(job: Job) -> list[Block]:
    """A row for every way across every drawer, door and lid in an opening, a line for what lies over one; those alike
    together. Nothing where there are none."""
    alike: dict[object, list[Fit]] = {}
    for fit in job.fits:
        alike.setdefault((fit.word, tuple(_same(way) for way in fit.ways), fit.behind and fit.behind.gap), []).append(
            fit
        )
    groups = []
    for same in alike.values():
        rows = [_row(job, same, k) for k in range(2) if same[0].ways[k].low or same[0].ways[k].high]
        if rows:
            groups.append(Group(tuple(rows)))
    over = [_over(job, same) for same in alike.values() if same[0].behind is not None]
    if not groups and not over:
        return []
    unit = job.display.units
    words = [word for word in WORDS if any(same[0].word == word for same in alike.values())]
    columns = (
        Column(capital(anded(words, "or")), strong=True, share=0.6),
        Column("Across", share=0.3),
        Column("Opening", "right", unit, share=0.05),
        Column("Its size", "right", unit, share=0.05),
        Column("Play on each side", "right", unit, share=0.6, strong=True),
        Column("In damp air", "right", unit, share=0.05),
        Column("In dry air", "right", unit, share=0.05),
    )
    lie = "in" if groups else "over"
    blocks: list[Block] = [Heading(capital(f"{anded([f'{word}s' for word in words])} {lie} their openings"), 2)]
    blocks += [Table("clearances", columns, tuple(groups))] if groups else []
    return blocks + ([Bullets(tuple(over))] if over else [])


def _same(way: Way) -> object:
    """What makes two ways one row: with left and right changed over as well."""
    gaps = sorted((side is None, side.gap if side else way.grows * 0) for side in (way.low, way.high))
    return way.axis, way.size, tuple(gaps), way.grows, way.shrinks


def _name(job: Job, same: list[Fit]) -> str:
    """What the rows are called: each drawer by its front, a door by its pieces."""
    assert job.space is not None
    leads = []
    for fit in same[:4]:
        fronts = [mark for mark in fit.marks if "front" in job.space.pieces[mark].part.casefold()]
        leads.append(marks_text(fronts[:1] or fit.marks, 5))
    several = "s" if len(same) > 1 else ""
    return f"{same[0].word}{several} {', '.join(leads)}" + (" …" if len(same) > 4 else "")


def _row(job: Job, same: list[Fit], which: int) -> Row:
    way, word = same[0].ways[which], same[0].word
    name = f"{word} {same[0].marks[0]} · {WAYS[way.axis]}"
    opening, play = way.opening, way.play
    wide = Cell.of("open") if opening is None else Cell.of(length_figure(f"{name} · opening", opening, job.display))
    seasons = [Cell.of("—"), Cell.of("—")]
    if play is not None:
        damp = change(f"{name} · play in damp air", play - way.grows, job.display)
        dry = change(f"{name} · play in dry air", play + way.shrinks, job.display)
        seasons = [Cell.of(damp), Cell.of(dry)]
    size = Cell.of(length_figure(f"{name} · size", way.size, job.display))
    return Row((Cell.of(_name(job, same)), Cell.of(WAYS[way.axis]), wide, size, Cell(_play(job, name, way)), *seasons))


def _play(job: Job, name: str, way: Way) -> Text:
    runs: list[Run] = []
    for side, word in zip((way.low, way.high), ENDS[way.axis], strict=True):
        if side is not None:
            runs += [", "] if runs else []
            runs += [gap_figure(f"{name} · play {word}", side.gap, job.display), f" {word}"]
    return tuple(runs)


def _over(job: Job, same: list[Fit]) -> Text:
    """How far what lies over an opening is off the pieces behind it."""
    fit = same[0]
    assert fit.behind is not None
    name = f"{fit.word} {fit.marks[0]} · off what it lies over"
    gap = gap_figure(name, fit.behind.gap, job.display, unit=True)
    verb = "lies" if len(same) == 1 else "lie"
    over = list(dict.fromkeys(mark for each in same for mark in each.over))
    off = " off them" if len(over) > 1 else " off it"
    return text(f"{capital(_name(job, same))} {verb} over {anded(over)}, ", gap, off)
