"""On a phone one reads down: the drawing of a piece that stands in the build is no wider than the screen.

A page is laid out for 320 CSS pixels (WCAG 2.2, 1.4.10 Reflow: no scrolling in two directions there but for what
needs both); a leg needs one, its length down the screen."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Drawing
from shopdocs.core.display import Units
from shopdocs.documents.drawn.stand import stand_of
from shopdocs.output.html import DRAWING_MM
from tests.sample_jobs import BOTH, PLACED, records_of, sample_job


@pytest.mark.parametrize("units", BOTH)
@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_what_stands_fits_the_width_of_a_phone(folder: Path, units: Units) -> None:
    job = sample_job(folder, units)
    assert job.space is not None
    seen = 0
    for page, (_, piece) in zip(records_of(job), job.build.pieces(), strict=True):
        placed = job.space.pieces[piece.mark]
        drawings = [block for block in page.blocks if isinstance(block, Drawing) and block.scale is not None]
        if drawings and stand_of(placed).upright:
            seen += 1
            assert drawings[-1].width.float_mm(drawings[-1].scale) <= DRAWING_MM, page.name
    assert seen >= 2 or folder.name == "spice_cabinet"
