"""What lies over other pieces of an exploded drawing is lifted until these are seen."""

from __future__ import annotations

import pytest

from shopdocs.documents.drawn.build_pictures import taken_apart
from shopdocs.documents.drawn.pictures import Laid
from shopdocs.documents.exploded import page_mm
from shopdocs.work.shapes.pixels import pixels
from shopdocs.work.shapes.projection import ISOMETRIC
from tests.sample_jobs import BY_NAME, own_units, sample_job


def shares_seen(laid: Laid) -> dict[str, float]:
    """How much of each piece is seen, as a part of what would be seen of it alone; counted in squares of paper."""
    ticks, around = laid.scene.ticks, ((-300.0, -300.0), (300.0, 300.0))
    scale = 100.0 / max(laid.scene.bounds.size) * ticks.per_mm
    every = pixels(laid.solids, ISOMETRIC, ticks, scale, *around).sizes
    return {
        piece.mark: every.get(number, 0) / pixels([laid.solids[number]], ISOMETRIC, ticks, scale, *around).sizes[0]
        for number, piece in enumerate(laid.scene.pieces)
    }


@pytest.mark.parametrize("name", ["threshold_bench", "sorting_table"])
def test_a_top_hides_no_rail_or_apron_under_it(name: str) -> None:
    """As it was, less than a tenth was seen of the bench's stretcher and of the table's rear apron, beside whose marks
    nobody could tell them. A third of a piece shows what it is: its length, or one end of it."""
    job = sample_job(BY_NAME[name], own_units(BY_NAME[name]))
    wide, tall = page_mm(job)
    for share in (0.55, 0.65):
        laid, marked = taken_apart(job, (wide, tall * share))
        assert not marked.unmarked
        seen = shares_seen(laid)
        assert min(seen.values()) >= 0.3, seen
