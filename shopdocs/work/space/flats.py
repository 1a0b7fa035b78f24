"""Flats that are planed on a round for the square shoulder of a rail, as they are gauged."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shopdocs.core.length import ZERO, Length
from shopdocs.core.turn import near
from shopdocs.model.joining import Face
from shopdocs.model.joint_names import Trait
from shopdocs.work.space.features import Cuboid, Spot, face_of
from shopdocs.work.space.placed import PlacedPiece


@dataclass(frozen=True, slots=True)
class Flat:
    """A flat where the round is least, there it is narrowest: on `face`, from `lo` to `hi` in piece coordinates, and so
    `deep` under the round."""

    face: Face
    lo: Spot
    hi: Spot
    deep: Length


def flat_of(piece: PlacedPiece, cut: Cuboid) -> Flat:
    """The flat that a cut of the stock leaves on the round. Raises ValueError of a piece that is not round there."""
    least = piece.turned.least(cut.lo[0], cut.hi[0]) if piece.turned is not None else None
    if least is None:
        raise ValueError(f"{piece.mark} is not round there")
    axis = next(k for k in (1, 2) if (cut.lo[k], cut.hi[k]) != (ZERO, piece.size[k]))
    high = cut.hi[axis] >= piece.size[axis]
    middle = [value / 2 for value in piece.size]
    plane = cut.lo[axis] if high else cut.hi[axis]
    level = abs(plane - middle[axis])
    half = near(math.sqrt(least.float_mm() ** 2 / 4 - level.float_mm() ** 2))
    lo, hi = list(cut.lo), list(cut.hi)
    lo[3 - axis], hi[3 - axis] = middle[3 - axis] - half, middle[3 - axis] + half
    top = middle[axis] + (least / 2 if high else -(least / 2))
    lo[axis], hi[axis] = min(plane, top), max(plane, top)
    return Flat(face_of(axis, high), (lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]), least / 2 - level)


def flat_under(piece: PlacedPiece, cut: Cuboid) -> Flat | None:
    """The flat that a mortise is chopped from; None of what begins at a face of the stock."""
    if piece.turned is None or cut.adds or cut.own or Trait.PLANED in cut.kind.traits:
        return None
    flats = (one for one in piece.cuboids if Trait.PLANED in one.kind.traits and one.joint == cut.joint)
    found = next(flats, None)
    return flat_of(piece, found) if found is not None else None
