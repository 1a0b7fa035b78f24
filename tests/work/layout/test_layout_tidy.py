"""What is left over at the same price: room for whole offcuts is found, and nothing else changes.

Every expected offcut is that of a plan laid by hand, worked out beside the job.
"""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest

from shopdocs.work.layout import BOARD, SHEET, Job, Plan, Saw, Stock, Want, lay_out
from shopdocs.work.layout.packing import Board, add, construct, empty_boards, orders, types_in
from shopdocs.work.layout.task import Task, prepare
from shopdocs.work.layout.tidy import gathered, neatness, tidy
from shopdocs.work.layout.tree import codes
from tests.work.layout_replay import replay

BY_HAND = {
    # two columns of four 50 x 25 pieces make a square of 100; the other half of the sheet is one square of 100
    "half a sheet": (Job((Want("a", 50, 25, 8),), (Stock("s", 200, 100, 9),)), 100 * 100),
    # 49 + 2 + 49 = 100 along and 24 + 2 + 24 = 50 across; a kerf of 2 more, and 100 x 48 stay whole
    "with kerf": (Job((Want("a", 49, 24, 4),), (Stock("s", 100, 100, 9),), Saw(kerf=2)), 100 * 48),
    # the two sides one above the other, beside them three rows of two shelves or tops: 560 + 1 + 404 + 1 + 404 = 1370
    # along, 130 + 1 + 130 + 1 + 128 = 390 across; one more kerf, and 750 - 391 stay over the whole length
    "cabinet": (
        Job(
            (Want("side", 560, 140, 2), Want("shelf", 404, 130, 4), Want("top", 404, 128, 2)),
            (Stock("s", 1400, 750, 9),),
            Saw(kerf=1),
        ),
        1400 * 359,
    ),
    # two stretches of 600 with two strips of 45 in each and a kerf of 3 each: 2400 - 2 x 603 stay, 100 wide
    "solid board": (Job((Want("a", 600, 45, 4),), (Stock("s", 2400, 100, 9),), Saw(kerf=3, style=BOARD)), 1194 * 100),
}


@pytest.mark.parametrize("name", BY_HAND)
@pytest.mark.parametrize("seed", [0, 1, 2])
def test_an_offcut_is_as_large_as_by_hand(name: str, seed: int) -> None:
    job, by_hand = BY_HAND[name]
    plan = lay_out(job, seed=seed)
    replay(job, plan)
    assert len(plan.boards) == 1
    assert largest(plan) >= by_hand


def largest(plan: Plan) -> int:
    return max(r.length * r.width for b in plan.boards for r in b.offcuts)


@pytest.mark.parametrize("seed", range(5))
def test_small_pieces_come_together_on_one_board(seed: int) -> None:
    """Three wide pieces need a sheet each and leave 40; the four of 10 fit one rest, so two stay whole."""
    job = Job((Want("wide", 60, 100, 3), Want("slim", 10, 100, 4)), (Stock("s", 100, 100, 9),))
    plan = lay_out(job, seed=seed)
    replay(job, plan)
    assert sorted(r.length * r.width for b in plan.boards for r in b.offcuts) == [4000, 4000]


def test_the_emptier_board_gives_to_the_fuller_one() -> None:
    """A sheet of 100 x 100 with a wide piece of 60 and two slim ones of 10, and one with a wide and one slim: 20 and 30
    are left over. The slim piece of the emptier one goes to the other: 10 and 40, the squares of which are 1700, not
    1300. To give the other way round leaves 30 and 20 again, which is no gain."""
    job = Job((Want("wide", 60, 100, 2), Want("slim", 10, 100, 3)), (Stock("s", 100, 100, 9),))
    task = prepare(job)
    (empty,) = empty_boards(task)
    wide, slim = (task.size.index(area) for area in (6000, 1000))
    fuller = emptier = empty
    for kind in (wide, slim, slim):
        fuller = add(task, fuller, kind) or fuller
    for kind in (wide, slim):
        emptier = add(task, emptier, kind) or emptier
    for boards in ([fuller, emptier], [emptier, fuller]):
        assert sorted(board.used for board in boards) == [7000, 8000]
        together = gathered(task, list(boards), lambda: False)
        assert sorted(board.used for board in together) == [6000, 9000]


def random_job(seed: int) -> Job:
    rng = Random(seed)
    wants = tuple(
        Want(
            f"p{i}",
            rng.randrange(20, 120),
            rng.randrange(5, 40),
            rng.randrange(1, 4),
            rng.random() < 0.3,
            "front" if i < 2 else None,
        )
        for i in range(9)
    )
    stocks = (Stock("large", 250, 90, 60), Stock("small", 130, 60, 22), Stock("rack", 180, 50, 0, 1, True))
    return Job(wants, stocks, Saw(2, 3, 1, 0, 0, rng.choice((SHEET, BOARD)), 30, 10))


def stocks_and_pieces(task: Task, boards: list[Board]) -> tuple[Counter[int], Counter[int]]:
    return (
        Counter(task.shapes[b.shape].stock for b in boards),
        Counter(t for b in boards for t in types_in(task, codes(b.tree))),
    )


@pytest.mark.parametrize("seed", range(12))
def test_nothing_but_places_changes_and_it_gets_no_worse(seed: int) -> None:
    task = prepare(random_job(seed))
    empties = empty_boards(task)
    boards, _ = construct(task, orders(task)[0], empties)
    assert {b.tree for b in tidy(task, boards, empties, seed, lambda: True)} <= {b.tree for b in boards}
    after = tidy(task, boards, empties, seed, lambda: False)
    assert stocks_and_pieces(task, after) == stocks_and_pieces(task, boards)
    before = sum(neatness(task, b) for b in boards)
    together = sum(neatness(task, b) for b in gathered(task, list(boards), lambda: False))
    assert sum(neatness(task, b) for b in after) >= together - 1e-9 >= before - 2e-9
    for b in after:
        kinds = types_in(task, codes(b.tree))
        assert b.used == sum(task.size[t] for t in kinds)
        assert b.key == task.base[task.shapes[b.shape].stock] + sum(task.unit[t] for t in kinds)


def test_same_seed_same_places() -> None:
    job = random_job(3)
    assert lay_out(job, 200, 5).boards == lay_out(job, 200, 5).boards
