"""One drawing may serve a left and a right piece whose cuts look alike: then it has the face edge of the first, and
says of the other that its own lies at the other side. Where an edge lies is worked out from where it looks in the
build, as anyone sees it who stands before the face side."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.text import Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.drawn.stand import looks
from shopdocs.documents.piece_drawings import drawn_groups, piece_drawings
from shopdocs.model.joining import Face
from tests.sample_jobs import PLACED, own_units, sample_job

# Seen from there, what looks that way lies at that side of the drawing; from above and below as the sheets draw it.
AT = {
    "front": {"left": "left", "right": "right", "up": "top", "down": "bottom"},
    "rear": {"left": "right", "right": "left", "up": "top", "down": "bottom"},
    "left": {"front": "right", "rear": "left", "up": "top", "down": "bottom"},
    "right": {"front": "left", "rear": "right", "up": "top", "down": "bottom"},
}


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_a_drawing_says_which_piece_has_its_face_edge_at_the_other_side(folder: Path) -> None:
    job = sample_job(folder, own_units(folder))
    told: dict[str, str] = {}
    for block in walk(piece_drawings(job).blocks):
        if isinstance(block, Table):
            for group in block.groups:
                for row in group.rows:
                    mark, *cells = (plain(cell.text).replace("\N{NO-BREAK SPACE}", " ") for cell in row.cells)
                    told[mark] = " ".join(cells)
    other_handed = 0
    for group in drawn_groups(job):
        first, *rest = group.pieces
        for piece in rest if first.features and looks(first, Face.FACE) in AT else ():
            seen = AT.get(looks(piece, Face.FACE), {}).get(looks(piece, Face.EDGE))
            drawn = AT[looks(first, Face.FACE)].get(looks(first, Face.EDGE))
            if seen is not None and seen != drawn:
                assert f"face edge {seen}" in told[piece.mark].replace("at the ", "")
                assert "0 is at the far edge" in told[piece.mark]
                other_handed += 1
            else:
                assert "far edge" not in told.get(piece.mark, "")
    assert other_handed == (1 if folder.name == "plate_rack" else 0)  # its right front post
