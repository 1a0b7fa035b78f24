"""When stages begin: by hand, with one pair of hands and so many clamps on the wall."""

from __future__ import annotations

import random
from collections.abc import Sequence
from fractions import Fraction
from itertools import permutations
from types import SimpleNamespace
from typing import cast

import pytest

from shopdocs.documents.fitting.calendar import soonest_words
from shopdocs.documents.job import Job
from shopdocs.work.order.sessions import more_clamps, quickest, sessions
from shopdocs.work.order.stages import StageWork
from tests.sample_jobs import BY_NAME, sample_job
from tests.values import replace

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


def made(
    number: int, minutes: int, hours: int, clamps: int, uses: tuple[str, ...] = (), kind: str = "bar"
) -> StageWork:
    """A stage of a piece of its own, with so many clamps of four on the wall."""
    one = sample_job(BY_NAME["potting_table"], "mm").stages[0]
    stage = replace(one.stage, title=f"S{number}", pieces=(f"P{number}",), uses=uses)
    return replace(
        one,
        number=number,
        stage=stage,
        minutes=Fraction(minutes),
        wait_hours=Fraction(hours),
        clamps=((kind, clamps, 4),),
    )


def done(stages: Sequence[StageWork]) -> Fraction:
    return max(one.out for one in sessions(stages))


def test_the_order_that_is_done_soonest() -> None:
    """By hand, 10 min at the bench each, four clamps. As written the first has them all for 8 h, the second for 12 h
    from 8 h 10 on, the third takes up the second after 20 h 20, with other clamps, 12 h: done after 32 h 30. The second
    first: out after 12 h 10; the third then, out after 24 h 20; the first beside it, out after 20 h 30: 24 h 20."""
    written = [made(1, 10, 8, 4), made(2, 10, 12, 4), made(3, 10, 12, 2, ("S2",), "long")]
    assert done(written) == Fraction(32 * 60 + 30, 60)
    best = quickest(written)
    assert [work.number for work in best] == [2, 3, 1]
    assert done(best) == Fraction(24 * 60 + 20, 60)
    assert quickest(best) == tuple(best)


def test_of_two_orders_as_quick_the_one_with_fewer_visits() -> None:
    """By hand, 10 min each, four clamps of a kind. The first is out after 8 h 10, and the last takes it up then, until
    32 h 20. The third waits for the bars of the second, out after 1 h 20: a visit of its own. It can be made with the
    last as well."""
    written = [
        made(1, 10, 8, 4, kind="long"),
        made(2, 10, 1, 4),
        made(3, 10, 1, 4),
        made(4, 10, 24, 2, ("S1",), "long"),
    ]
    assert [one.at_once for one in sessions(written)] == [False, True, False, False]
    best = quickest(written)
    assert [work.number for work in best] == [1, 2, 4, 3]
    assert [one.at_once for one in sessions(best)] == [False, True, False, True]
    assert done(written) == done(best) == Fraction(32 * 60 + 20, 60)


def test_clamps_that_come_off_in_the_same_minute_are_free() -> None:
    """By hand: the first is out after 20 min, when the third is begun; never more than four bars hold anything."""
    soon = replace(made(1, 10, 1, 2), wait_hours=10 * HOUR)
    assert more_clamps([soon, made(2, 10, 8, 2), made(3, 10, 8, 2)])[0] == {}


@pytest.mark.thorough
def test_no_order_is_quicker_by_trying_all_of_them() -> None:
    """All orders in which each stage comes after what it takes up, of 60 glue-ups with up to six stages, and of three
    with seven, of which not every order is tried."""
    for seed in range(60):
        rng = random.Random(seed)
        held_against_all(rng, rng.randint(3, 6))
    for seed in (203, 206, 217):
        held_against_all(random.Random(seed), 7)


def held_against_all(rng: random.Random, count: int) -> None:
    stages = []
    for number in range(1, count + 1):
        uses = tuple(f"S{n}" for n in range(1, number) if rng.random() < 0.25)
        minutes, hours, clamps = rng.choice((10, 20, 40)), rng.choice((1, 4, 8, 12, 24)), rng.randint(1, 4)
        stages.append(made(number, minutes, hours, clamps, uses))
    every = []
    for order in permutations(stages):
        place = {work.stage.title: i for i, work in enumerate(order)}
        if all(place[use] < place[work.stage.title] for work in order for use in work.stage.uses):
            every.append(done(order))
    assert done(quickest(stages)) - min(every) < 1  # for less than an hour the order stays as it is


def test_more_clamps_where_they_are_what_is_waited_for() -> None:
    """By hand: two stages of four clamps each and 8 h, four on the wall: done after 16 h 20; with four more after
    8 h 20, when the second is begun 10 min after the first."""
    stages = [made(1, 10, 8, 4), made(2, 10, 8, 4)]
    assert done(stages) == Fraction(16 * 60 + 20, 60)
    more, soon = more_clamps(stages)
    assert more == {"bar": 4}
    assert soon == Fraction(8 * 60 + 20, 60)
    assert more_clamps([made(1, 10, 8, 2), made(2, 10, 8, 2)])[0] == {}


def test_a_sooner_order_is_told() -> None:
    """The two orders above: done after 24 h 20 = 24.3 h instead of 32 h 30; and as long, with one visit less."""

    def told(*works: StageWork) -> str:
        return soonest_words(cast(Job, SimpleNamespace(stages=works)))

    sooner = told(made(1, 10, 8, 4), made(2, 10, 12, 4), made(3, 10, 12, 2, ("S2",), "long"))
    assert sooner.startswith("Finished sooner in the order 2, 3 and 1: 24.3 h instead of 32.5 h.")
    last = made(4, 10, 24, 2, ("S1",), "long")
    fewer = told(made(1, 10, 8, 4, kind="long"), made(2, 10, 1, 4), made(3, 10, 1, 4), last)
    assert fewer.startswith("In the order 1, 2, 4 and 3 it takes as long, with fewer visits to the bench.")
    assert told(made(1, 10, 8, 4)) == ""
