"""Small pictures of the build in which one piece stands out, and of a board with the piece that is sawn from it."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import cached_property
from math import hypot

from shopdocs.blocks.drawing import Drawing, Fill, Line, Point, Polygon, Shape, Stroke
from shopdocs.core.box import Box
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.build_pictures import standing_open
from shopdocs.documents.drawn.hull import hull
from shopdocs.documents.drawn.pictures import frame_of, lines_of, moved, moved_all
from shopdocs.documents.job import Job
from shopdocs.work.boards.area import Area
from shopdocs.work.boards.results import SawnBoard, SawnPiece
from shopdocs.work.shapes.carved import Carved
from shopdocs.work.shapes.hidden import outline
from shopdocs.work.shapes.projection import ISOMETRIC

ROOM_MM = (62.0, 56.0)  # width and height of what a phone shows of it
BOARD_MM = (62.0, 40.0)
# Lines of the build in the pictures of all its pieces together. Of many pieces each shows only the longest lines: short
# ones would run together on a phone, and a thousand pieces with all lines of a thousand would fill it.
MOST_LINES = 120_000
LEAST_LINES = 120  # but so many in each


class Whereabouts:
    """The build as the title sheet shows it, drawn thin once; for each piece its own lines over that, heavy where they
    are seen and dashed where other pieces hide them."""

    def __init__(self, job: Job) -> None:
        self.laid = standing_open(job).paler()
        self.number = {piece.mark: i for i, piece in enumerate(self.laid.scene.pieces)}

    @cached_property
    def _frame(self) -> tuple[Point, Point]:
        return frame_of(self.laid, ISOMETRIC)

    @cached_property
    def _pale(self) -> tuple[Shape, ...]:
        low, _ = self._frame
        lines = lines_of(self.laid, ISOMETRIC)
        most = max(LEAST_LINES, MOST_LINES // max(1, len(self.number)))
        if len(lines) > most:
            longest = sorted(range(len(lines)), key=lambda i: (-_long(lines[i]), i))[:most]
            lines = [lines[i] for i in sorted(longest)]
        return moved_all(lines, low)

    def of(self, mark: str) -> Drawing | None:
        """The picture of the piece with this mark; None where it has no place."""
        number = self.number.get(mark)
        if number is None:
            return None
        (left, low), (right, high) = self._frame
        scene = self.laid.scene
        found = outline(self.laid.solids, ISOMETRIC, scene.ticks, (number,), self.laid.screens(ISOMETRIC))
        own = [Line(a, b, Stroke.HIDDEN) for a, b in found.pictured(found.hidden)]
        own += [Line(a, b, Stroke.REFERENCE) for a, b in found.pictured(found.visible)]
        if isinstance(scene.solids[number], Carved):  # the box round what leans is no wood
            shade = Polygon(hull([spot for line in own for spot in (line.start, line.end)]), Stroke.THIN, "tint")
        else:
            shade = self._shade(scene.solids[number].body.shifted(self.laid.shifts[number]))
        shapes = (moved(shade, (left, low)), *self._pale, *moved_all(own, (left, low)))
        name = f"{mark} in its place"
        return _sketch(name, (right - left, high - low), shapes, ROOM_MM)

    def _shade(self, box: Box) -> Polygon:
        """What the body of a piece covers of the picture: six corners, all but the nearest and the farthest."""
        corners = [
            (x, y, z) for x in (box.lo[0], box.hi[0]) for y in (box.lo[1], box.hi[1]) for z in (box.lo[2], box.hi[2])
        ]
        spots = {corner: ISOMETRIC.picture(corner, self.laid.scene.ticks) for corner in corners}
        return Polygon(hull(list(spots.values())), Stroke.THIN, "tint")


def _long(line: Line) -> float:
    (ax, ay), (bx, by) = ((x.float_mm(), y.float_mm()) for x, y in (line.start, line.end))
    return hypot(bx - ax, by - ay)


def on_board(board: SawnBoard, own: Sequence[SawnPiece]) -> Drawing:
    """A board with all that is sawn from it, `own` heavy and shaded."""
    whole = board.board
    shapes: list[Shape] = [_rectangle(Area(ZERO, ZERO, whole.length, whole.width), Stroke.VISIBLE)]
    shapes += [_rectangle(piece.area, Stroke.THIN) for piece in board.pieces if piece not in own]
    shapes += [_rectangle(piece.area, Stroke.REFERENCE, "tint") for piece in own]
    name = f"{board.mark} with {', '.join(piece.name for piece in own)}"
    return _sketch(name, (whole.length, whole.width), tuple(shapes), BOARD_MM)


def _sketch(name: str, size: tuple[Length, Length], shapes: tuple[Shape, ...], room_mm: tuple[float, float]) -> Drawing:
    scale = min(room / max(side.float_mm(), 1.0) for room, side in zip(room_mm, size, strict=True))
    whole = min(Fraction(1), max(Fraction(1, 10_000), Fraction(int(scale * 10_000), 10_000)))
    return Drawing(name, *size, shapes, whole, tallest_mm=room_mm[1] + 2, captioned=False, sketch=True)


def _rectangle(area: Area, stroke: Stroke, fill: Fill = "paper") -> Polygon:
    x, y, right, top = area.x, area.y, area.x + area.length, area.y + area.width
    return Polygon(((x, y), (right, y), (right, top), (x, top)), stroke, fill)
