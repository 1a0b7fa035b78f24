"""Doors that can be opened and drawers that can be pulled out: each is moved past all that stands beside it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import cos, hypot, radians, sin

from msgspec import Struct

from shopdocs.checks.doubts.doors import HINGES, UP, named
from shopdocs.core.box import Box
from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.problems import Problem, warning
from shopdocs.model.joining import Hardware, HolePlace
from shopdocs.work.computed import Computed
from shopdocs.work.scene.in_space import Space
from shopdocs.work.seasons.bodies import joined
from shopdocs.work.space.placed import PlacedPiece, side_of

OPEN = 90  # degrees that a door should open at the least (common practice, no source)
STEP = 5  # degrees between two places of the door that are looked at
GRAZE_MM = 0.8  # a 32nd of an inch: less is planed off at the fitting (common practice, no source)
DRAWER = "drawer"
# How a drawer may leave: axis of the build, whether to the higher side, in words.
WAYS = (
    (1, False, "to the front"),
    (1, True, "to the back"),
    (0, False, "to the left"),
    (0, True, "to the right"),
    (2, True, "up"),
)


# --- drawers ---------------------------------------------------------------------------------------------------------


def drawers(work: Computed) -> Iterator[Problem]:
    """A drawer that no straight way out of its case is free for."""
    space = work.space
    if space is None:
        return
    pieces = {piece.mark: (part, piece) for part, piece in work.build.pieces()}
    for group in map(frozenset, joined(work.build)):
        inside = [mark for mark in pieces if mark in group and mark in space.pieces]
        if not any(DRAWER in pieces[mark][0].name.casefold() for mark in inside) or len(inside) == len(space.pieces):
            continue
        if not all(DRAWER in pieces[mark][0].name.casefold() for mark in inside):
            continue  # joined to its case, or named after what it runs on: a joint there says what is meant
        in_the_way = []
        for axis, high, words in WAYS:
            hit = _first_hit(space, inside, axis, high)
            if hit is None:
                break
            in_the_way.append(f"{words} {hit}")
        else:
            wrong = f"the drawer of {' '.join(inside[:3])} cannot be pulled out: {in_the_way[0]} stands in its way"
            right = "leave the way to the front free over the whole of its height and width"
            yield warning(pieces[inside[0]][1].at, "shut-drawer", wrong, right)


def _first_hit(space: Space, inside: Sequence[str], axis: int, high: bool) -> str | None:
    """The mark of the first piece that is hit on a straight way, or None."""
    scene, moved = space.scene, set(inside)
    graze = int(GRAZE_MM * scene.ticks.per_mm)
    mine = [cell for mark in inside for cell in scene.solids[scene.index(mark)].whole_cells]
    nearest: tuple[int, str] | None = None
    for piece, solid in zip(scene.pieces, scene.solids, strict=True):
        if piece.mark in moved:
            continue
        for theirs in solid.whole_cells:
            for cell in mine:
                off = theirs.lo[axis] - cell.hi[axis] if high else cell.lo[axis] - theirs.hi[axis]
                if off > -graze and _faces(cell, theirs, axis, graze) and (nearest is None or off < nearest[0]):
                    nearest = off, piece.mark
    return nearest[1] if nearest else None


def _faces(one: Box, other: Box, axis: int, graze: int) -> bool:
    """Whether two boxes face each other along an axis, by more than a graze."""
    return all(min(one.hi[k], other.hi[k]) - max(one.lo[k], other.lo[k]) > graze for k in range(3) if k != axis)


def tight(work: Computed) -> Iterator[Problem]:
    """A drawer or a door that fills its opening from one side to the other, with no room to move."""
    at = {piece.mark: piece.at for _, piece in work.build.pieces()}
    for fit in work.fits:
        for way in fit.ways:
            if way.play is None or way.play.mm > 0 or way.low is None or way.high is None:
                continue
            touched = " and ".join(dict.fromkeys(f"'{side.mark}'" for side in (way.low, way.high)))
            wrong = f"the {fit.word} of {' '.join(fit.marks[:3])} touches {touched} on both sides and cannot move"
            size = f"{'high' if way.axis == UP else 'wide'} than {exact_text(way.size)}"
            yield warning(at[fit.marks[0]], "no-play", wrong, f"leave play: make it less {size}")


# --- doors -----------------------------------------------------------------------------------------------------------

Flat = tuple[float, float]


class Swing(Struct, frozen=True):
    """The line a door turns about: the axis of the build it runs along, and where it stands in the other two, in
    millimetres."""

    axis: int
    at: Flat

    def flat(self, piece: PlacedPiece) -> tuple[Flat, Flat]:
        """A piece as one sees it along the line: its lowest and its highest corner, from the line."""
        first, second = (k for k in range(3) if k != self.axis)
        low, high = ((float(spot[first].mm), float(spot[second].mm)) for spot in (piece.at, piece.far))
        return (low[0] - self.at[0], low[1] - self.at[1]), (high[0] - self.at[0], high[1] - self.at[1])


def doors(work: Computed) -> Iterator[Problem]:
    """A door on butt hinges that cannot be opened by a right angle."""
    space = work.space
    if space is None:
        return
    groups = [frozenset(group) for group in joined(work.build)]
    seen: set[frozenset[str]] = set()
    for item, place in _leaves(work.build.hardware):
        if place.piece not in space.pieces or place.meets not in space.pieces:
            continue
        sides = [next(group for group in groups if mark in group) for mark in (place.piece, place.meets)]
        door = min(sides, key=len)
        if sides[0] == sides[1] or door in seen:
            continue
        seen.add(door)
        swing = _swing(space, place)
        moved = [piece for mark, piece in space.pieces.items() if mark in door]
        others = [piece for mark, piece in space.pieces.items() if mark not in door]
        angle, hit = max((_opens(swing, moved, others, sense) for sense in (-1, 1)), key=lambda found: found[0])
        if hit:
            about = f"opens to about {angle}°" if angle else "does not open"
            word = "door" if swing.axis == UP else "lid"
            wrong = (
                f"the {word} of {' '.join(piece.mark for piece in moved[:3])} {about} on '{item.name}' and hits {hit}"
            )
            right = f"at least {OPEN}° is usual: set the hinge's knuckle at the outer arris, or clear the way"
            yield warning(place.at, "shut-door", wrong, right)


def _leaves(hardware: Iterable[Hardware]) -> Iterator[tuple[Hardware, HolePlace]]:
    """Places of hinges whose leaves lie face to face: the knuckle is at the arris they sit at."""
    for item in hardware:
        if named(item, HINGES) and item.mate_cuts and not item.beside:
            yield from ((item, place) for place in item.on if place.meets)


def _swing(space: Space, place: HolePlace) -> Swing:
    """The knuckle's line: at the arris, half way between the two faces."""
    piece, mate = space.pieces[place.piece], space.pieces[place.meets]
    normal, high = side_of(place.face)
    first, second = (k for k in range(3) if k != normal)
    spot = [Length(0)] * 3
    spot[normal] = piece.size[normal] if high else Length(0)
    spot[first], spot[second] = place.along, place.across
    at = list(piece.spot_in_build(spot))
    through = piece.pose.build_axis(normal)
    beyond = [side for side in (mate.at[through], mate.far[through])]
    at[through] = (at[through] + min(beyond, key=lambda side: abs(side - at[through]))) / 2
    axis = piece.pose.build_axis(second if place.turned else first)
    flat = [float(at[k].mm) for k in range(3) if k != axis]
    return Swing(axis, (flat[0], flat[1]))


