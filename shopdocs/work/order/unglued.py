"""What no glue holds when all stages are done: backs in rabbets, tops on buttons, slats on screws, doors.

What meets only another loose thing goes onto that first, as a bottom into its drawer; what can go in only together with
others, as boards tongued into each other, is put together first and goes in as one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from msgspec import Struct, field
from msgspec.structs import replace

from shopdocs.model.build import Build
from shopdocs.model.joining import Hardware, Meeting
from shopdocs.work.order.closing import MOST_THINGS, Closing, JoinedPair, Things, closing_of, link_of, solids_of
from shopdocs.work.order.stages import StageWork
from shopdocs.work.order.straight import Link, Move, straight_order
from shopdocs.work.scene.in_space import Space


class Added(Struct, frozen=True):
    """What goes onto the rest in one move, and no stage glues to it: the names of its `things`, the marks of its
    `pieces`, the joints by which it meets what is not of it, the hardware on it. `before` are the moves that put it
    together where it is several things, `closing` the one that brings it in where it was found."""

    things: tuple[str, ...]
    pieces: tuple[str, ...]
    joints: tuple[JoinedPair, ...]
    hardware: tuple[Hardware, ...]
    closing: Closing | None = None
    before: tuple[Closing, ...] = ()


class Unglued(Struct, frozen=True):
    """`main` is the largest thing the glue makes, of the pieces `standing`; `added` go onto it, in order where one was
    found. `locked`: the things that hold each other so that there is none."""

    main: str
    standing: tuple[str, ...]
    added: tuple[Added, ...]
    locked: tuple[str, ...] = ()


def unglued(
    build: Build, stages: Sequence[StageWork], space: Space | None, held_by: Mapping[str, frozenset[str]]
) -> Unglued | None:
    """None where all pieces are one when the last stage is done. `held_by`: the pieces that the holes of each hardware
    lead into."""
    things = stages[-1].things if stages else {}
    if len(things) < 2:
        return None
    things = dict(sorted(things.items(), key=lambda thing: -len(thing[1])))  # reading order among equals
    done = {meeting.number for work in stages for _, meeting in work.meetings}
    left = [(joint, meeting) for joint, meeting in build.meetings() if meeting.number not in done]
    main, *loose = things
    found = _found(things, left, space)
    told = {name for unit in found.units for name in unit.things}
    units = [*found.units, *(_Unit((name,)) for name in loose if name not in told)]
    joints_at = _places((meeting.entering, meeting.receiving) for _, meeting in left)
    hardware_at = _places(
        {place.piece for place in item.on}.union(item.holds, held_by.get(item.name, ())) for item in build.hardware
    )
    added = []
    for unit in units:
        pieces = tuple(mark for name in unit.things for mark in things[name])
        on = sorted({place for mark in pieces for place in hardware_at.get(mark, ())})
        hardware = tuple(build.hardware[place] for place in on)
        joints = tuple(_joints(pieces, left, joints_at))
        added.append(Added(unit.things, pieces, joints, hardware, unit.closing, unit.before))
    return Unglued(main, things[main], tuple(added), found.locked)


def _joints(pieces: Sequence[str], left: Sequence[JoinedPair], at: Mapping[str, Sequence[int]]) -> Iterator[JoinedPair]:
    """Those of the joints `left` by which the pieces meet others; `at` has the places of each piece's."""
    own = set(pieces)
    for place in sorted({place for mark in pieces for place in at.get(mark, ())}):
        _, meeting = left[place]
        if (meeting.entering in own) != (meeting.receiving in own):
            yield left[place]


def _places(marks: Iterable[Iterable[str]]) -> Mapping[str, Sequence[int]]:
    """At which places of a row each mark stands."""
    found: dict[str, list[int]] = {}
    for place, some in enumerate(marks):
        for mark in some:
            found.setdefault(mark, []).append(place)
    return found


class _Unit(Struct, frozen=True):
    """Things that go in together, in one move."""

    things: tuple[str, ...]
    closing: Closing | None = None
    before: tuple[Closing, ...] = ()


class _Found(Struct, frozen=True):
    units: tuple[_Unit, ...] = ()
    locked: tuple[str, ...] = ()


def _found(things: Things, left: Sequence[JoinedPair], space: Space | None) -> _Found:
    """In what order the things go onto the first of them; those of which nothing was found are left out."""
    if space is None or len(things) > MOST_THINGS or not space.pieces.keys() >= {m for t in things.values() for m in t}:
        return _Found()
    made = list(_with_its_own(things, left, space))
    if made:
        rest = {name: marks for name, marks in things.items() if not any(name in unit.things for unit in made)}
        wholes = {unit.things[0]: tuple(mark for name in unit.things for mark in things[name]) for unit in made}
        found = _onto_first({**rest, **wholes}, left, space)
        if not found.locked:
            before = {unit.things[0]: unit for unit in made}
            return replace(found, units=tuple(_unfolded(unit, before) for unit in found.units))
    return _onto_first(things, left, space)


