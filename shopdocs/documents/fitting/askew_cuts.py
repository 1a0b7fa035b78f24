"""What joints cut at an angle, by the pieces that it is cut in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shopdocs.core.problems import Position
from shopdocs.documents.fitting.off_square import Bored, bored
from shopdocs.documents.job import Job
from shopdocs.work.space.placed import Cuboid, PlacedPiece, Slant


@dataclass(frozen=True, slots=True)
class AskewCut:
    """A mortise or a housing at an angle: the piece it is in, and the number and the entering piece of its joint."""

    piece: PlacedPiece
    cuboid: Cuboid
    slant: Slant
    number: int
    enters: str
    at: Position

    @property
    def angles(self) -> Bored:
        """How it goes in."""
        return bored(self.slant)


def askew_cuts(job: Job) -> Iterator[AskewCut]:
    """Every cut of a joint at an angle, piece after piece; none where the build says no places."""
    if job.space is None:
        return
    meetings = {str(meeting.number): meeting for _, meeting in job.build.meetings()}
    for piece in job.space.scene.pieces:
        for cuboid in piece.cuboids:
            meeting = meetings.get(cuboid.joint)
            if cuboid.slant is not None and not cuboid.adds and meeting is not None:
                yield AskewCut(piece, cuboid, cuboid.slant, meeting.number, meeting.entering, meeting.at)
