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
