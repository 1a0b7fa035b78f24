"""Numbered arrows of a picture: from what moves to where it goes, a disc with the number of the move at the tail."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction

from shopdocs.blocks.drawing import Arrow, Circle, Line, Point, Shape, Stroke, Words
from shopdocs.documents.drawn.measures import true_length

DISC_MM = 3.2  # radius, round the number of an arrow
DISC_PT = 13.0
APART_MM = 0.6  # at least, between two discs
HEAD_MM = 3.4  # of an arrow, from its tip
TIP_MM = 1.8  # where it can be, between a disc and the head of another arrow
STEP_MM = 0.8  # by which an arrow is made longer, so that its disc keeps clear of another
LONGER = 12  # steps at the most
ASIDE = 14  # steps at the most by which one stands beside what it would lie over
COVERED = 0.35  # of a small piece, at the most, under a disc
FINE = 6  # spots each way over a piece, to see how much of it a disc covers
SCANS = 4  # lines over the half of a disc that keep marks off it

Spot = tuple[float, float]
Way = tuple[Spot, Spot]
Rect = tuple[Spot, Spot]  # low and high corner


def clear_of_each_other(ways: Sequence[Way], numbers: Sequence[str], movers: Sequence[Rect | None] = ()) -> list[Way]:
    """The arrows (tail, tip), in millimetres of paper, those made longer at their tail whose disc would lie over that
    of one before, or over the head of any other; left as they are where that would not help, and where they bear no
    number. `movers` are the rectangles round what each moves: an arrow whose disc would hide most of it stands
    beside."""
    found: list[Way] = []
    movers = movers or [None] * len(ways)
    for number, (way, words, mover) in enumerate(zip(ways, numbers, movers, strict=True)):
        if not words:
            found.append(way)
            continue
        discs = [disc_of(way) for way, number in zip(found, numbers, strict=False) if number]
        apart = [each for each in _tried(way, mover) if _clear_of_discs(each, discs)]
        others = [*found, *ways[number + 1 :]]
        off = [_off_heads(each, others) for each in apart]
        found.append(apart[off.index(max(off))] if apart else way)
    return found


def _clear_of_discs(way: Way, discs: Sequence[Spot]) -> bool:
    """Whether the disc of an arrow keeps off others, and the head off them as well."""
    at = disc_of(way)
    return all(
        math.dist(at, other) >= 2 * DISC_MM + APART_MM and _from_head(way, other) >= DISC_MM + APART_MM
        for other in discs
    )


def _off_heads(way: Way, others: Sequence[Way]) -> float:
    """How far the disc of an arrow keeps off the heads of others, as far as that is of use."""
    at = disc_of(way)
    return min((DISC_MM + TIP_MM, *(_from_head(other, at) for other in others)))


def _from_head(way: Way, spot: Spot) -> float:
    """How far a spot is from the head of an arrow."""
    start, tip = way
    long = math.dist(start, tip) or 1.0
    back = min(HEAD_MM, long)
    along = sum((spot[k] - tip[k]) * (start[k] - tip[k]) for k in (0, 1)) / long
    share = min(max(along, 0.0), back) / long
    return math.dist(spot, (tip[0] + (start[0] - tip[0]) * share, tip[1] + (start[1] - tip[1]) * share))


def _tried(way: Way, mover: Rect | None) -> Iterator[Way]:
    """An arrow as it is and made longer; first of all beside what its disc would hide."""
    start, end = way
    if mover is not None and covered(disc_of(way), mover) > COVERED:
        across = _across(way)
        for step in range(1, ASIDE + 1):
            for sense in (1, -1):
                by = sense * step * STEP_MM
                aside = _shifted(start, across, by), _shifted(end, across, by)
                if covered(disc_of(aside), mover) <= COVERED:
                    yield aside
    yield from ((_back(start, end, step * STEP_MM), end) for step in range(LONGER))


def covered(disc: Spot, rect: Rect) -> float:
    """How much of a rectangle lies under a disc, as a part of it."""
    (left, low), (right, high) = rect
    spots = [
        (left + (right - left) * (i + 0.5) / FINE, low + (high - low) * (k + 0.5) / FINE)
        for i in range(FINE)
        for k in range(FINE)
    ]
    return sum(math.dist(disc, spot) <= DISC_MM for spot in spots) / len(spots)


def _across(way: Way) -> Spot:
    (a, b), (c, d) = way
    long = math.dist(*way) or 1.0
    return -(d - b) / long, (c - a) / long


def _shifted(spot: Spot, along: Spot, by: float) -> Spot:
    return spot[0] + along[0] * by, spot[1] + along[1] * by


def disc_of(way: Way) -> Spot:
    """The middle of the disc, which touches the tail."""
    return _back(*way, DISC_MM)


def _back(start: Spot, end: Spot, by: float) -> Spot:
    long = math.dist(start, end) or 1.0
    return start[0] - (end[0] - start[0]) / long * by, start[1] - (end[1] - start[1]) / long * by


def across_disc(way: Way) -> list[Way]:
    """Lines across the disc of an arrow: what no mark and no leader may lie over."""
    x, y = disc_of(way)
    found: list[Way] = []
    for k in range(-SCANS, SCANS + 1):
        up = DISC_MM * k / SCANS
        half = math.sqrt(max(0.0, DISC_MM**2 - up**2))
        found.append(((x - half, y + up), (x + half, y + up)))
    return found


def numbered(way: Way, words: str, scale: Fraction, hidden: Sequence[Way] = ()) -> list[Shape]:
    """An arrow with its number in a disc at its tail; without a number the arrow alone. What is `hidden` of its way is
    dashed."""

    def true(spot: Spot) -> Point:
        return true_length(spot[0], scale), true_length(spot[1], scale)

    begin, shapes = way[0], list[Shape]()
    for start, end in sorted(hidden, key=lambda part: math.dist(part[0], way[0])):
        shapes.append(Line(true(start), true(end), Stroke.HIDDEN))
        if math.dist(end, way[0]) < math.dist(*way):  # it comes to light again
            shapes.append(Line(true(begin), true(start)))
            begin = end
    shapes.append(Arrow(true(begin), true(way[1])))
    if words:
        at = true(disc_of(way))
        shapes += [Circle(at, true_length(DISC_MM, scale), fill="paper"), Words(at, words, DISC_PT, strong=True)]
    return shapes
