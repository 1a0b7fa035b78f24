"""Pictures of solids: as they stand or drawn apart, in isometric or orthographic view, each piece with its mark.

A mark stands on its piece where it has room, else on free paper with a leader that runs over no other piece. A picture
takes the room it is given whole: nothing is measured in it, so its scale need not be one of the usual.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from fractions import Fraction
from functools import cached_property

from msgspec import Struct, field
from msgspec.structs import replace

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
    Words,
)
from shopdocs.blocks.scales import SCALES
from shopdocs.core.box import Corner, Ticks
from shopdocs.core.length import Length
from shopdocs.documents.drawn.arrow_ends import Going
from shopdocs.documents.drawn.measures import true_length
from shopdocs.documents.drawn.numbered_arrows import DISC_MM, across_disc, clear_of_each_other, numbered
from shopdocs.documents.drawn.rims import rims, seams
from shopdocs.documents.drawn.wet import Wet, WetPin, dots
from shopdocs.work.shapes.hidden import Screens, Segment, outline, seen_parts
from shopdocs.work.shapes.mark_room import Stands, Wanted, room_for_marks
from shopdocs.work.shapes.pixels import FINE_MM, Pixels, Spot, pixels
from shopdocs.work.shapes.projection import ISOMETRIC, Flat, View
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.placed import Scene

MARK_SIZES = (14.0, 11.0, 10.5)  # points; the first at which every mark has room
CROWDED_PT = 11.0
TAG_PT = 11.0
EDGE_MM = 0.6  # kept free inside the room of a picture
MANY = 24  # marks; they are set no larger than that at once
HOPELESS = 3  # marks without a place: a little more white at the sides gives no place to so many
BESIDE_MM = (0.0, 13.0)  # kept free at both sides for marks: tried in this order

# Widths of bold letters as parts of their size, rather too wide than too narrow.
_WIDE = {**dict.fromkeys("MWmw@%", 0.93), **dict.fromkeys("IJijlftr1 .,-–", 0.48)}
_USUAL = 0.66

Label = tuple[str, tuple[str, ...]]  # words, and the marks of the pieces they may point at, the best first


class Laid(Struct, frozen=True, dict=True):
    """What a picture shows: a scene, how far each piece is moved (ticks), the thin lines along which pieces go
    together and how they are drawn, of how many strips pieces are glued up (by mark), and the marks of those drawn
    pale; the others are drawn `bold` where there are such. `pencilled` are lines on faces that are seen whole, `wet`
    faces that take glue, `tags` words at spots of the build (ticks); `sizes` are those of the marks, the first tried
    first."""

    scene: Scene
    shifts: tuple[Corner, ...]
    ways: tuple[Segment, ...] = ()
    strips: Mapping[str, int] = field(default_factory=dict)
    pale: Collection[str] = ()
    bold: bool = False
    way_stroke: Stroke = Stroke.CENTRE
    pencilled: tuple[Segment, ...] = ()
    wet: tuple[Wet | WetPin, ...] = ()
    tags: tuple[tuple[Corner, str], ...] = ()
    sizes: tuple[float, ...] = MARK_SIZES

    @cached_property
    def solids(self) -> list[Solid]:
        """The scene's solids where the picture shows them."""
        return [solid.shifted(by) for solid, by in zip(self.scene.solids, self.shifts, strict=True)]

    def paler(self) -> Laid:
        """The same with every piece drawn pale; what hides what is worked out for both together."""
        made = replace(self, pale=frozenset(piece.mark for piece in self.scene.pieces))
        made.__dict__.update(solids=self.solids, _screens=self._screens)
        return made

    def screens(self, view: View) -> Screens:
        """What hides lines in a view."""
        if view not in self._screens:
            self._screens[view] = Screens(self.solids, view)
        return self._screens[view]

    def shown(self, view: View, scale: Fraction, low: Spot, high: Spot) -> Pixels:
        """What squares of paper show; the last is kept, for the next question is often about the same."""
        key = view, scale, low, high
        if key not in self._shown:
            self._shown.clear()
            self._shown[key] = pixels(self.solids, view, self.scene.ticks, float(scale), low, high)
        return self._shown[key]

    @cached_property
    def _shown(self) -> dict[object, Pixels]:
        return {}

    @cached_property
    def _screens(self) -> dict[View, Screens]:
        return {}

    @cached_property
    def lines(self) -> dict[View, list[Line]]:
        """The lines of the views drawn so far: at whatever scale, they are the same."""
        return {}


