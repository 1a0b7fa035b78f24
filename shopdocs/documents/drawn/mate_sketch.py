"""Where to write a mate mark: both pieces about the joint, apart, with the place on each outlined."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from msgspec import Struct

from shopdocs.blocks.drawing import Drawing, Leader, Line, Point, Polygon, Shape, Stroke, Words
from shopdocs.core.box import AXES, Box, Corner, Ticks
from shopdocs.core.length import Length
from shopdocs.work.shapes.hidden import outline
from shopdocs.work.shapes.projection import CORNERS, View
from shopdocs.work.shapes.seen import seen_points
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.placed import Scene

PIECE_MM = (20.0, 23.0)  # for each of the two
APART_MM = 9.5  # between them, with the number of the first
AROUND_MM = (25, 60)  # so much of a piece is shown about its joint, at least and at most
_HATCHES = 4


class Patch(Struct, frozen=True):
    """A rectangle on a piece: its mark, its corners in ticks of the scene, in turn, and the way its face looks out."""

    mark: str
    corners: tuple[Corner, ...]
    out: Corner

    @staticmethod
    def of(mark: str, box: Box, axis: int, high: bool) -> Patch:
        """A flat `box` square to a build axis, that looks to the high side of that or to the low one."""
        sense = 1 if high else -1
        return Patch(mark, tuple(_corners(box, axis)), (sense * (axis == 0), sense * (axis == 1), sense * (axis == 2)))

    @property
    def middle(self) -> Corner:
        """Half way between opposite corners."""
        x, y, z = ((a + b) // 2 for a, b in zip(self.corners[0], self.corners[2], strict=True))
        return (x, y, z)


def mate_sketch(scene: Scene, places: Sequence[Patch], joint: Box, number: str, name: str) -> Drawing:
    """The pieces of both places, as far as they lie about the `joint` (ticks), in millimetres of paper."""
    ticks = scene.ticks
    near = _around(joint, ticks)
    parts = [_Part(_cut_out(scene.solids[scene.index(place.mark)], near), place, ticks) for place in places]
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
    if solid.slopes:  # what slopes lies about the joint
        body = solid.body.overlap(near)
        adds = tuple(shared for add in solid.adds if (shared := add.overlap(near)) is not None)
        return Solid(body, adds, solid.cuts, solid.slopes) if body is not None else solid
    cells = [shared for cell in solid.cells if (shared := cell.overlap(near)) is not None]
    return Solid(cells[0], tuple(cells[1:])) if cells else solid


class _Part:
    """One piece of a sketch in the view that shows its place."""

    def __init__(self, solid: Solid, place: Patch, ticks: Ticks) -> None:
        self.solid, self.place, self.ticks = solid, place, ticks
        facing = {view: sum(a * b for a, b in zip(view.toward, place.out, strict=True)) for view in CORNERS}
        views = [view for view in CORNERS if facing[view] == max(facing.values())]
        straight = [axis for axis in AXES if place.out[axis]]
        seen = views
        if len(straight) == 1:  # a slanting face is one that looks out at a corner
            spot = [(place.middle, straight[0])]
            seen = [view for view in views if seen_points([solid], view, spot)[0]]
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
        corners = self.place.corners
        yield Polygon(tuple(map(at, corners)), Stroke.REFERENCE, "tint")
        for one, two in _hatches(corners):
            yield Line(at(one), at(two), Stroke.THIN)
        tip = at(self.place.middle)
        wide = Fraction(int(self.size[0] * 1000), 1000) * scale
        yield Leader(tip, (Length(left + wide + 2), tip[1]), number, strong=True)
        yield Words((Length(left + wide / 2), Length(0)), self.place.mark, 11.0, strong=True, dy_mm=-3.0)


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
