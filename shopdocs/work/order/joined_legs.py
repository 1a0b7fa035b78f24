"""Legs that lean each its own way into one piece, and are let into each other: an X of legs under a cleat.

Legs that stand apart go into a seat all at once, while the joints between them are still open a little
(`diverging.py`). A lap or a tenon from one leg into the other leaves no such play: each leg has to go along itself into
the seat, the two of them along different lines, and the joint between them lets neither pass the other.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopdocs.model.joining import Joint, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.scene.in_space import Space
from shopdocs.work.space.leaning_piece import LeaningPiece

Way = tuple[float, float]


def way_of(space: Space, mark: str) -> Way | None:
    """How far a leg leans to the right and to the rear, as slopes; None for a piece that does not lean."""
    piece = space.pieces[mark]
    if not isinstance(piece, LeaningPiece) or piece.lean is None:
        return None
    return float(piece.lean.right), float(piece.lean.rear)


def joined_legs(joints: Sequence[tuple[Joint, Meeting]], space: Space) -> tuple[str, str, str] | None:
    """Two legs and what both of them go into, which no moves bring together; None where there are none. All pieces of
    the joints must be placed."""
    let_in = [(m.entering, m.receiving) for joint, m in joints if _is_let_in(space, joint, m)]
    ways = {mark: way for pair in let_in for mark in pair if (way := way_of(space, mark)) is not None}
    into: dict[str, set[str]] = {}
    for leg, onto in let_in:
        if leg in ways and onto not in ways:
            into.setdefault(onto, set()).add(leg)
    for one, two in let_in:
        if one in ways and two in ways and ways[one] != ways[two]:
            for onto, legs in into.items():
                if {one, two} <= legs:
                    return one, two, onto
    return None


def _is_let_in(space: Space, joint: Joint, meeting: Meeting) -> bool:
    """Whether a joint goes into the receiving piece, and does not merely lie on it, as one does that is screwed."""
    made = space.joinery.get(meeting.number)
    return made is not None and bool(made.receiving) and not KINDS[joint.kind].screwed
