"""Pieces where the build puts them: square to it, leaning or tipped."""

from __future__ import annotations

from shopdocs.model.parts import Part, Piece
from shopdocs.work.space.leaning_piece import LeaningPiece
from shopdocs.work.space.placed import PlacedPiece, pose_of
from shopdocs.work.space.tipped_board import TippedPiece


def placed_piece(part: Part, piece: Piece) -> PlacedPiece | None:
    """A piece where the build puts it, without joints; None where it has no place."""
    pose = pose_of(part, piece)
    if piece.place is None or pose is None:
        return None
    size = part.length, part.width, part.thickness
    if piece.place.lean is not None:
        return LeaningPiece.of(piece.mark, part.name, piece.place.lean, size, pose, part.material)
    if piece.place.tilt is not None:
        corner = piece.place.corner
        return TippedPiece.of(piece.mark, part.name, corner, piece.place.tilt, size, pose, part.material)
    return PlacedPiece(piece.mark, part.name, piece.place.corner, *size, pose, material=part.material)