def _opens(swing: Swing, moved: Sequence[PlacedPiece], others: Sequence[PlacedPiece], sense: int) -> tuple[int, str]:
    """How far the door opens to one side, in whole steps, and the mark of what stops it short of a right angle."""
    for angle in range(STEP, OPEN + STEP, STEP):
        turned = sense * radians(angle)
        for piece in moved:
            corners = _turned(swing.flat(piece), turned)
            for other in others:
                if _beside(swing.axis, piece, other) and _clash(corners, turned, swing.flat(other)):
                    return angle - STEP, other.mark
    return OPEN, ""


def _beside(axis: int, piece: PlacedPiece, other: PlacedPiece) -> bool:
    overlap = min(piece.far[axis], other.far[axis]) - max(piece.at[axis], other.at[axis])
    return float(overlap.mm) > GRAZE_MM


def _turned(flat: tuple[Flat, Flat], angle: float) -> list[Flat]:
    (left, low), (right, high) = flat
    c, s = cos(angle), sin(angle)
    return [(c * x - s * y, s * x + c * y) for x, y in ((left, low), (right, low), (right, high), (left, high))]


def _clash(corners: list[Flat], angle: float, other: tuple[Flat, Flat]) -> bool:
    """Whether a turned rectangle and one that lies straight overlap by more than a graze: no line along a side of
    either parts them."""
    (left, low), (right, high) = other
    straight = [(left, low), (right, low), (right, high), (left, high)]
    if min(hypot(*spot) for spot in straight) > max(hypot(*spot) for spot in corners) + right - left + high - low:
        return False
    c, s = cos(angle), sin(angle)
    for x, y in ((1.0, 0.0), (0.0, 1.0), (c, s), (-s, c)):
        ours, theirs = ([x * u + y * v for u, v in spots] for spots in (corners, straight))
        if min(max(ours), max(theirs)) - max(min(ours), min(theirs)) <= GRAZE_MM:
            return False
    return True


CHECKS_OF_WORK = (drawers, tight, doors)
