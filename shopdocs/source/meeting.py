"""Finds where parts meet: one line of joinery stands for every place where its pieces touch."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from msgspec.structs import replace

from shopdocs.core.box import AXES, Box, Ticks, Touch, touch
from shopdocs.core.display import apart_words
from shopdocs.core.length import Length
from shopdocs.core.turn import UPRIGHT, Vector, cross, dot, unit
from shopdocs.model.joining import End
from shopdocs.model.parts import Direction, Part, Piece, Place
from shopdocs.source.leaning import face_at
from shopdocs.source.leaning_ends import against

MOST_COMPARED = 40_000
LOOSE = 5  # millimetres: how far beside its place a leaning face may be taken, which is worked out in full later
_DIRECTIONS = (Direction.X, Direction.Y, Direction.Z)


class Bodies:
    """The bodies of all pieces that have a place, in ticks."""

    def __init__(self, parts: Iterable[Part]) -> None:
        placed = [(part, piece) for part in parts for piece in part.pieces if piece.place is not None]
        self._leans = {
            piece.mark: piece.place.lean
            for _, piece in placed
            if piece.place is not None and piece.place.lean is not None
        }
        self._tilts = {
            piece.mark: piece.place.tilt
            for _, piece in placed
            if piece.place is not None and piece.place.tilt is not None
        }
        lengths = [length for part, piece in placed for length in _lengths(part, piece)]
        self.ticks = Ticks.of(lengths)
        self.parts: Mapping[str, Part] = {piece.mark: part for part, piece in placed}
        self.pieces: Mapping[str, Piece] = {piece.mark: piece for _, piece in placed}
        self.boxes: Mapping[str, Box] = {piece.mark: self._box(part, piece) for part, piece in placed}
        self._untipped = {
            piece.mark: self._level_box(part, piece) for part, piece in placed if piece.mark in self._tilts
        }

    def _box(self, part: Part, piece: Piece) -> Box:
        assert piece.place is not None
        low, far = _corners(part, piece.place)
        return Box.between([self.ticks.count(value) for value in low], [self.ticks.count(value) for value in far])

    def _level_box(self, part: Part, piece: Piece) -> Box:
        """Where a tipped piece lies before it is tipped."""
        assert piece.place is not None
        return self._box(part, replace(piece, place=replace(piece.place, tilt=None)))

    def askew(self, *marks: str) -> bool:
        """Whether one of these pieces leans or is tipped."""
        return any(mark in self._leans or mark in self._tilts for mark in marks)

    def touch(self, one: str, other: str) -> Touch | None:
        """How two pieces touch face to face; None where they do not, or one has no place."""
        if one not in self.boxes or other not in self.boxes:
            return None
        if one in self._leans or other in self._leans:
            return self._where_it_leans(one, other)
        if one in self._tilts or other in self._tilts:
            return self._where_it_is_tipped(one, other)
        return touch(self.boxes[one], self.boxes[other])

    def _where_it_is_tipped(self, one: str, other: str) -> Touch | None:
        """How two pieces touch of which one is tipped: with a face square to the line that it is tipped about, unless
        both are tipped together."""
        tilts = [self._tilts.get(mark) for mark in (one, other)]
        if tilts[0] == tilts[1]:
            return touch(self._untipped[one], self._untipped[other])
        found = touch(self.boxes[one], self.boxes[other])
        tilt = tilts[0] or tilts[1]
        assert tilt is not None
        return found if found is not None and found.axis == tilt.axis else None

    def _where_it_leans(self, one: str, other: str) -> Touch | None:
        """How two pieces touch of which one leans: taken where it stands at the middle height of the other, a little
        apart or one in the other by as much as a slope may bring about."""
        first, second = self._standing(one, other), self._standing(other, one)
        if first is None or second is None:
            return None
        reach = LOOSE * self.ticks.per_mm
        for axis in AXES:
            beside = [k for k in AXES if k != axis]
            if not all(first.lo[k] < second.hi[k] and second.lo[k] < first.hi[k] for k in beside):
                continue
            gap, back = second.lo[axis] - first.hi[axis], first.lo[axis] - second.hi[axis]
            if abs(gap) <= reach or abs(back) <= reach:
                high = abs(gap) <= reach
                return Touch(axis, high, first.face(axis, high))
        return None

    def _standing(self, mark: str, beside: str) -> Box | None:
        """The box of a piece; of one that leans where it stands beside another that is plumb, None where it does not
        reach so high or so low."""
        lean, box, other = self._leans.get(mark), self.boxes[mark], self.boxes[beside]
        if lean is None or beside in self._leans:
            return box
        low, high = max(box.lo[2], other.lo[2]), min(box.hi[2], other.hi[2])
        if low > high:
            return None
        height = self.ticks.length((low + high) // 2)
        spans = []
        for k, direction in enumerate((Direction.X, Direction.Y)):
            half = self.ticks.length(box.size[k]) / 2
            ends = [face_at(lean, direction, half, side, height) for side in (False, True)]
            spans.append([round(end.mm * self.ticks.per_mm) for end in ends])
        return Box((spans[0][0], spans[1][0], low), (spans[0][1], spans[1][1], high))

    def touching(self, entering: list[str], receiving: list[str]) -> list[tuple[str, str]]:
        """Every pair that touches or crosses, each once, entering pieces in their order, found by a sweep along x."""
        order = {mark: index for index, mark in enumerate(entering)}
        waiting = sorted((m for m in receiving if m in self.boxes), key=lambda m: self.boxes[m].lo[0])
        found: list[tuple[int, str, str]] = []
        if any(mark in self._leans for mark in (*entering, *receiving)):
            return self._touching_slow(entering, receiving)
        open_now: list[str] = []
        at = 0
        for mark in sorted((m for m in entering if m in self.boxes), key=lambda m: self.boxes[m].lo[0]):
            box = self.boxes[mark]
            while at < len(waiting) and self.boxes[waiting[at]].lo[0] <= box.lo[0]:
                open_now.append(waiting[at])
                at += 1
            open_now = [other for other in open_now if self.boxes[other].hi[0] >= box.lo[0]]
            ahead = at
            near = list(open_now)
            while ahead < len(waiting) and self.boxes[waiting[ahead]].lo[0] <= box.hi[0]:
                near.append(waiting[ahead])
                ahead += 1
            found += [(order[mark], mark, other) for other in near if self._meet(mark, other)]
        rank = {mark: index for index, mark in enumerate(receiving)}
        found.sort(key=lambda pair: (pair[0], rank[pair[2]]))
        pairs: dict[frozenset[str], tuple[str, str]] = {}
        for _, one, other in found:
            pairs.setdefault(frozenset((one, other)), (one, other))
        return list(pairs.values())

    def _touching_slow(self, entering: list[str], receiving: list[str]) -> list[tuple[str, str]]:
        """The same where some lean: each with each."""
        pairs: dict[frozenset[str], tuple[str, str]] = {}
        for one in entering:
            for other in receiving:
                if one in self.boxes and other in self.boxes and self._meet(one, other):
                    pairs.setdefault(frozenset((one, other)), (one, other))
        return list(pairs.values())

    def _meet(self, one: str, other: str) -> bool:
        if one == other:
            return False
        if any(mark in self._leans or mark in self._tilts for mark in (one, other)):
            return self.touch(one, other) is not None or self._meet_turned(one, other)
        return self.touch(one, other) is not None or self.boxes[one].overlap(self.boxes[other]) is not None

    def _meet_turned(self, one: str, other: str) -> bool:
        """Whether two pieces of which one leans run through each other by more than a joint is loose, or lie on each
        other where both are askew: how far the planes along their sides part them (the separating axis theorem)."""
        if one not in self.boxes or other not in self.boxes:
            return False
        bodies = [self._turned(mark) for mark in (one, other)]
        apart = [b - a for a, b in zip(bodies[0][0], bodies[1][0], strict=True)]

        def gap(way: Vector) -> float:
            reach = sum(abs(dot(way, axis)) * half for _, axes in bodies for axis, half in axes)
            return abs(dot(way, apart)) - reach

        faces = [way for _, axes in bodies for way, _ in axes]
        edges = [cross(first, second) for first, _ in bodies[0][1] for second, _ in bodies[1][1]]
        gaps = [(gap(way), way) for way in (*faces, *(unit(edge) for edge in edges if math.hypot(*edge) > 1e-6))]
        widest, parting = max(gaps)
        if widest < -LOOSE:
            return True
        if widest > LOOSE or not all(mark in self._leans or mark in self._tilts for mark in (one, other)):
            return False
        return all(found < -LOOSE or abs(dot(way, parting)) > 0.99 for found, way in gaps[: len(faces)])

    def _turned(self, mark: str) -> tuple[Vector, list[tuple[Vector, float]]]:
        """The middle of a piece, and the three ways its sides look with half its size along each, in millimetres."""
        part, place = self.parts[mark], self.pieces[mark].place
        assert place is not None
        half = [value.float_mm() / 2 for value in _extent(part)]
        spot = [value.float_mm() + h for value, h in zip(place.corner, half, strict=True)]
        turn, about = UPRIGHT, spot
        if place.lean is not None:
            turn, about = place.lean.turn, [value.float_mm() for value in place.lean.top]
            half[2] = place.lean.height.float_mm() / turn.z[2] / 2
            spot = [about[0], about[1], about[2] - half[2]]
        elif place.tilt is not None:
            turn, about = place.tilt.turn, [value.float_mm() for value in place.tilt.about]
        x, y, z = (
            a + b for a, b in zip(about, turn.of([v - a for v, a in zip(spot, about, strict=True)]), strict=True)
        )
        return (x, y, z), list(zip((turn.x, turn.y, turn.z), half, strict=True))

    def nearest(self, entering: list[str], receiving: list[str]) -> str:
        """Which pieces come nearest and how far apart they are, in words; nothing where there are very many."""
        if len(entering) * len(receiving) > MOST_COMPARED:
            return ""
        pairs = ((self.boxes[a].gaps(self.boxes[b]), a, b) for a in entering for b in receiving if a != b)
        found = min(pairs, key=lambda pair: sum(gap * gap for gap in pair[0]), default=None)
        if found is None or not any(found[0]):
            return ""
        gaps = apart_words([self.ticks.length(gap) for gap in found[0]])
        return f": the nearest, '{found[1]}' and '{found[2]}', are {gaps}"

    def end_of(self, entering: str, receiving: str) -> End | None:
        """The end by which a piece meets another; None where it meets it with a side, or a place is missing."""
        if entering in self._leans and receiving in self.boxes:
            held = [(self.parts[mark], self.pieces[mark]) for mark in (entering, receiving)]
            met, own = against(*held[0], *held[1]), self.pieces[entering].place
            if met is not None and own is not None:
                return met.end(own)
        found = self.touch(entering, receiving)
        if found is None:
            return None
        runs, place = self.parts[entering].runs, self.pieces[entering].place
        if runs is None or place is None or _DIRECTIONS[found.axis] is not runs.length:
            return None
        return End.B if found.high == place.end_a_low else End.A

    def end_in(self, entering: str, receiving: str) -> End | None:
        """The end by which a piece runs into the space of another; None where neither or both lie in it."""
        runs, place = self.parts[entering].runs, self.pieces[entering].place
        mine, shared = self.boxes[entering], self.boxes[entering].overlap(self.boxes[receiving])
        if runs is None or place is None or shared is None:
            return None
        axis = _DIRECTIONS.index(runs.length)
        low, high = shared.lo[axis] == mine.lo[axis], shared.hi[axis] == mine.hi[axis]
        if low == high:
            return None
        return End.B if high == place.end_a_low else End.A


def _extent(part: Part) -> list[Length]:
    assert part.runs is not None
    by_direction = {part.runs.length: part.length, part.runs.width: part.width, part.runs.thickness: part.thickness}
    return [by_direction[direction] for direction in _DIRECTIONS]


def _corners(part: Part, place: Place) -> tuple[Sequence[Length], Sequence[Length]]:
    """The low and the far corner of the box round a piece; of one that leans as it would stand plumb."""
    low, far = place.corner, [a + e for a, e in zip(place.corner, _extent(part), strict=True)]
    if place.lean is not None:
        far[2] = place.lean.top[2]
    return place.tilt.box(low, far) if place.tilt is not None else (low, far)


def _lengths(part: Part, piece: Piece) -> list[Length]:
    assert piece.place is not None
    also = [*piece.place.lean.top] if piece.place.lean is not None else []
    if piece.place.tilt is not None:
        also += [value for corner in _corners(part, piece.place) for value in corner]
    return [*piece.place.corner, part.length, part.width, part.thickness, *also]
