"""A piece as it is marked out, in true lengths: where it ends, which faces carry work, what is measured on each, and
the lines each shows. Drawings of it are tried at many scales; all this is the same at each of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache, cached_property, lru_cache

from shopdocs.blocks.drawing import Stroke
from shopdocs.core.box import Box, Corner, Ticks
from shopdocs.core.length import ZERO, Length, total
from shopdocs.documents.drawn.shown import Shown, along_the_piece, slanted
from shopdocs.documents.drawn.stand import Stand, stand_of
from shopdocs.documents.rounds import is_round_throughout
from shopdocs.model.joining import Face
from shopdocs.model.joint_names import Trait
from shopdocs.work.shapes.hidden import Segment, outline
from shopdocs.work.shapes.projection import View
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.ends import gauged_extents
from shopdocs.work.space.flats import flat_of, flat_under
from shopdocs.work.space.let_in import axes_of, is_let_in
from shopdocs.work.space.likeness import marking_ticks
from shopdocs.work.space.placed import PIECE_AXES, Bore, Cuboid, FeatureKind, PlacedPiece, Spot, face_of, side_of

Stretch = tuple[Length, Length]
PieceLine = tuple[Spot, Spot, Stroke]
LONG_FACES = (Face.FACE, Face.EDGE, Face.BACK, Face.FAR_EDGE)
ENDS = (Face.A, Face.B)
_LONG = Fraction(7, 10)  # of the piece: what runs farther along it is no station of its own
MOST_ASKEW = 3  # cuts that lie askew on one face have four figures each in its rows; more have them in words


class Gauged:
    """`lo` and `hi` are the corners of the wood, joints included. `start` is where one marks out from and `finish` the
    other ends: the shoulder, or the real end where no shoulder shows. `shoulders` are knife lines along the piece.
    With `laid` an upright piece is drawn lying, its foot at the left."""

    def __init__(self, piece: PlacedPiece, laid: bool = False) -> None:
        self.piece = piece
        self._places: dict[tuple[object, ...], list[Length]] = {}
        self.stand: Stand = replace(stand_of(piece), upright=False) if laid else stand_of(piece)
        self.ticks: Ticks = marking_ticks([piece]).fine()
        self.solid = piece.own_solid(self.ticks)
        bounds: Box = self.solid.bounds
        self.lo, self.hi = self._spot(bounds.lo), self._spot(bounds.hi)
        along, across, deep = gauged_extents(piece)
        self.start: Spot = (-along.start.flush, -across.start.flush, -deep.start.flush)
        long, wide, thick = piece.size
        self.finish: Spot = (long + along.end.flush, wide + across.end.flush, thick + deep.end.flush)
        self.shoulders = [
            at
            for at, ending in ((self.start[0], along.start), (self.finish[0], along.end))
            if ending.shoulder and not self._is_sawn_off_square(at) and not self.is_round(at, at)
        ]

    @property
    def all_round(self) -> bool:
        """Whether it is round from end to end, and has no faces to measure from."""
        return is_round_throughout(self.piece.turned, self.piece.length)

    @property
    def plain_round(self) -> bool:
        """Whether it looks the same from all sides: nothing is bored into its round."""
        sides = [bore for bore in self.piece.bores if side_of(bore.face)[0]]
        return self.all_round and not sides and all(cuboid.adds for cuboid in self.piece.cuboids)

    def is_round(self, low: Length, high: Length) -> bool:
        """Whether all of a stretch along the piece is round, its ends with it."""
        turned = self.piece.turned
        return turned is not None and turned.within(low, high)

    def _spot(self, corner: Corner) -> Spot:
        a, b, c = (self.ticks.length(v) for v in corner)
        return (a, b, c)

    def _is_sawn_off_square(self, at: Length) -> bool:
        """Whether an end is off square, so that its shoulder is no line squared round; the drawing shows it."""
        ends = (cuboid for cuboid in self.piece.cuboids if cuboid.kind is FeatureKind.END_CUT)
        return any(end.lo[0] <= at <= end.hi[0] for end in ends)

    # which faces carry work

    @cached_property
    def shown(self) -> tuple[Shown, ...]:
        """Every cut and addition with the face it is drawn on."""
        mouths = (found for cuboid in self.piece.cuboids if (found := self._mouth(cuboid)) is not None)
        return (*(self._shown(cuboid) for cuboid in self.piece.cuboids), *mouths)

    def _mouth(self, cuboid: Cuboid) -> Shown | None:
        """Where the open mortise of a bridle at an angle runs out farther along an edge."""
        if Trait.MOUTH not in cuboid.kind.traits or cuboid.slant is None or cuboid.flare is None:
            return None
        axis = next(k for k in axes_of(cuboid.slant) if k)
        runs = {}
        for high in (False, True):
            level = self.piece.size[axis] if high else ZERO
            along = [spot[0] for side in cuboid.flare.waste for spot in (side.start, side.end) if spot[1] == level]
            runs[high] = (min(along), max(along)) if along else (ZERO, ZERO)
        high = runs[True][1] - runs[True][0] > runs[False][1] - runs[False][0]
        lo, hi = list(cuboid.lo), list(cuboid.hi)
        lo[0], hi[0] = runs[high]
        return Shown(cuboid, face_of(axis, high), (lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]), None, at_mouth=True)

    def _shown(self, cuboid: Cuboid) -> Shown:
        lo, hi = self._there(cuboid)
        size = [high - low for low, high in zip(lo, hi, strict=True)]
        if cuboid.adds:
            return Shown(cuboid, self._adding_face(cuboid), lo, hi, None)
        if cuboid.slant is not None:
            return Shown(cuboid, cuboid.slant.face, lo, hi, cuboid.slant.deep)
        flat = flat_under(self.piece, cuboid)
        if flat is not None:
            return Shown(cuboid, flat.face, lo, hi, size[side_of(flat.face)[0]])
        if Trait.PLANED in cuboid.kind.traits:
            own = flat_of(self.piece, cuboid)
            return Shown(cuboid, own.face, own.lo, own.hi, own.deep)
        opens = [
            face_of(axis, high)
            for axis in range(3)
            for high in (False, True)
            if (cuboid.hi[axis] >= self.piece.size[axis] if high else cuboid.lo[axis] <= ZERO)
        ]
        long = [face for face in LONG_FACES if face in opens] or opens or [Face.FACE]
        outlined = cuboid.flare is not None and (cuboid.flare.waste or cuboid.kind is FeatureKind.ARCH)
        if cuboid.flare is not None and outlined:  # it is seen on these faces alone
            seen = 3 - PIECE_AXES.index(cuboid.flare.axis) - side_of(cuboid.flare.at)[0]
            long = [face for face in long if side_of(face)[0] == seen] or long

        def area(face: Face) -> Fraction:
            first, second = (k for k in range(3) if k != side_of(face)[0])
            return size[first].mm * size[second].mm

        face = max(long, key=area)
        axis, high = side_of(face)
        through = face_of(axis, not high) in opens
        widens = _widens(cuboid, face)
        if widens:
            lo, hi = _least(replace(cuboid, lo=lo, hi=hi))
        return Shown(cuboid, face, lo, hi, None if through else size[axis], widens)

    def _adding_face(self, cuboid: Cuboid) -> Face:
        """Where what stands out is drawn: on the face side; what leaves no shoulder on it, as tails do, on the back
        face where the work lies there."""
        if self._is_shouldered(cuboid) or Face.BACK not in self._worked or Face.FACE in self._worked:
            return Face.FACE
        return Face.BACK

    @cached_property
    def _worked(self) -> set[Face]:
        """The faces with a cut or a hole of their own."""
        cuts = {self._shown(cuboid).face for cuboid in self.piece.cuboids if not cuboid.adds}
        shouldered = {Face.FACE for cuboid in self.piece.cuboids if cuboid.adds and self._is_shouldered(cuboid)}
        return cuts | shouldered | {bore.face for bore in self.piece.bores}

    def _there(self, cuboid: Cuboid) -> tuple[Spot, Spot]:
        """What of a cut lies in wood that no other cut has taken before it: its ends drawn in to the others' walls."""
        lo = [max(a, b) for a, b in zip(cuboid.lo, self.lo, strict=True)]
        hi = [min(a, b) for a, b in zip(cuboid.hi, self.hi, strict=True)]
        if not cuboid.adds:
            for other in self.piece.cuboids:
                if other is not cuboid and not other.adds and other.joint != cuboid.joint:
                    _draw_in(lo, hi, *_least(other))
        return (lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2])

    @cached_property
    def faces(self) -> tuple[Face, ...]:
        """The long faces that are drawn: those that carry work or show a tenon; the face side where none does."""
        worked = {shown.face for shown in self.shown} | {bore.face for bore in self.piece.bores}
        return tuple(face for face in LONG_FACES if face in worked) or (Face.FACE,)

    @cached_property
    def base(self) -> Face:
        """The long face that the views of the ends stand beside: the face side, else the back face, else the first."""
        return next((face for face in (Face.FACE, Face.BACK) if face in self.faces), self.faces[0])

    @cached_property
    def ends(self) -> tuple[Face, ...]:
        """The ends that are drawn: those with a tenon, pins or a hole; end A where something stands out of an edge, or
        where neither face side nor face edge is drawn and they have to be told from the others; one of two that show
        the same."""
        if self.all_round:
            return tuple(end for end in ENDS if any(bore.face is end for bore in self.piece.bores))
        drawn = [end for end in ENDS if self._carries(end)]
        if not {Face.FACE, Face.EDGE} & {*self.faces} or any(self._stands_out(cuboid) for cuboid in self.piece.cuboids):
            drawn = drawn or [Face.A]
        if len(drawn) == 2 and self._end_key(Face.A) == self._end_key(Face.B):
            drawn = drawn[:1]
        return tuple(drawn)

    def same_ends(self) -> bool:
        """Whether the one end that is drawn stands for both."""
        return self._carries(Face.A) and self._carries(Face.B) and len(self.ends) == 1

    def _carries(self, end: Face) -> bool:
        return bool(self.end_cuboids(end)) or any(bore.face is end for bore in self.piece.bores)

    def end_cuboids(self, end: Face) -> list[Cuboid]:
        """What is measured at an end: tenons and their kind there, and sockets; not tails, which a long face shows."""
        return [cuboid for cuboid in self.piece.cuboids if self._is_on_end(cuboid, end is Face.B)]

    def _is_on_end(self, cuboid: Cuboid, high: bool) -> bool:
        long = self.piece.length
        if cuboid.adds:
            stands_out = cuboid.hi[0] > long if high else cuboid.lo[0] < ZERO
            return stands_out and self._is_shouldered(cuboid)
        opens = cuboid.hi[0] >= long if high else cuboid.lo[0] <= ZERO
        own = Trait.TAILED in cuboid.kind.traits or cuboid.kind is FeatureKind.TAPER
        return opens and (own or self._shown(cuboid).face in ENDS)

    def _is_shouldered(self, cuboid: Cuboid) -> bool:
        if cuboid.flare is not None or _is_tailed(cuboid):
            return False
        whole = all(cuboid.lo[k] <= self.start[k] and cuboid.hi[k] >= self.finish[k] for k in (1, 2))
        return not whole

    def _stands_out(self, cuboid: Cuboid) -> bool:
        return cuboid.adds and any((cuboid.lo[k] < self.start[k] or cuboid.hi[k] > self.finish[k]) for k in (1, 2))

    def _end_key(self, end: Face) -> object:
        cuts = frozenset((c.lo[1:], c.hi[1:], c.adds) for c in self.end_cuboids(end))
        holes = frozenset((b.centre[1:], b.diameter, b.depth) for b in self.piece.bores if b.face is end)
        return cuts, holes

    @cached_property
    def least_cut(self) -> Length:
        """The narrowest that any cut shows on the face it is drawn on; the length of the piece for none."""
        sides = [
            shown.hi[k] - shown.lo[k]
            for shown in self.shown
            for k in range(3)
            if k != side_of(shown.face)[0] and not shown.cuboid.adds
        ]
        return min((side for side in sides if side > ZERO), default=self.piece.length)

    # along the piece

    @cached_property
    def free(self) -> list[Stretch]:
        """Stretches along the piece that carry nothing, the longest first. Of a groove along most of the piece the ends
        alone have to be seen, and enough of it beside them to be known for a groove."""
        whole, arched = self.piece.length * _LONG, self._arched
        free, at = [], self.lo[0]
        marks = [(at, at) for at in self.ends_of_long]
        for low, high in sorted([*self._carrying(), *marks]):
            if high - low > whole and not arched:
                continue
            if low > at:
                free.append((at, low))
            at = max(at, high)
        return sorted(free, key=lambda f: f[0] - f[1])

    @property
    def _arched(self) -> bool:
        kinds = {cuboid.kind for cuboid in self.piece.cuboids}
        return bool(kinds & {FeatureKind.ARCH, FeatureKind.OUTLINE}) or self.piece.turned is not None

    @cached_property
    def ends_of_long(self) -> frozenset[Length]:
        """Where what runs along most of the piece begins and ends short of its ends: a break lies within it."""
        if self._arched:
            return frozenset()
        whole = self.piece.length * _LONG
        long = [stretch for stretch in self._carrying() if stretch[1] - stretch[0] > whole]
        return frozenset(at for stretch in long for at in stretch if ZERO < at < self.piece.length)

    def _carrying(self) -> list[Stretch]:
        length = self.piece.length
        spans = [(self.lo[0], ZERO), (length, self.hi[0])]
        for feature in self.piece.features:
            if isinstance(feature, Cuboid):
                spans.append((max(feature.lo[0], self.lo[0]), min(feature.hi[0], self.hi[0])))
            elif side_of(feature.face)[0] == 0:
                depth = feature.depth or ZERO
                spans.append((ZERO, depth) if feature.face is Face.A else (length - depth, length))
            else:
                wide = max(feature.diameter, feature.head or ZERO, feature.slot or ZERO) / 2
                spans.append((feature.centre[0] - wide, feature.centre[0] + wide))
        for cone in self.piece.turned.cones() if self.piece.turned is not None else ():
            if cone.start[1] != cone.end[1]:
                spans.append((cone.start[0], cone.end[0]))
        return sorted(spans)

    def _known(self, key: tuple[object, ...], found: Callable[[], list[Length]]) -> list[Length]:
        """What is asked for at every scale, found once."""
        if key not in self._places:
            self._places[key] = found()
        return self._places[key]

    @property
    def _measured(self) -> list[Bore]:
        """The holes that are laid out with a rule; others are marked through the piece that they are bored for."""
        return [bore for bore in self.piece.bores if not bore.marked]

    def stations(self, face: Face) -> list[Length]:
        """Places along a face where something on it begins or ends, and centres of holes; on the face side also both
        ends and what goes into the joints beyond them."""
        return self._known((face,), lambda: self._stations(face))

    def _stations(self, face: Face) -> list[Length]:
        start, finish = self.start[0], self.finish[0]
        places = set()
        for shown in self.shown:
            if shown.face is face and shown.cuboid.kind is not FeatureKind.OUTLINE and not self._is_told(shown):
                places |= along_the_piece(shown)
        places |= {bore.centre[0] for bore in self._measured if bore.face is face}
        if self.piece.turned is not None and face is self.base:
            places |= {along for along, _ in self.piece.turned.spots}
        if face is Face.FACE:
            places |= {finish, self.lo[0], self.hi[0]}
        elif places <= {start, finish, self.lo[0], self.hi[0]}:
            return []  # a groove from end to end
        else:
            places -= {self.lo[0], self.hi[0]} - {start, finish}
        return sorted(places - {start})

    def _is_told(self, shown: Shown) -> bool:
        """Whether it is one of so many that lie askew on a face that their places stand in words alone."""
        if not is_let_in(shown.cuboid):
            return False
        alike = [one for one in self.shown if one.face is shown.face and is_let_in(one.cuboid)]
        return len(alike) > MOST_ASKEW

    # across it

    def levels(self, face: Face, end: Face) -> list[Length]:
        """Places across a long face, told at one of its ends: of tails and sockets at their own, of all else at the
        end A lies away from; the whole width with them. Where cuts near both ends lie a little beside each other, those
        near end A are told there, for in one row nobody could say which figures are whose."""
        return self._known((face, end), lambda: self._levels(face, end))

    def _levels(self, face: Face, end: Face) -> list[Length]:
        if self.all_round:
            return []
        axis = 3 - side_of(face)[0]
        start, finish = self.start[axis], self.finish[axis]
        middle = self.piece.length / 2
        interlocked = self._interlock(face, axis)
        places = set()
        for shown in self.shown:
            if shown.face is not face or shown.cuboid.kind is FeatureKind.OUTLINE or self._is_lost(shown.cuboid, axis):
                continue
            if self._is_told(shown):
                continue
            own = _is_tailed(shown.cuboid) or (interlocked and shown.hi[0] <= middle)
            if shown.cuboid.adds and not own:
                if not self._stands_out(shown.cuboid):
                    continue
                own = True
            at = Face.A if own and shown.lo[0] + shown.hi[0] < middle * 2 else Face.B
            if at is end and shown.cuboid.slant is not None and not shown.at_mouth:
                places |= slanted(shown, axis)
            elif at is end:
                places |= {shown.lo[axis], shown.hi[axis]}
        if end is Face.B:
            places |= {bore.centre[axis] for bore in self._measured if bore.face is face}
            places |= {finish} if places or face is Face.FACE else set()
        elif places:
            places.add(finish)
        return sorted(places - {start})

    def _interlock(self, face: Face, axis: int) -> bool:
        """Whether some mortise in the half of end A and one in the other half begin or end across the face between the
        sides of each other."""
        middle = self.piece.length / 2
        spans: tuple[set[tuple[Length, Length]], ...] = (set(), set())
        for shown in self.shown:
            half = 0 if shown.hi[0] <= middle else 1 if shown.lo[0] >= middle else None
            if shown.face is face and shown.cuboid.kind is FeatureKind.MORTISE and half is not None:
                spans[half].add((shown.lo[axis], shown.hi[axis]))
        return any(one != two and one[0] < two[1] and two[0] < one[1] for one in spans[0] for two in spans[1])

    def end_levels(self, end: Face, axis: int) -> list[Length]:
        """Places across (axis 1) or deep (axis 2) of what an end shows, its own size with them."""
        return self._known((end, axis), lambda: self._end_levels(end, axis))

    def _end_levels(self, end: Face, axis: int) -> list[Length]:
        places = {self.finish[axis]}
        for cuboid in self.end_cuboids(end):
            low, high = self._at_the_figures(cuboid)
            places |= {max(low[axis], self.lo[axis]), min(high[axis], self.hi[axis])}
        places |= {bore.centre[axis] for bore in self._measured if bore.face is end}
        if end is self.ends[0]:
            for cuboid in self.piece.cuboids:
                if self._stands_out(cuboid):
                    places |= {cuboid.lo[axis], cuboid.hi[axis]}
        return sorted(places - {self.start[axis]})

    def _at_the_figures(self, cuboid: Cuboid) -> tuple[Spot, Spot]:
        """What of a cut in an end opens on the side of its view where the figures stand, which is that away from the
        base: a socket that is narrow there is marked out there so."""
        axis, high = side_of(self.base)
        narrow = not cuboid.adds and bool(_widens(cuboid, face_of(axis, not high)))
        return _least(cuboid) if narrow else (cuboid.lo, cuboid.hi)

    def _is_lost(self, cuboid: Cuboid, axis: int) -> bool:
        """Whether what is added to an edge or the face side lies flush with it all along, so that no line shows it."""
        start, finish = self.start, self.finish
        level = start[axis] <= cuboid.lo[axis] and cuboid.hi[axis] <= finish[axis]
        beyond = cuboid.hi[axis] <= ZERO or cuboid.lo[axis] >= self.piece.size[axis]
        return cuboid.adds and level and beyond and cuboid.lo[0] <= start[0] and cuboid.hi[0] >= finish[0]

    def left_at_end(self, taper: Cuboid) -> Length:
        """What the tapers that run to the end of this one leave there, square to its face."""
        assert taper.flare is not None
        axis = side_of(taper.flare.at)[0]
        alike = [
            other
            for other in self.piece.cuboids
            if other.kind is FeatureKind.TAPER
            and (other.flare and (side_of(other.flare.at)[0], other.flare.only)) == (axis, taper.flare.only)
        ]
        return self.piece.size[axis] - total([other.hi[axis] - other.lo[axis] for other in alike])

    # what is seen

    def lines(self, face: Face) -> Sequence[PieceLine]:
        """What one sees of the wood looking at a face, without its holes."""
        if face not in self._seen:
            self._seen[face] = list(self._lines(face))
        return self._seen[face]

    @cached_property
    def _seen(self) -> dict[Face, list[PieceLine]]:
        return {}

    def _lines(self, face: Face) -> Iterator[PieceLine]:
        axis, high = side_of(face)
        for start, end in _seen_lines(self.solid, axis, high):
            one, two = self._spot(start), self._spot(end)
            yield one, two, Stroke.REFERENCE if self._is_reference(axis, (one, two)) else Stroke.VISIBLE

    def _is_reference(self, look: int, ends: Sequence[Spot]) -> bool:
        """Whether a seen line is the face edge (in the view of the face side and the ends) or the face side (in the
        others): what one gauges from."""
        if self.is_round(min(spot[0] for spot in ends), max(spot[0] for spot in ends)):
            return False
        return any(all(spot[axis] == self.start[axis] for spot in ends) for axis in (1, 2) if axis != look)


