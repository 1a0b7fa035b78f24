"""Which edges of a solid stand for a round, and are drawn only as its outline."""

from __future__ import annotations

import math

import pytest

from shopdocs.work.shapes.carved import is_facet
from shopdocs.work.shapes.slopes import Plane, SlopedEdge

UP = (0.0, 0.0, 1.0)


def _edge(degrees: float, end: tuple[float, float, float], count: int = 2) -> SlopedEdge:
    """From the origin, between two faces whose normals lie so many degrees apart; or with one face alone."""
    turned = math.radians(degrees)
    sides = (Plane((1.0, 0.0, 0.0), 0.0), Plane((math.cos(turned), math.sin(turned), 0.0), 0.0))
    return SlopedEdge((0.0, 0.0, 0.0), end, sides[:count])


@pytest.mark.parametrize(
    ("edge", "soft"),
    [
        (_edge(6, (0.0, 0.0, 100.0)), True),  # sixty strips go round: 6 degrees from one to the next
        (_edge(90, (0.0, 0.0, 100.0)), False),  # the arris of a square leg, which is seen
        (_edge(30, (0.0, 0.0, 100.0)), False),  # that of a leg with twelve sides
        (_edge(6, (0.0, 100.0, 0.0)), False),  # round the axis: the rim of a shoulder
        (_edge(6, (0.0, 0.0, 100.0), 1), False),  # the end of a face that nothing is beside
    ],
)
def test_only_what_runs_along_a_round_is_soft(edge: SlopedEdge, soft: bool) -> None:
    assert is_facet(edge, UP) is soft
