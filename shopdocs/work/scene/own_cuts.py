"""The maker's own cuts as features of their pieces."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from msgspec import Struct

from shopdocs.core.curves import box_with_corners, off_a_corner
from shopdocs.core.drawn import beside, outward, reach
from shopdocs.core.length import ZERO, Length
from shopdocs.core.outline import Side
from shopdocs.core.rounds import Round
from shopdocs.model.build import Build
from shopdocs.model.cutting import CutKind, CutPlace, OwnCut
from shopdocs.model.joining import Face, Hardware, HolePlace, PatternCut
from shopdocs.model.parts import Part
from shopdocs.work.space.features import OWN, PIECE_AXES, Cuboid, FeatureKind, Flare, Spot, face_of, side_of

if TYPE_CHECKING:
    from shopdocs.work.space.mates import Pieces

KINDS = {
    CutKind.GROOVE: FeatureKind.GROOVE,
    CutKind.RABBET: FeatureKind.RABBET,
    CutKind.RECESS: FeatureKind.RECESS,
    CutKind.NOTCH: FeatureKind.NOTCH,
    CutKind.MORTISE: FeatureKind.MORTISE,
    CutKind.CUT_OUT: FeatureKind.CUT_OUT,
    CutKind.BEVEL: FeatureKind.BEVEL,
    CutKind.ROUNDING: FeatureKind.ROUNDING,
    CutKind.TAPER: FeatureKind.TAPER,
    CutKind.ARCH: FeatureKind.ARCH,
    CutKind.END_CUT: FeatureKind.END_CUT,
    CutKind.OUTLINE: FeatureKind.OUTLINE,
}


def own_name(cut: OwnCut) -> str:
    """What the features of a cut are called."""
    return OWN + cut.name


def all_cuts(build: Build) -> tuple[OwnCut, ...]:
    """The cuts of the build, and the recesses of hardware patterns as cuts of that name, on both pieces."""
    pieces = {piece.mark: (part, piece) for part, piece in build.pieces()}
    return (*build.cuts, *(cut for item in build.hardware for cut in _of_pattern(item, pieces)))


class LetIn(Struct, frozen=True):
    """A recess of a hardware pattern as it would lie on a face that has no end: its stretches along and across the face
    of `piece`, and where the pattern's origin lies there. `opens` where the recess begins at the origin, as the leaf of
    a hinge does, `own` on the piece that the pattern sits on."""

    piece: str
    face: Face
    along: tuple[Length, Length]
    across: tuple[Length, Length]
    origin: tuple[Length, Length]
    depth: Length
    opens: bool
    own: bool
    place: HolePlace

    def past(self, part: Part) -> Length:
        """How far it reaches past the face, but for where the origin itself lies on the arris or beyond it."""
        over = [ZERO]
        spans = zip((self.along, self.across), self.origin, _face_of_part(part, self.face), strict=True)
        for (low, high), origin, whole in spans:
            over += [-low] if origin > ZERO else []
            over += [high - whole] if origin < whole else []
        return max(over)

    def inside(self, part: Part) -> Length:
        """How far its open side lies from the arris that it is to open at; zero where it opens."""
        whole = _face_of_part(part, self.face)
        return min(*self.origin, *(size - spot for size, spot in zip(whole, self.origin, strict=True)))


def let_in(item: Hardware, pieces: Pieces) -> Iterator[LetIn]:
    """The recesses of a pattern at all its places, on the pieces it sits on and on those it meets."""
    for place in item.on:
        for cut in item.cuts:
            along, across = (cut.across, cut.along) if place.turned else (cut.along, cut.across)
            ends = [(place.along + a, place.across + b) for a, b in zip(along, across, strict=True)]
            origin = place.along, place.across
            yield _let_in(place.piece, place.face, ends, origin, cut, True, place)
        if not item.mate_cuts:
            continue
        from shopdocs.work.space.mates import mate_of

        mate = mate_of(place, pieces, item.beside)
        for cut in item.mate_cuts if mate is not None and mate.reached else ():
            assert mate is not None
            ends = [mate.spot(a, b) for a, b in zip(cut.along, cut.across, strict=True)]
            yield _let_in(place.meets, mate.face, ends, mate.spot(ZERO, ZERO), cut, False, place)


def _let_in(
    mark: str,
    face: Face,
    ends: list[tuple[Length, Length]],
    origin: tuple[Length, Length],
    cut: PatternCut,
    own: bool,
    place: HolePlace,
) -> LetIn:
    along, across = (tuple(sorted(end[k] for end in ends)) for k in (0, 1))
    opens = ZERO in cut.across
    return LetIn(mark, face, (along[0], along[1]), (across[0], across[1]), origin, cut.depth, opens, own, place)


def _of_pattern(item: Hardware, pieces: Pieces) -> Iterator[OwnCut]:
    deep: dict[Length, list[CutPlace]] = {}
    for recess in let_in(item, pieces):
        deep.setdefault(recess.depth, []).extend(_within(pieces[recess.piece][0], recess))
    for depth, places in deep.items():
        if places:
            yield OwnCut(item.name, CutKind.RECESS, tuple(places), depth, at=item.at, places=item.places)


def _face_of_part(part: Part, face: Face) -> tuple[Length, Length]:
    """How far a face reaches along and across."""
    size = (part.length, part.width, part.thickness)
    first, second = (size[k] for k in range(3) if k != side_of(face)[0])
    return first, second


def _within(part: Part, recess: LetIn) -> Iterator[CutPlace]:
    """A recess as far as it lies on its face; nothing where it lies beside it."""
    spans = [
        (max(low, ZERO), min(high, whole))
        for (low, high), whole in zip((recess.along, recess.across), _face_of_part(part, recess.face), strict=True)
    ]
    if all(low < high for low, high in spans):
        yield CutPlace(recess.piece, recess.face, spans[0], spans[1], at=recess.place.at)


def own_cuts(build: Build) -> Mapping[str, tuple[Cuboid, ...]]:
    """All of them but rounds, by the mark of the piece, in piece coordinates."""
    parts = {piece.mark: part for part, piece in build.pieces()}
    found: dict[str, list[Cuboid]] = defaultdict(list)
    for cut in all_cuts(build):
        for place in cut.on:
            if cut.kind is CutKind.ROUND:
                continue
            if cut.kind is CutKind.OUTLINE:
                found[place.piece] += _beside_outline(cut, place, parts[place.piece])
            else:
                found[place.piece].append(_feature(cut, place, parts[place.piece]))
    return {mark: tuple(cuts) for mark, cuts in found.items()}


def turned_pieces(build: Build) -> dict[str, Round]:
    """The rounds of the build, by the mark of their piece."""
    return {place.piece: place.turned for cut in build.cuts for place in cut.on if place.turned is not None}


def worked_edges(build: Build) -> Mapping[str, tuple[tuple[Face, Face], ...]]:
    """The edges that are bevelled or rounded from end to end, by the mark of the piece."""
    found: dict[str, list[tuple[Face, Face]]] = defaultdict(list)
    for mark, edge, stretch, whole in _worked(build):
        if stretch == (ZERO, whole):
            found[mark].append(edge)
    return {mark: tuple(edges) for mark, edges in found.items()}


def worked_in_part(build: Build) -> Mapping[str, Mapping[tuple[Face, Face], tuple[tuple[Length, Length], ...]]]:
    """The edges with a bevel or a rounding that does not run from end to end, by the mark of the piece: from where to
    where, from end A (on an end: from the face edge; across an edge: from the face side)."""
    found: dict[str, dict[tuple[Face, Face], list[tuple[Length, Length]]]] = defaultdict(lambda: defaultdict(list))
    for mark, edge, stretch, whole in _worked(build):
        if stretch != (ZERO, whole):
            found[mark][edge].append(stretch)
    return {mark: {edge: tuple(sorted(spans)) for edge, spans in edges.items()} for mark, edges in found.items()}


def _worked(build: Build) -> Iterator[tuple[str, tuple[Face, Face], tuple[Length, Length], Length]]:
    """Every bevel and rounding of an edge: of which piece, on which edge, from where to where, and how long it is."""
    from shopdocs.work.space.arrises import edge_name

    parts = {piece.mark: part for part, piece in build.pieces()}
    for cut in build.cuts:
        for place in cut.on:
            if place.second is None or cut.kind in (CutKind.TAPER, CutKind.END_CUT):
                continue
            part = parts[place.piece]
            size = (part.length, part.width, part.thickness)
            runs = 3 - side_of(place.face)[0] - side_of(place.second)[0]
            yield place.piece, edge_name(place.face, place.second), place.along, size[runs]


def _feature(cut: OwnCut, place: CutPlace, part: Part) -> Cuboid:
    size = (part.length, part.width, part.thickness)
    if place.second is not None:
        return _edge(cut, place, size)
    axis, high = side_of(place.face)
    first, second = (k for k in range(3) if k != axis)
    lo, hi = [ZERO] * 3, [ZERO] * 3
    (lo[first], hi[first]), (lo[second], hi[second]) = place.along, place.across
    lo[axis], hi[axis] = _from_face(size[axis], high, cut.depth or size[axis])
    flare = None
    if cut.kind is CutKind.ARCH:
        half = (hi[first] - lo[first]) / 2
        flare = Flare(PIECE_AXES[first], face_of(axis, not high), half, arc=True)
    elif place.drawn is not None:
        flare = _flare(first, second, place.drawn.sides, hi[first] - lo[first])
    elif cut.radius is not None:
        low, top = (lo[first], lo[second]), (hi[first], hi[second])
        open_ = [[lo[k] <= ZERO, hi[k] >= size[k]] for k in (first, second)]
        square = [open_[0][k in (1, 2)] or open_[1][k > 1] for k in range(4)]
        waste = tuple(box_with_corners(low, top, cut.radius, square))
        half = (hi[first] - lo[first]) / 2
        flare = Flare(PIECE_AXES[first], face_of(second, False), half, waste=waste) if not all(square) else None
    return Cuboid(KINDS[cut.kind], _spot(lo), _spot(hi), False, own_name(cut), flare)


def _beside_outline(cut: OwnCut, place: CutPlace, part: Part) -> Iterator[Cuboid]:
    """What an outline leaves of its face, each piece of it that comes off in one."""
    assert place.drawn is not None
    size = (part.length, part.width, part.thickness)
    axis, _ = side_of(place.face)
    first, second = (k for k in range(3) if k != axis)
    for waste in beside(place.drawn.sides, (size[first], size[second])):
        lo, hi = [ZERO] * 3, [*size]
        low, top = reach(waste)
        (lo[first], hi[first]), (lo[second], hi[second]) = (
            outward(low[k], top[k], size[j]) for k, j in enumerate((first, second))
        )
        flare = _flare(first, second, waste, hi[first] - lo[first])
        yield Cuboid(KINDS[cut.kind], _spot(lo), _spot(hi), False, own_name(cut), flare)


def _flare(first: int, second: int, waste: tuple[Side, ...], wide: Length) -> Flare:
    return Flare(PIECE_AXES[first], face_of(second, False), wide / 2, waste=waste)


def _edge(cut: OwnCut, place: CutPlace, size: Spot) -> Cuboid:
    """A worked edge: a block that slopes from the full width at the first face to nothing as deep as it goes; a taper
    slopes over a length of the face in the same way. A rounding draws in by a quarter of a circle."""
    assert place.second is not None and cut.width is not None
    axis, high = side_of(place.face)
    other, far = side_of(place.second)
    lo, hi = [ZERO] * 3, [ZERO] * 3
    runs = 3 - axis - other
    lo[runs], hi[runs] = place.along
    lo[axis], hi[axis] = _from_face(size[axis], high, cut.depth or cut.width)
    lo[other], hi[other] = _from_face(size[other], far, cut.width)
    rounds = cut.kind is CutKind.ROUNDING
    if rounds and runs == 2 and place.along == (ZERO, size[2]):
        return Cuboid(KINDS[cut.kind], _spot(lo), _spot(hi), False, own_name(cut), _rounded_corner(lo, hi, size))
    at, only = face_of(axis, not high), face_of(other, not far)
    skew = cut.skew or ZERO
    flare = Flare(PIECE_AXES[other], at, cut.width, only, arc=rounds, skew=skew, skew_to=place.third)
    return Cuboid(KINDS[cut.kind], _spot(lo), _spot(hi), False, own_name(cut), flare)


def _rounded_corner(lo: list[Length], hi: list[Length], size: Spot) -> Flare:
    """A corner of the outline that is seen on the face side, rounded right through the thickness."""
    at_b, far = hi[0] >= size[0] and lo[0] > ZERO, hi[1] >= size[1] and lo[1] > ZERO
    corner, centre = (hi[0], lo[0]) if at_b else (lo[0], hi[0]), (hi[1], lo[1]) if far else (lo[1], hi[1])
    waste = off_a_corner((corner[0], centre[0]), (corner[1], centre[1]))
    return Flare(PIECE_AXES[0], face_of(1, not far), (hi[0] - lo[0]) / 2, waste=tuple(waste))


def _from_face(whole: Length, high: bool, deep: Length) -> tuple[Length, Length]:
    return (whole - deep, whole) if high else (ZERO, deep)


def _spot(corner: list[Length]) -> Spot:
    return corner[0], corner[1], corner[2]
