"""A column of page numbers stands only where it has numbers; common practice, no source."""

from __future__ import annotations

from shopdocs.blocks.sheets import Document, SideBySide
from shopdocs.blocks.text import Cell, Column, Group, Paragraph, Row, Table
from shopdocs.page.compose import compose
from shopdocs.page.items import TextRun
from shopdocs.page.paper import paper
from tests.page.paper_sample import IMPRINT


def words(*documents: Document) -> list[str]:
    frames = compose(documents, IMPRINT, paper("a4")).frames
    return [item.text for frame in frames for item in frame.items if isinstance(item, TextRun)]


def test_a_sheet_printed_alone_has_no_column_for_pages_of_others() -> None:
    rows = (
        Row((Cell.of("Cut list", link="cut-list"), Cell(link="cut-list"))),
        Row((Cell.of("Printer check"), Cell.of("separate file"))),
    )
    contents = Table("contents", (Column("In this set"), Column("Page", "right")), (Group(rows),))
    title = Document("title", "Bench", "", (SideBySide(((contents,),), (1.0,)),))
    cuts = Document("cut-list", "Cut list", "", (Paragraph(("rail",)),))
    alone, both = words(title), words(title, cuts)
    assert "Page" not in alone and "separate file" not in alone and "Cut list" in alone
    assert "Page" in both and "separate file" in both
