"""Where a tenon begins is told twice, on the drawing of its piece and on its record: it must be one figure."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.text import plain
from shopdocs.core.length import ZERO
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.piece_drawings import drawn_groups
from shopdocs.documents.piece_records import cuts_table
from shopdocs.model.joining import Face
from tests.sample_jobs import PLACED, own_units, sample_job


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_a_record_tells_of_tenons_what_the_drawing_tells(folder: Path) -> None:
    """Both ends of every tenon of the record stand in the row of figures along the face side, where A 0 is the 0."""
    job = sample_job(folder, own_units(folder))
    for group in drawn_groups(job):
        for piece in group.pieces:
            gauged = Gauged(piece)
            table = cuts_table(job, gauged, job.build.at)
            zero = gauged.start[0]
            drawn = {job.display.bare(at - zero) for at in (*gauged.stations(Face.FACE), zero)}
            for row in table.groups[0].rows if table is not None else ():
                cut = plain(row.cells[1].text)
                if cut.endswith("tenon") and "," not in plain(row.cells[3].text):
                    told = {word.strip() for word in plain(row.cells[3].text).split("–")}
                    assert told <= drawn, (piece.mark, cut, told - drawn, drawn)


def test_the_shoulder_of_the_stool_is_where_its_stretcher_ends() -> None:
    """The stretchers are turned down to 16 at their ends: 25 of tenon at each, whatever the leg's slope cuts off."""
    folder = next(folder for folder in PLACED if folder.name == "loft_stool")
    job = sample_job(folder, own_units(folder))
    piece = next(piece for group in drawn_groups(job) for piece in group.pieces if piece.mark == "SL")
    table = cuts_table(job, Gauged(piece), job.build.at)
    assert table is not None
    along = [plain(row.cells[3].text) for row in table.groups[0].rows if "tenon" in plain(row.cells[1].text)]
    length = job.display.bare(piece.length)
    assert job.display.bare(ZERO) in [one.split("–")[1].strip() for one in along]
    assert length in [one.split("–")[0].strip() for one in along]
