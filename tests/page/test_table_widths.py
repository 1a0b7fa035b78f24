"""Tables over and under each other end on one line, as a compositor sets them; narrow ones keep together."""

from __future__ import annotations

import pytest

from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Cell, Column, Group, Row, Table
from shopdocs.page.compose import compose
from shopdocs.page.items import Line
from shopdocs.page.paper import paper
from tests.page.paper_sample import IMPRINT

SIZE = "40 × 300 × 400"


def ends(*tables: Table) -> list[float]:
    """Where the rules under the heads of tables end, in points."""
    (frame,) = compose((Document("d", "D", "", tables),), IMPRINT, paper("a4")).frames
    rules = [item for item in frame.items if isinstance(item, Line) and item.y0 == item.y1]
    return [max(item.x0, item.x1) for item in rules][1:]  # the first is that of the page's head


def sizes(name: str, share: float, columns: int) -> Table:
    """A table of words and of sizes at its right."""
    heads = (Column("Part", share=share), *(Column("Size", "right", "mm", share=0.1) for _ in range(columns)))
    return Table(name, heads, (Group((Row((Cell.of("a part of four words or five"), *[Cell.of(SIZE)] * columns)),)),))


def test_tables_of_nearly_the_width_of_the_page_have_all_of_it() -> None:
    """The words take 37 mm, a size 24 mm: with four sizes and the white between them some 155 of 178 mm, with five all
    of it."""
    four, five = ends(sizes("four", 0.8, 4), sizes("five", 0.8, 5))
    assert four == pytest.approx(five, abs=0.5)


def test_a_narrow_table_keeps_together() -> None:
    """One size 28 mm behind its words would be looked for across the page otherwise."""
    one, five = ends(sizes("one", 0.8, 1), sizes("five", 0.8, 5))
    assert one < five * 0.75
