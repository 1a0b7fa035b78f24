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


def with_pommels(turned: Round, pick: random.Random) -> Round:
    """The same with one or two pommels, each within a cone of its own; as it is where it has no cones enough."""
    spots, pommels = list(turned.spots), []
    cones = [cone for cone in turned.cones() if cone.long > Length(8)]
    for cone in pick.sample(cones, min(len(cones), pick.randint(1, 2))):
        low, high = (cone.start[0] + cone.long * Fraction(k, 8) for k in sorted(pick.sample(range(1, 8), 2)))
        for at in (low, high):
            part = (at - cone.start[0]) / cone.long
            spots.append((at, cone.start[1] + (cone.end[1] - cone.start[1]) * part))
        pommels.append((low, high))
    spots.sort(key=lambda spot: spot[0])
    return Round(tuple(spots), tuple(sorted(pommels)))


def revolved(turned: Round, segments: int) -> manifold3d.Manifold:
    """Its round stretches as bodies of revolution about z."""
    body = manifold3d.Manifold()
    inside = [0, *sorted(float(end.mm) for pommel in turned.pommels for end in pommel), math.inf]
    side = [(float((diameter / 2).mm), float(along.mm)) for along, diameter in turned.spots]
    for low, high in zip(inside[::2], inside[1::2], strict=True):
        near = [spot for spot in side if low <= spot[1] <= high]
        outline = [(0.0, near[0][1]), *near, (0.0, near[-1][1])]
        body += manifold3d.Manifold.revolve(manifold3d.CrossSection([outline]), segments)
    return body


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


@pytest.mark.parametrize("seed", range(some(40)))
def test_random_pommels_against_bodies_of_revolution(seed: int) -> None:
    pick = random.Random(seed)
    turned = with_pommels(random_round(pick), pick)
    body = revolved(turned, SEGMENTS)
    assert float(turned.volume) == pytest.approx(body.volume(), rel=2e-6)
    rims = [diameter for at, diameter in turned.spots if any(at in stretch for stretch in turned.stretches)]
    ends = math.pi / 4 * sum(diameter.float_mm() ** 2 for diameter in rims)
    assert turned.skin + ends == pytest.approx(body.surface_area(), rel=2e-6)
    assert turned.from_other_end(Length(600)).from_other_end(Length(600)) == turned


def test_where_a_leg_with_a_pommel_is_round_and_where_square() -> None:
    """Turned from 0 to 23 of 28, with a block from 5 to 7: square 5 to 7 and 23 to 28, round the rest: 21."""
    leg = Round(
        tuple((Length(at), Length(10)) for at in (0, 5, 7, 23)),
        ((Length(5), Length(7)),),
    )
    assert [(a.float_mm(), b.float_mm()) for a, b in leg.squares(Length(28))] == [(5, 7), (23, 28)]
    assert leg.long == Length(21)
    assert leg.at(Length(6)) is None and leg.at(Length(7)) == Length(10)
    assert not leg.covers(Length(5), Length(7)) and leg.covers(Length(6), Length(8))
    assert leg.within(Length(7), Length(9)) and not leg.within(Length(4), Length(8))
    assert not Round(leg.spots, leg.pommels).throughout(Length(23)) and Round(leg.spots).throughout(Length(23))
