"""What holds wood that moves: grooves, slots, screws, glue across the grain, neighbours that leave a gap."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from shopdocs.core.length import ZERO, Length
from shopdocs.model.build import Build
from shopdocs.model.joining import Face, Joint, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.holes.fastening import Fastening
from shopdocs.work.joints.room import stated
from shopdocs.work.scene.in_space import Space
from shopdocs.work.seasons.fast import fast_ties
from shopdocs.work.seasons.room_beside import gap_ties
from shopdocs.work.seasons.tie import FAST_ACROSS, Sort, Tie
from shopdocs.work.seasons.wood import Moves


def ties_of(
    build: Build, moves: Mapping[str, Moves], space: Space | None, fastening: Fastening | None
) -> tuple[Tie, ...]:
    """Every way in which a piece of solid wood is held across its grain, in the order of the build."""
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
