"""Rows of words that keep apart, worked out by hand."""

from __future__ import annotations

import pytest

from shopdocs.documents.drawn.leaders import spaced


@pytest.mark.parametrize(
    ("heights", "expected"),
    [
        ([0, 4, 9], [0, 4, 9]),  # room enough
        ([9, 0, 4], [9, 0, 4]),  # in whatever order they come
        ([1, 0], [2.5, -1.5]),  # their middle stays at 1/2, and they keep 4 apart
        ([5, 5, 5], [1, 5, 9]),  # alike: in the order they come
        # 0 and 1 go to -1.5 and 2.5; 5 then has 2.5 to the second, so all three share out: their middle 2 stays
        ([5, 0, 1], [6, -2, 2]),
    ],
)
def test_rows_keep_apart_and_move_as_little_as_can_be(heights: list[float], expected: list[float]) -> None:
    assert spaced(heights, 4) == pytest.approx(expected)
