"""What is left out of the drawing of a long piece, against its length told off millimetre by millimetre."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.piece_views import Fold

LONG, GAP = 60, 3


@st.composite
def left_out(draw: st.DrawFn) -> list[tuple[int, int]]:
    """Stretches left out, apart, in order."""
    ends = sorted(draw(st.sets(st.integers(1, LONG - 1), max_size=6)))
    return list(zip(ends[::2], ends[1::2], strict=False))


@given(left_out(), st.integers(0, LONG), st.integers(0, LONG))
def test_what_is_drawn_is_what_is_not_left_out(cuts: list[tuple[int, int]], one: int, two: int) -> None:
    """A line from one place to another is drawn over each millimetre of it that is in no stretch left out, and each
    millimetre is drawn as far from end A as there are millimetres drawn before it, and a gap for each stretch."""
    low, high = sorted((one, two))
    fold = Fold(tuple((Length(a), Length(b)) for a, b in cuts), Length(GAP))
    out = {at for a, b in cuts for at in range(a, b)}
    parts = [(a.float_mm(), b.float_mm()) for a, b in fold.parts(Length(low), Length(high))]
    assert [at for a, b in parts for at in range(int(a), int(b))] == [at for at in range(low, high) if at not in out]
    assert all(a < b for a, b in parts) and len(parts) == len(set(parts))
    for at in set(range(low, high)) - out:
        before = sum(1 for mm in range(at) if mm not in out) + GAP * sum(b <= at for _, b in cuts)
        assert fold.at(Length(at)) == Length(before)
    assert fold.at(ZERO) == ZERO
