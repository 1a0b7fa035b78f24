"""Where pieces face each other across the room that a joint leaves: the end of a tenon or a tongue, and the floor of
what it goes into. They do not touch, but they lie in one joint, and a screw crosses from one to the other."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from shopdocs.core.box import Touch, touch
from shopdocs.model.joint_names import Trait
from shopdocs.work.joints.frame import Joinery
from shopdocs.work.space.placed import Cuboid, Scene


def across_rooms(scene: Scene, joinery: Mapping[int, Joinery]) -> dict[tuple[int, int], tuple[Touch, ...]]:
    """By the index of two pieces of the scene, the lower first: rectangles in ticks on the first piece, the second
    `gap` beyond."""
    parts: dict[str, list[tuple[int, Cuboid]]] = defaultdict(list)
    for index, piece in enumerate(scene.pieces):
        for cuboid in piece.cuboids:
            parts[cuboid.joint].append((index, cuboid))
    found: dict[tuple[int, int], list[Touch]] = defaultdict(list)
    for number, made in joinery.items():
        if not made.room or made.enters is None:
            continue
        own = parts[str(number)]
        ends = [(index, cuboid) for index, cuboid in own if cuboid.adds and Trait.FACES_FLOOR in cuboid.kind.traits]
        other = next((index for index, cuboid in own if not cuboid.adds), None)
        if ends and other is not None:
            index, end = ends[0]
            first, second = sorted((index, other))
            found[first, second] += _facing(scene, index, other, end, made)
    return {pair: tuple(touches) for pair, touches in found.items()}


def _facing(scene: Scene, index: int, other: int, end: Cuboid, made: Joinery) -> Iterator[Touch]:
    assert made.enters is not None
    piece, gap = scene.pieces[index], scene.ticks.count(made.room)
    axis, high = piece.pose.look_of(made.enters)
    tip = (max if high else min)(scene.ticks.count(piece.spot_in_build(spot)[axis]) for spot in (end.lo, end.hi))
    first, second = sorted((index, other))
    plane = tip if first == index else tip + (gap if high else -gap)
    for mine in scene.solids[first].cells:
        for theirs in scene.solids[second].cells:
            near = touch(mine, theirs, gap)
            if (
                near is not None
                and near.gap == gap
                and near.where.lo[near.axis] == plane
                and (near.axis, near.high) == (axis, high == (first == index))
            ):
                yield near
