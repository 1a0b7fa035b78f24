"""The appendix of the set: how its figures are made, and the works that they were taken from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from shopdocs.blocks.sheets import Block, Document, InColumns
from shopdocs.blocks.text import Heading, Paragraph, Text, Weight, text
from shopdocs.documents.fitting.wording import listed
from shopdocs.documents.how.rules import APPENDIX, TITLE, numbered
from shopdocs.documents.how.works import cautions, sources
from shopdocs.documents.job import Job
from shopdocs.facts.source import Confidence, Source

TRUST = {
    Confidence.READ: "Read",
    Confidence.SECONDARY: "Read at second hand",
    Confidence.COMPUTED: "Computed",
    Confidence.MEMORY: "From the trade, not checked",
}


def appendix(job: Job) -> Document:
    """Notes and works in small type, in two columns; where that spares a page in smaller type, in three."""
    notes: list[Text] = [(f"[{number}] {rule.title}. ", *said) for number, rule, said in numbered(job)]
    taken = [*sources(job), *((each.title, source) for each in cautions(job) for source in each.sources)]
    works = [text(f"{trust}. {told}.") for trust, told in _works(taken)]

    def told(weight: Weight) -> tuple[Block, ...]:
        head = (Heading("Sources", 2),) if works else ()
        return (*(Paragraph(each, weight) for each in notes), *head, *(Paragraph(each, weight) for each in works))

    question = "Where does each come from, and can I trust it?"
    usual, fine = InColumns(told(Weight.QUIET)), InColumns(told(Weight.FINE), 3)
    return Document(APPENDIX, TITLE, question, (usual,), runs_on=True, instead=(fine,))


def _works(taken: Iterable[tuple[str, Source]]) -> Iterator[tuple[str, str]]:
    """For each way in which works were read, what was taken from which: their titles in quotation marks so that none is
    read as an instruction, several places of one together, and what is from the same ones."""
    found: dict[Confidence, dict[str, dict[str, dict[str, None]]]] = {}  # trust, what for, title, place in it
    for what, source in taken:
        if title := quoted(replace(source, table="")):
            works = found.setdefault(source.confidence, {}).setdefault(what, {})
            works.setdefault(title, {})[source.table] = None
    for confidence in TRUST:
        alike: dict[tuple[str, ...], list[str]] = {}
        for what, own in found.get(confidence, {}).items():
            titles = tuple(", ".join(filter(None, (title, *places))) for title, places in own.items())
            alike.setdefault(titles, []).append(what)
        if alike:
            told = (f"{_capital(listed(whats))}: {'; '.join(titles)}" for titles, whats in alike.items())
            yield TRUST[confidence], ". ".join(told)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def quoted(source: Source) -> str:
    """A work by its title in quotation marks, with edition and place; "" for what is only practice."""
    if not source.title or source.confidence is Confidence.PRACTICE:
        return ""
    return ", ".join(filter(None, (f"“{source.title}”", source.edition, source.table)))
