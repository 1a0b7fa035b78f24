"""Sub-assemblies that go in the wrong way round, in words: how they lie when they are right."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from shopdocs.core.box import AXES, Box
from shopdocs.documents.figures import marks_text
from shopdocs.documents.fitting.alike import Alike
from shopdocs.documents.fitting.wording import listed
from shopdocs.work.order.wholes import WholeMistake
from shopdocs.work.space.likeness import Turn

SWAPPED = "swapped"
_OVER = "flipped over "
MOST_TOLD = 3  # pieces that are named to tell how it lies
LEAST_OUT = 0.15  # of the whole, how far out a piece must lie to be called the one at that side
_SIDES = {
    (0, False): "at the left",
    (0, True): "at the right",
    (1, False): "at the front",
    (1, True): "at the rear",
    (2, False): "underneath",
    (2, True): "on top",
}


class WholeWay(Struct, frozen=True):
    """A mistake with things that were glued up before: the `things`, how they go in and are `wrong`, how they lie when
    they are `right`, and what shows at once that they are not; `stage` and `found` as in `WholeMistake`, and the
    `first` of those that are told together."""

    things: str
    wrong: str
    right: str
    seen: str
    stage: int
    found: int | None
    first: WholeMistake


def whole_ways(alike: Alike) -> tuple[WholeWay, ...]:
    """Those of all stages in turn; ways of one thing that the same look tells apart stand together."""
    told: dict[tuple[str, str, str, int, int | None], list[tuple[str, WholeMistake]]] = {}
    for mistake in alike.wholes:
        swapped = mistake.place != mistake.thing
        things = f"{mistake.thing}, {mistake.place}" if swapped else mistake.thing
        wrong = SWAPPED if swapped else turn_words(mistake.turn)
        key = things, *_right(alike, mistake), mistake.stage, mistake.found
        told.setdefault(key, []).append((wrong, mistake))
    return tuple(
        WholeWay(things, ways_text(wrong for wrong, _ in ways), right, seen, stage, found, ways[0][1])
        for (things, right, seen, stage, found), ways in told.items()
    )


def ways_text(wrong: Iterable[str]) -> str:
    """ "half a turn or flipped over front to rear or sideways": how two of them begin is said once."""
    ways = list(dict.fromkeys(wrong))
    over = [way for way in ways if way.startswith(_OVER)]
    rest = [way for way in ways if way not in over]
    both = [_OVER + " or ".join(way.removeprefix(_OVER) for way in over)] if over else []
    return " or ".join((*rest, *both))


def turn_words(turn: Turn) -> str:
    """How a thing as it stands in the build would have to be turned."""
    if turn.source != (0, 1, 2):
        tipped = turn.source[2] == 2 and turn.reverse[2]
        return "a quarter turn, upside down" if tipped else "a quarter turn"
    over = {0: "sideways", 1: "front to rear"}
    sides = [k for k in AXES if turn.reverse[k]]
    if 2 not in sides:
        return "half a turn"
    return f"{_OVER}{over[sides[0]]}"


def _right(alike: Alike, mistake: WholeMistake) -> tuple[str, str]:
    """Which pieces lie where when it is right, and what shows that it is not: of those whose place nothing takes in the
    wrong way, else of all that lie elsewhere, the ones that stand farthest out on a side that the turn moves. Where
    both things are swapped, on which side the one belongs."""
    marks = marks_text(mistake.telling, MOST_TOLD)
    if mistake.place != mistake.thing:
        return _right_side(alike, mistake), f"joint numbers on {marks}"
    boxes = {mark: _body(alike, mark) for mark in mistake.marks}
    whole = Box.around(boxes.values())
    taken = [_turned(box, whole, mistake.turn) for box in boxes.values()]
    bare = [mark for mark in mistake.telling if not any(_meet(boxes[mark], box) for box in taken)]
    for telling in filter(None, (bare, mistake.telling)):
        for axis in (2, 1, 0):  # what is upside down is called by that
            if not (mistake.turn.reverse[axis] or mistake.turn.source[axis] != axis):
                continue
            out = max((_out(boxes[mark], whole, axis) for mark in telling), key=abs)
            if abs(out) >= LEAST_OUT:
                same = [mark for mark in telling if _out(boxes[mark], whole, axis) == out][:MOST_TOLD]
                seen = f"turn it if {'it is' if len(same) == 1 else 'they are'} {_SIDES[axis, out < 0]}"
                return f"{listed(same)} {_SIDES[axis, out > 0]}", seen
    return f"arrows and marks of {marks} as on their labels", f"joint numbers on {marks}"


def _meet(one: Box, other: Box) -> bool:
    common = one.common(other)
    return common is not None and common.volume > 0


def _turned(box: Box, whole: Box, turn: Turn) -> Box:
    """Where a piece of the whole lies when that is turned in its place."""
    to, now, one = whole.lo, turn.box(whole).lo, turn.box(box)
    return one.shifted((to[0] - now[0], to[1] - now[1], to[2] - now[2]))


def _right_side(alike: Alike, mistake: WholeMistake) -> str:
    things = alike.stages[mistake.stage - 1].ready
    here, there = (Box.around([_body(alike, mark) for mark in things[name]]) for name in (mistake.thing, mistake.place))
    apart = [there.lo[k] + there.hi[k] - here.lo[k] - here.hi[k] for k in AXES]
    axis = max(AXES, key=lambda k: abs(apart[k]))
    return f"{mistake.thing} {_SIDES[axis, apart[axis] < 0]}, {mistake.place} {_SIDES[axis, apart[axis] > 0]}"


def _out(box: Box, whole: Box, axis: int) -> float:
    """How far the middle of a piece lies from that of the whole, as a share of the whole."""
    middle = box.lo[axis] + box.hi[axis] - whole.lo[axis] - whole.hi[axis]
    return middle / whole.size[axis]


def _body(alike: Alike, mark: str) -> Box:
    return alike.fitting.shapes[alike.fitting.index[mark]].body


def of_stage(ways: Iterable[WholeWay], number: int) -> list[WholeWay]:
    """Those that can be made at one stage."""
    return [way for way in ways if way.stage == number]
