"""Joints that belong at the end or the edge of the other piece are doubted anywhere else: sizes by hand."""

from __future__ import annotations

import pytest

from shopdocs.core.length import Length
from shopdocs.model.joining import JointKind
from shopdocs.model.parts import Direction
from shopdocs.work.joints.frame import JointSizes
from shopdocs.work.joints.joinery import work_out
from shopdocs.work.space.placed import PlacedPiece, Pose, Toward
from tests.work.scenes import spot

X, Y, Z = (Toward(d) for d in Direction)


@pytest.mark.parametrize(
    ("kind", "code"),
    [(JointKind.DOVETAIL, "dovetail-not-at-the-end"), (JointKind.RABBET, "rabbet-not-at-the-edge")],
)
@pytest.mark.parametrize(
    ("left", "told"),
    [
        (0, False),  # level with the front's left end
        (388, False),  # 388 + 12 = 400, level with its right end
        (-5, False),  # stands out 5 past it
        (1, True),
        (200, True),
        (387, True),  # ends 1 before it
    ],
)
def test_a_side_at_the_end_of_a_front(kind: JointKind, code: str, left: int, told: bool) -> None:
    """A side 12 thick against the inside of a front that reaches from x = 0 to 400."""
    side = PlacedPiece("S", "side", spot(left, 20, 0), Length(300), Length(120), Length(12), Pose(Y, Z, X))
    front = PlacedPiece("F", "front", spot(0, 0, 0), Length(400), Length(120), Length(20), Pose(X, Z, Y))
    doubts = work_out(side, front, JointSizes(kind, depth=Length(6), count=3)).doubts
    assert (code in {doubt.code for doubt in doubts}) == told
