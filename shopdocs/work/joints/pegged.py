"""Joints of a rail and a piece that leans by what stands with half of its length in either: dowels, loose tenons.

What is bored or chopped in both runs along the rail, as a tenon would: so both ends of a rail go on along one line,
though their legs lean each its own way. In the leg it is at the angle of its lean, in the rail in line with its length,
whose end is sawn to lie on the leg.
"""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.display import exact_text
from shopdocs.core.length import PI, ZERO, Length
from shopdocs.core.problems import Severity
from shopdocs.core.turn import dot, near
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.joints.frame import (
    DOWEL_SHARES,
    TENON_DEPTH_SHARE,
    TENON_SHARE,
    Doubt,
    Joinery,
    JointSizes,
    area,
    thin,
)
from shopdocs.work.joints.off_square import Line, block, inside, side_ways, steep
from shopdocs.work.joints.room import depths
from shopdocs.work.space.askew_piece import way_in_build, way_in_piece
from shopdocs.work.space.placed import (
    Bore,
    Cuboid,
    Feature,
    FeatureKind,
    PlacedPiece,
    Slant,
    Slanting,
    Spot,
    face_of,
    side_of,
)
from shopdocs.work.space.slanting import SQUARE, Passed, passed, sides_of


class _Place(Struct, frozen=True):
    """One dowel or loose tenon: where its middle line goes into the leg, and where it leaves the rail."""

    there: Passed
    mouth: Spot
    spot: Spot  # in the build


def pegged(rail: PlacedPiece, leg: PlacedPiece, sizes: JointSizes, line: Line) -> Joinery:
    """The joint along a line, worked out for every dowel or loose tenon by itself."""
    chopped = KINDS[sizes.kind].chopped
    axis = side_of(line.meets)[0]
    straight = abs(way_in_piece(leg, line.way)[axis])
    length, deep = depths(sizes.kind, sizes.length, sizes.depth, sizes.room)
    if length is None or deep is None:
        half = sizes.about(leg.size[axis] * TENON_DEPTH_SHARE)
        length, deep = half * 2, half + sizes.room
    thick, wide, doubts = _section(rail, sizes, chopped)
    places = [_place(rail, leg, line, rail.width * Fraction(2 * i + 1, 2 * sizes.count)) for i in range(sizes.count)]
    found = [place for place in places if place is not None and place.there.enters is line.meets]
    if len(found) < len(places):
        wrong = f"what joins {rail.mark} to {leg.mark} does not all land on it"
        return Joinery(sizes.kind, None, None, doubts=(Doubt("lean-misses", wrong, "move it inward"),))
    slants = [_in_leg(rail, leg, place, line, thick, wide if chopped else None, deep) for place in found]
    reach = max(thick, wide).float_mm() / 2 * math.sqrt(max(0.0, 1 - straight * straight))
    left = near(leg.size[axis].float_mm() - deep.float_mm() * straight - reach)
    doubts += thin("thin-floor", f"the {'mortise' if chopped else 'hole'} in {leg.mark}", left, "make it less deep")
    doubts += steep(rail, leg, straight)
    for slant in slants:
        doubts += inside(rail, leg, slant, False) if not any(one.code == "thin-wall" for one in doubts) else []
    mine: list[Feature] = []
    theirs: list[Feature] = []
    for place, slant in zip(found, slants, strict=True):
        end = _in_rail(rail, leg, place, line, slant)
        if chopped:
            mine.append(Cuboid(FeatureKind.MORTISE, *_end_block(rail, end), False, sizes.name, slant=end))
            theirs.append(Cuboid(FeatureKind.MORTISE, *block(leg, slant), False, sizes.name, slant=slant))
        else:
            mine.append(_bore(rail, end, sizes.name))
            theirs.append(_bore(leg, replace(slant, centre=place.there.mouth), sizes.name, place.there.slanting))
    around = area(length, wide) * 2 + area(length, thick) * 2 if chopped else PI * thick.mm * length.mm
    cheeks = area(length, wide) * 2 if chopped else around / 2
    return Joinery(
        sizes.kind,
        line.enters,
        line.meets,
        tuple(mine),
        tuple(theirs),
        centres=tuple(place.spot for place in found),
        glue_area=around * sizes.count,
        long_grain=cheeks * sizes.count,
        doubts=tuple(doubts),
        stops=side_ways(rail, line),
    )


