"""The ends of the search: nothing to lay out, nothing to lay it on, and a solver that keeps quiet."""

from __future__ import annotations

import os

import pytest

from shopdocs.work.layout import BOARD, SHEET, Job, Rect, Saw, Stock, Want, lay_out
from shopdocs.work.layout.master import quiet_solver


def test_where_there_is_no_board_nothing_is_laid() -> None:
    """Everything is left out, at once and for nothing: no board, no price, no round, and no clock ended it."""
    job = Job((Want("a", 10, 5), Want("b", 20, 5)), (), Saw(1, style=BOARD))
    plan = lay_out(job, 50, seconds=60)
    assert (plan.boards, plan.price, plan.bound, plan.effort, plan.capped) == ((), 0, 0, 0, False)
    assert sorted(each.want for each in plan.unplaced) == ["a", "b"]


def test_the_solver_keeps_quiet_and_lets_others_speak(capfd: pytest.CaptureFixture[str]) -> None:
    """It prints its name by itself when it is made; what is printed before and after comes out."""
    os.write(1, b"before ")
    quiet_solver()
    os.write(1, b"after")
    assert capfd.readouterr() == ("before after", "")


@pytest.mark.parametrize(("style", "wide", "kept"), [(SHEET, 50, True), (SHEET, 49, False), (BOARD, 50, False)])
def test_an_offcut_just_large_enough_is_kept(style: str, wide: int, kept: bool) -> None:
    """From 71 a piece of 50 and a kerf of 1 leave 20. Kept is what is 50 long and 20 wide, on a sheet either way round;
    on a board the length runs with the grain, and 20 along it is none."""
    saw = Saw(1, style=style, keep_length=50, keep_width=20)
    plan = lay_out(Job((Want("a", 50, wide),), (Stock("s", 71, wide, 7),), saw), 50, seconds=60)
    (board,) = plan.boards
    assert board.offcuts == ((Rect(51, 0, 20, wide),) if kept else ())


@pytest.mark.parametrize(("long", "kept"), [(101, True), (100, False)])
def test_an_offcut_of_a_board_just_long_enough_is_kept(long: int, kept: bool) -> None:
    """A piece of 50 and a kerf of 1 leave 50 of 101, and 49 of 100."""
    saw = Saw(1, style=BOARD, keep_length=50, keep_width=20)
    plan = lay_out(Job((Want("a", 50, 20),), (Stock("s", long, 20, 7),), saw), 50, seconds=60)
    (board,) = plan.boards
    assert board.offcuts == ((Rect(51, 0, 50, 20),) if kept else ())


def test_what_the_first_plan_leaves_out_is_looked_for_though_its_boards_cost_no_less() -> None:
    """Three boards of 100 hold 51 and 49, 50 and 28 and 22, 43 and 36 and 21, with nothing over. The first plan, long
    ones first, leaves one out: its boards cost what all must cost, and yet it is not done; the plan with all is."""
    wants = tuple(Want(str(long), long, 20) for long in (51, 50, 49, 43, 36, 28, 22, 21))
    job = Job(wants, (Stock("s", 100, 20, 7, 3),), Saw(0, style=BOARD))
    first, plan = lay_out(job, 0, seconds=60), lay_out(job, 300, seconds=60)
    assert first.unplaced and (first.price, first.bound) == (21, 21)  # 257 and more of the 300
    assert (plan.unplaced, plan.price, plan.bound) == ((), 21, 21)
    assert 0 < plan.effort < 300


def test_of_what_does_not_all_fit_the_rest_is_proven() -> None:
    """Two of three pieces of 60, on the two boards of 100 that there are."""
    wants = tuple(Want(str(number), 60, 20) for number in range(3))
    plan = lay_out(Job(wants, (Stock("s", 100, 20, 7, 2),), Saw(1, style=BOARD)), 300, seconds=60)
    assert ([each.count for each in plan.unplaced], plan.price, plan.bound) == ([1], 14, 14)
    plan = lay_out(Job((Want("a", 60, 20, 5),), (Stock("s", 100, 20, 7, 2),), Saw(1, style=BOARD)), 300, seconds=60)
    assert [(each.want, each.count) for each in plan.unplaced] == [("a", 3)]


def test_a_plan_that_is_proven_at_once_is_not_looked_for_longer() -> None:
    """65 and 64 of a strip 20 wide, from boards of 100 at 10 or of 160 at 17: by length alone they cost 12.90, but a
    board is bought whole: two of one kind are 20, one of the other 17. Nothing is cheaper than the first plan found."""
    wants = (Want("a", 65, 20), Want("b", 64, 20))
    stocks = (Stock("short", 100, 20, 10), Stock("long", 160, 20, 17))
    plan = lay_out(Job(wants, stocks, Saw(1, style=BOARD)), 300, seconds=60)
    assert (plan.price, plan.bound, plan.effort) == (17, 17, 0)
