"""A piece for a small screen: its face side and its face edge, whole, with every joint named, and no dimensions.

Each joint and hole is drawn as the rectangle or circle it is, dashed where it does not open to the eye. The views are
true to hand, so that the two pieces of a handed pair differ.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.blocks.drawing import Circle, Drawing, Line, Point, Polygon, Shape, Stroke, Words
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.leaders import spaced
from shopdocs.documents.drawn.measures import true_length
from shopdocs.documents.drawn.named import Joints, main_feature, middle_of
from shopdocs.documents.drawn.pictures import SCALES
from shopdocs.work.space.ends import gauged_extents
from shopdocs.work.space.placed import Cuboid, PlacedPiece, Spot, side_of

GAP_MM = 6.0  # between the views, for the name of the upper one
NAMES_MM = 7.0  # above the views, for the names of joints
NAME_STEP_MM = 4.6


def strip(piece: PlacedPiece, room_mm: tuple[float, float], name: str, joints: Joints) -> Drawing:
    """Both views at the largest usual scale at which the whole length fits `room_mm`."""
    lows = [min([ZERO, *(c.lo[k] for c in piece.cuboids if c.adds)]) for k in range(3)]
    highs = [max([piece.size[k], *(c.hi[k] for c in piece.cuboids if c.adds)]) for k in range(3)]
    long, wide, deep = (high - low for low, high in zip(lows, highs, strict=True))
    scale = next((s for s in SCALES if _fits(long, wide + deep, s, room_mm)), SCALES[-1])
    views = _Strip(piece, (lows[0], lows[1], lows[2]), (wide, deep), scale)
    shapes = (*views.shapes(), *views.named(joints))
    high = wide + deep + views.true(2 * GAP_MM + NAMES_MM)
    return Drawing(name, long, high, shapes, scale, 0.0, room_mm[1])


def _fits(long: Length, tall: Length, scale: Fraction, room_mm: tuple[float, float]) -> bool:
    return long.float_mm(scale) <= room_mm[0] and tall.float_mm(scale) + 2 * GAP_MM + NAMES_MM <= room_mm[1]


class _Strip:
    """The upper view is the one whose far side is free: the face side, with the face edge below it or above it."""

    def __init__(self, piece: PlacedPiece, low: Spot, size: tuple[Length, Length], scale: Fraction) -> None:
        self.piece, self.low, self.scale = piece, low, scale
        self.wide, self.deep = size
        _, across, deep = gauged_extents(piece)
        self.start = (ZERO, -across.start.flush, -deep.start.flush)  # no shoulder shows there: the real edge
        self.over = piece.pose.right_handed  # the face edge is the upper edge, seen from the face side

    def true(self, paper_mm: float) -> Length:
        return true_length(paper_mm, self.scale)

    def place(self, spot: Spot, on_edge: bool) -> Point:
        """A point of the piece in the view of the face side, or in that of the face edge."""
        x, gap = spot[0] - self.low[0], self.true(GAP_MM)
        across, deep = spot[1] - self.low[1], spot[2] - self.low[2]
        base = gap
        if self.over:  # face side below, face edge above it, so that the edges that are one lie side by side
            return (x, base + self.wide + gap + deep) if on_edge else (x, base + self.wide - across)
        return (x, base + self.deep - deep) if on_edge else (x, base + self.deep + gap + across)

    def shapes(self) -> Iterator[Shape]:
        size = self.piece.size
        for on_edge in (False, True):
            axis = 2 if on_edge else 1
            yield self._rectangle((ZERO, ZERO, ZERO), size, on_edge, Stroke.VISIBLE)
            edge = [self.place((x, *self._pair(axis, self.start[axis])), on_edge) for x in (ZERO, size[0])]
            yield Line(edge[0], edge[1], Stroke.REFERENCE)
            corners = [self.place((ZERO, *self._pair(axis, v)), on_edge) for v in (ZERO, size[axis])]
            low = min(corners, key=lambda point: point[1])
            words = "face edge" if on_edge else "face side"
            yield Words(low, words, 9.0, "left", dy_mm=-2.6)
            look = 1 if on_edge else 2
            for cuboid in self.piece.cuboids:
                seen = cuboid.adds or cuboid.lo[look] <= ZERO
                yield self._rectangle(cuboid.lo, cuboid.hi, on_edge, Stroke.VISIBLE if seen else Stroke.HIDDEN)
            for bore in self.piece.bores:
                face, far = side_of(bore.face)
                if face == look:
                    stroke = Stroke.HIDDEN if far and bore.depth is not None else Stroke.VISIBLE
                    yield Circle(self.place(bore.centre, on_edge), bore.diameter / 2, stroke)
                    if bore.head:
                        yield Circle(self.place(bore.centre, on_edge), bore.head / 2, stroke)

    @staticmethod
    def _pair(axis: int, value: Length) -> tuple[Length, Length]:
        return (value, ZERO) if axis == 1 else (ZERO, value)

    def _rectangle(self, low: Spot, high: Spot, on_edge: bool, stroke: Stroke) -> Polygon:
        (x0, y0), (x1, y1) = self.place(low, on_edge), self.place(high, on_edge)
        return Polygon(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), stroke)

    def named(self, joints: Joints) -> Iterator[Shape]:
        """The names in one row above both views, each with a thin line down to its joint."""
        top = self.wide + self.deep + self.true(2 * GAP_MM)
        order = sorted(joints, key=lambda joint: middle_of(main_feature(joint[1]))[0])
        spots = [middle_of(main_feature(features)) for _, features in order]
        xs = [(spot[0] - self.low[0]).float_mm(self.scale) for spot in spots]
        for (shown, features), spot, x in zip(order, spots, spaced(xs, NAME_STEP_MM), strict=True):
            feature = main_feature(features)
            axis = side_of(feature.face)[0] if not isinstance(feature, Cuboid) else 2
            tip = self.place(spot, self.over or axis == 1)
            at = (self.true(x), top + self.true(1.5))
            yield Line(tip, at, Stroke.THIN)
            yield Words(at, shown, 9.0, strong=True, dy_mm=2.0)
