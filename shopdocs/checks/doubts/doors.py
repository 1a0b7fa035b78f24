"""Doors and lids: hinges on one line, both leaves opposite each other, a knob on the side that opens."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.problems import Problem, warning
from shopdocs.model.joining import Hardware
from shopdocs.work.computed import Computed
from shopdocs.work.scene.in_space import spot_of
from shopdocs.work.space.drilled import Drilled
from shopdocs.work.space.placed import Spot

HINGES = ("hinge",)
PULLS = ("knob", "pull", "handle")
ONE_LINE = Length("0.8")  # a 32nd of an inch: a hinge line farther off binds (common practice, no source)
OPENED = Length(100)  # across both leaves: the largest hinge of furniture, and some more (common practice, no source)
UP = 2

_Leaf = tuple[Spot, Drilled]  # a hole of a hinge, and where it lies in the build


def named(item: Hardware, words: tuple[str, ...]) -> bool:
    """Whether one of the words stands in the hardware's name."""
    return any(word in item.name.casefold() for word in words)


def hinge_lines(work: Computed) -> Iterator[Problem]:
    """The hinges of one piece on one line, and opposite those on the piece they are hinged to."""
    for item in work.build.hardware:
        if not named(item, HINGES):
            continue
        across: dict[tuple[str, str], dict[Length, Drilled]] = {}
        for hole in work.holes:
            if hole.hardware == item.name:
                across.setdefault((hole.piece, hole.face.value), {}).setdefault(hole.place.across, hole)
        for (mark, _), places in across.items():
            if len(places) > 1 and max(places) - min(places) > ONE_LINE:
                far = places[max(places)]
                wrong = (
                    f"the places of '{item.name}' on '{mark}' are {exact_text(max(places) - min(places))} apart across"
                )
                yield warning(far.place.at, "hinge-line", wrong, "set all hinge pins of a door in one line")
    yield from _leaves(work, {item.name for item in work.build.hardware if named(item, HINGES)})


def _leaves(work: Computed, hinges: set[str]) -> Iterator[Problem]:
    """A leaf on the door has one on the case beside it, at the same place along the line of the pins."""
    if work.space is None:
        return
    pieces = {piece.mark: part for part, piece in work.build.pieces()}
    spots: dict[str, list[_Leaf]] = {}
    for hole in work.holes:
        if hole.hardware in hinges and hole.piece in work.space.pieces:
            spot = work.space.pieces[hole.piece].spot_in_build(spot_of(hole, pieces[hole.piece]))
            spots.setdefault(hole.piece, []).append((spot, hole))
    for one, other, axis in _hinged(spots):
        off, hole = _farthest(spots[one], spots[other], axis)
        if off > ONE_LINE:
            wrong = f"a leaf of '{hole.hardware}' on '{one}' stands {exact_text(off)} off the nearest on '{other}'"
            right = f"set both leaves of a hinge {'at one height' if axis == UP else 'opposite each other'}"
            yield warning(hole.place.at, "hinge-leaves", wrong, right)


def _hinged(spots: Mapping[str, Sequence[_Leaf]]) -> Iterator[tuple[str, str, int]]:
    """Each piece with hinges, the one beside it that its leaves suit best, and the axis along which they are strung. A
    post may carry several doors: a piece is held against those that carry more leaves, or come later."""
    order = sorted(spots, key=lambda mark: len(spots[mark]))
    for number, one in enumerate(order):
        lines = [(other, _line_of([spot for spot, _ in spots[other]])) for other in order[number + 1 :]]
        beside = [(one, other, k) for other, k in lines if k is not None and _beside(spots[one], spots[other], k)]
        if beside:
            yield min(beside, key=lambda pair: _farthest(spots[one], spots[pair[1]], pair[2])[0])


def _farthest(ours: Sequence[_Leaf], theirs: Sequence[_Leaf], axis: int) -> tuple[Length, Drilled]:
    """How far the hole of ours that lies farthest from all of theirs does, along an axis, and which it is."""
    apart = [(min(abs(spot[axis] - their[axis]) for their, _ in theirs), hole) for spot, hole in ours]
    return max(apart, key=lambda one: one[0])


def _line_of(spots: Sequence[Spot]) -> int | None:
    """The axis of the build along which the holes of hinges in one piece are strung; None of a single hole."""
    spread = [max(spot[k] for spot in spots) - min(spot[k] for spot in spots) for k in range(3)]
    return max(range(3), key=lambda k: spread[k]) if any(spread) else None


def _beside(ours: Sequence[_Leaf], theirs: Sequence[_Leaf], axis: int) -> bool:
    """Whether some hole of each lies within the width of an opened hinge of the other's, off the line of the pins."""
    return any(
        all(abs(one[k] - other[k]) <= OPENED for k in range(3) if k != axis) for one, _ in ours for other, _ in theirs
    )


def knobs(work: Computed) -> Iterator[Problem]:
    """A knob on the very piece that carries the hinges opens nothing."""
    hinged = {place.piece: item for item in work.build.hardware if named(item, HINGES) for place in item.on}
    held = {mark for item in work.build.hardware if named(item, HINGES) for mark in item.holds}
    for item in work.build.hardware:
        if not named(item, PULLS):
            continue
        for place in item.on:
            if place.piece in hinged and (not held or place.piece in held):
                wrong = f"'{item.name}' sits on '{place.piece}', which carries '{hinged[place.piece].name}'"
                yield warning(place.at, "knob-side", wrong, "a knob goes on the side that opens, away from the hinges")


CHECKS_OF_WORK = (hinge_lines, knobs)
