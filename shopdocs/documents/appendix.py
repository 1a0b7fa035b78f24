"""The appendix of the set: how its figures are made, and the works that they were taken from."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Cell, Column, Group, Row, Table
from shopdocs.documents.finish import cautions_of as finish_cautions
from shopdocs.documents.how.buying import measures_of
from shopdocs.documents.how.rules import APPENDIX, TITLE, numbered
from shopdocs.documents.job import Job
from shopdocs.documents.title import cautions_of as title_cautions
from shopdocs.facts.lumber_tables import BOARD_MEASURE, NHLA
from shopdocs.facts.source import Confidence, Source

TRUST = {
    Confidence.READ: "read",
    Confidence.SECONDARY: "read in a page about it",
    Confidence.COMPUTED: "computed",
    Confidence.MEMORY: "from memory, to be checked",
    Confidence.PRACTICE: "common practice",
}


def appendix(job: Job) -> Document:
    rows = tuple(
        Row((Cell.of(f"[{number}]"), Cell.of(rule.title, strong=True), Cell(said)))
        for number, rule, said in numbered(job)
    )
    columns = (Column("", share=0.01), Column("Note", share=0.3), Column("", share=2.0))
    blocks: list[Block] = [Table("notes", columns, (Group(rows),))]
    sources = _sources_table(job)
    if sources is not None:
        blocks.append(sources)
    question = "Where does a figure come from, and how far can I trust it?"
    return Document(APPENDIX, TITLE, question, tuple(blocks))


def _sources_table(job: Job) -> Table | None:
    """What was taken from which works, their titles in quotation marks so that none is read as an instruction."""
    told: dict[str, dict[str, None]] = {}
    for what, source in _sources(job):
        if title := quoted(source):
            told.setdefault(what, {})[f"{title} ({TRUST[source.confidence]})"] = None
    rows = tuple(Row((Cell.of(what[0].upper() + what[1:]), Cell.of("; ".join(works)))) for what, works in told.items())
    columns = (Column("Taken from works of others", share=0.4), Column("Which, and how they were read", share=2.0))
    return Table("sources", columns, (Group(rows),)) if rows else None


def quoted(source: Source) -> str:
    """A work by its title in quotation marks, with edition and place; "" for what is only practice."""
    if not source.title or source.confidence is Confidence.PRACTICE:
        return ""
    return ", ".join(filter(None, (f"“{source.title}”", source.edition, source.table)))


def _sources(job: Job) -> Iterator[tuple[str, Source]]:
    if measures_of(job).feet:
        yield "board measure", BOARD_MEASURE
        yield "surface measure", NHLA
    for hole in job.holes:
        if hole.bore.source is not None:
            yield "hole sizes", hole.bore.source
        if hole.bore.angle is not None:
            yield "countersinks", hole.bore.angle.source
    for work in job.stages:
        for source in work.open.sources if work.open is not None else ():
            yield "open time", source
    if job.finish is not None and job.finish.kind is not None and job.finish.finish.coverage is None:
        yield "how far a litre of finish goes", job.finish.kind.coverage_source
    for caution in (*title_cautions(job), *finish_cautions(job)):
        for source in caution.sources:
            yield f"caution: {caution.title.lower()}", source
