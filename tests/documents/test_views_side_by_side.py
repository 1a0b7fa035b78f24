"""Long words beside an upright piece do not make it small: they stand over, under and left of its views as well."""

from __future__ import annotations

import pytest

from shopdocs.blocks.drawing import Drawing, Leader
from shopdocs.blocks.walk import walk
from shopdocs.core.display import Units
from tests.page.frame_checks import laid_items, text_over_text
from tests.sample_jobs import BOTH, BY_NAME, document_of, sample_job


@pytest.mark.parametrize("units", BOTH)
def test_a_side_with_six_housings_is_drawn_so_large_that_they_are_told_apart(units: Units) -> None:
    """The side of the cabinet is 560 mm. Between its closest housings, the lowest two, are 97 mm of wood: where the
    whole takes 80 mm of paper that is 14 mm, room for two figures and a note; three faces of 140, 12 and 140 mm take
    42 mm of the 178 mm of the page."""
    sheet = document_of(sample_job(BY_NAME["spice_cabinet"], units), "piece-drawings")
    found = [block for block in walk(sheet.blocks) if isinstance(block, Drawing)]
    (side,) = [
        one for one in found if any(isinstance(s, Leader) and s.text.startswith("L only, recess") for s in one.shapes)
    ]
    assert side.scale is not None
    for drawing in (side, *side.larger):
        assert drawing.scale is not None and float(drawing.scale) * 560 >= 80
        assert not text_over_text(laid_items(drawing))
