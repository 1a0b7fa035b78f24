"""What lies where in other pieces, seen from one of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from shopdocs.core.length import ZERO
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece


def in_the_way(pieces: Mapping[str, PlacedPiece], piece: PlacedPiece, place: Cuboid) -> set[str]:
    """The marks of the pieces that have wood in a place of this piece."""
    return {
        mark
        for mark, other in pieces.items()
        if any(
            all(max(box.lo[k], place.lo[k]) < min(box.hi[k], place.hi[k]) for k in range(3))
            for box in (
                seen_from(piece, other, wood) for wood in (body_of(other), *(f for f in other.cuboids if f.adds))
            )
        )
    }


def body_of(piece: PlacedPiece) -> Cuboid:
    """The body of a piece as a cuboid of its own."""
    return Cuboid(FeatureKind.HOLE, (ZERO, ZERO, ZERO), piece.size)


def seen_from(piece: PlacedPiece, other: PlacedPiece, cuboid: Cuboid) -> Cuboid:
    """A cuboid of another piece in the coordinates of `piece`."""
    lo, hi = piece.range_in_piece(other.spot_in_build(cuboid.lo), other.spot_in_build(cuboid.hi))
    return replace(cuboid, lo=lo, hi=hi)


def with_changed(piece: PlacedPiece, before: Cuboid, after: Cuboid) -> PlacedPiece:
    """The piece with one of its features changed."""
    return replace(piece, features=tuple(after if feature is before else feature for feature in piece.features))
