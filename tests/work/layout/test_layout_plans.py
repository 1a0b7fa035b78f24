"""Whatever the job, a cutting plan can be sawn as numbered and keeps grain, kerf, counts, stock and groups."""

from __future__ import annotations

import subprocess
import sys
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopdocs.work.layout import BOARD, FIRST, RIP, SHEET, Job, Rect, Saw, Stock, Want, lay_out
from shopdocs.work.layout.tree import LEAF, NOTHING, ROW, STACK, Node, carve, codes, group
from tests.work.layout_replay import replay

sizes = st.integers(1, 40)


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    wants = []
    for i in range(draw(st.integers(1, 7))):
        wants.append(
            Want(
                f"p{i}",
                draw(st.integers(1, 30)),
                draw(st.integers(1, 20)),
                draw(st.integers(0, 5)),
                draw(st.booleans()),
                draw(st.sampled_from((None, None, None, "front", "panel"))),
            )
        )
    stocks = []
    for i in range(draw(st.integers(0, 3))):
        length, width = draw(st.integers(5, 60)), draw(st.integers(5, 40))
        defects = []
        for _ in range(draw(st.sampled_from((0, 0, 1, 2)))):
            x, y = draw(st.integers(0, length - 1)), draw(st.integers(0, width - 1))
            whole = draw(st.booleans())
            defects.append(Rect(x, 0 if whole else y, draw(st.integers(1, 6)), width if whole else 3))
        stocks.append(
            Stock(
                f"s{i}",
                length,
                width,
                draw(st.integers(0, 50)),
                draw(st.sampled_from((None, None, 0, 1, 3))),
                draw(st.booleans()),
                tuple(defects),
            )
        )
    saw = Saw(
        draw(st.integers(0, 4)),
        draw(st.integers(0, 3)),
        draw(st.integers(0, 2)),
        draw(st.integers(0, 2)),
        draw(st.integers(0, 2)),
        draw(st.sampled_from((SHEET, BOARD))),
        3,
        2,
    )
    return Job(tuple(wants), tuple(stocks), saw)


@pytest.mark.thorough
@settings(max_examples=120, deadline=None)
@given(jobs(), st.integers(0, 3))
def test_first_and_better_plans_can_be_sawn(job: Job, seed: int) -> None:
    prices = []
    for effort in (FIRST, 40, 120):
        plan = lay_out(job, effort, seed, seconds=60)
        replay(job, plan)
        if not plan.unplaced:
            prices.append(plan.price)
        else:
            assert not prices, "more effort lost pieces"
    assert prices == sorted(prices, reverse=True)


@pytest.mark.thorough
@settings(max_examples=6, deadline=None)
@given(st.randoms(use_true_random=False), st.sampled_from((SHEET, BOARD)))
def test_whole_search_with_column_generation(rng: object, style: str) -> None:
    draw = rng.randrange  # type: ignore[attr-defined]
    wants = tuple(Want(f"p{i}", draw(20, 120), draw(5, 30), draw(1, 5), draw(3) == 0) for i in range(14))
    stocks = (
        Stock("long", 250, 40, 60),
        Stock("short", 130, 32, 22),
        Stock("rack", 180, 36, 0, 2, True),
        Stock("knotty", 200, 40, 25, 3, False, (Rect(60, 10, 10, 8),)),
    )
    job = Job(wants, stocks, Saw(kerf=2, end_trim=3, style=style))
    before = None
    for effort in (FIRST, 200, 1100, 2300):
        plan = lay_out(job, effort, 5, seconds=60)
        replay(job, plan)
        assert not plan.unplaced
        assert before is None or plan.price <= before
        before = plan.price


@st.composite
def sawn_trees(draw: st.DrawFn) -> Node:
    """A tree of rows and stacks with a code of its own for each piece."""
    count = draw(st.integers(1, 25))
    nodes: list[Node] = [(draw(st.integers(1, 9)), draw(st.integers(1, 9)), LEAF, 2 * i, ()) for i in range(count)]
    while len(nodes) > 1:
        many = draw(st.integers(2, 5))
        node = group(draw(st.sampled_from((ROW, STACK))), nodes[:many])
        nodes = [*nodes[many:], node]
    return nodes[0]


def sides(node: Node) -> tuple[int, int]:
    """Length and width from the leaves alone: along a group the sum, across it the largest."""
    w, h, kind, _, kids = node
    if kind == LEAF:
        return w, h
    inner = [sides(kid) for kid in kids]
    assert len(kids) > 1 and all(of != kind for _, _, of, _, _ in kids)
    along, across = zip(*inner, strict=True)
    return (sum(along), max(across)) if kind == ROW else (max(along), sum(across))


@given(sawn_trees(), st.integers(1, 12), st.randoms(use_true_random=False))
def test_taking_a_stretch_off_loses_no_piece(node: Node, many: int, rng: Random) -> None:
    removed: list[int] = []
    rest = carve(node, many, rng.random, removed)
    assert sorted([*codes(rest), *removed]) == sorted(codes(node))
    assert removed
    if rest is not NOTHING:
        assert sides(rest) == rest[:2]
        assert all(now <= before for now, before in zip(rest[:2], node[:2], strict=True))


