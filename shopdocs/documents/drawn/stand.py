"""Which way a piece lies on its drawing: as it stands in the build, looked at from outside, on its face side.

An upright piece stands upright, a rail lies with its upper edge up, left and right as one sees them standing before its
face side. What lies flat is drawn as one looks down on it (or up to it), its left end at the left; one that runs from
the front to the rear is turned so that its front end is at the left. Of a mirrored pair each is drawn as it stands.

*Sheet directions* here are those of a lying drawing, x to the right and y up; an upright one is the same turned a
quarter to the left, so that x runs up and y to the left.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from shopdocs.core.length import Length
from shopdocs.core.outline import Side
from shopdocs.model.joining import Face
from shopdocs.work.space.placed import PIECE_AXES, Cuboid, Feature, Flare, PlacedPiece, Spot, face_of, side_of


@dataclass(frozen=True, slots=True)
class Stand:
    """`along` is 1 where end A lies at the left (at the bottom of an upright piece), else -1; `across` is 1 where what
    is measured from the face edge grows upward on a lying drawing, to the left on an upright one."""

    upright: bool
    along: int
    across: int


def stand_of(piece: PlacedPiece) -> Stand:
    """How a piece is drawn."""
    pose = piece.pose
    hand = -1 if pose.right_handed else 1
    if pose.length.index == 2:
        along = 1 if pose.length.forward else -1
        return Stand(True, along, along * hand)
    if pose.thickness.index == 2:
        along = 1 if pose.length.forward else -1
        return Stand(False, along, along * hand)
    across = 1 if pose.width.forward else -1
    return Stand(False, across * hand, across)


def seen_shape(piece: PlacedPiece) -> object:
    """What the drawing of a piece shows, free of marks and of the names of its faces: pieces that share it are drawn
    alike, and what lies at one place of the drawing lies there on each of them."""
    stand = stand_of(piece)
    features = frozenset(_seen(replace(feature, joint=""), piece, stand) for feature in piece.features)
    turned = piece.turned
    if turned is not None and stand.along < 0:
        turned = turned.from_other_end(piece.length)
    return (piece.part, piece.size, piece.material, stand.upright, features, turned)


def seen_key(feature: Feature, piece: PlacedPiece) -> tuple[Spot, Spot]:
    """Where a feature lies on the drawing, from its left (bottom) and its lower (right) edge, for sorting."""
    seen = _seen(feature, piece, stand_of(piece))
    return (seen.lo, seen.hi) if isinstance(seen, Cuboid) else (seen.centre, seen.centre)


def _seen(feature: Feature, piece: PlacedPiece, stand: Stand) -> Feature:
    ways = (stand.along, stand.across, 1)
    if isinstance(feature, Cuboid):
        pairs = [
            (low, high) if way > 0 else (size - high, size - low)
            for low, high, size, way in zip(feature.lo, feature.hi, piece.size, ways, strict=True)
        ]
        flare = feature.flare
        turned = None
        if flare is not None:
            only = _seen_face(flare.only, stand) if flare.only is not None else None
            skew_to = _seen_face(flare.skew_to, stand) if flare.skew_to is not None else None
            waste = tuple(_seen_waste(flare, piece, ways))
            turned = replace(flare, at=_seen_face(flare.at, stand), only=only, skew_to=skew_to, waste=waste)
        (a, b), (c, d), (e, f) = pairs
        return replace(feature, lo=(a, c, e), hi=(b, d, f), flare=turned)
    against = _seen_spot(feature.against, piece, stand) if feature.against is not None else None
    return replace(
        feature, face=_seen_face(feature.face, stand), centre=_seen_spot(feature.centre, piece, stand), against=against
    )


def _seen_waste(flare: Flare, piece: PlacedPiece, ways: tuple[int, int, int]) -> Iterator[Side]:
    """The outline of a waste as it lies on the drawing, walked the other way where that mirrors it."""
    axes = PIECE_AXES.index(flare.axis), side_of(flare.at)[0]

    def at(point: tuple[Length, Length]) -> tuple[Length, Length]:
        x, y = (p if ways[k] > 0 else piece.size[k] - p for p, k in zip(point, axes, strict=True))
        return x, y

    mirrored = ways[axes[0]] * ways[axes[1]] < 0
    seen = []
    for side in flare.waste[::-1] if mirrored else flare.waste:
        start, end = (side.end, side.start) if mirrored else (side.start, side.end)
        seen.append(replace(side, start=at(start), end=at(end), centre=at(side.centre) if side.centre else None))
    # so that what is drawn alike is alike, wherever its first side lies on the piece
    begins = min(range(len(seen)), key=lambda k: seen[k].start, default=0)
    yield from (*seen[begins:], *seen[:begins])


def _seen_spot(spot: Spot, piece: PlacedPiece, stand: Stand) -> Spot:
    def at(k: int, way: int) -> Length:
        return spot[k] if way > 0 else piece.size[k] - spot[k]

    return (at(0, stand.along), at(1, stand.across), spot[2])


def _seen_face(face: Face, stand: Stand) -> Face:
    axis, high = side_of(face)
    way = (stand.along, stand.across, 1)[axis]
    return face_of(axis, high == (way > 0))


# Where a face looks to in the build. The furniture has a rear; a back face is one of the piece's.
LOOKS = {
    (0, False): "left",
    (0, True): "right",
    (1, False): "front",
    (1, True): "rear",
    (2, False): "down",
    (2, True): "up",
}


def looks(piece: PlacedPiece, face: Face) -> str:
    """Where a face of a placed piece looks: "front", "up"."""
    return LOOKS[piece.pose.look_of(face)]


def seen_from(piece: PlacedPiece) -> str:
    """From where one sees the face side of a placed piece: "from the front", "from above"."""
    way = looks(piece, Face.FACE)
    return {"up": "from above", "down": "from below"}.get(way, f"from the {way}")


def end_a_at(stand: Stand) -> str:
    """Where end A lies on the drawing, seen from outside: on the rear of the build its left is the build's right."""
    if stand.upright:
        return "bottom" if stand.along > 0 else "top"
    return "left" if stand.along > 0 else "right"


def face_edge_at(stand: Stand) -> str:
    """Where the face edge lies on the drawing, as one looks at the face side."""
    if stand.upright:
        return "right" if stand.across > 0 else "left"
    return "at the bottom" if stand.across > 0 else "at the top"
