"""Setting up once: which pieces share a setting of stop, fence, gauge or plane."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from shopdocs.blocks.sheets import Block, SideBySide
from shopdocs.blocks.text import Cell, Column, Group, Heading, Row, Table
from shopdocs.documents.figures import length_figure, marks_text
from shopdocs.documents.job import Job
from shopdocs.work.setups import Kind, Setup, setups

TABLES = {"setups-shoulders": (Kind.SHOULDERS, Kind.FROM_END), "setups": (Kind.WIDTH, Kind.LENGTH, Kind.THICKNESS)}
TITLES = {
    Kind.SHOULDERS: "Shoulder to shoulder, marked together",
    Kind.FROM_END: "Shoulder line, from the end",
    Kind.WIDTH: "Width: one fence or gauge setting",
    Kind.LENGTH: "Length: one stop",
    Kind.THICKNESS: "Thickness: plane together",
}


def setups_tables(job: Job) -> list[Table]:
    """Settings for shoulders, and those for sizes; none where no two parts share one."""
    found = setups(job.build, job.groups)
    tables = [_table(job, name, [s for s in found if s.kind in kinds]) for name, kinds in TABLES.items()]
    return [table for table in tables if table.groups]


def set_up_once(tables: Sequence[Table], beside: bool) -> list[Block]:
    """The tables under their heading, `beside` each other across a page or one under the other; nothing without any."""
    if not tables:
        return []
    heading = Heading("Set up once", 2)
    if not beside or len(tables) < 2:
        return [heading, *tables]
    return [heading, SideBySide(tuple((table,) for table in tables), (1.0,) * len(tables))]


def _table(job: Job, name: str, found: list[Setup]) -> Table:
    groups = tuple(
        Group(tuple(_row(job, setup) for setup in same), TITLES[kind])
        for kind, same in groupby(found, key=lambda setup: setup.kind)
    )
    columns = (
        Column("Setting", "right", job.display.units, share=0.05, strong=True),
        Column("Cut one after another", share=2.0),
    )
    return Table(name, columns, groups)


def _row(job: Job, setup: Setup) -> Row:
    figure = length_figure(f"setup · {setup.kind}", setup.size, job.display)
    return Row((Cell.of(figure), Cell.of(marks_text(setup.marks))))
