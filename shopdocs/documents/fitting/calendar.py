"""The glue-up as a calendar: hours at the bench, hours in the clamps, and what has to wait for what."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.blocks.text import Cell, Column, Group, Row, Table
from shopdocs.documents.figures import hours_figure, minutes_figure
from shopdocs.documents.job import Job
from shopdocs.work.order.closing import Outcome
from shopdocs.work.order.stages import StageWork

NO_ORDER = "no order: see there"


def calendar(job: Job) -> Table:
    """Every stage with its work, its time in the clamps and when it is out of them, in hours from the first glue."""
    columns = (
        Column("Stage", strong=True, share=1.4),
        Column("Waits for", share=1.4),
        Column("At the bench", "right", share=0.6),
        Column("In the clamps", "right", share=0.6),
        Column("Out of the clamps, from the start", "right", share=0.9),
    )
    ready = out_of_clamps(job.stages)
    rows = []
    for work in job.stages:
        waits = [f"{earlier.number}  {earlier.stage.title}" for earlier in waits_for(work, job.stages)]
        name = f"stage {work.number}"
        wait = hours_figure(f"{name} · clamped", work.wait_hours) if work.wait_hours is not None else "see the label"
        done = hours_figure(f"{name} · out of the clamps", ready[work.number])
        if work.order.outcome is Outcome.LOCKED:
            rows.append(Row((Cell.of(f"{work.number}  {work.stage.title}"), Cell.of(NO_ORDER), Cell(), Cell(), Cell())))
            continue
        rows.append(
            Row(
                (
                    Cell.of(f"{work.number}  {work.stage.title}"),
                    Cell.of(", ".join(waits)),
                    Cell.of(minutes_figure(f"{name} · at the bench", work.minutes)),
                    Cell.of(wait),
                    Cell.of(done),
                )
            )
        )
    if any(work.order.outcome is Outcome.LOCKED for work in job.stages):  # the whole never comes to an end
        return Table("glue-up-calendar", columns, (Group(tuple(rows)),))
    bench = sum((work.minutes for work in job.stages), Fraction(0))
    last = max(ready.values(), default=Fraction(0))
    total = (
        Cell.of("All stages"),
        Cell(),
        Cell.of(minutes_figure("all stages · at the bench", bench)),
        Cell(),
        Cell.of(hours_figure("all stages · out of the clamps", last)),
    )
    return Table("glue-up-calendar", columns, (Group((*rows, Row(total, total=True))),))


def waits_for(work: StageWork, stages: tuple[StageWork, ...]) -> list[StageWork]:
    """The earlier stages whose pieces this one takes up: they must be out of the clamps."""
    titles = set(work.stage.uses)
    used = set(work.stage.pieces)
    return [
        earlier
        for earlier in stages
        if earlier.number < work.number and (earlier.stage.title in titles or used & set(earlier.stage.pieces))
    ]


def out_of_clamps(stages: tuple[StageWork, ...]) -> dict[int, Fraction]:
    """Hours from the first glue until each stage is out of its clamps, working day and night: a stage begins when what
    it takes up is out of the clamps and the one before it is clamped, for there is one pair of hands."""
    ready: dict[int, Fraction] = {}
    hands = Fraction(0)
    for work in stages:
        begins = max([hands, *(ready[earlier.number] for earlier in waits_for(work, stages))])
        hands = begins + work.minutes / 60
        ready[work.number] = hands + (work.wait_hours or 0)
    return ready
