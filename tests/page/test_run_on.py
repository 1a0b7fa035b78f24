"""A document may begin on the last page of the one before where that spares a page; nothing is lost and all keeps its
order. The pages are reckoned by hand: some 40 lines of words fill one."""

from __future__ import annotations

from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Paragraph, text
from shopdocs.page.compose import Composed, compose
from shopdocs.page.items import TextRun
from shopdocs.page.paper import paper
from tests.page.paper_sample import IMPRINT


def lines(name: str, count: int, runs_on: bool = False) -> Document:
    blocks = tuple(Paragraph(text(f"{name} {number}.")) for number in range(count))
    return Document(name.lower(), name, "", blocks, runs_on=runs_on)


def said(composed: Composed, *names: str) -> list[str]:
    runs = [
        (number, -item.y, item.text)
        for number, frame in enumerate(composed.frames)
        for item in frame.items
        if isinstance(item, TextRun) and item.text.endswith(".") and item.text.split()[0] in names
    ]
    return [words for *_, words in sorted(runs)]


def test_it_begins_under_the_one_before_where_that_spares_a_page() -> None:
    """Half a page and a page and a quarter: two pages and not three."""
    first = lines("First", 15)
    apart = compose((first, lines("Second", 42)), IMPRINT, paper("a4"))
    both = compose((first, lines("Second", 42, True)), IMPRINT, paper("a4"))
    assert (len(apart.frames), len(both.frames)) == (3, 2)
    assert [both.anchors[name][0] for name in ("first", "second")] == [0, 0]
    assert [(entry.title, entry.page) for entry in both.outline] == [("First", 0), ("Second", 0)]
    assert both.frames[0].title == "First, Second"
    assert said(both, "First", "Second") == [f"First {i}." for i in range(15)] + [f"Second {i}." for i in range(42)]


def test_it_begins_a_page_where_nothing_is_spared() -> None:
    """Two documents of more than half a page each take two pages in any case."""
    both = compose((lines("First", 25), lines("Second", 30, True)), IMPRINT, paper("a4"))
    assert len(both.frames) == 2
    assert both.anchors["second"][0] == 1
