"""Pieces that never met are not drawn into each other when their neighbours are drawn apart."""

from __future__ import annotations

import pytest

from shopdocs.core.length import Length
from shopdocs.model.parts import Direction
from shopdocs.work.scene.explode import explode
from shopdocs.work.space.contacts import find_contacts
from shopdocs.work.space.placed import PlacedPiece, Pose, Scene, Toward
from tests.work.scenes import spot

X, Y, Z = (Toward(direction) for direction in Direction)


@pytest.mark.parametrize(("far", "left"), [(20, "12.5"), (28, "17.5"), (40, "0"), (200, "160")])
def test_what_lies_in_the_way_keeps_its_place_in_line(far: int, left: str) -> None:
    """A leg to 40, a rail against it to 340, and a block `far` behind the rail, which nothing touches. Opened by 80 the
    rail moves 80 from the leg, and the block, which may stay or move as far, goes half way: 40. Of 200 that leaves
    200 + 40 - 80 = 160, of 40 nothing, and one 20 or 28 behind would be run into. It is kept behind the rail by a
    quarter of what was between them at the least, 5 or 7, and by all of it at the most; half way is 12.5 or 17.5."""
    pieces = [
        PlacedPiece("L", "leg", spot(0, 0, 0), Length("400.05"), Length(40), Length(40), Pose(Z, X, Y)),
        PlacedPiece("R", "rail", spot(40, 0, 0), Length(300), Length(40), Length(40), Pose(X, Z, Y)),
        PlacedPiece("B", "block", spot(340 + far, 0, 0), Length(100), Length(40), Length(40), Pose(X, Z, Y)),
    ]
    scene = Scene.of(pieces)
    leg, rail, block = (scene.ticks.length(offset[0]) for offset in explode(find_contacts(scene), Length(80)).offsets)
    assert rail - leg == Length(80)
    found = Length(far) + block - rail
    assert abs(found - Length(left)) <= Length("0.05")  # to the twentieth that the length of the leg has
