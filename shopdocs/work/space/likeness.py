"""Pieces that can be taken for one another.

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
from shopdocs.core.rounds import Round
from shopdocs.core.turn import near
from shopdocs.model.joint_names import Trait
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.placed import PIECE_AXES, Cuboid, FeatureKind, PlacedPiece, Scene, side_of

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
MIRROR = Turn((0, 1, 2), (True, False, False))
AS_IT_LIES = Turn((0, 1, 2), (False, False, False))

FINE = 100_000  # parts of a millimetre, of which a length is a whole number if it does not hang on a root
MITRED = "slope against a slope"
Mark = tuple[str, Corner, Corner]  # something on the piece that is not a plain cut: its kind, its low and high corner


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


def description(shape: Shape, turn: Turn = AS_IT_LIES) -> Form:
    """Size, grain, filled space and marks of the turned shape, measured from the low corner. Equal exactly for equal
    pieces: the space is told by the planes where it changes and the filled cells between them, however it was cut into
    boxes."""
    x, y, z = turn.box(shape.bounds).lo
    marks = sorted((kind, *_corners(turn.box(Box(lo, hi)).shifted((-x, -y, -z)))) for kind, lo, hi in shape.marks)
    return (*_head(shape, turn), *turn.grid(*shape.grid), tuple(marks))


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
        numbers = {i: number for number, i in enumerate(kept)}
        filled = {(*at[:k], numbers[at[k]], *at[k + 1 :]) for at in filled if at[k] in numbers}
        planes[k] = [planes[k][i] for i in kept]
    return tuple(tuple(p) for p in planes), tuple(sorted((a[0], a[1], a[2]) for a in filled))


def shape_in_build(piece: PlacedPiece, ticks: Ticks) -> Shape:
    """The shape of a piece as it lies in the build: true to hand. `ticks` must divide its holes as well."""
    marks: list[Mark] = []
    askew = list(_slanted(piece))
    piece = piece.upright()
    for kind, lo, hi in (*_marks(piece), *askew):
        one, two = piece.spot_in_build(lo), piece.spot_in_build(hi)
        box = Box.between([ticks.count(v) for v in one], [ticks.count(v) for v in two])
        marks.append((kind, box.lo, box.hi))
    for kind, lo, hi in _lines(piece):
        ends = [[round(v.mm * ticks.per_mm) for v in piece.spot_in_build(spot)] for spot in (lo, hi)]
        box = Box.between(*ends)
        marks.append((kind, box.lo, box.hi))
    if piece.turned is not None:
        return _round_shape(piece, piece.turned, ticks, marks)
    solid = piece.solid(ticks)
    return Shape(solid.cells, tuple(marks), _trunk(solid), piece.pose.build_axis(0), piece.material)


def _round_shape(piece: PlacedPiece, turned: Round, ticks: Ticks, marks: list[Mark]) -> Shape:
    """The shape of a turned piece: its stock, with its diameters for marks. Where it is round from end to end, what the
    lathe takes off tells nothing, and it has no faces."""
    solid = replace(piece, turned=None).solid(ticks)
    middle = [v / 2 for v in piece.size]
    for number, (along, diameter) in enumerate(turned.spots):
        half = diameter / 2
        ends = [[along, *(middle[k] + by for k in (1, 2))] for by in (-half, half)]
        box = Box.between(*([round(v.mm * ticks.per_mm) for v in piece.spot_in_build(spot)] for spot in ends))
        step = [other[1].mm for other in turned.spots if other[0] == along]
        marks.append((f"round {sorted(step)} {number in (0, len(turned.spots) - 1)}", box.lo, box.hi))
    for low, high in turned.pommels:
        corners = [piece.spot_in_build((low, ZERO, ZERO)), piece.spot_in_build((high, *piece.size[1:]))]
        box = Box.between(*([round(v.mm * ticks.per_mm) for v in spot] for spot in corners))
        marks.append(("pommel", box.lo, box.hi))
    cells, body, grain = solid.cells, _trunk(solid), piece.pose.build_axis(0)
    if turned.throughout(piece.length):
        half = turned.thickest / 2
        around = [[at, *(middle[k] + by for k in (1, 2))] for at, by in ((ZERO, -half), (piece.length, half))]
        span = Box.between(*([round(v.mm * ticks.per_mm) for v in piece.spot_in_build(spot)] for spot in around))
        lo, hi = list(span.lo), list(span.hi)
        lo[grain], hi[grain] = solid.bounds.lo[grain], solid.bounds.hi[grain]
        within = Box.between(lo, hi)
        cells = tuple(left for cell in cells if (left := cell.overlap(within)) is not None)
        body = body.overlap(within) or body
    return Shape(cells, tuple(marks), body, grain, piece.material)


def _trunk(solid: Solid) -> Box:
    """The body with what joints add over the whole of one of its faces, such as the tongue of a thin panel that is as
    thick as the panel: on the real piece nothing shows where the one ends and the other begins."""
    trunk = solid.body
    grown = True
    while grown and trunk != solid.bounds:
        grown = False
        for axis in AXES:
            for high in (False, True):
                lo, hi = list(trunk.lo), list(trunk.hi)
                end = solid.bounds.hi[axis] if high else solid.bounds.lo[axis]
                if end == (hi if high else lo)[axis]:
                    continue
                (lo if high else hi)[axis] = (hi if high else lo)[axis]
                (hi if high else lo)[axis] = end
                slab = Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))
                if sum(c.volume for cell in solid.cells if (c := cell.overlap(slab)) is not None) == slab.volume:
                    trunk, grown = Box.around((trunk, slab)), True
    return trunk


def _marks(piece: PlacedPiece) -> Iterator[tuple[str, Sequence[Length], Sequence[Length]]]:
    """Boxes in piece coordinates round holes (with diameter in the name), at their countersinks, along
    slots and at the narrow ends of slopes."""
    for bore in piece.bores:
        if bore.slanting is not None:
            continue
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
            ends = [list(lo), list(hi)]  # as deep as it goes: a slot right through is the same from both sides
            ends[0][bore.slot_axis] -= half
            ends[1][bore.slot_axis] += half
            yield f"slot {bore.diameter.mm}", ends[0], ends[1]
    for cuboid in piece.cuboids:
        if cuboid.flare is not None and cuboid.flare.waste:
            # the box it is cut out of says where, the radii of its corners the rest; of a free outline all its lines
            radii = sorted({side.radius.mm for side in cuboid.flare.waste if side.centre is not None})
            yield f"rounded {radii}", cuboid.lo, cuboid.hi
        elif cuboid.flare is not None:
            axis, high = side_of(cuboid.flare.at)
            lo, hi = list(cuboid.lo), list(cuboid.hi)
            lo[axis] = hi[axis] = hi[axis] if high else lo[axis]
            if cuboid.flare.only is not None:
                side, high = side_of(cuboid.flare.only)
                lo[side] = hi[side] = lo[side] if high else hi[side]
                against = MITRED if Trait.MEETS_SLOPE in cuboid.kind.traits else f"slope of a {cuboid.kind}"
                yield f"{against} {cuboid.flare.by.mm}", lo, hi
                if cuboid.flare.skew_to is not None:
                    lo, hi = list(cuboid.lo), list(cuboid.hi)
                    side, high = side_of(cuboid.flare.skew_to)
                    lo[side] = hi[side] = hi[side] if high else lo[side]
                    yield f"skew of a {cuboid.kind} {cuboid.flare.skew.mm}", lo, hi
            else:
                yield f"slope {cuboid.flare.by.mm} {'tail' if cuboid.adds else 'socket'}", lo, hi


def _lines(piece: PlacedPiece) -> Iterator[tuple[str, Sequence[Length], Sequence[Length]]]:
    """The corners and the lines of free outlines; of an arc also its radius and whether it goes into the wood."""
    for cuboid in piece.cuboids:
        flare = cuboid.flare
        if flare is None or not _is_free(cuboid):
            continue
        first, second = PIECE_AXES.index(flare.axis), side_of(flare.at)[0]
        for side in flare.waste:
            ends = [list(cuboid.lo), list(cuboid.hi)]
            for spot, end in zip((side.start, side.end), ends, strict=True):
                end[first], end[second] = spot
            corner = list(cuboid.hi)
            corner[first], corner[second] = side.start
            yield "corner", ends[0], corner
            hollow = "straight" if side.centre is None else f"{'hollow' if side.left else 'round'} {side.radius.mm}"
            yield f"line {hollow}", ends[0], ends[1]


def _is_free(cuboid: Cuboid) -> bool:
    """Whether it is cut to an outline of its own, or askew on a face, which a box and a radius do not tell."""
    free = cuboid.kind is FeatureKind.OUTLINE or cuboid.kind is FeatureKind.CUT_OUT or not cuboid.own
    return free and cuboid.flare is not None and bool(cuboid.flare.waste)


def _slanted(piece: PlacedPiece) -> Iterator[tuple[str, Sequence[Length], Sequence[Length]]]:
    """The middles of the mouth and of the floor of every mortise and hole that goes in at an angle; of both mouths
    where it goes through, which is the same from either side."""
    for bore in piece.bores:
        if bore.slanting is not None:
            name = f"slanting hole {bore.diameter.mm}"
            through = bore.depth is None and bore.head is None
            end = bore.slanting.exit
            if bore.depth is not None:
                spots = zip(bore.centre, bore.slanting.way, strict=True)
                a, b, c = (near(v.float_mm() + bore.depth.float_mm() * w) for v, w in spots)
                end = (a, b, c)
            yield name, bore.centre, bore.centre
            yield name if through else f"end of a {name}", end, end
    for cuboid in piece.cuboids:
        slant = cuboid.slant
        if slant is not None and not cuboid.adds:
            name, through = f"slanted {cuboid.kind}", slant.deep is None
            axis = side_of(slant.face)[0]
            long = slant.deep.float_mm() if slant.deep else piece.size[axis].float_mm() / abs(slant.way[axis])
            floor = [near(slant.centre[k].float_mm() + long * slant.way[k]) for k in range(3)]
            yield name, slant.centre, slant.centre
            yield name if through else f"floor of a {name}", floor, floor


def form_of(shape: Shape) -> Form:
    """The canonical form: the same for every way the piece can be turned, and for nothing else."""
    heads = [_head(shape, turn) for turn in TURNS]
    least = min(heads)  # descriptions that begin larger are none of them the smallest
    return min(description(shape, turn) for turn, head in zip(TURNS, heads, strict=True) if head == least)


@dataclass(frozen=True, slots=True)
class Kind:
    """Pieces that are one and the same to the build: any of them can stand in any of their places."""

    marks: tuple[str, ...]


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


def find_look_alikes(scene: Scene, tolerance: Length = ZERO) -> LookAlikes:
    """Group the pieces of a scene. Kinds and marks in them are in order of marks, whatever the order of the scene;
    pairs name mirror images, equal bodies with different joints, and bodies that differ by at most `tolerance` in each
    dimension."""
    ticks = marking_ticks(scene.pieces)
    cache: dict[object, Form] = {}
    groups: dict[Form, list[int]] = {}
    shapes = [shape_in_build(piece, ticks) for piece in scene.pieces]
    for i, shape in enumerate(shapes):
        plain = description(shape)
        if plain not in cache:
            cache[plain] = form_of(shape)
        groups.setdefault(cache[plain], []).append(i)
    ordered = sorted(groups.items(), key=lambda item: min(scene.pieces[i].mark for i in item[1]))
    mirrors = [form_of(shapes[members[0]].turned(MIRROR)) for _, members in ordered]
    kinds = tuple(Kind(tuple(sorted(scene.pieces[i].mark for i in members))) for _, members in ordered)
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
        lengths += [length for _, lo, _ in _slanted(piece) for length in lo]
        for bore in piece.bores:
            lengths += [*bore.centre, *([] if bore.depth is None else [bore.depth])]
            lengths += [] if bore.slot is None else [(bore.slot - bore.diameter) / 2]
        lengths += [v for _, lo, hi in _lines(piece) for v in (*lo, *hi) if v.per_mm <= FINE]
    ticks = Ticks.of(lengths)
    return ticks.fine() if any(piece.off_square for piece in pieces) else ticks


def _sizes(piece: PlacedPiece) -> tuple[Length, Length, Length]:
    """Length, then the two sizes across the grain, larger first: which of them is called width does not matter."""
    return (piece.length, max(piece.width, piece.thickness), min(piece.width, piece.thickness))


def turns_onto(shape: Shape, other: Shape) -> list[Turn]:
    """The turns that make a piece lie like another of its kind. Raises ValueError where none does."""
    wanted, head = description(other), _head(other, AS_IT_LIES)
    found = [turn for turn in TURNS if _head(shape, turn) == head and description(shape, turn) == wanted]
    if not found:
        raise ValueError("these pieces are not of one kind")
    return found
