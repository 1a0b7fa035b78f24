"""Which way up a back face is drawn, and that it is said: one rule for all pieces, on paper and on the records.

By hand: take a rail that lies as it stands, its face side toward you, and roll it toward you until you look at its
back face. Left is still left, and what was the upper edge is the lower one.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.text import Paragraph, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.length import ZERO, Length
from shopdocs.model.joining import Face
from shopdocs.work.space.placed import PlacedPiece
from tests.drawn_sheets import worked_sheets
from tests.sample_jobs import PLACED, own_units, records_of, sample_documents, sample_job


def is_rail(piece: PlacedPiece) -> bool:
    """Whether its length lies level and its width stands upright."""
    return piece.pose.length.index != 2 and piece.pose.width.index == 2


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_the_back_face_of_every_rail_is_drawn_upside_down(folder: Path) -> None:
    job = sample_job(folder, own_units(folder))
    for sheet in worked_sheets(job):
        piece, view = sheet.piece, sheet.views.long.get(Face.BACK)
        if view is None or not is_rail(piece) or sheet.stand.upright:
            continue
        low, high = view.place((ZERO, ZERO, ZERO)), view.place((ZERO, piece.width, ZERO))
        wide_grows_up = piece.pose.width.forward
        assert (high[1] < low[1]) is wide_grows_up, piece.mark
        face = sheet.views.long.get(Face.FACE)
        if face is not None:
            far: tuple[Length, Length, Length] = (piece.length, ZERO, ZERO)
            assert [view.place(far)[0], view.low[0]] == [face.place(far)[0], face.low[0]], piece.mark


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_it_is_said_where_back_faces_are_drawn(folder: Path) -> None:
    units = own_units(folder)
    job = sample_job(folder, units)
    drawings = next(one for one in sample_documents(folder, units) if one.name == "piece-drawings")
    first = next(block for block in walk(drawings.blocks) if isinstance(block, Paragraph))
    assert "upside down" in plain(first.text)
    rolled = {
        sheet.piece.mark for sheet in worked_sheets(job) if Face.BACK in sheet.gauged.faces and not sheet.stand.upright
    }
    for (_, piece), page in zip(job.build.pieces(), records_of(job), strict=True):
        if piece.mark in rolled:
            told = [plain(block.text) for block in walk(page.blocks) if isinstance(block, Paragraph)]
            assert any("upside down" in words for words in told), piece.mark
