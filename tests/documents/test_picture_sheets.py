"""The sheets of pictures on paper: no words over words or through lines, marks large enough to be read at arm's length,
few pages, and none that is nearly empty without a reason.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Drawing, Leader, Words
from shopdocs.blocks.walk import walk
from shopdocs.core.display import Units
from shopdocs.documents.edges import edge_map
from shopdocs.documents.exploded import exploded_drawing
from shopdocs.documents.mate_marks import mate_marks
from shopdocs.page.compose import Composed, compose
from shopdocs.page.paper import paper
from tests.page.frame_checks import empty_share, line_through_text, text_over_text
from tests.sample_jobs import BY_NAME, PAPER, PLACED, document_of, sample_documents, sample_job

SHEETS = ("exploded", "edges", "mate-marks")
# Pages, as few as the pieces allow at sizes that can be read; our own measure. Of edges one more where a build is
# printed in units that are not its own: every stop of a chamfer is a fraction then, its digits 2 mm high.
MOST_PAGES = {
    "plate_rack": (2, 1, 2),
    "potting_table": (2, 2, 2),
    "loft_stool": (2, 1, 1),
    "sorting_table": (2, 1, 1),
    "spice_cabinet": (2, 1, 2),
    "threshold_bench": (2, 1, 1),
}
# What ends a sheet may leave its last page to the sheet after it, which stands under it in the set where it has room.
EMPTY = 0.45
HALF = 0.53  # of a page with one picture of a build that is taller than wide, over its views
RAGGED = 0.6  # of edges in units that are not the build's: columns of fractions, one of them long


@cache
def on_paper(folder: Path, units: Units, key: str) -> Composed:
    job = sample_job(folder, units)
    if key == PAPER[units]:  # drawn already
        made = [document for name in SHEETS for document in sample_documents(folder, units) if document.name == name]
        return compose(made, job.imprint, paper(key))
    job = replace(job, shop=replace(job.shop, paper=key))
    return compose((exploded_drawing(job), edge_map(job), mate_marks(job)), job.imprint, paper(key))


CASES = [
    pytest.param(folder, units, key, id=f"{folder.name}-{units}-{key}")
    for folder in PLACED
    for units, key in (("in", "letter"), ("mm", "a4"), ("mm", "letter"))
]


@pytest.mark.thorough
@pytest.mark.parametrize(("folder", "units", "key"), CASES)
def test_nothing_is_set_over_words(folder: Path, units: Units, key: str) -> None:
    for frame in on_paper(folder, units, key).frames:
        assert not text_over_text(frame.items), (frame.document, frame.number)
        assert not line_through_text(frame.items), (frame.document, frame.number)


@pytest.mark.thorough
@pytest.mark.parametrize(("folder", "units", "key"), CASES)
def test_the_sheets_are_few_and_full(folder: Path, units: Units, key: str) -> None:
    """All pages but the last of a sheet are filled; every drawing stands at the scale it was drawn for. A picture that
    is as wide as the page may leave it half empty: it cannot be larger."""
    composed = on_paper(folder, units, key)
    assert not composed.notes
    for name, most in zip(SHEETS, MOST_PAGES[folder.name], strict=True):
        pages = [frame for frame in composed.frames if frame.document == name]
        own = sample_job(folder, units).build.units == units
        assert len(pages) <= most + (name == "edges" and not own)
        most_empty = HALF if name == "exploded" else EMPTY
        if name == "edges" and not own:
            most_empty = RAGGED
        assert all(empty_share(page, paper(key)) <= most_empty for page in pages[:-1]), name


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_marks_are_read_at_arm_s_length(folder: Path) -> None:
    """In the picture of the whole build: 10.5 pt and more, by the sheets' own rule at least 2 mm to the digit; figures
    of Source Sans are 0.635 of the type high, so that 9 pt would do (0.635 × 9 × 25.4 / 72 = 2.02 mm)."""
    (document,) = (d for d in sample_documents(folder, "mm") if d.name == "exploded")
    whole = next(b for b in walk(document.blocks) if isinstance(b, Drawing))
    sizes = [s.size_pt for s in whole.shapes if isinstance(s, (Leader, Words))]
    assert sizes and min(sizes) >= 10.5


def test_a_single_door_is_called_so_where_it_is_left_out() -> None:
    """The cabinet has one door: two stiles, two rails and a panel."""
    sheet = document_of(sample_job(BY_NAME["spice_cabinet"], "mm"), "exploded")
    names = [block.name for block in walk(sheet.blocks) if isinstance(block, Drawing)]
    assert [name for name in names if name.startswith("front, door off,")]
