"""Boxes near a place: held against a look at every box."""

from __future__ import annotations

import random

import pytest

from shopdocs.core.box import Box
from shopdocs.work.space.buckets import Buckets


@pytest.mark.parametrize("seed", range(8))
def test_none_that_overlaps_is_missed(seed: int) -> None:
    rnd = random.Random(seed)

    def box(largest: int) -> Box:
        lo = [rnd.randrange(-300, 300) for _ in range(3)]
        return Box.between(lo, [v + rnd.randint(1, largest) for v in lo])

    boxes = [box(rnd.choice((10, 60, 400))) for _ in range(60)]
    near = Buckets(boxes)
    for _ in range(40):
        place = box(rnd.choice((5, 50, 500)))
        found = near(place)
        assert found == sorted(set(found))
        assert {i for i, each in enumerate(boxes) if each.overlap(place)} <= set(found)


def test_what_is_far_off_is_left_out() -> None:
    """Ten cubes of 10, 100 apart: a cube of 10 reaches into two cubes of space on each axis at most."""
    row = [Box((100 * i, 0, 0), (100 * i + 10, 10, 10)) for i in range(10)]
    assert Buckets(row)(Box((402, 2, 2), (406, 4, 4))) == [4]
    assert not Buckets([])(row[0])