class Picture(Struct, frozen=True, dict=True):
    """A drawing, and the words of the labels that found no place in it."""

    drawing: Drawing
    unmarked: tuple[str, ...] = ()


def standing(scene: Scene, **more: object) -> Laid:
    """Every piece in its place."""
    return Laid(scene, ((0, 0, 0),) * len(scene.pieces), **more)  # type: ignore[arg-type]


def picture(
    laid: Laid,
    room_mm: tuple[float, float],
    view: View = ISOMETRIC,
    name: str = "",
    labels: Sequence[Label] = (),
    arrows: Sequence[Going] = (),
) -> Picture:
    """The drawing, as large as the room allows with all marks at one size of type, a smaller one where that gives more
    of them a place. `arrows` go from spot to spot of the build (ticks), with words at their tail."""
    if not laid.scene.pieces:
        return Picture(Drawing(name, Length(1), Length(1), ()))
    low, high = frame_of(laid, view, arrows)
    marked = best_marks(laid, room_mm, view, labels, (low, high), arrows)
    return drawn(laid, marked, room_mm, view, name, (low, high), arrows)


def frame_of(laid: Laid, view: View, arrows: Sequence[Going] = ()) -> tuple[Flat, Flat]:
    """The upright rectangle round a picture, in true lengths."""
    ticks = laid.scene.ticks
    bounds = [solid.bounds.shifted(by) for solid, by in zip(laid.scene.solids, laid.shifts, strict=True)]
    points = [point for box in bounds for point in view.frame(box, ticks)]
    points += [view.picture(spot, ticks) for segment in laid.ways for spot in segment]
    points += [view.picture(spot, ticks) for going in arrows for spot in (going.start, going.end)]
    return _frame(points)


def least_seen(laid: Laid, room_mm: tuple[float, float], view: View) -> tuple[float, Fraction]:
    """How much is seen of the piece that the others hide most of, as a part of its outline, and the scale at which the
    picture fits the room."""
    frame, ticks = frame_of(laid, view), laid.scene.ticks
    scale = _fitting(frame, (room_mm[0] - 2 * EDGE_MM, room_mm[1] - 2 * EDGE_MM))
    seen = laid.shown(view, scale, *_paper_room(frame, scale, room_mm)).sizes
    shares = []
    for number, solid in enumerate(laid.solids):
        low, high = (_paper(corner, scale) for corner in view.frame(solid.bounds, ticks))
        around = (low[0] - FINE_MM, low[1] - FINE_MM), (high[0] + FINE_MM, high[1] + FINE_MM)
        whole = pixels([solid], view, ticks, float(scale), *around).sizes.get(0, 0)
        shares.append(min(1.0, seen.get(number, 0) / whole) if whole else 1.0)
    return min(shares), scale


def _paper_room(frame: tuple[Flat, Flat], scale: Fraction, room_mm: tuple[float, float]) -> tuple[Spot, Spot]:
    """The low and the high corner of the room on the paper, the picture in its middle."""
    x, y = ((a + b).float_mm(scale) / 2 for a, b in zip(*frame, strict=True))
    wide, high = room_mm[0] / 2, room_mm[1] / 2
    return (x - wide, y - high), (x + wide, y + high)


class Marked(Struct, frozen=True, dict=True):
    """Marks of one size placed in a picture of this scale."""

    scale: Fraction
    size_pt: float
    stands: tuple[Stands, ...]
    unmarked: tuple[str, ...]


def best_marks(
    laid: Laid,
    room_mm: tuple[float, float],
    view: View,
    labels: Sequence[Label],
    frame: tuple[Flat, Flat],
    arrows: Sequence[Going] = (),
    quick: bool = False,
    whole: bool = False,
) -> Marked:
    """The first of the ways to mark a picture that leaves no label out, else the one that leaves out the fewest.
    `quick` tries few; with `whole` only the former is of use, and what is left out is not told in full."""
    best: Marked | None = None
    sizes = tuple(size for size in laid.sizes if len(labels) <= MANY or size <= CROWDED_PT)
    edge = EDGE_MM + (DISC_MM if arrows else 0.0)
    for beside in BESIDE_MM[:1] if quick or not labels else BESIDE_MM:
        scale = _fitting(frame, (room_mm[0] - 2 * (edge + beside), room_mm[1] - 2 * edge))
        if not labels:
            return Marked(scale, sizes[0], (), ())
        if best is not None and len(best.unmarked) > HOPELESS:
            return best
        for size, found in zip(
            sizes, _marks(laid, room_mm, view, labels, frame, arrows, scale, sizes, quick, whole), strict=False
        ):
            tried = Marked(scale, size, tuple(found[0]), tuple(found[1]))
            if not tried.unmarked:
                return tried
            if best is None or len(tried.unmarked) < len(best.unmarked):
                best = tried
    assert best is not None
    return best


