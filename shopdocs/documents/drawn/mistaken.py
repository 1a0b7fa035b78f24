"""A piece as it lies when it is right, beside the same place with the mistake in it, crossed out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from shopdocs.blocks.drawing import Drawing, Line, Point, Shape, Stroke
from shopdocs.documents.drawn.measures import true_length
from shopdocs.documents.drawn.pictures import picture, standing
from shopdocs.model.joining import Face
from shopdocs.model.parts import Direction
from shopdocs.work.shapes.hidden import outline
from shopdocs.work.shapes.projection import ISOMETRIC, ISOMETRIC_BACK, ISOMETRIC_BELOW, ISOMETRIC_LEFT, View
from shopdocs.work.space.placed import PlacedPiece, Pose, Scene, Toward

AXES = (Direction.X, Direction.Y, Direction.Z)
# The first of them that shows the difference best; what is said of it.
VIEWS = ((ISOMETRIC, ""), (ISOMETRIC_LEFT, "from the left"), (ISOMETRIC_BELOW, "from below"),
         (ISOMETRIC_BACK, "from the rear"))  # fmt: skip
CLEARER = 1.5  # times as many lines must tell, before another view than the usual one is taken
PAIR_MM = (17.0, 16.0)
CROSS_MM = 5.5

Changes = Iterable[tuple[Face, Face]]


def turned_piece(piece: PlacedPiece, changes: Changes, like: PlacedPiece | None = None) -> PlacedPiece:
    """A piece turned so that each face of `changes` lies where the other face of its pair lay; where it was, or where
    another piece is that is `like` it in size."""
    comes_to = dict(changes)

    def toward(face: Face) -> Toward:
        """An axis of the piece leads away from the face that it is counted from."""
        axis, high = piece.pose.look_of(comes_to.get(face, face))
        return Toward(AXES[axis], not high)

    pose = Pose(toward(Face.A), toward(Face.EDGE), toward(Face.FACE))
    return replace(piece, pose=pose, at=(like or piece).at)


def mistaken_pair(right: PlacedPiece, wrong: PlacedPiece) -> tuple[Drawing, Drawing, str] | None:
    """Both pictures from one side, and from which where it is not the usual one; None where no view from outside tells
    them apart, but the marks alone or the depth of a cut."""
    first = _telling(right, wrong)
    for view, where in (first, *(other for other in VIEWS if other is not first)):
        one, two = (_pictured(piece, view) for piece in (right, wrong))
        if one.shapes != two.shapes:
            return one, _crossed(two), where
    return None


def _telling(right: PlacedPiece, wrong: PlacedPiece) -> tuple[View, str]:
    merits = [_difference(right, wrong, view) for view, _ in VIEWS]
    best = max(range(len(VIEWS)), key=lambda k: (merits[k], -k))
    return VIEWS[best] if merits[best] > merits[0] * CLEARER else VIEWS[0]


def _difference(right: PlacedPiece, wrong: PlacedPiece, view: View) -> int:
    """How many lines of the pictures are not in both."""
    scenes = [Scene.of([piece]) for piece in (right, wrong)]
    seen = [set(outline(scene.solids, view, scene.ticks).visible) for scene in scenes]
    return len(seen[0] ^ seen[1])


def _pictured(piece: PlacedPiece, view: View) -> Drawing:
    drawing = picture(standing(Scene.of([piece])), PAIR_MM, view).drawing
    return replace(drawing, sketch=True)


def _crossed(drawing: Drawing) -> Drawing:
    """With a heavy cross in the emptiest of its corners: it stands out in a copy as well."""
    assert drawing.scale is not None
    side = true_length(CROSS_MM, drawing.scale)
    zero = drawing.width * 0
    corners = [(x, y) for x in (zero, drawing.width - side) for y in (zero, drawing.height - side)]
    ends = [point for shape in drawing.shapes if isinstance(shape, Line) for point in (shape.start, shape.end)]

    def crowd(corner: Point) -> int:
        return sum(all(a <= p <= a + side for a, p in zip(corner, point, strict=True)) for point in ends)

    x, y = min(corners, key=crowd)
    cross: Sequence[Shape] = (
        Line((x, y), (x + side, y + side), Stroke.REFERENCE),
        Line((x, y + side), (x + side, y), Stroke.REFERENCE),
    )
    return replace(drawing, shapes=(*drawing.shapes, *cross))
