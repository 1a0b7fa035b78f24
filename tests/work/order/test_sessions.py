"""When stages begin: by hand, with one pair of hands and so many clamps on the wall."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from shopdocs.work.order.sessions import sessions
from tests.sample_jobs import BY_NAME, sample_job

HOUR = Fraction(1, 60)


def test_a_stage_waits_for_the_clamps_of_others() -> None:
    """Four clamps of 80 hang on the wall. Two hold the left end from the 18th minute, two the right end from the 36th,
    12 h each. The drawer frame wants all four: it begins when the right end is out, after 12 h 36 min, and is out
    12 h 25 min later, after 25 h 1 min. The whole frame takes up all three, and other clamps: it begins then, 30 min at
    the bench and 24 h. The drawers follow it at the bench, for the four clamps of 80 are free again: after 25 h 31 min
    they begin, 30 min and 8 h later they are out."""
    found = sessions(sample_job(BY_NAME["potting_table"], "mm").stages)
    assert [session.begins for session in found] == [0, 18 * HOUR, 756 * HOUR, 1501 * HOUR, 1531 * HOUR]
    assert [session.out for session in found] == [738 * HOUR, 756 * HOUR, 1501 * HOUR, 2971 * HOUR, 2041 * HOUR]
    assert [[work.number for work in session.clamps] for session in found] == [[], [], [1, 2], [], []]
    assert [[work.number for work in session.after] for session in found] == [[], [], [], [1, 2, 3], []]


def test_with_enough_clamps_only_hands_and_glue_are_waited_for() -> None:
    """The same with eight on the wall: the drawer frame is begun after 36 min, and is out 12 h 25 min later."""
    stages = sample_job(BY_NAME["potting_table"], "mm").stages
    more = [replace(w, clamps=tuple((kind, count, 8) for kind, count, _ in w.clamps)) for w in stages]
    found = sessions(more)
    assert not any(session.clamps for session in found)
    assert (found[2].begins, found[2].out) == (36 * HOUR, 781 * HOUR)


def test_one_that_wants_more_than_there_are_waits_until_all_are_free() -> None:
    stages = sample_job(BY_NAME["potting_table"], "mm").stages
    third = replace(stages[2], clamps=tuple((kind, 9, 4) for kind, *_ in stages[2].clamps))
    found = sessions([*stages[:2], third])
    assert found[2].begins == found[1].out
