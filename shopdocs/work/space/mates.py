"""Where a pattern lies on the piece that it meets: the same place of the build, measured on that piece's own face."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from shopdocs.core.length import ZERO, Length
from shopdocs.model.joining import Face, HolePlace
from shopdocs.model.parts import Part, Piece
from shopdocs.work.space.in_place import placed_piece
from shopdocs.work.space.placed import PlacedPiece, Spot, side_of

REACH = Length("12.7")  # a piece farther off than a hinge's knuckle is not met (common practice, no source)
Pieces = Mapping[str, tuple[Part, Piece]]


class Mate(Struct, frozen=True):
    """The piece that a pattern meets: `face` is the one it lies against (or, `beside` it, the one that looks the same
    way), `gap` how far off that is; `turned` says that what runs along the first face runs across this one."""

    first: PlacedPiece
    second: PlacedPiece
    place: HolePlace
    face: Face
    gap: Length
    turned: bool

    @property
    def reached(self) -> bool:
        """Whether the piece lies near enough."""
        return abs(self.gap) <= REACH

    @property
    def thick(self) -> Length:
        """How much wood of the first piece lies under the pattern."""
        return self.first.size[side_of(self.place.face)[0]]

    def spot(self, along: Length, across: Length) -> tuple[Length, Length]:
        """Along and across on this face of a place `along` and `across` from the pattern's origin."""
        there = self.second.spot_in_piece(spot_of_pattern(self.place, self.first, along, across))
        one, other = (k for k in range(3) if k != side_of(self.face)[0])
        return there[one], there[other]


def spot_of_pattern(place: HolePlace, piece: PlacedPiece, along: Length, across: Length) -> Spot:
    """Where in the build a place `along` and `across` from the origin of a pattern on `piece` lies."""
    if place.turned:
        along, across = across, along
    axis, high = side_of(place.face)
    first, second = (k for k in range(3) if k != axis)
    spot = [ZERO] * 3
    spot[first], spot[second] = place.along + along, place.across + across
    spot[axis] = piece.size[axis] if high else ZERO
    return piece.spot_in_build(spot)


def mate_of(place: HolePlace, pieces: Pieces, beside: bool = False) -> Mate | None:
    """What a pattern meets at one of its places; None where it meets nothing, or either piece has no place."""
    if place.meets not in pieces or place.piece not in pieces or place.meets == place.piece:
        return None
    first, second = (placed_piece(*pieces[mark]) for mark in (place.piece, place.meets))
    if first is None or second is None:
        return None
    axis, looks_high = first.pose.look_of(place.face)
    above = second.at[axis] + second.far[axis] >= first.at[axis] + first.far[axis]
    face = second.pose.face_toward(axis, looks_high if beside else not above)
    own, _ = (k for k in range(3) if k != side_of(place.face)[0])
    one, _ = (k for k in range(3) if k != side_of(face)[0])
    turned = first.pose.build_axis(own) != second.pose.build_axis(one)
    gap = second.at[axis] - first.far[axis] if above else first.at[axis] - second.far[axis]
    return Mate(first, second, place, face, ZERO if beside else gap, turned)
