"""Pieces that are alike are drawn at one scale, and pages with a mirrored pair are well filled.

Which pieces are alike is read from the builds: of one part, and of one size. Scales are read from the pages.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from shopdocs.core.display import Units
from shopdocs.page.compose import compose
from shopdocs.page.items import Frame, TextRun
from shopdocs.page.paper import paper
from tests.sample_jobs import SAMPLES, sample_documents, sample_job

DRAWN = [folder for folder in SAMPLES if folder.name != "seed_tote"]  # that has no joints and no places
UNITS: dict[str, Units] = {"potting_table": "mm", "spice_cabinet": "mm", "threshold_bench": "in"}


@cache
def drawn(folder: Path, key: str) -> tuple[Frame, ...]:
    units = UNITS[folder.name]
    documents = [each for each in sample_documents(folder, units) if each.name == "piece-drawings"]
    return compose(documents, sample_job(folder, units).imprint, paper(key)).frames


def captions(frame: Frame) -> dict[str, str]:
    """The marks under a drawing, and the scale beside them."""
    runs = [item for item in frame.items if isinstance(item, TextRun)]
    scales = {run.y: found[1] for run in runs if (found := re.match(r"scale (\S+), lengths", run.text))}
    return {run.text: scales[run.y] for run in runs if run.y in scales and run.face == "semibold"}


@pytest.mark.parametrize("key", ["a4", "letter"])
@pytest.mark.parametrize("folder", DRAWN, ids=lambda folder: folder.name)
def test_pieces_of_one_part_and_size_have_one_scale(folder: Path, key: str) -> None:
    build = sample_job(folder, UNITS[folder.name]).build
    told = {marks: scale for frame in drawn(folder, key) for marks, scale in captions(frame).items()}
    several = 0
    for part in build.parts:
        marks = [piece.mark for piece in part.pieces]
        scales = [scale for shown, scale in told.items() if shown.split()[0].split("–")[0] in marks]
        several += len(scales) > 1
        assert len(set(scales)) <= 1, (part.name, told)
    assert several >= (1 if folder.name == "threshold_bench" else 3)


@pytest.mark.parametrize("key", ["a4", "letter"])
def test_the_two_pairs_of_drawer_sides_fill_their_pages(key: str) -> None:
    """One over the other; the page is used from the top down to three quarters of it at least."""
    folder = next(folder for folder in SAMPLES if folder.name == "potting_table")
    pages = [frame for frame in drawn(folder, key) if set(captions(frame)) & {"SL1", "SR1"}]
    assert [sorted(captions(frame)) for frame in pages] == [["SL1", "SR2"], ["SL2", "SR1"]]
    for frame in pages:
        low = min(item.y for item in frame.items if isinstance(item, TextRun))
        assert low < 12 * 72 / 25.4 + 0.25 * (frame.height - 2 * 12 * 72 / 25.4)
