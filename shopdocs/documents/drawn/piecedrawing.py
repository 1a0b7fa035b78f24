"""The drawing of one piece: face side, face edge and both ends, with its joints measured from where one gauges.

The views stand in third-angle arrangement (ISO 5456-2): the view of the face edge beside that edge of the face side,
each end beside the end. They are true to hand, so the two pieces of a handed pair come out as mirror images. A long
piece is broken where it carries nothing (ISO 128-2: thin lines with zigzags), never shrunk until it cannot be read.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from shopdocs.blocks.drawing import (
    CentreMark,
    Circle,
    Dimension,
    Drawing,
    Leader,
    Line,
    Point,
    Polygon,
    Shape,
    Stroke,
    Words,
)
from shopdocs.core.box import Box, Ticks
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.measures import Measure, in_rows, rows_height, running, taken
from shopdocs.documents.drawn.pictures import SCALES, moved
from shopdocs.model.joining import Face
from shopdocs.work.space.hidden import outline
from shopdocs.work.space.lookalikes import marking_ticks
from shopdocs.work.space.placed import PIECE_AXES, Bore, Cuboid, PlacedPiece, Spot, side_of
from shopdocs.work.space.projection import View

READABLE_MM = 11.0  # the thinner side of a piece is drawn at least so large, if the page allows
_VIEW_GAP_MM = 11.0  # between views, for their names
_NAME_MM = 9.0  # above or below all views, for the name of the outer one
_KEEP_MM = 7.0  # of plain wood shown on both sides of a break and of every feature
_BREAK_MM = 3.0  # between the two break lines
_MOST_ROWS = 3  # stations measured one by one; more of them are given as running dimensions


@dataclass(frozen=True, slots=True)
class _Fold:
    """The piece's length with some stretches left out: each (from, to) is drawn as a gap of `gap`."""

    cuts: tuple[tuple[Length, Length], ...]
    gap: Length

    def at(self, along: Length) -> Length:
        """Where a place along the piece is drawn."""
        drawn = along
        for low, high in self.cuts:
            if along >= high:
                drawn = drawn - (high - low) + self.gap
        return drawn

    def parts(self, low: Length, high: Length) -> Iterator[tuple[Length, Length]]:
        """The stretches of low..high that are drawn."""
        at = low
        for start, end in self.cuts:
            if at < start < high or at < end < high:
                if at < start:
                    yield at, start
                at = max(at, end)
        if at < high:
            yield at, high


@dataclass(frozen=True)
class _View:
    """One view on the sheet: `axes` are the piece axes across and up, `look` the one looked along; `place` puts a point
    of the piece on the sheet."""

    name: str
    view: View
    across: int
    up: int
    look: int
    place: Callable[[Spot], Point]


def piece_drawing(piece: PlacedPiece, display: Display, room_mm: tuple[float, float], name: str = "") -> Drawing:
    """The piece in four views with dimensions, for a space of `room_mm` (width, height) on paper: at the largest usual
    scale at which it needs no break, or, where it could not be read then, larger and broken."""
    best: _Sheet | None = None
    for scale in SCALES:
        sheet = _Sheet(piece, display, scale, room_mm)
        if not sheet.fits:
            continue
        if best is None or (not sheet.fold.cuts and sheet.readable):
            best = sheet
        if not sheet.fold.cuts or not sheet.readable:
            break
    return (best or _Sheet(piece, display, SCALES[-1], room_mm)).drawing(name or f"{piece.mark}, {piece.part}")


