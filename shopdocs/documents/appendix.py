"""The appendix of the set: how its figures are made, and the works that they were taken from."""

from __future__ import annotations

from collections.abc import Iterable

from shopdocs.blocks.sheets import Block, Document, InColumns
from shopdocs.blocks.text import Heading, Paragraph, Text, Weight, text
from shopdocs.documents.fitting.wording import listed
from shopdocs.documents.how.rules import APPENDIX, TITLE, numbered
from shopdocs.documents.how.works import cautions, sources
from shopdocs.documents.job import Job
from shopdocs.facts.cautions import Caution
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
    works = [text(f"{what}: {'; '.join(titles)}.") for what, titles in _works(sources(job))]
    known = [text(f"{each.title}: {each.fact} ({behind}).") for each in cautions(job) if (behind := _behind(each))]

    def told(weight: Weight) -> tuple[Block, ...]:
        blocks: list[Block] = [Paragraph(each, weight) for each in notes]
        for head, texts in (("Taken from works of others", works), ("What is known behind the cautions", known)):
            blocks += [Heading(head, 2), *(Paragraph(each, weight) for each in texts)] if texts else []
        return tuple(blocks)

    question = "Where does a figure come from, and how far can I trust it?"
    usual, fine = InColumns(told(Weight.QUIET)), InColumns(told(Weight.FINE), 3)
    return Document(APPENDIX, TITLE, question, (usual,), runs_on=True, instead=(fine,))


def _works(taken: Iterable[tuple[str, Source]]) -> list[tuple[str, tuple[str, ...]]]:
    """What was taken from which works, their titles in quotation marks so that none is read as an instruction; what is
    from the same ones together."""
    told: dict[str, dict[str, None]] = {}
    for what, source in taken:
        if title := quoted(source):
            told.setdefault(what, {})[f"{title} ({TRUST[source.confidence]})"] = None
    alike: dict[tuple[str, ...], list[str]] = {}
    for what, titles in told.items():
        alike.setdefault(tuple(titles), []).append(what)
    whats = {titles: listed(some) for titles, some in alike.items()}
    return [(what[0].upper() + what[1:], titles) for titles, what in whats.items()]


def _behind(caution: Caution) -> str:
    """The works that a caution rests on; "" where it is shop practice alone."""
    return "; ".join(f"{quoted(each)}, {TRUST[each.confidence]}" for each in caution.sources if quoted(each))


def quoted(source: Source) -> str:
    """A work by its title in quotation marks, with edition and place; "" for what is only practice."""
    if not source.title or source.confidence is Confidence.PRACTICE:
        return ""
    return ", ".join(filter(None, (f"“{source.title}”", source.edition, source.table)))