def _marks(
    laid: Laid,
    room_mm: tuple[float, float],
    view: View,
    labels: Sequence[Label],
    frame: tuple[Flat, Flat],
    arrows: Sequence[Going],
    scale: Fraction,
    sizes: Sequence[float],
    quick: bool,
    whole: bool,
) -> Iterable[tuple[list[Stands], list[str]]]:
    """Where the marks stand at one scale, size of type after size of type."""
    ticks, number = laid.scene.ticks, {piece.mark: i for i, piece in enumerate(laid.scene.pieces)}
    shown = laid.shown(view, scale, *_paper_room(frame, scale, room_mm))
    inked = [
        (_paper(view.picture(a, ticks), scale), _paper(view.picture(b, ticks), scale))
        for a, b in (*laid.ways, *laid.pencilled)
    ]
    ways = _arrow_ways(laid, view, arrows, scale)
    inked += ways
    over = [line for way, going in zip(ways, arrows, strict=True) if going.words for line in across_disc(way)]
    blind = [words for words, marks in labels if not any(number.get(mark) in shown.sizes for mark in marks)]
    for size in sizes:
        if len(blind) > (0 if quick else HOPELESS):
            yield [], [words for words, _ in labels]
            continue
        wanted = [
            Wanted(words, _wide(words, size), size * 0.3528 * 0.8, tuple(number[m] for m in marks if m in number))
            for words, marks in labels
        ]
        yield room_for_marks(shown, wanted, inked, quick, over, whole)


def _arrow_ways(
    laid: Laid, view: View, arrows: Sequence[Going], scale: Fraction
) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """The arrows on the paper, from tail to tip."""
    ticks = laid.scene.ticks
    spots = ([_paper(view.picture(spot, ticks), scale) for spot in (going.start, going.end)] for going in arrows)
    bounds = [solid.bounds.shifted(by) for solid, by in zip(laid.scene.solids, laid.shifts, strict=True)]
    movers = []
    for going in arrows:
        own = [box for box in bounds if all(box.lo[k] <= going.start[k] <= box.hi[k] for k in range(3))]
        low, high = view.frame(min(own, key=lambda box: box.volume), ticks) if own else (None, None)
        movers.append((_paper(low, scale), _paper(high, scale)) if low is not None and high is not None else None)
    return clear_of_each_other([(start, end) for start, end in spots], [going.words for going in arrows], movers)


def _hidden_ways(
    going: Going, way: tuple[Spot, Spot], view: View, ticks: Ticks, scale: Fraction
) -> list[tuple[Spot, Spot]]:
    """What is hidden of an arrow, on the paper; moved aside with it."""
    x, y = _paper(view.picture(going.end, ticks), scale)
    dx, dy = way[1][0] - x, way[1][1] - y
    parts = [[_paper(view.picture(spot, ticks), scale) for spot in part] for part in going.hidden]
    return [((a + dx, b + dy), (c + dx, d + dy)) for (a, b), (c, d) in parts]


def drawn(
    laid: Laid,
    marked: Marked,
    room_mm: tuple[float, float],
    view: View,
    name: str,
    frame: tuple[Flat, Flat],
    arrows: Sequence[Going] = (),
) -> Picture:
    """The picture with its lines and its marks."""
    ticks, scale = laid.scene.ticks, marked.scale
    shapes: list[Shape] = [*lines_of(laid, view), *dots(laid.wet, laid.solids, laid.shifts, ticks, view, scale)]
    for way, going in zip(_arrow_ways(laid, view, arrows, scale), arrows, strict=True):
        shapes += numbered(way, going.words, scale, _hidden_ways(going, way, view, ticks, scale))
    shapes += [Words(view.picture(spot, ticks), words, TAG_PT, strong=True, boxed=True) for spot, words in laid.tags]
    points = list(frame)
    for stands in marked.stands:
        at = _true(stands.at, scale)
        if stands.tip is None or stands.end is None:
            shapes.append(Words(at, stands.words, marked.size_pt, strong=True, boxed=True))
            continue
        shapes.append(Leader(_true(stands.tip, scale), _true(stands.end, scale), stands.words, True, marked.size_pt))
        half = (_wide(stands.words, marked.size_pt) / 2, marked.size_pt * 0.2)
        points += [_true((stands.at[0] + s * half[0], stands.at[1] + s * half[1]), scale) for s in (-1, 1)]
    low, high = _frame(points)
    drawing = Drawing(
        name,
        high[0] - low[0],
        high[1] - low[1],
        moved_all(shapes, low),
        scale,
        0.0,
        room_mm[1] + 2,
        pictorial=sum(map(bool, view.toward)) > 1,
    )
    return Picture(drawing, marked.unmarked)


