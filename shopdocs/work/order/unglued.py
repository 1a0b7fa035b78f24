"""What no glue holds when all stages are done: backs in rabbets, tops on buttons, slats on screws, doors."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from shopdocs.model.build import Build
from shopdocs.model.joining import Hardware
from shopdocs.work.order.closing import MOST_THINGS, JoinedPair, Things, solids_of
from shopdocs.work.order.stages import StageWork
from shopdocs.work.order.straight import Link, Way, straight_order
from shopdocs.work.scene.in_space import Space


@dataclass(frozen=True, slots=True)
class Added:
    """A thing that no stage glues to the rest: the marks of its `pieces`, the joints by which it meets what else there
    is, the hardware on it. `toward` is the way it goes in where it was found."""

    name: str
    pieces: tuple[str, ...]
    joints: tuple[JoinedPair, ...]
    hardware: tuple[Hardware, ...]
    toward: Way | None = None


@dataclass(frozen=True, slots=True)
class Unglued:
    """`main` is the largest thing the glue makes; `added` go onto it, in order where one was found. `locked`: they were
    tried, and there is none."""

    main: str
    added: tuple[Added, ...]
    locked: bool = False


def unglued(
    build: Build, stages: Sequence[StageWork], space: Space | None, held_by: Mapping[str, frozenset[str]]
) -> Unglued | None:
    """None where all pieces are one when the last stage is done. `held_by`: the pieces that the holes of each hardware
    lead into."""
    things = stages[-1].things if stages else {}
    if len(things) < 2:
        return None
    names = sorted(things, key=lambda name: -len(things[name]))  # reading order among equals
    done = {meeting.number for work in stages for _, meeting in work.meetings}
    left = [(joint, meeting) for joint, meeting in build.meetings() if meeting.number not in done]
    ways, locked = _ways(things, names, space)
    order = [*ways, *(name for name in names[1:] if name not in ways)]
    added = []
    for name in order:
        pieces = things[name]
        joints, hardware = tuple(_joints(pieces, left)), tuple(_hardware(build, pieces, held_by))
        added.append(Added(name, pieces, joints, hardware, ways.get(name)))
    return Unglued(names[0], tuple(added), locked)


def _joints(pieces: Sequence[str], left: Sequence[JoinedPair]) -> Iterator[JoinedPair]:
    for joint, meeting in left:
        if (meeting.entering in pieces) != (meeting.receiving in pieces):
            yield joint, meeting


def _hardware(build: Build, pieces: Sequence[str], held_by: Mapping[str, frozenset[str]]) -> Iterator[Hardware]:
    for hardware in build.hardware:
        on = {place.piece for place in hardware.on}
        if on.union(hardware.holds, held_by.get(hardware.name, ())) & set(pieces):
            yield hardware


def _ways(things: Things, names: Sequence[str], space: Space | None) -> tuple[dict[str, Way | None], bool]:
    """The things beside the first in the order they go in, each with its way, none where no order was found; and
    whether that is because they hold each other."""
    if space is None or len(names) > MOST_THINGS or not space.pieces.keys() >= {m for t in things.values() for m in t}:
        return {}, False
    place = {mark: i for i, name in enumerate(names) for mark in things[name]}
    links: dict[frozenset[int], Link] = {}
    pieces = space.scene.pieces
    for pair in space.contacts.pairs:
        ends = frozenset((place[pieces[pair.first].mark], place[pieces[pair.second].mark]))
        if len(ends) == 2 and pair.touches:
            one, two = sorted(ends)
            largest = max(pair.touches, key=lambda touch: touch.area)
            links.setdefault(ends, Link(len(links), one, two, True, (), largest.axis))
    found = straight_order(solids_of((things[name] for name in names), space), list(links.values()))
    ways: dict[str, Way | None] = {}
    for chain in found.chains:
        for move in chain:
            if len(move.what) > 1 or (not move.onto and move.what[0] and len(chain) > 1):
                return {}, False  # groups that go on as one are not told apart here
            if move.what[0]:
                ways[names[move.what[0]]] = move.toward if move.onto and move.first is None is move.also else None
    return ways, bool(found.locked)
