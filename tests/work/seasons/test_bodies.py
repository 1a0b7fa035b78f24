"""What hangs together without one piece, against walking through all that is left."""

from __future__ import annotations

import random

from shopdocs.core.box import Box
from shopdocs.work.seasons.bodies import Bodies, together
from shopdocs.work.seasons.room_beside import _outermost

ROUNDS = 60


def walked(ways: dict[str, set[str]], without: str) -> list[set[str]]:
    """The pieces that a walk reaches from each neighbour of the one that is taken away."""
    found: list[set[str]] = []
    for start in sorted(ways[without]):
        if any(start in body for body in found):
            continue
        body, todo = {start}, [start]
        while todo:
            for near in ways[todo.pop()] - body - {without}:
                body.add(near)
                todo.append(near)
        found.append(body)
    return found


def test_bodies_without_each_piece_of_random_nets() -> None:
    chance = random.Random(41)
    parted = 0
    for _ in range(ROUNDS):
        marks = [f"P{i}" for i in range(chance.randint(2, 14))]
        ways: dict[str, set[str]] = {mark: set() for mark in marks}
        for _ in range(chance.randint(0, len(marks) + 4)):
            one, other = chance.sample(marks, 2)
            ways[one].add(other)
            ways[other].add(one)
        kinds = [{mark for mark in marks if chance.random() < share} for share in (0.2, 0.5)]
        bodies = Bodies(ways, kinds)
        for without in marks:
            expected = walked(ways, without)
            parted += len(expected) > 1
            named: dict[str, set[str]] = {}
            for mark in marks:
                body = bodies.body(without, mark)
                if body is not None:
                    named.setdefault(body, set()).add(mark)
            assert sorted(map(sorted, named.values())) == sorted(map(sorted, expected))
            for body, inside in named.items():
                assert [bodies.counted(without, body, kind) for kind in (0, 1)] == [len(inside & k) for k in kinds]
    assert parted > ROUNDS


def test_what_pairs_tie_together() -> None:
    assert together(6, [(4, 1), (1, 3), (5, 0)]) == [[0, 5], [1, 3, 4], [2]]


def test_what_swells_into_a_gap_is_named_by_the_pieces_at_its_ends() -> None:
    """By hand: of three boards on edge upon each other A stands on the floor of the opening, C reaches under its top, B
    neither; D beside them reaches from the one to the other."""
    levels = {"A": (0, 50), "B": (50, 80), "C": (80, 120), "D": (0, 120)}
    boxes = [Box((0, 0, low), (10, 300, high)) for low, high in levels.values()]
    assert _outermost(boxes, range(4), range(4), 2, list(levels)) == ("A", "C", "D")
    assert _outermost(boxes, range(3), range(3), 2, list("ABC")) == ("A", "C")
    assert _outermost(boxes, range(4), [1, 2], 2, ["B", "C"]) == ("C",)