def lines_of(laid: Laid, view: View) -> list[Line]:
    """All seen lines: edges, rims of holes, seams between strips, the thin ways. Pale pieces are drawn thin."""
    if view not in laid.lines:
        laid.lines[view] = _lines_of(laid, view)
    return laid.lines[view]


def _lines_of(laid: Laid, view: View) -> list[Line]:
    scene, solids = laid.scene, laid.solids
    pale = {i for i, piece in enumerate(scene.pieces) if piece.mark in laid.pale}
    lines: list[Line] = []
    screens = laid.screens(view)
    groups = [(set(range(len(solids))) - pale, Stroke.KNIFE if laid.bold else Stroke.VISIBLE), (pale, Stroke.THIN)]
    for members, stroke in groups:
        if members:
            found = outline(solids, view, scene.ticks, members if pale else None, screens)
            lines += [Line(start, end, stroke) for start, end in found.pictured(found.visible)]
    lines += rims(scene.pieces, solids, laid.shifts, scene.ticks, view, screens)
    lines += seams(scene.pieces, solids, laid.shifts, laid.strips, scene.ticks, view, screens)
    for start, end in seen_parts(solids, view, laid.ways, screens):
        lines.append(Line(view.picture(start, scene.ticks), view.picture(end, scene.ticks), laid.way_stroke))
    return lines + [Line(view.picture(a, scene.ticks), view.picture(b, scene.ticks)) for a, b in laid.pencilled]


def every_mark(scene: Scene) -> list[Label]:
    """A label for each piece of the scene: its own mark, pointing at nothing but that piece."""
    return [(piece.mark, (piece.mark,)) for piece in scene.pieces]


def _wide(words: str, size_pt: float) -> float:
    """How wide the words are set at most, in millimetres."""
    return sum(_WIDE.get(letter, _USUAL) for letter in words) * size_pt * 0.3528


def _fitting(frame: tuple[Flat, Flat], room_mm: tuple[float, float]) -> Fraction:
    """The largest scale at which the frame fits the room; no larger than life."""
    shares = [room / max((b - a).float_mm(), FINE_MM) for a, b, room in zip(*frame, room_mm, strict=True)]
    return min(Fraction(1), Fraction(int(min(shares) * 10_000), 10_000) or Fraction(1, 10_000))


def usual_scale(size: tuple[Length, Length], room_mm: tuple[float, float]) -> Fraction:
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


def moved_all(shapes: Sequence[Shape], back: Flat) -> tuple[Shape, ...]:
    """The shapes with `back` taken off all their points. Corners of a picture share their places: each is moved
    once."""
    known: tuple[dict[int, Length], dict[int, Length]] = ({}, {})

    def at(value: Length, axis: int) -> Length:
        found = known[axis].get(id(value))  # the shapes are kept meanwhile, so that no other length takes its number
        if found is None:
            found = known[axis][id(value)] = value - back[axis]
        return found

    return tuple(
        Line(
            (at(shape.start[0], 0), at(shape.start[1], 1)),
            (at(shape.end[0], 0), at(shape.end[1], 1)),
            shape.stroke,
            shape.ink,
        )
        if isinstance(shape, Line)  # as nearly all shapes of a picture are
        else moved(shape, back)
        for shape in shapes
    )


def moved(shape: Shape, back: Flat) -> Shape:
    """The shape with `back` taken off all its points."""
    if isinstance(shape, Line):
        (a, b), (c, d), stroke, ink = shape
        return Line((a - back[0], b - back[1]), (c - back[0], d - back[1]), stroke, ink)
    dx, dy = back

    def at(point: Point) -> Point:
        return point[0] - dx, point[1] - dy

    if isinstance(shape, Polygon):
        return replace(shape, points=tuple(at(point) for point in shape.points))
    if isinstance(shape, (Arrow, Dimension)):
        return replace(shape, start=at(shape.start), end=at(shape.end))
    if isinstance(shape, (Circle, CentreMark)):
        return replace(shape, centre=at(shape.centre))
    if isinstance(shape, Leader):
        return replace(shape, tip=at(shape.tip), at=at(shape.at))
    return replace(shape, at=at(shape.at))