@pytest.mark.thorough
def test_boards_with_many_small_pieces_can_be_sawn() -> None:
    """Enough rounds for the search to take crowded boards apart, one of them parted by a defect."""
    wants = tuple(Want(f"p{i}", 8 + 5 * i % 13, 6 + 7 * i % 11, 3, i % 3 == 0) for i in range(20))
    stocks = (Stock("sheet", 90, 60, 100), Stock("knotty", 90, 60, 60, 1, False, (Rect(40, 25, 6, 6),)))
    before = None
    for effort in (FIRST, 1000, 1500):
        plan = lay_out(Job(wants, stocks, Saw(kerf=1)), effort, 2, seconds=60)
        replay(Job(wants, stocks, Saw(kerf=1)), plan)
        assert not plan.unplaced
        assert before is None or plan.price <= before
        before = plan.price


@pytest.mark.parametrize("style", [SHEET, BOARD])
def test_same_input_and_seed_same_plan(style: str) -> None:
    wants = tuple(Want(f"p{i}", 30 + 7 * i % 50, 5 + 3 * i % 17, 1 + i % 4, i % 3 == 0) for i in range(12))
    job = Job(wants, (Stock("a", 160, 40, 50), Stock("b", 100, 30, 20, 4)), Saw(kerf=2, style=style))
    first = lay_out(job, 1200, 3, seconds=60)
    assert first == lay_out(job, 1200, 3, seconds=60)
    assert not first.capped


@settings(max_examples=40, deadline=None)
@given(jobs())
def test_board_style_crosscuts_stretches_before_it_rips(job: Job) -> None:
    """Once a clear stretch is ripped, a crosscut only brings single pieces to length."""
    solid = Job(
        job.wants,
        tuple(Stock(s.id, s.length, s.width, s.price, s.limit) for s in job.stocks),
        Saw(job.saw.kerf, style=BOARD),
    )
    for board in lay_out(solid, 30, seconds=60).boards:
        ripped: list[tuple[int, int, int, int]] = []
        for cut in board.cuts:
            o = cut.over
            inside = any(
                o.x >= r[0] and o.y >= r[1] and o.x + o.length <= r[2] and o.y + o.width <= r[3] for r in ripped
            )
            if cut.axis == RIP:
                ripped.append((o.x, o.y, o.x + o.length, o.y + o.width))
            elif inside:
                held = [
                    p
                    for p in board.pieces
                    if p.x >= o.x and p.x < o.x + o.length and p.y >= o.y and p.y < o.y + o.width
                ]
                assert len(held) == 1
                assert held[0].x + held[0].length == cut.at


def test_reasons_are_said() -> None:
    job = Job(
        (
            Want("beam", 500, 5),
            Want("plate", 50, 60),
            Want("slat", 50, 5, 30),
            Want("l", 90, 25, 1, False, "g"),
            Want("m", 90, 25, 1, False, "g"),
        ),
        (Stock("b", 100, 40, 9, 2),),
        Saw(kerf=1),
    )
    plan = lay_out(job, 200, seconds=60)
    replay(job, plan)
    why = {u.want: u.reason for u in plan.unplaced}
    assert why["beam"].startswith("too long")
    assert why["plate"].startswith("too wide")
    assert "exhausted" in why["slat"]
    assert "group 'g'" in why["l"]
    assert "group 'g'" in why["m"]
    assert plan.boards, "a partial plan is still a plan"
    nothing = lay_out(Job((Want("a", 5, 5),), ()), 10)
    assert nothing.unplaced[0].reason == "no stock"
    assert not nothing.boards


def test_boards_on_hand_come_first() -> None:
    job = Job((Want("a", 40, 10, 2),), (Stock("yard", 100, 20, 10), Stock("rack", 45, 12, 0, 2, True)))
    assert [b.stock for b in lay_out(job, FIRST).boards] == ["rack", "rack"]
    equal = Job((Want("a", 40, 10),), (Stock("yard", 100, 20, 10), Stock("rack", 100, 20, 10, 1, True)))
    assert [b.stock for b in lay_out(equal, FIRST).boards] == ["rack"]


@pytest.mark.parametrize(
    ("job", "says"),
    [
        (Job((Want("a", 0, 5),), ()), "'a' has no size"),
        (Job((Want("a", 5, 5, -1),), ()), "'a'.*negative count"),
        (Job((), (Stock("s", 5, 5, -1),)), "'s' has a negative"),
        (Job((), (Stock("s", 5, 5, 1, -2),)), "'s' has a neg"),
        (Job((), (Stock("s", 0, 5, 1),)), "'s' has no size"),
        (Job((), (), Saw(kerf=-1)), "kerf"),
        (Job((Want("a", 1, 1), Want("a", 1, 1)), ()), "two wants"),
        (Job((), (), Saw(style="zigzag")), "zigzag"),
        (Job((Want("a", 1, 1, 10**6),), (Stock("s", 5, 5, 1),)), "1000000 pieces"),
    ],
)
def test_numbers_without_sense_are_refused(job: Job, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        lay_out(job)


def test_first_answer_needs_no_solver() -> None:
    code = (
        "import sys; from shopdocs.work.layout import *; "
        "lay_out(Job((Want('a', 5, 5, 9),), (Stock('s', 12, 12, 3),)), FIRST); "
        "assert 'highspy' not in sys.modules and 'numpy' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


def test_the_solver_prints_nothing(capfd: pytest.CaptureFixture[str]) -> None:
    wants = tuple(Want(f"p{i}", 30 + 11 * i % 47, 7 + 5 * i % 13, 2) for i in range(14))
    lay_out(Job(wants, (Stock("a", 90, 40, 50),)), 1500, seconds=60)
    assert capfd.readouterr() == ("", "")
