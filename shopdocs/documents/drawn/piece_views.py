"""The views of one piece on a sheet: its face side, the other long faces that carry work, and its ends where they do.

Every worked face is looked at from outside, so what is cut there is seen open. The long faces stand one under the
other as the piece is rolled over toward you (side by side for an upright one), end A of all of them at the same side;
the view of an end stands beside that end of the face side (ISO 5456-2, third-angle). A long piece is broken where it
carries nothing (ISO 128-2: thin lines with zigzags); the ends of a thin one are drawn larger.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from shopdocs.blocks.drawing import CentreMark, Circle, Line, Point, Polygon, Shape, Stroke
from shopdocs.blocks.face_marks import Way, face_edge_mark, face_side_mark
from shopdocs.blocks.scales import SCALES
from shopdocs.core.length import ZERO, Length
from shopdocs.core.rounds import Round
from shopdocs.core.turn import near
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.drawn.measures import true_length
from shopdocs.model.joining import Face
from shopdocs.work.space.let_in import axes_of, is_let_in, marked_side
from shopdocs.work.space.placed import Bore, Cuboid, FeatureKind, PlacedPiece, Slant, Slanting, Spot, side_of

READABLE_MM = 11.0  # the thinner side of a piece is drawn at least so large, if the page allows
END_ROOM_MM = 30.0  # a larger end is not drawn wider than this
SEEN_MM = 0.25  # two circles so far apart on paper are seen to be two
_KEEP_MM = 6.0  # of plain wood shown on both sides of a break and of every feature
_STUB_MM = 4.0  # of a groove that a break is in: longer than the break, so that it is seen to go on
_BREAK_MM = 3.0  # between the two break lines
_KNIFE_MM = 2.2  # a knife line runs so far past the wood
_AXIS_MM = 3.0  # the centre line of a round runs so far past it
_MARK_MM = 8.0  # a face mark, where the face has the room
_SMALL_MM = 4.0  # one beside a line
_CLEAR_OF = Fraction(6, 5)  # of its size: what lies so far from the arris is clear of the loop
_MARK_SHARE = 0.55  # of the width of the face
_STRUCK_MM = 3.0  # the line of a cut askew on its face is struck so far past it
_SIGHT = 1.4  # of a mortise's thickness: how far its sight line runs to both sides of its middle
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
            if start < high:
                if at < start:
                    yield at, start
                at = max(at, end)
        if at < high:
            yield at, high


@dataclass(frozen=True, slots=True)
class Margins:
    """Paper beside the views in millimetres: over and under each long face (left and right of an upright one), and
    between the long faces and the view of an end at the left and at the right (below and above)."""

    over: Mapping[Face, float]
    under: Mapping[Face, float]
    before: float
    after: float


@dataclass(frozen=True)
class PieceView:
    """A face on the sheet. `place` puts a point of the piece on the sheet; the view fills the rectangle from `low` to
    `high`, lying (also of an upright piece: see `stand.py`). It is drawn `times` larger than the sheet's scale."""

    face: Face
    place: Callable[[Spot], Point]
    low: Point
    high: Point
    times: Fraction = Fraction(1)


