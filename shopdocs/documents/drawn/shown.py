"""A cut or an addition as a drawing shows it, and where it is measured."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from shopdocs.core.length import ZERO, Length
from shopdocs.model.joining import Face
from shopdocs.work.space.let_in import axes_of, is_let_in, marked_side
from shopdocs.work.space.placed import Cuboid, FeatureKind, Spot, side_of


@dataclass(frozen=True, slots=True)
class Shown:
    """A cut or an addition where it is drawn: on `face`, from `lo` to `hi` of the wood that is really there (less what
    another cut has taken); `depth` into that face, None for a cut right through. One that widens from its mouth on is
    drawn as wide as its mouth, for that is what is knifed; farther in it is wider by `widens` on either side. A slot
    at an angle is struck on its face, and gauged `at_mouth`, where it runs out along an edge."""

    cuboid: Cuboid
    face: Face
    lo: Spot
    hi: Spot
    depth: Length | None
    widens: Length = ZERO
    at_mouth: bool = False

    @property
    def bulk(self) -> Fraction:
        """How much wood it is, in cubic millimetres."""
        return self.cuboid.size[0].mm * self.cuboid.size[1].mm * self.cuboid.size[2].mm


def along_the_piece(shown: Shown) -> set[Length]:
    """Where a cut begins and ends along the piece; of what is at an angle the middle; of a tenon its tip: the middle of
    a slanting shoulder lies on no corner, and a figure for it would seem to be that of one."""
    slant = shown.cuboid.slant
    if slant is None or shown.at_mouth:
        return {shown.lo[0], shown.hi[0]} if not (spared := _spared(shown)) else spared
    if shown.cuboid.adds:
        return {shown.hi[0] if slant.way[0] > 0 else shown.lo[0]}
    return slanted(shown, 0)


def _spared(shown: Shown) -> set[Length]:
    """Both corners of a compound cut on the face that it is drawn on; the other face's lie behind it. Nothing of any
    other cut."""
    flare = shown.cuboid.flare
    if shown.cuboid.kind is not FeatureKind.END_CUT or flare is None or not flare.skew or flare.skew_to is None:
        return set()
    (axis, high), (drawn, far) = side_of(flare.skew_to), side_of(shown.face)
    if axis != drawn:
        return set()
    low, top, at_a, longer = shown.lo[0], shown.hi[0], shown.lo[0] <= ZERO, high != far
    return {low, top - flare.skew} if at_a == longer else {low + flare.skew, top}


def slanted(shown: Shown, axis: int) -> set[Length]:
    """Where what is at an angle is measured along an axis: the middle of its mouth, or both ends of the side of it that
    is marked out where it goes in square."""
    slant = shown.cuboid.slant
    assert slant is not None
    axes = axes_of(slant)
    if not is_let_in(shown.cuboid) or axis not in axes:
        return {slant.centre[axis]}
    return {spot[axes.index(axis)] for spot in marked_side(shown.cuboid)}
