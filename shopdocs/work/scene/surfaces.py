"""How much surface a shaped piece has: what a finish has to cover, by the true shape and not by the box round it.

The wood of a shaped piece is cells and convex bodies that lie side by side. Its surface is that of all of them, less
twice what two of them cover of each other, which they do in planes square to the piece alone.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from functools import lru_cache

from shopdocs.core.box import Ticks
from shopdocs.core.length import ZERO, Length
from shopdocs.core.rounds import Round
from shopdocs.model.build import Build
from shopdocs.model.parts import Direction, Runs
from shopdocs.work.scene.own_cuts import own_cuts, turned_pieces
from shopdocs.work.shapes.clashing import area_of
from shopdocs.work.shapes.slopes import Body, body_of
from shopdocs.work.space.placed import Cuboid, PlacedPiece, Pose, Spot

_SQUARE = 1 - 1e-9  # the part of a unit vector along an axis, of a face square to that axis
_Flat = tuple[float, float]
_LYING = Pose.of(Runs(Direction.X, Direction.Y, Direction.Z))


def shaped_away(build: Build) -> dict[str, Fraction]:
    """By how many square metres the surface of a piece differs from that of the box round it, of every piece whose
    outline or arrises are shaped; grooves and the like are not counted, as joints are not."""
    found: dict[str, Fraction] = {}
    sizes = {piece.mark: (part.length, part.width, part.thickness) for part, piece in build.pieces()}
    for mark, cuts in own_cuts(build).items():
        shaping = tuple(cut for cut in cuts if cut.flare is not None)
        if shaping:
            found[mark] = _difference(sizes[mark], shaping)
    for mark, turned in turned_pieces(build).items():
        found[mark] = found.get(mark, Fraction(0)) + turned_away(sizes[mark], turned)
    return found


def turned_away(size: Spot, turned: Round) -> Fraction:
    """By how many square metres the surface of a turned piece of this size (length, width, thickness) differs from that
    of its stock: the skin of its round and its round ends for the four faces and the square ends there; where it goes
    over into a square, at an end of it or a pommel, what of the square stands round it."""
    _, wide, thick = (v.float_mm() for v in size)
    more = turned.skin - 2 * (wide + thick) * turned.long.float_mm()
    ends = (ZERO, size[0])
    rims = {at for stretch in turned.stretches for at in stretch}
    for at, diameter in turned.spots:
        if at in rims:
            beside = wide * thick - math.pi / 4 * diameter.float_mm() ** 2
            more += -beside if at in ends else beside
    return Fraction(more) / 1_000_000


@lru_cache(maxsize=512)
def _difference(size: Spot, cuts: tuple[Cuboid, ...]) -> Fraction:
    length, width, thickness = size
    piece = PlacedPiece("", "", (ZERO, ZERO, ZERO), length, width, thickness, _LYING, cuts)
    ticks = Ticks.of([Length(1), *piece.lengths()]).fine()
    solid = piece.own_solid(ticks)
    bodies = [*map(body_of, solid.plain_cells), *solid.sloped.bodies]
    whole = 2 * (length.mm * width.mm + width.mm * thickness.mm + length.mm * thickness.mm)
    return (Fraction(round(surface_of(bodies))) / ticks.per_mm**2 - whole) / 1_000_000


def surface_of(bodies: Sequence[Body]) -> float:
    """The surface of bodies that fill a solid without overlap, square ticks."""
    whole = 0.0
    level: dict[tuple[int, int], tuple[list[list[_Flat]], list[list[_Flat]]]] = defaultdict(lambda: ([], []))
    for body in bodies:
        for plane, face in zip(body.planes, body.faces, strict=True):
            whole += area_of(face, plane)
            axis = max(range(3), key=lambda k: abs(plane.out[k]))
            if abs(plane.out[axis]) > _SQUARE:
                first, second = (k for k in range(3) if k != axis)
                flat = [(spot[first], spot[second]) for spot in face]
                level[axis, round(face[0][axis])][plane.out[axis] > 0].append(flat)
    return whole - 2 * sum(_covered(*both) for both in level.values())


def _covered(ones: Iterable[list[_Flat]], others: Sequence[list[_Flat]]) -> float:
    """How much of faces that look one way is covered by those in the same plane that look the other."""
    return sum(_area(_within(one, other)) for one in ones for other in others)


def _within(face: list[_Flat], border: list[_Flat]) -> list[_Flat]:
    """The part of a convex face within another (Sutherland and Hodgman)."""
    turn = 1.0 if _turned(border) > 0 else -1.0
    for (a, b), (c, d) in zip(border, [*border[1:], border[0]], strict=True):
        if len(face) < 3:
            return []
        face = list(_left_of(face, (a, b), ((c - a) * turn, (d - b) * turn)))
    return face


def _left_of(face: list[_Flat], start: _Flat, way: _Flat) -> Iterator[_Flat]:
    for one, two in zip(face, [*face[1:], face[0]], strict=True):
        over, after = (way[0] * (y - start[1]) - way[1] * (x - start[0]) for x, y in (one, two))
        if over >= 0:
            yield one
        if (over > 0 > after) or (over < 0 < after):
            share = over / (over - after)
            yield one[0] + (two[0] - one[0]) * share, one[1] + (two[1] - one[1]) * share


def _turned(face: list[_Flat]) -> float:
    """Twice its area, above zero where it goes round anticlockwise."""
    return sum(a * d - c * b for (a, b), (c, d) in zip(face, [*face[1:], face[0]], strict=True))


def _area(face: list[_Flat]) -> float:
    return abs(_turned(face)) / 2 if len(face) > 2 else 0.0
