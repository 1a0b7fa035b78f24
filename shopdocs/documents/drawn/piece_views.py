"""The views of one piece on a sheet: face side, face edge and both ends.

They stand in third-angle arrangement (ISO 5456-2): the view of the face edge beside that edge of the face side, each
end beside the end. They are true to hand, so the two pieces of a handed pair come out as mirror images. A long piece is
broken where it carries nothing (ISO 128-2: thin lines with zigzags); the ends of a thin one are drawn larger.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from shopdocs.blocks.drawing import CentreMark, Circle, Line, Point, Polygon, Shape, Stroke, Words
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.gauged import Gauged, PieceLine
from shopdocs.documents.drawn.measures import true_length, words_box, words_mm
from shopdocs.documents.drawn.notes import Ground, ground, runs_through
from shopdocs.work.shapes.projection import View
from shopdocs.work.space.placed import Bore, Cuboid, PlacedPiece, Spot, side_of

READABLE_MM = 11.0  # the thinner side of a piece is drawn at least so large, if the page allows
END_ROOM_MM = 34.0  # a larger end is not drawn wider than this
VIEW_GAP_MM = 11.0  # between views, for their names
_NAME_MM = 10.0  # the name of an end
SEEN_MM = 0.7  # two circles so far apart on paper are seen to be two
_KEEP_MM = 7.0  # of plain wood shown on both sides of a break and of every feature
_BREAK_MM = 3.0  # between the two break lines
_STEP_MM = 1.0  # between places that are tried for a name
_ASIDE_MM = 9.0  # the name of an end is moved at most so far
_AIR_MM = 0.7  # beside a name
_TOUCH_MM = 0.9
_ROUND = 16  # straight pieces of a half round


@dataclass(frozen=True, slots=True)
class Fold:
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
class PieceView:
    """One view on the sheet: `across` and `up` are the piece axes it shows, `look` the one looked along; `place` puts a
    point of the piece on the sheet, `times` larger than the sheet's scale; it fills the rectangle from `low` to
    `high`."""

    name: str
    view: View
    across: int
    up: int
    look: int
    place: Callable[[Spot], Point]
    low: Point
    high: Point
    times: int = 1


class PieceViews:
    """The four views of a piece at one scale, with the face side between (0, 0) and the size of the piece. `room` is
    what the length may take, in true measure; `whole` says whether it could be made to fit there."""

    def __init__(self, gauged: Gauged, scale: Fraction, room: Length) -> None:
        self.gauged, self.piece, self.scale = gauged, gauged.piece, scale
        self.lo, self.hi, self.start, self.finish = gauged.lo, gauged.hi, gauged.start, gauged.finish
        self.over_hand = gauged.over_hand
        self.gap = self.true(VIEW_GAP_MM)
        self.times = end_times(self.piece, scale)
        fold = self._fold_for(room)
        self.fits = fold is not None
        self.fold = fold or Fold((), ZERO)
        self.face_side, self.face_edge, self.end_a, self.end_b = self.every = self._views()

    def true(self, paper_mm: float) -> Length:
        """So many millimetres of paper as a true length."""
        return true_length(paper_mm, self.scale)

    def shapes(self) -> Iterator[Shape]:
        """All lines, holes and break lines."""
        for view, lines in zip(self.every, self.gauged.lines, strict=True):
            yield from self._lines(view, lines)
            yield from self._holes(view)
            if view.across == 0:
                yield from self._breaks(view)

    def names(self, drawn: Sequence[Shape]) -> list[Words]:
        """The name of every view, as near to its usual place as is clear of what is `drawn`."""
        taken, names = ground(drawn, self.scale), list[Words]()
        for view in self.every:
            name = self._clear_of(taken, view)
            taken = replace(taken, words=(*taken.words, words_box(name, self.scale)))
            names.append(name)
        return names

    def _clear_of(self, taken: Ground, view: PieceView) -> Words:
        """A view's name moved along its border where lines or words stand in its way; at its usual place where they do
        all along."""
        usual = self._name(view)
        low, high = (corner[0].float_mm(self.scale) for corner in self.corners(view))
        most = high - low - words_mm(view.name) if view.across == 0 else _ASIDE_MM
        steps = range(1, max(1, int(most / _STEP_MM)) + 1)
        ways = [0.0, *(_STEP_MM * k * sign for k in steps for sign in ((1,) if view.across == 0 else (1, -1)))]
        for dx in ways:
            name = replace(usual, dx_mm=usual.dx_mm + dx)
            a, b, c, d = words_box(name, self.scale)
            # the room of a dimension is reckoned high: words may reach into it a little
            over_words = any(
                a < box[2] and box[0] < c and b + _TOUCH_MM < box[3] and box[1] + _TOUCH_MM < d for box in taken.words
            )
            if not over_words and not any(runs_through(line, (a - _AIR_MM, b, c + _AIR_MM, d)) for line in taken.lines):
                return name
        return usual

    def corners(self, view: PieceView) -> tuple[Point, Point]:
        """The rectangle of the sheet that a view fills."""
        return view.low, view.high

    def shown_middle(self, cuboid: Cuboid) -> Spot:
        """The middle of what is drawn of a cut or tenon: of its longest stretch where a break parts it; beside the hole
        of a drawbore."""
        middle = [(low + high) / 2 for low, high in zip(cuboid.lo, cuboid.hi, strict=True)]
        low, high = max(cuboid.lo[0], self.lo[0]), min(cuboid.hi[0], self.hi[0])
        parts = list(self.fold.parts(low, high))
        if parts:
            start, end = max(parts, key=lambda part: part[1] - part[0])
            middle[0] = (start + end) / 2
        for bore in self.piece.bores:
            if bore.against and side_of(bore.face)[0] == 2 and cuboid.lo[0] < bore.centre[0] < cuboid.hi[0]:
                below, above = bore.centre[1] - cuboid.lo[1], cuboid.hi[1] - bore.centre[1]
                middle[1] = cuboid.lo[1] + below / 4 if below > above else cuboid.hi[1] - above / 4
        return (middle[0], middle[1], middle[2])

    # what is left out

    def _fold_for(self, room: Length) -> Fold | None:
        """What to leave out so that the length fits the room; None when even that is not enough."""
        long = self.hi[0] - self.lo[0]
        keep, gap = self.true(_KEEP_MM), self.true(_BREAK_MM)
        cuts = []
        for low, high in self.gauged.free:
            if long <= room:
                break
            spare = (high - low) - keep * 2 - gap
            if spare <= keep:
                break
            cut = min(spare, long - room)
            middle = (low + high) / 2
            cuts.append((middle - (cut + gap) / 2, middle + (cut + gap) / 2))
            long -= cut
        return Fold(tuple(sorted(cuts)), gap) if long <= room else None

    # where the views lie

    def _views(self) -> tuple[PieceView, PieceView, PieceView, PieceView]:
        lo, hi = self.lo, self.hi
        left, right = self.fold.at(lo[0]) - self.gap, self.fold.at(hi[0]) + self.gap
        tall, times = hi[1] - lo[1], self.times
        middle = tall / 2

        def height(across: Length) -> Length:
            return hi[1] - across if self.over_hand else across - lo[1]

        def of_end(across: Length) -> Length:
            return middle + (height(across) - middle) * times

        def face(s: Spot) -> Point:
            return self.fold.at(s[0]), height(s[1])

        def edge(s: Spot) -> Point:
            deep = s[2] - lo[2] + self.gap
            return self.fold.at(s[0]), tall + deep if self.over_hand else -deep

        def end_a(s: Spot) -> Point:
            return left - (s[2] - lo[2]) * times, of_end(s[1])

        def end_b(s: Spot) -> Point:
            return right + (s[2] - lo[2]) * times, of_end(s[1])

        def view(
            name: str, looks: View, axes: tuple[int, int, int], place: Callable[[Spot], Point], times: int = 1
        ) -> PieceView:
            (a, b), (c, d) = place(lo), place(hi)
            return PieceView(name, looks, *axes, place, (min(a, c), min(b, d)), (max(a, c), max(b, d)), times)

        larger = f", × {times}" if times > 1 else ""
        at_face, at_edge, at_a, at_b = self.gauged.views
        return (
            view("face side", at_face, (0, 1, 2), face), view("face edge", at_edge, (0, 2, 1), edge),
            view("end A" + larger, at_a, (2, 1, 0), end_a, times),
            view("end B" + larger, at_b, (2, 1, 0), end_b, times),
        )  # fmt: skip

    # what is drawn

    def _lines(self, view: PieceView, lines: Sequence[PieceLine]) -> Iterator[Line]:
        for start, end, stroke in lines:
            for one, two in self._parts(view, start, end):
                yield Line(view.place(one), view.place(two), stroke)

    def _parts(self, view: PieceView, one: Spot, two: Spot) -> Iterator[tuple[Spot, Spot]]:
        """A line of the piece without the stretches the drawing leaves out."""
        if view.across != 0 or one[0] == two[0]:
            yield one, two
        elif one[1:] != two[1:] and view.up != 0 and one[view.up] != two[view.up]:
            yield one, two  # the slope of a tail, too short to be broken
        else:
            low, high = (one, two) if one[0] < two[0] else (two, one)
            for start, end in self.fold.parts(low[0], high[0]):
                yield (start, low[1], low[2]), (end, low[1], low[2])

    def _holes(self, view: PieceView) -> Iterator[Shape]:
        for bore in self.piece.bores:
            axis, high = side_of(bore.face)
            if axis == view.look:
                toward_eye = (view.view.toward[axis] > 0) == high
                stroke = Stroke.VISIBLE if toward_eye or bore.depth is None else Stroke.HIDDEN
                yield from self._hole_from_above(view, bore, stroke)
            else:
                yield from self._hole_from_the_side(view, bore, axis, high)

    def _hole_from_above(self, view: PieceView, bore: Bore, stroke: Stroke) -> Iterator[Shape]:
        """A circle, a countersink as a second one around it, a slot with round ends."""
        centre, radius = view.place(bore.centre), bore.diameter * view.times / 2
        if bore.slot is None:
            yield Circle(centre, radius, stroke)
        else:
            half = (bore.slot * view.times / 2) - radius
            yield Polygon(tuple(slot_outline(centre, radius, half, bore.slot_axis == view.up)), stroke)
        head = bore.head * view.times / 2 if bore.head else radius
        if bore.head:
            yield Circle(centre, head, stroke)
        if bore.against is not None:
            other = view.place(bore.against)
            if max(abs(a - b) for a, b in zip(centre, other, strict=True)) >= self.true(SEEN_MM):
                yield Circle(other, radius, Stroke.HIDDEN)
        reach = max(head, bore.slot * view.times / 2 if bore.slot else head)
        yield CentreMark(centre, reach + self.true(1.5), stroke is Stroke.HIDDEN)

    def _hole_from_the_side(self, view: PieceView, bore: Bore, axis: int, high: bool) -> Iterator[Line]:
        """Its hidden outline: straight sides, the cone of a countersink at the surface (ISO 128-3: hidden edges)."""
        depth = self.piece.size[axis] if bore.depth is None else bore.depth
        other = view.up if axis == view.across else view.across

        def at(deep: Length, aside: Length) -> Point:
            spot = list(bore.centre)
            spot[axis] = spot[axis] - deep if high else spot[axis] + deep
            spot[other] = spot[other] + aside
            return view.place((spot[0], spot[1], spot[2]))

        radius, over = bore.diameter / 2, self.true(2.0 / view.times)
        if bore.slot and bore.slot_axis == other:
            radius = bore.slot / 2
        sunk = min(bore.sink, depth) if bore.head and bore.sink else ZERO
        for side in (1, -1):
            yield Line(at(sunk, radius * side), at(depth, radius * side), Stroke.HIDDEN)
            if bore.head and bore.sink:
                wide = radius + (bore.head - bore.diameter) / 2
                yield Line(at(ZERO, wide * side), at(sunk, radius * side), Stroke.HIDDEN)
        if sunk:
            yield Line(at(sunk, -radius), at(sunk, radius), Stroke.HIDDEN)
        if bore.depth is not None:
            yield Line(at(depth, -radius), at(depth, radius), Stroke.HIDDEN)
        yield Line(at(-over, ZERO), at(depth + over, ZERO), Stroke.CENTRE)

    def _name(self, view: PieceView) -> Words:
        """The view's name, on the side where no dimensions along the piece stand."""
        low, high = self.corners(view)
        y, off = (high[1], 3.2) if self.over_hand else (low[1], -3.2)
        if view.across == 0:
            # from the shoulder on: extension lines of a tenon's length pass beside it
            return Words((max(low[0], self.fold.at(self.start[0])), y), view.name, 9.0, "left", dx_mm=1.0, dy_mm=off)
        # a name wider than its end reaches over the gap to the face side, away from the dimensions beside the end
        first = view is self.every[2]
        wide = high[0] - low[0] < self.true(_NAME_MM)
        left = first == wide
        return Words((low[0] if left else high[0], y), view.name, 9.0, "left" if left else "right", dy_mm=off)

    def _breaks(self, view: PieceView) -> Iterator[Shape]:
        low, high = self.corners(view)
        over, tooth, slant = self.true(1.4), self.true(1.1), self.true(0.9)
        bottom, top, middle = low[1] - over, high[1] + over, (low[1] + high[1]) / 2
        for start, end in self.fold.cuts:
            for x in (self.fold.at(start), self.fold.at(end)):
                points = (
                    (x, bottom), (x, middle - slant), (x - tooth, middle - slant / 3), (x + tooth, middle + slant / 3),
                    (x, middle + slant), (x, top),
                )  # fmt: skip
                yield Polygon(points, Stroke.THIN, "none", closed=False)


def end_times(piece: PlacedPiece, scale: Fraction) -> int:
    """How much larger than the sheet's scale the ends are drawn, so that they can be read and still have room."""
    thin, wide = (v.float_mm(scale) for v in sorted((piece.width, piece.thickness)))
    if thin >= READABLE_MM / 2:
        return 1
    return max(1, min(round(READABLE_MM / thin), int(END_ROOM_MM / wide)))


def slot_outline(centre: Point, radius: Length, half: Length, upright: bool) -> Iterator[Point]:
    """A slot whose round ends have their centres `half` beside its middle, as a polygon."""
    for step in range(2 * _ROUND + 2):
        end = 1 if step <= _ROUND else -1
        turn = math.pi * ((step if end > 0 else step - 1) / _ROUND - 0.5)
        x = half * end + radius * Fraction(round(math.cos(turn) * 10**6), 10**6)
        y = radius * Fraction(round(math.sin(turn) * 10**6), 10**6)
        yield (centre[0] - y, centre[1] + x) if upright else (centre[0] + x, centre[1] + y)
