"""A seller's figure less the exact one, as a tally prints it: with its sign, and without one where nothing is apart as
printed. Rounding half up, as at school."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.documents.yard.receipts import apart_figure


@pytest.mark.parametrize(
    ("apart", "places", "shown"),
    [
        ("0", 2, "0.00"),
        ("1", 2, "+1.00"),
        ("-1", 2, "\u22121.00"),
        ("0.005", 2, "+0.01"),
        ("0.004", 2, "0.00"),
        ("-0.004", 2, "0.00"),
        ("-0.005", 2, "\u22120.01"),
        ("12.3456", 3, "+12.346"),
    ],
)
def test_the_sign_of_what_is_apart(apart: str, places: int, shown: str) -> None:
    figure = apart_figure("apart", Fraction(apart), "bf", places)
    assert (figure.shown, figure.value, figure.unit) == (shown, Fraction(apart), "bf")
