"""Joints that cannot be cut. Rules of thumb are common practice and only warn."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO
from shopdocs.core.problems import Position, Problem, error, warning
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import Joint, JointKind, Meeting
from shopdocs.model.joint_kinds import KINDS, SIZES
from shopdocs.model.parts import MaterialKind
from shopdocs.work.joints.room import room_of, stated, usual_room

if TYPE_CHECKING:
    from shopdocs.model.kinds.kind import Room

_EITHER = ("length", "depth")  # each follows from the other where a joint has both


def missing_sizes(build: Build, shop: Shop) -> Iterator[Problem]:
    """Without its sizes a joint cannot be added to the cut list."""
    placed = {piece.mark for _, piece in build.pieces() if piece.place is not None}
    for joint in build.joints:
        if all({m.entering, m.receiving} <= placed for m in joint.meetings):
            continue  # worked out in space, by common practice where a size is not written
        sizes = KINDS[joint.kind].sizes
        for key in KINDS[joint.kind].needed:
            enough = _EITHER if key in _EITHER and set(_EITHER) <= set(sizes) else (key,)
            if all(getattr(joint, each) is None and each not in joint.places for each in enough):
                wrong = f"the {joint.kind.value} '{joint.name}' has no '{key}'"
                yield error(joint.at, "joint-size", wrong, f"add {key}, so that it is cut and counted")


def sizes_without_use(build: Build, shop: Shop) -> Iterator[Problem]:
    """A size that a kind of joint does not have would be left out in silence."""
    for joint in build.joints:
        sizes = KINDS[joint.kind].sizes
        for key in SIZES:
            if key in joint.places and key not in sizes:
                wrong = f"the {joint.kind.value} '{joint.name}' has no use for '{key}'"
                right = f"its sizes are {', '.join(sizes)}" if sizes else "it has no sizes"
                yield warning(joint.places[key], "joint-size", wrong, right)


def too_few(build: Build, shop: Shop) -> Iterator[Problem]:
    """Of what a joint has several of, one is none."""
    for joint in build.joints:
        least = KINDS[joint.kind].least_count
        if "count" in joint.places and joint.count < least:
            wrong = f"{KINDS[joint.kind].called} has at least {least}, and count says {joint.count}"
            right = f"write count: {least} or more, or leave it out for what is usual"
            yield error(joint.places["count"], "joint-size", wrong, right)


def sliding_on_sheet(build: Build, shop: Shop) -> Iterator[Problem]:
    """What slides is for wood that moves across the grain; sheet goods do not."""
    of = {piece.mark: part for part, piece in build.pieces()}
    for joint in build.joints:
        for m in joint.meetings if KINDS[joint.kind].slides else ():
            part = next((p for p in (of[m.entering], of[m.receiving]) if _is_sheet(build, p.material)), None)
            if part is not None:
                wrong = f"'{part.name}' is of sheet goods, which do not move across {KINDS[joint.kind].called}"
                right = "use solid wood, or join it by a glued tongue"
                yield warning(m.at, "slides-on-sheet", wrong, right)
                break


def _is_sheet(build: Build, material: str) -> bool:
    return any(m.name == material and m.kind is MaterialKind.SHEET for m in build.materials)


def joints_twice(build: Build, shop: Shop) -> Iterator[Problem]:
    """Two pieces meet in one place: a second joint of the same kind there would be cut and counted once too often."""
    met: dict[tuple[JointKind, frozenset[str]], Meeting] = {}
    for joint in build.joints:
        for m in joint.meetings:
            first = met.setdefault((joint.kind, frozenset((m.entering, m.receiving))), m)
            if first is not m:
                wrong = f"the joint of '{m.entering}' and '{m.receiving}' ({joint.kind.value}) is written twice"
                yield error(m.at, "joint-twice", wrong, f"keep this one or line {first.at.line}")
                break


def ends_not_told(build: Build, shop: Shop) -> Iterator[Problem]:
    """A housed end is longer than what shows; without places only the maker knows whether an end goes in."""
    placed = {piece.mark for _, piece in build.pieces() if piece.place is not None}
    for joint in build.joints:
        if not KINDS[joint.kind].asks_end or joint.depth is None:
            continue
        for m in joint.meetings:
            if m.end is None and not {m.entering, m.receiving} <= placed:
                wrong = f"'{m.entering} into {m.receiving}' adds nothing to '{m.entering}': no end is named"
                right = f"write '{m.entering} into {m.receiving} at A' (or B) if an end goes in, or give both places"
                yield warning(m.at, "joint-end", wrong, right)
                break


def edges_in_too_many(build: Build, shop: Shop) -> Iterator[Problem]:
    """A panel in a frame of four: where no end is named each tongue counts as one along an edge, and adds to the width.
    Of those a piece has two."""
    placed = {piece.mark for _, piece in build.pieces() if piece.place is not None}
    along: dict[str, list[tuple[Joint, Meeting]]] = {}
    for joint, m in build.meetings():
        added = KINDS[joint.kind].added
        if m.end is not None or {m.entering, m.receiving} <= placed:
            continue
        if added(stated(joint, build), m)[1] > ZERO:
            along.setdefault(m.entering, []).append((joint, m))
    for mark, every in along.items():
        if len(every) > 2:
            joint, m = every[2]
            wrong = f"'{mark}' goes into {len(every)} pieces by its edges ('{joint.name}'), and all add to its width"
            right = f"where an end goes in, write '{mark} into {m.receiving} at A' (or B), or give places"
            yield warning(m.at, "joint-end", wrong, right)


def too_large_joints(build: Build, shop: Shop) -> Iterator[Problem]:
    """A tenon must fit inside the piece it is cut on and the piece it goes into."""
    parts = {piece.mark: part for part, piece in build.pieces()}
    placed = {piece.mark for _, piece in build.pieces() if piece.place is not None}
    for joint in build.joints:
        seen: set[tuple[str, str]] = set()
        for meeting in joint.meetings:
            entering, receiving = parts[meeting.entering], parts[meeting.receiving]
            if {meeting.entering, meeting.receiving} <= placed:
                continue  # looked at in space
            if (entering.name, receiving.name) not in seen:
                seen.add((entering.name, receiving.name))
                yield from KINDS[joint.kind].wrong(stated(joint, build), entering, receiving)


def no_room(build: Build, shop: Shop) -> Iterator[Problem]:
    """What stands on the floor of its mortise, groove or hole before the joint is closed; a hole that is not as deep as
    what goes in, or for which length, depth and room do not agree."""
    for joint in build.joints:
        kept = KINDS[joint.kind].room
        if kept is not None:
            yield from _room_in(build, joint, kept)


def _room_in(build: Build, joint: Joint, kept: Room) -> Iterator[Problem]:
    inner, outer, usual = kept.inner, kept.outer, usual_room(build)
    common = f"common practice leaves {exact_text(usual)}"
    length, depth, room = joint.length, joint.depth, room_of(joint, build)
    if length is None or depth is None:
        if depth is not None and depth <= room:
            wrong = f"the {outer} of '{joint.name}' is {exact_text(depth)} deep, and {exact_text(room)} of it is room"
            right = f"cut it deeper, or say how long the {inner} is (length)"
            yield error(_place(joint, "depth"), "room", wrong, right)
        elif joint.room == ZERO:
            yield _bottoms(joint, "room", inner, outer, f"leave room out, and it gets {exact_text(usual)}; {common}")
        return
    in_one = length / 2 if kept.halved else length
    if in_one > depth:
        share = f"half of the {inner}" if kept.halved else f"the {inner}"
        wrong = f"in '{joint.name}' {share} is {exact_text(in_one)} long, its {outer} {exact_text(depth)} deep"
        right = f"make the depth {exact_text(in_one + usual)}, or the {inner} shorter"
        yield error(_place(joint, "depth"), "room", wrong, right)
    elif joint.room is not None and in_one + joint.room != depth:
        left = exact_text(depth - in_one)
        wrong = f"length and depth of '{joint.name}' leave {left}, and room says {exact_text(room)}"
        yield error(_place(joint, "room"), "room", wrong, "write two of the three; the other follows")
    elif in_one == depth:
        yield _bottoms(joint, "depth", inner, outer, f"make the depth {exact_text(depth + usual)}; {common}")


def _bottoms(joint: Joint, key: str, inner: str, outer: str, right: str) -> Problem:
    """Only a warning: a dry joint may be meant to."""
    wrong = f"the {inner} of '{joint.name}' bottoms in its {outer}: it may hold the joint open"
    wrong += ", and glue has nowhere to go" if joint.glued else ""
    return warning(_place(joint, key), "no-room-left", wrong, right)


def _place(joint: Joint, key: str) -> Position:
    return joint.places.get(key, joint.at)


CHECKS = (
    missing_sizes,
    sizes_without_use,
    too_few,
    no_room,
    sliding_on_sheet,
    joints_twice,
    ends_not_told,
    edges_in_too_many,
    too_large_joints,
)
