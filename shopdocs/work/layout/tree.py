"""Boards as immutable trees of rows and stacks that keep only required sizes.

A node is a plain tuple ``(w, h, kind, body)``; ``w`` runs along the board's length (x), ``h`` across it (y):

* ``LEAF``: body is the piece's code;
* ``ROW``: children side by side along x, parted by crosscuts; w is their sum, h their maximum;
* ``STACK``: children one above another along y, parted by rips; h is their sum, w their maximum;
* ``AREAS``: only as a root, one child (or None) for each clear area of a board with defects.

A row never holds a row, a stack never a stack. Because a node holds what it needs and not where it lies, spare
room belongs to no place until the cuts are drawn: it may still be used beside any child. Every tree can be sawn
with through cuts by construction.

An *opening* ``(w, h, path, mode)`` is the largest piece that may be put beside the node at ``path``
(mode ``ROW`` or ``STACK``; 0 for an empty area).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

Node = tuple[int, int, int, Any]  # what the body is follows from the kind, which types of tuples cannot say
Path = tuple[int, ...]
Opening = tuple[int, int, Path, int]

LEAF, ROW, STACK, AREAS = 0, 1, 2, 3
EMPTY = 4  # where a tree is written out (see ``rows``): an area without pieces
ANY, CROSSCUT_THEN_RIP, RIP_ONLY = 0, 1, 2


def openings_of(tree: Node | None, areas: tuple[tuple[int, ...], ...], least_w: int, least_h: int) -> list[Opening]:
    """All openings at least ``least_w`` by ``least_h``; areas are (x, y, w, h, rule)."""
    out: list[Opening] = []
    if len(areas) == 1:
        _, _, w, h, rule = areas[0]
        if tree is not None and rule != ANY:  # most boards; a call the less takes 2 % off the rounds
            _board_openings(tree, w, h, rule, (), least_w, least_h, out)
        else:
            _area_openings(tree, w, h, rule, (), least_w, least_h, out)
    else:
        kids = tree[3] if tree is not None else (None,) * len(areas)
        for i, (_, _, w, h, rule) in enumerate(areas):
            _area_openings(kids[i], w, h, rule, (i,), least_w, least_h, out)
    return out


def _area_openings(
    node: Node | None, w: int, h: int, rule: int, path: Path, least_w: int, least_h: int, out: list[Opening]
) -> None:
    if node is None:
        if w >= least_w and h >= least_h:
            out.append((w, h, path, 0))
    elif rule == ANY:
        _free_openings(node, w, h, 0, path, least_w, least_h, out)
    else:
        _board_openings(node, w, h, rule, path, least_w, least_h, out)


def _free_openings(
    node: Node, aw: int, ah: int, parent: int, path: Path, least_w: int, least_h: int, out: list[Opening]
) -> None:
    w, h, kind, body = node
    room_w = aw - w
    room_h = ah - h
    if parent != ROW and room_w >= least_w:
        out.append((room_w, ah, path, ROW))
    if parent != STACK and room_h >= least_h:
        out.append((aw, room_h, path, STACK))
    i = 0
    if kind == ROW:
        for kid in body:
            if kid[2]:
                _free_openings(kid, kid[0] + room_w, ah, ROW, (*path, i), least_w, least_h, out)
            elif ah - kid[1] >= least_h and kid[0] + room_w >= least_w:
                out.append((kid[0] + room_w, ah - kid[1], (*path, i), STACK))
            i += 1
    elif kind == STACK:
        for kid in body:
            if kid[2]:
                _free_openings(kid, aw, kid[1] + room_h, STACK, (*path, i), least_w, least_h, out)
            elif aw - kid[0] >= least_w and kid[1] + room_h >= least_h:
                out.append((aw - kid[0], kid[1] + room_h, (*path, i), ROW))
            i += 1


def _board_openings(
    node: Node, aw: int, ah: int, rule: int, path: Path, least_w: int, least_h: int, out: list[Opening]
) -> None:
    """Crosscut to rough length, then rip: a row of stacks and nothing deeper; RIP_ONLY is one stack."""
    w, h, kind, body = node
    room_w = aw - w
    if rule == CROSSCUT_THEN_RIP and room_w >= least_w:
        out.append((room_w, ah, path, ROW))
    if kind != ROW:
        if ah - h >= least_h:
            out.append((aw, ah - h, path, STACK))
        return
    for i, kid in enumerate(body):
        if ah - kid[1] >= least_h:
            out.append((kid[0] + room_w, ah - kid[1], (*path, i), STACK))


def put(node: Node | None, path: Path, mode: int, leaf: Node, areas: int = 1) -> Node:
    """The tree with ``leaf`` beside the node at ``path``; ``areas`` is the number of areas of an empty board."""
    if mode == 0:
        if not path:
            return leaf
        kids = node[3] if node is not None else (None,) * areas
        i = path[0]
        return (0, 0, AREAS, (*kids[:i], leaf, *kids[i + 1 :]))
    assert node is not None
    return _put(node, path, 0, mode, leaf)


def _put(node: Node, path: Path, depth: int, mode: int, leaf: Node) -> Node:
    w, h, kind, body = node
    if depth == len(path):
        kids = (*body, leaf) if kind == mode else (node, leaf)
        if mode == ROW:
            return (w + leaf[0], h if h > leaf[1] else leaf[1], ROW, kids)
        return (w if w > leaf[0] else leaf[0], h + leaf[1], STACK, kids)
    i = path[depth]
    old = body[i]
    new = _put(old, path, depth + 1, mode, leaf)
    kids = (*body[:i], new, *body[i + 1 :])
    if kind == ROW:
        return (w - old[0] + new[0], h if h > new[1] else new[1], ROW, kids)
    if kind == STACK:
        return (w if w > new[0] else new[0], h - old[1] + new[1], STACK, kids)
    return (0, 0, AREAS, kids)


def group(kind: int, kids: list[Node]) -> Node | None:
    """A row or stack of ``kids`` in normal form: none is None, one is itself, same kinds are merged."""
    if not kids:
        return None
    if len(kids) == 1:
        return kids[0]
    flat: list[Node] = []
    along = across = 0
    for w, h, of, body in kids:
        if kind == ROW:
            along += w
            if h > across:
                across = h
        else:
            along += h
            if w > across:
                across = w
        if of == kind:
            flat.extend(body)
        else:
            flat.append((w, h, of, body))
    return (along, across, ROW, tuple(flat)) if kind == ROW else (across, along, STACK, tuple(flat))


def thin(node: Node | None, share: float, draw: Callable[[], float], removed: list[int]) -> Node | None:
    """The tree without a random ``share`` of its branches; the codes taken out are appended to ``removed``."""
    if node is None:
        return None
    kind = node[2]
    if kind != AREAS and draw() < share:
        removed.extend(codes(node))
        return None
    if kind == LEAF:
        return node
    if kind == AREAS:
        parts = [thin(part, share, draw, removed) for part in node[3]]
        return (0, 0, AREAS, tuple(parts)) if any(parts) else None
    kids: list[Node] = []
    for kid in node[3]:
        if kid[2]:
            rest = thin(kid, share, draw, removed)
            if rest is not None:
                kids.append(rest)
        elif draw() < share:
            removed.append(kid[3])
        else:
            kids.append(kid)
    return group(kind, kids)


Sized = tuple[int, "tuple[Sized, ...]"]  # pieces in all, and in each branch
ONE: Sized = (1, ())
NONE: Sized = (0, ())


def carve(node: Node | None, many: int, draw: Callable[[], float], removed: list[int]) -> Node | None:
    """The tree without about ``many`` leaves that share one stretch: a branch, or some branches of one group.

    The order within a group is free, so whatever leaves a group leaves one opening. The codes taken out are
    appended to ``removed``.
    """
    return None if node is None else _carve(node, _sized(node), many, draw, removed)


def _sized(node: Node) -> Sized:
    """How many pieces lie in the tree and in each of its branches."""
    if node[2] == LEAF:
        return ONE
    parts = tuple([NONE if kid is None else _sized(kid) if kid[2] else ONE for kid in node[3]])
    return (sum([part[0] for part in parts]), parts)


def _carve(node: Node, sized: Sized, many: int, draw: Callable[[], float], removed: list[int]) -> Node | None:
    total, parts = sized
    kind, body = node[2], node[3]
    if total <= many and kind != AREAS:
        removed.extend(codes(node))
        return None
    counts = [part[0] for part in parts]
    at = draw() * total
    i = 0
    while at >= counts[i] and i < len(counts) - 1:
        at -= counts[i]
        i += 1
    kids = list(body)
    if kind == AREAS:
        if kids[i] is not None:
            kids[i] = _carve(kids[i], parts[i], many, draw, removed)
        return (0, 0, AREAS, tuple(kids)) if any(kids) else None
    if counts[i] > many:
        rest = _carve(kids[i], parts[i], many, draw, removed)
        if rest is None:
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


def without(node: Node | None, gone: dict[int, int]) -> Node | None:
    """The tree without ``gone[code // 2]`` leaves of each member; ``gone`` is counted down."""
    if node is None:
        return None
    kind, body = node[2], node[3]
    if kind == LEAF:
        if gone.get(body >> 1, 0) > 0:
            gone[body >> 1] -= 1
            return None
        return node
    kids = [without(kid, gone) for kid in body]
    if kind == AREAS:
        return (0, 0, AREAS, tuple(kids)) if any(kids) else None
    return group(kind, [kid for kid in kids if kid is not None])


def codes(node: Node | None) -> list[int]:
    """The codes of all pieces in the tree, in reading order."""
    out: list[int] = []
    if node is not None:
        _codes(node, out)
    return out


def _codes(node: Node, out: list[int]) -> None:
    if node[2] == LEAF:
        out.append(node[3])
        return
    for kid in node[3]:
        if kid is None:
            continue
        if kid[2]:
            _codes(kid, out)
        else:
            out.append(kid[3])
