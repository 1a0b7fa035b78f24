"""Columns of words that are as wide as makes their table lowest."""

from __future__ import annotations

from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Cell, Column, Group, Row, Table
from shopdocs.page.compose import compose
from shopdocs.page.items import TextRun
from shopdocs.page.paper import paper
from tests.page.paper_sample import IMPRINT
from tests.values import replace

SHORT, LONG = "turn the rail over", "only after the glue-up, when the rest of the build goes on and the gap shows " * 2


def lines(table: Table) -> list[TextRun]:
    (frame,) = compose((Document("d", "D", "", (table,)),), IMPRINT, paper("a4")).frames
    words = {*SHORT.split(), *LONG.split()}
    return [item for item in frame.items if isinstance(item, TextRun) and words & {*item.text.split()}]


def test_a_column_of_long_words_takes_width_from_one_of_short_words() -> None:
    """By its share the first column has room for far more than its words; both have all their words either way."""
    rows = tuple(Row((Cell.of(SHORT * 3), Cell.of(LONG))) for _ in range(3))
    table = Table("t", (Column("A", share=8.0), Column("B", share=0.4)), (Group(rows),))
    usual, fitted = lines(table), lines(replace(table, fitted=True))
    assert len({run.y for run in fitted}) < len({run.y for run in usual})
    told = [" ".join(sorted(" ".join(run.text for run in each).split())) for each in (usual, fitted)]
    assert told[0] == told[1]
