"""From trees to the bench: where every piece lies, which cut comes when, and what is left over.

Trees carry the kerf inside every size. A cell of a tree, (x, y, w, h), is the true rectangle (x, y, w - kerf,
h - kerf): the last kerf of a row falls off the board, so nothing is lost by counting it.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from shopdocs.work.layout.problem import SHEET, Rect, Stock
from shopdocs.work.layout.task import Shape, Splits, Task
from shopdocs.work.layout.tree import ANY, AREAS, CROSSCUT_THEN_RIP, LEAF, NOTHING, ROW, STACK, Node

Box = tuple[int, int, int, int]  # true sizes as x0, y0, x1, y1

CROSSCUT = "crosscut"
RIP = "rip"


class Cut(Struct, frozen=True):
    """One cut through ``over``; the blade takes from ``at`` to ``at + kerf`` along x (crosscut) or y (rip).

    ``number`` is the place in saw order on its board. A blade that runs past the edge takes less than its kerf.
    """

    number: int
    over: Rect
    axis: str
    at: int


class Sawn(Struct, frozen=True):
    """One board sawn up: cuts in saw order, pieces by code, offcuts worth keeping."""

    cuts: tuple[Cut, ...]
    pieces: tuple[tuple[int, Rect], ...]
    offcuts: tuple[Rect, ...]


class _Saw:
    """Cuts one board."""

    def __init__(self, kerf: int, keep: Callable[[int, int], bool]) -> None:
        self.kerf = kerf
        self.keep = keep
        self.cuts: list[Cut] = []
        self.pieces: list[tuple[int, Rect]] = []
        self.offcuts: list[Rect] = []

    def cut(self, box: Box, axis: str, at: int) -> None:
        x0, y0, x1, y1 = box
        self.cuts.append(Cut(len(self.cuts) + 1, Rect(x0, y0, x1 - x0, y1 - y0), axis, at))

    def waste(self, x0: int, y0: int, x1: int, y1: int) -> None:
        if x1 > x0 and y1 > y0 and self.keep(x1 - x0, y1 - y0):
            self.offcuts.append(Rect(x0, y0, x1 - x0, y1 - y0))

    def area(self, node: Node, box: Box, rule: int) -> None:
        """Saw one clear area into the pieces of ``node``."""
        if node is NOTHING:
            self.waste(*box)
        elif rule == ANY:
            self.free(node, box)
        elif rule == CROSSCUT_THEN_RIP:
            self.stretches(node, box)
        else:
            self.rips(node, box)

    def trim(self, box: Box, axis: str, size: int) -> Box:
        """Cut ``box`` down to ``size`` along x (crosscut) or y (rip); what comes off may be worth keeping."""
        x0, y0, x1, y1 = box
        if axis == CROSSCUT and x1 - x0 > size:
            self.cut(box, axis, x0 + size)
            self.waste(x0 + size + self.kerf, y0, x1, y1)
            return (x0, y0, x0 + size, y1)
        if axis == RIP and y1 - y0 > size:
            self.cut(box, axis, y0 + size)
            self.waste(x0, y0 + size + self.kerf, x1, y1)
            return (x0, y0, x1, y0 + size)
        return box

    def free(self, node: Node, box: Box) -> None:
        """Any through cuts: first take off what is spare so that the largest offcut stays whole."""
        kerf = self.kerf
        w, h, kind, code, kids = node
        x0, y0, x1, y1 = box
        need_w, need_h = w - kerf, h - kerf
        spare_w, spare_h = x1 - x0 - need_w, y1 - y0 - need_h
        first = RIP
        if spare_w * (y1 - y0) > spare_h * (x1 - x0):
            first = CROSSCUT
        for axis in (first, RIP if first == CROSSCUT else CROSSCUT):
            box = self.trim(box, axis, need_w if axis == CROSSCUT else need_h)
        if kind == LEAF:
            self.piece(code, box)
        else:
            self.parts(kids, box, kind, self.free)

    def stretches(self, node: Node, box: Box) -> None:
        """Crosscut to the lengths of the stretches, then rip each."""
        w, _, kind, _, kids = node
        box = self.trim(box, CROSSCUT, w - self.kerf)
        if kind == ROW:
            self.parts(kids, box, ROW, self.rips)
        else:
            self.rips(node, box)

    def rips(self, node: Node, box: Box) -> None:
        """Rip a stretch into strips and bring each piece to length."""
        _, h, kind, _, kids = node
        box = self.trim(box, RIP, h - self.kerf)
        if kind == STACK:
            self.parts(kids, box, STACK, self.to_length)
        else:
            self.to_length(node, box)

    def to_length(self, node: Node, box: Box) -> None:
        w, _, _, code, _ = node
        self.piece(code, self.trim(box, CROSSCUT, w - self.kerf))

    def parts(
        self,
        kids: tuple[Node, ...],
        box: Box,
        kind: int,
        then: Callable[[Node, Box], None],
    ) -> None:
        """Part a box that fits its children exactly, one cut after another, then saw each child."""
        x0, y0, x1, y1 = box
        boxes = []
        for w, h, _, _, _ in kids[:-1]:
            if kind == ROW:
                self.cut((x0, y0, x1, y1), CROSSCUT, x0 + w - self.kerf)
                boxes.append((x0, y0, x0 + w - self.kerf, y1))
                x0 += w
            else:
                self.cut((x0, y0, x1, y1), RIP, y0 + h - self.kerf)
                boxes.append((x0, y0, x1, y0 + h - self.kerf))
                y0 += h
        boxes.append((x0, y0, x1, y1))
        for kid, part in zip(kids, boxes, strict=True):
            then(kid, part)

    def piece(self, code: int, box: Box) -> None:
        x0, y0, x1, y1 = box
        self.pieces.append((code, Rect(x0, y0, x1 - x0, y1 - y0)))


def saw_up(task: Task, shape: Shape, tree: Node) -> Sawn:
    """The cuts, pieces and offcuts of one board, trims and defects first."""
    job = task.job
    saw = job.saw
    stock: Stock = job.stocks[shape.stock]

    def keep(length: int, width: int) -> bool:
        along = length >= saw.keep_length and width >= saw.keep_width
        across = saw.style == SHEET and width >= saw.keep_length and length >= saw.keep_width
        return along or across

    bench = _Saw(saw.kerf, keep)
    box = (0, 0, stock.length, stock.width)
    for axis, margin in ((CROSSCUT, saw.end_trim), (RIP, saw.edge_trim)):
        box = _margins(bench, box, axis, margin, saw.kerf)
    _, _, kind, _, kids = tree
    _walk(bench, box, shape.splits, kids if kind == AREAS else (tree,), shape, saw.kerf)
    return Sawn(tuple(bench.cuts), tuple(bench.pieces), tuple(bench.offcuts))


def _margins(bench: _Saw, box: Box, axis: str, margin: int, kerf: int) -> Box:
    """Cut a lost margin off both sides; the kerf is taken out of the margin, never out of the board."""
    if not margin:
        return box
    x0, y0, x1, y1 = box
    if axis == CROSSCUT:
        bench.cut((x0, y0, x1, y1), axis, x0 + margin - kerf)
        x0 += margin
        bench.cut((x0, y0, x1, y1), axis, x1 - margin)
        return (x0, y0, x1 - margin, y1)
    bench.cut((x0, y0, x1, y1), axis, y0 + margin - kerf)
    y0 += margin
    bench.cut((x0, y0, x1, y1), axis, y1 - margin)
    return (x0, y0, x1, y1 - margin)


def _walk(bench: _Saw, box: Box, splits: Splits, kids: tuple[Node, ...], shape: Shape, kerf: int) -> None:
    """Follow the fixed cuts around defects down to the clear areas."""
    if isinstance(splits, int):
        if splits >= 0:
            bench.area(kids[splits], box, shape.areas[splits].rule)
        return
    axis, at, low, high = splits
    x0, y0, x1, y1 = box
    if axis == "x":
        bench.cut(box, CROSSCUT, at)
        _walk(bench, (x0, y0, at, y1), low, kids, shape, kerf)
        _walk(bench, (at + kerf, y0, x1, y1), high, kids, shape, kerf)
    else:
        bench.cut(box, RIP, at)
        _walk(bench, (x0, y0, x1, at), low, kids, shape, kerf)
        _walk(bench, (x0, at + kerf, x1, y1), high, kids, shape, kerf)
