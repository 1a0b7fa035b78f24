"""The ends of the search: nothing to lay out, nothing to lay it on, and a solver that keeps quiet."""

from __future__ import annotations

import os

import pytest

from shopdocs.work.layout import BOARD, Job, Saw, Want, lay_out
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