class _Sheet:
    """The views of one piece and how they lie on the sheet, at one scale."""

    def __init__(self, piece: PlacedPiece, display: Display, scale: Fraction, room_mm: tuple[float, float]) -> None:
        self.piece, self.display, self.scale, self.room = piece, display, scale, room_mm
        self.ticks: Ticks = marking_ticks([piece])
        self.solid = piece.own_solid(self.ticks)
        bounds: Box = self.solid.bounds
        self.lo, self.hi = self._spot(bounds.lo), self._spot(bounds.hi)
        self.over_hand = piece.pose.right_handed  # then the face edge is the upper edge seen from the face side
        self.readable = float(min(piece.width, piece.thickness).mm * scale) >= READABLE_MM
        rows = (self._upright(side, ZERO)[1] for side in (-1, 1))
        self.left_gap, self.right_gap = (self._true(5.0 + max(rows_height(n), 4.0)) for n in rows)
        thick = self.hi[2] - self.lo[2]
        self.aside = thick * 2 + self.left_gap + self.right_gap  # what the ends and their distances take
        fold = self._fold_for(self._true(room_mm[0] - 0.5) - self.aside)
        self.fold = fold or _Fold((), ZERO)
        self.views = self._views()
        self.along, self.along_mm = self._along()
        self.fits = fold is not None and self._tall_mm() <= room_mm[1]

    def _spot(self, corner: tuple[int, int, int]) -> Spot:
        a, b, c = (self.ticks.length(v) for v in corner)
        return (a, b, c)

    def _true(self, paper_mm: float) -> Length:
        return Length(Fraction(round(Fraction(paper_mm) / self.scale * 1000), 1000))

    def _tall_mm(self) -> float:
        """Paper the sheet takes from top to bottom, words of upright dimensions included."""
        corners = [corner for view in self.views for corner in self._corners(view)]
        low = min(float(y.mm * self.scale) for _, y in corners)
        high = max(float(y.mm * self.scale) for _, y in corners)
        ends = (self.along_mm, _NAME_MM) if self.over_hand else (_NAME_MM, self.along_mm)
        below, above = low - ends[0], high + ends[1]
        for side in (-1, 1):
            for measure in self._measures(side, ZERO):
                span = taken(measure, 1, self.scale)
                below, above = min(below, span[0]), max(above, span[1])
        return above - below

    # what is left out

    def _stations(self) -> list[tuple[Length, Length]]:
        """Stretches along the piece that carry something."""
        length = self.piece.length
        spans = [(self.lo[0], ZERO), (length, self.hi[0])]
        for feature in self.piece.features:
            if isinstance(feature, Cuboid):
                spans.append((max(feature.lo[0], self.lo[0]), min(feature.hi[0], self.hi[0])))
            elif side_of(feature.face)[0] == 0:
                depth = feature.depth or ZERO
                spans.append((ZERO, depth) if feature.face is Face.A else (length - depth, length))
            else:
                spans.append((feature.centre[0] - feature.diameter / 2, feature.centre[0] + feature.diameter / 2))
        return sorted(spans)

    def _free(self) -> list[tuple[Length, Length]]:
        """Stretches between them; a groove along most of the piece carries no station of its own."""
        whole = self.piece.length * Fraction(7, 10)
        free, at = [], self.lo[0]
        for low, high in self._stations():
            if high - low > whole:
                continue
            if low > at:
                free.append((at, low))
            at = max(at, high)
        return free

    def _fold_for(self, room: Length) -> _Fold | None:
        """What to leave out so that the length fits the room; None when even that is not enough."""
        long = self.hi[0] - self.lo[0]
        keep, gap = self._true(_KEEP_MM), self._true(_BREAK_MM)
        cuts = []
        for low, high in sorted(self._free(), key=lambda f: f[0] - f[1]):
            if long <= room:
                break
            spare = (high - low) - keep * 2 - gap
            if spare <= keep:
                break
            cut = min(spare, long - room)
            middle = (low + high) / 2
            cuts.append((middle - (cut + gap) / 2, middle + (cut + gap) / 2))
            long -= cut
        return _Fold(tuple(sorted(cuts)), gap) if long <= room else None

    # the views

    def _height(self, axis: int, value: Length) -> Length:
        """How high on the sheet a place across the piece lies: from the face edge (axis 1) in the view of the face
        side, from the face side (axis 2) in that of the face edge, which stands over or under it."""
        if axis == 1:
            return self.hi[1] - value if self.over_hand else value - self.lo[1]
        gap = self._true(_VIEW_GAP_MM)
        return self.hi[1] - self.lo[1] + gap + (value - self.lo[2]) if self.over_hand else -gap - (value - self.lo[2])

    def _views(self) -> list[_View]:
        lo, hi = self.lo, self.hi
        sign = -1 if self.over_hand else 1
        left, right = self.fold.at(lo[0]), self.fold.at(hi[0])

        def face(s: Spot) -> Point:
            return self.fold.at(s[0]), self._height(1, s[1])

        def edge(s: Spot) -> Point:
            return self.fold.at(s[0]), self._height(2, s[2])

        def end_a(s: Spot) -> Point:
            return left - self.left_gap - (s[2] - lo[2]), self._height(1, s[1])

        def end_b(s: Spot) -> Point:
            return right + self.right_gap + (s[2] - lo[2]), self._height(1, s[1])

        return [
            _View("face side", View("", (0, 0, -1), (1, 0, 0), (0, sign, 0)), 0, 1, 2, face),
            _View("face edge", View("", (0, -1, 0), (1, 0, 0), (0, 0, -sign)), 0, 2, 1, edge),
            _View("end A", View("", (-1, 0, 0), (0, 0, -1), (0, sign, 0)), 2, 1, 0, end_a),
            _View("end B", View("", (1, 0, 0), (0, 0, 1), (0, sign, 0)), 2, 1, 0, end_b),
        ]

    def drawing(self, name: str) -> Drawing:
        shapes: list[Shape] = []
        for view in self.views:
            shapes += self._lines(view)
            shapes += self._holes(view)
            shapes += self._name(view)
            if view.across == 0:
                shapes += self._breaks(view)
        shapes += self._hole_notes()
        low, high = self._corners(self.views[0])
        shapes += [*self.along, *self._upright(-1, low[0])[0], *self._upright(1, high[0])[0]]
        return self._framed(name, shapes)

    def _lines(self, view: _View) -> Iterator[Line]:
        found = outline([self.solid], view.view, self.ticks)
        for stroke, segments in ((Stroke.VISIBLE, found.visible), (Stroke.HIDDEN, found.hidden)):
            for segment in segments:
                ends = [self._sloped(view, self._spot(corner)) for corner in segment]
                gauged = stroke is Stroke.VISIBLE and self._is_reference(view, ends)
                for one, two in self._parts(view, ends[0], ends[1]):
                    yield Line(view.place(one), view.place(two), Stroke.REFERENCE if gauged else stroke)

    def _parts(self, view: _View, one: Spot, two: Spot) -> Iterator[tuple[Spot, Spot]]:
        """A line of the piece without the stretches the drawing leaves out."""
        if view.across != 0 or one[0] == two[0]:
            yield one, two
        elif one[1:] != two[1:] and view.up != 0 and one[view.up] != two[view.up]:
            yield one, two  # the slope of a tail, too short to be broken
        else:
            low, high = (one, two) if one[0] < two[0] else (two, one)
            for start, end in self.fold.parts(low[0], high[0]):
                yield (start, low[1], low[2]), (end, low[1], low[2])

    def _is_reference(self, view: _View, ends: list[Spot]) -> bool:
        """Whether a seen line is the face edge (in the view of the face side and the ends) or the face side (in the
        others): what one gauges from."""
        return any(
            all(spot[axis] == ZERO for spot in ends) for axis in (1, 2) if axis != view.look
        )  # fmt: skip

    def _sloped(self, view: _View, spot: Spot) -> Spot:
        """The corner of a dovetail, drawn in where the tail or socket is narrow; elsewhere the spot as it is."""
        for cuboid in self.piece.cuboids:
            if cuboid.flare is None:
                continue
            axis = PIECE_AXES.index(cuboid.flare.axis)
            stands, high = side_of(cuboid.flare.at)
            narrow = cuboid.hi[stands] if high else cuboid.lo[stands]
            if (
                view.look in (axis, stands)
                or spot[stands] != narrow
                or spot[axis] not in (cuboid.lo[axis], cuboid.hi[axis])
            ):
                continue
            by = cuboid.flare.by if spot[axis] == cuboid.lo[axis] else -cuboid.flare.by
            moved = [value + by if k == axis else value for k, value in enumerate(spot)]
            return (moved[0], moved[1], moved[2])
        return spot

    def _holes(self, view: _View) -> Iterator[Shape]:
        for bore in self.piece.bores:
            axis, high = side_of(bore.face)
            if axis == view.look:
                toward_eye = (view.view.toward[axis] > 0) == high
                stroke = Stroke.VISIBLE if toward_eye or bore.depth is None else Stroke.HIDDEN
                centre = view.place(bore.centre)
                yield Circle(centre, bore.diameter / 2, stroke)
                yield CentreMark(centre, bore.diameter / 2 + self._true(1.5))
            else:
                yield from self._hole_from_the_side(view, bore, axis, high)

    def _hole_from_the_side(self, view: _View, bore: Bore, axis: int, high: bool) -> Iterator[Line]:
        depth = self.piece.size[axis] if bore.depth is None else bore.depth
        other = view.up if axis == view.across else view.across

        def at(deep: Length, aside: Length) -> Point:
            spot = list(bore.centre)
            spot[axis] = spot[axis] - deep if high else spot[axis] + deep
            spot[other] = spot[other] + aside
            return view.place((spot[0], spot[1], spot[2]))

        radius, over = bore.diameter / 2, self._true(2.0)
        yield Line(at(ZERO, radius), at(depth, radius), Stroke.HIDDEN)
        yield Line(at(ZERO, -radius), at(depth, -radius), Stroke.HIDDEN)
        yield Line(at(depth, -radius), at(depth, radius), Stroke.HIDDEN)
        yield Line(at(-over, ZERO), at(depth + over, ZERO), Stroke.CENTRE)

    def _corners(self, view: _View) -> tuple[Point, Point]:
        one, two = view.place(self.lo), view.place(self.hi)
        return (min(one[0], two[0]), min(one[1], two[1])), (max(one[0], two[0]), max(one[1], two[1]))

    def _name(self, view: _View) -> Iterator[Shape]:
        """The view's name on the side of it where no dimensions along the piece stand."""
        low, high = self._corners(view)
        y, off = (high[1], 3.2) if self.over_hand else (low[1], -3.2)
        if view.across == 0:
            yield Words((low[0], y), view.name, 9.0, "left", dy_mm=off)
        else:
            yield Words(((low[0] + high[0]) / 2, y), view.name, 9.0, "centre", dy_mm=off)

    def _hole_notes(self) -> Iterator[Shape]:
        """How many holes of a kind, their diameter and depth, on a leader from the first of them."""
        groups: dict[tuple[Face, Length, Length | None], list[Bore]] = {}
        for bore in self.piece.bores:
            groups.setdefault((bore.face, bore.diameter, bore.depth), []).append(bore)
        for place, ((face, diameter, depth), bores) in enumerate(sorted(groups.items(), key=lambda g: str(g[0]))):
            axis, high = side_of(face)
            looks = [2, 1, 0, 0]
            index = 3 if axis == 0 and high else looks.index(axis)
            view = self.views[index]
            first = min(bores, key=lambda bore: bore.centre)
            tip = view.place(first.centre)
            low, top = self._corners(view)
            step = 4.5 if index < 2 else 8.0 + 4.5 * place
            y = top[1] + self._true(step) if self.over_hand else low[1] - self._true(step)
            count = f"{len(bores)} × " if len(bores) > 1 else ""
            deep = "through" if depth is None else f"{self.display.bare(depth)} deep"
            side = -1 if index == 2 else 1
            yield Leader(tip, (tip[0] + self._true(side * 6.0), y), f"{count}Ø {self.display.bare(diameter)}, {deep}")

    def _breaks(self, view: _View) -> Iterator[Shape]:
        low, high = self._corners(view)
        over, tooth, slant = self._true(1.4), self._true(1.1), self._true(0.9)
        bottom, top, middle = low[1] - over, high[1] + over, (low[1] + high[1]) / 2
        for start, end in self.fold.cuts:
            for x in (self.fold.at(start), self.fold.at(end)):
                points = (
                    (x, bottom), (x, middle - slant), (x - tooth, middle - slant / 3), (x + tooth, middle + slant / 3),
                    (x, middle + slant), (x, top),
                )  # fmt: skip
                yield Polygon(points, Stroke.THIN, "none", closed=False)

    # the dimensions

    def _along(self) -> tuple[list[Shape], float]:
        """Places along the piece from end A, on the side of the face view away from the edge view; and the paper they
        take. Many places are given as running dimensions, few one by one."""
        view, length = self.views[0], self.piece.length
        low, high = self._corners(view)
        border, side = (low[1], -1) if self.over_hand else (high[1], 1)

        def at(along: Length) -> Point:
            return self.fold.at(along), border

        def measure(start: Length, end: Length) -> Measure:
            return Measure(at(start), at(end), self.display.bare(end - start))

        whole = [measure(ZERO, length)]
        if self.lo[0] < ZERO or self.hi[0] > length:
            whole.append(measure(self.lo[0], self.hi[0]))
            whole += [measure(self.lo[0], ZERO), measure(length, self.hi[0])]
        inside = [f for f in self.piece.cuboids if f.hi[0] > ZERO and f.lo[0] < length]
        spans = sorted({(max(f.lo[0], ZERO), min(f.hi[0], length)) for f in inside})
        spans = [span for span in spans if span != (ZERO, length)]
        centres = sorted({b.centre[0] for b in self.piece.bores if side_of(b.face)[0] != 0})
        if len(spans) + len(centres) <= _MOST_ROWS:
            single = [m for a, b in spans for m in (measure(ZERO, a), measure(a, b))]
            single += [measure(ZERO, centre) for centre in centres]
            shapes, rows = in_rows([*single, *whole], "x", side, self.scale)
            return list(shapes), rows_height(rows) + 3.0
        places = sorted({v for span in spans for v in span if ZERO < v < length} | set(centres))
        run, taken = running(at(ZERO), [(at(v), self.display.bare(v)) for v in places], side, self.scale)
        shapes, rows = in_rows(whole, "x", side, self.scale, taken + 5.0)
        return [*run, *shapes], taken + 5.0 + rows_height(rows)

    def _upright_spans(self, side: int) -> list[tuple[int, Length, Length]]:
        """Places across the piece that are measured on one side of the drawing: piece axis, from, to; features stand at
        the end they are nearer to, the size of the piece itself on the left. What the right would only repeat is left
        out."""
        half, spans = self.piece.length / 2, []
        for axis in (1, 2):
            size = self.piece.size[axis]
            for feature in self.piece.features:
                if isinstance(feature, Cuboid):
                    at = (feature.lo[0] + feature.hi[0]) / 2
                    low, high = max(feature.lo[axis], self.lo[axis]), min(feature.hi[axis], self.hi[axis])
                    wanted = [] if (low, high) == (ZERO, size) else [(axis, min(ZERO, low), low), (axis, low, high)]
                else:
                    at = feature.centre[0]
                    wanted = [] if side_of(feature.face)[0] == axis else [(axis, ZERO, feature.centre[axis])]
                if (at < half) == (side < 0):
                    spans += [span for span in wanted if span[1] < span[2]]
            if side < 0:
                spans.append((axis, ZERO, size))
        spans = list(dict.fromkeys(spans))
        if side > 0 and set(spans) <= set(self._upright_spans(-1)):
            return []
        return spans

    def _measures(self, side: int, x: Length) -> list[Measure]:
        """What is measured across the piece on one side, from the border at `x`."""
        measures = []
        for axis, start, end in self._upright_spans(side):
            ends = sorted((self._height(axis, start), self._height(axis, end)))
            measures.append(Measure((x, ends[0]), (x, ends[1]), self.display.bare(end - start)))
        return measures

    def _upright(self, side: int, x: Length) -> tuple[list[Dimension], int]:
        """The dimensions across the piece on one side, and how many rows they take: both long views share the rows."""
        return in_rows(self._measures(side, x), "y", side, self.scale)

    def _framed(self, name: str, shapes: list[Shape]) -> Drawing:
        """Shapes moved so that the views and the dimensions fill the box from (0, 0)."""
        corners = [corner for view in self.views for corner in self._corners(view)]
        pad, depth = self._true(_NAME_MM), self._true(self.along_mm)
        low_y, high_y = min(c[1] for c in corners), max(c[1] for c in corners)
        low_y, high_y = (low_y - depth, high_y + pad) if self.over_hand else (low_y - pad, high_y + depth)
        low_x, high_x = min(c[0] for c in corners), max(c[0] for c in corners)
        back = (low_x, low_y)
        return Drawing(
            name, high_x - low_x, high_y - low_y, tuple(moved(shape, back) for shape in shapes), self.scale, 0.0,
            self.room[1] + 3.0,
        )  # fmt: skip
