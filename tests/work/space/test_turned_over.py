"""Solids turned over, as when a piece is tried the wrong way, against manifold3d."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from shopdocs.core.box import Ticks
from shopdocs.core.length import ZERO, Length
from shopdocs.core.outline import Side
from shopdocs.work.space.likeness import TURNS, Turn
from shopdocs.work.space.placed import OWN_POSE, PIECE_AXES, Cuboid, FeatureKind, Flare, PlacedPiece, face_of
from shopdocs.work.space.turning import lying
from tests.meshes import of_cells


def corner(kind: FeatureKind, axis: int, flare: Flare) -> PlacedPiece:
    """A block of 90 x 50 x 20 with one cut at its end B, its far edge and its back, through along an axis."""
    low = tuple(ZERO if k == axis else Length(at) for k, at in enumerate((40, 15, 8)))
    cut = Cuboid(kind, (low[0], low[1], low[2]), (Length(90), Length(50), Length(20)), flare=flare)
    zero = (ZERO, ZERO, ZERO)
    return PlacedPiece("P", "part", zero, Length(90), Length(50), Length(20), OWN_POSE, (cut,))


def outlined(axis: int) -> PlacedPiece:
    """An uneven triangle is cut out, that no turn leaves where it is."""
    first, second = (k for k in range(3) if k != axis)
    at = (40, 15, 8)
    far = (90, 50, 20)
    spots = [(at[first], far[second]), (far[first], at[second] + 3), (far[first] - 9, far[second])]
    flat = [(Length(a), Length(b)) for a, b in spots]
    waste = tuple(Side(a, b) for a, b in zip(flat, (*flat[1:], flat[0]), strict=True))
    flare = Flare(PIECE_AXES[first], face_of(second, False), Length(far[first] - at[first]) / 2, waste=waste)
    return corner(FeatureKind.CUT_OUT, axis, flare)


def compound() -> PlacedPiece:
    """An end that takes 12 off toward the far edge, and 5 more toward the back."""
    cut = Cuboid(
        FeatureKind.END_CUT,
        (Length(73), ZERO, ZERO),
        (Length(90), Length(50), Length(20)),
        flare=Flare(
            PIECE_AXES[1],
            face_of(0, False),
            Length(50),
            only=face_of(1, True),
            skew=Length(5),
            skew_to=face_of(2, True),
        ),
    )
    zero = (ZERO, ZERO, ZERO)
    return PlacedPiece("P", "part", zero, Length(90), Length(50), Length(20), OWN_POSE, (cut,))


SHAPES = {"along": outlined(0), "across": outlined(1), "deep": outlined(2), "compound": compound()}


@pytest.mark.parametrize(("name", "turn"), list(product(SHAPES, TURNS)))
def test_what_is_turned_over_is_the_same_wood_turned(name: str, turn: Turn) -> None:
    ticks = Ticks.of(list(SHAPES[name].lengths())).fine()
    solid = SHAPES[name].solid(ticks)
    matrix = np.zeros((3, 4))
    for k, (source, back) in enumerate(zip(turn.source, turn.reverse, strict=True)):
        matrix[k, source] = -1 if back else 1
    own, wanted = of_cells(lying(solid, turn), ticks.per_mm), of_cells(solid, ticks.per_mm).transform(matrix)
    assert wanted.volume() < 90 * 50 * 20 - 100  # something is cut away
    assert (own - wanted).volume() + (wanted - own).volume() < 1e-3 * wanted.volume()
