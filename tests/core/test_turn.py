"""Leaning pieces: resultant, sight line and length against printed formulas and against vectors worked out apart."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shopdocs.core.angle import Angle
from shopdocs.core.turn import Boring, Turn

# rake, splay: resultant, sight from the fore-and-aft line, from the left-right line, length along the leg for a height
# of 1. By the formulas of Machinery's Handbook, 31st ed., Compound Angles, p. 121 (tan R = tan A / tan B, tan C =
# tan A / sin R), worked out apart from this program, two decimals. 10/14 are the front legs of a sack-back chair (The
# Windsor Institute, Ma'at's Feather).
ROWS = [
    (5, 5, 7.05, 45.0, 45.0, 1.0076),
    (5, 8, 9.4, 58.1, 31.9, 1.0136),
    (5, 20, 20.52, 76.48, 13.52, 1.0678),
    (8, 12, 14.3, 56.53, 33.47, 1.032),
    (10, 5, 11.14, 26.39, 63.61, 1.0192),
    (10, 14, 16.98, 54.73, 35.27, 1.0456),
    (12, 18, 21.22, 56.81, 33.19, 1.0727),
    (15, 15, 20.75, 45.0, 45.0, 1.0694),
    (15, 20, 24.32, 53.64, 36.36, 1.0974),
    (18, 10, 20.29, 28.49, 61.51, 1.0661),
    (25, 18, 29.61, 34.87, 55.13, 1.1502),
    (25, 20, 30.61, 37.97, 52.03, 1.1619),
]


@pytest.mark.parametrize("row", ROWS)
def test_resultant_sight_line_and_length(row: tuple[float, ...]) -> None:
    rake, splay, resultant, sight, across, factor = row
    right, rear = Angle.of_degrees(splay).tangent, Angle.of_degrees(rake).tangent
    found = Boring.of(right, -rear)
    assert found.resultant == pytest.approx(resultant, abs=0.0051)
    assert found.sight == pytest.approx(sight, abs=0.0051)
    assert found.sight_across == pytest.approx(across, abs=0.0051)
    assert 1 / Turn.leaning(right, rear).z[2] == pytest.approx(factor, abs=0.000051)


@pytest.mark.parametrize("seed", range(8))
def test_a_turn_is_a_rotation_that_takes_plumb_to_the_leg(seed: int) -> None:
    """With numpy: raked about the left-right line first, then splayed about the piece's own thickness."""
    rnd = np.random.default_rng(seed)
    right, rear = rnd.uniform(-0.6, 0.6, 2)
    turn = Turn.leaning(right, rear)
    matrix = np.array([turn.x, turn.y, turn.z]).T
    assert matrix @ matrix.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(matrix) == pytest.approx(1, abs=1e-12)
    leg = np.array([-right, -rear, 1.0])  # from its foot to its top, a height of 1
    assert matrix @ [0, 0, 1] == pytest.approx(leg / np.linalg.norm(leg), abs=1e-12)
    rake = math.atan(rear)
    about_x = np.array([[1, 0, 0], [0, math.cos(rake), -math.sin(rake)], [0, math.sin(rake), math.cos(rake)]])
    within = about_x.T @ leg  # the leg as its own front face sees it: no part of it square to that face
    assert within[1] == pytest.approx(0, abs=1e-12)
    splay = math.atan2(within[0], within[2])
    about_y = np.array([[math.cos(splay), 0, math.sin(splay)], [0, 1, 0], [-math.sin(splay), 0, math.cos(splay)]])
    assert about_x @ about_y == pytest.approx(matrix, abs=1e-12)
    way = rnd.uniform(-1, 1, 3)
    assert turn.of(way) == pytest.approx(tuple(matrix @ way), abs=1e-12)
    assert turn.back(turn.of(way)) == pytest.approx(tuple(way), abs=1e-12)
