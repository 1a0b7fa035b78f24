"""Things whose order is free change places where that spares a page, and only there; sums by hand."""

from __future__ import annotations

import pytest

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, Document, Together
from shopdocs.blocks.text import Heading, Paragraph
from shopdocs.core.length import Length
from shopdocs.page.changing_places import order_of
from shopdocs.page.compose import compose
from shopdocs.page.items import Frame, TextRun
from shopdocs.page.paper import paper
from tests.page.paper_sample import IMPRINT


@pytest.mark.parametrize(
    ("heights", "room", "order"),
    [
        ([60, 60, 40, 40], 100, [0, 2, 1, 3]),  # 60 and 40 twice, not 60, then 60 and 40, then 40
        ([50, 40, 30], 100, [0, 1, 2]),  # two pages in any order
        ([90, 20, 90], 30, [1, 0, 2]),  # the low one under what stands on the page at hand
        ([30, 60, 50, 50], 100, [0, 1, 2, 3]),
        ([40, 40, 30, 70, 60, 60], 100, [2, 3, 0, 4, 1, 5]),  # three full pages: 70 and 30, 60 and 40 twice
    ],
)
def test_fewer_pages_or_their_own_order(heights: list[float], room: float, order: list[int]) -> None:
    assert order_of(heights, room, 100) == order


@pytest.mark.parametrize(
    ("heights", "room", "last"),
    [
        ([60, 60, 40, 40, 10], 100, 10),  # 60 and 40 twice, and 10 is left; in their own order 60, 60 and 40, 40 and 10
        ([30, 50, 70], 100, 50),  # 70 and 30, then 50; in their own order 30 and 50, then 70
        ([50, 30], 100, 80),  # one page, whatever the order
    ],
)
def test_the_last_page_is_low_where_it_should_be(heights: list[float], room: float, last: float) -> None:
    left, used = room, 0.0
    for i in order_of(heights, room, 100, low=True):
        if heights[i] > left:
            left, used = 100, 0.0
        left, used = left - heights[i], used + heights[i]
    assert used == last


def headings(frame: Frame) -> list[str]:
    runs = [run for run in frame.items if isinstance(run, TextRun) and run.text.startswith("piece ")]
    return [run.text for run in sorted(runs, key=lambda run: -run.y)]


@pytest.mark.parametrize(("moves", "pages"), [(True, 2), (False, 3)])
def test_drawings_that_may_move_share_pages(moves: bool, pages: int) -> None:
    """Four drawings of 130, 130, 60 and 60 mm on A4, which has some 235 mm under the title and 259 without, with some
    20 mm each for heading and caption: one large and one small to a page."""
    large, small = (Drawing("", Length(10), Length(high), (), 1, tallest_mm=200) for high in (130, 60))
    blocks: list[Block] = [
        Together((Heading(f"piece {number}", 2), drawing), moves=moves)
        for number, drawing in enumerate((large, large, small, small), 1)
    ]
    blocks.insert(0, Paragraph(("Each piece as it stands.",)))
    frames = compose([Document("d", "D", "", tuple(blocks))], IMPRINT, paper("a4")).frames
    shown = [headings(frame) for frame in frames]
    assert len(frames) == pages
    assert sorted(name for names in shown for name in names) == [f"piece {n}" for n in (1, 2, 3, 4)]
    if moves:
        assert shown == [["piece 1", "piece 3"], ["piece 2", "piece 4"]]


def lines(name: str, count: int) -> tuple[Block, ...]:
    return tuple(Paragraph((f"{name} {number}.",)) for number in range(count))


@pytest.mark.parametrize(("after", "first"), [(8, "table 0."), (30, "views 0.")])
def test_the_other_order_is_set_where_it_spares_a_page(after: int, first: str) -> None:
    """Under a picture of 150 mm there is room on A4 for 8 lines of 7 mm, not for 22. With the 8 lines first, 100 mm are
    left of the second page, where 8 lines of another document and its title stand, and 30 do not."""
    picture = Drawing("", Length(10), Length(150), (), 1, tallest_mm=200)
    views = Together(lines("views", 22))
    table = Together(lines("table", 8))
    own, other = (picture, views, table), (picture, table, views)
    document = Document("d", "D", "", own, instead=other)
    short = Document("e", "E", "", lines("short", after))
    frames = compose([document, short], IMPRINT, paper("a4")).frames
    said = [
        run.text
        for frame in frames
        for run in sorted((r for r in frame.items if isinstance(r, TextRun)), key=lambda r: -r.y)
    ]
    told = [words for words in said if words.startswith(("table ", "views "))]
    assert told[0] == first
    assert sorted(told) == sorted([f"table {i}." for i in range(8)] + [f"views {i}." for i in range(22)])
