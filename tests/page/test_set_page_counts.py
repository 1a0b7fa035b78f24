"""How many pages the set of each sample takes, in its own units and on its own paper.

A page more is a page to print, to carry to the bench and to leaf over, and one comes easily: a sentence added to a
sheet that was full moves all that follows. So the counts stand here as what was reached, to be lowered when a set
becomes shorter, and raised only by someone who has looked at what the page more is for. They are agreed, not worked
out: common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.documents.catalogue import LOOSE, make_documents
from shopdocs.documents.job import make_job
from shopdocs.page.compose import compose
from shopdocs.page.paper import paper
from shopdocs.pipeline import check_build
from tests.sample_jobs import SAMPLES

MOST = {
    "loft_stool": 21,
    "plate_rack": 24,
    "potting_table": 28,
    "seed_tote": 8,
    "sorting_table": 23,
    "spice_cabinet": 19,
    "threshold_bench": 16,  # one more since every tool that a sheet calls for is listed
}


def test_every_sample_has_a_count() -> None:
    assert {folder.name for folder in SAMPLES} == set(MOST)


@pytest.mark.thorough
@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_a_set_takes_no_more_pages_than_it_did(folder: Path) -> None:
    build, shop, _ = check_build(str(folder / "build.yaml"))
    assert build is not None
    key = shop.paper or ("letter" if build.units == "in" else "a4")
    labels = shop.labels or ("letter-30" if key == "letter" else "a4-21")
    job = make_job(build, shop, build.display, build.records or shop.records, labels)
    bound = tuple(document for document in make_documents(job) if document.name not in LOOSE)
    composed = compose(bound, job.imprint, paper(key))
    assert len(composed.frames) <= MOST[folder.name]
    assert not composed.notes, "a sample that tells of words left out does not show what a set looks like"
