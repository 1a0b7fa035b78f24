"""A turning pattern: half the profile of a round at full size over its centre line, and under that a strip with the
place of every diameter, to be glued to a batten and kept as a story stick.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from shopdocs.blocks.drawing import Drawing, Line, Point, Shape, Stroke, Words
from shopdocs.core.length import ZERO, Length
from shopdocs.core.outline import Outline, Side
from shopdocs.core.rounds import Span, Spot
from shopdocs.documents.drawn.lip import spread
from shopdocs.documents.drawn.measures import figures_pt
from shopdocs.documents.drawn.paper_room import EDGE_MM, EM, HIGH, PaperRoom, exact, or_beside
from shopdocs.documents.drawn.template import raised

LEAST_STRIP_MM = 22.0  # under the centre line, wider where what is said of a place is longer
NAME_PT = (12.0, 10.0, 9.0, 8.0, 7.0)
ASIDE_MM = 4.0  # figures stand no farther from their line
LED_MM = 6.0  # from the strip to figures that stand below it
WHOLE_PT = 9.0  # its digits are 2 mm high; where a fraction stands among them, see figures_pt
LINE = "CENTRE LINE"
POMMEL = "POMMEL"


def half_profile(spots: Sequence[Spot]) -> Outline:
    """What lies above the centre line of a round, from its first place at the left to its last."""
    start, end = spots[0][0], spots[-1][0]
    corners: list[Point] = [(ZERO, ZERO), (end - start, ZERO)]
    corners += [(along - start, diameter / 2) for along, diameter in reversed(spots)]
    sides = tuple(Side(one, two) for one, two in pairwise([*corners, corners[0]]) if one != two)
    return Outline(end - start, max(diameter for _, diameter in spots) / 2, sides)


def turning_pattern(
    spots: Sequence[Spot],
    told: Sequence[tuple[Length, str]],
    ends: tuple[str, str],
    called: str,
    middle: bool,
    pommels: Sequence[Span] = (),
) -> Drawing:
    """The half profile over its strip. `told` are the places of the strip with what is said there, `ends` what the left
    and the right end are called; `middle` says that the right one is the middle of a round whose halves are alike. Its
    `pommels` are marked as such."""
    outline = half_profile(spots)
    start = spots[0][0]
    longest = max((len(words) * EM * figures_pt(words, WHOLE_PT) for _, words in told), default=0.0)
    strip = max(LEAST_STRIP_MM, longest + 2 * EDGE_MM + 0.1)
    room = PaperRoom(outline.width.float_mm(), strip)
    for place, _ in told:
        room.keep_off_line(((place - start), ZERO), ((place - start), exact(strip)))
    named: list[Shape] = []
    crowded: list[tuple[Length, str]] = []
    for place, words in told:
        found = _figures(room, place - start, words)
        named += found
        if not found:
            crowded.append((place - start, words))
    for name, x in zip(ends, (3.2, room.wide - 3.2), strict=True):
        if name:
            found = room.set(name, (9.0, 8.0), (x, room.high / 2), (90,), (x - 8, 0.0, x + 8, room.high))
            outside = -3.4 if x < room.wide / 2 else 3.4
            at = (ZERO if outside < 0 else outline.width, exact(room.high / 2))
            named += found or [Words(at, name, 8.0, angle=90, strong=True, dx_mm=outside)]
    for low, high in pommels:
        span = [(at - start).float_mm() for at in (low, high)]
        within = (span[0], 0.0, span[1], room.high)
        named += room.set(POMMEL, (9.0, 8.0, 7.0), (sum(span) / 2, room.high / 2), (0, 90), within)
    called_on: list[Shape] = []
    lined: list[Shape] = []
    for part in spread(room.wide):
        called_on += room.set(called, NAME_PT, (room.wide * float(part), room.high / 3), (0, 90))
        lined += room.set(LINE, (8.0, 7.0), (room.wide * float(part), room.high - 3.0), (0,))
    over = strip + outline.height.float_mm()
    named += or_beside(called_on, called, (room.wide / 2, over), 4.0)
    named += or_beside(lined, LINE, (room.wide / 2, over), 8.0)
    under = exact(longest + LED_MM + 2 * EDGE_MM if crowded else 0.0)
    shapes = [raised(shape, under) for shape in named]
    shapes += _lines(outline, exact(strip) + under, middle)
    for place, _ in told:
        shapes.append(Line((place - start, under), (place - start, exact(strip) + under), Stroke.THIN))
    shapes += _led_down(crowded, room.wide, under)
    return Drawing("", outline.width, exact(strip) + under + outline.height, tuple(shapes))


def _lines(outline: Outline, strip: Length, middle: bool) -> Iterator[Shape]:
    def up(point: Point) -> Point:
        return point[0], point[1] + strip

    for side in outline.sides:
        if side.start[1] == side.end[1] == ZERO:
            yield Line(up(side.start), up(side.end), Stroke.CENTRE)
        elif middle and side.start[0] == side.end[0] == outline.width:
            yield Line(up(side.start), up(side.end), Stroke.HIDDEN)
        else:
            yield Line(up(side.start), up(side.end), Stroke.VISIBLE)
    low = [(ZERO, strip), (ZERO, ZERO), (outline.width, ZERO), (outline.width, strip)]
    yield from (Line(one, two, Stroke.THIN) for one, two in pairwise(low))


def _figures(room: PaperRoom, at: Length, words: str) -> list[Shape]:
    """The figures of a place beside its line on the strip; nothing where neighbours leave them no room."""
    x = at.float_mm()
    right = x < room.wide / 2
    size, wish = figures_pt(words, WHOLE_PT), (x + (3.0 if right else -3.0), room.high / 2)
    near = (x, 0.0, x + ASIDE_MM, room.high) if right else (x - ASIDE_MM, 0.0, x, room.high)
    return room.set(words, (size,), wish, (90,), near)


def _led_down(crowded: Sequence[tuple[Length, str]], wide: float, under: Length) -> Iterator[Shape]:
    """Figures of places that lie close, below the strip, each on a leader from the foot of its line. The leaders never
    cross; only where places lie close all along the round do figures come nearer to each other than they should."""
    sizes = [figures_pt(words, WHOLE_PT) for _, words in crowded]
    apart = min(max(sizes, default=0.0) * HIGH + 1.0, wide / max(1, len(crowded)))
    spots: list[float] = []
    for place, _ in crowded:
        spots.append(max(place.float_mm(), spots[-1] + apart) if spots else max(place.float_mm(), apart / 2))
    limit = wide - apart / 2
    for k in reversed(range(len(spots))):
        spots[k], limit = min(spots[k], limit), min(spots[k], limit) - apart
    for (place, words), size, x in zip(crowded, sizes, spots, strict=True):
        yield Line((place, under), (exact(x), under - exact(LED_MM)), Stroke.THIN)
        middle = (under.float_mm() - LED_MM) / 2
        yield Words((exact(x), exact(middle)), words, size, angle=90, strong=True)
