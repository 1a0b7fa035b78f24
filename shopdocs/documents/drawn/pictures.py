"""Pictures of the whole build: assembled or exploded, in isometric or orthographic view, with marks on leaders."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import replace
from fractions import Fraction

from shopdocs.blocks.drawing import (
    Arrow,
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
)
from shopdocs.core.box import Box, Corner
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.leaders import CLEAR_MM, ROW_MM, place_marks
from shopdocs.documents.drawn.measures import true_length
from shopdocs.documents.drawn.rims import rims
from shopdocs.work.scene.explode import explode
from shopdocs.work.shapes.hidden import Segment, outline, seen_parts
from shopdocs.work.shapes.projection import FRONT, ISOMETRIC, RIGHT, TOP, Flat, View
from shopdocs.work.shapes.seen import visible_spots
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.contacts import Contacts
from shopdocs.work.space.placed import Scene

# Reductions: ISO 5455 (1:2, 1:5, 1:10, 1:20, 1:50), the inch scales (1:4, 1:8, 1:16), steps between.
SCALES = tuple(
    1 / Fraction(step) for step in ("1", "1.5", "2", "2.5", "3", "4", "5", "6", "8", "10", "12", "16", "20", "25", "32",
                                    "40", "50", "64", "100")
)  # fmt: skip
EXPLODED_SHARE = Fraction(1, 7)  # of the longest side of the build, between neighbours
RISE = 2  # times as far apart upwards: tops lie over much of the picture
_MARK_ROOM_MM = 16.0  # for the words of a mark beside the picture, at least
_TRIED_AT_ONCE = 8  # pieces a label may point at
_LETTER_MM = 2.2  # of a longer one

Label = tuple[str, tuple[str, ...]]  # words, and the marks of the pieces they may point at, the best first


def assembled(
    scene: Scene, room_mm: tuple[float, float], view: View = ISOMETRIC, name: str = "", marks: bool = False,
    hidden: bool = False, labels: Sequence[Label] = (),
) -> Drawing:  # fmt: skip
    """The build as it stands, for a space of `room_mm` (width, height of paper). `hidden` adds the lines behind,
    `marks` a label for every piece that is seen."""
    still: list[Corner] = [(0, 0, 0)] * len(scene.pieces)
    labels = _every_mark(scene) if marks else labels
    return _picture(scene, still, (), room_mm, view, name or view.name, labels, hidden)


def exploded(
    contacts: Contacts, room_mm: tuple[float, float], view: View = ISOMETRIC, name: str = "exploded view",
    gap: Length | None = None, labels: Sequence[Label] | None = None,
) -> Drawing:  # fmt: skip
    """The pieces drawn apart along the ways they are assembled, with thin lines along those ways. `gap` is the least
    distance of neighbours, a seventh of the longest side of the build where it is not given. Without `labels` every
    piece that is seen has its mark."""
    scene = contacts.scene
    if not scene.pieces:
        return Drawing(name, Length(1), Length(1), ())
    step = gap or scene.ticks.length(max(scene.bounds.size)) * EXPLODED_SHARE
    apart = explode(contacts, step, step * RISE)
    labels = _every_mark(scene) if labels is None else labels
    return _picture(scene, apart.offsets, apart.lines, room_mm, view, name, labels, False)


def _picture(
    scene: Scene, shifts: Sequence[Corner], ways: Sequence[Segment], room_mm: tuple[float, float], view: View,
    name: str, labels: Sequence[Label], hidden: bool,
) -> Drawing:  # fmt: skip
    solids = [solid.shifted(by) for solid, by in zip(scene.solids, shifts, strict=True)]
    found = outline(solids, view, scene.ticks)
    lines = [Line(start, end) for start, end in found.pictured(found.visible)]
    if hidden:
        lines += [Line(start, end, Stroke.HIDDEN) for start, end in found.pictured(found.hidden)]
    lines += rims(scene.pieces, solids, shifts, scene.ticks, view)
    for start, end in found.pictured(seen_parts(solids, view, ways)):
        lines.append(Line(start, end, Stroke.CENTRE))
    if not lines:
        return Drawing(name, Length(1), Length(1), ())
    low, high = _frame([point for line in lines for point in (line.start, line.end)])
    size = (high[0] - low[0], high[1] - low[1])
    shapes: list[Shape] = list(lines)
    scale = None
    if labels:
        tips = [(words, view.picture(spot, scene.ticks)) for words, spot in _tips(scene, solids, view, labels)]
        leaders, low, high, scale = _marked(tips, low, high, room_mm)
        shapes += leaders
    size = (high[0] - low[0], high[1] - low[1])
    return Drawing(
        name, size[0], size[1], tuple(moved(shape, low) for shape in shapes), scale, 0.0, room_mm[1]
    )  # fmt: skip


def _every_mark(scene: Scene) -> list[Label]:
    return [(piece.mark, (piece.mark,)) for piece in scene.pieces]


def _tips(
    scene: Scene, solids: Sequence[Solid], view: View, labels: Sequence[Label]
) -> list[tuple[str, Corner]]:  # fmt: skip
    """The words of the labels with a seen spot each on the first of their pieces of which anything is seen."""
    number = {piece.mark: index for index, piece in enumerate(scene.pieces)}
    tips: list[tuple[str, Corner]] = []
    rest = [(words, [number[mark] for mark in marks if mark in number]) for words, marks in labels]
    while rest := [(words, pieces) for words, pieces in rest if pieces]:
        spots = visible_spots(solids, view, {piece for _, pieces in rest for piece in pieces[:_TRIED_AT_ONCE]})
        left = []
        for words, pieces in rest:
            spot = next((spots[piece] for piece in pieces[:_TRIED_AT_ONCE] if spots[piece] is not None), None)
            if spot is not None:
                tips.append((words, spot))
            else:
                left.append((words, pieces[_TRIED_AT_ONCE:]))
        rest = left
    order = {words: place for place, (words, _) in enumerate(labels)}
    return sorted(tips, key=lambda tip: order[tip[0]])


def _marked(
    tips: Sequence[tuple[str, Flat]], low: Flat, high: Flat, room_mm: tuple[float, float]
) -> tuple[list[Leader], Flat, Flat, Fraction]:
    """Marks on leaders round the picture from `low` to `high`; the frame of both, and the largest usual scale at which
    they fit the room (the smallest of all, should they not)."""
    size = (high[0] - low[0], high[1] - low[1])
    room = max(_MARK_ROOM_MM, *(_LETTER_MM * len(words) for words, _ in tips)) if tips else 0.0
    first = SCALES.index(_scale(size, (room_mm[0] - 2 * (CLEAR_MM + room), room_mm[1])))
    for scale in SCALES[first:]:
        placed = place_marks([(mark, _paper(at, scale)) for mark, at in tips], _paper(low, scale), _paper(high, scale))
        leaders = [Leader(_true(p.tip, scale), _true(p.at, scale), p.text, strong=True) for p in placed]
        rows = [(p.at[0], p.at[1] + half) for p in placed for half in (-ROW_MM / 2, ROW_MM / 2)]
        points = [low, high, *(_true(row, scale) for row in rows)]
        frame = _frame(points)
        wide, tall = ((b - a).float_mm(scale) for a, b in zip(*frame, strict=True))
        if (wide <= room_mm[0] - 2 * room and tall <= room_mm[1]) or scale == SCALES[-1]:
            break
    return leaders, frame[0], frame[1], scale


def unseen(scene: Scene, view: View = ISOMETRIC, among: Container[str] | None = None) -> tuple[str, ...]:
    """Marks of pieces (all, or `among` some) of which the view shows nothing: they need another picture."""
    asked = [i for i, piece in enumerate(scene.pieces) if among is None or piece.mark in among]
    spots = visible_spots(scene.solids, view, asked)
    return tuple(scene.pieces[i].mark for i in asked if spots[i] is None)


def overall_views(
    scene: Scene, display: Display, rooms_mm: Sequence[tuple[float, float]], name: str = "overall size"
) -> Drawing:
    """Front, top over it and right side beside it (third-angle arrangement, ISO 5456-2), with overall dimensions, for
    the first of the rooms (width, height of paper); larger ones for those of the others that are for larger scales."""
    seen = []
    for view in (FRONT, TOP, RIGHT):
        found = outline(scene.solids, view, scene.ticks)
        low, _ = view.frame(scene.bounds, scene.ticks)
        seen.append(([Line(start, end) for start, end in found.pictured(found.visible)], low))
    first, *others = (_views(scene, display, room, name, seen) for room in rooms_mm)
    larger = {other.scale: other for other in others if other.scale and first.scale and other.scale > first.scale}
    return replace(first, larger=tuple(larger[scale] for scale in sorted(larger, reverse=True)))


def _views(
    scene: Scene, display: Display, room_mm: tuple[float, float], name: str, seen: Sequence[tuple[list[Line], Flat]]
) -> Drawing:
    box: Box = scene.bounds
    x, y, z = (scene.ticks.length(v) for v in box.size)
    scale = _scale((x + y, z + y), (room_mm[0] - 50.0, room_mm[1] - 46.0))
    gap = true_length(22.0, scale)
    shapes: list[Shape] = []
    for (lines, low), at in zip(seen, ((ZERO, ZERO), (ZERO, z + gap), (x + gap, ZERO)), strict=True):
        back = (low[0] - at[0], low[1] - at[1])
        shapes += [moved(line, back) for line in lines]
    left, far = (ZERO, ZERO), (x + gap, ZERO)
    shapes += [
        Dimension(left, (x, ZERO), display.bare(x), "x", -9.0),
        Dimension(left, (ZERO, z), display.bare(z), "y", -9.0),
        Dimension(far, (far[0] + y, ZERO), display.bare(y), "x", -9.0),
    ]
    return Drawing(name, x + gap + y, z + gap + y, tuple(shapes), scale, 0.0, room_mm[1], unit=display.units)


def _scale(size: tuple[Length, Length], room_mm: tuple[float, float]) -> Fraction:
    """The largest usual scale at which `size` fits the room."""
    for scale in SCALES:
        if all(side.float_mm(scale) <= room for side, room in zip(size, room_mm, strict=True)):
            return scale
    return SCALES[-1]


def _paper(at: Flat, scale: Fraction) -> tuple[float, float]:
    return at[0].float_mm(scale), at[1].float_mm(scale)


def _true(at: tuple[float, float], scale: Fraction) -> Flat:
    return true_length(at[0], scale), true_length(at[1], scale)


def _frame(points: Sequence[Point]) -> tuple[Flat, Flat]:
    # compared as floats: corners are thousandths of a millimetre, and there are many
    xs, ys = sorted({x.float_mm(): x for x, _ in points}.items()), sorted({y.float_mm(): y for _, y in points}.items())
    return (xs[0][1], ys[0][1]), (xs[-1][1], ys[-1][1])


def moved(shape: Shape, back: Flat) -> Shape:
    """The shape with `back` taken off all its points."""
    if type(shape) is Line:  # nearly all shapes of a picture are lines
        (a, b), (c, d) = shape.start, shape.end
        return Line((a - back[0], b - back[1]), (c - back[0], d - back[1]), shape.stroke)
    dx, dy = back

    def at(point: Point) -> Point:
        return point[0] - dx, point[1] - dy

    if isinstance(shape, Polygon):
        return replace(shape, points=tuple(at(point) for point in shape.points))
    if isinstance(shape, (Line, Arrow, Dimension)):
        return replace(shape, start=at(shape.start), end=at(shape.end))
    if isinstance(shape, (Circle, CentreMark)):
        return replace(shape, centre=at(shape.centre))
    if isinstance(shape, Leader):
        return replace(shape, tip=at(shape.tip), at=at(shape.at))
    return replace(shape, at=at(shape.at))
