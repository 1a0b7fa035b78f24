"""Pieces that lock each other in, told before any stage is written: paper for what cannot be put together is worth
nothing, however well each joint of it is drawn."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.model.build import Build
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
    for tied in _tied(build):
        if len(tied) > MOST or not set(tied) <= space.pieces.keys():
            continue
        among = tuple((joint, m) for joint, m in build.meetings() if {m.entering, m.receiving} <= set(tied))
        order = order_of({mark: (mark,) for mark in tied}, among, space, obstacles)
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
