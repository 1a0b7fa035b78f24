"""What the documents ask of pieces in space again and again: their edges, their twins, the wrong ways they go in.

Answers are worked out when they are first asked for and kept for the other documents.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from itertools import count, product

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.box import Box, Corner
from shopdocs.core.length import Length
from shopdocs.core.memory import let_go
from shopdocs.work.order.mistakes import Meets, Mistake, Swap, meets_of, mistakes_of, swap_of
from shopdocs.work.order.stages import StageWork
from shopdocs.work.order.wholes import WholeMistake, whole_mistakes
from shopdocs.work.scene.in_space import Space
from shopdocs.work.space.arrises import EdgeFinding
from shopdocs.work.space.contacts import Pair
from shopdocs.work.space.likeness import Kind, Likeness
from shopdocs.work.space.placed import PlacedPiece
from shopdocs.work.space.turning import bodies_about_corner
from shopdocs.work.space.wrong_ways import Fitting

LAST = 10**6  # later than any stage
TOWARD = {
    (0, False): "to the left",
    (0, True): "to the right",
    (1, False): "to the front",
    (1, True): "to the rear",
    (2, False): "down",
    (2, True): "up",
}


class Other(Struct, frozen=True):
    """Pieces of another kind that may be taken for a piece: in which way, by how much they differ at most, and how far
    the mistake would go; `swap` is None for pieces of nearly the same size, which nobody can try out here."""

    likeness: Likeness
    marks: tuple[str, ...]
    differs: Length
    swap: Swap | None = None


class Alike:
    """Answers about the pieces of a build in space, given the stages of its glue-up. Nothing is worked out twice."""

    def __init__(self, space: Space, stages: Sequence[StageWork] = ()) -> None:
        self.space = space
        self.stages = stages
        self._mistakes: dict[int, tuple[Mistake, ...]] = {}
        self._meets: dict[str, Meets] = {}
        self._places: dict[str, int] = {}
        self._surroundings: dict[object, int] = {}
        self._numbers = count()

    @property
    def kinds(self) -> tuple[Kind, ...]:
        """Pieces that are the same in every way share a kind."""
        return self.space.look_alikes.kinds

    @cached_property
    def kind_of(self) -> Mapping[str, int]:
        """The index of the kind of every piece, by mark."""
        return {mark: k for k, kind in enumerate(self.kinds) for mark in kind.marks}

    @cached_property
    def _others(self) -> Mapping[int, tuple[Other, ...]]:
        found: dict[int, list[Other]] = {}
        for pair in self.space.look_alikes.pairs:
            swap = None
            if pair.likeness is not Likeness.NEAR_SIZE:
                swap = self._swap_of_kinds(self.kinds[pair.first], self.kinds[pair.second])
                if swap is None:
                    continue  # the wrong one does not even go in: the dry fit tells
            for mine, theirs in ((pair.first, pair.second), (pair.second, pair.first)):
                marks = tuple(self.in_order(self.kinds[theirs].marks))
                found.setdefault(mine, []).append(Other(pair.likeness, marks, pair.differs, swap))
        order = list(Likeness)
        return {
            kind: tuple(sorted(others, key=lambda o: (order.index(o.likeness), o.marks)))
            for kind, others in found.items()
        }

    def _swap_of_kinds(self, first: Kind, second: Kind) -> Swap | None:
        """A piece of one kind and a piece of the other that change places, of all such the two that go farthest; None
        where the dry fit of their stage stops every one."""
        to_second = self._into_places(first.marks[0], second)
        to_first = self._into_places(second.marks[0], first)
        best: Swap | None = None
        for one, other in product(to_second, to_first):
            swap = _exchange(one, other)
            if swap is not None and (best is None or _goes(swap) > _goes(best)):
                best = swap
            if best is not None and best.found is None:
                break
        return best

    def _into_places(self, mark: str, kind: Kind) -> list[tuple[int, Swap | None]]:
        """What becomes of a piece in the places of another kind, each with its stage; places among what is alike are
        one place, and are tried once."""
        places: dict[int, str] = {}
        for place in kind.marks:
            places.setdefault(self._place(place), place)
        return [(min(self.meets(p).numbers[:1], default=0), self.swap(mark, p)) for p in places.values()]

    def others(self, mark: str) -> tuple[Other, ...]:
        """What may be taken for this piece and is of another kind; mirror images first."""
        kind = self.kind_of.get(mark)
        return () if kind is None else self._others.get(kind, ())

    def work_out(self) -> None:
        """Work out now what sheets of the whole build ask for, and those of single pieces too, so that a copy of this
        process need not do it again. Where nothing is glued up, edges are asked for by the latter alone."""
        for mark in self.kind_of:
            self.mistakes(mark)
            self.others(mark)
            if self.stages:
                self.edges(mark)
        if self.stages:
            self.wholes  # noqa: B018 is kept
        self._let_go_of_surroundings()

    def let_go(self) -> None:
        """Let go of what can be worked out again, the build in space with it; answers stay."""
        self.space.let_go()
        let_go(self)
        self._let_go_of_surroundings()

    def _let_go_of_surroundings(self) -> None:
        """By these places get their numbers, and every piece has one by and by."""
        self._surroundings.clear()
        vars(self).pop("_wood", None)

    @cached_property
    def index(self) -> Mapping[str, int]:
        """The place of every piece in the scene, by mark."""
        return {piece.mark: i for i, piece in enumerate(self.space.scene.pieces)}

    def in_order(self, marks: Iterable[str]) -> list[str]:
        """Marks in reading order of the build."""
        return sorted(marks, key=lambda mark: self.index[mark])

    @property
    def fitting(self) -> Fitting:
        """Tries whether a piece goes in some other way than the right one."""
        return self.space.fitting

    @cached_property
    def wholes(self) -> tuple[WholeMistake, ...]:
        """The wrong ways in which what is glued up before goes in at a later stage."""
        return whole_mistakes(self.stages, self.fitting)

    def meets(self, mark: str) -> Meets:
        """What a piece meets, stage by stage."""
        if mark not in self._meets:
            self._meets[mark] = meets_of(mark, self.stages, self.index)
        return self._meets[mark]

    def mistakes(self, mark: str) -> tuple[Mistake, ...]:
        """The wrong ways in which a piece goes in at its own stage."""
        if mark not in self.kind_of:
            return ()
        place = self._place(mark)
        if place not in self._mistakes:
            self._mistakes[place] = mistakes_of(mark, self.meets(mark), self.fitting)
        return self._mistakes[place]

    def swap(self, mark: str, place: str) -> Swap | None:
        """Whether a piece goes in where another belongs."""
        return swap_of(mark, place, self.meets(place), self.fitting)

    def _place(self, mark: str) -> int:
        """A number for the place of a piece; where pieces and what is about them are alike, so are the numbers."""
        if mark not in self._places:
            self._places[mark] = self._surroundings.setdefault(self._about(mark), next(self._numbers))
        return self._places[mark]

    def _about(self, mark: str) -> object:
        """The piece, what it meets at which stage, and how all of it lies about its corner: where these are alike, so
        are the mistakes."""
        fitting, index = self.fitting, self.index[mark]
        frame = fitting.frames[index]
        shape, body = fitting.shapes[index], fitting.shapes[index].body
        back = (-body.lo[0], -body.lo[1], -body.lo[2])
        near = [p.second if p.first == index else p.first for p in self.space.contacts.of_piece[index]]
        meets, pieces = self.meets(mark), self.space.scene.pieces
        return (
            self.space.scene.pieces[index].pose,
            frame.turn if frame is not None else None,
            self._wood[index],
            shape.grain,
            frozenset(cell.shifted(back) for cell in (body, *shape.cells)),
            frozenset((kind, Box(lo, hi).shifted(back)) for kind, lo, hi in shape.marks),
            frozenset((self._wood[other], _moved(fitting.solids[other].body.lo, back)) for other in near),
            meets.numbers,
            tuple(
                frozenset(fitting.solids[i].body.shifted(back) for i in near if pieces[i].mark in group)
                for group in meets.groups
            ),
        )

    @cached_property
    def _wood(self) -> list[int]:
        """A number for every piece; those whose wood is the same about the low corner of the body share it."""
        numbers: dict[object, int] = {}
        found = []
        for solid in self.fitting.solids:
            x, y, z = solid.body.lo
            cells = frozenset(cell.shifted((-x, -y, -z)) for cell in solid.cells)
            found.append(numbers.setdefault((cells, bodies_about_corner(solid)), len(numbers)))
        return found

    def between(self, one: str, other: str) -> Pair | None:
        """How two pieces meet; None where they do not."""
        i, j = sorted((self.index[one], self.index[other]))
        return next((pair for pair in self.space.contacts.of_piece[i] if (pair.first, pair.second) == (i, j)), None)

    def edges(self, mark: str) -> tuple[EdgeFinding, ...]:
        """What is done to the twelve arrises of a piece. Raises KeyError for a mark without a place."""
        return self.space.edges(mark)


def _moved(spot: Corner, by: Corner) -> Corner:
    return (spot[0] + by[0], spot[1] + by[1], spot[2] + by[2])


def _exchange(*into: tuple[int, Swap | None]) -> Swap | None:
    """Two pieces in each other's places, the stage of each place with what becomes of the wrong piece there: found by
    whichever of the two is stopped first, since who has put in one finds the other left over. None where that is no
    later than the glue of the first: its dry fit tells."""
    swaps = [swap for _, swap in into if swap is not None]
    if not swaps:
        return None
    first = min(swaps, key=lambda swap: swap.stage or LAST)
    found = min(_goes(swap) if swap is not None else stage or LAST for stage, swap in into)
    if found <= (first.stage or LAST) and len(swaps) < len(into):
        return None
    return replace(first, found=None if found == math.inf else int(found) % LAST)


def _goes(swap: Swap) -> float:
    """How far, as the number of the stage that finds it."""
    return math.inf if swap.found is None else swap.found or LAST


Shape = tuple[object, ...]


def own_shape(piece: PlacedPiece) -> Shape:
    """What a piece is as one marks it out: its size and stock, and every joint and hole from face side, face edge and
    end A. A handed pair shares it; which hand a piece is, its pose says."""
    features = frozenset(replace(f, joint="") for f in piece.features)
    return (piece.part, piece.size, piece.material, features, piece.turned)
