"""The appendix of the set: how its figures are made, and the works that they were taken from."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.blocks.sheets import Block, Document, InColumns
from shopdocs.blocks.text import Heading, Paragraph, Text, Weight, text
from shopdocs.documents.how.buying import measures_of
from shopdocs.documents.how.rules import APPENDIX, TITLE, numbered
from shopdocs.documents.job import Job
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
    """Notes and works in small type, in two columns; where that spares a page in smaller type, in three."""
    notes: list[Text] = [(f"[{number}] {rule.title}. ", *said) for number, rule, said in numbered(job)]
    works = [text(f"{what}: {'; '.join(titles)}.") for what, titles in _works(job)]

    def told(weight: Weight) -> tuple[Block, ...]:
        head = (Heading("Taken from works of others", 2),) if works else ()
        return (*(Paragraph(each, weight) for each in notes), *head, *(Paragraph(each, weight) for each in works))

    question = "Where does a figure come from, and how far can I trust it?"
    usual, fine = InColumns(told(Weight.QUIET)), InColumns(told(Weight.FINE), 3)
    return Document(APPENDIX, TITLE, question, (usual,), runs_on=True, instead=(fine,))


def _works(job: Job) -> list[tuple[str, tuple[str, ...]]]:
    """What was taken from which works, their titles in quotation marks so that none is read as an instruction."""
    told: dict[str, dict[str, None]] = {}
    for what, source in _sources(job):
        if title := quoted(source):
            told.setdefault(what[0].upper() + what[1:], {})[f"{title} ({TRUST[source.confidence]})"] = None
    return [(what, tuple(titles)) for what, titles in told.items()]


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
