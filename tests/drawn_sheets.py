"""Sheets of single pieces, for tests of what is drawn on them."""

from __future__ import annotations

from shopdocs.core.display import Display
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.drawn.piece_drawing import Marked, PieceSheet
from shopdocs.documents.drawn.sizing import Drawn
from shopdocs.documents.drawn.sizing import fitted_sheet as fitted
from shopdocs.documents.job import Job
from shopdocs.documents.piece_drawings import DrawnGroup, drawn_groups, joints_of

ROOM = (178.0, 150.0)


def fitted_sheet(piece: Marked, display: Display, room: tuple[float, float]) -> PieceSheet:
    """A piece on its own at the largest usual scale that the room, in mm, holds."""
    return fitted(Drawn(piece, display, None), room)


def numbered(job: Job, group: DrawnGroup) -> Marked:
    """The first piece of a group, its joints called by their numbers."""
    piece = group.pieces[0]
    return Marked(Gauged(piece), {number: number for number, _ in joints_of(job, piece)}, group.placed)


def sheet_of(job: Job, mark: str, room: tuple[float, float] = ROOM) -> PieceSheet:
    """The drawing of the group a piece belongs to."""
    group = next(group for group in drawn_groups(job) if mark in group.marks)
    return fitted_sheet(numbered(job, group), job.display, room)


def worked_sheets(job: Job, room: tuple[float, float] = ROOM) -> list[PieceSheet]:
    """All groups that carry work."""
    groups = [group for group in drawn_groups(job) if group.pieces[0].features]
    return [fitted_sheet(numbered(job, group), job.display, room) for group in groups]