def _section(rail: PlacedPiece, sizes: JointSizes, chopped: bool) -> tuple[Length, Length, list[Doubt]]:
    """Thickness and width of a loose tenon, the diameter twice of a dowel, and whether its piece can have it."""
    share = TENON_SHARE if chopped else DOWEL_SHARES[0]
    thick = sizes.thickness or sizes.about(rail.thickness * share)
    wide = (sizes.width or sizes.about(rail.width / (2 * sizes.count))) if chopped else thick
    doubts = []
    if not chopped and not DOWEL_SHARES[0] <= thick / rail.thickness <= DOWEL_SHARES[1]:
        wrong = f"dowels of {exact_text(thick)} in wood {exact_text(rail.thickness)} thick"
        right = "common practice is a third to half of the thickness"
        doubts.append(Doubt("dowel-size", wrong, right, Severity.WARNING))
    least = wide * sizes.count * (1 if chopped else 2)
    if thick >= rail.thickness or least >= rail.width:
        what = f"{sizes.count} of {exact_text(thick)}" + (f" x {exact_text(wide)}" if chopped else "")
        more = f"more than {exact_text(thick)} of thickness and {exact_text(least)} of width"
        wrong = f"{what} want {more}, and {rail.mark} is {exact_text(rail.thickness)} x {exact_text(rail.width)}"
        doubts.append(Doubt("no-room", wrong, "take fewer, or make them smaller"))
    return thick, wide, doubts


def _place(rail: PlacedPiece, leg: PlacedPiece, line: Line, across: Length) -> _Place | None:
    """The middle line `across` the rail from its face edge."""
    off, wide = (across - rail.width / 2).float_mm(), way_in_build(rail, 1)
    start = [near(a + off * b) for a, b in zip(line.spot, wide, strict=True)]
    there = passed(leg, sides_of(leg, ()), start, line.way)
    if there is None:
        return None
    spot = leg.spot_in_build(there.mouth)
    return _Place(there, (rail.spot_in_piece(spot)[0], across, rail.thickness / 2), spot)


def _in_leg(
    rail: PlacedPiece, leg: PlacedPiece, place: _Place, line: Line, thick: Length, wide: Length | None, deep: Length
) -> Slant:
    across = way_in_piece(leg, way_in_build(rail, 2))
    return Slant(line.meets, place.there.mouth, place.there.way, across, thick, wide, deep)


def _in_rail(rail: PlacedPiece, leg: PlacedPiece, place: _Place, line: Line, slant: Slant) -> Slant:
    """The same in the end of the rail, in line with it: that end looks to where the face of the leg looks from."""
    axis, high = side_of(line.meets)
    looks = way_in_build(leg, axis)
    sign = -1.0 if high else 1.0
    out = way_in_piece(rail, (sign * looks[0], sign * looks[1], sign * looks[2]))
    into = (-1.0 if line.enters is face_of(0, True) else 1.0, 0.0, 0.0)
    return Slant(line.enters, place.mouth, into, (0.0, 0.0, 1.0), slant.thick, slant.wide, slant.deep, out=out)


def _end_block(rail: PlacedPiece, slant: Slant) -> tuple[Spot, Spot]:
    """The box round a mortise in the end of a rail, from its floor to the long point."""
    at_b = slant.way[0] < 0
    (x, y, z), deep, wide = slant.centre, slant.deep or ZERO, slant.wide or slant.thick
    along = (x - deep, rail.length) if at_b else (ZERO, x + deep)
    return (along[0], y - wide / 2, z - slant.thick / 2), (along[1], y + wide / 2, z + slant.thick / 2)


def _bore(piece: PlacedPiece, slant: Slant, name: str, slanting: Slanting | None = None) -> Bore:
    """A dowel's hole. In the end of a rail it is in line with the piece, and the end is off square to it."""
    if slant.out is not None and -dot(slant.out, slant.way) < 1 - SQUARE:
        level = piece.length if slant.face is face_of(0, True) else ZERO
        other = face_of(0, slant.face is not face_of(0, True))
        leaves = (piece.length - level, *slant.centre[1:])
        behind = abs(level - slant.centre[0])
        slanting = Slanting(slant.way, slant.out, behind, other, (leaves[0], leaves[1], leaves[2]))
    return Bore(FeatureKind.DOWEL_HOLE, slant.face, slant.centre, slant.thick, slant.deep, name, slanting=slanting)
