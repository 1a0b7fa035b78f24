"""Volume and skin of rounds, against worked examples and against bodies of revolution of manifold3d."""

from __future__ import annotations

import math
import random
from fractions import Fraction

import manifold3d
import pytest

from shopdocs.core.length import Length
from shopdocs.core.rounds import Round
from tests.examples import some

SEGMENTS = 4096  # of a circle: its area is short by 4e-7 of itself, (2 pi / n)² / 6


def inches(*spots: tuple[str, str]) -> Round:
    return Round(tuple((Length.inches(along), Length.inches(diameter)) for along, diameter in spots))


def test_a_cylinder() -> None:
    """1 in across, 14 in long: pi / 4 x 14 = 10.99557 in³, and pi x 14 = 43.98230 in² of skin."""
    rung = inches(("0", "1"), ("14", "1"))
    assert float(rung.volume) / 25.4**3 == pytest.approx(10.99557, abs=1e-5)
    assert rung.skin / 25.4**2 == pytest.approx(43.98230, abs=1e-5)


def test_a_cone_with_a_step() -> None:
    """A frustum 3 in long from 1 to 9 in across (slant height 5: 3-4-5), volume pi x 3 (1 + 9 + 81) / 12 = 71.47123 in³
    and skin pi (1 + 9) / 2 x 5 = 78.53982 in²; then a step to 2 in and a cylinder 1 in long: pi = 3.14159 in³ and
    2 pi in², and a ring of pi (81 - 4) / 4 = 60.47566 in²."""
    turned = inches(("0", "1"), ("3", "9"), ("3", "2"), ("4", "2"))
    assert float(turned.volume) / 25.4**3 == pytest.approx(71.47123 + 3.14159, abs=1e-4)
    assert turned.skin / 25.4**2 == pytest.approx(78.53982 + 6.28319 + 60.47566, abs=1e-4)
    assert turned.at(Length.inches("3/2")) == Length.inches(5)
    assert turned.at(Length.inches(3)) == Length.inches(9), "the larger one of a step"
    assert turned.at(Length.inches("9/2")) is None


def random_round(pick: random.Random, most: int = 40) -> Round:
    """A round of 2 to 7 diameters with steps here and there, as thick as `most` millimetres at most."""
    places = sorted(pick.sample(range(0, 600), pick.randint(2, 6)))
    spots: list[tuple[Length, Length]] = []
    for number, place in enumerate(places):
        first = pick.randint(8, most)
        spots.append((Length(place), Length(first)))
        if 0 < number < len(places) - 1 and pick.random() < 0.3:
            spots.append((Length(place), Length(first // 2 + 3 if first != first // 2 + 3 else first + 1)))
    return Round(tuple(spots))


def revolved(turned: Round, segments: int) -> manifold3d.Manifold:
    """The round as a body of revolution about z."""
    side = [(float((diameter / 2).mm), float(along.mm)) for along, diameter in turned.spots]
    outline = [(0.0, side[0][1]), *side, (0.0, side[-1][1])]
    return manifold3d.Manifold.revolve(manifold3d.CrossSection([outline]), segments)


@pytest.mark.parametrize("seed", range(some(100)))
def test_random_rounds_against_bodies_of_revolution(seed: int) -> None:
    turned = random_round(random.Random(seed))
    body = revolved(turned, SEGMENTS)
    assert float(turned.volume) == pytest.approx(body.volume(), rel=2e-6)
    ends = math.pi / 4 * sum(turned.spots[k][1].float_mm() ** 2 for k in (0, -1))
    assert turned.skin + ends == pytest.approx(body.surface_area(), rel=2e-6)


def test_the_same_from_the_other_end() -> None:
    turned = random_round(random.Random(7))
    back = turned.from_other_end(Length(600))
    assert back.volume == turned.volume and back.from_other_end(Length(600)) == turned
    assert isinstance(turned.volume, Fraction)
