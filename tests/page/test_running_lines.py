"""Every page of a set says what it belongs to: mark, sheet, page, revision, date, and the word for its source."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from shopdocs.blocks.sheets import Document, Imprint
from shopdocs.blocks.text import Paragraph, text
from shopdocs.documents.catalogue import LOOSE
from shopdocs.documents.labels import labels
from shopdocs.page.compose import Composed, compose
from shopdocs.page.items import Frame, Line, TextRun
from shopdocs.page.paper import paper
from shopdocs.page.typeface import width
from tests.sample_jobs import SAMPLES, documents_of, job_of
from tests.values import replace

IMPRINT = Imprint("Plant stand", "PS", "B", "Ada Quill", "12 May 2031", "nomadu")


def words(frame: Frame) -> str:
    return " ".join(item.text for item in frame.items if isinstance(item, TextRun))


def one_page(imprint: Imprint) -> Composed:
    return compose([Document("d", "Sheet", "", (Paragraph(text("words")),))], imprint, paper("a4"))


@pytest.mark.thorough
@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.name)
def test_every_page_of_a_set_bears_them(sample: Path) -> None:
    job = job_of(sample / "build.yaml")
    key = job.shop.paper or "letter"
    on_sheets = labels(replace(job, label_sheet=job.shop.labels or "cut"))
    made = [on_sheets if document.name == "labels" else document for document in documents_of(job)]
    made = [document for document in made if document.name not in LOOSE]
    composed = compose(made, job.imprint, paper(key))
    assert job.check_word
    for frame in composed.frames:
        said = words(frame)
        if frame.bare and frame.over < 31.0:  # 11 mm over the first row of labels, less has no line that printers reach
            continue
        assert f"page {frame.set_number} of {len(composed.frames)}" in said
        assert f"check {job.check_word}" in said
        assert job.build.mark in said.split()
        assert job.build.date in said
        assert not job.build.revision or f"revision {job.build.revision}" in said


def test_without_a_date_there_is_a_line_to_write_one() -> None:
    dated, open_ = one_page(IMPRINT).frames[0], one_page(replace(IMPRINT, date="")).frames[0]
    assert "12 May 2031" in words(dated)
    assert "12 May" not in words(open_)
    assert len(lines(open_)) == len(lines(dated)) + 1
    new = next(line for line in lines(open_) if line not in lines(dated))
    assert new.x1 - new.x0 > 36  # points: half an inch, room for day and month by hand
    texts = [item for item in open_.items if isinstance(item, TextRun) and abs(item.y - new.y0) < 3]
    assert all(item.x > new.x1 or item.x + width(item.text, item.face, item.size) < new.x0 for item in texts)


def lines(frame: Frame) -> list[Line]:
    return [item for item in frame.items if isinstance(item, Line)]


def test_a_long_title_or_date_runs_off_no_page() -> None:
    long = replace(IMPRINT, title="A very long title of a piece of furniture " * 4, date="the day after " * 20)
    frame = one_page(long).frames[0]
    head = [item for item in frame.items if isinstance(item, TextRun) and item.y > frame.height - 72]
    ends = [(item.x, item.x + width(item.text, item.face, item.size)) for item in head if item.text]
    assert all(end <= frame.width - 12 / 25.4 * 72 for _, end in ends)
    line = sorted(ends[:4])  # mark, title, sheet, and what follows
    assert all(one[1] < two[0] for one, two in pairwise(line))
