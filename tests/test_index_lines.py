"""A template far from both ends is laid on a line squared across the piece: that line must lie on the paper that is cut
out (common practice, no source)."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import FullScale, Line, Stroke, Words
from shopdocs.core.length import ZERO
from shopdocs.documents.job import make_job
from shopdocs.documents.templates import templates
from shopdocs.pipeline import check_build

SAMPLES = Path(__file__).parent.parent / "sample_builds"


@pytest.mark.parametrize("units", ["in", "mm"])
@pytest.mark.parametrize("name", ["threshold_bench", "spice_cabinet"])
def test_index_lines_lie_within_the_outline(name: str, units: str) -> None:
    build, shop, _ = check_build(str(SAMPLES / name / "build.yaml"))
    assert build is not None
    display = build.display if build.display.units == units else replace(build.display.turned(), both=False)
    job = make_job(build, shop, display, build.records or shop.records, "L30")
    found = 0
    for block in templates(job).blocks:
        if not isinstance(block, FullScale):
            continue
        told = [w for w in block.drawing.shapes if isinstance(w, Words) and w.text.startswith("INDEX")]
        lines = [s for s in block.drawing.shapes if isinstance(s, Line) and s.stroke is Stroke.CENTRE]
        assert len(told) == len(lines)
        for words, line in zip(told, lines, strict=True):
            found += 1
            assert line.start[0] == line.end[0]
            assert ZERO < line.start[0] < block.drawing.width
            assert ZERO < words.at[0] < block.drawing.width
            assert ZERO < words.at[1] < block.drawing.height
    assert found
