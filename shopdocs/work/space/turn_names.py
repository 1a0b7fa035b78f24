"""What a maker calls the turns of a piece, and which of its faces then lie where others belong."""

from __future__ import annotations

from shopdocs.core.box import AXES
from shopdocs.model.joining import Face
from shopdocs.work.space.likeness import Turn
from shopdocs.work.space.placed import PlacedPiece


def changes_of(piece: PlacedPiece, turn: Turn) -> tuple[tuple[Face, Face], ...]:
    """(face, face whose place it takes), for the faces that move."""
    changes = []
    for axis in AXES:
        for high in (False, True):
            lands = piece.pose.face_toward(axis, high)
            comes = piece.pose.face_toward(turn.source[axis], high != turn.reverse[axis])
            if lands is not comes:
                changes.append((comes, lands))
    return tuple(sorted(changes))


def words_of(piece: PlacedPiece, turn: Turn) -> str:
    """How a maker would say it, from how the piece lies in the build."""
    if turn.source != (0, 1, 2):
        fixed = next((k for k in AXES if turn.source[k] == k), None)
        flipped = fixed is not None and turn.reverse[fixed]
        quarter = "a quarter turn"
        return quarter + (", upside down" if fixed == 2 else ", end for end") if flipped else quarter
    words = []
    vertical = piece.pose.piece_axis(2)
    reversed_axes = [piece.pose.piece_axis(k) for k in AXES if turn.reverse[k]]
    if vertical in reversed_axes:
        words.append("upside down")
    if 0 in reversed_axes and vertical != 0:
        words.append("end for end")
    if 2 in reversed_axes and vertical != 2:
        words.append("back to front")
    if reversed_axes == [1, 2] or reversed_axes == [2, 1]:
        return "half a turn" if vertical == 0 else ", ".join(words)
    return ", ".join(words)
