"""The whole build drawn apart: the carcase piece by piece, each door beside it and each drawer before it the same."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

from msgspec import Struct

from shopdocs.core.box import Box, Corner
from shopdocs.core.length import Length
from shopdocs.work.scene.explode import Exploded, explode
from shopdocs.work.scene.opened import Moves, Opened, Unit
from shopdocs.work.shapes.hidden import Segment
from shopdocs.work.space.contacts import Contacts, find_contacts

_ROUNDS = 40  # of pushing units off each other; a few do for furniture


class _Own(Struct, frozen=True):
    """How the pieces of a unit move within it, and the lines along which they go together."""

    offsets: Mapping[int, Corner]
    lines: tuple[Segment, ...]


class TakenApart(Struct, frozen=True, dict=True):
    """An opened build, and who touches whom in the build as it stands."""

    opened: Opened
    closed: Contacts

    @cached_property
    def contacts(self) -> Contacts:
        """Who touches whom as the build is drawn: anew where a door was swung."""
        return find_contacts(self.opened.scene) if self.opened.swung else self.closed

    def by(self, gap: Length, rise: Length) -> Exploded:
        """Neighbours at least `gap` apart, `rise` upwards; doors and drawers clear of everything by the
        same, their own pieces half as far apart."""
        key = (gap, rise)
        if key not in self._made:
            self._made[key] = self._by(gap, rise)
        return self._made[key]

    @cached_property
    def _made(self) -> dict[tuple[Length, Length], Exploded]:
        return {}

    @cached_property
    def _units(self) -> dict[Length, list[_Own]]:
        """The units by themselves, at the gaps asked for so far."""
        return {}

    def _apart(self, gap: Length) -> list[_Own]:
        if gap not in self._units:
            self._units[gap] = [self._own(unit, gap) for unit in self.opened.units]
        return self._units[gap]

    def _own(self, unit: Unit, gap: Length) -> _Own:
        found = explode(self.contacts, gap / 2, gap, frozenset(unit.pieces))
        return _Own({i: found.offsets[i] for i in unit.pieces}, found.lines)

    def _by(self, gap: Length, rise: Length) -> Exploded:
        scene, units = self.opened.scene, self.opened.units
        if not units:
            return explode(self.contacts, gap, rise)
        moving = self.opened.moving()
        base = frozenset(range(len(scene.pieces))) - moving.keys()
        found = explode(self.contacts, gap, rise, base)
        offsets, lines = list(found.offsets), list(found.lines)
        least = int(gap.mm * scene.ticks.per_mm)
        around = Box.around(scene.solids[i].bounds.shifted(offsets[i]) for i in base)
        placed: list[tuple[Unit, _Own, Box, Corner]] = []
        for unit, own in zip(units, self._apart(gap), strict=True):
            box = Box.around(scene.solids[i].bounds.shifted(own.offsets[i]) for i in unit.pieces)
            placed.append((unit, own, box, self._way(unit, box, around, offsets, least)))
        ways = _kept_apart([box for _, _, box, _ in placed], [way for *_, way in placed], least)
        for (unit, own, box, _), way in zip(placed, ways, strict=True):
            for i in unit.pieces:
                offsets[i] = _sum(own.offsets[i], way)
            lines += [Segment(_sum(one, way), _sum(two, way)) for one, two in own.lines]
            if unit.moves is Moves.DRAWER:
                lines.append(_run(box.shifted(way), around))
        return Exploded(tuple(offsets), tuple(lines))

    def _way(self, unit: Unit, box: Box, around: Box, offsets: Sequence[Corner], least: int) -> Corner:
        """Where a unit goes as a whole: before the carcase, a swung door at its side."""
        solids = self.opened.scene.solids
        bounds = Box.around(solids[i].bounds for i in unit.pieces)
        if unit.moves is Moves.DOOR:
            right = bounds.doubled_centre[0] > around.doubled_centre[0]
            x = around.hi[0] + least - box.lo[0] if right else around.lo[0] - box.lo[0]
            return (x, 0 if right else around.lo[1] - least - box.hi[1], 0)
        near = [
            offsets[pair.second if pair.first in unit.pieces else pair.first]
            for i in unit.pieces
            for pair in self.contacts.of_piece[i]
            if (pair.first in unit.pieces) != (pair.second in unit.pieces)
        ]
        z = sum(offset[2] for offset in near) // len(near) if near else 0
        return (0, around.lo[1] - least - box.hi[1], z)


def _kept_apart(boxes: Sequence[Box], ways: Sequence[Corner], least: int) -> list[Corner]:
    """The ways of units, with those that would stand in each other pushed apart, sideways or up and down."""
    found, stand = list(ways), [box.shifted(way) for box, way in zip(boxes, ways, strict=True)]
    for _ in range(_ROUNDS):
        pushed = False
        for i in range(len(boxes)):
            one = stand[i]
            (low, _, bottom), (high, _, top) = one
            for j in range(i + 1, len(boxes)):
                two = stand[j]
                if two.lo[0] >= high or two.hi[0] <= low or two.lo[2] >= top or two.hi[2] <= bottom:
                    continue  # nearly all, and there are many
                shared = one.overlap(two)
                if shared is None:
                    continue
                pushed = True
                axis = 0 if shared.size[0] <= shared.size[2] else 2
                half = shared.size[axis] // 2 + least // 2 + 1
                sense = 1 if one.doubled_centre[axis] <= two.doubled_centre[axis] else -1
                for k, way in ((i, -sense), (j, sense)):
                    x, z = (way * half, 0) if axis == 0 else (0, way * half)
                    found[k], stand[k] = _sum(found[k], (x, 0, z)), stand[k].shifted((x, 0, z))
                one = stand[i]
                (low, _, bottom), (high, _, top) = one
        if not pushed:
            break
    return found


def _run(box: Box, around: Box) -> Segment:
    """The line along which a drawer goes in, from the middle of its back to the front of the carcase."""
    x, z = (box.doubled_centre[k] // 2 for k in (0, 2))
    return Segment((x, box.hi[1], z), (x, around.lo[1], z))


def _sum(one: Corner, two: Corner) -> Corner:
    return (one[0] + two[0], one[1] + two[1], one[2] + two[2])
