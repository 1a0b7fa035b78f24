"""An order of assembly as stages: each as long as the glue lets it be. Minutes by hand, with the usual pace: one and a
half minutes a joint, three quarters a clamp, three for square and wind, a clamp for two joints and two at the least."""

from __future__ import annotations

from fractions import Fraction
from types import SimpleNamespace

import pytest

from shopdocs.facts.working_time import WorkingTime
from shopdocs.model.build import Pace
from shopdocs.work.order.closing import Closing, Order, Outcome
from shopdocs.work.order.splitting import Draft, Limit, TooMuch, cut


def limit(low: str, together: str = "100") -> Limit:
    return Limit(Pace(), WorkingTime(Fraction(together), Fraction(low), Fraction(200), ()))


@pytest.mark.parametrize(
    ("joints", "minutes", "clamping"),
    # 0: 3; 1: 1.5 + 2 clamps 1.5 + 3; 4: 6 + 1.5 + 3 = 10.5; 5: 7.5 + 3 clamps 2.25 + 3 = 12.75; 8: 12 + 3 + 3
    [(0, 3, "3"), (1, 6, "4.5"), (4, 11, "4.5"), (5, 13, "5.25"), (6, 15, "5.25"), (8, 18, "6")],
)
def test_how_long_joints_take(joints: int, minutes: int, clamping: str) -> None:
    assert limit("20").minutes(joints) == minutes
    assert limit("20").clamping(joints) == Fraction(clamping)


@pytest.mark.parametrize(
    ("low", "together", "most"),
    [
        ("20", "100", 6),  # three quarters of 20 are the 15 minutes of six joints
        ("19.9", "100", 5),
        ("20", "9.75", 6),  # 15 less the 5.25 after the pieces are together
        ("20", "9.7", 5),  # of five 13 - 5.25 = 7.75
        ("7", "100", 0),  # one takes 6, three quarters of 7 are 5.25
        ("8", "3", 1),  # half of the time at the least goes by before the pieces are together: 3 of 6
        ("8", "2.9", 0),
    ],
)
def test_how_many_joints_the_glue_holds(low: str, together: str, most: int) -> None:
    found = limit(low, together)
    assert found.most == most
    assert found.holds(most) and not found.holds(most + 1)
    assert found.allows(SimpleNamespace(minutes=Fraction(low) * 3 / 4, together=Fraction(together)))
    assert not found.allows(SimpleNamespace(minutes=Fraction(low) * 3 / 4 + 1, together=Fraction(together)))
    assert not found.allows(SimpleNamespace(minutes=Fraction(1), together=Fraction(together) + 1))
    assert Limit(Pace(), None).most is None and Limit(Pace(), None).holds(10**6)


def move(what: str, onto: str, glued: int, dry: int = 0) -> Closing:
    """Pieces of one letter each that go together with so many joints."""
    joints = tuple((SimpleNamespace(glued=number < glued), None) for number in range(glued + dry))
    return Closing(tuple(what), tuple(what), tuple(onto), (0, True), joints)


def stages(
    *moves: Closing, later: tuple[Closing, ...] = (), made: dict[str, int] | None = None
) -> list[Draft] | TooMuch:
    """Six joints at once, numbered from 3; the things are single pieces but for F, a frame of two."""
    things = {name: (name,) for name in "ABCDEG"} | {"F": ("F1", "F2")}
    return cut(Order(Outcome.FOUND, moves, later), things, made or {}, 3, limit("20"))


def test_what_goes_together_grows_until_the_glue_runs_out() -> None:
    one, two, three = move("A", "B", 4), move("C", "A", 2, dry=5), move("D", "B", 1)
    assert stages(move("B", "", 0), one, two) == [Draft((), ("C", "A", "B"), (one, two), ("C", "A", "B"))]
    assert stages(one, two, three) == [
        Draft((), ("C", "A", "B"), (one, two), ("C", "A", "B")),
        Draft((3,), ("D",), (three,), ("D", "C", "A", "B")),
    ]
    assert stages(one, later=(two, three)) == stages(one, two, three)


def test_of_two_that_are_too_much_together_the_larger_is_left_to_set() -> None:
    one, two, three = move("A", "B", 3), move("C", "D", 4), move("A", "C", 1)
    assert stages(one, two, three) == [
        Draft((), ("C", "D"), (two,), ("C", "D")),
        Draft((3,), ("A", "B"), (one, three), ("A", "B", "C", "D")),
    ]


def test_what_was_glued_before_is_taken_up_and_apart_stays_apart() -> None:
    one, two = move("F", "A", 2), move("G", "E", 2)
    assert stages(one, two, made={"F": 2}) == [
        Draft((2,), ("A",), (one,), ("F1", "F2", "A")),
        Draft((), ("G", "E"), (two,), ("G", "E")),
    ]


def test_a_move_that_no_stage_holds_is_told() -> None:
    much = move("A", "B", 7)
    assert stages(move("C", "D", 1), much) == TooMuch(much, 7)
    assert stages(move("A", "B", 6, dry=4)) == [
        Draft((), ("A", "B"), (move("A", "B", 6, dry=4),), ("A", "B")),
    ]
