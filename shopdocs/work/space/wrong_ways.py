"""Pieces that can be taken for one another, and the wrong ways a piece would still go in.

A piece is compared as the solid it is when all joints are cut, with its holes, its stock and the run of its grain, not
as the name it has. The *form* of a piece is the smallest of its descriptions over all 24 turns of the box; pieces with
one form are interchangeable, wherever and however they lie. A reflection of the form names its mirror image.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property
from itertools import permutations, product
from typing import Any

from shopdocs.core.box import AXES, Box, Corner, Ticks
from shopdocs.core.length import ZERO, Length
from shopdocs.model.joining import Face
from shopdocs.model.joint_names import Trait
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.contacts import Contacts
from shopdocs.work.space.placed import PlacedPiece, Scene, side_of

Planes = tuple[tuple[int, ...], ...]  # along each axis


@dataclass(frozen=True, slots=True)
class Turn:
    """A signed exchange of axes: new axis k is old axis `source[k]`, reversed where `reverse[k]`."""

    source: Corner
    reverse: tuple[bool, bool, bool]

    @property
    def mirrors(self) -> bool:
        """Whether it makes a mirror image, which no turning of the real piece can."""
        even = self.source in ((0, 1, 2), (1, 2, 0), (2, 0, 1))
        return even != (sum(self.reverse) % 2 == 0)

    def box(self, box: Box) -> Box:
        """The box turned about the origin."""
        lo = [-box.hi[s] if r else box.lo[s] for s, r in zip(self.source, self.reverse, strict=True)]
        hi = [-box.lo[s] if r else box.hi[s] for s, r in zip(self.source, self.reverse, strict=True)]
        return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))

    def grid(self, planes: Planes, filled: Sequence[Corner]) -> tuple[Planes, tuple[Corner, ...]]:
        """Planes, counted from the first of each axis, and the filled cells between them, turned."""
        turned = tuple(
            tuple(planes[s][-1] - at for at in reversed(planes[s])) if r else planes[s]
            for s, r in zip(self.source, self.reverse, strict=True)
        )
        ways = [
            (s, len(planes[s]) - 2 if r else 0, -1 if r else 1) for s, r in zip(self.source, self.reverse, strict=True)
        ]
        (a, a0, da), (b, b0, db), (c, c0, dc) = ways
        return turned, tuple(sorted([(a0 + da * at[a], b0 + db * at[b], c0 + dc * at[c]) for at in filled]))


TURNS = tuple(
    turn
    for a, b, c in permutations(AXES)
    for u, v, w in product((False, True), repeat=3)
    if not (turn := Turn((a, b, c), (u, v, w))).mirrors
)
MITRED = "slope against a slope"
MIRROR = Turn((0, 1, 2), (True, False, False))
AS_IT_LIES = Turn((0, 1, 2), (False, False, False))

Mark = tuple[str, Corner, Corner]  # something on the piece that is no plain cut: its kind, its low and high corner


@dataclass(frozen=True)
class Shape:
    """What a piece is, free of names and place: disjoint cells, marks for holes and slopes, the body, the axis of the
    grain and the stock."""

    cells: tuple[Box, ...]
    marks: tuple[Mark, ...]
    body: Box
    grain: int
    stock: str

    @cached_property
    def bounds(self) -> Box:
        """The box round all that is left of the piece."""
        return Box.around(self.cells or (self.body,))

    @cached_property
    def grid(self) -> tuple[Planes, tuple[Corner, ...]]:
        """The planes where the space changes, from the low corner on, and the filled cells between them."""
        x, y, z = self.bounds.lo
        return _filled([cell.shifted((-x, -y, -z)) for cell in self.cells])

    def turned(self, turn: Turn) -> Shape:
        """The same piece lying another way."""
        return Shape(
            tuple(turn.box(cell) for cell in self.cells),
            tuple((kind, *_corners(turn.box(Box(lo, hi)))) for kind, lo, hi in self.marks),
            turn.box(self.body),
            turn.source.index(self.grain),
            self.stock,
        )


def _corners(box: Box) -> tuple[Corner, Corner]:
    return box.lo, box.hi


Form = tuple[Any, ...]


def _description(shape: Shape, turn: Turn = AS_IT_LIES) -> Form:
    """Size, grain, filled space and marks of the turned shape, measured from the low corner. Equal exactly for equal
    pieces: the space is told by the planes where it changes and the filled cells between them, however it was cut into
    boxes."""
    x, y, z = turn.box(shape.bounds).lo
    marks = sorted((kind, *_corners(turn.box(Box(lo, hi)).shifted((-x, -y, -z)))) for kind, lo, hi in shape.marks)
    return (*_head(shape, turn), *turn.grid(*shape.grid), tuple(marks))


def turns_onto(shape: Shape, other: Shape) -> list[Turn]:
    """The turns that make a piece lie like another of its kind. Raises ValueError where none does."""
    wanted = _description(other)
    found = [turn for turn in TURNS if _description(shape, turn) == wanted]
    if not found:
        raise ValueError("these pieces are not of one kind")
    return found


def _head(shape: Shape, turn: Turn) -> Form:
    """How a description begins."""
    body, (x, y, z) = turn.box(shape.body), turn.box(shape.bounds).lo
    return body.size, turn.source.index(shape.grain), shape.stock, _corners(body.shifted((-x, -y, -z)))


def _filled(cells: Sequence[Box]) -> tuple[Planes, tuple[Corner, ...]]:
    """The planes at which something changes, and the filled cells of the grid they make."""
    planes = [sorted({v for cell in cells for v in (cell.lo[k], cell.hi[k])}) for k in AXES]
    filled: set[tuple[int, ...]] = set()
    for cell in cells:
        spans = [range(bisect_left(planes[k], cell.lo[k]), bisect_left(planes[k], cell.hi[k])) for k in AXES]
        filled.update(product(*spans))
    for k in AXES:
        layers: dict[int, set[tuple[int, ...]]] = {i: set() for i in range(-1, len(planes[k]))}
        for at in filled:
            layers[at[k]].add(at[:k] + at[k + 1 :])
        kept = [i for i in range(len(planes[k])) if layers[i - 1] != layers[i]]
        filled = {(*at[:k], bisect_left(kept, at[k]), *at[k + 1 :]) for at in filled if at[k] in set(kept)}
        planes[k] = [planes[k][i] for i in kept]
    return tuple(tuple(p) for p in planes), tuple(sorted((a[0], a[1], a[2]) for a in filled))


def shape_in_build(piece: PlacedPiece, ticks: Ticks) -> Shape:
    """The shape of a piece as it lies in the build: true to hand. `ticks` must divide its holes as well."""
    marks: list[Mark] = []
    for kind, lo, hi in _marks(piece):
        one, two = piece.spot_in_build(lo), piece.spot_in_build(hi)
        box = Box.between([ticks.count(v) for v in one], [ticks.count(v) for v in two])
        marks.append((kind, box.lo, box.hi))
    solid = piece.solid(ticks)
    return Shape(solid.cells, tuple(marks), solid.body, piece.pose.build_axis(0), piece.material)


def _marks(piece: PlacedPiece) -> Iterator[tuple[str, Sequence[Length], Sequence[Length]]]:
    """Boxes in piece coordinates round holes (with diameter in the name), at their countersinks, along
    slots and at the narrow ends of slopes."""
    for bore in piece.bores:
        axis, high = side_of(bore.face)
        lo, hi = list(bore.centre), list(bore.centre)
        depth = piece.size[axis] if bore.depth is None else bore.depth
        lo[axis], hi[axis] = (lo[axis] - depth, hi[axis]) if high else (lo[axis], hi[axis] + depth)
        yield f"hole {bore.diameter.mm}", lo, hi
        mouth = list(bore.centre)
        if bore.head is not None:
            yield f"countersink {bore.head.mm}", mouth, mouth
        if bore.slot is not None:
            half = (bore.slot - bore.diameter) / 2
            ends = [list(lo), list(hi)]  # as deep as the hole: one that goes through looks alike from both sides
            ends[0][bore.slot_axis] -= half
            ends[1][bore.slot_axis] += half
            yield f"slot {bore.diameter.mm}", ends[0], ends[1]
    for cuboid in piece.cuboids:
        if cuboid.flare is not None:
            axis, high = side_of(cuboid.flare.at)
            lo, hi = list(cuboid.lo), list(cuboid.hi)
            lo[axis] = hi[axis] = hi[axis] if high else lo[axis]
            if cuboid.flare.only is not None:
                side, high = side_of(cuboid.flare.only)
                lo[side] = hi[side] = lo[side] if high else hi[side]
                against = MITRED if Trait.MEETS_SLOPE in cuboid.kind.traits else f"slope of a {cuboid.kind}"
                yield f"{against} {cuboid.flare.by.mm}", lo, hi
            else:
                yield f"slope {cuboid.flare.by.mm} {'tail' if cuboid.adds else 'socket'}", lo, hi


def form_of(shape: Shape) -> Form:
    """The canonical form: the same for every way the piece can be turned, and for nothing else."""
    heads = [_head(shape, turn) for turn in TURNS]
    least = min(heads)  # descriptions that begin larger are none of them the smallest
    return min(_description(shape, turn) for turn, head in zip(TURNS, heads, strict=True) if head == least)


@dataclass(frozen=True, slots=True)
class Kind:
    """Pieces that are one and the same to the build: any of them can stand in any of their places. `mirrored` says
    that the form is its own mirror image."""

    marks: tuple[str, ...]
    own_mirror: bool


class Likeness(StrEnum):
    """In which way two pieces that are not the same can be taken for each other."""

    MIRROR = "mirror image"
    OTHER_JOINTS = "same size, different joints"
    NEAR_SIZE = "nearly the same size"


@dataclass(frozen=True, slots=True)
class LookAlike:
    """Two kinds, by their index, that may be confused; `differs` is the largest difference of a dimension."""

    first: int
    second: int
    likeness: Likeness
    differs: Length


@dataclass(frozen=True, slots=True)
class LookAlikes:
    """Pieces of one shape, kind by kind, and pairs of kinds that are easily mixed up."""

    kinds: tuple[Kind, ...]
    pairs: tuple[LookAlike, ...]

    def kind_of(self, mark: str) -> int:
        """The number of the kind a piece belongs to, by its mark; StopIteration where it has none."""
        return next(i for i, kind in enumerate(self.kinds) if mark in kind.marks)


def find_look_alikes(scene: Scene, tolerance: Length = ZERO) -> LookAlikes:
    """Group the pieces of a scene. Kinds and marks in them are in order of marks, whatever the order of the scene;
    pairs name mirror images, equal bodies with different joints, and bodies that differ by at most `tolerance` in each
    dimension."""
    ticks = marking_ticks(scene.pieces)
    cache: dict[object, Form] = {}
    groups: dict[Form, list[int]] = {}
    shapes = [shape_in_build(piece, ticks) for piece in scene.pieces]
    for i, shape in enumerate(shapes):
        plain = _description(shape)
        if plain not in cache:
            cache[plain] = form_of(shape)
        groups.setdefault(cache[plain], []).append(i)
    ordered = sorted(groups.items(), key=lambda item: min(scene.pieces[i].mark for i in item[1]))
    mirrors = [form_of(shapes[members[0]].turned(MIRROR)) for _, members in ordered]
    kinds = tuple(
        Kind(tuple(sorted(scene.pieces[i].mark for i in members)), mirrors[k] == form)
        for k, (form, members) in enumerate(ordered)
    )
    sizes = [_sizes(scene.pieces[members[0]]) for _, members in ordered]
    by_length = sorted(range(len(kinds)), key=lambda k: (sizes[k][0], k))
    lengths = [sizes[k][0] for k in by_length]
    pairs = []
    for at, a in enumerate(by_length):
        for b in by_length[at + 1 : bisect_right(lengths, sizes[a][0] + tolerance)]:
            differs = max(abs(x - y) for x, y in zip(sizes[a], sizes[b], strict=True))
            first, second = sorted((a, b))
            same_stock = scene.pieces[ordered[a][1][0]].material == scene.pieces[ordered[b][1][0]].material
            if not same_stock or differs > tolerance:
                continue
            if mirrors[first] == ordered[second][0]:
                likeness = Likeness.MIRROR
            else:
                likeness = Likeness.NEAR_SIZE if differs else Likeness.OTHER_JOINTS
            pairs.append(LookAlike(first, second, likeness, differs))
    return LookAlikes(kinds, tuple(sorted(pairs, key=lambda p: (p.first, p.second))))


def marking_ticks(pieces: Sequence[PlacedPiece]) -> Ticks:
    """Ticks that divide holes and slopes too."""
    lengths = [length for piece in pieces for length in piece.lengths()]
    for piece in pieces:
        for bore in piece.bores:
            lengths += [*bore.centre, *([] if bore.depth is None else [bore.depth])]
            lengths += [] if bore.slot is None else [(bore.slot - bore.diameter) / 2]
    return Ticks.of(lengths)


def _sizes(piece: PlacedPiece) -> tuple[Length, Length, Length]:
    """Length, then the two sizes across the grain, larger first: which of them is called width does not matter."""
    return (piece.length, max(piece.width, piece.thickness), min(piece.width, piece.thickness))


@dataclass(frozen=True, slots=True)
class WrongWay:
    """A way to turn a piece in its own place so that it goes in and is wrong. `words` say it as at the bench;
    `changes` names, face by face, which face then lies where another belongs."""

    words: str
    changes: tuple[tuple[Face, Face], ...]


class Fitting:
    """Tries pieces in places of a scene. It measures all pieces once, so one of it serves for all questions."""

    def __init__(self, contacts: Contacts) -> None:
        self.scene = contacts.scene
        self.contacts = contacts
        self.index = {piece.mark: i for i, piece in enumerate(self.scene.pieces)}
        ticks = marking_ticks(self.scene.pieces)
        self.shapes = [shape_in_build(piece, ticks) for piece in self.scene.pieces]
        self.solids = [piece.solid(ticks) for piece in self.scene.pieces]

    def _neighbours(self, index: int, without: int = -1) -> list[Solid]:
        every = (p.second if p.first == index else p.first for p in self.contacts.of_piece[index])
        return [self.solids[i] for i in every if i != without]

    def wrong_ways(self, mark: str) -> tuple[WrongWay, ...]:
        """Every turn of the piece that keeps its body in place, clashes with no neighbour, and yet leaves a joint, a
        hole or a slope somewhere else than where it belongs. None for a piece that looks the same every way it goes
        in."""
        index = self.index[mark]
        piece, shape, neighbours = self.scene.pieces[index], self.shapes[index], self._neighbours(index)
        right, allowed = _description(shape), shape_overlap(shape, neighbours)
        found = []
        for turn in TURNS:
            if turn.source.index(shape.grain) != shape.grain or turn.box(shape.body).size != shape.body.size:
                continue
            if _description(shape, turn) == right:
                continue
            turned = _in_place(shape, turn)
            if (
                turned is not None
                and _mitres(turned) == _mitres(shape)
                and shape_overlap(turned, neighbours) <= allowed
            ):
                found.append(WrongWay(_words(piece, turn), _changes(piece, turn)))
        return tuple(sorted(found, key=lambda way: (way.words, way.changes)))

    def goes_in_for(self, mark: str, place: str) -> bool:
        """Whether the piece `mark` could be put where `place` belongs, some way round, without clashing there."""
        mine, index = self.index[mark], self.index[place]
        target, shape = self.solids[index], self.shapes[mine]
        neighbours = self._neighbours(index, without=mine)
        for turn in TURNS:
            turned = shape.turned(turn)
            if turned.body.size == target.body.size:
                by = [target.body.lo[k] - turned.body.lo[k] for k in AXES]
                moved = replace(
                    turned,
                    cells=tuple(cell.shifted(by) for cell in turned.cells),
                    marks=tuple((kind, *_corners(Box(lo, hi).shifted(by))) for kind, lo, hi in turned.marks),
                )
                if _mitres(moved) == _mitres(self.shapes[index]) and not shape_overlap(moved, neighbours):
                    return True
        return False


def wrong_ways(contacts: Contacts, mark: str) -> tuple[WrongWay, ...]:
    """`Fitting.wrong_ways` for a single piece; for many pieces keep one `Fitting`."""
    return Fitting(contacts).wrong_ways(mark)


def _mitres(shape: Shape) -> list[Mark]:
    """The slopes of a shape that lie against those of others: a piece that has them elsewhere than its place asks for
    does not go in, though its cells would."""
    return sorted(mark for mark in shape.marks if mark[0].startswith(MITRED))


def shape_overlap(shape: Shape, neighbours: Sequence[Solid]) -> int:
    """Volume the shape would share with its neighbours."""
    near = [cell for other in neighbours for cell in other.cells if cell.overlap(shape.bounds) is not None]
    return sum(common.volume for theirs in near for mine in shape.cells if (common := mine.overlap(theirs)) is not None)


def _in_place(shape: Shape, turn: Turn) -> Shape | None:
    """The shape turned about the middle of its body; None where the body does not fit its own place then."""
    turned = shape.turned(turn)
    if turned.body.size != shape.body.size:
        return None
    by = [shape.body.lo[k] - turned.body.lo[k] for k in AXES]
    return Shape(
        tuple(cell.shifted(by) for cell in turned.cells),
        tuple((kind, *_corners(Box(lo, hi).shifted(by))) for kind, lo, hi in turned.marks),
        turned.body.shifted(by),
        turned.grain,
        turned.stock,
    )


def _changes(piece: PlacedPiece, turn: Turn) -> tuple[tuple[Face, Face], ...]:
    """(face, face whose place it takes), for the faces that move."""
    changes = []
    for axis in AXES:
        for high in (False, True):
            lands = piece.pose.face_toward(axis, high)
            comes = piece.pose.face_toward(turn.source[axis], high != turn.reverse[axis])
            if lands is not comes:
                changes.append((comes, lands))
    return tuple(sorted(changes))


def _words(piece: PlacedPiece, turn: Turn) -> str:
    """How a maker would say it, from how the piece lies in the build."""
    if turn.source != (0, 1, 2):
        fixed = next((k for k in AXES if turn.source[k] == k), None)
        flipped = fixed is not None and turn.reverse[fixed]
        quarter = "a quarter turn about its length"
        return quarter + (", upside down" if fixed == 2 else ", end for end") if flipped else quarter
    words = []
    vertical = piece.pose.piece_axis(2)
    reversed_axes = [piece.pose.piece_axis(k) for k in AXES if turn.reverse[k]]
    if vertical in reversed_axes:
        words.append("upside down")
    if 0 in reversed_axes and vertical != 0:
        words.append("end for end")
    if 2 in reversed_axes and vertical != 2:
        words.append("back to front")
    if reversed_axes == [1, 2] or reversed_axes == [2, 1]:
        return "half a turn about its length" if vertical == 0 else ", ".join(words)
    return ", ".join(words)
