"""What numpy leaves to the processor: which of equal values a partition picks, the last bit of a least-squares fit. The
pictures do without both, so that a set is the same on every machine."""

from __future__ import annotations

import numpy as np
import pytest

from shopdocs.work.shapes.mark_room import _least
from shopdocs.work.shapes.pixels import _plane_through


@pytest.mark.parametrize("columns", [1, 2, 3, 50])
def test_the_nearest_of_equal_ones_are_the_first(columns: int) -> None:
    table = np.random.default_rng(4).integers(0, 4, (40, columns)).astype(float)
    stable = np.argsort(table, axis=1, kind="stable")[:, :3]  # numpy's own, which keeps the order of equal ones
    assert np.array_equal(_least(table.copy(), 3), stable)


def test_a_plane_runs_through_its_corners() -> None:
    """Against numpy's least-squares fit, on polygons cut out of random planes."""
    random = np.random.default_rng(5)
    for _ in range(50):
        a, b, c = random.uniform(-3, 3, 3)
        turns = np.sort(random.uniform(0, 2 * np.pi, random.integers(3, 9)))
        flat = 40 * np.column_stack([np.cos(turns), np.sin(turns)])
        corners = np.column_stack([flat, flat @ [a, b] + c])
        fitted, *_ = np.linalg.lstsq(np.column_stack([flat, np.ones(len(flat))]), corners[:, 2], rcond=None)
        assert _plane_through([tuple(corner) for corner in corners.tolist()]) == pytest.approx(fitted, abs=1e-6)
