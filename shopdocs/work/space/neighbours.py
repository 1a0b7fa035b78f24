"""What lies where in other pieces, seen from one of them."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from shopdocs.core.length import ZERO
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece, Spot


def in_the_way(pieces: Mapping[str, PlacedPiece], piece: PlacedPiece, place: Cuboid) -> set[str]:
    """The marks of the pieces that have wood in a place of this piece."""
    lo, hi = piece.range_in_build(place.lo, place.hi)
    near = ((mark, other) for mark, other in pieces.items() if not _lie_apart(lo, hi, *other.reach))
    return {mark for mark, other in near if any(_share(lo, hi, *box) for box in other.wood)}


def _lie_apart(lo: Spot, hi: Spot, other_lo: Spot, other_hi: Spot) -> bool:
    """Whether two boxes have nothing in common: nearly all do, so the first axis that parts them ends it."""
    return any(hi[k] <= other_lo[k] or other_hi[k] <= lo[k] for k in range(3))


def _share(lo: Spot, hi: Spot, other_lo: Spot, other_hi: Spot) -> bool:
    """Whether two boxes, each from its low to its high corner, have space in common."""
    return all(max(a, b) < min(c, d) for a, b, c, d in zip(lo, other_lo, hi, other_hi, strict=True))


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
