"""Totals: the sum of the pieces, by the published rule, whatever the order of the keys and the unit of the build.

The rule of board measure: thickness x width x length in inches over 144, thickness under 1 in counted as 1 in, by rough
sizes (US Navy Engineering Aid training manual, board measure; G. W. Danforth, Lumber Measurement). Quarters: n/4 is n
quarters of an inch of rough thickness (NHLA Rules for the Measurement & Inspection of Hardwood & Cypress).
"""

from __future__ import annotations

import random
from collections import Counter
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopdocs.model.parts import Price, PriceUnit
from shopdocs.pipeline import check_build
from shopdocs.work.cut_list import cut_groups
from shopdocs.work.lumber_needs import Amount, MaterialNeed, needs, price_of
from tests.values import replace

SAMPLES = sorted((Path(__file__).parents[2] / "sample_builds").glob("*/build.yaml"))
MM_IN = Fraction(254, 10)
# What the shop file below allows, in inches.
WIDER, LONGER, WASTE = Fraction(1, 4), Fraction(1), Fraction(15, 100)
SHOP = "shop: {units: in, milling: {thickness: 1/8, width: 1/4, length: 1}, waste: 15 %}\n"

Part = tuple[int, Fraction, Fraction, int]  # quarters, width and length in inches, count


def sixteenths(low: int, high: int) -> st.SearchStrategy[Fraction]:
    return st.integers(low * 16, high * 16).map(lambda n: Fraction(n, 16))


parts = st.lists(
    st.tuples(st.sampled_from([3, 4, 5, 6, 8, 12]), sixteenths(1, 12), sixteenths(2, 60), st.integers(1, 12)),
    min_size=1,
    max_size=8,
)


def inches(value: Fraction) -> str:
    return f"{value.numerator}/{value.denominator} in"


def millimetres(value: Fraction) -> str:
    exact = value * MM_IN
    return f"{exact.numerator} mm / {exact.denominator}"


def described(members: list[Part], units: str) -> str:
    """A build of these members, each a quarter of an inch thinner than its stock."""
    length = inches if units == "in" else millimetres
    used = sorted({quarters for quarters, *_ in members})
    lines = [f"build: {{title: Random, mark: R, units: {units}}}", "materials:"]
    lines += [f"  oak {quarters}/4: {{kind: hardwood}}" for quarters in used]
    lines.append("parts:")
    for number, (quarters, width, long, count) in enumerate(members):
        thick = Fraction(quarters, 4) - Fraction(1, 4)
        lines += [
            f"  member {number}:",
            f"    material: oak {quarters}/4",
            f"    thickness: {length(thick)}",
            f"    width: {length(width)}",
            f"    length: {length(long)}",
            f"    count: {count}",
            f"    mark: P{number}x",
        ]
    return "\n".join(lines) + "\n"


def board_feet(quarters: int, width: Fraction, length: Fraction) -> Fraction:
    return max(Fraction(quarters, 4), Fraction(1)) * width * length / 144


def needs_of(folder: Path, text: str) -> tuple[MaterialNeed, ...]:
    (folder / "build.yaml").write_text(text, "utf-8")
    (folder / "shop.yaml").write_text(SHOP, "utf-8")
    build, shop, problems = check_build(str(folder / "build.yaml"))
    assert build is not None
    assert [problem for problem in problems if not problem.severity] == []
    return needs(build, shop, cut_groups(build, shop))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(members=parts, units=st.sampled_from(["in", "mm"]))
