"""A line parts a chapter from what stands over it on the same page; none stands over the first of a page."""

from __future__ import annotations

import pytest

from shopdocs.blocks.sheets import Block, Document, SideBySide
from shopdocs.blocks.text import Heading, Paragraph, text
from shopdocs.page.compose import compose
from shopdocs.page.items import Line, TextRun
from shopdocs.page.paper import paper
from tests.page.paper_sample import IMPRINT


def chapter(name: str, beside: bool) -> tuple[Block, ...]:
    head = Heading(name, 1)
    return (SideBySide(((head,), (Paragraph(text("beside")),)), (1.0, 1.0)) if beside else head, Paragraph(text("w.")))


@pytest.mark.parametrize("beside", [False, True])
def test_a_line_lies_between_two_chapters_of_a_page(beside: bool) -> None:
    """Two chapters: one line as wide as the text, under all of the first and over all of the second."""
    document = Document("d", "D", "", (*chapter("One", beside), *chapter("Two", beside)))
    (frame,) = compose((document,), IMPRINT, paper("a4")).frames
    under = min(item.y for item in frame.items if isinstance(item, TextRun) and item.text == "D")
    words = {item.text: item.y for item in frame.items if isinstance(item, TextRun)}
    lines = [item for item in frame.items if isinstance(item, Line) and item.y0 == item.y1 < under]
    (line,) = lines if not beside else [line for line in lines if line.y0 < words["One"]]
    assert words["w."] < line.y0 < words["One"] or words["Two"] < line.y0 < words["One"]
    assert words["Two"] + 10.0 < line.y0 and abs(line.x1 - line.x0) == pytest.approx(paper("a4").text_width)


def test_no_line_stands_over_the_first_chapter_of_a_page() -> None:
    document = Document("d", "", "", chapter("One", False))
    (frame,) = compose((document,), IMPRINT, paper("a4")).frames
    high = max(item.y for item in frame.items if isinstance(item, TextRun) and item.text == "One")
    across = [item for item in frame.items if isinstance(item, Line) and item.y0 == item.y1]
    assert all(line.y0 > high + 15.0 for line in across) and len(across) == 1  # that of the head of the page
