"""A mirror image, drawn in small beside its piece, shows what is other-handed and repeats no figure: common practice,
no source."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.blocks.drawing import Drawing, Leader
from shopdocs.blocks.walk import walk
from shopdocs.core.display import Units
from tests.sample_jobs import BOTH, BY_NAME, document_of, sample_job


def leg(units: Units) -> Drawing:
    """The drawing of a leg of the stool with its mirror image: the only one with ends off square."""
    sheet = document_of(sample_job(BY_NAME["loft_stool"], units), "piece-drawings")
    found = [block for block in walk(sheet.blocks) if isinstance(block, Drawing)]
    (one,) = [drawing for drawing in found if any("end cut" in words for words in told(drawing))]
    return one


def told(drawing: Drawing) -> list[str]:
    return [shape.text for shape in drawing.shapes if isinstance(shape, Leader)]


@pytest.mark.parametrize("units", BOTH)
def test_the_angle_of_an_end_is_told_once(units: Units) -> None:
    assert [words for words in told(leg(units)) if "end cut" in words] == ["end cut 9.95°, tilt 6°"]


@pytest.mark.parametrize("units", BOTH)
def test_a_mirror_image_costs_its_piece_no_size(units: Units) -> None:
    """Two faces of a leg, 40 mm wide at 1:2 with the largest figures of either unit, and two at 1:4: 60 mm of wood in
    the 178 mm of a page."""
    assert leg(units).scale == Fraction(1, 2)
