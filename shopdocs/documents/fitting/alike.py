"""What the documents ask of pieces in space again and again: their edges, their twins, the wrong ways they go in.

Answers are worked out when they are first asked for and kept for the other documents.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from shopdocs.core.box import Box
from shopdocs.core.length import Length
from shopdocs.model.joining import Face
from shopdocs.work.scene.in_space import Space
from shopdocs.work.space.arrises import EdgeFinding
from shopdocs.work.space.contacts import Pair
from shopdocs.work.space.placed import PlacedPiece
from shopdocs.work.space.wrong_ways import Fitting, Kind, Likeness, WrongWay

TOWARD = {
    (0, False): "to the left",
    (0, True): "to the right",
    (1, False): "to the front",
    (1, True): "to the back",
    (2, False): "down",
    (2, True): "up",
}


@dataclass(frozen=True, slots=True)
class Other:
    """Pieces of another kind that may be taken for one: what they are to it, and by how much they differ at most."""

    likeness: Likeness
    marks: tuple[str, ...]
    differs: Length


class Alike:
    def __init__(self, space: Space) -> None:
        self.space = space
        self._ways: dict[object, tuple[WrongWay, ...]] = {}
        self._edges: dict[str, tuple[EdgeFinding, ...]] = {}

    @property
    def kinds(self) -> tuple[Kind, ...]:
        return self.space.look_alikes.kinds

    @cached_property
    def kind_of(self) -> Mapping[str, int]:
        """The index of the kind of every piece, by mark."""
        return {mark: k for k, kind in enumerate(self.kinds) for mark in kind.marks}

    @cached_property
    def _others(self) -> Mapping[int, tuple[Other, ...]]:
        found: dict[int, list[Other]] = {}
        for pair in self.space.look_alikes.pairs:
            for mine, theirs in ((pair.first, pair.second), (pair.second, pair.first)):
                marks = tuple(self.in_order(self.kinds[theirs].marks))
                found.setdefault(mine, []).append(Other(pair.likeness, marks, pair.differs))
        order = list(Likeness)
        return {
            kind: tuple(sorted(others, key=lambda o: (order.index(o.likeness), o.marks)))
            for kind, others in found.items()
        }

    def others(self, mark: str) -> tuple[Other, ...]:
        """What may be taken for this piece and is of another kind; mirror images first."""
        kind = self.kind_of.get(mark)
        return () if kind is None else self._others.get(kind, ())

    @cached_property
    def index(self) -> Mapping[str, int]:
        """The place of every piece in the scene, by mark."""
        return {piece.mark: i for i, piece in enumerate(self.space.scene.pieces)}

    def in_order(self, marks: Iterable[str]) -> list[str]:
        """Marks in reading order of the build."""
        return sorted(marks, key=lambda mark: self.index[mark])

    @cached_property
    def fitting(self) -> Fitting:
        return Fitting(self.space.contacts)

    def wrong_ways(self, mark: str) -> tuple[WrongWay, ...]:
        if mark not in self.kind_of:
            return ()
        place = self._surroundings(mark)
        if place not in self._ways:
            self._ways[place] = self.fitting.wrong_ways(mark)
        return self._ways[place]

    def _surroundings(self, mark: str) -> object:
        """The piece and its neighbours as they lie about its corner: where these are alike, so are the wrong ways."""
        fitting, index = self.fitting, self.index[mark]
        shape, body = fitting.shapes[index], fitting.shapes[index].body
        back = (-body.lo[0], -body.lo[1], -body.lo[2])
        near = (p.second if p.first == index else p.first for p in self.space.contacts.of_piece[index])
        return (
            self.space.scene.pieces[index].pose,
            shape.grain,
            frozenset(cell.shifted(back) for cell in (body, *shape.cells)),
            frozenset((kind, Box(lo, hi).shifted(back)) for kind, lo, hi in shape.marks),
            frozenset(cell.shifted(back) for other in near for cell in fitting.solids[other].cells),
        )

    def between(self, one: str, other: str) -> Pair | None:
        """How two pieces meet; None where they do not."""
        i, j = sorted((self.index[one], self.index[other]))
        return next((pair for pair in self.space.contacts.of_piece[i] if (pair.first, pair.second) == (i, j)), None)

    def edges(self, mark: str) -> tuple[EdgeFinding, ...]:
        if mark not in self._edges:
            self._edges[mark] = self.space.edges(mark)
        return self._edges[mark]


FACE_WORDS = {
    Face.FACE: "face side",
    Face.BACK: "back face",
    Face.EDGE: "face edge",
    Face.FAR_EDGE: "far edge",
    Face.A: "end A",
    Face.B: "end B",
}


Shape = tuple[object, ...]


def own_shape(piece: PlacedPiece) -> Shape:
    """What a piece is as one marks it out: its size and stock, and every joint and hole from face side, face edge and
    end A. A handed pair shares it; which hand a piece is, its pose says."""
    return (piece.part, piece.size, piece.material, frozenset(replace(f, joint="") for f in piece.features))
