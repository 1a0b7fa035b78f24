"""A board that is tipped about a level line, as a placed piece: a sloped shelf, an angled back, a lip on either."""

from __future__ import annotations

from shopdocs.core.turn import Turn
from shopdocs.model.joining import Face
from shopdocs.model.parts import Tilt
from shopdocs.work.space.askew_piece import AskewPiece
from shopdocs.work.space.placed import PlacedPiece, Pose, Spot


class TippedPiece(AskewPiece, frozen=True, dict=True):
    """A piece that is tipped: along the axis of its tilt every place of it is exact."""

    tilt: Tilt | None = None

    @staticmethod
    def of(mark: str, part: str, corner: Spot, tilt: Tilt, size: Spot, pose: Pose, material: str) -> TippedPiece:
        """A piece of this length, width and thickness that would lie at `corner`."""
        extent = [size[pose.piece_axis(k)] for k in range(3)]
        low, far = tilt.box(corner, [a + b for a, b in zip(corner, extent, strict=True)])
        box = tuple(b - a for a, b in zip(low, far, strict=True))
        return TippedPiece(
            mark, part, (low[0], low[1], low[2]), *size, pose, (), material, plumb=corner, box=box, tilt=tilt
        )

    @property
    def turn(self) -> Turn:
        """Where the directions of the level board point."""
        assert self.tilt is not None
        return self.tilt.turn

    @property
    def about(self) -> Spot:
        """A point of the line that it is tipped about."""
        assert self.tilt is not None
        return self.tilt.about

    def is_square(self, face: Face) -> bool:
        """Whether a face stays square to the build, as the ends of a shelf do."""
        assert self.tilt is not None
        return self.pose.look_of(face)[0] == self.tilt.axis


def tipped_together(one: PlacedPiece, two: PlacedPiece) -> bool:
    """Whether two pieces are tipped as one, so that they meet as if neither was."""
    return isinstance(one, TippedPiece) and isinstance(two, TippedPiece) and one.tilt == two.tilt
