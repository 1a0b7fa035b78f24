"""A drawing that opens a page says what it is, where that takes no height."""

from __future__ import annotations

import pytest

from shopdocs.blocks.drawing import Drawing, Line
from shopdocs.blocks.sheets import Document, NewPage
from shopdocs.blocks.text import Paragraph, text
from shopdocs.core.length import ZERO, Length
from shopdocs.page.compose import compose
from shopdocs.page.items import TextRun
from shopdocs.page.paper import paper
from tests.page.paper_sample import IMPRINT


def drawn(wide: int) -> Drawing:
    """A frame so wide and 40 mm high, at full size."""
    ends = (ZERO, Length(wide)), (ZERO, Length(40))
    lines = [Line((x, ends[1][0]), (x, ends[1][1])) for x in ends[0]]
    return Drawing("views", Length(wide), Length(40), tuple(lines), 1, title="Plan and elevations")


@pytest.mark.parametrize(
    ("wide", "opens", "titled"),
    # A4 has 178 mm between the margins: at the left of 60 mm in the middle are 59 mm, of 150 mm there are 14 mm, and
    # the title takes some 38 mm in bold of 11.5 points.
    [(60, True, True), (150, True, False), (60, False, False)],
)
def test_only_where_it_opens_a_page_and_leaves_the_room(wide: int, opens: bool, titled: bool) -> None:
    before = Paragraph(text("before it"))
    blocks = (before, NewPage(), drawn(wide)) if opens else (before, drawn(wide))
    frames = compose((Document("d", "D", "", blocks),), IMPRINT, paper("a4")).frames
    assert len(frames) == 1 + opens
    titles = [item for item in frames[-1].items if isinstance(item, TextRun) and item.text == "Plan and elevations"]
    assert len(titles) == titled
    if titled:
        frame = frames[-1]
        lines = [item for item in frame.items if not isinstance(item, TextRun) and hasattr(item, "y1")]
        assert titles[0].face == "bold" and titles[0].x == pytest.approx(paper("a4").left.points)
        assert (2, "Plan and elevations") in [(level, name) for level, name, _ in frame.outline]
        assert titles[0].y < max(max(line.y0, line.y1) for line in lines)
