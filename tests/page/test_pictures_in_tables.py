"""Drawings in the cells of a table: as large as they are, within their column, and in no file of the table."""

from __future__ import annotations

from shopdocs.blocks.drawing import Drawing, Polygon
from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Cell, Column, Group, Row, Table
from shopdocs.core.length import ZERO, Length
from shopdocs.output.csv import table_csv
from shopdocs.page.compose import compose
from shopdocs.page.items import Path, TextRun, mm
from shopdocs.page.paper import paper
from tests.page.paper_sample import IMPRINT


def test_a_drawing_makes_its_row_tall_and_stands_in_its_column() -> None:
    """By hand: a square of 15 mm between two rows of words puts these more than 15 mm apart."""
    side = Length(15)
    square = Polygon(((ZERO, ZERO), (side, ZERO), (side, side), (ZERO, side)))
    drawing = Drawing("", side, side, (square,), scale=1, captioned=False)  # type: ignore[arg-type]
    columns = (Column("Piece"), Column("Right", "centre", picture_mm=20.0))
    rows = (Row((Cell.of("rail"), Cell(("from the left",), drawing=drawing))), Row((Cell.of("leg"),)))
    table = Table("t", columns, (Group(rows),))
    (frame,) = compose([Document("d", "D", "", (table,))], IMPRINT, paper("a4")).frames
    at = {item.text: item for item in frame.items if isinstance(item, TextRun)}
    assert at["rail"].y - at["leg"].y > mm(15.0)
    (shown,) = [item for item in frame.items if isinstance(item, Path) and item.fill is None]
    xs, ys = zip(*shown.points, strict=True)
    assert round(max(xs) - min(xs), 3) == round(max(ys) - min(ys), 3) == round(mm(15.0), 3)
    assert at["from the left"].y < min(ys) and min(xs) > at["rail"].x + mm(10.0)
    assert at["leg"].y < at["from the left"].y
    assert "Right" not in table_csv(table) and "from the left" not in table_csv(table)