def _with_its_own(things: Things, left: Sequence[JoinedPair], space: Space) -> Iterator[_Unit]:
    """Loose things with what is joined to none but them."""
    main, place = next(iter(things)), {name: i for i, name in enumerate(things)}
    of = {mark: name for name, marks in things.items() for mark in marks}
    met: dict[str, set[str]] = {name: set() for name in things}
    for _, meeting in left:
        one, two = of[meeting.entering], of[meeting.receiving]
        if one != two:
            met[one].add(two)
            met[two].add(one)
    own: dict[str, list[str]] = {}
    for name in things:
        if main in {name, *met[name]} or len(met[name]) != 1:
            continue
        (other,) = met[name]
        if met[other] != {name} or place[other] < place[name]:  # of two that meet none else the larger takes the other
            own.setdefault(other, []).append(name)
    for name, some in own.items():
        found = _onto_first({each: things[each] for each in (name, *some)}, left, space)
        if not found.locked and all(each.closing for each in found.units):
            before = tuple(c for each in found.units for c in (*each.before, each.closing) if c is not None)
            yield _Unit((name, *some), before=before)


def _unfolded(unit: _Unit, made: Mapping[str, _Unit]) -> _Unit:
    """With the things that were put together into one of its own before."""
    things = tuple(name for each in unit.things for name in (made[each].things if each in made else (each,)))
    before = tuple(closing for each in unit.things if each in made for closing in made[each].before)
    return replace(unit, things=things, before=(*before, *unit.before))


class _Heap(Struct, dict=True):
    """Things that lie together by now, and the moves that made them one."""

    things: list[int]
    moves: list[Move] = field(default_factory=list)


def _onto_first(things: Things, left: Sequence[JoinedPair], space: Space) -> _Found:
    """Everything onto the first of these things, each in one move, alone or with others it was put together with."""
    index = {mark: i for i, marks in enumerate(things.values()) for mark in marks}
    joined = [pair for pair in left if _between(pair[1], index)]
    links = [link_of(joint, meeting, index, space) for joint, meeting in joined]
    links += _touching(index, {frozenset((link.one, link.two)) for link in links}, space)
    found = straight_order(solids_of(things.values(), space), links)
    names = tuple(things)
    if found.locked:
        return _Found(locked=tuple(names[i] for i in found.locked))
    by_number = {meeting.number: (joint, meeting) for joint, meeting in joined}
    units: list[_Unit] = []
    for chain in found.chains:
        for heap, move in _heaps(chain):
            closing = closing_of(move, things, by_number, space) if move is not None else None
            before = tuple(closing_of(each, things, by_number, space) for each in heap.moves)
            units.append(_Unit(tuple(names[i] for i in sorted(heap.things)), closing, before))
    return _Found(tuple(units))


def _between(meeting: Meeting, index: Mapping[str, int]) -> bool:
    one, two = index.get(meeting.entering), index.get(meeting.receiving)
    return one is not None and two is not None and one != two


def _touching(index: Mapping[str, int], joined: set[frozenset[int]], space: Space) -> Iterator[Link]:
    """What lies against each other and no joint ties: a bottom on its runner, a door that closes against a side."""
    pieces = space.scene.pieces
    for pair in space.contacts.pairs:
        one, two = index.get(pieces[pair.first].mark), index.get(pieces[pair.second].mark)
        if one is None or two is None or one == two or not pair.touches or frozenset((one, two)) in joined:
            continue
        joined.add(frozenset((one, two)))
        largest = max(pair.touches, key=lambda touch: touch.area)
        yield Link(-len(joined), min(one, two), max(one, two), True, (), largest.axis)


def _heaps(chain: Sequence[Move]) -> Iterator[tuple[_Heap, Move | None]]:
    """What comes onto the first of all things, in order, each with the move that brings it; a heap that never does has
    none."""
    heap_of: dict[int, _Heap] = {}
    for move in chain:
        moving = heap_of.get(move.what[0]) or _Heap(list(move.what))
        stands = list({id(heap_of[i]): heap_of[i] for i in move.onto}.values())
        every = [moving, *stands]
        first = next((heap for heap in every if 0 in heap.things), None)
        if first is None:
            moves = [each for heap in every for each in heap.moves] + ([move] if move.onto else [])
            first = _Heap([i for heap in every for i in heap.things], moves)
        elif first is moving and stands:  # the first stays where it is: the others move the other way
            for heap in stands:
                yield heap, _turned(move, heap)
        else:
            for heap in (each for each in stands if each is not first):
                yield heap, None
            if first is not moving:
                yield moving, move
        first.things = list(dict.fromkeys(i for heap in (first, *every) for i in heap.things))
        heap_of.update(dict.fromkeys(first.things, first))
    yield from ((heap, None) for heap in {id(h): h for h in heap_of.values()}.values() if 0 not in heap.things)


def _turned(move: Move, heap: _Heap) -> Move:
    """The same move seen from what moves: the things of a heap onto what was to move."""

    def back(way: tuple[int, bool] | None) -> tuple[int, bool] | None:
        return None if way is None else (way[0], not way[1])

    axis, high = move.toward
    onto = tuple(move.what)
    return replace(
        move, what=tuple(heap.things), onto=onto, toward=(axis, not high), first=back(move.first), also=back(move.also)
    )