@lru_cache(maxsize=1024)
def _seen_lines(solid: Solid, axis: int, high: bool) -> tuple[Segment, ...]:
    """What a view shows of a solid: pieces of one part show the same."""
    return outline([solid], _view_at(axis, high), Ticks()).visible


def _widens(cuboid: Cuboid, face: Face) -> Length:
    """How much wider a trench or a socket is farther in than at its mouth on a face, on either side."""
    flare = cuboid.flare
    if flare is None or flare.at is not face or flare.only is not None or flare.arc or flare.waste:
        return ZERO
    return flare.by


def _is_tailed(cuboid: Cuboid) -> bool:
    """Tails, sockets and the ends left on beside them are told at the end where they are."""
    return Trait.TAILED in cuboid.kind.traits or cuboid.kind is FeatureKind.END_LEFT_ON


@cache
def _view_at(axis: int, high: bool) -> View:
    sign = 1 if high else -1
    toward = [0, 0, 0]
    toward[axis] = sign
    right, up = ((0, 1, 0), (0, 0, sign)) if axis == 0 else ((1, 0, 0), (0, sign, 0) if axis == 2 else (0, 0, -sign))
    return View("", (toward[0], toward[1], toward[2]), right, up)


def _least(cuboid: Cuboid) -> tuple[Spot, Spot]:
    """A cut without its slopes: what of it is gone over its whole depth."""
    lo, hi = list(cuboid.lo), list(cuboid.hi)
    if cuboid.flare is not None:
        k = ("length", "width", "thickness").index(cuboid.flare.axis.value)
        lo[k], hi[k] = lo[k] + cuboid.flare.by, hi[k] - cuboid.flare.by
    return (lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2])


def _draw_in(lo: list[Length], hi: list[Length], low: Spot, high: Spot) -> None:
    """Draws a box in where another covers its end over the whole of its section."""
    for axis in range(3):
        if not all(low[k] <= lo[k] and hi[k] <= high[k] for k in range(3) if k != axis):
            continue
        if low[axis] <= lo[axis] < high[axis] < hi[axis]:
            lo[axis] = high[axis]
        elif lo[axis] < low[axis] < hi[axis] <= high[axis]:
            hi[axis] = low[axis]
