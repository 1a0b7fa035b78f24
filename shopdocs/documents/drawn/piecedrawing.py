"""The drawing of one piece, with its joints measured from where one gauges: face side, face edge and end A.

Places along the piece are measured at the view of the face side, places across it at the ends, where the section is
seen. Nothing is shrunk until it cannot be read: long pieces are broken, thin ones get larger ends.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.blocks.drawing import Dimension, Drawing, Leader, Point, Shape
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.measures import Measure, extents_mm, in_rows, rows_height, running
from shopdocs.documents.drawn.pictures import SCALES, moved
from shopdocs.documents.drawn.piece_views import READABLE_MM, VIEW_GAP_MM, PieceViews, end_times
from shopdocs.model.joining import Face
from shopdocs.work.space.placed import Bore, Cuboid, PlacedPiece, side_of

_NAME_ROOM_MM = 24.0  # the name of a long view
_MOST_ROWS = 3  # stations measured one by one; more of them are given as running dimensions


def piece_drawing(piece: PlacedPiece, display: Display, room_mm: tuple[float, float], name: str = "") -> Drawing:
    """The piece in four views with dimensions, for a space of `room_mm` (width, height) on paper: at the largest usual
    scale at which it needs no break, or, where it could not be read then, larger and broken."""
    best: _Sheet | None = None
    for scale in SCALES:
        sheet = _Sheet(piece, display, scale, room_mm)
        if not sheet.fits:
            continue
        if best is None or (not sheet.views.fold.cuts and sheet.readable):
            best = sheet
        if not sheet.views.fold.cuts or not sheet.readable:
            break
    return (best or _Sheet(piece, display, SCALES[-1], room_mm)).drawing(name or f"{piece.mark}, {piece.part}")


class _Sheet:
    """The views of one piece with their dimensions, at one scale."""

    def __init__(self, piece: PlacedPiece, display: Display, scale: Fraction, room_mm: tuple[float, float]) -> None:
        self.piece, self.display, self.scale, self.room = piece, display, scale, room_mm
        self.readable = float(min(piece.width, piece.thickness).mm * scale) >= READABLE_MM
        free = PieceViews(piece, scale, piece.length * 10)
        self.views = free
        rows = sum(rows_height(self._upright(side)[1]) for side in (-1, 1))
        ends = 2 * float((free.hi[2] - free.lo[2]).mm * scale) * end_times(piece, scale)
        room = room_mm[0] - 2 * VIEW_GAP_MM - rows - ends - 6.0
        self.views = PieceViews(piece, scale, free.true(max(room, 0.0)))
        # names stand on one side of the views, dimensions along the piece on the other
        self.away = -1 if self.views.over_hand else 1
        self.shapes = [*self.views.shapes(), *self._hole_notes(), *self._dimensions()]
        self.box = extents_mm(self.shapes, scale)
        wide, tall = self.box[2] - self.box[0], self.box[3] - self.box[1]
        self.fits = self.views.fits and wide <= room_mm[0] and tall <= room_mm[1]

    def drawing(self, name: str) -> Drawing:
        low_x, low_y, high_x, high_y = (self.views.true(v) for v in self.box)
        shapes = tuple(moved(shape, (low_x, low_y)) for shape in self.shapes)
        return Drawing(name, high_x - low_x, high_y - low_y, shapes, self.scale, 0.0, self.room[1] + 3.0)

    def _dimensions(self) -> list[Shape]:
        left, right = (self._upright(side)[0] for side in (-1, 1))
        deep = [*self._deep(-1), *self._deep(1)]
        stations = self._stations()
        whole = self._whole()
        if len(stations) <= _MOST_ROWS:
            shown = in_rows([*self._one_by_one(stations), *whole, *deep], "x", self.away, self.scale)[0]
            return [*left, *right, *shown]
        # many places: running dimensions on this side, whole lengths beyond the view of the face edge
        places = sorted({v for station in stations for v in station if ZERO < v < self.piece.length})
        run = running(
            self._at(ZERO), [(self._at(v), self.display.bare(v)) for v in places], self.away, self.scale
        )  # fmt: skip
        beyond = self.views.corners(self.views.face_edge)[self.away < 0][1]
        whole = [Measure((m.start[0], beyond), (m.end[0], beyond), m.text, m.value) for m in whole]
        return [
            *left, *right, *in_rows(deep, "x", self.away, self.scale)[0], *run,
            *in_rows(whole, "x", -self.away, self.scale)[0],
        ]  # fmt: skip

    def _at(self, along: Length) -> Point:
        """A place along the piece, on the border of the face side's view away from the face edge's."""
        return self.views.fold.at(along), self.views.corners(self.views.face_side)[self.away > 0][1]

    def _measure(self, start: Length, end: Length) -> Measure:
        return Measure(self._at(start), self._at(end), self.display.bare(end - start), end - start)

    def _whole(self) -> list[Measure]:
        """Shoulder to shoulder, and with what the joints add."""
        length, low, high = self.piece.length, self.views.lo[0], self.views.hi[0]
        if (low, high) == (ZERO, length):
            return [self._measure(ZERO, length)]
        every = [self._measure(ZERO, length), self._measure(low, high), self._measure(low, ZERO)]
        return [*every, self._measure(length, high)]

    def _stations(self) -> list[tuple[Length, Length]]:
        """Stretches along the piece where a joint lies, and centres of holes as stretches of no length."""
        length = self.piece.length
        inside = [f for f in self.piece.cuboids if f.hi[0] > ZERO and f.lo[0] < length]
        stations = {(max(f.lo[0], ZERO), min(f.hi[0], length)) for f in inside}
        stations |= {(b.centre[0], b.centre[0]) for b in self.piece.bores if side_of(b.face)[0] != 0}
        return sorted(stations - {(ZERO, length)})

    def _one_by_one(self, stations: list[tuple[Length, Length]]) -> list[Measure]:
        return [m for a, b in stations for m in (self._measure(ZERO, a), self._measure(a, b))]

    def _spans(self, side: int) -> list[tuple[int, Length, Length]]:
        """Places across the piece that are measured on one side of the drawing: piece axis, from, to; features stand at
        the end they are nearer to, the size of the piece itself on the left. What the right would only repeat is left
        out."""
        half, spans = self.piece.length / 2, []
        for axis in (1, 2):
            size = self.piece.size[axis]
            for feature in self.piece.features:
                if isinstance(feature, Cuboid):
                    at = (feature.lo[0] + feature.hi[0]) / 2
                    low, high = max(feature.lo[axis], self.views.lo[axis]), min(feature.hi[axis], self.views.hi[axis])
                    wanted = [] if (low, high) == (ZERO, size) else [(axis, min(ZERO, low), low), (axis, low, high)]
                else:
                    at = feature.centre[0]
                    wanted = [] if side_of(feature.face)[0] == axis else [(axis, ZERO, feature.centre[axis])]
                if (at < half) == (side < 0):
                    spans += [span for span in wanted if span[1] < span[2]]
            if side < 0:
                spans.append((axis, ZERO, size))
        spans = list(dict.fromkeys(spans))
        if side > 0 and set(spans) <= set(self._spans(-1)):
            return []
        return spans

    def _upright(self, side: int) -> tuple[list[Dimension], int]:
        """Places from the face edge, outside end A (`side` -1) or end B, and how many rows they take."""
        view = self.views.end_a if side < 0 else self.views.end_b
        x = self.views.corners(view)[side > 0][0]
        measures = []
        for axis, start, end in self._spans(side):
            if axis == 1:
                ends = sorted(view.place((ZERO, v, ZERO))[1] for v in (start, end))
                measures.append(Measure((x, ends[0]), (x, ends[1]), self.display.bare(end - start), end - start))
        return in_rows(measures, "y", side, self.scale)

    def _deep(self, side: int) -> list[Measure]:
        """Places from the face side, under or over end A or end B."""
        view = self.views.end_a if side < 0 else self.views.end_b
        y = self.views.corners(view)[self.away > 0][1]
        measures = []
        for axis, start, end in self._spans(side):
            if axis == 2:
                ends = sorted(view.place((ZERO, ZERO, v))[0] for v in (start, end))
                measures.append(Measure((ends[0], y), (ends[1], y), self.display.bare(end - start), end - start))
        return measures

    def _hole_notes(self) -> Iterator[Shape]:
        """How many holes of a kind, their diameter and depth, on a leader from the first of them."""
        groups: dict[tuple[Face, Length, Length | None], list[Bore]] = {}
        for bore in self.piece.bores:
            groups.setdefault((bore.face, bore.diameter, bore.depth), []).append(bore)
        views = self.views
        for place, ((face, diameter, depth), bores) in enumerate(sorted(groups.items(), key=lambda g: str(g[0]))):
            axis, high = side_of(face)
            view = (views.end_b if high else views.end_a, views.face_edge, views.face_side)[axis]
            tip = view.place(sorted(bores, key=lambda bore: bore.centre)[len(bores) // 2].centre)
            low, top = views.corners(view)
            step = views.true(4.5 if view.across == 0 else 8.0 + 4.5 * place)
            y = top[1] + step if self.away < 0 else low[1] - step
            count = f"{len(bores)} × " if len(bores) > 1 else ""
            deep = "through" if depth is None else f"{self.display.bare(depth)} deep"
            x = tip[0] + views.true(-6.0 if view is views.end_b else 6.0)
            if view.across == 0:
                x = max(x, low[0] + views.true(_NAME_ROOM_MM))
            yield Leader(tip, (x, y), f"{count}Ø {self.display.drill(diameter)}, {deep}")
