"""Where a long piece is broken on its drawing: what is measured stays in sight."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.core.length import Length
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.drawn.piece_drawing import Marked, PieceSheet
from shopdocs.model.joining import Face
from shopdocs.work.space.placed import Cuboid, FeatureKind
from tests.sample_jobs import BY_NAME, sample_job
from tests.values import replace

SHOWN_MM = 4  # of paper on both sides of the break, which is 3 wide


@pytest.mark.parametrize("wide_mm", [85, 100, 115, 130])
@pytest.mark.parametrize("under", [5, 6, 8])
def test_a_break_leaves_both_ends_of_a_long_groove(wide_mm: int, under: int) -> None:
    """The groove of a long rail runs along nearly all of it: the break can only be in the groove. Stubs of it shorter
    than the break is wide are read as two short slots."""
    job = sample_job(BY_NAME["threshold_bench"], "mm")
    assert job.space is not None
    rail = job.space.pieces["RF"]
    (groove,) = [f for f in rail.features if isinstance(f, Cuboid) and f.kind is FeatureKind.GROOVE]
    assert Length(0) < groove.lo[0] < rail.length / 10
    sheet = PieceSheet(Marked(Gauged(rail), {}), job.display, Fraction(1, under), (float(wide_mm), 150.0))
    for low, high in sheet.views.fold.cuts:
        assert low - groove.lo[0] >= Length(SHOWN_MM * under) or high < groove.lo[0]
        assert groove.hi[0] - high >= Length(SHOWN_MM * under) or low > groove.hi[0]
    if under == 5 and wide_mm >= 100:
        assert sheet.views.fold.cuts


def test_ends_that_differ_are_drawn_both() -> None:
    """The tenons of a long rail are alike, and one view stands for both ends; half as wide, one of them is another."""
    job = sample_job(BY_NAME["threshold_bench"], "mm")
    assert job.space is not None
    rail = job.space.pieces["RF"]
    assert (Gauged(rail).ends, Gauged(rail).same_ends()) == ((Face.A,), True)
    (tenon,) = [f for f in rail.features if isinstance(f, Cuboid) and f.adds and f.hi[0] > rail.length]
    low, high = tenon.lo, tenon.hi
    narrow = replace(tenon, hi=(high[0], low[1] + (high[1] - low[1]) / 2, high[2]))
    other = replace(rail, features=tuple(narrow if f is tenon else f for f in rail.features))
    assert (Gauged(other).ends, Gauged(other).same_ends()) == ((Face.A, Face.B), False)
