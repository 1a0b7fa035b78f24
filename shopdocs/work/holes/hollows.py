"""What is hollow inside one piece: its holes and the cuts of its joints, and how near they come to each other.

Pieces without a place have no joints in space, but their holes are looked at all the same, as if they lay alone.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from math import hypot, inf, sqrt

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.box import Box, Span, Ticks, less_all
from shopdocs.core.length import ZERO
from shopdocs.model.build import Build
from shopdocs.model.parts import Direction, Part, Piece, Runs
from shopdocs.work.holes.fastening import Fastening, Line, lines_alone
from shopdocs.work.joints.frame import Joinery
from shopdocs.work.scene.own_cuts import all_cuts, own_name
from shopdocs.work.scene.wastes import shapes_outline
from shopdocs.work.space.askew_piece import AskewPiece
from shopdocs.work.space.drilled import Drilled
from shopdocs.work.space.let_in import is_let_in, strips
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece, Pose, pose_of

STRIP = 4.0  # millimetres: what lies askew is taken in boxes so long, at most 3 mm wider than it is
_LYING = Pose.of(Runs(Direction.X, Direction.Y, Direction.Z))


class Cut(Struct, frozen=True):
    """A block that a joint cuts out of a piece, or adds to it (`adds`), in ticks; `joint` is the number of the meeting
    (that of the maker's own cut below zero: see `cut_numbers`), `held` what of the block the other piece fills, where
    the joint leaves room before its floor. A dovetail's socket is taken at its wide end, so that it is never thought
    narrower than it is."""

    kind: FeatureKind
    box: Box
    adds: bool
    joint: int
    held: Box


class Hollowed(Struct, frozen=True, dict=True):
    """A piece with holes. Lines and boxes are in the build's directions, in `ticks`."""

    piece: PlacedPiece
    ticks: Ticks
    lines: tuple[Line, ...]
    cuts: tuple[Cut, ...] = ()

    @cached_property
    def body(self) -> Box:
        """The piece's body in ticks, without what joints add and cut."""
        return Box.between([self.ticks.count(v) for v in self.piece.at], [self.ticks.count(v) for v in self.piece.far])

    @cached_property
    def likeness(self) -> tuple[object, ...]:
        """The same for pieces of one part that are hollowed alike by the same lines of the file."""
        x, y, z = self.body.lo
        lines = tuple((id(e.at), id(e.hole_at), e.entry[0] - x, e.entry[1] - y, e.entry[2] - z) for e in self.lines)
        cuts = tuple((cut.kind, cut.box.shifted((-x, -y, -z))) for cut in self.cuts)
        return self.piece.part, self.body.size, lines, cuts

    def near(self, reach: int) -> Iterator[tuple[Line, Line | Cut]]:
        """Every hole with every other hole and every cut that come within `reach` of each other along the length."""
        axis = max(range(3), key=lambda k: self.body.size[k])
        items: list[tuple[int, int, int, Line | Cut]] = []
        for line in self.lines:
            low, high = _span(line, axis)
            items.append((low, high, len(items), line))
        for cut in self.cuts:
            items.append((cut.box.lo[axis], cut.box.hi[axis], len(items), cut))
        items.sort(key=lambda item: item[:3])
        open_now: list[tuple[int, int, int, Line | Cut]] = []
        for item in items:
            open_now = [other for other in open_now if other[1] + reach >= item[0]]
            for other in open_now:
                first, second = sorted((other, item), key=lambda each: each[2])
                if isinstance(first[3], Line):
                    yield first[3], second[3]
            open_now.append(item)


def cut_numbers(build: Build) -> dict[str, int]:
    """A number below zero for each of the maker's own cuts, by what its features are called."""
    return {own_name(cut): -number for number, cut in enumerate(all_cuts(build), 1)}


def hollowed_pieces(build: Build, holes: Iterable[Drilled], fastening: Fastening | None) -> Iterator[Hollowed]:
    """Every piece with holes, in reading order."""
    drilled: dict[str, list[Drilled]] = defaultdict(list)
    for hole in holes:
        drilled[hole.piece].append(hole)
    index = {piece.mark: i for i, piece in enumerate(fastening.space.scene.pieces)} if fastening else {}
    own = cut_numbers(build)
    for part, piece in build.pieces():
        if fastening is not None and piece.mark in index:
            placed = fastening.space.scene.pieces[index[piece.mark]]
            if isinstance(placed, AskewPiece):
                if piece.mark in drilled:
                    yield _on_the_bench(placed, part, drilled[piece.mark], fastening.space.joinery, own)
                continue
            lines = fastening.of_piece.get(index[piece.mark], [])
            if lines:
                cuts = tuple(_cuts(placed, fastening.ticks, fastening.space.joinery, own))
                yield Hollowed(placed, fastening.ticks, tuple(lines), cuts)
        elif piece.mark in drilled:
            alone = _alone(part, piece)
            yield Hollowed(alone, *lines_alone(alone, part, drilled[piece.mark]))


def _on_the_bench(
    piece: AskewPiece, part: Part, drilled: list[Drilled], joinery: Mapping[int, Joinery], own: Mapping[str, int]
) -> Hollowed:
    """A piece off square, as it lies on the bench: where else its holes lead is not asked."""
    flat = _uncut(piece.upright())
    ticks, lines = lines_alone(flat, part, drilled)
    return Hollowed(flat, ticks, lines, tuple(_cuts(flat, ticks, joinery, own)))


def _uncut(piece: PlacedPiece) -> PlacedPiece:
    """Without its ends off square: a hole in such an end is measured and drilled on the end as it is sawn."""
    kept = (one for one in piece.features if not isinstance(one, Cuboid) or one.kind is not FeatureKind.END_CUT)
    return replace(piece, features=tuple(kept))


def _alone(part: Part, piece: Piece) -> PlacedPiece:
    pose = pose_of(part, replace(piece, place=None)) or _LYING
    return PlacedPiece(piece.mark, part.name, (ZERO,) * 3, part.length, part.width, part.thickness, pose)


def _cuts(piece: PlacedPiece, ticks: Ticks, joinery: Mapping[int, Joinery], own: Mapping[str, int]) -> Iterator[Cut]:
    for cuboid in piece.cuboids:
        if shapes_outline(cuboid):
            continue  # held against its own outline, not the box round it
        if is_let_in(cuboid):
            for lo, hi in strips(cuboid, STRIP):
                part = [[ticks.count(v) for v in piece.spot_in_build(spot)] for spot in (lo, hi)]
                where = Box.between(*part)
                yield Cut(cuboid.kind, where, False, int(cuboid.joint), where)
            continue
        ends = [[ticks.count(v) for v in piece.spot_in_build(spot)] for spot in (cuboid.lo, cuboid.hi)]
        box = Box.between(*ends)
        if cuboid.joint in own:
            yield Cut(cuboid.kind, box, False, own[cuboid.joint], box)
            continue
        made = joinery[int(cuboid.joint)]
        held = box
        if made.room and made.meets is not None and not cuboid.adds:
            held = _less_room(box, *piece.pose.look_of(made.meets), ticks.nearest(made.room))
        yield Cut(cuboid.kind, box, cuboid.adds, int(cuboid.joint), held)


def _less_room(box: Box, axis: int, high: bool, room: int) -> Box:
    """A cut that opens to one side, without the room before its floor."""
    lo, hi = list(box.lo), list(box.hi)
    lo[axis], hi[axis] = (lo[axis] + room, hi[axis]) if high else (lo[axis], hi[axis] - room)
    return Box.between(lo, hi)


# --- how two hollows lie ----------------------------------------------------------------------------------------------


class Nearness(Struct, frozen=True):
    """How near a hole comes to another or to a cut: `wall` is the wood between them in ticks, less than zero where
    they run into each other, infinite where they are far apart. Then `shift` is how far one of them must be moved
    `way` (an axis of the build; None: away from the other), and `depths` how deep each hole may go at most."""

    wall: float
    shift: float = 0.0
    way: int | None = None
    depths: tuple[tuple[Line, float], ...] = ()


FAR = Nearness(inf)


def between_holes(one: Line, other: Line) -> Nearness:
    """Exact where holes overlap; the wall between holes square to each other only where they pass, or where the bottom
    of one faces the side of the other."""
    return _side_by_side(one, other) if one.axis == other.axis else _square(one, other)


def _span(line: Line, axis: int) -> Span:
    if axis == line.axis:
        return min(line.entry[axis], line.end), max(line.entry[axis], line.end)
    reach = line.radius + line.slack[axis]
    return line.entry[axis] - reach, line.entry[axis] + reach


def _core(line: Line, axis: int) -> Span:
    """Where the axis of a hole goes; a slot has many."""
    return line.entry[axis] - line.slack[axis], line.entry[axis] + line.slack[axis]


def _gap(one: Span, other: Span) -> int:
    return max(other[0] - one[1], one[0] - other[1], 0)


def farthest(one: Line, other: Line) -> float:
    """How far the axes of two holes along one direction may lie apart, slots included."""
    return hypot(*(abs(one.entry[k] - other.entry[k]) + one.slack[k] + other.slack[k] for k in one.across))


def _side_by_side(one: Line, other: Line) -> Nearness:
    apart = hypot(*(_gap(_core(one, k), _core(other, k)) for k in one.across)) - one.radius - other.radius
    first, second = _span(one, one.axis), _span(other, one.axis)
    common = min(first[1], second[1]) - max(first[0], second[0])
    if common <= 0:
        return Nearness(-common) if apart < 0 else FAR
    if apart >= 0:
        return Nearness(apart)
    depths = []
    if one.ahead != other.ahead:
        depths = [(line, float(abs(line.end - line.entry[line.axis]) - common)) for line in (one, other)]
    return Nearness(max(apart, -float(common)) if depths else apart, -apart, None, _possible(depths))


def _square(one: Line, other: Line) -> Nearness:
    """Two holes at right angles. At a place on the third axis each is a strip, as wide as its chord there; they share
    wood where one place gives both a chord that reaches the other."""
    third = 3 - one.axis - other.axis
    apart = _gap(_core(one, third), _core(other, third))
    to_other = _gap(_span(one, one.axis), _core(other, one.axis))  # from the bottom of one to the axis of the other
    to_one = _gap(_span(other, other.axis), _core(one, other.axis))
    if to_other >= other.radius or to_one >= one.radius:
        if to_one == 0 and apart <= one.radius:
            return Nearness(to_other - other.radius)
        if to_other == 0 and apart <= other.radius:
            return Nearness(to_one - one.radius)
        return FAR
    chords = sqrt(one.radius**2 - to_one**2) + sqrt(other.radius**2 - to_other**2)
    if apart >= chords:
        return FAR if to_one or to_other else Nearness(apart - chords)
    depths = [
        _less_deep(one, other, apart - sqrt(one.radius**2 - to_one**2)),
        _less_deep(other, one, apart - sqrt(other.radius**2 - to_other**2)),
    ]
    possible = _possible(depths)
    least = min([chords - apart, *(abs(line.end - line.entry[line.axis]) - depth for line, depth in possible)])
    return Nearness(-least, chords - apart, third, possible)


def _less_deep(line: Line, other: Line, beside: float) -> tuple[Line, float]:
    """How deep a hole may go before it breaks into the side of another, whose chord `beside` its middle it meets."""
    chord = sqrt(max(other.radius**2 - max(beside, 0.0) ** 2, 0.0))
    ends = [line.along(value) for value in _core(other, line.axis)]
    return line, min(ends) - chord


def _possible(depths: Sequence[tuple[Line, float]]) -> tuple[tuple[Line, float], ...]:
    return tuple((line, depth) for line, depth in depths if depth > 0 and not line.through)


def to_cut(line: Line, cut: Cut) -> Nearness:
    """How near a hole comes to a block."""
    apart = hypot(*(_gap(_core(line, k), (cut.box.lo[k], cut.box.hi[k])) for k in line.across)) - line.radius
    low, high = along(line, cut)
    deep = line.along(line.end)
    common = min(deep, high) - max(0, low)
    if common <= 0:
        return Nearness(low - deep) if apart < 0 and low >= deep else FAR
    if apart >= 0:
        return Nearness(apart)
    depths = _possible([(line, float(low))])
    shift, way = beside(line, cut.box)
    return Nearness(-float(min([shift, *(deep - depth for _, depth in depths)])), shift, way, depths)


def along(line: Line, cut: Cut) -> Span:
    """Where a block begins and ends along a hole, from its mouth on."""
    ends = line.along(cut.box.lo[line.axis]), line.along(cut.box.hi[line.axis])
    return min(ends), max(ends)


def beside(line: Line, box: Box) -> tuple[int, int]:
    """How far at least a hole must be moved along an axis of the build, and which, to lie beside a block."""
    return min((min(_span(line, k)[1] - box.lo[k], box.hi[k] - _span(line, k)[0]), k) for k in line.across)


def into(line: Line, box: Box) -> tuple[int, int] | None:
    """How far a hole must be moved along one axis of the build, and which, so that its whole round lies in the outline
    of a block; None where that is not enough, or not needed."""
    off = []
    for k in line.across:
        low, high = _span(line, k)
        if high - low > box.size[k]:
            return None
        off.append((max(box.lo[k] - low, high - box.hi[k], 0), k))
    needed = [each for each in off if each[0]]
    return needed[0] if len(needed) == 1 else None


def all_within(line: Line, boxes: Sequence[Box]) -> bool:
    """Whether the whole round of a hole lies in the outline of blocks, seen along the hole (where it takes several of
    them, the square about it)."""
    u, v = line.across
    lows, highs = zip(_span(line, u), _span(line, v), strict=True)
    square = Box((lows[0], lows[1], 0), (highs[0], highs[1], 1))
    return not less_all([square], [Box((b.lo[u], b.lo[v], 0), (b.hi[u], b.hi[v], 1)) for b in boxes])


def to_face(line: Line, body: Box) -> int:
    """The least wood beside a hole, as far as a face of its piece."""
    return min(min(_span(line, k)[0] - body.lo[k], body.hi[k] - _span(line, k)[1]) for k in line.across)
