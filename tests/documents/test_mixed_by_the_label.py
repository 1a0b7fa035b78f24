"""What goes into the cup by the ratio on the label: a small batch too keeps the ratio. Worked out by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.documents.fitting.glue_words import parts_text
from shopdocs.facts.adhesives import adhesive
from shopdocs.model.joining import Ratio


@pytest.mark.parametrize(
    ("grams", "first", "second", "by", "told"),
    [
        (30, 2, 1, "weight", "20 g + 10 g"),
        (15, 100, 45, "weight", "10.3 g + 4.7 g"),  # 15 x 100/145 = 10.345, 15 x 45/145 = 4.655
        (33, 2, 1, "volume", "20 ml + 10 ml"),  # at 1.1 g to the millilitre 30 ml
        (15, 2, 1, "volume", "9.1 ml + 4.5 ml"),  # 13.636 ml: 9.091 and 4.545
        (15, 5, 1, "volume", "11.4 ml + 2.3 ml"),  # 13.636 ml: 11.364 and 2.273
    ],
)
def test_a_batch_keeps_the_ratio(grams: int, first: int, second: int, by: str, told: str) -> None:
    assert parts_text(Fraction(grams), Ratio(Fraction(first), Fraction(second), by), None) == told


@pytest.mark.parametrize("grams", range(15, 101))
def test_no_part_is_rounded_away(grams: int) -> None:
    """Two to one stays two to one within 2 %: a tenth of a millilitre more or less is 2 % of the smallest part."""
    told = parts_text(Fraction(grams), Ratio(Fraction(2), Fraction(1), "volume"), adhesive("slow epoxy"))
    first, second = (Fraction(part.split()[0]) for part in told.split(" + "))
    assert abs(first / second - 2) <= Fraction(4, 100)
