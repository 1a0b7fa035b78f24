"""The steps by which stages are proposed, one by one, worked out by hand."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from types import SimpleNamespace
from typing import Any

import pytest

from shopdocs.core.length import ZERO
from shopdocs.core.problems import Position
from shopdocs.facts.working_time import WorkingTime
from shopdocs.model.build import Pace
from shopdocs.model.joining import Face, Hardware, HolePlace
from shopdocs.work.order.proposal import (
    LONGER,
    NoProposal,
    Proposal,
    ProposedStage,
    _few,
    _least_open,
    _Planner,
    _small_first,
)
from shopdocs.work.order.splitting import Draft, Limit

HERE = Position("build.yaml", 7, 1)


def window(minutes: int, together: int) -> WorkingTime:
    return WorkingTime(Fraction(together), Fraction(minutes), Fraction(minutes), ())


@pytest.mark.parametrize(
    ("count", "told"),
    [
        (1, "'A'"),
        (6, "'A', 'B', 'C', 'D', 'E', 'F'"),
        (7, "'A', 'B', 'C', 'D', 'E', 'F' and 1 more"),
        (9, "'A', 'B', 'C', 'D', 'E', 'F' and 3 more"),
    ],
)
def test_six_of_many_are_named(count: int, told: str) -> None:
    assert _few("ABCDEFGHI"[:count]) == told


def draft(uses: tuple[int, ...], marks: str) -> Draft:
    return Draft(uses, tuple(marks), (), tuple(marks))


@pytest.mark.parametrize(
    ("plan", "order"),
    [
        ([draft((), "ABC"), draft((), "DE"), draft((0, 1), "ABCDE")], [1, 0, 2]),  # two pieces before three
        ([draft((), "AB"), draft((), "CD")], [0, 1]),  # alike: as they stand
        ([draft((1,), "ABC"), draft((), "ABCD"), draft((), "ABCDEF")], [1, 0, 2]),  # what is taken up, first
        ([draft((2,), "A"), draft((0,), "AB"), draft((), "ABCD")], [2, 0, 1]),
        ([], []),
    ],
)
def test_of_what_could_be_next_the_smallest_comes(plan: list[Draft], order: list[int]) -> None:
    assert _small_first(plan) == order


@pytest.mark.parametrize("enough", [11, 12, 19, 20, 21, 40, 41, 63, 160, 321, 599, 600])
def test_the_least_open_time_that_would_do(enough: int) -> None:
    """Tried from both sides: a minute less would not do. What a longer time allows for putting the pieces together
    grows with it: 8 of 10 min are four fifths."""
    asked: list[WorkingTime] = []

    def plan(longer: WorkingTime) -> Proposal | NoProposal:
        asked.append(longer)
        return Proposal((), None) if longer.low >= enough else NoProposal(HERE, "open-time", "", "")

    assert _least_open(window(10, 8), plan) == enough
    assert all(longer.together == longer.low * Fraction(4, 5) for longer in asked)
    assert len(asked) < 20  # halving, not minute by minute


def test_no_open_time_is_named_that_no_glue_has() -> None:
    """Ten hours are the most, whatever the glue in hand has; less than a minute is begun from two."""
    for low in (1, 10, 25, 400):
        asked: list[Fraction] = []

        def plan(longer: WorkingTime, asked: list[Fraction] = asked) -> Proposal | NoProposal:
            asked.append(longer.low)
            return NoProposal(HERE, "open-time", "", "")

        assert _least_open(window(low, low), plan) is None
        assert max(asked) == 600
    assert _least_open(window(1, 1), lambda longer: Proposal((), None)) == 2


def planner(hardware: tuple[Hardware, ...] = (), limit: Limit | None = None) -> Any:
    """A planner of a build that has nothing but this hardware."""
    made: Any = object.__new__(_Planner)
    made.build = SimpleNamespace(hardware=hardware)
    made.gluing = SimpleNamespace(at=HERE)
    made.limit = limit
    return made


def hardware(stage: str, on: str = "", holds: str = "") -> Hardware:
    places = tuple(HolePlace(piece, Face.FACE, ZERO, ZERO) for piece in on)
    return Hardware("knob", (), places, 1, stage=stage, holds=tuple(holds))


def stage(title: str, marks: str, uses: tuple[str, ...] = ()) -> ProposedStage:
    return ProposedStage(title, tuple(marks), uses, Fraction(9), 1, marks=tuple(marks))


STAGES = [stage("Left", "AB"), stage("Right", "CD"), stage("Whole", "ABCDE", ("Left", "Right"))]


@pytest.mark.parametrize(
    ("named", "titles", "uses"),
    [
        (hardware("Side", on="B"), "Side Right Whole", "Side Right"),  # the first of two that have it
        (hardware("Side", on="D"), "Left Side Whole", "Left Side"),
        (hardware("Side", on="AC"), "Left Right Side", "Left Right"),  # together in the last alone
        (hardware("Side", on="CX"), "Left Side Whole", "Left Side"),  # never together: the first that has one
        (hardware("Side", holds="CD"), "Left Side Whole", "Left Side"),  # by what it holds, where it has no place
        (hardware("Side", on="A", holds="CD"), "Side Right Whole", "Side Right"),
        (hardware("Side", on="X"), "Left Right Side", "Left Right"),  # on nothing that is glued: the last
        (hardware("Right", on="A"), "Left Right Whole", "Left Right"),  # there is one of that title
        (hardware("", on="A"), "Left Right Whole", "Left Right"),
    ],
)
def test_a_stage_that_hardware_names_keeps_its_title(named: Hardware, titles: str, uses: str) -> None:
    found = planner((named,))._named_by_hardware(STAGES)
    assert [each.title for each in found] == titles.split()
    assert [each.uses for each in found] == [(), (), tuple(uses.split())]
    assert [each.marks for each in found] == [each.marks for each in STAGES]


def test_two_kinds_of_hardware_name_two_stages() -> None:
    both = (hardware("", on="A"), hardware("One", on="A"), hardware("Two", on="C"), hardware("One", on="D"))
    assert [each.title for each in planner(both)._named_by_hardware(STAGES)] == ["One", "Two", "Whole"]


def panels(name: str, strips: int, marks: str, minutes: int | None) -> list[ProposedStage] | NoProposal:
    """By the pace that a shop has by default: 1.5 min a seam, 0.75 min a clamp for two of them, 3 for square."""
    limit = Limit(Pace(), window(minutes, minutes) if minutes is not None else None)
    found: list[ProposedStage] | NoProposal = planner(limit=limit)._panels(
        SimpleNamespace(name=name, strips=strips), list(marks)
    )
    return found


@pytest.mark.parametrize(
    ("strips", "marks", "minutes", "rows", "took"),
    [
        # 24 min open, three quarters 18: 8 seams (12 + 3 + 3) and no more
        (3, "ABCDE", 24, "ABCD E", (18, 8)),  # 2 seams are 3 + 1.5 + 3 = 7.5 min, in whole minutes 8
        (9, "AB", 24, "A B", (18, 18)),
        (3, "ABCDE", None, "ABCDE", (22,)),  # 10 seams: 15 + 5 clamps 3.75 + 3 = 21.75
        (2, "A", 24, "A", (6,)),  # 1.5, two clamps though one would do for one seam, 3
    ],
)
def test_as_many_panels_at_once_as_the_glue_allows(
    strips: int, marks: str, minutes: int | None, rows: str, took: tuple[int, ...]
) -> None:
    found = panels("door", strips, marks, minutes)
    assert isinstance(found, list)
    assert ["".join(each.pieces) for each in found] == rows.split() == ["".join(each.marks) for each in found]
    assert [each.minutes for each in found] == list(took)
    assert [each.joints for each in found] == [(strips - 1) * len(row) for row in rows.split()]
    assert all(each.seams and each.uses == () for each in found)
    one = ["Door panel"]
    assert [each.title for each in found] == (
        one if len(found) == 1 else [f"Door panel {row[0]}" for row in rows.split()]
    )


def test_a_part_that_is_called_a_panel_is_not_called_so_twice() -> None:
    found = panels("side Panel", 2, "A", None)
    assert isinstance(found, list) and [each.title for each in found] == ["Side Panel"]


def test_a_panel_of_too_many_strips_is_refused_with_what_would_help() -> None:
    """9 seams: 13.5 + 5 clamps 3.75 + 3 = 20.25 min, in whole minutes 21, and three quarters of 24 are 18."""
    found = panels("door", 10, "AB", 24)
    assert isinstance(found, NoProposal)
    assert (found.at, found.code) == (HERE, "open-time")
    assert found.wrong == (
        "'A' is glued up from 10 strips at once: about 21 min to clamps tight by the shop's pace, and the glue stays "
        "open 24 min, a quarter of it kept in hand"
    )
    assert found.right == "take a glue that stays open longer, or glue up two narrower panels and join them (two parts)"
    assert LONGER.startswith("take a glue that stays open longer")


def held(clumps: Mapping[str, str]) -> list[list[str]]:
    """The clumps of these joints, 'A into B' by its pair of letters, 'dry' where it takes no glue."""
    made = planner()
    made.place = {mark: i for i, mark in enumerate("ABCDEFGH")}
    made.joints = [
        (SimpleNamespace(glued=how == "wet"), SimpleNamespace(entering=pair[0], receiving=pair[1]))
        for pair, how in clumps.items()
    ]
    found: list[list[str]] = made._clumps()
    return found


@pytest.mark.parametrize(
    ("joints", "clumps"),
    [
        ({"AB": "wet", "CD": "wet"}, ["AB", "CD"]),
        ({"FE": "wet", "DC": "wet", "EC": "wet", "BA": "wet"}, ["AB", "CDEF"]),
        ({"AB": "wet", "BC": "dry", "CD": "wet"}, ["AB", "CD"]),
        ({"AB": "wet", "BC": "wet", "CA": "wet"}, ["ABC"]),
        ({"AB": "dry"}, []),
    ],
)
def test_what_glue_ties_together(joints: Mapping[str, str], clumps: list[str]) -> None:
    assert held(joints) == [list(each) for each in clumps]
