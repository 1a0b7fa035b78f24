"""The marks of face side and face edge: a loop that crosses itself, a V, each standing on the arris the two share
(common practice of the trade; no source for its exact form)."""

from __future__ import annotations

from itertools import pairwise

import pytest
import shapely

from shopdocs.blocks.face_marks import Way, face_edge_mark, face_side_mark
from shopdocs.core.length import ZERO, Length

WAYS: dict[Way, tuple[int, int]] = {"left": (-1, 0), "right": (1, 0), "up": (0, 1), "down": (0, -1)}
SIZE = Length(10)


def line(points: tuple[tuple[Length, Length], ...]) -> shapely.LineString:
    return shapely.LineString([(float(x.mm), float(y.mm)) for x, y in points])


@pytest.mark.parametrize("way", WAYS)
def test_the_loop_closes_on_itself_and_its_tails_lie_on_the_arris(way: Way) -> None:
    mark = face_side_mark((Length(40), Length(30)), way, SIZE)
    dx, dy = WAYS[way]
    into = [(p[0].mm - 40) * dx + (p[1].mm - 30) * dy for p in mark.points]
    aside = [(p[0].mm - 40) * dy - (p[1].mm - 30) * dx for p in mark.points]
    assert into[0] == into[-1] == 0 and min(into) == 0
    assert 9.5 <= max(into) <= 10.5 and max(aside) - min(aside) < 8
    assert not mark.closed and not line(mark.points).is_simple  # it crosses itself: a loop


@pytest.mark.parametrize("way", WAYS)
def test_the_v_has_its_point_on_the_arris(way: Way) -> None:
    mark = face_edge_mark((ZERO, ZERO), way, SIZE)
    one, point, two = mark.points
    assert point == (ZERO, ZERO) and not mark.closed and line(mark.points).is_simple
    dx, dy = WAYS[way]
    assert all(x.mm * dx + y.mm * dy == 10 for x, y in (one, two))
    assert one != two and all(a != b for a, b in pairwise(mark.points))
