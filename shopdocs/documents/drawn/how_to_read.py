"""How the drawings of pieces are read, told once before the first."""

from __future__ import annotations

from collections.abc import Sequence

from shopdocs.blocks.sheets import Block, SideBySide
from shopdocs.blocks.text import Paragraph, Weight, text
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.figures import marks_text
from shopdocs.documents.job import Job
from shopdocs.documents.yard.board_drawings import UNIT_WORDS
from shopdocs.model.joining import Face
from shopdocs.work.joints.room import leaves_usual_room, usual_room
from shopdocs.work.space.placed import PlacedPiece

# One rule for every face of every drawing, on paper and on the records (documents/drawn/piece_views.py).
ROLLED = "Then it is rolled over toward you, its ends where they were: the back face of a lying piece is upside down."

ROLLED_ALONE = (  # the same where nothing is said before it
    "The back face is drawn rolled over toward you, its ends where they were: on a lying piece it is upside down."
)


def how_to_read(job: Job, pieces: Sequence[PlacedPiece], laid: list[str]) -> Block:
    """What is told before the drawings of these `pieces`, how they are seen and measured beside their signs and sizes;
    those `laid` stand upright but are drawn lying."""
    shoulders = (
        "A line past the wood is a shoulder, to be knifed. What is let in at its full thickness has none: measure from "
        "its real end or edge. "
    )
    seen = (
        f"Each piece as it stands, looking at its face side. {ROLLED} Every row of figures runs from its own 0: along "
        "the piece from end A or its shoulder, across it from the face edge, on an edge from the face side, whose "
        "arris is the heavy line."
    )
    words = (
        "Loop: face side. V: face edge. "
        f"{shoulders if job.space is not None and job.space.joinery else ''}"
        f"Sizes are thickness × width × length, in {UNIT_WORDS[job.display.units]}."
    )
    if laid:
        seen += f" Drawn lying, the top at the right: {marks_text(laid)}."
    if job.space is None:
        words += " Joints are left out: the pieces have no places in this build."
    elif leaves_usual_room(job.build):
        room = job.display.length(usual_room(job.build))
        words += f" Stopped cuts are {room} deeper than what goes into them, unless the build says otherwise."
    if any(bore.note for piece in pieces for bore in piece.bores):
        words += " Drawbore is how much nearer to the shoulder a tenon's hole lies than the one in the other piece."
    return SideBySide(((Paragraph(text(seen), Weight.QUIET),), (Paragraph(text(words), Weight.QUIET),)), (1.0, 1.0))


def is_rolled_over(gauged: Gauged) -> bool:
    """Whether the drawing of a piece shows its back face upside down."""
    return Face.BACK in gauged.faces and not gauged.stand.upright
