"""The order in which a stage is put together, and what is left to put together when all glue has set."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from enum import StrEnum

from msgspec import Struct

from shopdocs.core.turn import Vector
from shopdocs.model.joining import Joint, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.kinds.kind import Barred
from shopdocs.work.order.blocking import WAYS, Masks, Obstacles, masks_of
from shopdocs.work.order.joined_legs import joined_legs
from shopdocs.work.order.straight import Link, Move, Way, straight_order
from shopdocs.work.scene.in_space import Space
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.leaning_piece import LeaningPiece
from shopdocs.work.space.placed import side_of

MOST_THINGS = 1000  # nobody puts more together at once, and the search stays within a few seconds
JoinedPair = tuple[Joint, Meeting]
Things = Mapping[str, tuple[str, ...]]  # the marks of what holds together already, by the name it goes by


class Outcome(StrEnum):
    """What came of the search for an order in which straight moves close every joint."""

    FOUND = "found"
    LOCKED = "locked"  # no straight order
    NO_PLACES = "no places"
    TOO_MANY = "too many"


ALONG = math.cos(math.radians(20))  # what is nearer to plumb goes in nearly straight down (our own measure)


class Closing(Struct, frozen=True):
    """One thing or several moved `toward` a direction of the build, onto others that stand; `joints` close at once.
    Onto nothing: what the next ones go onto. A thing is named by the mark of a piece or the title of a stage; `marks`
    are all pieces that move. `first` is the way they are brought in by where that is another one, until they are
    `short` ticks of the scene before their place. On a slant, at 45 degrees, they go `also` that way at once. `along`
    is the piece by whose length they go, where that leans far from all directions of the build."""

    what: tuple[str, ...]
    marks: tuple[str, ...]
    onto: tuple[str, ...]
    toward: Way
    joints: tuple[JoinedPair, ...]
    first: Way | None = None
    short: int = 0
    also: Way | None = None
    along: str = ""


class Order(Struct, frozen=True):
    """`closings` while the glue is wet; `later` what goes in without glue when it has set, last what no joint ties to
    anything; `locked` the things that hold each other where the outcome says so, none of which could be left out of
    that; `rest` the joints no move closes, all of them without a found order."""

    outcome: Outcome
    closings: tuple[Closing, ...] = ()
    later: tuple[Closing, ...] = ()
    locked: tuple[str, ...] = ()
    rest: tuple[JoinedPair, ...] = ()


def things_with(things: Things, marks: Iterable[str]) -> Things:
    """The things that these pieces are, or are parts of, in the order of the marks."""
    thing_of = {mark: name for name, pieces in things.items() for mark in pieces}
    return {name: things[name] for name in dict.fromkeys(thing_of[mark] for mark in marks if mark in thing_of)}


def after_stage(things: Things, ready: Things, title: str, joints: Sequence[JoinedPair]) -> Things:
    """What there is after a stage, the new things last. What its joints tie together is one thing, with what no joint
    of it ties to anything; where they make several, each is told by its first mark."""
    thing_of = {mark: name for name, pieces in ready.items() for mark in pieces}
    clumps: list[set[str]] = []
    for _, meeting in joints:
        ends = {thing_of[meeting.entering], thing_of[meeting.receiving]}
        apart = [clump for clump in clumps if not clump & ends]
        clumps = [*apart, ends.union(*(clump for clump in clumps if clump & ends))]
    tied = set().union(*clumps) if clumps else set()
    clumps = clumps or [set()]
    clumps[0] |= ready.keys() - tied
    left = {name: pieces for name, pieces in things.items() if name not in ready}
    if not ready:
        return left
    place = {name: i for i, name in enumerate(ready)}
    for clump in sorted(clumps, key=lambda clump: min(place[name] for name in clump)):
        pieces = tuple(mark for name in ready if name in clump for mark in ready[name])
        name = title if len(clumps) == 1 else f"{_one_of(title)} {pieces[0]}"
        while name in left:
            name += " glued"
        left[name] = pieces
    return left


def _one_of(title: str) -> str:
    """What one of several is called that a stage makes: "Drawer" of "Drawers"."""
    return title[:-1] if title.endswith("s") and not title.endswith(("ss", "us", "is")) else title


def order_of(
    things: Things,
    joints: Sequence[JoinedPair],
    space: Space | None,
    obstacles: Obstacles | None = None,
    most: int | None = None,
) -> Order:
    """How these things go together: the marks of the pieces of each, by its name, in reading order. `obstacles` of the
    whole build, where they are worked out already; `most` joints with glue close at once where that can be had."""
    marks = [mark for pieces in things.values() for mark in pieces]
    if space is None or not space.pieces.keys() >= set(marks):
        return Order(Outcome.NO_PLACES, rest=tuple(joints))
    if len(things) > MOST_THINGS:
        return Order(Outcome.TOO_MANY, rest=tuple(joints))
    index = {mark: i for i, pieces in enumerate(things.values()) for mark in pieces}
    crossed = joined_legs(joints, space)
    if crossed is not None and len({index[mark] for mark in crossed}) == len(crossed):
        return Order(Outcome.LOCKED, locked=crossed, rest=tuple(joints))
    links = [
        link_of(joint, meeting, index, space)
        for joint, meeting in joints
        if index[meeting.entering] != index[meeting.receiving]
    ]
    solids = solids_of(things.values(), space)
    masks = obstacles.of(list(things.values())) if obstacles is not None else masks_of(solids)
    found = straight_order(solids, [*links, *_leaning(links, len(things), masks)], masks, most)
    names = tuple(things)
    if found.locked:
        return Order(Outcome.LOCKED, locked=tuple(names[i] for i in found.locked), rest=tuple(joints))
    by_number = {meeting.number: (joint, meeting) for joint, meeting in joints}
    linked = {link.number for link in links}
    wet: list[Move] = []
    later: list[Move] = []
    alone: list[Move] = []
    for chain in found.chains:
        if len(chain) == 1:
            alone += chain
            continue
        waits = len(chain) - _dry_last(chain)
        wet += chain[:waits]
        later += chain[waits:]
    return Order(
        Outcome.FOUND,
        tuple(closing_of(move, things, by_number, space) for move in wet),
        tuple(closing_of(move, things, by_number, space) for move in (*later, *(alone if len(things) > 1 else ()))),
        rest=tuple(pair for pair in joints if pair[1].number not in linked),
    )


def _leaning(links: Sequence[Link], count: int, masks: Masks) -> Iterator[Link]:
    """Things that no joint ties to anything, with what stands in most of their ways: what could shut them in. Their
    links have numbers below those of joints."""
    tied = {thing for link in links for thing in (link.one, link.two)}
    for i in range(count):
        if i in tied or not tied:
            continue
        near = {j: sum(masks[way][i] >> j & 1 for way in WAYS) for j in sorted(tied)}
        other = max(near, key=lambda j: near[j])
        if near[other]:
            yield Link(-1 - i, i, other, dry=True)


def solids_of(things: Iterable[Sequence[str]], space: Space) -> list[list[Solid]]:
    """The solids of the pieces of each thing."""
    scene = space.scene
    return [[scene.solids[scene.index(mark)] for mark in pieces] for pieces in things]


def link_of(joint: Joint, meeting: Meeting, index: Mapping[str, int], space: Space) -> Link:
    """A joint with the axes of the build along which it lets nothing slide, though its cuboids do not show it."""
    one, two = index[meeting.entering], index[meeting.receiving]
    made = space.joinery.get(meeting.number)
    if made is None:
        return Link(meeting.number, one, two, not joint.glued)
    if made.enters is None:
        return Link(meeting.number, one, two, not joint.glued, stops=made.stops, frees=made.frees)
    along = space.pieces[meeting.entering].pose.build_axis(side_of(made.enters)[0])
    bars = {
        Barred.NOT: (),
        Barred.ALONG: (along,),
        Barred.SLID: (along,),
        Barred.ACROSS: tuple(axis for axis in range(3) if axis != along),
    }[KINDS[joint.kind].barred]
    return Link(meeting.number, one, two, not joint.glued, bars, along, made.stops)


def _dry_last(chain: Sequence[Move]) -> int:
    """How many moves at the end of a chain bring in things without glue: they wait until the glue has set. Several that
    go in as one count where they are put together there, too."""
    waits = 0
    laid: set[int] = set()  # what the moves so far from the end lay down or bring in alone
    groups: set[int] = set()
    for count, move in enumerate(reversed(chain), 1):
        if not (move.dry if move.onto else groups.intersection(move.what)):
            break
        (groups if len(move.what) > 1 else laid).update(move.what)
        if groups <= laid:
            waits = count
    return waits


def closing_of(move: Move, things: Things, joints: Mapping[int, JoinedPair], space: Space) -> Closing:
    """A move with the names of its things, and the joints it closes by their numbers."""
    names = tuple(things)
    what = tuple(names[i] for i in move.what)
    closed = tuple(joints[number] for number in move.numbers if number in joints)
    return Closing(
        what,
        tuple(mark for name in what for mark in things[name]),
        tuple(names[i] for i in move.onto),
        move.toward,
        closed,
        move.first,
        move.short,
        move.also,
        _along(closed, space),
    )


def _along(joints: Sequence[JoinedPair], space: Space) -> str:
    """The leaning piece along which all joints of a move go together: the one astride, the brace that is let in. ""
    where there is none, where several lean each their own way, or where it leans too little to be told."""
    found: dict[Vector, str] = {}
    for joint, meeting in joints:
        made = space.joinery.get(meeting.number)
        mark = meeting.receiving if made is not None and made.frees else meeting.entering
        piece = space.pieces.get(mark)
        if made is None or not isinstance(piece, LeaningPiece) or KINDS[joint.kind].flat:
            continue
        if made.frees or (made.stops and piece.turn.z[2] < ALONG):
            found.setdefault(piece.turn.z, mark)
    return next(iter(found.values())) if len(found) == 1 else ""
