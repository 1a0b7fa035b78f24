"""A shaped piece with its arrises as they are worked: as `edge_box`, its face side as it is sawn.

Piece coordinates are those of the drawn box, in millimetres of paper; a long piece is drawn together as its box is. The
lower arrises show where nothing of the wood stands before them: from a place as deep under the face that is seen as
`h`, the eye lies where both other places shrink by as much, so what it passes on the way is looked up in the outline.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise

from shopdocs.blocks.drawing import Stroke
from shopdocs.core.length import Length
from shopdocs.core.outline import Outline
from shopdocs.documents.drawn.edge_view import CHAMFER_MM, EdgeBox, PaperStroke
from shopdocs.model.joining import Face
from shopdocs.work.scene.outlines import shapes_of
from shopdocs.work.space.arrises import EdgeFinding, EdgeName
from shopdocs.work.space.ends import PLAIN
from shopdocs.work.space.placed import PlacedPiece, side_of

BESIDE_MM = 0.02  # straight pieces lie no farther beside a curve, on paper
CREASE = math.cos(math.radians(25))  # where the outline turns more there is an arris through the thickness
NEAR_MM = 0.05  # so near to the face that is seen everything on it is
SEAM_STEPS = 60  # pieces of a seam, each drawn where there is wood
STEPS = 12  # places that are looked at on the way to the eye
_BORDERS = (Face.EDGE, Face.B, Face.FAR_EDGE, Face.A)  # as one goes round the face side, from end A along the face edge
_Spot = tuple[float, float]


def shape_of(piece: PlacedPiece) -> Outline | None:
    """The outline of a piece that is shaped on its face side and nowhere else; None of any other."""
    own = [cuboid for cuboid in piece.cuboids if cuboid.own]
    shapes = list(shapes_of(piece.size, own, lambda face: PLAIN)) if own else []
    return shapes[0].outline if len(shapes) == 1 and shapes[0].face is Face.FACE else None


class ShapedBox(EdgeBox):
    """The view of one corner of a shaped piece."""

    def __init__(
        self,
        piece: PlacedPiece,
        edges: Mapping[EdgeName, EdgeFinding],
        corner: tuple[Face, Face, Face],
        most_mm: Sequence[int],
        least_mm: Sequence[int],
        in_part: Mapping[EdgeName, Sequence[tuple[Length, Length]]],
        outline: Outline,
    ) -> None:
        super().__init__(piece, edges, corner, most_mm, least_mm, in_part)
        long, wide = float(self.size[0]), float(self.size[1])
        along, across = long / piece.length.float_mm(), wide / piece.width.float_mm()
        fine = BESIDE_MM / max(along, across)
        self.loop = [(x * along, y * across) for x, y in outline.spots(fine)]
        corners = [(0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide)]
        self.turns = [min(range(len(self.loop)), key=lambda k: math.dist(self.loop[k], at)) for at in corners]
        self.kept = {k for k, at in zip(self.turns, corners, strict=True) if math.dist(self.loop[k], at) < 1e-3}
        around = zip(self.loop[-1:] + self.loop[:-1], self.loop, self.loop[1:] + self.loop[:1], strict=True)
        self.inner = [_inward(*spots) for spots in around]

    def lines(self) -> Iterator[PaperStroke]:
        """The arrises that are seen, and those through the thickness where the outline turns or goes out of sight."""
        yield from super().lines()
        yield from self._creases()

    def seams(self, strips: int) -> Iterator[PaperStroke]:
        """Between the strips, on the face that is seen, as far as there is wood."""
        top, long = (float(self.size[2]) if self.top is Face.BACK else 0.0), float(self.size[0])
        for k in range(1, strips):
            across = float(self.size[1]) * k / strips
            places = [(long * step / SEAM_STEPS, across) for step in range(SEAM_STEPS + 1)]
            for one, two in pairwise(places):
                if _inside(((one[0] + two[0]) / 2, across), self.loop):
                    yield PaperStroke(self._flat(one, top), self._flat(two, top), Stroke.THIN)

    def _run(
        self, edge: EdgeName, face: Face | None, low: Fraction, high: Fraction, stroke: Stroke
    ) -> Iterator[PaperStroke]:
        if stroke is Stroke.HIDDEN:
            return
        border = next((one for one in edge if one in _BORDERS), None)
        level = next((one for one in edge if one in (Face.FACE, Face.BACK)), None)
        if border is None or level is None:
            if self._corner(edge) in self.kept:
                yield from super()._run(edge, face, low, high, stroke)
            return
        axis = 1 - side_of(border)[0]
        ends = float(low * self.size[axis]), float(high * self.size[axis])
        deep = float(self.size[2]) if level is Face.BACK else 0.0
        if face is border:
            deep += float(CHAMFER_MM) * (-1 if level is Face.BACK else 1)
        places = self.inner if face is level else self.loop
        for one, two in pairwise(self._numbers(border)):
            start, end = places[one], places[two]
            middle = (start[axis] + end[axis]) / 2
            if ends[0] - 1e-6 <= middle <= ends[1] + 1e-6 and self._is_seen(start, end, deep):
                yield PaperStroke(self._flat(start, deep), self._flat(end, deep), stroke)

    def _numbers(self, border: Face) -> list[int]:
        """The numbers of the places along a border, one after the other round the outline."""
        k = _BORDERS.index(border)
        first, last = self.turns[k], self.turns[(k + 1) % 4]
        count = (last - first) % len(self.loop)
        return [(first + step) % len(self.loop) for step in range(count + 1)]

    def _corner(self, edge: EdgeName) -> int:
        """The number of the place where two borders meet."""
        ways = {frozenset((Face.A, Face.EDGE)): 0, frozenset((Face.EDGE, Face.B)): 1}
        ways |= {frozenset((Face.B, Face.FAR_EDGE)): 2, frozenset((Face.FAR_EDGE, Face.A)): 3}
        return self.turns[ways[frozenset(edge)]]

    def _creases(self) -> Iterator[PaperStroke]:
        whole = float(self.size[2])
        top = whole if self.top is Face.BACK else 0.0
        for k, at in enumerate(self.loop):
            before, after = self.loop[k - 1], self.loop[(k + 1) % len(self.loop)]
            one, two = _way(before, at), _way(at, after)
            faces = [self._faces(way) for way in (one, two)]
            turns = one[0] * two[0] + one[1] * two[1] < CREASE
            if k in self.kept or not (faces[0] != faces[1] or (all(faces) and turns)):
                continue
            runs = [top + (whole - 2 * top) * step / STEPS for step in range(STEPS + 1)]
            for high, low in pairwise(runs):
                if self._is_seen(at, at, (high + low) / 2):
                    yield PaperStroke(self._flat(at, high), self._flat(at, low), Stroke.VISIBLE)

    def _faces(self, way: _Spot) -> bool:
        """Whether the wall along a way round the outline looks to the eye."""
        a, b = self._eye()
        return way[1] * a - way[0] * b > 1e-9

    def _eye(self) -> tuple[int, int]:
        """Which way along and across one comes nearer to the eye."""
        return (1 if self.end is Face.B else -1), (1 if self.front is Face.FAR_EDGE else -1)

    def _is_seen(self, start: _Spot, end: _Spot, deep: float) -> bool:
        """Whether nothing of the wood stands before the middle of a line at that depth."""
        under = deep if self.top is Face.FACE else float(self.size[2]) - deep
        if under < NEAR_MM:
            return True
        x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
        a, b = self._eye()
        return not any(
            _inside((x + a * under * step / STEPS, y + b * under * step / STEPS), self.loop)
            for step in (0.3, *range(1, STEPS))
        )

    def _flat(self, at: _Spot, deep: float) -> tuple[Fraction, Fraction]:
        return self.spot((_exact(at[0]), _exact(at[1]), _exact(deep)))


def _exact(mm: float) -> Fraction:
    return Fraction(round(mm * 1000), 1000)


def _way(one: _Spot, two: _Spot) -> _Spot:
    long = math.dist(one, two) or 1.0
    return (two[0] - one[0]) / long, (two[1] - one[1]) / long


def _inward(before: _Spot, at: _Spot, after: _Spot) -> _Spot:
    """A corner as far inside the outline as a chamfer is drawn wide."""
    one, two = _way(before, at), _way(at, after)
    x, y = -(one[1] + two[1]), one[0] + two[0]
    long = math.hypot(x, y) or 1.0
    far = float(CHAMFER_MM) / max(0.5, long / 2)
    return at[0] + x / long * far, at[1] + y / long * far


def _inside(spot: _Spot, loop: Sequence[_Spot]) -> bool:
    x, y = spot
    within = False
    for (a, b), (c, d) in zip(loop, [*loop[1:], loop[0]], strict=True):
        if (b > y) != (d > y) and x < a + (y - b) * (c - a) / (d - b):
            within = not within
    return within
