"""A long row of mortises alike is told by one note, in inches and in millimetres: six depths on six leaders that cross
each other are read wrong (from our own eyes; common practice, no source)."""

from __future__ import annotations

import pytest

from shopdocs.blocks.drawing import Drawing, Leader
from shopdocs.blocks.walk import walk
from shopdocs.core.display import Units
from shopdocs.core.length import Length
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.model.joining import Face
from tests.sample_jobs import BOTH, BY_NAME, sample_documents, sample_job

RAILS, SLATS = 4, 6  # of the plate rack: each rail takes one end of six slats


@pytest.mark.parametrize("units", BOTH)
def test_slats_in_a_row_share_a_note(units: Units) -> None:
    documents = {document.name: document for document in sample_documents(BY_NAME["plate_rack"], units)}
    drawings = [block for block in walk(documents["piece-drawings"].blocks) if isinstance(block, Drawing)]
    leaders = [[s.text for s in one.shapes if isinstance(s, Leader)] for one in drawings]
    rows = [[words for words in told if "…" in words] for told in leaders]
    assert sum(map(bool, rows)) == RAILS
    assert all(len(told) < SLATS for told, row in zip(leaders, rows, strict=True) if row)


def test_mortises_that_interlock_are_told_at_their_own_ends() -> None:
    """The rack's front post, 1-1/2 wide: the upper rail is set back 3/8, the lower one 1/4, both 3/4 thick with a tenon
    of 1/4 in the middle. So the upper mortise lies 5/8 to 7/8 from the front and the lower one 1/2 to 3/4; in one row
    1/2, 5/8, 3/4 and 7/8 could be read as other two. Those of the end rails lie in one line, and stay in one row."""
    job = sample_job(BY_NAME["plate_rack"], "in")
    assert job.space is not None
    gauged = Gauged(job.space.pieces["LF"])
    inch = Length.inches(1)
    wide = inch * 3 / 2
    assert gauged.levels(Face.EDGE, Face.A) == [inch / 2, inch * 3 / 4, wide]
    assert gauged.levels(Face.EDGE, Face.B) == [inch * 5 / 8, inch * 7 / 8, wide]
    assert not gauged.levels(Face.FACE, Face.A) and gauged.levels(Face.FACE, Face.B)
