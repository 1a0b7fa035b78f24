"""Where to write a mate mark: both pieces about the joint, apart, with the place on each outlined."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Protocol

from shopdocs.blocks.drawing import Drawing, Leader, Line, Point, Polygon, Shape, Stroke, Words
from shopdocs.core.box import AXES, Box, Corner, Ticks
from shopdocs.core.length import Length
from shopdocs.work.shapes.hidden import outline
from shopdocs.work.shapes.projection import VIEWS, View
from shopdocs.work.shapes.seen import seen_points
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.placed import Scene

PIECE_MM = (20.0, 23.0)  # for each of the two
APART_MM = 9.5  # between them, with the number of the first
AROUND_MM = (25, 60)  # so much of a piece is shown about its joint, at least and at most
_HATCHES = 4
_ISOMETRIC = tuple(view for view in VIEWS if all(view.toward))


class Place(Protocol):
    """A rectangle on a piece: its mark, the box in ticks of the scene, the axis it stands square to and whether it
    looks to the high side of that."""

    @property
    def mark(self) -> str:
        """The mark of the piece."""

    @property
    def box(self) -> Box:
        """The rectangle in ticks of the scene, flat along `axis`."""

    @property
    def axis(self) -> int:
        """The build axis it stands square to: 0, 1 or 2."""


def mate_sketch(scene: Scene, places: Sequence[tuple[Place, bool]], joint: Box, number: str, name: str) -> Drawing:
    """The pieces of both places, as far as they lie about the `joint` (ticks), in millimetres of paper. With each place
    comes whether it looks to the high side of its axis."""
    ticks = scene.ticks
    near = _around(joint, ticks)
    parts = [_Part(_cut_out(scene.solids[scene.index(place.mark)], near), place, high, ticks) for place, high in places]
    scale = min((room / max(side, 1.0) for part in parts for room, side in zip(PIECE_MM, part.size, strict=True)))
    shapes: list[Shape] = []
    left, tall = Fraction(0), max(part.size[1] for part in parts) * scale
    for part in parts:
        shapes += part.shapes(Fraction(int(scale * 10_000), 10_000), left, number)
        left += Fraction(int(part.size[0] * scale * 1000), 1000) + Fraction(APART_MM)
    wide = left - Fraction(APART_MM) + 7
    return Drawing(
        name, Length(wide), Length(Fraction(int(tall * 1000), 1000)), tuple(shapes), Fraction(1), 0.0, 45.0, sketch=True
    )


def _around(joint: Box, ticks: Ticks) -> Box:
    least, most = (mm * ticks.per_mm for mm in AROUND_MM)
    more = min(max(max(joint.size) * 3 // 5, least), most)
    lo, hi = (tuple(v + sense * more for v in end) for sense, end in ((-1, joint.lo), (1, joint.hi)))
    return Box.between(lo, hi)


def _cut_out(solid: Solid, near: Box) -> Solid:
    cells = [shared for cell in solid.cells if (shared := cell.overlap(near)) is not None]
    return Solid(cells[0], tuple(cells[1:])) if cells else solid


class _Part:
    """One piece of a sketch in the view that shows its place."""

    def __init__(self, solid: Solid, place: Place, high: bool, ticks: Ticks) -> None:
        self.solid, self.place, self.ticks = solid, place, ticks
        views = [view for view in _ISOMETRIC if (view.toward[place.axis] > 0) == high]
        middle = _middle(place.box)
        seen = [view for view in views if seen_points([solid], view, [(middle, place.axis)])[0]]
        self.view: View = (seen or views)[0]
        self.low, high_ = self.view.frame(solid.bounds, ticks)
        self.size = tuple((b - a).float_mm() for a, b in zip(self.low, high_, strict=True))

    def shapes(self, scale: Fraction, left: Fraction, number: str) -> Iterator[Shape]:
        """The piece, the place hatched, the number on a leader and the piece's mark below."""

        def at(spot: Corner) -> Point:
            x, y = (v - low for v, low in zip(self.view.picture(spot, self.ticks), self.low, strict=True))
            return Length(x.mm * scale + left), Length(y.mm * scale)

        for start, end in outline([self.solid], self.view, self.ticks).visible:
            yield Line(at(start), at(end))
        corners = _corners(self.place.box, self.place.axis)
        yield Polygon(tuple(map(at, corners)), Stroke.REFERENCE, "tint")
        for one, two in _hatches(corners):
            yield Line(at(one), at(two), Stroke.THIN)
        tip = at(_middle(self.place.box))
        wide = Fraction(int(self.size[0] * 1000), 1000) * scale
        yield Leader(tip, (Length(left + wide + 2), tip[1]), number, strong=True)
        yield Words((Length(left + wide / 2), Length(0)), self.place.mark, 11.0, strong=True, dy_mm=-3.0)


def _middle(box: Box) -> Corner:
    x, y, z = (v // 2 for v in box.doubled_centre)
    return (x, y, z)


def _corners(box: Box, axis: int) -> list[Corner]:
    u, v = (k for k in AXES if k != axis)
    found = []
    for high_u, high_v in ((0, 0), (1, 0), (1, 1), (0, 1)):
        at = list(box.lo)
        at[u], at[v] = (box.lo, box.hi)[high_u][u], (box.lo, box.hi)[high_v][v]
        found.append((at[0], at[1], at[2]))
    return found


def _hatches(corners: Sequence[Corner]) -> Iterator[tuple[Corner, Corner]]:
    """Slanting lines across the longer sides of a rectangle."""
    a, b, c, d = corners
    if sum(abs(x - y) for x, y in zip(a, b, strict=True)) < sum(abs(x - y) for x, y in zip(b, c, strict=True)):
        a, b, c, d = b, c, d, a
    for k in range(_HATCHES):
        yield _along(a, b, k, _HATCHES), _along(d, c, k + 1, _HATCHES)


def _along(start: Corner, end: Corner, part: int, of: int) -> Corner:
    x, y, z = (a + (b - a) * part // of for a, b in zip(start, end, strict=True))
    return (x, y, z)
