"""The task as numbered rows with named fields: what the moves of the search read.

Lists of rows for Python; ``machine`` makes arrays with the same fields of them. Type ``t`` has the members
``first_member`` up to but not ``last_member``, a member the ways to lie ``first_way`` up to ``last_way``, a shape its
areas in the same manner. A ``mark`` is a random number: their sum knows a board of the same pieces again.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate, pairwise
from random import Random
from typing import NamedTuple

from msgspec import Struct

from shopdocs.work.layout.task import Task

MARK_BITS = 50  # sums of a few thousand of them stay below 64 bits


class Way(Struct, frozen=True):
    """A way for a piece to lie: size along and across the board, and its code."""

    w: int
    h: int
    code: int


class Member(Struct, frozen=True):
    """A piece of a type."""

    first_way: int
    last_way: int


class Kind(Struct, frozen=True):
    """A type: its area, its members, how its first one lies (``w``, ``h``) and the least room that may do for it."""

    size: int
    first_member: int
    last_member: int
    w: int
    h: int
    slim: int
    low: int
    mark: int


class Code(Struct, frozen=True):
    """Which type the piece of a code is, and whether it stands for its whole type (1) where that is a group."""

    kind: int
    leads: int


class Form(Struct, frozen=True):
    """A shape of board: its price, clear area and stock."""

    price: int
    size: int
    stock: int
    first_area: int
    last_area: int
    mark: int


class Clear(Struct, frozen=True):
    """A clear area of a shape, and how it may be cut (see ``tree``)."""

    w: int
    h: int
    rule: int


class Facts(NamedTuple):
    """All that does not change while a task is searched; ``limits`` are the boards there are of each stock."""

    ways: Sequence[Way]
    members: Sequence[Member]
    kinds: Sequence[Kind]
    codes: Sequence[Code]
    shapes: Sequence[Form]
    areas: Sequence[Clear]
    limits: Sequence[int]


def facts_of(task: Task, rng: Random) -> Facts:
    """The task as rows."""
    pieces = [piece for kind in task.members for piece in kind]
    members = [Member(*span) for span in spans([len(piece.ways) for piece in pieces])]
    codes = [Code(t, 0) for t in task.type_of]
    kinds = []
    for t, (kind, (first, last)) in enumerate(zip(task.members, spans([len(k) for k in task.members]), strict=True)):
        leader = kind[0]
        slim, low = min(w for w, _, _, _, _ in leader.ways), min(h for _, h, _, _, _ in leader.ways)
        w, h = leader.as_it_lies
        kinds.append(Kind(task.size[t], first, last, w, h, slim, low, rng.getrandbits(MARK_BITS)))
        for _, _, _, code, _ in leader.ways:
            codes[code] = Code(t, 1)
    stock_marks = [rng.getrandbits(MARK_BITS) for _ in task.limits]
    shapes = [
        Form(s.price, s.size, s.stock, first, last, stock_marks[s.stock])
        for s, (first, last) in zip(task.shapes, spans([len(s.areas) for s in task.shapes]), strict=True)
    ]
    return Facts(
        [Way(w, h, code) for piece in pieces for w, h, _, code, _ in piece.ways],
        members,
        kinds,
        codes,
        shapes,
        [Clear(area.w, area.h, area.rule) for s in task.shapes for area in s.areas],
        task.limits,
    )


def spans(counts: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Where each of some runs of things begins, and where it ends."""
    return pairwise((0, *accumulate(counts)))
