"""Finds where parts meet: one line of joinery stands for every place where its pieces touch."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from shopdocs.core.box import Box, Ticks, Touch, touch
from shopdocs.core.display import apart_words
from shopdocs.core.length import Length
from shopdocs.model.joining import End
from shopdocs.model.parts import Direction, Part, Piece

MOST_COMPARED = 40_000
_DIRECTIONS = (Direction.X, Direction.Y, Direction.Z)


class Bodies:
    """The bodies of all pieces that have a place, in ticks."""

    def __init__(self, parts: Iterable[Part]) -> None:
        placed = [(part, piece) for part in parts for piece in part.pieces if piece.place is not None]
        lengths = [length for part, piece in placed for length in _lengths(part, piece)]
        self.ticks = Ticks.of(lengths)
        self.parts: Mapping[str, Part] = {piece.mark: part for part, piece in placed}
        self.pieces: Mapping[str, Piece] = {piece.mark: piece for _, piece in placed}
        self.boxes: Mapping[str, Box] = {piece.mark: self._box(part, piece) for part, piece in placed}

    def _box(self, part: Part, piece: Piece) -> Box:
        assert piece.place is not None
        low, far = piece.place.corner, [a + e for a, e in zip(piece.place.corner, _extent(part), strict=True)]
        return Box.between([self.ticks.count(value) for value in low], [self.ticks.count(value) for value in far])

    def touch(self, one: str, other: str) -> Touch | None:
        """How two pieces touch face to face; None where they do not, or one has no place."""
        if one not in self.boxes or other not in self.boxes:
            return None
        return touch(self.boxes[one], self.boxes[other])

    def touching(self, entering: list[str], receiving: list[str]) -> list[tuple[str, str]]:
        """Every pair that touches or crosses, each once, entering pieces in their order, found by a sweep along x."""
        order = {mark: index for index, mark in enumerate(entering)}
        waiting = sorted((m for m in receiving if m in self.boxes), key=lambda m: self.boxes[m].lo[0])
        found: list[tuple[int, str, str]] = []
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

    def _meet(self, one: str, other: str) -> bool:
        if one == other:
            return False
        return self.touch(one, other) is not None or self.boxes[one].overlap(self.boxes[other]) is not None

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


def _lengths(part: Part, piece: Piece) -> list[Length]:
    assert piece.place is not None
    return [*piece.place.corner, part.length, part.width, part.thickness]
