"""Lists that go on in the next of several columns."""

from __future__ import annotations

from shopdocs.blocks.sheets import Document, InColumns
from shopdocs.blocks.text import Cell, Checklist, Column, Group, Row, Step, Table, text
from shopdocs.page.columns import in_columns
from shopdocs.page.compose import compose
from shopdocs.page.flow import Strip
from shopdocs.page.items import TextRun
from shopdocs.page.paper import paper
from tests.page.paper_sample import IMPRINT

LONG = 30  # steps of the first list


def strip(height: float, again: Strip | None = None, keep: bool = False) -> Strip:
    return Strip(height, lambda frame, left, top: None, keep=keep, again=again)


def listed(count: int) -> list[Strip]:
    """A title of 10 and so many lines of 10, with the title over each column that they go on in."""
    title = strip(10.0, keep=True)
    return [title, *(strip(10.0, again=strip(10.0) if n else None) for n in range(count))]


def test_a_title_comes_again_only_where_no_page_is_begun_for_it() -> None:
    """By hand, two columns: a title and seven lines are 40 beside 40, and 50 with the title over the second column.
    Where the page has 45 below the 14 of air there is no room for that, and the lines go on without."""
    (made,) = in_columns(listed(7), 500.0, 500.0, (100.0, 10.0, 2), 14.0)
    assert made.height == 50.0
    (made,) = in_columns(listed(7), 14.0 + 45.0, 45.0, (100.0, 10.0, 2), 14.0)
    assert made.height == 40.0


def test_lists_stay_whole_where_that_takes_no_more_pages() -> None:
    """By hand, two columns, lists of a title and four lines, two and two: even columns are 60 and 60, with four lines
    and two beside two parted by a title; whole lists are 50 beside 30 + 30. Five lines and one are no reason to part
    the first: 60 beside 20. But a list of nine beside nothing would be 100 where even columns are 60."""
    for counts, tall in (((4, 2, 2), 60.0), ((5, 1), 60.0), ((9,), 60.0)):
        strips = [strip for count in counts for strip in listed(count)]
        (made,) = in_columns(strips, 500.0, 500.0, (100.0, 10.0, 2), 14.0)
        assert made.height == tall, counts


def test_a_table_that_goes_on_in_another_column_has_its_head_there() -> None:
    rows = tuple(Row((Cell.of(f"row {n}"),)) for n in range(80))
    table = Table("settings", (Column("Setting"),), (Group(rows, "Shoulders"),))
    frames = compose((Document("d", "D", "", (InColumns((table,), 2),)),), IMPRINT, paper("a4")).frames
    for frame in frames:
        runs = [item for item in frame.items if isinstance(item, TextRun)]
        columns = {round(run.x) for run in runs if run.text.startswith("row")}
        heads = {round(run.x) for run in runs if run.text == "Setting"}
        assert columns == heads


def test_one_list_goes_on_in_one_column_more_at_the_most() -> None:
    """By hand, three columns: a title and eight lines are 50 beside 10 + 40; over three they would be 40 high."""
    (made,) = in_columns(listed(8), 500.0, 500.0, (100.0, 10.0, 3), 14.0)
    assert made.height == 50.0


def test_a_title_comes_again_smaller_where_there_is_no_room_for_it() -> None:
    """The seven lines of above where 46 is all there is: four, with the title, beside four, which take 40 by
    themselves, 50 under a title of 10 and 46 under one of 6."""
    strips = listed(7)
    for each in strips:
        if each.again is not None:
            each.again.again = strip(6.0)
    (made,) = in_columns(strips, 14.0 + 46.0, 46.0, (100.0, 10.0, 2), 14.0)
    assert made.height == 46.0


def test_a_list_that_goes_on_is_named_over_its_column() -> None:
    """Two lists in two columns, thirty steps and two: the first goes on in the second column, under its number alone;
    the second begins there under its whole name. One title each, where a list stands in one column."""
    lists = [
        Checklist(tuple(Step(text(f"step {n}")) for n in range(count)), f"Dry run {number}  {name}")
        for number, (name, count) in enumerate((("Door", LONG), ("Box", 2)), 1)
    ]
    (frame,) = compose((Document("d", "D", "", (InColumns(tuple(lists), 2),)),), IMPRINT, paper("a4")).frames
    runs = [item for item in frame.items if isinstance(item, TextRun)]
    titles = {run.text: run for run in runs if run.text.startswith("Dry run")}
    assert {" ".join(title.split()) for title in titles} == {"Dry run 1 Door", "Dry run 1, continued", "Dry run 2 Box"}
    again = titles["Dry run 1, continued"]
    under = [run for run in runs if run.text.startswith("step") and abs(run.x - again.x) < 40.0]
    assert under and all(run.y < again.y for run in under)
    assert len(under) < LONG + 2
