"""A long row of mortises alike is told by one note, in inches and in millimetres: six depths on six leaders that cross
each other are read wrong (from our own eyes; common practice, no source)."""

from __future__ import annotations

import pytest

from shopdocs.blocks.drawing import Drawing, Leader
from shopdocs.blocks.walk import walk
from shopdocs.core.display import Units
from tests.sample_jobs import BOTH, BY_NAME, sample_documents

RAILS, SLATS = 4, 6  # of the plate rack: each rail takes one end of six slats


@pytest.mark.parametrize("units", BOTH)
def test_slats_in_a_row_share_a_note(units: Units) -> None:
    documents = {document.name: document for document in sample_documents(BY_NAME["plate_rack"], units)}
    drawings = [block for block in walk(documents["piece-drawings"].blocks) if isinstance(block, Drawing)]
    leaders = [[s.text for s in one.shapes if isinstance(s, Leader)] for one in drawings]
    rows = [[words for words in told if "…" in words] for told in leaders]
    assert sum(map(bool, rows)) == RAILS
    assert all(len(told) < SLATS for told, row in zip(leaders, rows, strict=True) if row)
