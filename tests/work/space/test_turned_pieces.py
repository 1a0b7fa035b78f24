"""Turned pieces as solids, against bodies of revolution of manifold3d with as many strips."""

from __future__ import annotations

import random

import pytest

from shopdocs.core.box import Ticks
from shopdocs.core.length import Length
from shopdocs.model.parts import Direction
from shopdocs.work.shapes.carved import Carved
from shopdocs.work.shapes.clashing import volume_of
from shopdocs.work.shapes.hidden import outline
from shopdocs.work.shapes.projection import FRONT
from shopdocs.work.space.placed import STRIPS, PlacedPiece, Pose, Toward
from tests.core.test_rounds import random_round, revolved, with_pommels
from tests.examples import some

LONG, SIDE = Length(600), Length(40)


def placed(pick: random.Random, turned: object) -> PlacedPiece:
    """A piece of 40 x 40 x 600 lying any way."""
    ways = [Direction.X, Direction.Y, Direction.Z]
    pick.shuffle(ways)
    pose = Pose(*(Toward(way, pick.random() < 0.5) for way in ways))
    at = (Length(pick.randint(-50, 50)), Length(pick.randint(-50, 50)), Length(7))
    return PlacedPiece("P", "part", at, LONG, SIDE, SIDE, pose, turned=turned)  # type: ignore[arg-type]


@pytest.mark.parametrize("seed", range(some(100)))
def test_random_rounds_are_as_large_as_bodies_of_revolution(seed: int) -> None:
    """The round part by the same strips, what stays square as cuboids; every other one has pommels."""
    pick = random.Random(seed)
    turned = random_round(pick)
    if seed % 2:
        turned = with_pommels(turned, pick)
    piece = placed(pick, turned)
    ticks = Ticks.of([Length(1), *piece.lengths()]).fine()
    solid = piece.solid(ticks)
    assert isinstance(solid, Carved)
    square = float((turned.start + (LONG - turned.end)).mm) * 40 * 40
    square += sum(float((high - low).mm) for low, high in turned.pommels) * 40 * 40
    expected = revolved(turned, STRIPS).volume() + square
    assert sum(map(volume_of, solid.core)) / ticks.per_mm**3 == pytest.approx(expected, rel=1e-5)
    bounds = solid.bounds
    axis = piece.pose.build_axis(0)
    assert bounds.size[axis] == ticks.count(LONG)
    wide = SIDE if square else turned.thickest
    assert all(abs(bounds.size[k] - ticks.count(wide)) <= 1 for k in range(3) if k != axis), "it touches its stock"


def test_no_strip_is_drawn() -> None:
    """Of a cylinder across the view only its outline and its two ends are seen: four straight lines. The ends are rims
    of many pieces, all of which lie on one line there."""
    from shopdocs.core.rounds import Round

    turned = Round(((Length(0), SIDE), (LONG, SIDE)))
    at = (Length(0), Length(0), Length(0))
    pose = Pose(Toward(Direction.X), Toward(Direction.Z), Toward(Direction.Y))
    piece = PlacedPiece("P", "part", at, LONG, SIDE, SIDE, pose, turned=turned)
    ticks = Ticks.of([Length(1)]).fine()
    seen = outline([piece.solid(ticks)], FRONT, ticks).visible
    along = {(a[2], b[2]) for a, b in seen if a[0] != b[0]}
    assert along == {(0, 0), (40 * ticks.per_mm, 40 * ticks.per_mm)}
    assert {a[0] for a, b in seen if a[0] == b[0]} == {0, 600 * ticks.per_mm}


def test_a_cylinder_clashes_by_what_it_shares() -> None:
    """A cylinder of 40 across whose side reaches 10 into a block: the segment of a circle of radius 20 with a rise of
    10 has r² acos(1/2) - 10 sqrt(300) = 418.879 - 173.205 = 245.674 mm² (a 48-gon: a little less)."""
    from shopdocs.core.box import Box
    from shopdocs.core.rounds import Round
    from shopdocs.work.shapes.clashing import clash
    from shopdocs.work.shapes.solid import Solid

    turned = Round(((Length(0), SIDE), (LONG, SIDE)))
    pose = Pose(Toward(Direction.X), Toward(Direction.Z), Toward(Direction.Y))
    piece = PlacedPiece("P", "part", (Length(0),) * 3, LONG, SIDE, SIDE, pose, turned=turned)
    ticks = Ticks.of([Length(1)]).fine()
    n = ticks.per_mm
    block = Solid(Box((0, 0, 30 * n), (100 * n, 40 * n, 90 * n)))
    shared = clash(piece.solid(ticks), block) / n**3 / 100
    assert 245.674 * 0.99 < shared < 245.674
    beside = Solid(Box((0, 0, 40 * n), (100 * n, 40 * n, 90 * n)))
    assert clash(piece.solid(ticks), beside) == 0
