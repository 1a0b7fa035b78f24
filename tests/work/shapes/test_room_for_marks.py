"""Free windows against numpy's own sliding ones, and marks of random pictures: a search that gives up early finds all
of them where the patient one does."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.lib.stride_tricks import sliding_window_view

from shopdocs.work.shapes.mark_room import Wanted, _full, room_for_marks
from shopdocs.work.shapes.pixels import Pixels, number_of


@pytest.mark.parametrize(("high", "wide"), [(1, 1), (1, 6), (5, 1), (3, 7), (8, 12), (13, 2), (21, 3), (3, 33)])
def test_a_window_is_free_where_all_its_squares_are(high: int, wide: int) -> None:
    dice = np.random.default_rng(high * 100 + wide)
    for share in (0.5, 0.9, 0.99):
        mask = dice.random((20, 32)) < share
        found = _full(mask, high, wide)
        if high > 20 or wide > 32:
            assert not found.size
        else:
            assert np.array_equal(found, sliding_window_view(mask, (high, wide)).all(axis=(2, 3)))


def picture(dice: np.random.Generator, pieces: int) -> Pixels:
    """Rectangles over each other on paper of 63 by 56 mm, each the face of a piece of its own."""
    seen = np.zeros((80, 90), dtype=np.int32)
    for number in range(pieces):
        top, left = dice.integers(10, 55), dice.integers(10, 65)
        high, wide = dice.integers(3, 14), dice.integers(3, 14)
        seen[top : top + high, left : left + wide] = number_of(number, int(dice.integers(0, 3)))
    return Pixels(seen, (0.0, 0.0))


def test_a_search_for_all_gives_up_only_where_some_have_no_place() -> None:
    outcomes = []
    for seed in range(60):
        dice = np.random.default_rng(seed)
        pieces = int(dice.integers(10, 22))
        shown = picture(dice, pieces)
        wanted = [Wanted(f"P{n}", 11.0, 5.0, (n,)) for n in range(pieces)]
        stands, left = room_for_marks(shown, wanted)
        early, lost = room_for_marks(shown, wanted, whole=True)
        assert bool(lost) == bool(left), seed
        if not left:
            assert early == stands, seed
        assert {stand.words for stand in stands} == {want.words for want in wanted} - set(left)
        for n, one in enumerate(stands):  # no two marks over each other
            assert all(abs(one.at[0] - two.at[0]) >= 11 or abs(one.at[1] - two.at[1]) >= 5 for two in stands[:n]), seed
        outcomes.append(bool(left))
    assert {True, False} == set(outcomes)
