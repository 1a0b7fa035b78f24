"""Drawers and doors in their openings: how much room each has on every side, from the solids.

A body of joined pieces is a drawer where its parts are called so, and a door where they are, or where a hinge carries
it: lying level that is a lid. The opening is what faces it, no farther off than an inch on either side; a door that
lies over its case has none, but stands so far off what is behind it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from fractions import Fraction

from msgspec import Struct

from shopdocs.core.box import Box
from shopdocs.core.length import ZERO, Length
from shopdocs.model.build import Build
from shopdocs.work.scene.in_space import Space
from shopdocs.work.seasons.bodies import joined
from shopdocs.work.seasons.room_beside import Row, nearest, side_by_side
from shopdocs.work.seasons.wood import Moves

FACING = Length.inches(1)  # what is farther off is no side of the opening (common practice, no source)
HINGES = ("hinge",)
NAMES = ("drawer", "door")
UP = 2


class Side(Struct, frozen=True):
    """What a body faces at one side: the piece, and how far off it is."""

    mark: str
    gap: Length


class Way(Struct, frozen=True):
    """One way across the opening, along an axis of the build: its two sides (None where nothing faces it), and how far
    the body, and half of what stands beside it, swells and shrinks between them."""

    axis: int
    size: Length
    low: Side | None
    high: Side | None
    grows: Length
    shrinks: Length

    @property
    def play(self) -> Length | None:
        """The room on both sides, None where one of them is open."""
        return None if self.low is None or self.high is None else self.low.gap + self.high.gap

    @property
    def opening(self) -> Length | None:
        """From one side of the opening to the other, None where one of them is open."""
        return None if self.play is None else self.size + self.play


class Fit(Struct, frozen=True):
    """A drawer, a door or a lid: `word` says which, `marks` are its pieces, `ways` the two across its front, `behind`
    what it lies over, None where it stands in its opening, `over` all that bounds the opening as near as that; `depth`
    how deep a drawer is, or what is behind."""

    word: str
    marks: tuple[str, ...]
    ways: tuple[Way, Way]
    depth: Length
    behind: Side | None = None
    over: tuple[str, ...] = ()


def fits(build: Build, space: Space | None, moves: Mapping[str, Moves]) -> tuple[Fit, ...]:
    """Every drawer, door and lid of the build, in reading order."""
    if space is None:
        return ()
    hung = {
        mark
        for item in build.hardware
        if any(word in item.name.casefold() for word in HINGES)
        for place in item.on
        for mark in (place.piece, place.meets)
    }
    groups = [placed for group in joined(build) if (placed := [mark for mark in group if mark in space.pieces])]
    case = max(groups, key=len, default=[])
    if len(groups) < 2:
        return ()
    words = [(_word(space, group, hung, group is case), group) for group in groups]
    if not any(word for word, _ in words):
        return ()
    field = _Field(space)
    return tuple(_fit(field, moves, word, group) for word, group in words if word)


def _word(space: Space, group: Sequence[str], hung: Set[str], is_case: bool) -> str:
    """What a body is called; "" where it is none of these."""
    names = [space.pieces[mark].part.casefold() for mark in group]
    for word in NAMES:
        if all(word in name for name in names):
            return word
    if is_case or hung.isdisjoint(group):
        return ""
    size = Box.around(space.scene.solids[space.scene.index(mark)].body for mark in group).size
    return "lid" if size[UP] == min(size) else "door"


class _Field:
    """The bodies of all pieces as boxes, and their rows along x, y and z."""

    def __init__(self, space: Space) -> None:
        self.space = space
        self.boxes = [solid.body for solid in space.scene.solids]
        self.rows = [Row(self.boxes, axis) for axis in range(3)]
        self.reach = int(FACING.mm * space.scene.ticks.per_mm)


def _fit(field: _Field, moves: Mapping[str, Moves], word: str, group: Sequence[str]) -> Fit:
    boxes, inside = field.boxes, {field.space.scene.index(mark) for mark in group}
    around = Box.around(boxes[i] for i in inside)
    front = _front(boxes, inside, around) if word == "drawer" else min(range(3), key=lambda axis: around.size[axis])
    across, up = (axis for axis in (0, 1, 2) if axis != front)
    ways = (_way(field, moves, inside, across), _way(field, moves, inside, up))
    behind: Side | None = None
    over: tuple[str, ...] = ()
    if word != "drawer" and all(way.low is None and way.high is None for way in ways):
        backs = [(side, high) for high in (False, True) if (side := _side(field, inside, front, high)) is not None]
        behind, high = min(backs, key=lambda back: back[0].gap, default=(None, False))
        over = _over(field, inside, around, front, high, behind) if behind is not None else ()
    whole = around if word == "drawer" else Box.around(box for i, box in enumerate(boxes) if i not in inside)
    return Fit(word, tuple(group), ways, field.space.scene.ticks.length(whole.size[front]), behind, over)


def _front(boxes: Sequence[Box], inside: Set[int], around: Box) -> int:
    """The level axis along which a body can be drawn out: nothing stands before it there at one end."""
    for axis in (1, 0):
        u, v = (k for k in range(3) if k != axis)
        for high in (False, True):
            if not any(
                (box.hi[axis] > around.hi[axis] if high else box.lo[axis] < around.lo[axis])
                and box.lo[u] < around.hi[u]
                and around.lo[u] < box.hi[u]
                and box.lo[v] < around.hi[v]
                and around.lo[v] < box.hi[v]
                for i, box in enumerate(boxes)
                if i not in inside
            ):
                return axis
    return 1


def _way(field: _Field, moves: Mapping[str, Moves], inside: Set[int], axis: int) -> Way:
    pieces, boxes = field.space.scene.pieces, field.boxes
    low, high = (_side(field, inside, axis, end) for end in (False, True))
    across = [i for i in sorted(inside) if pieces[i].pose.build_axis(1) == axis and pieces[i].part in moves]
    grows, shrinks = ZERO, ZERO
    for i in side_by_side(boxes, across, axis):
        grows += pieces[i].width * moves[pieces[i].part].grows
        shrinks += pieces[i].width * moves[pieces[i].part].shrinks
    for side in (low, high):  # a leg beside it swells into the opening
        piece = field.space.pieces[side.mark] if side is not None else None
        if piece is not None and piece.part in moves and piece.pose.build_axis(1) == axis:
            grows += piece.width * moves[piece.part].grows / 2
            shrinks += piece.width * moves[piece.part].shrinks / 2
    begins, ends = min(boxes[i].lo[axis] for i in inside), max(boxes[i].hi[axis] for i in inside)
    return Way(axis, field.space.scene.ticks.length(ends - begins), low, high, grows, shrinks)


def _side(field: _Field, inside: Set[int], axis: int, high: bool) -> Side | None:
    """What stands nearest to a body at one side of it, over what is outermost of it there."""
    found = nearest(field.boxes, inside, field.rows[axis], axis, field.reach, high)
    if found is None:
        return None
    scene = field.space.scene
    return Side(scene.pieces[found[1]].mark, scene.ticks.length(found[0]))


def _over(field: _Field, inside: Set[int], around: Box, axis: int, high: bool, behind: Side) -> tuple[str, ...]:
    """The marks of all that a body lies over as near as over `behind`, and that reach as far as its rim: shelves within
    the opening bound none of it. Only `behind` where nothing reaches so far."""
    boxes, gap = field.boxes, field.space.scene.ticks.count(behind.gap)
    end = around.hi[axis] if high else around.lo[axis]
    u, v = (k for k in range(3) if k != axis)
    outer = [boxes[i] for i in inside if (boxes[i].hi[axis] if high else boxes[i].lo[axis]) == end]
    found = []
    for i, box in enumerate(boxes):
        away = box.lo[axis] - end if high else end - box.hi[axis]
        if i in inside or away != gap:
            continue
        faces = any(all(box.lo[k] < one.hi[k] and one.lo[k] < box.hi[k] for k in (u, v)) for one in outer)
        if faces and any(box.lo[k] <= around.lo[k] or box.hi[k] >= around.hi[k] for k in (u, v)):
            found.append(field.space.scene.pieces[i].mark)
    return tuple(found) or (behind.mark,)


CUBIC_FOOT = Length.inches(12).mm ** 3


def enclosed(found: Sequence[Fit]) -> Fraction:
    """What drawers and doors enclose, in cubic feet: width × depth × height of a drawer, half of it behind a door (CPSC
    business guidance, Clothing Storage Units; what has a lid is none). Reckoned over the outside: rather too much."""
    whole = Fraction(0)
    for fit in (each for each in found if each.word != "lid"):
        one, two = (way.size.mm for way in fit.ways)
        whole += one * two * fit.depth.mm / (1 if fit.word == "drawer" else 2)
    return whole / CUBIC_FOOT
