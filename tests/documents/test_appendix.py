"""Numbers in brackets lead to the page that explains them, and titles of works stand there alone, in quotation
marks."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopdocs.blocks.sheets import Document, SideBySide
from shopdocs.blocks.text import Paragraph, Table, plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.documents.appendix import appendix, quoted
from shopdocs.documents.cut_list import cut_list
from shopdocs.documents.finish import finish_sheet
from shopdocs.documents.job import Job
from shopdocs.documents.lumber import lumber_sheet
from shopdocs.documents.shopping import shopping_list
from shopdocs.facts.finish_types import FINISHES
from shopdocs.facts.lumber_tables import BOARD_MEASURE, NHLA
from shopdocs.facts.source import Confidence, Source
from tests.sample_jobs import SAMPLES, sample_job


def told(document: Document) -> list[str]:
    heads = [c.title for b in walk(document.blocks) if isinstance(b, Table) for c in b.columns]
    return [*heads, *(plain(runs) for block in walk(document.blocks) for runs in texts(block))]


def sheets(job: Job) -> list[Document]:
    made = [cut_list(job), lumber_sheet(job), shopping_list(job)]
    return [*made, finish_sheet(job)] if job.finish is not None else made


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
@pytest.mark.parametrize("units", ["in", "mm"])
def test_every_number_in_brackets_has_its_note(path: Path, units: str) -> None:
    job = sample_job(path, units)  # type: ignore[arg-type]
    found = [re.match(r"\[\d+\]", line) for line in told(appendix(job))]
    notes = [match.group() for match in found if match]
    assert notes == [f"[{number}]" for number in range(1, len(notes) + 1)]
    seen = 0
    for document in sheets(job):
        led = [numbers for line in told(document) for numbers in re.findall(r"\[([\d, ]+)\]", line)]
        numbers = {number for each in led for number in each.split(", ")}
        assert {f"[{number}]" for number in numbers} <= set(notes)
        seen += len(numbers)
    assert seen


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
def test_titles_of_works_stand_on_the_appendix_alone_and_in_quotation_marks(path: Path) -> None:
    job = sample_job(path, "in")
    titles = [source.title for source in (BOARD_MEASURE, NHLA, *(finish.coverage_source for finish in FINISHES))]
    for document in sheets(job):
        assert not [title for title in titles for line in told(document) if title and title in line]
    for line in told(appendix(job)):
        for title in titles:
            assert line.count(title) == line.count(f"“{title}”"), line


def test_practice_is_no_work() -> None:
    assert quoted(Source("coverage by hand", Confidence.PRACTICE)) == ""
    assert quoted(Source("PS 20", Confidence.READ, edition="2020", table="Table 3")) == "“PS 20”, 2020, Table 3"


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
def test_both_columns_are_of_about_one_length(path: Path) -> None:
    """As near as whole notes allow: the note that the middle falls into goes to one side or the other, so that they
    differ by no more than the longest note; a line lost at the end of each counts as 60 letters, the half of one."""
    (beside,) = appendix(sample_job(path, "in")).blocks
    assert isinstance(beside, SideBySide)
    columns = [[plain(block.text) for block in each if isinstance(block, Paragraph)] for each in beside.columns]
    left, right = (sum(len(words) + 60 for words in column) for column in columns)
    longest = max(len(words) + 60 for words in columns[0])
    notes = [words for column in columns for words in column if words.startswith("[")]
    # what is taken from works of others stands whole on the right, and may be more than half
    assert abs(left - right) <= longest or (right > left and len(columns[0]) == len(notes))
    assert [words.startswith("[") for words in columns[0]] == [True] * len(columns[0])
