"""Areas in words: those of one kind, such as of the glue of stages, in one unit as far as that is read with ease."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.core.display import Display
from shopdocs.documents.figures import area_text

SQUARE_INCH = Fraction(254, 10_000) ** 2


@pytest.mark.parametrize(
    ("square_inches", "told"),
    [
        (9, "9 in²"),
        (77, "77 in²"),  # two seams of 44 by 7/8 in: beside stages of 9 and 36 in² it is read in the same unit
        (144, "1.0 ft²"),
        (216, "1.5 ft²"),
    ],
)
def test_an_area_is_in_square_inches_up_to_a_square_foot(square_inches: int, told: str) -> None:
    assert area_text(square_inches * SQUARE_INCH, Display.of("in")) == told
