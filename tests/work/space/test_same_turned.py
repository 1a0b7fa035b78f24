"""Whether a half turn leaves the arrises of a piece worked as they were: by hand, on a rail of 400."""

from __future__ import annotations

from collections.abc import Collection

import pytest

from shopdocs.core.length import ZERO, Length
from shopdocs.model.joining import Face
from shopdocs.work.space.arrises import EDGES, EdgeFinding, EdgeName, Verdict, Why, edge_name, same_turned

LONG = Length(400)
TOP = edge_name(Face.FACE, Face.EDGE)
BELOW = edge_name(Face.BACK, Face.FAR_EDGE)


def worked(*chamfered: EdgeName, stopped: tuple[int, int] | None = None) -> list[EdgeFinding]:
    """The twelve arrises of a rail, square but for those named; `stopped`, these run from there to there."""
    verdict = Verdict.STOPPED if stopped else Verdict.CHAMFER
    free = ((Length(stopped[0]), Length(stopped[1])),) if stopped else ((ZERO, LONG),)
    found = []
    for name in EDGES:
        mine = name in chamfered
        answer = (verdict, free) if mine else (Verdict.SQUARE, ())
        found.append(EdgeFinding(name, "x", LONG, answer[0], next(iter(Why)), (), answer[1]))
    return found


@pytest.mark.parametrize(
    ("edges", "turned", "same"),
    [
        (worked(), {0, 1}, True),
        (worked(*EDGES), {1, 2}, True),
        (worked(TOP), {0, 1}, False),  # the chamfer comes to lie at the far edge
        (worked(TOP), {0, 2}, False),  # to the back
        (worked(TOP, BELOW), {1, 2}, True),  # rolled over: each lies where the other was
        (worked(TOP, BELOW), {0, 2}, False),  # end for end: at the other two
        (worked(TOP, edge_name(Face.BACK, Face.EDGE)), {0, 2}, True),  # both along the top, end for end
        (worked(TOP, edge_name(Face.BACK, Face.EDGE), stopped=(10, 390)), {0, 2}, True),  # as far from either end
        (worked(TOP, edge_name(Face.BACK, Face.EDGE), stopped=(10, 350)), {0, 2}, False),
        (worked(TOP, BELOW, stopped=(10, 350)), {1, 2}, True),  # rolled over, its ends stay
    ],
)
def test_a_turn_moves_the_chamfers_with_the_piece(
    edges: list[EdgeFinding], turned: Collection[int], same: bool
) -> None:
    assert same_turned(edges, turned) == same
