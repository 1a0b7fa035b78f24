"""What holds wood that moves: grooves, slots, screws, glue across the grain, neighbours that leave a gap."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.model.build import Build
from shopdocs.model.joining import Face, Joint, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.joints.room import stated
from shopdocs.work.seasons.wood import Moves

if TYPE_CHECKING:
    from shopdocs.work.holes.fastening import Fastening
    from shopdocs.work.scene.in_space import Space

FAST_ACROSS = Length.inches(6)  # so wide a rail is tenoned, so wide a slat screwed down (common practice, no source)


class Sort(StrEnum):
    """The ways in which wood that moves is held."""

    PANEL = "panel"  # both edges in grooves
    SLIDING = "sliding"  # on cross pieces, held by pins
    FAST = "fast"  # glued or screwed to what does not move along
    HELD = "held"  # by buttons and the like, with some play
    GAP = "gap"  # between neighbours that it is not joined to


@dataclass(frozen=True, slots=True)
class Tie:
    """One way in which the width of a piece is held. `by` are the pieces that hold it, `through` the joint or the
    hardware that does, by name; `span` is the width that counts.

    `needs` is how far it must be let move from the day it is made, `gives` how far it is (None: nobody said); both
    `each` way where that is so, else in all. `shrinks` is how far the span goes back in the driest air, `tongue` how
    far a panel stands in its groove. `along` are the pieces that reach as far as the body does that it moves
    with, `on` is what it slides on.
    """

    sort: Sort
    mark: str
    part: str
    by: tuple[str, ...]
    through: str
    span: Length
    needs: Length
    gives: Length | None
    shrinks: Length
    each: bool = False
    glued: bool = False
    slotted: bool = False
    tongue: Length | None = None
    along: tuple[str, ...] = ()
    at: Position = NOWHERE
    on: str = ""

    @property
    def riding(self) -> tuple[str, ...]:
        """The pieces whose edges move: its own, and those that move along."""
        return self.along or (self.mark,)

    @property
    def enough(self) -> bool | None:
        """Whether it is let move as far as it must; None where nobody said how far that is."""
        return None if self.gives is None else self.gives >= self.needs

    @property
    def comes_out(self) -> bool:
        """Whether a panel kept in the middle of its frame leaves its groove in the driest air."""
        return self.tongue is not None and self.shrinks / 2 >= self.tongue


def ties_of(
    build: Build, moves: Mapping[str, Moves], space: Space | None, fastening: Fastening | None
) -> tuple[Tie, ...]:
    """Every way in which a piece of solid wood is held across its grain, in the order of the build."""
    from shopdocs.work.seasons.fast import fast_ties
    from shopdocs.work.seasons.room_beside import gap_ties

    found = [*_panels(build, moves, space)]
    if space is not None and fastening is not None:
        found += _sliding(build, moves, space)
        found += fast_ties(build, moves, space, fastening)
        found += gap_ties(build, moves, space)
    order = {piece.mark: number for number, (_, piece) in enumerate(build.pieces())}
    return tuple(sorted(found, key=lambda tie: order[tie.mark]))


# --- panels in grooves ------------------------------------------------------------------------------------------------


def _panels(build: Build, moves: Mapping[str, Moves], space: Space | None) -> Iterator[Tie]:
    """Pieces with both edges in grooves, rabbets or housings."""
    edges: dict[str, list[tuple[Joint, Meeting]]] = {}
    for joint, meeting in build.meetings():
        if KINDS[joint.kind].rides:
            edges.setdefault(meeting.entering, []).append((joint, meeting))
    for part, piece in build.pieces():
        if part.name in moves and piece.mark in edges:
            tie = _panel(build, moves[part.name], part.width, piece.mark, part.name, edges[piece.mark], space)
            if tie is not None:
                yield tie


def _panel(
    build: Build,
    moves: Moves,
    width: Length,
    mark: str,
    part: str,
    edges: list[tuple[Joint, Meeting]],
    space: Space | None,
) -> Tie | None:
    sides: dict[object, list[tuple[Joint, Length, Length, str]]] = {}  # room and tongue, by the edge that goes in
    for number, (joint, meeting) in enumerate(edges):
        made = space.joinery.get(meeting.number) if space is not None else None
        if made is not None:
            if made.enters in (Face.EDGE, Face.FAR_EDGE):
                sides.setdefault(made.enters, []).append((joint, made.room, made.added, meeting.receiving))
        elif meeting.end is None:
            told = stated(joint, build)
            # of two meetings without places nobody knows the sides; a panel has one at each
            sides.setdefault(number % 2, []).append((joint, told.room, told.length or ZERO, meeting.receiving))
    placed = space is not None and mark in space.pieces
    is_fast = all(any(joint.glued for joint, *_ in side) for side in sides.values())
    if len(sides) < 2 or (is_fast and (width <= FAST_ACROSS or not placed)):
        return None
    free = [min(room for _, room, _, _ in side) for side in sides.values() if not any(j.glued for j, *_ in side)]
    tongues = [min(tongue for _, _, tongue, _ in side) for side in sides.values()]
    span = width + sum(tongues, ZERO)
    joint = next(iter(sides.values()))[0][0]
    return Tie(
        Sort.PANEL,
        mark,
        part,
        tuple(dict.fromkeys(by for side in sides.values() for *_, by in side)),
        joint.name,
        span,
        span * moves.grows,
        sum(free, ZERO),
        span * moves.shrinks,
        glued=not free,
        tongue=min(tongues) if free else None,
        at=joint.at,
    )


# --- what slides on its cross pieces ----------------------------------------------------------------------------------


def _sliding(build: Build, moves: Mapping[str, Moves], space: Space) -> Iterator[Tie]:
    """Panels that slide on their cross pieces: the outermost pins need the longest slots."""
    parts = {piece.mark: part for part, piece in build.pieces()}
    for joint, meeting in build.meetings():
        part = parts[meeting.entering]
        if not KINDS[joint.kind].slides or part.name not in moves or meeting.number not in space.joinery:
            continue
        panel, share = space.pieces[meeting.entering], moves[part.name].most
        number = str(meeting.number)
        slots = [bore for bore in panel.bores if bore.joint == number and bore.slot is not None]
        if not slots:
            continue
        outer = max(slots, key=lambda bore: abs(bore.centre[1] - panel.width / 2))
        reach = abs(outer.centre[1] - panel.width / 2)
        gives = ((outer.slot or outer.diameter) - outer.diameter) / 2
        yield Tie(
            Sort.SLIDING,
            panel.mark,
            part.name,
            (meeting.receiving,),
            joint.name,
            reach * 2,
            reach * share,
            gives,
            panel.width * moves[part.name].shrinks,
            each=True,
            slotted=True,
            at=joint.at,
            on=KINDS[joint.kind].slides,
        )