class PieceViews:
    """The views of a piece at one scale. `room` is what the length may take, in true measure; `fits` says whether it
    could be made to fit there."""

    def __init__(self, gauged: Gauged, scale: Fraction, room: Length, margins: Margins) -> None:
        self.gauged, self.piece, self.scale, self.margins = gauged, gauged.piece, scale, margins
        self.stand = gauged.stand
        self.lo, self.hi = gauged.lo, gauged.hi
        self.times = end_times(self.piece, scale)
        fold = self._fold_for(room)
        self.fits = fold is not None
        self.fold = fold or Fold((), ZERO)
        self.left, self.right = sorted((self.along(self.lo[0]), self.along(self.hi[0])))
        self.long = self._long_views()
        self.ends = {end: self._end_view(end) for end in gauged.ends}

    @property
    def base(self) -> PieceView:
        """The view that those of the ends stand beside."""
        return self.long[self.gauged.base]

    def every(self) -> Iterator[PieceView]:
        """All views, the long faces before the ends."""
        yield from self.long.values()
        yield from self.ends.values()

    def diagonals(self) -> list[Line]:
        """A diagonal of every view: what the views take of the paper."""
        return [Line(self.sheet(*view.low), self.sheet(*view.high)) for view in self.every()]

    def true(self, paper_mm: float) -> Length:
        """So many millimetres of paper as a true length."""
        return true_length(paper_mm, self.scale)

    # from lying to the sheet

    def sheet(self, x: Length, y: Length) -> Point:
        """A point of the lying drawing on the sheet: an upright piece is turned a quarter to the left."""
        return (-y, x) if self.stand.upright else (x, y)

    def along(self, at: Length) -> Length:
        """Where a place along the piece lies from left to right of the lying drawing."""
        drawn = self.fold.at(at)
        return drawn if self.stand.along > 0 else -drawn

    def is_left(self, end: Face) -> bool:
        """Whether an end lies at the left of the lying drawing."""
        return (end is Face.A) == (self.stand.along > 0)

    # what is left out

    def _fold_for(self, room: Length) -> Fold | None:
        """What to leave out so that the length fits the room; None when even that is not enough."""
        long = self.hi[0] - self.lo[0]
        keep, gap = self.true(_KEEP_MM), self.true(_BREAK_MM)
        cuts = []
        stub, grooved = self.true(_STUB_MM), self.gauged.ends_of_long
        for low, high in self.gauged.free:
            if long <= room:
                break
            first, last = low + (stub if low in grooved else keep), high - (stub if high in grooved else keep)
            spare = last - first - gap
            if spare <= keep:
                break
            cut = min(spare, long - room)
            middle = (first + last) / 2
            cuts.append((middle - (cut + gap) / 2, middle + (cut + gap) / 2))
            long -= cut
        return Fold(tuple(sorted(cuts)), gap) if long <= room else None

    # where the views lie

    def _order(self) -> list[tuple[Face, int]]:
        """The long faces from the top of the lying drawing down, and whether what is measured across each grows upward
        there (1) or downward (-1): the piece is rolled over its lower arris."""
        way = self.stand.across
        under, over = (Face.EDGE, Face.FAR_EDGE) if way > 0 else (Face.FAR_EDGE, Face.EDGE)
        order = [(over, 1), (Face.FACE, way), (under, -1)]
        order = [(face, grows) for face, grows in order if face in self.gauged.faces]
        if Face.BACK in self.gauged.faces:
            beyond = over in self.gauged.faces and under not in self.gauged.faces
            order.insert(0 if beyond else len(order), (Face.BACK, -way))
        return order

    def _long_views(self) -> dict[Face, PieceView]:
        views = {}
        top = ZERO
        for face, grows in self._order():
            axis = 3 - side_of(face)[0]
            top = top - self.true(self.margins.over[face])
            low = top - (self.hi[axis] - self.lo[axis])
            views[face] = PieceView(face, self._long_place(axis, grows, low), (self.left, low), (self.right, top))
            top = low - self.true(self.margins.under[face])
        return views

    def _long_place(self, axis: int, grows: int, base: Length) -> Callable[[Spot], Point]:
        low, high = self.lo[axis], self.hi[axis]

        def place(spot: Spot) -> Point:
            up = spot[axis] - low if grows > 0 else high - spot[axis]
            return self.sheet(self.along(spot[0]), base + up)

        return place

    def _end_view(self, end: Face) -> PieceView:
        """Beside the view of the base, which it touches in thought: what lies on the base's face is nearest to it."""
        base, times, (lo, hi) = self.base, self.times, (self.lo, self.hi)
        look, far = side_of(base.face)
        axis = 3 - look
        grows = next(grows for face, grows in self._order() if face is base.face)
        middle = (base.low[1] + base.high[1]) / 2 - (hi[axis] - lo[axis]) * times / 2
        left = self.is_left(end)
        gap = self.true(self.margins.before if left else self.margins.after)
        border = self.left - gap if left else self.right + gap

        def at(spot: Spot) -> Point:
            out = (hi[look] - spot[look] if far else spot[look] - lo[look]) * times
            up = spot[axis] - lo[axis] if grows > 0 else hi[axis] - spot[axis]
            return (border - out if left else border + out), middle + up * times

        (a, b), (c, d) = at(lo), at(hi)
        return PieceView(end, lambda spot: self.sheet(*at(spot)), (min(a, c), min(b, d)), (max(a, c), max(b, d)), times)

    # what is drawn

    def shapes(self) -> Iterator[Shape]:
        """All lines, holes, knife lines, break lines and face marks."""
        for view in self.every():
            yield from self._lines(view)
            yield from self._holes(view)
            yield from self._mouths(view)
            if view.face in self.long:
                yield from self._breaks(view)
        yield from self._knife_lines()
        if self.piece.turned is not None:
            yield from self._axes(self.piece.turned)
        if not self.gauged.all_round:
            yield from self._marks()

    def _axes(self, turned: Round) -> Iterator[Line]:
        """The centre line of a round, in every view along it."""
        over = self.true(_AXIS_MM)
        for view in self.long.values():
            middle = (view.low[1] + view.high[1]) / 2
            ends = sorted(self.along(at) for at in (turned.start, turned.end))
            yield Line(self.sheet(ends[0] - over, middle), self.sheet(ends[1] + over, middle), Stroke.CENTRE)

    def _lines(self, view: PieceView) -> Iterator[Line]:
        for start, end, stroke in self.gauged.lines(view.face):
            for one, two in self._parts(view, start, end):
                yield Line(view.place(one), view.place(two), stroke)

    def _parts(self, view: PieceView, one: Spot, two: Spot) -> Iterator[tuple[Spot, Spot]]:
        """A line of the piece without what the drawing leaves out of it; the slope of a tail is too short for that."""
        axis = 3 - side_of(view.face)[0]
        if view.face in self.ends or one[0] == two[0] or one[axis] != two[axis]:
            yield one, two
        else:
            low, high = (one, two) if one[0] < two[0] else (two, one)
            for start, end in self.fold.parts(low[0], high[0]):
                yield (start, low[1], low[2]), (end, low[1], low[2])

    def _holes(self, view: PieceView) -> Iterator[Shape]:
        look = side_of(view.face)[0]
        for bore in self.piece.bores:
            if bore.slant is not None and bore.slanting is not None:
                yield from self._slanting_hole(view, bore, bore.slant, bore.slanting)
            elif bore.face is view.face or (bore.depth is None and side_of(bore.face)[0] == look and look != 0):
                yield from self._hole(view, bore)

    def _slanting_hole(self, view: PieceView, bore: Bore, slant: Slant, slanting: Slanting) -> Iterator[Shape]:
        """The rim of a hole at an angle where it enters, with the line that the bit leans along, and where it comes
        out."""
        if view.face is bore.face:
            yield from self._rim(view, slant.mouth())
            yield CentreMark(view.place(slant.centre), slant.thick * view.times / 2 + self.true(1.2))
            yield from self._sight_line(view, slant)
        if bore.depth is None and view.face is slanting.leaves:
            axis, high = side_of(slanting.leaves)
            if axis == side_of(bore.face)[0]:
                yield from self._rim(view, slant.mouth(self.piece.size[axis] if high else ZERO))
            yield CentreMark(view.place(slanting.exit), slant.thick * view.times / 2 + self.true(1.2))

    def _rim(self, view: PieceView, rim: Iterable[Sequence[float]]) -> Iterator[Shape]:
        spots = [tuple(near(value) for value in spot) for spot in rim]
        yield Polygon(tuple(view.place((a, b, c)) for a, b, c in spots), Stroke.VISIBLE, "none")

    def _mouths(self, view: PieceView) -> Iterator[Shape]:
        """The middles of mortises that go in at an angle; their rims are lines of the piece."""
        for cuboid in self.piece.cuboids:
            slant = cuboid.slant
            if slant is None or cuboid.adds or slant.face is not view.face:
                continue
            if is_let_in(cuboid):
                yield from self._marked_side(view, cuboid, slant)
            else:
                yield CentreMark(view.place(slant.centre), slant.thick * view.times / 2 + self.true(1.2))
                yield from self._sight_line(view, slant)

    def _marked_side(self, view: PieceView, cuboid: Cuboid, slant: Slant) -> Iterator[Shape]:
        """The line that a cut askew on its face is marked out by, struck a little past both of its ends."""
        axes, past = axes_of(slant), self.true(_STRUCK_MM).float_mm()
        ends = [[v.float_mm() for v in spot] for spot in marked_side(cuboid)]
        long = math.dist(*ends)
        spots = []
        for one, two in (ends, ends[::-1]):
            spot = list(slant.centre)
            for k, a, b in zip(axes, one, two, strict=True):
                spot[k] = near(a + (a - b) / long * past)
            spots.append(view.place((spot[0], spot[1], spot[2])))
        yield Line(spots[0], spots[1], Stroke.CENTRE)

    def _sight_line(self, view: PieceView, slant: Slant) -> Iterator[Shape]:
        """The line on the face that the bit leans along, through the middle of the mortise."""
        axis = side_of(slant.face)[0]
        flat = [0.0 if k == axis else slant.way[k] for k in range(3)]
        long = math.hypot(*flat)
        if long < 1e-3:
            return
        reach = (slant.thick.float_mm() * _SIGHT) / long
        ends = []
        for sign in (-1, 1):
            a, b, c = (near(slant.centre[k].float_mm() + sign * reach * flat[k]) for k in range(3))
            ends.append(view.place((a, b, c)))
        yield Line(ends[0], ends[1], Stroke.CENTRE)

    def _hole(self, view: PieceView, bore: Bore) -> Iterator[Shape]:
        """A circle, a countersink as a second one around it, a slot with round ends."""
        centre, radius = view.place(bore.centre), bore.diameter * view.times / 2
        if bore.slot is None:
            yield Circle(centre, radius)
        else:
            half = (bore.slot * view.times / 2) - radius
            upright = (bore.slot_axis != 0) != self.stand.upright
            yield Polygon(tuple(slot_outline(centre, radius, half, upright)))
        head = bore.head * view.times / 2 if bore.head and bore.face is view.face else radius
        if head != radius:
            yield Circle(centre, head)
        if bore.against is not None:
            other = view.place(bore.against)
            if max(abs(a - b) for a, b in zip(centre, other, strict=True)) >= self.true(SEEN_MM):
                yield Circle(other, radius, Stroke.HIDDEN)
        reach = max(head, bore.slot * view.times / 2 if bore.slot else head)
        yield CentreMark(centre, reach + self.true(1.2))

    def _breaks(self, view: PieceView) -> Iterator[Shape]:
        over, tooth, slant = self.true(1.4), self.true(1.1), self.true(0.9)
        bottom, top = view.low[1] - over, view.high[1] + over
        middle = (bottom + top) / 2
        for start, end in self.fold.cuts:
            for x in (self.along(start), self.along(end)):
                points = (
                    (x, bottom),
                    (x, middle - slant),
                    (x - tooth, middle - slant / 3),
                    (x + tooth, middle + slant / 3),
                    (x, middle + slant),
                    (x, top),
                )
                yield Polygon(tuple(self.sheet(*point) for point in points), Stroke.THIN, "none", closed=False)

    def _knife_lines(self) -> Iterator[Line]:
        """The shoulders, on the face side: they run past both edges, as one squares them round with the knife."""
        view, over = self.base, self.true(_KNIFE_MM)
        for shoulder in self.gauged.shoulders:
            x = self.along(shoulder)
            yield Line(self.sheet(x, view.low[1] - over), self.sheet(x, view.high[1] + over), Stroke.KNIFE)

    # the marks of face side and face edge

    def _marks(self) -> Iterator[Shape]:
        """The loop and the V: each on its face where that is drawn, else beside the line that stands for it. A face
        edge that is drawn without the face side has its V alone, at the arris of both."""
        up = self.stand.across > 0  # the face edge is the lower border of the face side, lying
        if Face.FACE not in self.long:
            if self.gauged.ends:
                yield from self._marks_on_end(self.ends[self.gauged.ends[0]])
            else:
                yield self._face_edge(self.long[Face.EDGE], up)
            return
        view = self.long[Face.FACE]
        wide = (view.high[1] - view.low[1]).float_mm(self.scale)
        size, small = self.true(min(_MARK_MM, max(3.0, wide * _MARK_SHARE))), self.true(_SMALL_MM)
        x = self.along(self._free_place(size))
        arris = self.gauged.start[1] - self.lo[1]
        y = view.low[1] + arris if up else view.high[1] - arris
        yield face_side_mark(self.sheet(x, y), self._way(up), size)
        edge = self.long.get(Face.EDGE)
        if edge is not None:
            y = self._arris_on(edge, up)
        yield face_edge_mark(self.sheet(x, y), self._way(not up), small)

    def _face_edge(self, edge: PieceView, up: bool) -> Shape:
        """The V on the view of the face edge, at the arris of the face side."""
        small = self.true(_SMALL_MM)
        return face_edge_mark(
            self.sheet(self.along(self._free_place(small)), self._arris_on(edge, up)), self._way(not up), small
        )

    def _arris_on(self, edge: PieceView, up: bool) -> Length:
        """How high the arris of the face side lies on the view of the face edge."""
        deep = self.gauged.start[2] - self.lo[2]
        return edge.high[1] - deep if up else edge.low[1] + deep

    def _marks_on_end(self, view: PieceView) -> Iterator[Shape]:
        """Outside the end's view: the loop beside the line that is the face side, the V at that of the face edge."""
        start, middle = self.gauged.start, [(low + high) / 2 for low, high in zip(self.lo, self.hi, strict=True)]
        if any(cuboid.kind is FeatureKind.TAPER for cuboid in self.piece.cuboids):
            middle = [middle[0], *(self._between_levels(view.face, axis) for axis in (1, 2))]
        centre, small = view.place((ZERO, middle[1], middle[2])), self.true(_SMALL_MM)
        for axis, mark in ((2, face_side_mark), (1, face_edge_mark)):
            spot = [ZERO, middle[1], middle[2]]
            spot[axis] = start[axis]
            at = view.place((spot[0], spot[1], spot[2]))
            yield mark(at, _direction(centre, at), small)

    def _between_levels(self, end: Face, axis: int) -> Length:
        """The middle of the widest room between the figures at an end."""
        levels = sorted([self.gauged.start[axis], *self.gauged.end_levels(end, axis)])
        low, high = max(pairwise(levels), key=lambda pair: pair[1] - pair[0])
        return (low + high) / 2

    def _way(self, up: bool) -> Way:
        """Up or down of the lying drawing, on the sheet."""
        if self.stand.upright:
            return "left" if up else "right"
        return "up" if up else "down"

    def _square(self) -> Iterator[tuple[Length, Length]]:
        """The stretches that carry nothing and stay square."""
        turned = self.piece.turned
        for low, high in self.gauged.free:
            square = turned.squares(self.piece.length) if turned is not None else ((low, high),)
            yield from ((max(a, low), min(b, high)) for a, b in square if max(a, low) < min(b, high))

    def _free_place(self, size: Length) -> Length:
        """A place along the piece near end A where plain wood is drawn wide enough for a mark, or where at least its
        face side and face edge are plain; the middle of the widest stretch where none is."""
        every: list[tuple[Length, Length]] = []
        for stretches in (self._square(), self._plain(size)):
            parts = sorted(part for low, high in stretches for part in self.fold.parts(max(low, ZERO), high))
            for low, high in parts:
                if high - low >= size * 2:
                    return low + min((high - low) / 2, self.true(12.0))
            every = every or parts
        if not every:
            return self.piece.length / 2
        low, high = max(every, key=lambda part: part[1] - part[0])
        return (low + high) / 2

    def _plain(self, size: Length) -> Iterator[tuple[Length, Length]]:
        """The stretches where nothing on the face side comes so near the face edge as a mark of this size reaches, and
        nothing lies on the face edge; none of what is turned or has an outline."""
        if self.piece.turned is not None or any(one.cuboid.kind is FeatureKind.OUTLINE for one in self.gauged.shown):
            return
        own = (Face.FACE, Face.EDGE)
        spans = [
            (one.lo[0], one.hi[0])
            for one in self.gauged.shown
            if one.face in own and one.lo[1] < self.gauged.start[1] + size * _CLEAR_OF
        ]
        spans += [(bore.centre[0] - bore.diameter, bore.centre[0] + bore.diameter) for bore in self.piece.bores
                  if bore.face in own]  # fmt: skip
        at = ZERO
        for low, high in sorted([*spans, (self.piece.length, self.piece.length)]):
            if low > at:
                yield at, low
            at = max(at, high)


