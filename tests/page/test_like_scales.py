"""Pieces that are alike are drawn at one scale.

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
from shopdocs.page.style import style
from tests.sample_jobs import SAMPLES, sample_documents, sample_job

DRAWN = [folder for folder in SAMPLES if folder.name != "seed_tote"]  # that has no joints and no places
UNITS: dict[str, Units] = {
    "loft_stool": "mm",
    "plate_rack": "in",
    "potting_table": "mm",
    "sorting_table": "mm",
    "spice_cabinet": "mm",
    "threshold_bench": "in",
}
ALL_DIFFERENT = ("loft_stool", "sorting_table", "spice_cabinet", "threshold_bench")  # no part of theirs is drawn twice


@cache
def drawn(folder: Path, key: str) -> tuple[Frame, ...]:
    units = UNITS[folder.name]
    documents = [each for each in sample_documents(folder, units) if each.name == "piece-drawings"]
    return compose(documents, sample_job(folder, units).imprint, paper(key)).frames


def captions(frame: Frame) -> dict[str, str]:
    """The heading over each drawing, and the scale under it; of two headings beside each other that of its column."""
    runs = [item for item in frame.items if isinstance(item, TextRun)]
    heads = [run for run in runs if run.face == "bold" and run.size == style().section]
    found: dict[str, str] = {}
    for run in runs:
        if scale := re.match(r"scale (\S+), lengths", run.text):
            over = max(
                (head for head in heads if head.y > run.y and head.x <= run.x), key=lambda head: (-head.y, head.x)
            )
            assert found.setdefault(over.text, scale[1]) == scale[1], "what one bears alone is drawn as large as both"
    return found


@pytest.mark.parametrize("key", ["a4", "letter"])
@pytest.mark.parametrize("folder", DRAWN, ids=lambda folder: folder.name)
def test_pieces_of_one_part_and_size_have_one_scale(folder: Path, key: str) -> None:
    build = sample_job(folder, UNITS[folder.name]).build
    told = {heading: scale for frame in drawn(folder, key) for heading, scale in captions(frame).items()}
    several = 0
    for part in build.parts:
        scales = [scale for heading, scale in told.items() if heading.startswith(f"{part.name}  ")]
        several += len(scales) > 1
        if len({(piece.length, piece.width) for piece in part.pieces if hasattr(piece, "length")}) <= 1:
            assert len(set(scales)) <= 1, (part.name, told)
    assert several >= (0 if folder.name in ALL_DIFFERENT else 2)
