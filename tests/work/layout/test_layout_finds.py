"""How good the search is, held against plans that are known: boards cut up with nothing left over are put together
again. A search that has become worse finds fewer of them; one that has become better may find more."""

from __future__ import annotations

from random import Random

import pytest

from shopdocs.work.layout import BOARD, SHEET, Job, Saw, Stock, Want, lay_out
from tests.work.layout.test_layout_bounds import cut_up

ROUNDS = 600


@pytest.mark.parametrize(("style", "boards", "found"), [(SHEET, 3, 5), (SHEET, 5, 5), (BOARD, 3, 6)])
def test_boards_cut_up_are_put_together_again(style: str, boards: int, found: int) -> None:
    """Six times seven to thirty pieces: how often they go onto as many boards as they were cut from."""
    again = 0
    for seed in range(6):
        rng = Random(seed)
        pieces = [piece for _ in range(boards) for piece in cut_up(rng, 120, 48, 2, style)]
        wants = tuple(Want(str(number), long, wide) for number, (long, wide) in enumerate(pieces))
        plan = lay_out(Job(wants, (Stock("b", 120, 48, 70),), Saw(2, style=style)), ROUNDS, seconds=60)
        assert not plan.unplaced and not plan.capped
        again += len(plan.boards) == boards
    assert again >= found, again
