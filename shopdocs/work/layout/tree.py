"""Boards as immutable trees of rows and stacks that keep only required sizes.

A node is a plain tuple ``(w, h, kind, code, kids)``; ``w`` runs along the board's length (x), ``h`` across it (y):

* ``LEAF``: the piece with this code; no kids;
* ``ROW``: kids side by side along x, parted by crosscuts; w is their sum, h their maximum;
* ``STACK``: kids one above another along y, parted by rips; h is their sum, w their maximum;
* ``AREAS``: only as a root, one kid for each clear area of a board with defects;
* ``EMPTY``: no pieces, as a root or in ``AREAS`` alone; there is one such node, ``NOTHING``.

A row never holds a row, a stack never a stack. Because a node holds what it needs and not where it lies, spare
room belongs to no place until the cuts are drawn: it may still be used beside any kid. Every tree can be sawn
with through cuts by construction.

An *opening* ``(w, h, path, mode)`` is the largest piece that may be put beside the node at ``path``
(mode ``ROW`` or ``STACK``; 0 for an empty area).

Nodes and openings are plain tuples because most of a search's time goes into making them, and a tuple with names
takes seven times as long to make. So they are taken apart where they are read, never read by number.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeAlias

from msgspec import Struct

Node: TypeAlias = "tuple[int, int, int, int, tuple[Node, ...]]"
Path = tuple[int, ...]
Opening = tuple[int, int, Path, int]

LEAF, ROW, STACK, AREAS, EMPTY = 0, 1, 2, 3, 4
ANY, CROSSCUT_THEN_RIP, RIP_ONLY = 0, 1, 2

NOTHING: Node = (0, 0, EMPTY, 0, ())


class Area(Struct, frozen=True, order=True):
    """A clear area of a board: its lower left corner, its size with the kerf beside it, and how it may be cut."""

    x: int
    y: int
    w: int
    h: int
    rule: int


def openings_of(tree: Node, areas: Sequence[Area], least_w: int, least_h: int) -> list[Opening]:
    """All openings at least ``least_w`` by ``least_h``."""
    out: list[Opening] = []
    if len(areas) > 1:
        for i, (area, kid) in enumerate(zip(areas, _areas_of(tree, len(areas)), strict=True)):
            _area_openings(area, kid, (i,), least_w, least_h, out)
        return out
    (area,) = areas
    if tree is not NOTHING and area.rule != ANY:  # most boards; a call the less takes 2 % off the rounds
        _board_openings(tree, area.w, area.h, area.rule, (), least_w, least_h, out)
    elif tree is not NOTHING:
        _free_openings(tree, area.w, area.h, 0, (), least_w, least_h, out)
    else:
        _area_openings(area, tree, (), least_w, least_h, out)
    return out


def _areas_of(tree: Node, many: int) -> tuple[Node, ...]:
    """What lies in each of the clear areas of a board that has more than one."""
    _, _, _, _, kids = tree
    return kids or (NOTHING,) * many


def _area_openings(area: Area, node: Node, path: Path, least_w: int, least_h: int, out: list[Opening]) -> None:
    if node is NOTHING:
        if area.w >= least_w and area.h >= least_h:
            out.append((area.w, area.h, path, 0))
    elif area.rule == ANY:
        _free_openings(node, area.w, area.h, 0, path, least_w, least_h, out)
    else:
        _board_openings(node, area.w, area.h, area.rule, path, least_w, least_h, out)


def _free_openings(
    node: Node, aw: int, ah: int, parent: int, path: Path, least_w: int, least_h: int, out: list[Opening]
) -> None:
    w, h, kind, _, kids = node
    room_w = aw - w
    room_h = ah - h
    if parent != ROW and room_w >= least_w:
        out.append((room_w, ah, path, ROW))
    if parent != STACK and room_h >= least_h:
        out.append((aw, room_h, path, STACK))
    i = 0
    if kind == ROW:
        for kid in kids:
            w, h, kind, _, _ = kid
            if kind:
                _free_openings(kid, w + room_w, ah, ROW, (*path, i), least_w, least_h, out)
            elif ah - h >= least_h and w + room_w >= least_w:
                out.append((w + room_w, ah - h, (*path, i), STACK))
            i += 1
    elif kind == STACK:
        for kid in kids:
            w, h, kind, _, _ = kid
            if kind:
                _free_openings(kid, aw, h + room_h, STACK, (*path, i), least_w, least_h, out)
            elif aw - w >= least_w and h + room_h >= least_h:
                out.append((aw - w, h + room_h, (*path, i), ROW))
            i += 1


def _board_openings(
    node: Node, aw: int, ah: int, rule: int, path: Path, least_w: int, least_h: int, out: list[Opening]
) -> None:
    """Crosscut to rough length, then rip: a row of stacks and nothing deeper; RIP_ONLY is one stack."""
    w, h, kind, _, kids = node
    room_w = aw - w
    if rule == CROSSCUT_THEN_RIP and room_w >= least_w:
        out.append((room_w, ah, path, ROW))
    if kind != ROW:
        if ah - h >= least_h:
            out.append((aw, ah - h, path, STACK))
        return
    for i, (w, h, _, _, _) in enumerate(kids):
        if ah - h >= least_h:
            out.append((w + room_w, ah - h, (*path, i), STACK))


def put(tree: Node, path: Path, mode: int, leaf: Node, areas: int = 1) -> Node:
    """The tree with ``leaf`` beside the node at ``path``; ``areas`` is the number of areas of an empty board."""
    if mode == 0:
        if not path:
            return leaf
        (i,) = path
        kids = _areas_of(tree, areas)
        return (0, 0, AREAS, 0, (*kids[:i], leaf, *kids[i + 1 :]))
    return _put(tree, path, 0, mode, leaf)


def _put(node: Node, path: Path, depth: int, mode: int, leaf: Node) -> Node:
    w, h, kind, _, kids = node
    if depth == len(path):
        new_w, new_h, _, _, _ = leaf
        kids = (*kids, leaf) if kind == mode else (node, leaf)
        if mode == ROW:
            return (w + new_w, h if h > new_h else new_h, ROW, 0, kids)
        return (w if w > new_w else new_w, h + new_h, STACK, 0, kids)
    i = path[depth]
    old = kids[i]
    new = _put(old, path, depth + 1, mode, leaf)
    kids = (*kids[:i], new, *kids[i + 1 :])
    old_w, old_h, _, _, _ = old
    new_w, new_h, _, _, _ = new
    if kind == ROW:
        return (w - old_w + new_w, h if h > new_h else new_h, ROW, 0, kids)
    if kind == STACK:
        return (w if w > new_w else new_w, h - old_h + new_h, STACK, 0, kids)
    return (0, 0, AREAS, 0, kids)


def group(kind: int, kids: list[Node]) -> Node:
    """A row or stack of ``kids`` in normal form: none is NOTHING, one is itself, same kinds are merged."""
    if not kids:
        return NOTHING
    if len(kids) == 1:
        (only,) = kids
        return only
    flat: list[Node] = []
    along = across = 0
    for kid in kids:
        w, h, of, _, inner = kid
        if kind == ROW:
            along += w
            if h > across:
                across = h
        else:
            along += h
            if w > across:
                across = w
        if of == kind:
            flat.extend(inner)
        else:
            flat.append(kid)
    return (along, across, ROW, 0, tuple(flat)) if kind == ROW else (across, along, STACK, 0, tuple(flat))


def parted(kids: Sequence[Node]) -> Node:
    """The clear areas of a board as a tree; NOTHING where all are empty."""
    return (0, 0, AREAS, 0, tuple(kids)) if any([kid is not NOTHING for kid in kids]) else NOTHING


def thin(node: Node, share: float, draw: Callable[[], float], removed: list[int]) -> Node:
    """The tree without a random ``share`` of its branches; the codes taken out are appended to ``removed``."""
    if node is NOTHING:
        return NOTHING
    _, _, kind, _, kids = node
    if kind != AREAS and draw() < share:
        removed.extend(codes(node))
        return NOTHING
    if kind == LEAF:
        return node
    if kind == AREAS:
        return parted([thin(part, share, draw, removed) for part in kids])
    left: list[Node] = []
    for kid in kids:
        _, _, inner, code, _ = kid
        if inner:
            rest = thin(kid, share, draw, removed)
            if rest is not NOTHING:
                left.append(rest)
        elif draw() < share:
            removed.append(code)
        else:
            left.append(kid)
    return group(kind, left)


Sized = tuple[int, "tuple[Sized, ...]"]  # pieces in all, and in each branch
ONE: Sized = (1, ())


def carve(node: Node, many: int, draw: Callable[[], float], removed: list[int]) -> Node:
    """The tree without about ``many`` leaves that share one stretch: a branch, or some branches of one group.

    The order within a group is free, so whatever leaves a group leaves one opening. The codes taken out are
    appended to ``removed``.
    """
    return _carve(node, _sized(node), many, draw, removed)


def _sized(node: Node) -> Sized:
    """How many pieces lie in the tree and in each of its branches."""
    _, _, kind, _, kids = node
    if kind == LEAF:
        return ONE
    parts = []
    total = 0
    for kid in kids:
        _, _, kind, _, _ = kid
        part = _sized(kid) if kind else ONE
        many, _ = part
        total += many
        parts.append(part)
    return (total, tuple(parts))


def _carve(node: Node, sized: Sized, many: int, draw: Callable[[], float], removed: list[int]) -> Node:
    total, parts = sized
    _, _, kind, _, body = node
    if node is NOTHING:
        return NOTHING
    if total <= many and kind != AREAS:
        removed.extend(codes(node))
        return NOTHING
    counts = [n for n, _ in parts]
    at = draw() * total
    i = 0
    while at >= counts[i] and i < len(counts) - 1:
        at -= counts[i]
        i += 1
    kids = list(body)
    if kind == AREAS:
        kids[i] = _carve(kids[i], parts[i], many, draw, removed)
        return parted(kids)
    if counts[i] > many:
        rest = _carve(kids[i], parts[i], many, draw, removed)
        if rest is NOTHING:
            kids.pop(i)
        else:
            kids[i] = rest
        return group(kind, kids)
    gone = 0
    while gone < many and (len(kids) > 1 or not gone):
        gone += counts.pop(i)
        removed.extend(codes(kids.pop(i)))
        i = int(draw() * len(kids))
    return group(kind, kids)


def without(node: Node, gone: dict[int, int]) -> Node:
    """The tree without ``gone[number]`` pieces of each member of that number; ``gone`` is counted down."""
    _, _, kind, code, kids = node
    if kind == LEAF:
        number = number_of(code)
        if gone.get(number, 0) > 0:
            gone[number] -= 1
            return NOTHING
        return node
    left = [without(kid, gone) for kid in kids]
    if kind == AREAS:
        return parted(left)
    return group(kind, [kid for kid in left if kid is not NOTHING])


def number_of(code: int) -> int:
    """The number of the member that lies in the way of this code: each member has two codes."""
    return code >> 1


def codes(node: Node) -> list[int]:
    """The codes of all pieces in the tree, in reading order."""
    out: list[int] = []
    _codes(node, out)
    return out


def _codes(node: Node, out: list[int]) -> None:
    _, _, kind, code, kids = node
    if kind == LEAF:
        out.append(code)
        return
    for kid in kids:
        _, _, inner, code, _ = kid
        if inner:
            _codes(kid, out)
        else:
            out.append(code)