def test_board_feet_of_any_build_by_the_published_rule(tmp_path: Path, members: list[Part], units: str) -> None:
    found = {need.material.name: need for need in needs_of(tmp_path, described(members, units))}
    for quarters in {quarters for quarters, *_ in members}:
        own = [(width, long, count) for q, width, long, count in members if q == quarters]
        net = sum((board_feet(quarters, w, n) * count for w, n, count in own), Fraction(0))
        rough = sum((board_feet(quarters, w + WIDER, n + LONGER) * count for w, n, count in own), Fraction(0))
        need = found[f"oak {quarters}/4"]
        assert need.net.board_feet == net
        assert need.rough.board_feet == rough
        assert need.buy.board_feet == rough * (1 + WASTE)
        assert need.sawn == sum(count for *_, count in own)


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(members=parts)
def test_the_same_members_in_another_unit_come_to_the_same(tmp_path: Path, members: list[Part]) -> None:
    one, other = (needs_of(tmp_path, described(members, units)) for units in ("in", "mm"))
    assert [(need.net, need.rough, need.buy) for need in one] == [(n.net, n.rough, n.buy) for n in other]


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(members=parts, seed=st.randoms(use_true_random=False))
def test_the_sum_of_the_pieces_is_the_total(tmp_path: Path, members: list[Part], seed: random.Random) -> None:
    """Each member described alone comes to its share; the shares add up to the whole in any order."""
    whole = Counter(
        {need.material.name: need.rough.board_feet for need in needs_of(tmp_path, described(members, "in"))}
    )
    shares: Counter[str] = Counter()
    order = list(members)
    seed.shuffle(order)
    for member in order:
        for need in needs_of(tmp_path, described([member], "in")):
            shares[need.material.name] += need.rough.board_feet
    assert shares == whole


def shuffled(value: Any, seed: random.Random) -> Any:
    """The same keys with the same values, written in another order."""
    if isinstance(value, dict):
        pairs = [(key, shuffled(inner, seed)) for key, inner in value.items()]
        seed.shuffle(pairs)
        return dict(pairs)
    return [shuffled(inner, seed) for inner in value] if isinstance(value, list) else value


def with_keys_shuffled(path: Path, seed: int) -> str:
    tree = yaml.load(path.read_text("utf-8"), Loader=yaml.BaseLoader)
    return yaml.safe_dump(shuffled(tree, random.Random(seed)), sort_keys=False, allow_unicode=True, width=1000)


@pytest.mark.thorough
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.parent.name)
def test_the_order_of_the_keys_changes_no_total(path: Path, tmp_path: Path) -> None:
    def totals(build_file: Path) -> tuple[dict[str, Any], Counter[Any]]:
        build, shop, problems = check_build(str(build_file), str(path.with_name("shop.yaml")))
        assert build is not None
        assert [problem for problem in problems if not problem.severity] == []
        groups = cut_groups(build, shop)
        by_name = {
            need.material.name: (need.net, need.rough, need.buy, need.sawn) for need in needs(build, shop, groups)
        }
        sizes = Counter(
            (row.part.name, row.finished, row.joinery, row.rough, len(row.pieces)) for g in groups for row in g.rows
        )
        return by_name, sizes

    expected = totals(path)
    for seed in range(3):
        other = tmp_path / f"{seed}.yaml"
        other.write_text(with_keys_shuffled(path, seed), "utf-8")
        assert totals(other) == expected


@pytest.mark.parametrize(
    ("per", "price"),
    # 30 board feet, 0.07 m³, 4 m² and 6.096 m, which are 20 ft of 304.8 mm, at 2.50 each; 3 sheets
    [
        (PriceUnit.BOARD_FOOT, "75"),
        (PriceUnit.CUBIC_METRE, "0.175"),
        (PriceUnit.SQUARE_METRE, "10"),
        (PriceUnit.FOOT, "50"),
        (PriceUnit.METRE, "15.24"),
        (PriceUnit.SHEET, "7.5"),
        (PriceUnit.PIECE, None),  # how many pieces of which size is not told by an amount
    ],
)
def test_the_price_of_an_amount_by_every_unit(per: PriceUnit, price: str | None) -> None:
    amount = Amount(Fraction(30), Fraction("0.07"), Fraction(4), Fraction("6.096"))
    build, _, _ = check_build(str(SAMPLES[0]))
    assert build is not None
    wood = replace(build.materials[0], price=Price(Fraction("2.5"), per))
    assert price_of(wood, amount, 3) == (None if price is None else Fraction(price))
    assert price_of(replace(wood, price=None), amount, 3) is None
    nothing = Amount(Fraction(0), Fraction("0.07"))  # a sheet has no board feet, lumber no area
    if per in (PriceUnit.BOARD_FOOT, PriceUnit.SQUARE_METRE, PriceUnit.METRE, PriceUnit.FOOT):
        assert price_of(wood, nothing, None) is None
