"""The diameters of a round on its drawing: a row of figures over the view, each where it is measured."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.blocks.drawing import Shape
from shopdocs.core.display import Display
from shopdocs.core.rounds import Round
from shopdocs.documents.drawn.measures import running, running_mm
from shopdocs.documents.drawn.piece_views import PieceView, PieceViews
from shopdocs.documents.rounds import diameters_along, round_tenons
from shopdocs.work.space.placed import PlacedPiece


def diameters_mm(piece: PlacedPiece, display: Display, size_pt: float) -> float:
    """The paper that they take over the view; none of a piece that stays square."""
    if piece.turned is None:
        return 0.0
    return running_mm((told for _, told in diameters_along(piece.turned, display, round_tenons(piece))), size_pt)


def run_diameters(
    views: PieceViews, view: PieceView, turned: Round, display: Display, scale: Fraction, size_pt: float
) -> list[Shape]:
    """They stand on the side of the view away from the figures along it."""
    tenons = round_tenons(views.gauged.piece)
    along = diameters_along(turned, display, tenons)
    places = [(views.sheet(views.along(at), view.high[1]), told) for at, told in along]
    (origin, first), rest = places[0], places[1:]
    if views.stand.upright:
        return running(origin, rest, -1, scale, "y", size_pt, first, strong=False)
    return running(origin, rest, 1, scale, "x", size_pt, first, strong=False)
