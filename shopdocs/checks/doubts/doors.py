"""Doors: hinges on one line, both leaves at one height, a knob on the side that opens."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.problems import Problem, warning
from shopdocs.model.joining import Hardware
from shopdocs.work.computed import Computed
from shopdocs.work.space.drilled import Drilled
from shopdocs.work.space.placed import PlacedPiece

HINGES = ("hinge",)
PULLS = ("knob", "pull", "handle")
ONE_LINE = Length("0.8")  # a 32nd of an inch: a hinge line farther off binds (common practice, no source)
UP = 2


def named(item: Hardware, words: tuple[str, ...]) -> bool:
    """Whether one of the words stands in the hardware's name."""
    return any(word in item.name.casefold() for word in words)


def hinge_lines(work: Computed) -> Iterator[Problem]:
    """The hinges of one piece on one line, and as high as those on the piece they are hinged to."""
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
    """A leaf on the door has one on the case at the same height."""
    space = work.space
    if space is None:
        return
    heights: dict[str, list[tuple[Length, Drilled]]] = {}
    for hole in work.holes:
        if hole.hardware in hinges and hole.piece in space.pieces:
            heights.setdefault(hole.piece, []).append((_height(space.pieces[hole.piece], hole), hole))
    if len(heights) != 2:
        return
    (one, ours), (other, theirs) = heights.items()
    for height, hole in ours:
        off = min(abs(height - their) for their, _ in theirs)
        if off > ONE_LINE:
            wrong = f"a leaf of '{hole.hardware}' on '{one}' stands {exact_text(off)} off the nearest on '{other}'"
            yield warning(hole.place.at, "hinge-leaves", wrong, "set both leaves of a hinge at one height")
            return


def _height(piece: PlacedPiece, hole: Drilled) -> Length:
    """How high over the floor a hole lies, for a piece that stands upright; else by its place along."""
    if piece.pose.build_axis(0) != UP:
        return piece.at[UP]
    along = hole.place.along
    return piece.at[UP] + along if piece.pose.length.forward else piece.far[UP] - along


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
