"""The boards met in a search, for set covers and bounds to choose from.

A long search meets many, so a board may be kept as the bytes of its signs, from which its tree is made again when
it is wanted.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Sequence

from shopdocs.work.layout.packing import types_in
from shopdocs.work.layout.task import Task
from shopdocs.work.layout.tree import AREAS, EMPTY, LEAF, NOTHING, ROW, STACK, Node, codes
from shopdocs.work.layout.tuning import POOL_MOST

SIGN = "i"


class Pool:
    """Boards by their key, the multiset of types and stock (see ``Task``): the first of each, about POOL_MOST."""

    def __init__(self, task: Task) -> None:
        self.task = task
        self.keys: list[int] = []
        self.shapes: list[int] = []
        self.grown: list[Node | bytes] = []
        self.place: dict[int, int] = {}
        self.leaves: list[Node] = [(0, 0, LEAF, code, ()) for code in range(len(task.type_of))]
        for leaf in (leaf for kind in task.members for piece in kind for leaf in piece.ways):
            _, _, _, code, _ = leaf
            self.leaves[code] = leaf

    def __len__(self) -> int:
        return len(self.keys)

    def __contains__(self, key: int) -> bool:
        return key in self.place

    @property
    def full(self) -> bool:
        """Whether no more boards should come in from a search."""
        return len(self.keys) >= POOL_MOST

    def add(self, key: int, shape: int, tree: Node | bytes) -> None:
        """Keep a board, as its tree or as the bytes of its signs, unless one with the same pieces is known."""
        if key not in self.place:
            self.place[key] = len(self.keys)
            self.keys.append(key)
            self.shapes.append(shape)
            self.grown.append(tree)

    def price(self, key: int) -> int:
        """The price of a board."""
        return self.task.shapes[self.shapes[self.place[key]]].price

    def shape(self, key: int) -> int:
        """The shape of a board."""
        return self.shapes[self.place[key]]

    def tree(self, key: int) -> Node:
        """The tree of a board."""
        kept = self.grown[self.place[key]]
        return self.tree_of(array(SIGN, kept)) if isinstance(kept, bytes) else kept

    def codes(self, key: int) -> Sequence[int]:
        """The codes of the pieces on a board."""
        kept = self.grown[self.place[key]]
        return [sign for sign in array(SIGN, kept) if sign >= 0] if isinstance(kept, bytes) else codes(kept)

    def types(self, key: int) -> list[int]:
        """The types on a board, one entry for each unit."""
        return types_in(self.task, self.codes(key))

    def tree_of(self, signs: Sequence[int]) -> Node:
        """The tree written as signs, see ``slots.write_signs``."""
        at = 0

        def read() -> Node:
            nonlocal at
            sign = signs[at]
            at += 1
            if sign >= 0:
                return self.leaves[sign]
            kind, end = -sign % 8, at - 1 + -sign // 8
            if kind == EMPTY:
                return NOTHING
            kids = []
            along = across = 0
            while at < end:
                kid = read()
                kids.append(kid)
                w, h, _, _, _ = kid
                along += w if kind == ROW else h
                across = max(across, h if kind == ROW else w)
            if kind == AREAS:
                return (0, 0, AREAS, 0, tuple(kids))
            return (along, across, ROW, 0, tuple(kids)) if kind == ROW else (across, along, STACK, 0, tuple(kids))

        return read()


def key_of(task: Task, shape: int, pieces: Iterable[int]) -> int:
    """The key of a board with these types."""
    return task.base[task.shapes[shape].stock] + sum([task.unit[t] for t in pieces])
