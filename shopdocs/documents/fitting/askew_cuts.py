"""What is cut or bored at an angle, by the pieces that it is made in."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from shopdocs.core.problems import NOWHERE, Position
from shopdocs.documents.fitting.off_square import Bored, bored
from shopdocs.documents.job import Job
from shopdocs.work.space.placed import Bore, Cuboid, PlacedPiece, Slant
from shopdocs.work.space.slanting import SQUARE


class Askew(Struct, frozen=True):
    """What goes into a piece at an angle: the piece, how it goes, the number of its joint (0 of hardware) and what it
    is for: the entering piece of its joint, or the hardware."""

    piece: PlacedPiece
    slant: Slant
    number: int
    enters: str
    at: Position

    @property
    def angles(self) -> Bored:
        """How it goes in."""
        return bored(self.slant)

    @property
    def sawn(self) -> bool:
        """Whether it is made in an end off square."""
        return self.slant.out is not None

    @property
    def in_line(self) -> bool:
        """Whether it runs along its piece, and only the end that it is made in is off square."""
        return self.sawn and abs(self.slant.way[0]) > 1 - SQUARE

    @property
    def called(self) -> str:
        """ "joint 3", or the name of its hardware."""
        return f"joint {self.number}" if self.number else self.enters


class AskewCut(Askew, frozen=True):
    """A mortise or a housing at an angle."""

    cuboid: Cuboid


class AskewHole(Askew, frozen=True):
    """A hole at an angle."""

    bore: Bore


def askew_cuts(job: Job) -> Iterator[AskewCut]:
    """Every cut of a joint at an angle, piece after piece; none where the build says no places."""
    if job.space is None:
        return
    meetings = {str(meeting.number): meeting for _, meeting in job.build.meetings()}
    for piece in job.space.scene.pieces:
        for cuboid in piece.cuboids:
            meeting = meetings.get(cuboid.joint)
            if cuboid.slant is not None and not cuboid.adds and meeting is not None:
                yield AskewCut(piece, cuboid.slant, meeting.number, meeting.entering, meeting.at, cuboid)


def askew_holes(job: Job) -> Iterator[AskewHole]:
    """Every slanting hole that is measured, piece after piece."""
    if job.space is None:
        return
    meetings = {str(meeting.number): meeting for _, meeting in job.build.meetings()}
    at = {(hole.piece, hole.hardware): hole.place.at for hole in job.holes if hole.bore.slanting is not None}
    for piece in job.space.scene.pieces:
        for bore in piece.bores:
            if bore.slant is None or bore.marked:
                continue
            meeting = meetings.get(bore.joint)
            if meeting is not None:
                yield AskewHole(piece, bore.slant, meeting.number, meeting.entering, meeting.at, bore)
            else:
                there = at.get((piece.mark, bore.joint), NOWHERE)
                yield AskewHole(piece, bore.slant, 0, bore.joint, there, bore)
