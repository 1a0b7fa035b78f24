"""Room in a joint: how much deeper a stopped mortise, a groove or a dowel's hole is than what goes into it is long.

A tenon that stands on the floor of its mortise before its shoulder closes holds the joint open, and glue pressed before
it has nowhere to go. So a little is left, wherever the build does not say how much. A through joint has no floor; the
end in a housing or a rabbet is meant to stand on it, for it has no shoulder.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopdocs.core.length import ZERO, Length
from shopdocs.model.build import Build
from shopdocs.model.joining import Joint, JointKind
from shopdocs.model.joint_kinds import KINDS

if TYPE_CHECKING:
    from shopdocs.model.kinds.kind import Stated

ROOMS = {"in": Length.inches("1/16"), "mm": Length("1.5")}  # by the build's units (common practice, no source)


def usual_room(build: Build) -> Length:
    """What is left where the build does not say it: a length that its fineness shows exactly."""
    room, step = ROOMS[build.units], build.display.step
    return step * -(-room.mm // step.mm)


def room_of(joint: Joint, build: Build) -> Length:
    """What the build says, else what is usual; nothing in a joint that is meant to have none."""
    if joint.room is not None:
        return joint.room
    return usual_room(build) if KINDS[joint.kind].room else ZERO


def leaves_usual_room(build: Build) -> bool:
    """Whether a joint of the build has room that it does not state."""
    return any(
        KINDS[joint.kind].room and joint.room is None and (joint.length is None or joint.depth is None)
        for joint in build.joints
    )


def depths(
    kind: JointKind, length: Length | None, depth: Length | None, room: Length
) -> tuple[Length | None, Length | None]:
    """The whole length of what goes in, and the depth of the hole for it in one piece: what is stated wins, what is
    not follows from the other and the room; None where neither is known."""
    kept = KINDS[kind].room
    pieces = 2 if kept and kept.halved else 1
    if depth is None and length is not None:
        depth = length / pieces + room
    elif length is None and depth is not None:
        length = (depth - room) * pieces
    return length, depth


def depths_of(joint: Joint, build: Build) -> tuple[Length | None, Length | None]:
    """The same for a joint as it is written. Of a kind that leaves no room both are as the build says."""
    if not KINDS[joint.kind].room:
        return joint.length, joint.depth
    return depths(joint.kind, joint.length, joint.depth, room_of(joint, build))


def stated(joint: Joint, build: Build) -> Stated:
    """A joint as it is written, with its room and what follows from that."""
    from shopdocs.model.kinds.kind import Stated

    return Stated(joint, *depths_of(joint, build), room_of(joint, build))
