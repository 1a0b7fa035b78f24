"""The build with its doors swung aside and its drawers pulled out, so that the inside is seen.

A door is what hangs together by joints, is not the carcase, and carries a hinge; it swings on the side its hinge is on.
A drawer is a box of several pieces that hangs together by joints, runs out to the front past everything, and is held
down by something over it. Both are found from the description: nothing has to be said of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from enum import StrEnum

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.box import Box, Corner
from shopdocs.core.length import ZERO, Length
from shopdocs.model.build import Build
from shopdocs.model.joining import HolePlace
from shopdocs.work.space.placed import BUILD_AXES, PlacedPiece, Pose, Scene, Spot, Toward, side_of

LEAST_DRAWER = 3  # pieces: a front and two sides
_TURNED = {
    0: (1, False),
    1: (0, True),
    2: (2, True),
}  # a quarter turn to the front: x goes to the front, y to the right


class Moves(StrEnum):
    """How a unit of pieces moves."""

    DOOR = "door"
    DRAWER = "drawer"


class Unit(Struct, frozen=True):
    """Pieces that move as one, by their index in the scene."""

    moves: Moves
    pieces: tuple[int, ...]


class Opened(Struct, frozen=True):
    """The scene with its doors swung open, and what can be moved in it; pieces keep their index."""

    scene: Scene
    units: tuple[Unit, ...]
    swung: bool

    def moving(self) -> Mapping[int, Unit]:
        """The unit that each moving piece belongs to, by the number of the piece in the scene."""
        return {index: unit for unit in self.units for index in unit.pieces}

    def pulled(self, share: float) -> tuple[Corner, ...]:
        """Where every piece goes, in ticks, when the drawers are pulled out by this share of their depth."""
        shifts: list[Corner] = [(0, 0, 0)] * len(self.scene.pieces)
        for unit in self.units:
            if unit.moves is Moves.DRAWER:
                deep = Box.around(self.scene.solids[i].bounds for i in unit.pieces).size[1]
                for index in unit.pieces:
                    shifts[index] = (0, -int(deep * share), 0)
        return tuple(shifts)


def opened(build: Build, scene: Scene) -> Opened:
    """The scene of a build opened. Of doors those swing that hang on an upright side: a left one by a quarter turn, a
    right one by half a turn, so that neither stands before the inside when one looks from the front and the right."""
    index = {piece.mark: i for i, piece in enumerate(scene.pieces)}
    clumps = _clumps(build, index)
    carcase = max(clumps, key=lambda clump: (_bounds(scene, clump).volume, -clump[0]))
    pieces, units = list(scene.pieces), list[Unit]()
    hinged = _hinged(build, scene, index)
    for clump in clumps:
        sides = {hinged[i] for i in clump if i in hinged} if clump is not carcase else set()
        if sides and (swung := _swung([pieces[i] for i in clump], left=min(sides) < 0)):
            for i, piece in zip(clump, swung, strict=True):
                pieces[i] = piece
            units.append(Unit(Moves.DOOR, clump))
        elif clump is not carcase and len(clump) >= LEAST_DRAWER and _runs_out(scene, clump):
            units.append(Unit(Moves.DRAWER, clump))
    moved = any(unit.moves is Moves.DOOR for unit in units)
    return Opened(Scene.of(pieces) if moved else scene, tuple(units), moved)


def _clumps(build: Build, index: Mapping[str, int]) -> list[tuple[int, ...]]:
    """What hangs together by joints, as indices, each in the order of the scene."""
    of = {i: {i} for i in index.values()}
    for _, meeting in build.meetings():
        ends = [index.get(meeting.entering), index.get(meeting.receiving)]
        if ends[0] is None or ends[1] is None or of[ends[0]] is of[ends[1]]:
            continue
        more, less = sorted((of[ends[0]], of[ends[1]]), key=len, reverse=True)
        more |= less
        for i in less:
            of[i] = more
    clumps = {id(clump): clump for clump in of.values()}
    return [tuple(sorted(clump)) for clump in clumps.values()]


def _hinged(build: Build, scene: Scene, index: Mapping[str, int]) -> dict[int, int]:
    """Pieces that carry a hinge, with the side of the build they hang on: -1 left, 1 right. Hardware is a hinge where
    its name or what is bought for it says so."""
    found: dict[int, int] = {}
    for hardware in build.hardware:
        if "hinge" not in f"{hardware.name} {hardware.buy}".lower():
            continue
        for place in hardware.on:
            i = index.get(place.piece)
            if i is None:
                continue
            axis, high = scene.pieces[i].pose.look_of(place.face)
            if axis == 0:
                found[i] = 1 if high else -1
            elif axis == 1:
                found[i] = _side_of(scene.pieces[i], place)
    return found


def _side_of(piece: PlacedPiece, place: HolePlace) -> int:
    """Of a hinge that is let into the front or the rear of a stile: the side of it where the leaf lies."""
    normal, _ = side_of(place.face)
    first, second = (k for k in range(3) if k != normal)
    spot = [ZERO] * 3
    spot[first], spot[second] = place.along, place.across
    return 1 if piece.spot_in_build(spot)[0] * 2 > piece.at[0] + piece.far[0] else -1


def _swung(pieces: Sequence[PlacedPiece], left: bool) -> list[PlacedPiece]:
    low = tuple(min((p.at[k] for p in pieces), key=lambda v: v.mm) for k in range(3))
    high = tuple(max((p.far[k] for p in pieces), key=lambda v: v.mm) for k in range(3))
    if left:
        return [_moved(p, lambda s: (low[0] + s[1] - low[1], low[1] - s[0] + low[0], s[2]), _quarter) for p in pieces]
    return [_moved(p, lambda s: (high[0] + high[0] - s[0], low[1] + low[1] - s[1], s[2]), _half) for p in pieces]


def _quarter(toward: Toward) -> Toward:
    k, keeps = _TURNED[toward.index]
    return Toward(BUILD_AXES[k], toward.forward == keeps)


def _half(toward: Toward) -> Toward:
    return replace(toward, forward=toward.forward == (toward.index == 2))


def _moved(
    piece: PlacedPiece, place: Callable[[Spot], tuple[Length, Length, Length]], turn: Callable[[Toward], Toward]
) -> PlacedPiece:
    one, two = place(piece.at), place(piece.far)
    a, b, c = (min(u, v, key=lambda w: w.mm) for u, v in zip(one, two, strict=True))
    pose = Pose(*(turn(toward) for toward in piece.pose.axes))
    return replace(piece, at=(a, b, c), pose=pose)


def _bounds(scene: Scene, clump: Iterable[int]) -> Box:
    return Box.around(scene.solids[i].bounds for i in clump)


def _runs_out(scene: Scene, clump: tuple[int, ...]) -> bool:
    """Whether nothing stands before these pieces in the build, and something stands over or beside them."""
    mine = [cell for i in clump for cell in scene.solids[i].cells]
    bounds, members = _bounds(scene, clump), set(clump)
    aside = [solid for i, solid in enumerate(scene.solids) if i not in members and _beside(solid.bounds, bounds)]
    others = [cell for solid in aside for cell in solid.cells if _beside(cell, bounds)]
    if any(_before(cell, other) for other in others if _before(bounds, other) for cell in mine):
        return False
    over = Box(bounds.lo, (bounds.hi[0], bounds.hi[1], scene.bounds.hi[2] + 1))
    return any(other.lo[2] >= bounds.hi[2] and over.overlap(other) is not None for other in others)


def _beside(one: Box, other: Box) -> bool:
    """Whether both take the same place from left to right."""
    return one.lo[0] < other.hi[0] and other.lo[0] < one.hi[0]


def _before(cell: Box, other: Box) -> bool:
    return other.lo[1] < cell.hi[1] and all(other.lo[k] < cell.hi[k] and cell.lo[k] < other.hi[k] for k in (0, 2))
