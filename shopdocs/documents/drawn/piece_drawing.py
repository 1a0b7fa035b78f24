"""The drawing of one piece, with its joints measured from where one gauges: face side, face edge and end A.

Places along the piece are measured at the view of the face side, places across it at the ends, where the section is
seen. Nothing is shrunk until it cannot be read: long pieces are broken, thin ones get larger ends.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import cached_property

from shopdocs.blocks.drawing import Drawing, Leader, Line, Point, Shape
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.drawn.measures import (
    FIRST_MM,
    STEP_MM,
    Box,
    Measure,
    extents_mm,
    in_rows,
    rows_height,
    running,
    running_height,
)
from shopdocs.documents.drawn.notes import ground, place_note
from shopdocs.documents.drawn.pictures import SCALES, moved
from shopdocs.documents.drawn.piece_views import READABLE_MM, VIEW_GAP_MM, PieceViews, end_times
from shopdocs.model.joining import Face, the_face
from shopdocs.work.space.placed import Bore, PlacedPiece, Spot, side_of

_ASIDE_MM = 0.5  # between running figures and a dimension beside them
_REACH_MM = 4.0  # of running figures beyond the view of the face side
_OVER_MM = 4.5  # and one beyond them, whose words stand on its line
UNSEEN = (Face.BACK, Face.FAR_EDGE)  # the drawing looks on the other side of the wood
_MOST_ROWS = 3  # stations measured one by one; more of them are given as running dimensions
_MOST_END_ROWS = 2  # beside an end; what needs more of them is given as running dimensions, which take less paper
_SHORTEST_MM = 20.0  # a long view is never drawn shorter
_NAME_MM = (4.0, 1.8)  # half the width and height kept free for the name of a joint


def piece_drawing(piece: PlacedPiece, display: Display, room_mm: tuple[float, float], name: str = "") -> Drawing:
    """The piece in four views with dimensions, for a space of `room_mm` (width, height) on paper."""
    return fitted_sheet(Gauged(piece), display, room_mm).drawing(name or f"{piece.mark}, {piece.part}")


def fitted_sheet(
    piece: Gauged, display: Display, room_mm: tuple[float, float], largest: Fraction = SCALES[0]
) -> PieceSheet:
    """The sheet at the largest usual scale, no larger than `largest`, at which the piece needs no break, or, where it
    could not be read then, larger and broken; at the smallest scale where none fits."""
    best: PieceSheet | None = None
    for scale in SCALES:
        if scale > largest or not _could_fit(piece.piece, scale, room_mm):
            continue
        sheet = PieceSheet(piece, display, scale, room_mm)
        if best is not None and not sheet.readable:
            break
        if best is not None and sheet.views.fold.cuts:
            continue
        if sheet.fits:
            best = sheet
            if not sheet.views.fold.cuts:
                break
    return best or PieceSheet(piece, display, SCALES[-1], room_mm, must=True)


def _could_fit(piece: PlacedPiece, scale: Fraction, room_mm: tuple[float, float]) -> bool:
    """Whether bare views with the least number of dimensions fit; it costs nothing to ask."""
    wide, thick = piece.width.float_mm(scale), piece.thickness.float_mm(scale)
    times = end_times(piece, scale)
    tall = max(wide + thick + VIEW_GAP_MM, wide * times) + FIRST_MM
    across = 2 * (thick * times + VIEW_GAP_MM) + FIRST_MM + STEP_MM + _SHORTEST_MM
    return tall <= room_mm[1] and across <= room_mm[0]


class PieceSheet:
    """The views of one piece with their dimensions, at one scale. `fits` says whether they fit the room; what does not
    fit is drawn only when it `must` be."""

    def __init__(
        self, gauged: Gauged, display: Display, scale: Fraction, room_mm: tuple[float, float], must: bool = False
    ) -> None:
        self.gauged, self.piece, self.display = gauged, gauged.piece, display
        self.scale, self.room, self.must = scale, room_mm, must
        self.readable = min(self.piece.width, self.piece.thickness).float_mm(scale) >= READABLE_MM
        self.views = free = PieceViews(gauged, scale, self.piece.length * 10)
        # names stand on one side of the views, dimensions along the piece on the other
        self.away = -1 if free.over_hand else 1
        upright = {side: self._upright(side) for side in (-1, 1)}
        beside = sum(wide for _, wide in upright.values())
        ends = 2 * (free.hi[2] - free.lo[2]).float_mm(scale) * end_times(self.piece, scale)
        room = room_mm[0] - 2 * VIEW_GAP_MM - beside - ends - 6.0
        self.views = PieceViews(gauged, scale, free.true(max(room, 0.0)))
        self.beside: list[Shape] = []
        for (shapes, _), was, now in zip(upright.values(), free.every[2:], self.views.every[2:], strict=True):
            self.beside += [moved(shape, (was.low[0] - now.low[0], ZERO)) for shape in shapes]

    @cached_property
    def fits(self) -> bool:
        """Whether views, dimensions and notes all have room at this scale."""
        return self.views.fits and bool(self.shapes) and self._has_room(self.shapes)

    @cached_property
    def shapes(self) -> list[Shape]:
        """All that is drawn; nothing where it is clear beforehand that it would not fit."""
        if not self.must:
            if not self.views.fits:
                return []
            # Many scales are tried: the lines are drawn only where frames and dimensions alone leave room for them.
            frames = [Line(*self.views.corners(view)) for view in self.views.every]
            if not self._has_room([*frames, *self._dimensions]):
                return []
        shapes = [*self.views.shapes(), *self._dimensions]
        shapes += self.views.names(shapes)
        return [*shapes, *self._hole_notes(shapes)] if self.views.fits else shapes

    @cached_property
    def box(self) -> Box:
        """Left, bottom, right and top of all that is drawn, in millimetres of paper."""
        return extents_mm(self.shapes, self.scale)

    def _has_room(self, shapes: Sequence[Shape]) -> bool:
        low_x, low_y, high_x, high_y = extents_mm(shapes, self.scale)
        return high_x - low_x <= self.room[0] and high_y - low_y <= self.room[1]

    def drawing(self, name: str) -> Drawing:
        """The views as a drawing called `name`, its lower left corner moved to 0, 0."""
        low_x, low_y, high_x, high_y = (self.views.true(v) for v in self.box)
        shapes = tuple(moved(shape, (low_x, low_y)) for shape in self.shapes)
        size, unit = (high_x - low_x, high_y - low_y), self.display.units
        return Drawing(name, *size, shapes, self.scale, 0.0, self.room[1] + 3.0, unit=unit)

    @cached_property
    def _dimensions(self) -> list[Shape]:
        beside = list(self.beside)
        deep: list[Measure] = []
        kept: list[tuple[float, float, float]] = []
        for side in (-1, 1):
            measures = self._deep(side)
            if in_rows(measures, "x", self.away, self.scale)[1] > _MOST_END_ROWS:
                figures = self._running_deep(side)
                beside += figures
                low, bottom, high, top = extents_mm(figures, self.scale)
                border = self._at(ZERO)[1].float_mm(self.scale)
                reach = top - border if self.away > 0 else border - bottom
                kept.append((low - _ASIDE_MM, high + _ASIDE_MM, reach + _OVER_MM))
            else:
                deep += measures
        stations = self.gauged.stations
        whole = self._whole()
        if len(stations) <= _MOST_ROWS:
            return [
                *beside,
                *in_rows([*self._one_by_one(stations), *whole, *deep], "x", self.away, self.scale, kept=kept)[0],
            ]
        # many places: running dimensions on this side, whole lengths beyond the view of the face edge
        start, finish = self.views.start[0], self.views.finish[0]
        places = sorted({v for station in stations for v in station if start < v < finish})
        # not over the figures of the ends
        low, high = (corner[0].float_mm(self.scale) for corner in self.views.corners(self.views.face_side))
        run = running(
            self._at(start), [(self._at(v), self.display.bare(v - start)) for v in places], self.away, self.scale,
            within=(low - _REACH_MM, high + _REACH_MM),
        )  # fmt: skip
        beyond = self.views.corners(self.views.face_edge)[self.away < 0][1]
        whole = [Measure((m.start[0], beyond), (m.end[0], beyond), m.text, m.value) for m in whole]
        return [
            *beside, *in_rows(deep, "x", self.away, self.scale)[0], *run,
            *in_rows(whole, "x", -self.away, self.scale)[0],
        ]  # fmt: skip

    def _at(self, along: Length) -> Point:
        """A place along the piece, on the border of the face side's view away from the face edge's."""
        return self.views.fold.at(along), self.views.corners(self.views.face_side)[self.away > 0][1]

    def _measure(self, start: Length, end: Length) -> Measure:
        return Measure(self._at(start), self._at(end), self.display.bare(end - start), end - start)

    def _whole(self) -> list[Measure]:
        """Shoulder to shoulder (from the real end where no shoulder shows), and with what the joints add."""
        start, finish, low, high = self.views.start[0], self.views.finish[0], self.views.lo[0], self.views.hi[0]
        if (low, high) == (start, finish):
            return [self._measure(start, finish)]
        every = [self._measure(start, finish), self._measure(low, high), self._measure(low, start)]
        # holes in a tenon count from the shoulder
        beyond = sorted({b.centre[0] for b in self.piece.bores if side_of(b.face)[0] != 0} - {start, finish})
        every += [self._measure(v, start) for v in beyond if v < start]
        return [*every, self._measure(finish, high), *(self._measure(finish, v) for v in beyond if v > finish)]

    def _one_by_one(self, stations: list[tuple[Length, Length]]) -> list[Measure]:
        start = self.views.start[0]
        return [m for a, b in stations for m in (self._measure(start, a), self._measure(a, b))]

    def _upright(self, side: int) -> tuple[Sequence[Shape], float]:
        """Places from the face edge, outside end A (`side` -1) or end B, and the paper they take beside it."""
        view = self.views.end_a if side < 0 else self.views.end_b
        x = self.views.corners(view)[side > 0][0]

        def at(across: Length) -> Point:
            return x, view.place((ZERO, across, ZERO))[1]

        spans = [(start, end) for axis, start, end in self.gauged.spans(side) if axis == 1]
        measures = []
        for start, end in spans:
            low, high = sorted((at(start), at(end)), key=lambda point: point[1])
            measures.append(Measure(low, high, self.display.bare(end - start), end - start))
        shown, rows = in_rows(measures, "y", side, self.scale)
        if rows <= _MOST_END_ROWS:
            return shown, rows_height(rows)
        zero = self.views.start[1]
        places = sorted({v for span in spans for v in span} - {zero})
        stations = [(at(v), self.display.bare(v - zero)) for v in places]
        shapes = running(at(zero), stations, side, self.scale, "y", self.away)
        return shapes, running_height(words for _, words in stations)

    def _deep_at(self, side: int) -> Callable[[Length], Point]:
        """Where a place from the face side lies on the border of end A or end B."""
        view = self.views.end_a if side < 0 else self.views.end_b
        y = self.views.corners(view)[self.away > 0][1]
        return lambda deep: (view.place((ZERO, ZERO, deep))[0], y)

    def _deep(self, side: int) -> list[Measure]:
        """Places from the face side, under or over end A or end B."""
        at = self._deep_at(side)
        measures = []
        for axis, start, end in self.gauged.spans(side):
            if axis == 2:
                low, high = sorted((at(start), at(end)), key=lambda point: point[0])
                measures.append(Measure(low, high, self.display.bare(end - start), end - start))
        return measures

    def _running_deep(self, side: int) -> list[Shape]:
        at = self._deep_at(side)
        places = {v for axis, *span in self.gauged.spans(side) for v in span if axis == 2}
        zero = self.views.start[2]
        stations = [(at(v), self.display.bare(v - zero)) for v in sorted(places - {zero})]
        return running(at(zero), stations, self.away, self.scale, away=-side)

    def _hole_notes(self, drawn: Sequence[Shape]) -> list[Shape]:
        """How many holes of a kind, their diameter and depth, on a leader from one of them, clear of what is `drawn`;
        one leader for all holes about one centre."""
        about: dict[tuple[Face, Spot], list[Bore]] = {}
        for bore in sorted(self.piece.bores, key=lambda bore: -bore.diameter.mm):
            about.setdefault((bore.face, bore.centre), []).append(bore)
        groups: dict[tuple[object, ...], list[list[Bore]]] = {}
        for nest in about.values():
            shapes = tuple((bore.diameter, bore.depth, bore.head, bore.slot) for bore in nest)
            groups.setdefault((nest[0].face, shapes), []).append(nest)
        views, notes = self.views, list[Shape]()
        taken = ground(drawn, self.scale, self._name_boxes())
        told = [(self._hole_words(len(nests), nests[0]), nests) for nests in groups.values()]
        # long words find room first
        for words, nests in sorted(told, key=lambda one: (-len(one[0]), one[0], str(one[1][0][0].centre))):
            bores = [nest[0] for nest in nests]
            axis, high = side_of(bores[0].face)
            view = (views.end_b if high else views.end_a, views.face_edge, views.face_side)[axis]
            points = [view.place(bore.centre) for bore in sorted(bores, key=lambda bore: bore.centre)]
            tips = [(x.float_mm(self.scale), y.float_mm(self.scale)) for x, y in points]
            low_x, low_y, high_x, high_y = extents_mm([*drawn, *notes], self.scale)
            wide, tall = self.room
            sheet = (high_x - wide, high_y - tall, low_x + wide, low_y + tall)
            tip, at = place_note(tips, words, taken, sheet)
            taken = taken.with_note(tip, at, words)
            notes.append(Leader(points[tips.index(tip)], (views.true(at[0]), views.true(at[1])), words))
        return notes

    def _hole_words(self, count: int, nest: Sequence[Bore]) -> str:
        """The holes of one centre, the widest first."""
        words = ", in it ".join(self._bore_words(bore) for bore in nest)
        words += f", from {the_face(nest[0].face)}" if nest[0].face in UNSEEN else ""
        return (f"{count} × " if count > 1 else "") + words

    def _bore_words(self, bore: Bore) -> str:
        words = [f"Ø {self.display.drill(bore.diameter)}"]
        if bore.note:
            return f"{words[0]}, {bore.note}"
        words.append("through" if bore.depth is None else f"{self.display.bare(bore.depth)} deep")
        if bore.slot:
            words.append(f"slotted {self.display.bare(bore.slot)} long")
        if bore.head:
            words.append(f"countersunk to Ø {self.display.alone().length(bore.head)}")
        return ", ".join(words)

    def _name_boxes(self) -> list[Box]:
        """Room for the names of joints, on the face side and on the face edge."""
        wide, high = _NAME_MM
        spots = []
        for cuboid in self.piece.cuboids:
            for view in (self.views.face_side, self.views.face_edge):
                x, y = view.place(self.views.shown_middle(cuboid))
                spots.append((x.float_mm(self.scale), y.float_mm(self.scale)))
        return [(x - wide, y - high, x + wide, y + high) for x, y in spots]
