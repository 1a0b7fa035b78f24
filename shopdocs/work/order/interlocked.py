"""Pieces that lock each other in, told before any stage is written: paper for what cannot be put together is worth
nothing, however well each joint of it is drawn."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.model.build import Build
from shopdocs.model.joining import Joint, Meeting
from shopdocs.work.order.blocking import Obstacles
from shopdocs.work.order.closing import Outcome, order_of
from shopdocs.work.scene.in_space import Space

MOST = 120  # pieces tied together; the search grows with their square, and `check` runs at every save of an editor

# What frees such a group: it is minimal.
FREED = "with any one of them away the others go together: shorten a tenon or a tongue, or join one another way"


def interlocked(build: Build, space: Space | None, obstacles: Obstacles | None) -> tuple[str, ...]:
    """The marks of the first pieces, tied by glued joints and all of them placed, that no straight moves bring together
    in any order; none where every such group goes together, or is more than MOST pieces."""
    if space is None or obstacles is None:
        return ()
    # What is in the way of what is worked out for a whole build only where that is small: it grows with the square of
    # the pieces, and most of a large one lies far from a group.
    shared = obstacles if len(space.scene.pieces) <= MOST else None
    groups = list(_tied(build))
    group_of = {mark: i for i, tied in enumerate(groups) for mark in tied}
    joints: list[list[tuple[Joint, Meeting]]] = [[] for _ in groups]
    for joint, meeting in build.meetings():
        found = group_of.get(meeting.entering)
        if found is not None and found == group_of.get(meeting.receiving):
            joints[found].append((joint, meeting))
    for tied, among in zip(groups, joints, strict=True):
        if len(tied) > MOST or not set(tied) <= space.pieces.keys():
            continue
        order = order_of({mark: (mark,) for mark in tied}, tuple(among), space, shared)
        if order.outcome is Outcome.LOCKED:
            return order.locked
    return ()


def _tied(build: Build) -> Iterator[tuple[str, ...]]:
    """Pieces that glued joints tie together, directly or through others, in reading order."""
    group: dict[str, list[str]] = {}
    for joint, meeting in build.meetings():
        if joint.glued:
            one, two = (group.setdefault(mark, [mark]) for mark in (meeting.entering, meeting.receiving))
            if one is not two:
                one += two
                group.update(dict.fromkeys(two, one))
    place = {piece.mark: i for i, (_, piece) in enumerate(build.pieces())}
    for marks in {id(marks): marks for marks in group.values()}.values():
        yield tuple(sorted(marks, key=place.__getitem__))
