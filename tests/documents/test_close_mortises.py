"""Piece drawings where there is little room between the cuts."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.documents.catalogue import make_documents
from shopdocs.documents.job import make_job
from shopdocs.page.compose import compose
from shopdocs.page.items import TextRun
from shopdocs.page.paper import paper
from shopdocs.pipeline import check_build
from tests.page.frame_checks import line_through_text, text_over_text

PEGS = """
build: {title: Rack of pegs, mark: RP, units: mm}
materials: {oak: {kind: hardwood, rough: 34}}
parts:
  rail: {material: oak, size: 28 x 60 x 300, runs: {length: x, width: z}, pieces: {R: {x: 0, y: 0, z: 0}}}
  top: {material: oak, size: 28 x 60 x 300, runs: {length: x, width: z}, pieces: {U: {x: 0, y: 0, z: 400}}}
  peg:
    material: oak
    size: 18 x 22 x 340
    runs: {length: z, width: x}
    pieces: {B1..B8: {x: evenly from R.left to R.right, y: centred on 14, z: R.top to U.bottom}}
joints:
  low: {kind: mortise and tenon, from: peg, into: rail, thickness: 8, length: 23}
  high: {kind: mortise and tenon, from: peg, into: top, thickness: 8, length: 23}
"""


@pytest.mark.parametrize("units", ["mm", "in"])
def test_figures_of_mortises_close_together_keep_apart(tmp_path: Path, units: str) -> None:
    """Eight mortises in 300 mm, a gap of 11 between the pegs: planned in millimetres, every figure is a fraction of an
    inch with ≈ before it, which takes three times the room."""
    (tmp_path / "build.yaml").write_text(PEGS)
    build, shop, problems = check_build(str(tmp_path / "build.yaml"))
    assert build is not None, problems
    made = make_job(build, shop, build.display if units == "mm" else build.display.turned(), "", "cut")
    (document,) = make_documents(made, ("piece-drawings",))
    for frame in compose((document,), made.imprint, paper("letter")).frames:
        words = " ".join(item.text for item in frame.items if isinstance(item, TextRun))
        assert "8 ×" in words or "⁵⁄₁₆" in words
        assert not text_over_text(frame.items) and not line_through_text(frame.items)
