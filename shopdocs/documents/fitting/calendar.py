"""The glue-up as a calendar: hours at the bench, hours in the clamps, and what has to wait for what."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from shopdocs.blocks.text import Cell, Column, Figure, Group, Row, Table
from shopdocs.documents.figures import hours_figure, hours_text, minutes_figure
from shopdocs.documents.fitting.wording import listed
from shopdocs.documents.job import Job
from shopdocs.work.order.closing import Outcome
from shopdocs.work.order.sessions import MOST_TRIED, Session, more_clamps, quickest, sessions

WORTH_HOURS = 4  # half a day at the bench: for less nobody borrows clamps (common practice, no source)
NO_ORDER = "no order: see there"


def calendar(job: Job) -> Table:
    """Every stage with its work, its time in the clamps and when it is out of them, in hours from the first glue."""
    columns = (
        Column("Stage", strong=True, share=1.4),
        Column("Waits for", share=1.4),
        Column("Begins", "right", share=0.5),
        Column("At the bench", "right", share=0.6),
        Column("In the clamps", "right", share=0.6),
        Column("Out of the clamps, from the start", "right", share=0.9),
    )
    found = sessions(job.stages)
    rows = []
    for work, session in zip(job.stages, found, strict=True):
        name = f"stage {work.number}"
        wait = hours_figure(f"{name} · clamped", work.wait_hours) if work.wait_hours is not None else "see the label"
        done = hours_figure(f"{name} · out of the clamps", session.out)
        if work.order.outcome is Outcome.LOCKED:
            rows.append(Row((Cell.of(f"{work.number}  {work.stage.title}"), Cell.of(NO_ORDER), *[Cell()] * 4)))
            continue
        rows.append(
            Row(
                (
                    Cell.of(f"{work.number}  {work.stage.title}"),
                    _waits(session),
                    Cell.of(_begins(name, session)),
                    Cell.of(minutes_figure(f"{name} · at the bench", work.minutes)),
                    Cell.of(wait),
                    Cell.of(done),
                )
            )
        )
    if any(work.order.outcome is Outcome.LOCKED for work in job.stages):  # the whole never comes to an end
        return Table("glue-up-calendar", columns, (Group(tuple(rows)),))
    bench = sum((work.minutes for work in job.stages), Fraction(0))
    last = max((session.out for session in found), default=Fraction(0))
    total = (
        Cell.of("All stages"),
        Cell(),
        Cell(),
        Cell.of(minutes_figure("all stages · at the bench", bench)),
        Cell(),
        Cell.of(hours_figure("all stages · out of the clamps", last)),
    )
    return Table("glue-up-calendar", columns, (Group((*rows, Row(total, total=True))),))


def _waits(session: Session) -> Cell:
    """What a stage takes up, and whose clamps it wants; else the maker, who is at the stage before."""
    told = [f"{work.number}  {work.stage.title}" for work in session.after]
    numbers = sorted({work.number for work in session.clamps} - {work.number for work in session.after})
    if numbers:
        told.append(f"the clamps of {' and '.join(map(str, numbers))}")
    return Cell.of(", ".join(told) or ("you to be free" if session.begins else "nothing"))


def _begins(name: str, session: Session) -> Figure | str:
    return hours_figure(f"{name} · begins", session.begins) if session.begins else "at once"


def soonest_words(job: Job) -> str:
    """Whether another order is done sooner, and what the glue-up waits for; "" where there is nothing to choose."""
    stages = job.stages
    if len(stages) < 2 or any(work.order.outcome is Outcome.LOCKED for work in stages):
        return ""
    best = quickest(stages)
    here, there = _done(sessions(stages)), _done(sessions(best))
    if there < here:
        order = listed(str(work.number) for work in best)
        told = f"Finished sooner in the order {order}: {hours_text(there)} instead of {hours_text(here)}."
    elif best != tuple(stages):
        order = listed(str(work.number) for work in best)
        told = f"In the order {order} it takes as long, with fewer visits to the bench."
    else:
        told = (
            "No other order is an hour quicker."
            if len(stages) <= MOST_TRIED
            else "None of the orders tried is an hour quicker."
        )
    more, done = more_clamps(best)
    if more and there - done >= WORTH_HOURS:
        kinds = listed(f"{count} more ({kind})" for kind, count in more.items())
        told += f" You are short of clamps: with {kinds} it is done in {hours_text(done)}."
    return told


def _done(found: Iterable[Session]) -> Fraction:
    return max((session.out for session in found), default=Fraction(0))
