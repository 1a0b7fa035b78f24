"""Tables whose rows stand two beside each other on paper."""

from __future__ import annotations

from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Cell, Column, Group, Row, Table
from shopdocs.page.compose import compose
from shopdocs.page.items import TextRun
from shopdocs.page.paper import paper
from tests.page.paper_sample import IMPRINT


def test_a_table_that_folds_has_its_rows_in_two_halves() -> None:
    """Five short rows: three and two beside each other, in reading order down the left side first."""
    columns = (Column("No", "right"), Column("What"))
    rows = tuple(Row((Cell.of(str(n)), Cell.of(f"cut {n}"))) for n in range(1, 6))
    table = Table("t", columns, (Group(rows),), folds=True)
    (frame,) = compose((Document("d", "D", "", (table,)),), IMPRINT, paper("a4")).frames
    spots = {item.text: (item.x, item.y) for item in frame.items if isinstance(item, TextRun)}
    left, right = [spots[f"cut {n}"] for n in (1, 2, 3)], [spots[f"cut {n}"] for n in (4, 5)]
    assert len({x for x, _ in left}) == len({x for x, _ in right}) == 1
    assert left[0][0] + 100 < right[0][0]
    assert [y for _, y in left[:2]] == [y for _, y in right]
    assert left[0][1] > left[1][1] > left[2][1]


def test_a_table_of_long_words_does_not_fold() -> None:
    """Where every row would take two lines beside another, nothing is gained."""
    rows = tuple(Row((Cell.of(str(n)), Cell.of("mortise and tenon " * 5))) for n in range(4))
    table = Table("t", (Column("No"), Column("What")), (Group(rows),), folds=True)
    (frame,) = compose((Document("d", "D", "", (table,)),), IMPRINT, paper("a4")).frames
    assert len({item.y for item in frame.items if isinstance(item, TextRun) and item.text in "0123"}) == 4


LONG = "of so many words that they have no room behind those of its row, before the figure that the row ends with"


def test_a_short_note_stands_behind_the_words_of_its_row() -> None:
    """Where two or three words have room before the figures, no line is spent on them."""
    told = (("side", "left"), ("end", f"short {LONG}"))
    rows = tuple(Row((Cell.of(part), Cell.of("2")), note=note) for part, note in told)
    table = Table("t", (Column("Part"), Column("Pieces", "right")), (Group(rows),))
    (frame,) = compose((Document("d", "D", "", (table,)),), IMPRINT, paper("a4")).frames
    every = [item for item in frame.items if isinstance(item, TextRun)]
    begins = ("side", "left", "end", "short")
    side, note, end, long = (next(run for run in every if run.text.startswith(words)) for words in begins)
    assert note.y == side.y and note.x > side.x + 20.0 and note.size < side.size
    assert long.y < end.y and long.x == end.x


def test_a_note_stands_under_its_own_row() -> None:
    """In small type, over the row that comes next, and never on another page than its row: forty of them take two."""
    rows = tuple(Row((Cell.of(f"part {n}"), Cell.of("1")), note=f"note {n} {LONG}") for n in range(40))
    table = Table("t", (Column("Part"), Column("Pieces")), (Group(rows),), ticks=True)
    frames = compose((Document("d", "D", "", (table,)),), IMPRINT, paper("a4")).frames
    assert len(frames) == 2
    for frame in frames:
        runs = {item.text: item for item in frame.items if isinstance(item, TextRun)}
        parts = [int(words.split()[1]) for words in runs if words.startswith("part")]
        assert parts
        for n in parts:
            part, note = runs[f"part {n}"], runs[f"note {n} {LONG}"]
            assert note.x == part.x and note.size < part.size and note.y < part.y
            assert f"part {n + 1}" not in runs or runs[f"part {n + 1}"].y < note.y - note.size
