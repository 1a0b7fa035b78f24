"""Things that are narrow enough stand beside each other where that spares pages; sums by hand."""

from __future__ import annotations

import pytest

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, Document, SideBySide, Together
from shopdocs.blocks.text import Heading, Paragraph
from shopdocs.core.length import Length
from shopdocs.page.compose import compose
from shopdocs.page.items import Frame, TextRun
from shopdocs.page.pairing import closed, paired
from shopdocs.page.paper import paper
from tests.page.paper_sample import IMPRINT


def thing(name: str, narrow: bool = True) -> Together:
    return Together((Paragraph((name,)),), moves=True, narrow=(Paragraph((f"{name}, narrow",)),) if narrow else ())


def told(blocks: tuple[Block, ...]) -> list[list[str]]:
    """The words of each, one or two beside each other."""
    found = []
    for block in blocks:
        assert isinstance(block, Together)
        first = block.blocks[0]
        inner = [c[0] for c in first.columns] if isinstance(first, SideBySide) else [first]
        found.append([str(one.text[0]) for one in inner if isinstance(one, Paragraph)])
    return found


@pytest.mark.parametrize(
    ("heights", "beside"),
    [
        # 0.4 beside 0.4 spares 0.4, beside 0.3 only 0.3; the one that is left stays across the page
        ([0.4, 0.3, 0.4], [["0, narrow", "2, narrow"], ["1"]]),
        ([0.5, 0.2, 0.45, 0.25], [["0, narrow", "2, narrow"], ["1, narrow", "3, narrow"]]),
        ([0.5, 0.05], [["0"], ["1"]]),  # spares next to nothing
    ],
)
def test_two_beside_each_other_where_that_spares_height(heights: list[float], beside: list[list[str]]) -> None:
    things = [thing(str(number)) for number in range(len(heights))]
    blocks = paired(things, lambda block, in_column: heights[things.index(block)])
    assert told(blocks) == beside


def test_what_is_not_narrow_stays_across_the_page() -> None:
    things = [thing("0", narrow=False), thing("1"), thing("2")]
    heights = {False: 0.4, True: 0.9}  # in a column twice as tall and more: nothing is spared
    assert paired(things, lambda block, in_column: heights[in_column]) == tuple(things)
    assert told(paired(things, lambda block, in_column: 0.4)) == [["0"], ["1, narrow", "2, narrow"]]


def frames_of(count: int) -> list[Frame]:
    """So many drawings of 100 mm on A4, which has some 235 mm under the title and 259 without, with some 20 mm each for
    heading and caption: two to a page."""
    drawing = Drawing("", Length(60), Length(100), (), 1, tallest_mm=200)
    blocks = [
        Together((heading, drawing), moves=True, narrow=(heading, drawing))
        for heading in (Heading(f"piece {number}", 2) for number in range(1, count + 1))
    ]
    return list(compose([Document("d", "D", "", tuple(blocks))], IMPRINT, paper("a4")).frames)


@pytest.mark.parametrize(("count", "pages", "columns"), [(1, 1, 1), (2, 1, 1), (3, 1, 2), (4, 1, 2)])
def test_only_where_a_page_is_spared(count: int, pages: int, columns: int) -> None:
    frames = frames_of(count)
    heads = [
        run for frame in frames for run in frame.items if isinstance(run, TextRun) and run.text.startswith("piece")
    ]
    assert len(frames) == pages and len(heads) == count
    assert len({round(head.x) for head in heads}) == columns


def test_the_lowest_form_that_spares_height_is_taken() -> None:
    """Of the first a form of 0.3 is lower than 0.4 and 0.35; that of the second spares one hundredth of a page, which
    is not worth another form; the third has none."""
    forms = {"0": 0.4, "0a": 0.35, "0b": 0.3, "1": 0.4, "1a": 0.39, "2": 0.4}

    def made(name: str, *closer: str) -> Together:
        own, *others = ((Paragraph((each,)),) for each in (name, *closer))
        return Together(own, moves=True, closer=tuple(others))

    def height(block: Together, in_column: bool) -> float:
        first = block.blocks[0]
        assert isinstance(first, Paragraph)
        return forms[str(first.text[0])]

    assert told(closed([made("0", "0a", "0b"), made("1", "1a"), made("2")], height)) == [["0b"], ["1"], ["2"]]
