"""A drilling template as it is cut out: outline, holes, the line it is laid to, and its name on the paper itself.

Once cut out, a template has lost the sheet's words, so everything that tells which piece it is for and how it lies
stands within its outline. Where the face is too narrow for its name, the name stands on a flap beside the far edge,
folded down over the edge.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.blocks.drawing import CentreMark, Circle, Drawing, Line, Point, Polygon, Shape, Stroke, Words
from shopdocs.blocks.face_marks import face_edge_mark, face_side_mark
from shopdocs.core.length import ZERO, Length
from shopdocs.core.turn import near
from shopdocs.documents.drawn.lip import lip_depth, lip_shapes, spread, tape_marks
from shopdocs.documents.drawn.measures import figures_pt
from shopdocs.documents.drawn.paper_room import EDGE_MM, EM, HIGH, Box, PaperRoom, exact, meets
from shopdocs.documents.drawn.recesses import Outline, outline_lines
from shopdocs.documents.fitting.off_square import SEEN
from shopdocs.model.joining import Face
from shopdocs.work.holes.face_holes import FaceHoles
from shopdocs.work.space.drilled import Drilled
from shopdocs.work.space.features import FINE
from shopdocs.work.space.placed import Bore as PlacedBore
from shopdocs.work.space.placed import FeatureKind, side_of

Locate = Callable[[Length, Length], Point]  # a place on the face to a place on the drawing

ARROW_MM = 8.0  # how far the line of a hole at an angle runs past its rim
MARGIN = Length(12)  # paper kept around holes that are far from every edge
LONGEST = Length(160)  # of a template by which one measures from an end: lies across A4 and Letter beside the check bar
SPARED = Length(20)  # paper on the far side of the holes is left away where that spares as much
INDEX_ROOM = Length(6)  # paper kept beside an index line
INDEX_MARGIN = Length(18)  # and around the holes laid by it: room for the name of the edge beside the line
CENTRE = Length("3.5")
LINE_MM = 4.2  # from line to line of words on a flap
INSIDE_MM = 3.2  # from an edge to the middle of the words along it
MARK_MM, LEAST_MARK_MM = 9.0, 5.0  # length of a face mark
MARK_PLACES = (0.25, 0.75, 0.35, 0.65, 0.15, 0.85)  # along the edge, the first that is free


class Window(Struct, frozen=True):
    """The part of the face that is drawn: from `start` to `end` along it and from the reference edge to `across`; which
    of its ends are real ends of the face, and the distance of the index line from end A (or B) where neither is. Where
    the holes lie far from the edge, what is drawn begins at `low`, and the index line is `gauged` from the edge."""

    start: Length
    end: Length
    across: Length
    at_start: bool
    at_end: bool
    index: Length | None = None
    index_from_end: bool = False
    low: Length = ZERO
    gauged: Length | None = None

    @property
    def size(self) -> Point:
        """How long and how high the paper is."""
        return self.end - self.start, self.across - self.low

    @property
    def from_far_end(self) -> bool:
        """Whether one measures from end B (on an end of the piece: from the far edge)."""
        return self.index_from_end or (self.at_end and not self.at_start)


def window_of(face: FaceHoles, holes: tuple[Drilled, ...], step: Length, is_exact: Callable[[Length], bool]) -> Window:
    """What of the face is worth paper: all of it where it is short; else from the nearer end to just past the holes;
    else the holes' own surroundings with an index line through the hole nearest to that end. Where its distance cannot
    be shown exactly (`is_exact`), the line lies at a whole number of `step`, clear of the hole."""
    window = _along_window(face, holes, step, is_exact)
    first = min(hole.across - half_height(hole) for hole in holes)
    if window.index is not None or window.across <= LONGEST or first <= LONGEST / 2:
        return window
    nearest = min(hole.across for hole in holes)
    line = nearest if is_exact(nearest) else step * int((nearest - INDEX_ROOM) / step)
    last = max(hole.across + half_height(hole) for hole in holes)
    across = face.height if last + INDEX_MARGIN >= face.height else last + INDEX_MARGIN
    return replace(window, low=min(first - INDEX_MARGIN, line - INDEX_ROOM), across=across, gauged=line)


def _along_window(
    face: FaceHoles, holes: tuple[Drilled, ...], step: Length, is_exact: Callable[[Length], bool]
) -> Window:
    """As `window_of`, from the edge on."""
    first = min(hole.along - half_width(hole) for hole in holes)
    last = max(hole.along + half_width(hole) for hole in holes)
    across = max(hole.across + half_height(hole) for hole in holes) + MARGIN
    if across + SPARED > face.height:
        across = face.height
    if face.width <= LONGEST:
        return Window(ZERO, face.width, across, True, True)
    from_a, from_b = last, face.width - first  # how far the template reaches from either end
    near = min(from_a, from_b)
    long = last - first
    if near <= LONGEST - MARGIN or (long > LONGEST / 2 and near <= long + LONGEST / 2):
        if from_a <= from_b:
            end = min(face.width, last + MARGIN)
            return Window(ZERO, end, across, True, end == face.width)
        start = max(ZERO, first - MARGIN)
        return Window(start, face.width, across, start == ZERO, True)
    from_end = from_b < from_a
    middle = (face.width - holes[-1].along) if from_end else holes[0].along
    whole = middle if is_exact(middle) else step * int((middle - INDEX_ROOM) / step)
    line = face.width - whole if from_end else whole
    start = max(ZERO, min(first - INDEX_MARGIN, line - INDEX_ROOM))
    end = min(face.width, max(last + INDEX_MARGIN, line + INDEX_ROOM))
    if start == ZERO or end == face.width:
        return Window(start, end, across, start == ZERO, end == face.width)
    return Window(start, end, across, False, False, whole, from_end)


def half_width(hole: Drilled) -> Length:
    """How far a hole reaches from its centre along the face: bit, countersink or slot, whichever is widest there."""
    return _half(hole, not hole.slot_turned)


def half_height(hole: Drilled) -> Length:
    """How far a hole reaches from its centre across the face: bit, countersink or slot, whichever is widest there."""
    return _half(hole, hole.slot_turned)


def _hole_room(hole: Drilled) -> tuple[float, float]:
    """What a hole and its centre mark take of the paper on either side, and above and below, in millimetres."""
    mark = max(CENTRE.float_mm(), hole.bore.bit.float_mm() / 2 + 2)
    return max(half_width(hole).float_mm(), mark) + 0.6, max(half_height(hole).float_mm(), mark) + 0.6


def _half(hole: Drilled, slotted: bool) -> Length:
    slot = hole.bore.slot if hole.bore.slot and slotted else ZERO
    return max(hole.bore.bit, slot, hole.bore.head or ZERO) / 2


def line_of(face: FaceHoles, window: Window) -> Length | None:
    """Where the index line lies along the face; None without one."""
    return face.width - window.index if window.index and window.index_from_end else window.index


def cut_out(
    face: FaceHoles,
    window: Window,
    holes: tuple[Drilled, ...],
    called: str,
    index: str,
    outlines: Sequence[Outline] = (),
) -> tuple[Drawing, bool]:
    """The template, and whether it has a flap to fold. `called` is its name (marks and face), `index` what stands at
    the index line, "" without one; an arrow then says which way the template lies; `outlines` are cuts of the face."""

    def at(along: Length, across: Length) -> Point:
        return along - window.start, window.across - across if face.reference_at_top else across - window.low

    long, high = window.size
    words = PaperRoom(long.float_mm(), high.float_mm())
    shapes: list[Shape] = []
    for hole in holes:
        words.keep_off(at(hole.along, hole.across), *_hole_room(hole))
        shapes += _hole_shapes(hole, at)
    for outline in outlines:
        for side in outline_lines(outline, (window.start, window.end), (window.low, window.across)):
            start, end = at(*side.start), at(*side.end)
            shapes.append(Line(start, end))
            words.keep_off_line(start, end)
    numbers = _numbers(holes, at)
    shapes += numbers
    words.taken += [_box_of(number) for number in numbers]
    shapes += _index_lines(face, window, at, words)
    if window.gauged is None:
        shapes += _face_mark(face, words)
    said = _edge_words(face, window, words)
    told, index, arrow = _index_words(face, window, at, words, index)
    said += told
    name: list[Shape] = []
    for part in spread(words.wide):  # again and again on a long one, so that every tile bears it
        name += words.set(called, (14.0, 12.0, 10.0, 9.0), (words.wide * float(part), words.high / 2), (0, 90))
    called = "" if name else called
    shapes += said + name
    rest = " · ".join(filter(None, (called, index, arrow)))
    size, line_mm = figures_pt(rest, 9.0), LINE_MM * figures_pt(rest, 9.0) / 9.0
    lines = _wrapped(rest, words.wide - 3.0, size)
    flap = exact(line_mm * len(lines) + 2.4) if lines else ZERO
    shapes += tape_marks(window.size, _taped(face, window, bool(lines)), words.claim)
    beyond, folded = (-flap if face.reference_at_top else high), bool(lines) and window.across == face.height
    for count, one in enumerate(lines):
        y = beyond + flap - exact(1.2 + line_mm * (count + 0.5))
        shapes.append(Words((long / 2, y), one, size, strong=True))
    lip = lip_depth(face.through) if has_lip(face, window) else ZERO
    if lip:
        shapes += lip_shapes(window.start, window.end, lip, edge_names(face)[0], at)
    shapes = [*_outline(face, window, at, flap, folded), *shapes]
    if below := flap if face.reference_at_top else lip:
        shapes = [raised(shape, below) for shape in shapes]
    return Drawing("", long, high + flap + lip, tuple(shapes)), folded


def has_lip(face: FaceHoles, window: Window) -> bool:
    """Whether there is an edge at hand to fold a lip over: none at a shoulder, and none where it is laid by a line."""
    return window.gauged is None and not face.across.start.shoulder


def _taped(face: FaceHoles, window: Window, flap: bool) -> tuple[str, ...]:
    """The sides where the paper is cut, and can be taped down."""
    far, near = ("bottom", "top") if face.reference_at_top else ("top", "bottom")
    ends = [name for name, real in (("left", window.at_start), ("right", window.at_end)) if not real]
    return tuple([*([] if flap else [far]), *([near] if window.gauged is not None else []), *ends])


def _index_lines(face: FaceHoles, window: Window, at: Locate, words: PaperRoom) -> list[Shape]:
    """The lines that are laid on lines of the wood, squared across it or gauged along it; words keep off them."""
    shapes: list[Shape] = []
    line = line_of(face, window)
    if line is not None:
        start, end = at(line, window.low), at(line, window.across)
        shapes.append(Line(start, end, Stroke.CENTRE))
        words.taken.append((start[0].float_mm() - 0.8, 0.0, start[0].float_mm() + 0.8, words.high))
    if window.gauged is not None:
        start, end = at(window.start, window.gauged), at(window.end, window.gauged)
        shapes.append(Line(start, end, Stroke.CENTRE))
        words.taken.append((0.0, start[1].float_mm() - 0.8, words.wide, start[1].float_mm() + 0.8))
    return shapes


def _index_words(
    face: FaceHoles, window: Window, at: Locate, words: PaperRoom, index: str
) -> tuple[list[Shape], str, str]:
    """What stands at an index line, and which way the template lies; then what of both found no room."""
    if window.gauged is not None:
        y = at(window.start, window.gauged)[1].float_mm()
        said = words.set(index, _sizes(index), (words.wide / 2, y + 3.0), (0,))
        return said, "" if said else index, ""
    line = line_of(face, window)
    if line is None:
        return [], "", ""
    x = at(line, window.low)[0].float_mm()
    said = words.set(index, _sizes(index), (x + 3.0, words.high / 2), (90, 0))
    if face.half_turn:  # it lies either way
        return said, "" if said else index, ""
    arrow = f"to {edge_names(face)[2].lower().replace('end b', 'end B')} →"
    # along the piece, for it points that way
    pointing = words.set(arrow, (9.0, 8.0), (words.wide, words.high / 2), (0,))
    return [*said, *pointing], "" if said else index, "" if pointing else arrow


def _sizes(content: str) -> tuple[float, ...]:
    """The sizes in which words with figures may be set: none that makes a digit lower than 2 mm."""
    return tuple(dict.fromkeys((figures_pt(content, 10.0), figures_pt(content, 9.0))))


def _wrapped(content: str, wide: float, size: float) -> list[str]:
    lines: list[str] = []
    for word in content.split():
        if lines and (len(lines[-1]) + 1 + len(word)) * EM * size <= wide:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def raised(shape: Shape, by: Length) -> Shape:
    """A shape of a template moved up by so much."""

    def up(point: Point) -> Point:
        return point[0], point[1] + by

    if isinstance(shape, Line):
        return shape._replace(start=up(shape.start), end=up(shape.end))
    if isinstance(shape, Polygon):
        return replace(shape, points=tuple(up(point) for point in shape.points))
    if isinstance(shape, (Circle, CentreMark)):
        return replace(shape, centre=up(shape.centre))
    assert isinstance(shape, Words)
    return replace(shape, at=up(shape.at))


def _edge_words(face: FaceHoles, window: Window, words: PaperRoom) -> list[Shape]:
    """The names of the edge and of the ends that the template is laid to, inside them where there is room; where it is
    laid by a line gauged from the edge, on which side that edge is."""
    level, first, second = edge_names(face)
    level = level if window.gauged is None or face.both_hands else "" if face.half_turn else f"TO {level}"
    wide, high = words.wide, words.high
    y = high - INSIDE_MM if face.reference_at_top else INSIDE_MM
    out: list[Shape] = []
    for part in spread(wide) if level else ():
        out += words.set(level, (9.0, 8.0), (wide * float(part), y), (0,), (0.0, y, wide, y))
    if level and not out and not has_lip(face, window):  # on a lip it stands anyway
        outside = -7.0 if y < high / 2 else 7.0
        out = [Words((exact(wide / 2), exact(y)), level, 8.0, strong=True, dy_mm=outside)]
    for real, name, x in ((window.at_start, first, INSIDE_MM), (window.at_end, second, wide - INSIDE_MM)):
        if real:
            inside = words.set(name, (9.0, 8.0), (x, high / 2), (90,), (x, 0.0, x, high))
            out += inside or [_outside(name, x, wide, high)]
    return out


def _face_mark(face: FaceHoles, words: PaperRoom) -> list[Shape]:
    """The mark that the face carries on the wood, by the arris it is gauged from: the loop on a face side, the V on a
    face edge. It shows at a glance how the template lies. None where the template is gauged from another edge."""
    draw = {Face.FACE: face_side_mark, Face.EDGE: face_edge_mark}.get(face.face)
    size = min(MARK_MM, words.high * 0.45)
    if draw is None or face.both_hands or face.half_turn or face.from_far_edge or size < LEAST_MARK_MM:
        return []
    half, top = size * 0.45, face.reference_at_top
    low = words.high - size if top else 0.0
    for part in MARK_PLACES:
        x = words.wide * part
        box = (x - half, low, x + half, low + size)
        if box[0] > EDGE_MM and box[2] < words.wide - EDGE_MM and not any(meets(box, other) for other in words.taken):
            words.taken.append((box[0] - 1.0, box[1] - 1.0, box[2] + 1.0, box[3] + 1.0))
            at = (exact(x), exact(words.high if top else 0.0))
            return [draw(at, "down" if top else "up", exact(size), Stroke.VISIBLE)]
    return []


def _outside(name: str, x: float, wide: float, high: float) -> Words:
    at = (ZERO, exact(high / 2)) if x < wide / 2 else (exact(wide), exact(high / 2))
    return Words(at, name, 8.0, angle=90, strong=True, dx_mm=-3.4 if x < wide / 2 else 3.4)


def edge_names(face: FaceHoles) -> tuple[str, str, str]:
    """The edge that one gauges from along the face, and what its ends are."""
    narrow = face.face in (Face.EDGE, Face.FAR_EDGE, Face.A, Face.B)
    level = "FACE SIDE" if narrow else "FACE EDGE"
    if face.both_hands or face.half_turn:
        level = "EITHER SIDE" if narrow else "EITHER EDGE"
    elif face.from_far_edge:
        level = "FAR EDGE"
    is_end = face.face in (Face.A, Face.B)
    if face.half_turn == "end":
        either = "EITHER EDGE" if is_end else "EITHER END"
        return level, either, either
    return (level, "FACE EDGE", "FAR EDGE") if is_end else (level, "END A", "END B")


def _outline(face: FaceHoles, window: Window, at: Locate, flap: Length, folded: bool) -> list[Shape]:
    """Heavy where it lies flush with the wood, dashed where the paper is cut, dotted where it is folded."""
    zero, high = window.low, window.across
    left, right = window.start, window.end
    stroke = Stroke.REFERENCE if window.gauged is None else Stroke.CUT
    # the ink of a heavy line lies inside, so that its outer side is the edge
    inside: Literal["left", "right"] = "right" if face.reference_at_top else "left"
    ink: Literal["on", "left", "right"] = inside if stroke is Stroke.REFERENCE else "on"
    shapes: list[Shape] = [Line(at(left, zero), at(right, zero), stroke, ink)]
    if folded:
        shapes.append(Line(at(left, high), at(right, high), Stroke.FOLD))
    shapes.append(Line(at(left, high + flap), at(right, high + flap), Stroke.CUT))
    for position, real in ((left, window.at_start), (right, window.at_end)):
        turned: Literal["left", "right"] = "left" if (position == left) == face.reference_at_top else "right"
        stroke = Stroke.REFERENCE if real else Stroke.CUT
        shapes.append(Line(at(position, zero), at(position, high), stroke, turned if real else "on"))
        if flap:
            shapes.append(Line(at(position, high), at(position, high + flap), Stroke.CUT))
    return shapes


def _box_of(number: Words) -> Box:
    """What the number of a hole takes of the paper."""
    x, y = number.at[0].float_mm() + number.dx_mm, number.at[1].float_mm() + number.dy_mm
    high = HIGH * number.size_pt / 2
    return x - 0.8, y - high - 0.6, x + len(number.text) * EM * number.size_pt + 0.8, y + high + 0.6


def _numbers(holes: Sequence[Drilled], at: Locate) -> list[Words]:
    """Numbers from 1 beside the holes; holes about one centre share a place, beyond the largest of them."""
    about: dict[Point, list[int]] = {}
    for number, hole in enumerate(holes, 1):
        about.setdefault(at(hole.along, hole.across), []).append(number)
    shapes: list[Words] = []
    for centre, numbers in about.items():
        reach = max(2.0, *(half_width(holes[number - 1]).float_mm() for number in numbers)) + 1.2
        told = ", ".join(str(number) for number in numbers)
        shapes.append(Words(centre, told, 10, "left", strong=True, boxed=True, dx_mm=reach, dy_mm=2.6))
    return shapes


def _hole_shapes(hole: Drilled, at: Locate) -> list[Shape]:
    centre = at(hole.along, hole.across)
    radius = hole.bore.bit / 2
    shapes: list[Shape] = []
    if hole.bore.slanting is not None:
        shapes += _slanting(hole, at)
    elif hole.bore.slot:
        shapes += _slot(hole, centre, radius)
    else:
        shapes.append(Circle(centre, radius, Stroke.VISIBLE))
    if hole.bore.head and hole.bore.head > hole.bore.bit:
        shapes.append(Circle(centre, hole.bore.head / 2, Stroke.THIN))
    shapes.append(CentreMark(centre, max(CENTRE, radius + Length(2))))
    return shapes


def _slanting(hole: Drilled, at: Locate) -> list[Shape]:
    """The true rim of a hole at an angle, and the line that the bit leans along, with an arrow the way it goes in."""
    assert hole.bore.slanting is not None
    axis = side_of(hole.face)[0]
    first, second = (k for k in range(3) if k != axis)
    spot = [ZERO, ZERO, ZERO]
    spot[first], spot[second] = hole.along, hole.across
    placed = PlacedBore(
        FeatureKind.HOLE, hole.face, (spot[0], spot[1], spot[2]), hole.bore.bit, slanting=hole.bore.slanting
    )
    assert placed.slant is not None
    rim = tuple(at(near(point[first]), near(point[second])) for point in placed.slant.mouth(steps=FINE))
    shapes: list[Shape] = [Polygon(rim, Stroke.VISIBLE)]
    a, b = (hole.bore.slanting.way[k] for k in (first, second))
    long = math.hypot(a, b)
    if hole.bore.slanting.off <= SEEN or long < 1e-9:
        return shapes
    a, b, reach = a / long, b / long, hole.bore.bit.float_mm() / 2 + ARROW_MM

    def spot_at(along: float, aside: float) -> Point:
        return at(
            near(hole.along.float_mm() + along * a - aside * b), near(hole.across.float_mm() + along * b + aside * a)
        )

    shapes.append(Line(spot_at(-reach, 0), spot_at(reach, 0), Stroke.CENTRE))
    shapes.append(
        Polygon((spot_at(reach, 0), spot_at(reach - 3, 1.2), spot_at(reach - 3, -1.2)), Stroke.VISIBLE, "ink")
    )
    return shapes


def _slot(hole: Drilled, centre: Point, radius: Length) -> list[Shape]:
    """A slotted hole: two half rounds joined by straight sides, drawn as its two end circles and its sides."""
    half = (hole.bore.slot or ZERO) / 2 - radius
    x, y = centre
    along = (ZERO, half) if hole.slot_turned else (half, ZERO)
    side = (radius, ZERO) if hole.slot_turned else (ZERO, radius)
    ends = [(x - along[0], y - along[1]), (x + along[0], y + along[1])]
    shapes: list[Shape] = [Circle(end, radius, Stroke.VISIBLE) for end in ends]
    for sign in (1, -1):
        offset = (side[0] * sign, side[1] * sign)
        points = tuple((ex + offset[0], ey + offset[1]) for ex, ey in ends)
        shapes.append(Polygon(points, Stroke.VISIBLE, closed=False))
    return shapes
