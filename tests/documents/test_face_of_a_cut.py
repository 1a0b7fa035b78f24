"""Which face a cut is said to be in, where it is open at two."""

from __future__ import annotations

from shopdocs.core.length import ZERO, Length
from shopdocs.documents.fitting.apart_words import opening
from shopdocs.model.joining import Face
from shopdocs.model.parts import Direction
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece, Pose, Toward
from tests.work.scenes import spot

X, Y, Z = (Toward(d) for d in Direction)
STILE = PlacedPiece("DL", "stile", (ZERO,) * 3, Length(370), Length(50), Length(20), Pose(Z, X, Y))


def cut(kind: FeatureKind, low: tuple[int, int, int], high: tuple[int, int, int]) -> Cuboid:
    return Cuboid(kind, spot(*low), spot(*high), joint="cut")


def test_a_hinge_is_let_into_the_edge() -> None:
    """A leaf 38 x 13, let in 2 deep at the arris of face edge and face side: a maker says it is in the edge (common
    practice, no source)."""
    leaf = cut(FeatureKind.RECESS, (30, 0, 0), (68, 2, 13))
    assert opening(STILE, leaf) is Face.EDGE


def test_a_groove_that_runs_out_at_both_ends_is_in_its_edge() -> None:
    groove = cut(FeatureKind.GROOVE, (0, 42, 7), (370, 50, 13))
    assert opening(STILE, groove) is Face.FAR_EDGE
