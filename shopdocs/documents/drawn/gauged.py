"""A piece as it is marked out, in true lengths: where it ends, what is measured on it, and the lines each view of it
shows. Drawings of it are tried at many scales; all this is the same at each of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cached_property

from shopdocs.blocks.drawing import Stroke
from shopdocs.core.box import Box, Corner, Ticks
from shopdocs.core.length import ZERO, Length
from shopdocs.model.joining import Face
from shopdocs.work.shapes.hidden import outline
from shopdocs.work.shapes.projection import View
from shopdocs.work.space.ends import gauged_extents
from shopdocs.work.space.likeness import marking_ticks
from shopdocs.work.space.placed import Cuboid, PlacedPiece, Spot, side_of

Stretch = tuple[Length, Length]
Span = tuple[int, Length, Length]  # piece axis, from, to
PieceLine = tuple[Spot, Spot, Stroke]


class Gauged:
    """`lo` and `hi` are the corners of the wood, joints included. `start` is where one marks out from and `finish` the
    other ends: the shoulder, or the real end where no shoulder shows."""

    def __init__(self, piece: PlacedPiece) -> None:
        self.piece = piece
        self.ticks: Ticks = marking_ticks([piece]).fine()
        self.solid = piece.own_solid(self.ticks)
        bounds: Box = self.solid.bounds
        self.lo, self.hi = self._spot(bounds.lo), self._spot(bounds.hi)
        along, across, deep = gauged_extents(piece)
        self.start: Spot = (-along.start.flush, -across.start.flush, -deep.start.flush)
        long, wide, thick = piece.size
        self.finish: Spot = (long + along.end.flush, wide + across.end.flush, thick + deep.end.flush)
        self.over_hand = piece.pose.right_handed  # then the face edge is the upper edge seen from the face side

    def _spot(self, corner: Corner) -> Spot:
        a, b, c = (self.ticks.length(v) for v in corner)
        return (a, b, c)

    # along the piece

    @cached_property
    def free(self) -> list[Stretch]:
        """Stretches along the piece that carry nothing, the longest first; a groove along most of the piece carries no
        station of its own."""
        whole = self.piece.length * Fraction(7, 10)
        free, at = [], self.lo[0]
        for low, high in self._carrying():
            if high - low > whole:
                continue
            if low > at:
                free.append((at, low))
            at = max(at, high)
        return sorted(free, key=lambda f: f[0] - f[1])

    def _carrying(self) -> list[Stretch]:
        length = self.piece.length
        spans = [(self.lo[0], ZERO), (length, self.hi[0])]
        for feature in self.piece.features:
            if isinstance(feature, Cuboid):
                spans.append((max(feature.lo[0], self.lo[0]), min(feature.hi[0], self.hi[0])))
            elif side_of(feature.face)[0] == 0:
                depth = feature.depth or ZERO
                spans.append((ZERO, depth) if feature.face is Face.A else (length - depth, length))
            else:
                wide = max(feature.diameter, feature.head or ZERO, feature.slot or ZERO) / 2
                spans.append((feature.centre[0] - wide, feature.centre[0] + wide))
        return sorted(spans)

    @cached_property
    def stations(self) -> list[Stretch]:
        """Stretches along the piece where a joint lies, and centres of holes as stretches of no length."""
        length, start, finish = self.piece.length, self.start[0], self.finish[0]
        inside = [f for f in self.piece.cuboids if f.hi[0] > ZERO and f.lo[0] < length]
        stations = {(max(f.lo[0], start), min(f.hi[0], finish)) for f in inside}
        holes = [b.centre[0] for b in self.piece.bores if side_of(b.face)[0] != 0]
        stations |= {(v, v) for v in holes if start <= v <= finish}
        return sorted(stations - {(start, finish)})

    # across it

    def spans(self, side: int) -> list[Span]:
        """Places across the piece that are measured at end A (`side` -1) or at end B: piece axis, from, to; features
        stand at the end they are nearer to, the size of the piece itself at end A. What end B would only repeat is left
        out."""
        return self._at_end_a if side < 0 else self._at_end_b

    @cached_property
    def _at_end_a(self) -> list[Span]:
        return self._spans(-1)

    @cached_property
    def _at_end_b(self) -> list[Span]:
        spans = self._spans(1)
        return [] if set(spans) <= set(self._at_end_a) else spans

    def _spans(self, side: int) -> list[Span]:
        half = self.piece.length / 2
        spans: list[Span] = []
        for axis in (1, 2):
            start, finish = self.start[axis], self.finish[axis]
            for feature in self.piece.features:
                wanted: list[Span]
                if isinstance(feature, Cuboid):
                    at = (feature.lo[0] + feature.hi[0]) / 2
                    low, high = max(feature.lo[axis], self.lo[axis]), min(feature.hi[axis], self.hi[axis])
                    wanted = [(axis, min(start, low), low), (axis, low, high)]
                    if (low, high) in ((start, finish), (ZERO, self.piece.size[axis])) or self._is_lost(feature, axis):
                        wanted = []
                else:
                    at = feature.centre[0]
                    wanted = [] if side_of(feature.face)[0] == axis else [(axis, start, feature.centre[axis])]
                if (at < half) == (side < 0):
                    spans += [span for span in wanted if span[1] < span[2]]
            if side < 0:
                spans.append((axis, start, finish))
        return list(dict.fromkeys(spans))

    def _is_lost(self, cuboid: Cuboid, axis: int) -> bool:
        """Whether what is added to an edge or the face side lies flush with it all along, so that no line shows it."""
        start, finish = self.start, self.finish
        level = start[axis] <= cuboid.lo[axis] and cuboid.hi[axis] <= finish[axis]
        beyond = cuboid.hi[axis] <= ZERO or cuboid.lo[axis] >= self.piece.size[axis]
        return cuboid.adds and level and beyond and cuboid.lo[0] <= start[0] and cuboid.hi[0] >= finish[0]

    # what is seen

    @cached_property
    def views(self) -> tuple[View, View, View, View]:
        """Ways to look at it: at the face side, the face edge, end A and end B."""
        sign = -1 if self.over_hand else 1
        return (
            View("", (0, 0, -1), (1, 0, 0), (0, sign, 0)), View("", (0, -1, 0), (1, 0, 0), (0, 0, -sign)),
            View("", (-1, 0, 0), (0, 0, -1), (0, sign, 0)), View("", (1, 0, 0), (0, 0, 1), (0, sign, 0)),
        )  # fmt: skip

    @cached_property
    def lines(self) -> tuple[Sequence[PieceLine], ...]:
        """What each of the views shows of the wood, without its holes."""
        return tuple(self._lines(view, look) for view, look in zip(self.views, (2, 1, 0, 0), strict=True))

    def _lines(self, view: View, look: int) -> list[PieceLine]:
        found = outline([self.solid], view, self.ticks)
        hidden = found.hidden
        if look == 0 and self.solid.slopes:
            # the slopes of tails are seen in the face side; behind an end they would be a thicket of dashes
            hidden = outline([replace(self.solid, slopes=())], view, self.ticks).hidden
        lines: list[PieceLine] = []
        for stroke, segments in ((Stroke.VISIBLE, found.visible), (Stroke.HIDDEN, hidden)):
            for start, end in segments:
                one, two = self._spot(start), self._spot(end)
                gauged = stroke is Stroke.VISIBLE and self._is_reference(look, (one, two))
                lines.append((one, two, Stroke.REFERENCE if gauged else stroke))
        return lines

    def _is_reference(self, look: int, ends: Sequence[Spot]) -> bool:
        """Whether a seen line is the face edge (in the view of the face side and the ends) or the face side (in the
        others): what one gauges from."""
        return any(all(spot[axis] == self.start[axis] for spot in ends) for axis in (1, 2) if axis != look)
