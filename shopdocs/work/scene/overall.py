"""What a tape would say of the build as it stands: its size, the heights of its parts, how far its top overhangs what
carries it. All from the pieces in their places, exact."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from shopdocs.core.length import ZERO, Length
from shopdocs.facts.movement import density, species_like
from shopdocs.model.build import Build, Overall
from shopdocs.model.parts import MaterialKind
from shopdocs.work.scene.in_space import Space
from shopdocs.work.scene.own_cuts import turned_pieces
from shopdocs.work.space.placed import PlacedPiece

X, Y, Z = range(3)
KILOGRAMS_IN_POUND = Fraction("0.45359237")  # exact
SIDES = (("left", X, False), ("right", X, True), ("front", Y, False), ("rear", Y, True))


@dataclass(frozen=True, slots=True)
class Height:
    """Pieces that lie alike: from `under` to `top` over the lowest point of the build."""

    marks: tuple[str, ...]
    part: str
    under: Length
    top: Length


@dataclass(frozen=True, slots=True)
class Overhang:
    """How far what is uppermost reaches beyond what stands on the floor, on `sides` alike."""

    sides: tuple[str, ...]
    reach: Length


def size_of(space: Space) -> Overall:
    """Width, depth and height around everything that has a place, tenons that stand out included."""
    ticks, bounds = space.scene.ticks, space.scene.bounds
    width, depth, height = (ticks.length(side) for side in bounds.size)
    return Overall(width, depth, height)


def all_placed(build: Build, space: Space) -> bool:
    """Whether every piece of the build has a place."""
    return all(piece.mark in space.pieces for _, piece in build.pieces())


def overall_of(build: Build, space: Space | None) -> Overall | None:
    """The size of the finished build: of its pieces where all have places, else what the build states."""
    if space is not None and (build.overall is None or all_placed(build, space)):
        return size_of(space) if all_placed(build, space) else None
    return build.overall


def contradicts(build: Build, space: Space) -> bool:
    """Whether the pieces cannot be of the size that the build states, in whichever order its numbers stand. A piece
    without a place may make it larger, never smaller."""
    if build.overall is None:
        return False
    said = sorted((build.overall.width, build.overall.depth, build.overall.height))
    real = size_of(space)
    found = sorted((real.width, real.depth, real.height))
    if all_placed(build, space):
        return said != found
    return any(mine > stated for mine, stated in zip(found, said, strict=True))


def pounds_of(build: Build) -> Fraction | None:
    """What the wood of the build weighs, at 12 % of moisture and before any cut but what is turned away; None where a
    density is not known."""
    whole = Fraction(0)
    rounds = turned_pieces(build) if build.cuts else {}
    for part in build.parts:
        material = build.material(part.material)
        woods = species_like(material.species or material.name) if material.kind is not MaterialKind.SHEET else ()
        heavy = [found for wood in woods if (found := density(wood)) is not None]
        if not heavy:
            return None
        section = part.thickness.mm * part.width.mm
        volume = section * part.length.mm * len(part.pieces)
        for piece in part.pieces if rounds else ():
            if (turned := rounds.get(piece.mark)) is not None:
                volume -= section * turned.long.mm - turned.volume
        whole += volume / 1_000_000_000 * max(heavy)
    return whole / KILOGRAMS_IN_POUND


def heights(space: Space) -> tuple[Height, ...]:
    """Of all pieces that do not stand on the floor, those of a part that lie alike together, the highest first."""
    floor = _floor(space)
    alike: dict[tuple[Length, Length, str], list[str]] = {}
    for piece in space.scene.pieces:
        if piece.at[Z] > floor:
            key = (piece.far[Z] - floor, piece.at[Z] - floor, piece.part)
            alike.setdefault(key, []).append(piece.mark)
    ordered = sorted(alike.items(), key=lambda found: found[0][:2], reverse=True)
    return tuple(Height(tuple(marks), part, under, top) for (top, under, part), marks in ordered)


def overhangs(space: Space) -> tuple[Overhang, ...]:
    """Where the uppermost pieces reach beyond those that stand on the floor; sides that do so alike together. None
    where the same pieces do both, or where nothing reaches beyond."""
    floor, ceiling = _floor(space), max(piece.far[Z] for piece in space.scene.pieces)
    low = [piece for piece in space.scene.pieces if piece.at[Z] == floor]
    high = [piece for piece in space.scene.pieces if piece.far[Z] == ceiling]
    if {piece.mark for piece in low} & {piece.mark for piece in high}:
        return ()
    reaches: dict[Length, list[str]] = {}
    for side, axis, far in SIDES:
        top, base = _edge(high, axis, far), _edge(low, axis, far)
        reach = top - base if far else base - top
        if reach > ZERO:
            reaches.setdefault(reach, []).append(side)
    return tuple(Overhang(tuple(sides), reach) for reach, sides in reaches.items())


def _floor(space: Space) -> Length:
    return min(piece.at[Z] for piece in space.scene.pieces)


def _edge(pieces: Iterable[PlacedPiece], axis: int, far: bool) -> Length:
    return max(piece.far[axis] for piece in pieces) if far else min(piece.at[axis] for piece in pieces)