def _direction(start: Point, end: Point) -> Way:
    """Which way the second point lies from the first, straight across or straight up."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    if abs(dx) > abs(dy):
        return "right" if dx > ZERO else "left"
    return "up" if dy > ZERO else "down"


def end_times(piece: PlacedPiece, scale: Fraction) -> Fraction:
    """How much larger than the sheet's scale the ends are drawn, so that they can be read and still have room: at one
    of the usual scales, at least twice as large."""
    thin, wide = (v.float_mm(scale) for v in sorted((piece.width, piece.thickness)))
    if thin >= READABLE_MM / 2:
        return Fraction(1)
    most = min(round(READABLE_MM / thin), END_ROOM_MM / wide)
    return next((larger / scale for larger in SCALES if 2 <= larger / scale <= most), Fraction(1))


def slot_outline(centre: Point, radius: Length, half: Length, upright: bool) -> Iterator[Point]:
    """A slot whose round ends have their centres `half` beside its middle, as a polygon."""
    for step in range(2 * _ROUND + 2):
        end = 1 if step <= _ROUND else -1
        turn = math.pi * ((step if end > 0 else step - 1) / _ROUND - 0.5)
        x = half * end + radius * Fraction(round(math.cos(turn) * 10**6), 10**6)
        y = radius * Fraction(round(math.sin(turn) * 10**6), 10**6)
        yield (centre[0] - y, centre[1] + x) if upright else (centre[0] + x, centre[1] + y)
