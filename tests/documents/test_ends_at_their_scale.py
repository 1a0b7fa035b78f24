"""A view that is drawn larger than its sheet names its own scale (ISO 5455), and one of those on a scale rule."""

from __future__ import annotations

import re

import pytest

from shopdocs.blocks.drawing import Words
from shopdocs.core.display import Units
from shopdocs.work.space.placed import side_of
from tests.drawn_sheets import worked_sheets
from tests.sample_jobs import BOTH, BY_NAME, sample_job

ON_A_RULE = {1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10}  # ISO 5455, the inch scales, and steps between


@pytest.mark.parametrize("units", BOTH)
def test_an_end_says_at_which_scale_it_is_drawn(units: Units) -> None:
    """Told by what its view takes of the paper: so many millimetres for the true thickness of the piece."""
    seen = 0
    jobs = [sample_job(BY_NAME[name], units) for name in ("spice_cabinet", "plate_rack", "potting_table")]
    for sheet in (sheet for job in jobs for sheet in worked_sheets(job)):
        names = [s.text for s in sheet.shapes if isinstance(s, Words) and s.text.startswith(("end", "both ends"))]
        for view in sheet.views.ends.values():
            k = side_of(sheet.gauged.base)[0]  # what lies out of the base's face runs away from it in an end's view
            drawn = float((view.high[0] - view.low[0]).mm * sheet.scale)
            true = float((sheet.gauged.hi[k] - sheet.gauged.lo[k]).mm)
            told = [found for name in names if (found := re.search(r"\(1:([\d.]+)\)", name))]
            if drawn / true > float(sheet.scale) * 1.01:
                (one,) = told
                assert float(one[1]) == pytest.approx(true / drawn, rel=0.01)
                assert float(one[1]) in ON_A_RULE
                seen += 1
            else:
                assert not told
    assert seen
