"""A piece for a small screen: whole, as it stands, its worked faces with every joint named, and no figures."""

from __future__ import annotations

from shopdocs.blocks.drawing import Drawing
from shopdocs.core.display import Display
from shopdocs.documents.drawn.pictures import SCALES
from shopdocs.documents.drawn.piece_drawing import Marked, PieceSheet


def strip(piece: Marked, display: Display, room_mm: tuple[float, float], name: str) -> Drawing:
    """All views at the largest usual scale at which the whole length fits `room_mm`."""
    for scale in SCALES:
        sheet = PieceSheet(piece, display, scale, room_mm, bare=True)
        if sheet.fits and sheet.whole and not sheet.views.fold.cuts:
            return sheet.drawing(name)
    return PieceSheet(piece, display, SCALES[-1], room_mm, bare=True, must=True).drawing(name)
