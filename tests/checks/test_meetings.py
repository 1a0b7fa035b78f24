"""How far a dowel's hole runs into the cut of another joint: by hand."""

from __future__ import annotations

import pytest

from shopdocs.checks.meetings import _bored
from shopdocs.core.length import ZERO, Length
from shopdocs.model.joining import Face
from shopdocs.model.parts import Direction
from shopdocs.work.space.placed import Bore, Cuboid, FeatureKind, PlacedPiece, Pose, Toward


@pytest.mark.parametrize(
    ("deep", "across", "shared"),
    [
        (20, 20, None),  # it ends where the mortise begins
        (21, 20, 1),
        (60, 20, 20),  # through the mortise and on
        (21, 6, None),  # its round of 8 reaches to 10, where the mortise begins beside it
        (21, 7, 1),
    ],
)
def test_how_deep_a_dowel_hole_lies_in_a_mortise(deep: int, across: int, shared: int | None) -> None:
    """A piece 90 x 40 x 20 with a mortise 20 to 40 from end A and 10 to 30 from the face edge, through its thickness; a
    hole of 8 in end A, in the middle of the thickness."""
    x, y, z = (Toward(direction) for direction in Direction)
    size = Length(90), Length(40), Length(20)
    piece = PlacedPiece("A", "part", (ZERO, ZERO, ZERO), *size, Pose(x, y, z), (), "oak")
    cut = Cuboid(FeatureKind.MORTISE, (Length(20), Length(10), ZERO), (Length(40), Length(30), Length(20)))
    hole = Bore(FeatureKind.DOWEL_HOLE, Face.A, (ZERO, Length(across), Length(10)), Length(8), Length(deep))
    assert _bored(piece, hole, cut) == (None if shared is None else Length(shared))
