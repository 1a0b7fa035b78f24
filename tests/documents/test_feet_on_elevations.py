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

from shopdocs.blocks.drawing import Dimension, Words
from shopdocs.core.display import Units
from shopdocs.documents.drawn.elevations import elevations
from shopdocs.documents.drawn.measures import words_box
from shopdocs.page.items import Path
from tests.page.frame_checks import laid_items, line_through_text, text_over_text
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


@pytest.mark.parametrize("units", ["mm", "in"])
def test_overhangs_told_between_the_views_keep_clear_of_each_other_and_of_their_lines(units: Units) -> None:
    """The table's top stands over by 40, 1-9/16 in, to the right in the front view and to the left in the side view; as
    laid out on paper no upright line runs through any of the words."""
    job = sample_job(BY_NAME["sorting_table"], units)
    assert job.space is not None
    views = elevations(job.space.scene, job.display, [(180.0, 110.0)])
    items = laid_items(views)
    assert text_over_text(items) == []
    bare = [item for item in items if not (isinstance(item, Path) and item.fill == 1.0)]  # with what is whited out
    assert line_through_text(bare) == []


@pytest.mark.parametrize("name", ["potting_table", "sorting_table", "threshold_bench"])
def test_elevations_fit_the_width_that_they_were_drawn_for(name: str) -> None:
    """In inches the words of heights and overhangs are wider: a drawing at a scale that has no room for them would be
    set smaller, with less than its words need between its views."""
    job = sample_job(BY_NAME[name], "in")
    assert job.space is not None
    wide = 186.0
    for tall in (82.0, 90.0, 97.0, 108.0):
        views = elevations(job.space.scene, job.display, [(wide, tall)])
        every = [words_box(one, views.scale) for one in views.shapes if isinstance(one, Words)]
        left, right = min(box[0] for box in every), max(box[2] for box in every)
        assert right - left <= wide, tall
