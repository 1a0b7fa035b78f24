"""Single steps of the layout search, by hand: what is counted, what is taken, and what is looked at first."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from shopdocs.work.layout import slots
from shopdocs.work.layout.bounds import PriceBound
from shopdocs.work.layout.cover import Cover
from shopdocs.work.layout.knapsack import Need
from shopdocs.work.layout.packing import orders
from shopdocs.work.layout.tuning import STRONGEST


def cover(demand: int, *columns: tuple[int, dict[int, int]]) -> Any:
    """A set cover whose columns are boards, each of a stock and with so many pieces of each type. A row past the types
    stands for a limit of boards."""
    made: Any = object.__new__(Cover)
    made.task = SimpleNamespace(shapes=[SimpleNamespace(stock=stock) for stock, _ in columns])
    made.pool = SimpleNamespace(keys=[f"board {i}" for i in range(len(columns))], shape=lambda key: int(key.split()[1]))
    made.index, made.value, made.starts = [], [], [0]
    for _, holds in columns:
        made.index += [*holds, demand]
        made.value += [*map(float, holds.values()), 1.0]
        made.starts.append(len(made.index))
    return made


@pytest.mark.parametrize(
    ("most", "stock", "fully", "taken", "left", "rest"),
    [
        # a board of two of type 0 and one of type 1; 5 and 2 are wanted
        (9, {}, True, 2, [1, 0], {}),  # a third would be too many
        (1, {}, True, 1, [3, 1], {}),
        (9, {0: 1}, True, 1, [3, 1], {0: 0}),
        (9, {0: 0}, True, 0, [5, 2], {0: 0}),
        (9, {7: 0}, True, 2, [1, 0], {7: 0}),  # another stock is spent
        (9, {}, False, 3, [0, 0], {}),  # as long as any piece is wanted
        (9, {0: 5}, False, 3, [0, 0], {0: 2}),
        (0, {}, False, 0, [5, 2], {}),
    ],
)
def test_copies_of_a_board_are_taken_while_their_pieces_are_wanted(
    most: int, stock: dict[int, int], fully: bool, taken: int, left: list[int], rest: dict[int, int]
) -> None:
    wanted, spare = [5, 2], dict(stock)
    out = ["before"]
    made = cover(2, (3, {0: 9}), (0, {0: 2, 1: 1}), (4, {1: 9}))
    assert made.useful(1, most, wanted, spare, out, fully) == taken
    assert (wanted, spare) == (left, rest)
    assert out == ["before", *["board 1"] * taken]


def lying(*sizes: tuple[int, int, int]) -> Any:
    """Types of so wide, so high, so many to a group, on a board 100 wide and 10 high."""
    members = [[SimpleNamespace(as_it_lies=SimpleNamespace(w=w, h=h))] * many for w, h, many in sizes]
    return SimpleNamespace(
        demand=[1] * len(sizes),
        members=members,
        size=[w * h * many for w, h, many in sizes],
        shapes=[SimpleNamespace(areas=[SimpleNamespace(w=100, h=10), SimpleNamespace(w=20, h=4)])],
    )


def test_types_are_tried_by_area_by_longest_side_by_length_and_by_width() -> None:
    """By hand: areas 120, 90, 80, 64. A side counts by its share of the board: 4 of 10 are 40 %, 90 of 100 are 90 %,
    8 of 10 are 80 % whether it is 10 long or 8."""
    task = lying((30, 4, 1), (90, 1, 1), (10, 8, 1), (8, 8, 1))
    assert orders(task) == [[0, 1, 2, 3], [1, 2, 3, 0], [1, 0, 2, 3], [2, 3, 0, 1]]


def test_what_must_lie_together_comes_first_and_what_is_not_wanted_not_at_all() -> None:
    """The group of two is the smallest of all; equals come by their number."""
    task = lying((30, 4, 1), (5, 1, 2), (90, 8, 1), (30, 4, 1))
    assert all(order[0] == 1 for order in orders(task))
    assert orders(task)[0] == [1, 2, 0, 3]
    task.demand[2] = 0
    assert [sorted(order) for order in orders(task)] == [[0, 1, 3]] * 4
    empty = lying()
    empty.shapes = []
    assert orders(empty) == [[]] * 4


def test_the_needs_of_the_highest_bounds_are_looked_at_and_all_plain_ones() -> None:
    """Of twenty needs with bounds the highest dozen, then those without one, then those that ruled a choice out."""
    bounds: Any = object.__new__(PriceBound)
    needs = [Need(i, ()) for i in range(23)]
    high = [SimpleNamespace(bound=1 + (7 * i) % 20, need=needs[i]) for i in range(20)]
    plain = [SimpleNamespace(bound=0, need=need) for need in needs[20:22]]
    bounds.needs, bounds.ruled_out = [*plain[:1], *high, *plain[1:]], [needs[22]]
    found = bounds.strongest()
    best = sorted(high, key=lambda each: each.bound)[-STRONGEST:]
    assert found == [each.need for each in reversed(best)] + needs[20:22] + needs[22:]
    bounds.needs = [*high[:2], *plain]
    assert found[0].total == max(high, key=lambda each: each.bound).need.total
    top = sorted(high[:2], key=lambda each: -each.bound)
    assert bounds.strongest() == [each.need for each in top] + needs[20:22] * 2 + needs[22:]


def test_a_round_begins_with_the_plan_in_hand_and_ends_in_one_of_two_ways() -> None:
    """Boards 4 and 6 in hand, slots 0 to 3 free. A round drops board 6 and makes two, one of them given back; what is
    given up leaves all as it was, what is taken over frees the slot of board 6."""

    def hand() -> Any:
        state = SimpleNamespace(
            boards_now=2, loose_now=1, price=90, open_area=5, lap=11, made_now=3, free_now=4,
            next_boards_now=0, next_loose_now=0, next_price=0, next_open=0,
        )  # fmt: skip
        board = [SimpleNamespace(owner=0) for _ in range(8)]
        return SimpleNamespace(
            state=state, boards=[4, 6, 0, 0], next_boards=[0] * 4, loose=[8, 0, 0], next_loose=[0] * 3, stock=[2, 5],
            next_stock=[0, 0], made=[0] * 8, free=[0, 1, 2, 3, 0, 0, 0, 0], slots=SimpleNamespace(board=board),
        )  # fmt: skip

    def a_round(made: Any) -> tuple[int, int]:
        slots.begin(made)
        state = made.state
        assert (state.lap, state.made_now) == (12, 0)
        assert (made.next_boards[:2], made.next_loose[:1], made.next_stock) == ([4, 6], [8], [2, 5])
        assert (state.next_boards_now, state.next_loose_now, state.next_price) == (2, 1, 90)
        one, two = slots.take_slot(made), slots.take_slot(made)
        assert (one, two, state.free_now, state.made_now) == (3, 2, 2, 2)
        assert {made.slots.board[s].owner for s in (one, two)} == {12}
        made.next_boards[:3], state.next_boards_now = [4, one, two], 3
        made.next_loose[:2], state.next_loose_now = [8, 9], 2
        made.next_stock[:], state.next_price, state.next_open = [1, 4], 80, 3
        return one, two

    given_up = hand()
    a_round(given_up)
    slots.give_up(given_up)
    assert sorted(given_up.free[: given_up.state.free_now]) == [0, 1, 2, 3]
    assert (given_up.boards[:2], given_up.state.boards_now, given_up.state.price) == ([4, 6], 2, 90)

    taken_over = hand()
    one, two = a_round(taken_over)
    slots.drop_slot(taken_over)
    assert (taken_over.state.made_now, taken_over.state.free_now) == (1, 3)
    again = slots.take_slot(taken_over)
    assert again == two
    extra = slots.take_slot(taken_over)  # made, and not in the candidate
    slots.take_over(taken_over)
    state = taken_over.state
    assert taken_over.boards[:3] == [4, one, two] and state.boards_now == 3
    assert taken_over.loose[:2] == [8, 9] and state.loose_now == 2
    assert (taken_over.stock, state.price, state.open_area) == ([1, 4], 80, 3)
    assert sorted(taken_over.free[: state.free_now]) == sorted([0, 6, extra])
