"""Which of the arrows that a move could have is drawn: one whose tip lies on what is seen of the piece it goes onto, or
else one that says that it goes on behind something."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence, Set

from msgspec import Struct

from shopdocs.core.box import Corner
from shopdocs.work.order.straight import Way
from shopdocs.work.shapes.hidden import Screens, Segment
from shopdocs.work.shapes.pixels import FINE_MM, Pixels, pixels
from shopdocs.work.shapes.projection import ISOMETRIC
from shopdocs.work.shapes.seen import seen_points
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.placed import Scene

STEPS = 48  # in which an arrow is looked at
FEW = STEPS // 8  # of them hidden, more or less, make no difference
LEAST = STEPS // 4  # of them are drawn solid, at the least, where its tip is drawn back
LIFTS = 100  # parts of a millimetre: a spot of an arrow is held one before what it may lie on, or one tick
ACROSS_MM = 140.0  # the picture in which it is looked at; larger ones show the same


class Going(Struct, frozen=True):
    """An arrow of a picture, from spot to spot of the build (ticks), with the number of its step at its tail, or none.
    `hidden` are the parts of the way that go on behind something: in it, or beyond its tip."""

    start: Corner
    end: Corner
    words: str = ""
    hidden: tuple[Segment, ...] = ()


class Tried(Struct, frozen=True):
    """An arrow that a move could have, from the solid `mover` onto the solid `stays`; `legs` the ways before it where
    the move turns. It `slides` so far along where the two meet, in ticks: not at all where they meet in a face that it
    runs into; and is `at_place` where what stays stands drawn back as far to the side."""

    legs: tuple[Segment, ...]
    way: Segment
    toward: Way
    mover: int
    stays: int
    slides: int
    at_place: bool
    rank: tuple[int, int, int]  # the lowest first where two are as well seen


class Looked(Struct, frozen=True):
    """A picture of the solids where they stand drawn back."""

    scene: Scene
    solids: Sequence[Solid]
    screens: Screens
    shown: Pixels
    scale: float


def looked(scene: Scene, shifts: Sequence[Corner]) -> Looked:
    """As the picture of a stage shows them."""
    solids = [solid.shifted(by) for solid, by in zip(scene.solids, shifts, strict=True)]
    ends = [corner for solid in solids for corner in ISOMETRIC.frame(solid.bounds, scene.ticks)]
    low, high = ([pick(end[k].float_mm() for end in ends) for k in (0, 1)] for pick in (min, max))
    scale = ACROSS_MM / max(b - a for a, b in zip(low, high, strict=True))
    room = [(end[0] * scale + by, end[1] * scale + by) for end, by in ((low, -2 * FINE_MM), (high, 2 * FINE_MM))]
    shown = pixels(solids, ISOMETRIC, scene.ticks, scale, *room)
    return Looked(scene, solids, Screens(solids, ISOMETRIC), shown, scale)


def best_seen(tries: Sequence[Tried], movers: Set[int], onto: Set[int], view: Looked) -> tuple[int, list[Going]]:
    """The arrow that tells best where something goes, and what is wrong with it: `TOLD` where its tip is seen on what
    it goes onto; without a number."""
    best: tuple[tuple[int, int, int, tuple[int, int, int]], Going, Tried] | None = None
    for tried in sorted(tries, key=lambda tried: (tried.slides, tried.rank)):
        if best is not None and best[0] <= (TOLD, tried.slides, 0, tried.rank):
            break  # as good as any that is left could be
        fault, hidden, going = _judged(tried, movers, onto, view)
        key = (fault, tried.slides, hidden // FEW, tried.rank)
        if best is None or key < best[0]:
            best = key, going, tried
    assert best is not None
    (fault, *_), going, tried = best
    return fault, [*(Going(*leg) for leg in tried.legs), going]


TOLD, BEYOND, ELSEWHERE, ASTRAY = range(4)  # faults of an arrow: the tip beyond where things meet, or on nothing named


def _judged(tried: Tried, movers: Set[int], onto: Set[int], view: Looked) -> tuple[int, int, Going]:
    """What is wrong with an arrow, how much of it is hidden, and the arrow as it would be drawn."""
    way, (axis, high) = tried.way, tried.toward
    away = (ISOMETRIC.toward[axis] > 0) == high  # into a face that looks away from the eye
    if away:
        way = Segment(way.start, _before(way, tried.stays, view))
    states = _states(way, movers, onto, view)
    fault = ELSEWHERE if states[-1] == ONTO or (away and states[-1] != BEHIND) else ASTRAY
    if tried.at_place and fault == ELSEWHERE:
        fault = TOLD
    elif tried.at_place and not away and (beyond := _drawn_on(way, onto, view)) is not None:
        fault, way = BEYOND, Segment(way.start, beyond)
        states = _states(way, movers, onto, view)
    return fault, states.count(BEHIND), _going(way, states)


ONTO, CLEAR, OVER, BEHIND = range(4)  # what the picture shows where a spot of an arrow is


def _states(way: Segment, movers: Set[int], onto: Set[int], view: Looked) -> list[int]:
    """Of spots along the way, from tail to tip: on what it goes onto, clear, over something else, or behind that."""
    spots = [_at(way, part) for part in range(STEPS + 1)]
    a, b, c = (max(1, view.scene.ticks.per_mm // LIFTS) * part for part in ISOMETRIC.toward)
    lifted = [((x + a, y + b, z + c), 2) for x, y, z in spots]
    seen = seen_points(view.solids, ISOMETRIC, lifted, view.screens)
    return [_state(_shown_at(spot, view), clear, movers, onto) for spot, clear in zip(spots, seen, strict=True)]


def _state(shown: int | None, clear: bool, movers: Set[int], onto: Set[int]) -> int:
    if shown in onto:
        return ONTO
    if shown is None or shown in movers:
        return CLEAR
    return OVER if clear else BEHIND


def _shown_at(spot: Corner, view: Looked) -> int | None:
    x, y = (at.float_mm() * view.scale for at in ISOMETRIC.picture(spot, view.scene.ticks))
    row, column = view.shown.place((x, y))
    rows, columns = view.shown.seen.shape
    number = int(view.shown.solids[row, column]) if 0 <= row < rows and 0 <= column < columns else 0
    return number - 1 if number else None


def _at(way: Segment, part: int) -> Corner:
    a, b, c = (u + round((v - u) * part / STEPS) for u, v in zip(*way, strict=True))
    return (a, b, c)


def _before(way: Segment, stays: int, view: Looked) -> Corner:
    """Where what it goes onto begins to hide the tip: drawn on over the piece, it would seem to lie on the nearer face,
    in a mortise that may be another joint's."""
    begin, tip = (ISOMETRIC.picture(spot, view.scene.ticks) for spot in way)
    long = math.dist(*((at[0].float_mm(), at[1].float_mm()) for at in (begin, tip))) * view.scale
    square = math.ceil(FINE_MM / max(long, FINE_MM) * STEPS / 2)  # squares hide what lies half of one before them
    for part in range(STEPS, LEAST, -1):
        if _shown_at(_at(way, part), view) != stays:
            return way.end if part == STEPS else _at(way, part + 1 - square)
    return way.end


def _drawn_on(way: Segment, onto: Set[int], view: Looked) -> Corner | None:
    """Where something that it goes onto comes to light beyond the tip, on the same line."""
    for part in range(STEPS + 1, 3 * STEPS):
        if all(_shown_at(_at(way, part + more), view) in onto for more in (0, 1, 2)):
            return _at(way, part + 2)
    return None


def _going(way: Segment, states: Sequence[int]) -> Going:
    """The arrow, its tip drawn back to where it goes behind something for good, the rest of its way shown hidden."""
    start, end = way
    hidden: list[Segment] = []
    for first, last in _runs(states):
        if last == STEPS and first >= LEAST:
            end = _at(way, first)
        hidden.append(Segment(_at(way, first), _at(way, last)))
    return Going(start, end, "", tuple(hidden))


def _runs(states: Sequence[int]) -> Iterator[tuple[int, int]]:
    """From where to where a way is hidden, by the numbers of its spots."""
    first: int | None = None
    for part, state in enumerate((*states, CLEAR)):
        if state == BEHIND and first is None:
            first = part
        elif state != BEHIND and first is not None:
            if part - first > 1:
                yield first, part - 1
            first = None
