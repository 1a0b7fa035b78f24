"""Holes whose places go by the centre line of a joint: settled once it is known where joints lie."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.problems import Problem, error
from shopdocs.model.build import Build
from shopdocs.model.joining import Hardware, HolePlace, JointLine
from shopdocs.model.joint_names import Trait
from shopdocs.work.scene.in_space import space_of
from shopdocs.work.space.placed import PlacedPiece, side_of


def settled(build: Build) -> tuple[Build, list[Problem]]:
    """The build with all places as lengths, and problems where a joint has no one centre line there; these places are
    left out."""
    bare = replace(build, hardware=tuple(_without_joints(item) for item in build.hardware))
    placed = any(piece.place for _, piece in build.pieces())
    space = space_of(bare, (), {}) if placed else None
    pieces = space.pieces if space is not None else {}
    numbers: dict[str, list[str]] = {}
    for joint, meeting in build.meetings():
        numbers.setdefault(joint.name, []).append(str(meeting.number))
    problems: list[Problem] = []

    def of_item(item: Hardware) -> Hardware:
        if not any(any(place.by_joint) for place in item.on):
            return item
        return replace(item, on=tuple(_settled(item.on)))

    def _settled(places: tuple[HolePlace, ...]) -> Iterator[HolePlace]:
        for place in places:
            if not any(place.by_joint):
                yield place
                continue
            own = [k for k in (0, 1, 2) if k != side_of(place.face)[0]]
            spots = [place.along, place.across]
            for which, line in enumerate(place.by_joint):
                if line is None:
                    continue
                piece = pieces.get(place.piece)
                centres = _centres(piece, numbers.get(line.joint, []), own[which]) if piece is not None else []
                if len(centres) != 1:
                    problems.append(_not_one(place, line, centres))
                    break
                spots[which] = line.base + centres[0] * line.times
            else:
                yield replace(place, along=spots[0], across=spots[1], by_joint=(None, None))

    return replace(build, hardware=tuple(map(of_item, build.hardware))), problems


def _without_joints(item: Hardware) -> Hardware:
    return replace(item, on=tuple(place for place in item.on if not any(place.by_joint)))


def _centres(piece: PlacedPiece, numbers: list[str], axis: int) -> list[Length]:
    """Where the middles of a joint's cuts lie along an axis of a piece, from the end or the edge that one counts from:
    those of one meeting together."""
    found: dict[Length, None] = {}
    for number in numbers:
        spans = [
            (cuboid.lo[axis], cuboid.hi[axis])
            for cuboid in piece.cuboids
            if cuboid.joint == number and Trait.BESIDE not in cuboid.kind.traits
        ]
        spans += [(bore.centre[axis], bore.centre[axis]) for bore in piece.bores if bore.joint == number]
        if spans:
            found[(min(low for low, _ in spans) + max(high for _, high in spans)) / 2] = None
    return list(found)


def _not_one(place: HolePlace, line: JointLine, centres: list[Length]) -> Problem:
    if not centres:
        wrong = f"the joint '{line.joint}' cuts nothing in '{place.piece}'"
        return error(place.at, "place", wrong, "name a joint of this piece, or a face")
    told = " and ".join(exact_text(centre) for centre in sorted(centres))
    wrong = f"the joint '{line.joint}' has {len(centres)} centre lines on '{place.piece}' this way, at {told}"
    return error(place.at, "place", wrong, "measure from a face, or write its meetings as joints of their own")
