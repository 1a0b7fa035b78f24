"""Rims of round holes in pictures: where the middle of a chord falls on the ticks of the build."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.documents.drawn.rims import _moved


@pytest.mark.parametrize(
    ("at", "by", "found"),
    [
        (Fraction(7), 0.25, 7),
        (Fraction(7), -0.75, 6),
        (Fraction(1, 2), 0.0, 0),  # halves to the even number
        (Fraction(3, 2), 0.0, 2),
        (Fraction(-1, 2), 0.0, 0),
        (Fraction(-3, 2), 0.0, -2),
        (Fraction(1, 3), 0.5, 1),
        (Fraction(1, 3), 2.0**-60, 0),
    ],
)
def test_a_place_goes_to_the_nearest_tick(at: Fraction, by: float, found: int) -> None:
    """By hand."""
    assert _moved(at, by) == found
