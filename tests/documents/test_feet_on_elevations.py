"""How far feet stand apart on elevations is told of where they meet the floor, by hand from the text of the samples.

The stool: the middles of its legs are 400 - 2 × 82 = 236 apart left to right where they enter the seat, 390 above the
floor, and 300 - 2 × 82 = 136 front to rear. They splay 10 degrees and rake 6, so that on the floor they are 236 + 2 ×
390 tan 10° = 373.5 and 136 + 2 × 390 tan 6° = 218.0 apart. Leaning, a leg of 40 stands on 40 / cos 10° = 40.6 and 40 /
cos 6° = 40.2 at least, and on 42 at most. The table: 1100 × 560, its top over its legs by 40 all round; legs of 48 that
taper to 28 on their inner faces: 1100 - 2 × (40 + 28) = 964 and 560 - 136 = 424.
"""

from __future__ import annotations

import math

import pytest

from shopdocs.blocks.drawing import Dimension
from shopdocs.documents.drawn.elevations import elevations
from tests.sample_jobs import BY_NAME, sample_job

AT_SEAT, HIGH = (400 - 2 * 82, 300 - 2 * 82), 390
LEAN = (math.radians(10), math.radians(6))


def lengths_along(name: str) -> list[float]:
    job = sample_job(BY_NAME[name], "mm")
    assert job.space is not None
    views = elevations(job.space.scene, job.display, [(180.0, 130.0)])
    shown = [shape for shape in views.shapes if isinstance(shape, Dimension) and shape.axis == "x"]
    return [abs(shape.end[0] - shape.start[0]).float_mm() for shape in shown]


@pytest.mark.parametrize("way", [0, 1])
def test_leaning_legs_are_apart_where_they_stand(way: int) -> None:
    middles = AT_SEAT[way] + 2 * HIGH * math.tan(LEAN[way])
    least, most = middles - 42, middles - 40 / math.cos(LEAN[way])
    assert any(least <= long <= most + 0.1 for long in lengths_along("loft_stool"))


def test_tapered_legs_are_apart_where_they_are_thinnest() -> None:
    told = lengths_along("sorting_table")
    assert 964 in told
    assert 424 in told
