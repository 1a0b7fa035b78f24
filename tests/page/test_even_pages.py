"""Pages are filled evenly: no row or two of a table alone, no last page with next to nothing, lines that end evenly.

How little is too little on a page is our own choice; that the rows stand in order and none is lost is counted.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Cell, Column, Group, Paragraph, Row, Table
from shopdocs.core.display import Units
from shopdocs.page import typeface
from shopdocs.page.compose import Composed, compose
from shopdocs.page.items import Frame, TextRun
from shopdocs.page.paper import paper
from shopdocs.page.style import style
from tests.page.paper_sample import IMPRINT
from tests.sample_jobs import BOTH, SAMPLES, sample_pages

LEAST_TYPE = 9.5  # of a table that only runs over: the style's tables are 9.5 to 10.5 pt


def table_of(rows: int) -> Document:
    lines = tuple(Row((Cell.of(f"row {i}"), Cell.of("what it says"))) for i in range(rows))
    table = Table("t", (Column("Row"), Column("Words")), (Group(lines),))
    return Document("d", "A table", "", (table,))


def rows_of(frame: Frame) -> list[TextRun]:
    runs = (item for item in frame.items if isinstance(item, TextRun))
    return sorted((run for run in runs if run.text.startswith("row ")), key=lambda run: -run.y)


@pytest.mark.parametrize("key", ["a4", "letter"])
def test_what_runs_over_by_a_few_rows_stands_on_one_page(key: str) -> None:
    pages = {rows: compose((table_of(rows),), IMPRINT, paper(key)).frames for rows in range(30, 60)}
    usual = [
        rows for rows, (frame, *_) in pages.items() if rows_of(frame)[0].size == style().table and len(pages[rows]) == 1
    ]
    pitch = {rows: rows_of(frame)[0].y - rows_of(frame)[1].y for rows, (frame, *_) in pages.items()}
    most = max(rows for rows in usual if pitch[rows] == pitch[30])  # that stand on a page as usual
    for rows in range(most + 1, most + 9):
        (frame,) = pages[rows]
        shown = rows_of(frame)
        assert [run.text for run in shown] == [f"row {i}" for i in range(rows)]
        assert min(run.size for run in shown) >= LEAST_TYPE
        assert min(run.y for run in shown) >= 12 * 72 / 25.4  # within the margin
        assert pitch[rows] >= shown[0].size * 1.2, "lines keep their leading"


@pytest.mark.parametrize("rows", range(30, 56))
def test_no_page_holds_only_a_few_rows_of_a_longer_table(rows: int) -> None:
    """Also where the page after it is well filled with other things."""
    words = tuple(Paragraph((f"Line {i} of the words under the table.",)) for i in range(24))
    document = table_of(rows)
    frames = compose((Document("d", "A table", "", (*document.blocks, *words)),), IMPRINT, paper("a4")).frames
    counts = [len(rows_of(frame)) for frame in frames if rows_of(frame)]
    assert sum(counts) == rows
    assert min(counts) >= 4


def filled(frame: Frame) -> float:
    """The share of the height between the margins that is used."""
    top, low = frame.height - 25.5 - 12 * 72 / 25.4, 12 * 72 / 25.4
    return (top - min(item.y for item in frame.items if isinstance(item, TextRun))) / (top - low)


def flowing(composed: Composed, name: str) -> list[Frame]:
    frames = [frame for frame in composed.frames if frame.document == name]
    return [] if name == "labels" or any(frame.true_scale for frame in frames) else frames


@pytest.mark.parametrize("units", BOTH)
@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_no_sheet_of_the_samples_ends_with_a_page_that_is_nearly_empty(folder: Path, units: Units) -> None:
    """In inches on Letter, in millimetres on A4."""
    composed = sample_pages(folder, units)
    for name in dict.fromkeys(frame.document for frame in composed.frames):
        frames = flowing(composed, name)
        if len(frames) > 1:
            assert filled(frames[-1]) > 0.2, name


def test_a_line_with_a_lone_word_takes_some_from_the_line_above() -> None:
    """A paragraph of one word more than fills two lines: three lines, and more than that word on the last."""
    words, lone = ["joint"] * 40, 0
    for count in range(20, 40):
        frame = compose((Document("d", "D", "", (Paragraph((" ".join(words[:count]),)),)),), IMPRINT, paper("a4"))
        lines = [run for run in frame.frames[0].items if isinstance(run, TextRun) and run.text.startswith("joint")]
        shown = sorted(lines, key=lambda run: -run.y)
        assert sum(len(run.text.split()) for run in shown) == count
        lone += len(shown) > 1 and shown[-1].text == "joint"
        widths = [typeface.width(run.text, run.face, run.size) for run in shown[:-1]]
        assert all(wide > 0.7 * 10.5 * 46 for wide in widths), "lines give up little of the measure"
    assert lone == 0


def test_columns_move_together_before_a_row_takes_two_lines() -> None:
    columns = tuple(Column(name, share=1.0) for name in "ABCDEF")
    for size in range(10, 30):
        words = " ".join("n" * size)
        cells = tuple(Cell.of(words) for _ in columns)
        (frame, *_) = compose(
            (Document("d", "D", "", (Table("t", columns, (Group((Row(cells),) * 3),)),)),), IMPRINT, paper("a4")
        ).frames
        runs = [run for run in frame.items if isinstance(run, TextRun) and run.text.startswith("n ")]
        wide = typeface.width(words, "regular", LEAST_TYPE)
        if 6 * wide + 5 * 9.0 <= paper("a4").text_width:
            assert len(runs) == 18, size
