"""Batches: small enough for the cup, each for the joints it is spread on."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from shopdocs.facts.adhesives import Adhesive, adhesive
from shopdocs.facts.working_time import working_time
from shopdocs.model.build import Pace
from shopdocs.source.shop import default_shop
from shopdocs.work.order.mixing import LEAST_MIX, Mix, mix_of
from tests.values import replace

SHOP = default_shop()


def _named(kind: str) -> Adhesive:
    found = adhesive(kind)
    assert found is not None
    return found


def _mixed(kind: str, areas: list[tuple[int, Fraction]]) -> Mix:
    glue = _named(kind)
    found = mix_of(areas, glue, working_time(glue), SHOP)
    assert found is not None
    return found


def test_one_batch_by_hand() -> None:
    # 200 cm² of joint at 900 g/m² (structural epoxy, the heavy end) is 18 g, and a quarter more for cup and brush.
    found = _mixed("slow epoxy", [(7, Fraction(100, 10_000)), (8, Fraction(100, 10_000))])
    assert found.grams == Fraction("22.5")
    assert [portion.numbers for portion in found.portions] == [(7, 8)]


def test_a_full_cup_is_never_mixed() -> None:
    # 3 joints of 0.04 m² take 3 · 0.04 · 900 · 1.25 = 135 g: two batches, since 100 g is the data sheets' mass.
    found = _mixed("slow epoxy", [(n, Fraction(4, 100)) for n in (1, 2, 3)])
    assert [(portion.grams, portion.numbers) for portion in found.portions] == [(90, (1, 2)), (45, (3,))]
    assert [portion.minute for portion in found.portions] == [0, 2]  # after two joints of a minute each
    # Five-minute epoxy: no more than 50 g at once, so each joint of 45 g has a batch of its own.
    assert [portion.grams for portion in _mixed("fast epoxy", [(n, Fraction(4, 100)) for n in (1, 2, 3)]).portions] == [
        45,
        45,
        45,
    ]


def test_a_cup_may_be_just_full() -> None:
    # 900 g/m² and a quarter more are 1125 g/m²: 4/45 m² take the 100 g that a cup may hold, and no second one.
    for shares in ((1,), (Fraction(1, 2), Fraction(1, 2)), (Fraction(3, 5), Fraction(2, 5))):
        found = _mixed("slow epoxy", [(n, Fraction(4, 45) * share) for n, share in enumerate(shares, 1)])
        assert [(portion.grams, portion.numbers) for portion in found.portions] == [
            (100, tuple(range(1, len(shares) + 1)))
        ]


def test_no_batch_outlives_the_cup() -> None:
    # A fast epoxy has 3 min in the cup; at a minute a joint a batch serves three of ten small joints.
    found = _mixed("fast epoxy", [(n, Fraction(5, 10_000)) for n in range(1, 11)])
    assert [portion.numbers for portion in found.portions] == [(1, 2, 3), (4, 5, 6), (7, 8, 9), (10,)]
    slower = replace(SHOP, pace=Pace(spread=Fraction(3)))
    glue = _named("fast epoxy")
    by_hand = mix_of([(n, Fraction(5, 10_000)) for n in (1, 2)], glue, working_time(glue), slower)
    assert by_hand is not None
    assert by_hand.batches == 2
    # At 20 min for 0.1 m2 a joint of 0.01 m2, some 11 g, takes 2 min: two of them outlive the 3 min.
    large = [(n, Fraction(1, 100)) for n in (1, 2)]
    for slow, count in ((Pace(), 1), (Pace(area=Fraction(20)), 2)):
        mixed = mix_of(large, glue, working_time(glue), replace(SHOP, pace=slow))
        assert mixed is not None and mixed.batches == count


def test_a_pot_that_is_not_mixed_is_opened_once() -> None:
    found = _mixed("yellow PVA", [(n, Fraction(1)) for n in range(1, 5)])
    assert found.batches == 1
    assert not found.mixed


@given(st.lists(st.integers(1, 4000), min_size=1, max_size=40), st.sampled_from(["slow epoxy", "fast epoxy"]))
def test_batches_are_enough_and_none_too_large(square_centimetres: list[int], kind: str) -> None:
    glue = _named(kind)
    areas = [(n, Fraction(cm2, 10_000)) for n, cm2 in enumerate(square_centimetres, 1)]
    found = _mixed(kind, areas)
    assert glue.most_grams is not None
    assert all(LEAST_MIX <= portion.grams <= glue.most_grams for portion in found.portions)
    assert found.grams >= glue.grams(sum((area for _, area in areas), Fraction(0)))
    spread = [number for portion in found.portions for number in portion.numbers]
    assert list(dict.fromkeys(spread)) == [number for number, _ in areas]
    assert [portion.minute for portion in found.portions] == sorted(portion.minute for portion in found.portions)


def test_what_comes_ready_is_one_portion_and_at_hand_from_the_first_minute() -> None:
    # 200 cm² at 250 g/m² (yellow PVA, the heavy end of 150 to 250) is 5 g, and a quarter more stays in the brush.
    found = _mixed("yellow PVA", [(7, Fraction(100, 10_000)), (8, Fraction(100, 10_000))])
    assert not found.mixed and found.batches == 1
    assert [(portion.numbers, portion.minute) for portion in found.portions] == [((7, 8), 0)]
    assert (
        found.grams
        == found.needed
        == found.portions[0].grams
        == _named("yellow PVA").grams(Fraction(2, 100)) * Fraction(5, 4)
    )
