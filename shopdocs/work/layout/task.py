"""The job as the search sees it: whole numbers, kerf added in, equal pieces merged into types."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from shopdocs.work.layout.problem import BOARD, Job, Rect, Stock
from shopdocs.work.layout.tree import ANY, CROSSCUT_THEN_RIP, RIP_ONLY, Node

Area = tuple[int, int, int, int, int]


@dataclass(frozen=True, slots=True)
class Shape:
    """A way to use one stock: clear areas (x, y, w, h, rule) with kerf added, parted by fixed cuts.

    ``splits`` is the tree of these cuts: an area's index, or (axis, position, first, second) with axis "x" for a
    crosscut; a side without a usable area is -1.
    """

    stock: int
    areas: tuple[Area, ...]
    price: int
    size: int
    splits: object = 0


@dataclass(frozen=True, slots=True)
class Task:
    """Types of pieces and shapes of boards. Codes number the ways a piece may lie: two for each member.

    ``members[t]`` holds for each piece of type t its leaves (one, or two if it may turn): one piece for common
    types, several for a together-group. ``type_of[code]`` leads back. ``wants_of[code // 2]`` are the want
    indices of a member, one entry for each copy. ``left_over`` lists wants that fit no stock, with the reason.
    """

    job: Job
    members: tuple[tuple[tuple[Node, ...], ...], ...]
    demand: tuple[int, ...]
    size: tuple[int, ...]
    type_of: tuple[int, ...]
    wants_of: tuple[tuple[int, ...], ...]
    shapes: tuple[Shape, ...]
    limits: tuple[int, ...]
    unit: tuple[int, ...]
    base: tuple[int, ...]
    least_w: int
    least_h: int
    left_over: tuple[tuple[int, int, str], ...]


def _clear_areas(stock: Stock, job: Job) -> list[tuple[list[tuple[int, ...]], object]]:
    """Alternative partitions of a board into clear areas by through cuts."""
    saw = job.saw
    x0, y0 = saw.end_trim, saw.edge_trim
    x1, y1 = stock.length - saw.end_trim, stock.width - saw.edge_trim
    if x1 <= x0 or y1 <= y0:
        return []
    rule = CROSSCUT_THEN_RIP if saw.style == BOARD else ANY
    out: list[tuple[list[tuple[int, ...]], object]] = []
    seen: set[tuple[tuple[int, ...], ...]] = set()
    orders = ("xy", "yx") if stock.defects else ("xy",)
    for order in product(orders, repeat=min(3, max(1, len(stock.defects)))):
        areas: list[tuple[int, ...]] = []
        splits = _split(x0, y0, x1, y1, list(stock.defects), saw.kerf, rule, rule, order, areas)
        mark = tuple(sorted(areas))
        if areas and mark not in seen:
            seen.add(mark)
            out.append((areas, splits))
    return out


def _split(
    x0: int,
    y0: int,
    x1: int,
    y1: int,
    defects: list[Rect],
    kerf: int,
    rule: int,
    top: int,
    order: tuple[str, ...],
    areas: list[tuple[int, ...]],
) -> object:
    """Part a rectangle into clear areas: cut away around the first defect, along the axis order[0] first."""
    if x1 <= x0 or y1 <= y0:
        return -1
    hits = sorted(
        (d for d in defects if d.x < x1 and d.x + d.length > x0 and d.y < y1 and d.y + d.width > y0),
        key=lambda d: (d.x, d.y, d.length, d.width),
    )
    if not hits:
        areas.append((x0, y0, x1 - x0 + kerf, y1 - y0 + kerf, rule))
        return len(areas) - 1
    d = hits[0]
    rest = order[1:] or order
    parts = _ring(x0, y0, x1, y1, d, kerf, order[0], rule)
    built = []
    for part in parts:
        if part[0] == "cut":
            built.append(part)
        else:
            px0, py0, px1, py1, prule = part[1:]
            built.append(("area", _split(px0, py0, px1, py1, hits[1:], kerf, prule, top, rest, areas)))
    return _nest(built)


def _ring(x0: int, y0: int, x1: int, y1: int, d: Rect, kerf: int, order: str, rule: int) -> list[tuple[Any, ...]]:
    """The four cuts around a defect in saw order: before, after, and the two sides of the middle."""
    within = RIP_ONLY if rule != ANY else ANY
    left, right, low, high = d.x, d.x + d.length, d.y, d.y + d.width
    if order == "xy":
        first = ("x", left - kerf, (x0, y0, left - kerf, y1, rule)) if left - kerf > x0 else None
        second = ("x", right, (right + kerf, y0, x1, y1, rule)) if right < x1 else None
        mx0, mx1 = (left if first else x0), (right if second else x1)
        third = ("y", low - kerf, (mx0, y0, mx1, low - kerf, within)) if low - kerf > y0 else None
        fourth = ("y", high, (mx0, high + kerf, mx1, y1, within)) if high < y1 else None
    else:
        first = ("y", low - kerf, (x0, y0, x1, low - kerf, rule)) if low - kerf > y0 else None
        second = ("y", high, (x0, high + kerf, x1, y1, rule)) if high < y1 else None
        my0, my1 = (low if first else y0), (high if second else y1)
        third = ("x", left - kerf, (x0, my0, left - kerf, my1, rule)) if left - kerf > x0 else None
        fourth = ("x", right, (right + kerf, my0, x1, my1, rule)) if right < x1 else None
    out: list[tuple[Any, ...]] = []
    for side, step in (("low", first), ("high", second), ("low", third), ("high", fourth)):
        if step is not None:
            out.append(("cut", side, step[0], step[1]))
            out.append(("area", *step[2]))
    return out


def _nest(parts: list[tuple[Any, ...]]) -> object:
    """Cuts and areas in saw order as nested (axis, position, low side, high side)."""
    if not parts:
        return -1
    (_, side, axis, at), (_, area) = parts[0], parts[1]
    rest = _nest(parts[2:])
    return (axis, at, area, rest) if side == "low" else (axis, at, rest, area)


def _fits(leaf: Node, shapes: list[Shape]) -> bool:
    return any(leaf[0] <= a[2] and leaf[1] <= a[3] for s in shapes for a in s.areas)


def prepare(job: Job) -> Task:
    """Merge equal pieces, add allowances and kerf, and set aside what fits no stock."""
    saw = job.saw
    kerf = saw.kerf
    shapes: list[Shape] = []
    order = sorted(range(len(job.stocks)), key=lambda i: (not job.stocks[i].on_hand, i))
    for i in order:
        stock = job.stocks[i]
        if stock.limit == 0:
            continue
        for areas, splits in _clear_areas(stock, job):
            found = tuple((a[0], a[1], a[2], a[3], a[4]) for a in areas)
            shapes.append(Shape(i, found, stock.price, sum(a[2] * a[3] for a in areas), splits))
    left_over: list[tuple[int, int, str]] = []
    members: list[tuple[tuple[Node, ...], ...]] = []
    wants_of: list[tuple[int, ...]] = []
    type_of: list[int] = []
    demand: list[int] = []

    def add_type(parts: Sequence[tuple[int, int, bool, tuple[int, ...]]], count: int) -> None:
        kind = []
        for w, h, turn, wants in parts:
            code = 2 * len(wants_of)
            leaves: list[Node] = [(w, h, 0, code)]
            if turn and w != h:
                leaves.append((h, w, 0, code + 1))
            kind.append(tuple(leaf for leaf in leaves if _fits(leaf, shapes)))
            type_of.extend((len(members), len(members)))
            wants_of.append(wants)
        members.append(tuple(kind))
        demand.append(count)

    single: dict[tuple[int, int, bool], list[int]] = {}
    groups: dict[str, list[int]] = {}
    for index, want in enumerate(job.wants):
        w = want.length + saw.length_allowance + kerf
        h = want.width + saw.width_allowance + kerf
        ways = [(w, h, 0, 0)] + ([(h, w, 0, 0)] if want.may_turn else [])
        if want.count and not any(_fits(way, shapes) for way in ways):
            left_over.append((index, want.count, _why(w - kerf, h - kerf, want.may_turn, job)))
        elif want.together is not None:
            groups.setdefault(want.together, []).extend([index] * want.count)
        elif want.count:
            turn = want.may_turn and w != h
            if turn and w < h:
                w, h = h, w
            single.setdefault((w, h, turn), []).extend([index] * want.count)
    for (w, h, turn), wants in single.items():
        add_type([(w, h, turn, tuple(wants))], len(wants))
    for name, indices in groups.items():
        whole = sum(w.count for w in job.wants if w.together == name)
        if not indices:
            continue
        if len(indices) < whole:
            left_over.extend(
                (i, indices.count(i), f"other pieces of group {name!r} fit no stock") for i in sorted(set(indices))
            )
            continue
        parts: list[tuple[int, int, bool, tuple[int, ...]]] = []
        for i in indices:
            want = job.wants[i]
            parts.append(
                (
                    want.length + saw.length_allowance + kerf,
                    want.width + saw.width_allowance + kerf,
                    want.may_turn,
                    (i,),
                )
            )
        parts.sort(key=lambda p: (-p[0] * p[1], p))
        add_type(parts, 1)
    bits = max(demand, default=1).bit_length()
    room = len(job.stocks).bit_length()
    leaves = [leaf for kind in members for part in kind for leaf in part]
    limits = tuple(10**9 if s.limit is None else s.limit for s in job.stocks)
    return Task(
        job,
        tuple(members),
        tuple(demand),
        tuple(sum(part[0][0] * part[0][1] for part in kind) for kind in members),
        tuple(type_of),
        tuple(wants_of),
        tuple(shapes),
        limits,
        tuple(1 << (room + bits * t) for t in range(len(demand))),
        tuple(range(len(job.stocks))),
        min((leaf[0] for leaf in leaves), default=1),
        min((leaf[1] for leaf in leaves), default=1),
        tuple(left_over),
    )


def _why(length: int, width: int, may_turn: bool, job: Job) -> str:
    """Why a piece (rough size) lies on no stock."""
    saw = job.saw
    if not job.stocks or all(s.limit == 0 for s in job.stocks):
        return "no stock"
    sizes = [(s.length - 2 * saw.end_trim, s.width - 2 * saw.edge_trim) for s in job.stocks if s.limit != 0]
    if may_turn:
        length, width = max(length, width), min(length, width)
        sizes = [(max(s), min(s)) for s in sizes]
    if all(length > s[0] for s in sizes):
        return f"too long: needs {length}, longest stock gives {max(s[0] for s in sizes)}"
    if all(width > s[1] for s in sizes):
        return f"too wide: needs {width}, widest stock gives {max(s[1] for s in sizes)}"
    if any(length <= s[0] and width <= s[1] for s in sizes):
        return "no clear area large enough between defects"
    return "no stock is both long and wide enough"
