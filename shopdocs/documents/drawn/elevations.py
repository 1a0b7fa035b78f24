"""Front, plan and right side of a build in line with each other, with overall sizes, the heights of its rails over the
floor, and how far the top stands over what carries it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from shopdocs.blocks.drawing import Dimension, Drawing, Line, Point, Shape, Stroke, Words
from shopdocs.blocks.text import Figure
from shopdocs.core.box import Ticks
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.leaders import spaced
from shopdocs.documents.drawn.measures import figures_pt, true_length, type_mm
from shopdocs.documents.drawn.pictures import moved_all, usual_scale
from shopdocs.work.shapes.carved import NEAR_MM, bodies_of
from shopdocs.work.shapes.hidden import outline
from shopdocs.work.shapes.projection import FRONT, RIGHT, TOP, Flat
from shopdocs.work.shapes.seen import visible_spots
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.placed import Scene

APART_MM = 22.0  # between the views, with the height of the whole
LEVEL_MM = 6.8  # from a height's level to its words
ARROW_MM = 5.5  # what points in from outside, to the words beyond it
BETWEEN_MM = 5.0  # from the one of two such words to the other
SLATS_MM = 5.0  # how far their sizes stand over their ends
AROUND_MM = (2 * 18.0, 24.0)  # for heights at both sides, for dimensions below
# Points, and millimetres from one height to the next where they would run together: fractions are read at 2 mm.
HEIGHT_PT, ROW_MM = {"mm": 10.0, "in": 11.25}, {"mm": 4.4, "in": 4.9}
MOST_HEIGHTS = 12  # on one side; more of them are the levels of a ladder, and told by the piece drawings
_VIEWS = (FRONT, TOP, RIGHT)


Span = tuple[Length, Length]


@dataclass(frozen=True)
class _Seen:
    """The lines of the views, and what is measured in them, in true lengths from the left, front and floor."""

    lines: tuple[tuple[tuple[Line, ...], Flat], ...]
    size: tuple[Length, Length, Length]
    heights: tuple[tuple[Length, ...], tuple[Length, ...]]  # in the front and in the right side view
    stands: tuple[tuple[Span, ...], tuple[Span, ...]]  # what is clear of the feet, along x and y
    slats: tuple[Length, ...]  # ends of the first two of a row on top, along y
    plan: bool = True  # whether the plan tells what the other views do not


def elevations(
    scene: Scene,
    display: Display,
    rooms_mm: Sequence[tuple[float, float]],
    doors: Collection[int] = (),
    drawers: Collection[int] = (),
    floor: bool = True,
    one_door: bool = False,
) -> Drawing:
    """The three views in third-angle arrangement (ISO 5456-2), without a plan that tells nothing of its own, for the
    first of the rooms (width, height of paper); larger ones for those of the others that are for larger scales. The
    front is drawn without its `doors`, by their index in the scene, so that what they hide is seen; no height is told
    of them nor of `drawers`; `one_door` is all there is. Without a `floor` the build hangs on a wall."""
    seen = _seen(scene, frozenset(doors), frozenset(drawers))
    off = f", door{'' if one_door else 's'} off" if doors else ""
    views = f"front{off}{', plan' if seen.plan else ',' if doors else ''} and right side"
    name = f"{views}; heights above the {'floor' if floor else 'lower edge'}"
    first, *others = (_drawn(seen, display, room, name) for room in rooms_mm)
    larger = {other.scale: other for other in others if other.scale and first.scale and other.scale > first.scale}
    return replace(first, larger=tuple(larger[scale] for scale in sorted(larger, reverse=True)))


def _seen(scene: Scene, doors: frozenset[int], drawers: frozenset[int]) -> _Seen:
    lines = []
    for view in _VIEWS:
        left_out = doors if view is FRONT else frozenset[int]()
        found = outline([s for i, s in enumerate(scene.solids) if i not in left_out], view, scene.ticks)
        low, _ = view.frame(scene.bounds, scene.ticks)
        lines.append((tuple(Line(start, end) for start, end in found.pictured(found.visible)), low))
    a, b, c = (scene.ticks.length(v) for v in scene.bounds.size)
    slats = _slats(scene)
    return _Seen(
        tuple(lines),
        (a, b, c),
        (_heights(scene, 0, doors, drawers), _heights(scene, 1, doors, drawers)),
        (_stands(scene, 0), _stands(scene, 1)),
        slats,
        _plan_tells(scene, doors, bool(slats)),
    )


def _plan_tells(scene: Scene, doors: frozenset[int], slatted: bool) -> bool:
    """Whether a plan of what is no door shows more than a rectangle and lines across the whole of it one way or the
    other: the front and the right side view have these too, the ends of slats, and how thick the doors are. What is
    seen between the slats of a top tells nothing of it."""
    high = scene.bounds.hi[2]
    solids = [s for i, s in enumerate(scene.solids) if i not in doors and (s.body.hi[2] == high or not slatted)]
    found = outline(solids, TOP, scene.ticks)
    lines = list(found.pictured(found.visible))
    whole = [(min(each), max(each)) for each in zip(*(point for line in lines for point in line), strict=True)]

    def tells(start: Point, end: Point) -> bool:
        for across, along in ((0, 1), (1, 0)):
            if start[across] == end[across]:
                low, high = sorted((start[along], end[along]))
                return start[across] not in whole[across] and (low, high) != whole[along]
        return True

    return any(tells(start, end) for start, end in lines)


def _heights(scene: Scene, axis: int, doors: frozenset[int], drawers: frozenset[int]) -> tuple[Length, ...]:
    """Lower and upper edges over the floor of the seen pieces that run along an axis, without floor and top. The
    longest pieces count where there are too many."""
    view = (FRONT, RIGHT)[axis]
    kept = [i for i in range(len(scene.solids)) if i not in doors]
    wanted = [k for k, i in enumerate(kept) if i not in drawers and scene.pieces[i].pose.build_axis(0) == axis]
    spots = visible_spots([scene.solids[i] for i in kept], view, wanted)
    runs = [kept[k] for k in wanted if spots[k] is not None]
    floor, top = scene.bounds.lo[2], scene.bounds.hi[2]
    found: set[int] = set()
    for i in sorted(runs, key=lambda i: (-scene.solids[i].body.size[axis], i)):
        body = scene.solids[i].body
        more = {body.lo[2], body.hi[2]} - {floor, top}
        if len(found | more) <= MOST_HEIGHTS:
            found |= more
    return tuple(scene.ticks.length(level - floor) for level in sorted(found))


def _stands(scene: Scene, axis: int) -> tuple[Span, ...]:
    """Along an axis, how far the build stands over its outermost feet and how far these are apart on the floor."""
    low, high, floor = scene.bounds.lo[axis], scene.bounds.hi[axis], scene.bounds.lo[2]
    feet = sorted({_foot(s, axis, scene.ticks) for s in scene.solids if s.body.lo[2] == floor})
    feet = [foot for foot in feet if 3 * (foot[1] - foot[0]) < high - low]
    if not feet:
        return ()
    spans = [(low, feet[0][0]), (feet[0][1], feet[-1][0]), (feet[-1][1], high)]
    return tuple((scene.ticks.length(a - low), scene.ticks.length(b - low)) for a, b in spans if a < b)


def _foot(solid: Solid, axis: int, ticks: Ticks) -> tuple[int, int]:
    """From where to where a piece stands on the floor: what leans or tapers, less far than it reaches above."""
    if not solid.slants:
        return solid.body.lo[axis], solid.body.hi[axis]
    low = solid.body.lo[2] + NEAR_MM * ticks.per_mm
    spots = [spot for body in bodies_of(solid) for face in body.faces for spot in face if spot[2] <= low]
    places = [round(spot[axis]) for spot in spots] or [solid.body.lo[axis], solid.body.hi[axis]]
    return min(places), max(places)


def _slats(scene: Scene) -> tuple[Length, ...]:
    """The ends of the first two pieces of a row on the top, along y: how wide they are and how far apart."""
    top = [i for i, solid in enumerate(scene.solids) if solid.body.hi[2] == scene.bounds.hi[2]]
    rows: dict[str, list[tuple[int, int]]] = {}
    for i in top:
        body = scene.solids[i].body
        rows.setdefault(scene.pieces[i].part, []).append((body.lo[1], body.hi[1]))
    for ends in rows.values():
        one, *others = sorted(set(ends))
        after = [other for other in others if other[0] > one[1]]
        if len(after) > 1:
            return tuple(scene.ticks.length(v - scene.bounds.lo[1]) for v in (*one, after[0][0]))
    return ()


def _drawn(seen: _Seen, display: Display, room_mm: tuple[float, float], name: str) -> Drawing:
    x, y, z = seen.size
    apart, over = _apart_mm(seen, display), APART_MM / 2 if seen.plan else 0.0
    plan = y if seen.plan else ZERO
    if seen.slats and not seen.plan:
        over = SLATS_MM + type_mm("0", 9.0) * 2
    scale = usual_scale(
        (x + y, z + plan), (room_mm[0] - _beside_mm(seen, display) - apart, room_mm[1] - AROUND_MM[1] - over)
    )
    gap, up = true_length(apart, scale), true_length(over, scale)
    corners = {FRONT: (ZERO, ZERO), TOP: (ZERO, z + up), RIGHT: (x + gap, ZERO)}
    shapes: list[Shape] = []
    for view, (lines, low) in zip(_VIEWS, seen.lines, strict=True):
        if view is TOP and not seen.plan:
            continue
        at = corners[view]
        back = (low[0] - at[0], low[1] - at[1])
        shapes += moved_all(lines, back)
    figures: list[Figure] = []
    for which, (left, right) in enumerate(((ZERO, x), (x + gap, x + gap + y))):
        shapes += _across(seen.stands[which], left, right, display)
        side = -1 if which == 0 else 1
        shapes += _levels((*seen.heights[which],), left if side < 0 else right, side, scale, display)
        figures += [Figure(f"{name} · height", display.bare(h), h.mm, "mm") for h in seen.heights[which]]
    shapes.append(Dimension((x + gap, ZERO), (x + gap, z), display.bare(z), "y", -9.0))
    for one, two in pairwise(seen.slats):
        wide = display.bare(two - one)
        if seen.plan:
            shapes.append(Dimension((x, z + up + one), (x, z + up + two), wide, "y", 8.0))
        else:  # their ends
            shapes.append(Dimension((x + gap + one, z), (x + gap + two, z), wide, "x", SLATS_MM))
    title = "Plan and elevations" if seen.plan else "Elevations"
    size = x + gap + y, z + up + plan
    return Drawing(name, *size, tuple(shapes), scale, 0.0, room_mm[1], tuple(figures), unit=display.units, title=title)


def _beside_mm(seen: _Seen, display: Display) -> float:
    """Of paper at both sides of the views together, for heights and for what overhangs outside."""
    (left, right), (front, side) = seen.heights, seen.stands
    outer = (
        (left, [two for one, two in front[:1] if not one]),
        (right, [two - one for one, two in side[-1:] if two == seen.size[1]]),
    )
    points = HEIGHT_PT[display.units]
    found = 0.0
    for heights, overhang in outer:
        words = [LEVEL_MM + type_mm(display.bare(height), points) for height in heights]
        words += [ARROW_MM + type_mm(told, figures_pt(told, 9.0)) for told in map(display.bare, overhang)]
        found += max([AROUND_MM[0] / 2, *words])
    return found


def _apart_mm(seen: _Seen, display: Display) -> float:
    """Of paper between front and side view: what overhangs on both sides of it is told there, outside of either."""
    front, side = seen.stands
    inner = [*(two - one for one, two in front[-1:] if two == seen.size[0]), *(two for one, two in side[:1] if not one)]
    if len(inner) < 2:
        return APART_MM
    words = [display.bare(over) for over in inner]
    return max(APART_MM, BETWEEN_MM + sum(ARROW_MM + type_mm(word, figures_pt(word, 9.0)) for word in words))


def _across(spans: Sequence[Span], left: Length, right: Length, display: Display) -> Iterator[Shape]:
    """What stands over the feet and what is clear between them in one row, the whole below."""
    for one, two in spans:
        yield Dimension((left + one, ZERO), (left + two, ZERO), display.bare(two - one), "x", -7.0)
    yield Dimension((left, ZERO), (right, ZERO), display.bare(right - left), "x", -14.5 if spans else -9.0)


def _levels(heights: Sequence[Length], at: Length, side: int, scale: Fraction, display: Display) -> Iterator[Shape]:
    """Each height over the floor on a short line at its level, bent where they would run together."""
    rows = spaced([height.float_mm(scale) for height in heights], ROW_MM[display.units])
    one, two, three = (at + true_length(side * far, scale) for far in (1.2, 4.0, 6.0))
    for height, row in zip(heights, rows, strict=True):
        level = true_length(row, scale)
        yield Line((one, height), (two, height), Stroke.THIN)
        yield Line((two, height), (three, level), Stroke.THIN)
        anchor = "right" if side < 0 else "left"
        yield Words((three, level), display.bare(height), HEIGHT_PT[display.units], anchor, dx_mm=side * 0.8)  # type: ignore[arg-type]
