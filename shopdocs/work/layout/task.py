"""The job as the search sees it: whole numbers, kerf added in, equal pieces merged into types."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from typing import NamedTuple

from msgspec import Struct

from shopdocs.work.layout.problem import BOARD, Job, Rect, Stock, Want
from shopdocs.work.layout.tree import ANY, CROSSCUT_THEN_RIP, LEAF, RIP_ONLY, Area, Node

Splits = int | tuple[str, int, "Splits", "Splits"]  # an area, or an axis, a place on it, and what lies on either side


class Shape(Struct, frozen=True):
    """A way to use one stock: clear areas, parted by fixed cuts.

    ``splits`` is the tree of these cuts: an area's index, or (axis, position, first, second) with axis "x" for a
    crosscut; a side without a usable area is -1.
    """

    stock: int
    areas: tuple[Area, ...]
    price: int
    size: int
    splits: Splits = 0


class Size(NamedTuple):
    """Length and width to saw, with the kerf beside them."""

    w: int
    h: int


class LeftOver(NamedTuple):
    """So many copies of a want (its index) that fit no stock, and why."""

    want: int
    copies: int
    why: str


class Piece(Struct, frozen=True):
    """A piece: its number, and the ways it may lie as leaves of a tree, one or two. Its area is the same in each."""

    number: int
    ways: tuple[Node, ...]

    @property
    def as_it_lies(self) -> Size:
        """Its size in the first of its ways."""
        w, h, _, _, _ = self.ways[0]
        return Size(w, h)

    @property
    def size(self) -> int:
        """Its area."""
        w, h, _, _, _ = self.ways[0]
        return w * h


class Task(Struct, frozen=True):
    """Types of pieces and shapes of boards. Codes number the ways a piece may lie: two for each member.

    ``members[t]`` holds the pieces of type t: one for common types, several for a together-group. ``type_of[code]``
    leads back. ``wants_of[number]`` are the want indices of a member, one entry for each copy. ``left_over`` lists
    wants that fit no stock.
    """

    job: Job
    members: tuple[tuple[Piece, ...], ...]
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
    left_over: tuple[LeftOver, ...]


def _clear_areas(stock: Stock, job: Job) -> list[tuple[tuple[Area, ...], Splits]]:
    """Alternative partitions of a board into clear areas by through cuts."""
    saw = job.saw
    rule = CROSSCUT_THEN_RIP if saw.style == BOARD else ANY
    whole = _Patch(saw.end_trim, saw.edge_trim, stock.length - saw.end_trim, stock.width - saw.edge_trim, rule)
    out: list[tuple[tuple[Area, ...], Splits]] = []
    seen: set[tuple[Area, ...]] = set()
    orders = ("xy", "yx") if stock.defects else ("xy",)
    for order in product(orders, repeat=min(3, max(1, len(stock.defects)))):
        areas: list[Area] = []
        splits = _split(whole, list(stock.defects), saw.kerf, order, areas)
        mark = tuple(sorted(areas))
        if areas and mark not in seen:
            seen.add(mark)
            out.append((tuple(areas), splits))
    return out


class _Patch(NamedTuple):
    """A part of a board by its corners, and how it may be cut."""

    x0: int
    y0: int
    x1: int
    y1: int
    rule: int

    def holds(self, d: Rect) -> bool:
        """Whether some of a defect lies in it."""
        return d.x < self.x1 and d.x + d.length > self.x0 and d.y < self.y1 and d.y + d.width > self.y0


def _split(patch: _Patch, defects: list[Rect], kerf: int, order: tuple[str, ...], areas: list[Area]) -> Splits:
    """Part a rectangle into clear areas: cut away around the first defect, along the first axis of the order first."""
    x0, y0, x1, y1, rule = patch
    if x1 <= x0 or y1 <= y0:
        return -1
    hits = sorted((d for d in defects if patch.holds(d)), key=lambda d: (d.x, d.y, d.length, d.width))
    if not hits:
        areas.append(Area(x0, y0, x1 - x0 + kerf, y1 - y0 + kerf, rule))
        return len(areas) - 1
    first, *others = hits
    way, *later = order
    steps = _ring(patch, first, kerf, way)
    parted = [_split(step.part, others, kerf, tuple(later) or order, areas) for step in steps]
    return _nest(list(zip(steps, parted, strict=True)))


class _Step(NamedTuple):
    """A cut at a place of an axis, and the part of the board that it takes off at one side."""

    lower: bool
    axis: str
    at: int
    part: _Patch


def _ring(whole: _Patch, d: Rect, kerf: int, order: str) -> list[_Step]:
    """The cuts around a defect in saw order: before, after, and the two sides of the middle; fewer where it lies at a
    side."""
    x0, y0, x1, y1, rule = whole
    within = RIP_ONLY if rule != ANY else ANY  # what was crosscut is only ripped
    left, right, low, high = d.x, d.x + d.length, d.y, d.y + d.width
    if order == "xy":
        before, after = left - kerf > x0, right < x1
        a, b = left if before else x0, right if after else x1
        steps = (
            (before, _Step(True, "x", left - kerf, _Patch(x0, y0, left - kerf, y1, rule))),
            (after, _Step(False, "x", right, _Patch(right + kerf, y0, x1, y1, rule))),
            (low - kerf > y0, _Step(True, "y", low - kerf, _Patch(a, y0, b, low - kerf, within))),
            (high < y1, _Step(False, "y", high, _Patch(a, high + kerf, b, y1, within))),
        )
    else:
        before, after = low - kerf > y0, high < y1
        a, b = low if before else y0, high if after else y1
        steps = (
            (before, _Step(True, "y", low - kerf, _Patch(x0, y0, x1, low - kerf, rule))),
            (after, _Step(False, "y", high, _Patch(x0, high + kerf, x1, y1, rule))),
            (left - kerf > x0, _Step(True, "x", left - kerf, _Patch(x0, a, left - kerf, b, rule))),
            (right < x1, _Step(False, "x", right, _Patch(right + kerf, a, x1, b, rule))),
        )
    return [step for cut, step in steps if cut]


def _nest(parts: list[tuple[_Step, Splits]]) -> Splits:
    """Cuts and areas in saw order as nested (axis, position, low side, high side)."""
    if not parts:
        return -1
    (step, area), *others = parts
    rest = _nest(others)
    return (step.axis, step.at, area, rest) if step.lower else (step.axis, step.at, rest, area)


def _fits(w: int, h: int, shapes: list[Shape]) -> bool:
    return any(w <= a.w and h <= a.h for s in shapes for a in s.areas)


def prepare(job: Job) -> Task:
    """Merge equal pieces, add allowances and kerf, and set aside what fits no stock."""
    shapes = _shapes(job)
    types = _Types(job, shapes)
    single, groups = types.sorted_wants()
    for (w, h, turn), wants in single.items():
        types.add([_Rough(w, h, turn, tuple(wants))], len(wants))
    for name, indices in groups.items():
        types.add_group(name, indices)
    demand, members = types.demand, types.members
    bits = max(demand, default=1).bit_length()
    room = len(job.stocks).bit_length()
    leaves = [leaf for kind in members for piece in kind for leaf in piece.ways]
    limits = tuple(10**9 if s.limit is None else s.limit for s in job.stocks)
    return Task(
        job,
        tuple(members),
        tuple(demand),
        tuple(sum(piece.size for piece in kind) for kind in members),
        tuple(types.type_of),
        tuple(types.wants_of),
        tuple(shapes),
        limits,
        tuple(1 << (room + bits * t) for t in range(len(demand))),
        tuple(range(len(job.stocks))),
        min((w for w, _, _, _, _ in leaves), default=1),
        min((h for _, h, _, _, _ in leaves), default=1),
        tuple(types.left_over),
    )


def _shapes(job: Job) -> list[Shape]:
    """The clear areas of each stock, what is on hand first; of a board with defects more than one way to part it."""
    shapes: list[Shape] = []
    for i in sorted(range(len(job.stocks)), key=lambda i: (not job.stocks[i].on_hand, i)):
        stock = job.stocks[i]
        if stock.limit == 0:
            continue
        for areas, splits in _clear_areas(stock, job):
            shapes.append(Shape(i, areas, stock.price, sum(a.w * a.h for a in areas), splits))
    return shapes


class _Rough(NamedTuple):
    """A piece to saw: its size with the kerf beside it, whether it may turn, its wants."""

    w: int
    h: int
    turn: bool
    wants: tuple[int, ...]


class _Types:
    """The types of pieces of a job, equal ones merged, and what fits no stock."""

    def __init__(self, job: Job, shapes: list[Shape]) -> None:
        self.job, self.shapes = job, shapes
        self.left_over: list[LeftOver] = []
        self.members: list[tuple[Piece, ...]] = []
        self.wants_of: list[tuple[int, ...]] = []
        self.type_of: list[int] = []
        self.demand: list[int] = []

    def size(self, want: Want) -> Size:
        """What to saw for a want."""
        saw = self.job.saw
        return Size(want.length + saw.length_allowance + saw.kerf, want.width + saw.width_allowance + saw.kerf)

    def sorted_wants(self) -> tuple[dict[tuple[int, int, bool], list[int]], dict[str, list[int]]]:
        """The wants that fit some stock, one entry a piece: by size, and those that stay together by their group."""
        single: dict[tuple[int, int, bool], list[int]] = {}
        groups: dict[str, list[int]] = {}
        for index, want in enumerate(self.job.wants):
            w, h = self.size(want)
            fits = _fits(w, h, self.shapes) or (want.may_turn and _fits(h, w, self.shapes))
            if want.count and not fits:
                kerf = self.job.saw.kerf
                why = _why(w - kerf, h - kerf, want.may_turn, self.job)
                self.left_over.append(LeftOver(index, want.count, why))
            elif want.together is not None:
                groups.setdefault(want.together, []).extend([index] * want.count)
            elif want.count:
                turn = want.may_turn and w != h
                if turn and w < h:
                    w, h = h, w
                single.setdefault((w, h, turn), []).extend([index] * want.count)
        return single, groups

    def add(self, parts: Sequence[_Rough], count: int) -> None:
        """Another type: a piece, or the pieces that stay together, so many times."""
        kind = []
        for w, h, turn, wants in parts:
            number = len(self.wants_of)
            ways: list[Node] = []
            if _fits(w, h, self.shapes):
                ways.append((w, h, LEAF, 2 * number, ()))
            if turn and w != h and _fits(h, w, self.shapes):
                ways.append((h, w, LEAF, 2 * number + 1, ()))
            kind.append(Piece(number, tuple(ways)))
            self.type_of.extend((len(self.members), len(self.members)))
            self.wants_of.append(wants)
        self.members.append(tuple(kind))
        self.demand.append(count)

    def add_group(self, name: str, indices: list[int]) -> None:
        """The pieces of a group as one type; none of them where some fit no stock."""
        if not indices:
            return
        wants = self.job.wants
        if len(indices) < sum(want.count for want in wants if want.together == name):
            self.left_over.extend(
                LeftOver(i, indices.count(i), f"other pieces of group {name!r} fit no stock")
                for i in sorted(set(indices))
            )
            return
        parts = [_Rough(*self.size(wants[i]), wants[i].may_turn, (i,)) for i in indices]
        parts.sort(key=lambda p: (-p.w * p.h, p))
        self.add(parts, 1)


def _why(length: int, width: int, may_turn: bool, job: Job) -> str:
    """Why a piece (rough size) lies on no stock."""
    saw = job.saw
    if not job.stocks or all(s.limit == 0 for s in job.stocks):
        return "no stock"
    sizes = [Size(s.length - 2 * saw.end_trim, s.width - 2 * saw.edge_trim) for s in job.stocks if s.limit != 0]
    if may_turn:
        length, width = max(length, width), min(length, width)
        sizes = [Size(max(s), min(s)) for s in sizes]
    if all(length > s.w for s in sizes):
        return f"too long: needs {length}, longest stock gives {max(s.w for s in sizes)}"
    if all(width > s.h for s in sizes):
        return f"too wide: needs {width}, widest stock gives {max(s.h for s in sizes)}"
    if any(length <= s.w and width <= s.h for s in sizes):
        return "no clear area large enough between defects"
    return "no stock is both long and wide enough"
