"""The true outlines of pieces that are not square: what tapers, arches and outlines of their own leave of a face, as
exact lines and arcs, with what is cut out of it.

A face that tapers or is arched shows it in the outline of the two faces beside it. The outline is that of the face side
for what is taken off the face edge and the far edge, and that of the face edge for what is taken off the face side and
the back. Notches right through, rounded and bevelled corners and ends off square belong to it; joints do not, they are
cut while the piece is square.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise

from msgspec import Struct

from shopdocs.core.length import ZERO, Length
from shopdocs.core.loops import Loop, less, rectangle, turned_round
from shopdocs.core.outline import Outline, Point, Side
from shopdocs.model.joining import Face
from shopdocs.work.space.ends import Extent
from shopdocs.work.space.placed import PIECE_AXES, Cuboid, FeatureKind, Spot, face_of, side_of

SEEN_ON = {1: Face.FACE, 2: Face.EDGE}  # the face on which one sees what is taken off along a piece axis
SHAPING = (FeatureKind.TAPER, FeatureKind.ARCH, FeatureKind.OUTLINE)


class Shape(Struct, frozen=True):
    """The outline of a piece on one of its faces, end A at the left, the arris that one gauges from below."""

    face: Face
    outline: Outline
    cuts: tuple[Cuboid, ...]


def shaping_axis(cuboid: Cuboid) -> int | None:
    """The piece axis (1 width, 2 thickness) that is seen with the length in the outline that a cut takes wood off; None
    of a cut that leaves the outlines square."""
    if cuboid.kind not in SHAPING or cuboid.flare is None:
        return None
    return side_of(cuboid.flare.at)[0] or PIECE_AXES.index(cuboid.flare.axis)


def shapes_of(size: Spot, cuts: Sequence[Cuboid], along: Callable[[Face], Extent]) -> Iterator[Shape]:
    """The outlines of a piece of this size (length, width, thickness) with cuts of the maker's own, none of a piece
    that they leave square. `along` is how a face really ends along the piece: its outline counts from there."""
    for axis, face in SEEN_ON.items():
        shaping = [cut for cut in cuts if shaping_axis(cut) == axis]
        if shaping:
            through = [cut for cut in cuts if _is_notch(cut, size, axis) or is_corner(cut, size, axis)]
            ends = along(face)
            wide = size[0] + ends.start.flush + ends.end.flush
            holes = tuple(
                moved_cut_out(cut, axis, (ends.start.flush, ZERO)) for cut in cuts if is_cut_out(cut, size, axis)
            )
            if any(map(_is_drawn, shaping)):
                sides = _less_wastes(size, axis, [*shaping, *through], ends)
            else:
                sides = tuple(_round((size[0], size[axis]), axis, [*shaping, *through], ends))
            outline = Outline(wide, size[axis], sides, holes)
            for cut in cuts:
                if cut.kind is FeatureKind.END_CUT:
                    outline = _sawn(outline, cut, axis)
            yield Shape(face, outline, tuple(shaping))


def is_corner(cut: Cuboid, size: Spot, axis: int) -> bool:
    """Whether a bevel or a rounding takes a corner off the outline: between an end and a face square to `axis`, right
    through. Of a rounding only one that is part of a circle."""
    if cut.kind not in (FeatureKind.BEVEL, FeatureKind.ROUNDING) or cut.flare is None:
        return False
    other, wide, deep = 3 - axis, cut.hi[0] - cut.lo[0], cut.hi[axis] - cut.lo[axis]
    between = {PIECE_AXES.index(cut.flare.axis), side_of(cut.flare.at)[0]} == {0, axis}
    through = cut.lo[other] <= ZERO and cut.hi[other] >= size[other]
    return between and through and (cut.kind is FeatureKind.BEVEL or wide == deep)


def is_cut_out(cut: Cuboid, size: Spot, axis: int) -> bool:
    """Whether it is sawn out of the wood square to the plane of the length and that axis."""
    other = 3 - axis
    return cut.kind is FeatureKind.CUT_OUT and cut.lo[other] <= ZERO and cut.hi[other] >= size[other]


def moved_cut_out(cut: Cuboid, axis: int, by: Point) -> Loop:
    """The border of a cut-out in the plane of the length and that axis, the wood at its left, moved so much."""
    loop = cut.flare.waste if cut.flare is not None else ()
    loop = loop or rectangle((cut.lo[0], cut.lo[axis]), (cut.hi[0], cut.hi[axis]))
    return turned_round(_shifted(side, by) for side in loop)


def _is_drawn(cut: Cuboid) -> bool:
    """Whether a cut is one of an outline of its own, or of an end, which no profile of an edge tells."""
    return cut.kind is FeatureKind.OUTLINE or (cut.flare is not None and side_of(cut.flare.at)[0] == 0)


def _less_wastes(size: Spot, axis: int, cuts: Iterable[Cuboid], ends: Extent) -> Loop:
    """The face without what each cut takes of it."""
    before, after, high = ends.start.flush, ends.end.flush, size[axis]
    face = rectangle((ZERO, ZERO), (size[0] + before + after, high))
    wastes = [moved_waste(cut, size, axis, (before, ZERO)) for cut in cuts]
    return less([face], wastes)[0]


def moved_waste(cut: Cuboid, size: Spot, axis: int, by: Point) -> Loop:
    """What a cut takes of a face of the plane of the length and that axis, moved along and across."""
    return tuple(_shifted(side, by) for side in _waste(cut, size, axis))


def _shifted(side: Side, by: Point) -> Side:
    return _moved(side, lambda point: (point[0] + by[0], point[1] + by[1]), False)


def _waste(cut: Cuboid, size: Spot, axis: int) -> Loop:
    """What a cut takes of a face, as a loop."""
    assert cut.flare is not None or cut.kind is FeatureKind.NOTCH
    if cut.flare is not None and cut.flare.waste:
        return cut.flare.waste
    if cut.kind is FeatureKind.ARCH and cut.flare is not None and side_of(cut.flare.at)[0] == 0:
        low, top, deep = cut.lo[axis], cut.hi[axis], cut.hi[0] - cut.lo[0]
        half = (top - low) / 2
        radius = half * (half / deep) / 2 + deep / 2
        if cut.lo[0] <= ZERO:
            foot, middle = [(ZERO, low), (ZERO, top)], (deep - radius, low + half)
        else:
            foot, middle = [(size[0], top), (size[0], low)], (size[0] - deep + radius, low + half)
        return (Side(foot[0], foot[1], middle, radius, True), Side(foot[1], foot[0]))
    low_edge = cut.lo[axis] <= ZERO
    first, last = max(cut.lo[0], ZERO), min(cut.hi[0], size[0])
    profile = list(_of_cut(cut, first, last, cut.hi[axis] - cut.lo[axis]))
    around = [*profile, *_closing(profile[-1].end, profile[0].start)]
    if low_edge:
        return turned_round(around)
    return tuple(_moved(side, lambda point: (point[0], size[axis] - point[1]), True) for side in around)


def _closing(end: Point, start: Point) -> Iterator[Side]:
    """Back along the border from the end of a profile to its start: by the end and the edge."""
    spots = [end, (end[0], ZERO), (start[0], ZERO), start]
    yield from (Side(one, two) for one, two in pairwise(spots) if one != two)


def _sawn(outline: Outline, cut: Cuboid, axis: int) -> Outline:
    """Without what an end cut takes, where it shows as a line in this outline; a compound one is left to the saw."""
    flare = cut.flare
    if flare is None or flare.skew or flare.only is None or side_of(flare.only)[0] != axis:
        return outline
    deep, at_end_a = cut.hi[0] - cut.lo[0], cut.lo[0] <= ZERO
    long_top = side_of(flare.only)[1]
    low, top = (deep, ZERO) if long_top else (ZERO, deep)
    if at_end_a:
        return outline.sawn((top, outline.height), (low, ZERO))
    return outline.sawn((outline.width - low, ZERO), (outline.width - top, outline.height))


def _is_notch(cut: Cuboid, size: Spot, axis: int) -> bool:
    """Whether it opens at an edge and goes right through, so that it shows in the outline."""
    other = 3 - axis
    through = cut.lo[other] <= ZERO and cut.hi[other] >= size[other]
    opens = cut.lo[axis] <= ZERO or cut.hi[axis] >= size[axis]
    whole = cut.flare is None or (cut.kind is FeatureKind.NOTCH and bool(cut.flare.waste))
    return cut.own and whole and not cut.adds and through and opens


def _round(size: Point, axis: int, cuts: Iterable[Cuboid], along: Extent) -> Iterator[Side]:
    """The sides of an outline, from end A along its lower edge and back along the upper one."""
    wide, high = size
    before = along.start.flush
    low: list[Cuboid] = []
    top: list[Cuboid] = []
    for cut in sorted(cuts, key=lambda cut: cut.lo[0]):
        (low if cut.lo[axis] <= ZERO else top).append(cut)

    def above(point: Point) -> Point:
        return point[0] + before, point[1]

    def below(point: Point) -> Point:
        return point[0] + before, high - point[1]

    ends = -before, wide + along.end.flush
    lower = [_moved(side, above, False) for side in _profile(ends, wide, axis, low)]
    upper = [_moved(side, below, True).back() for side in _profile(ends, wide, axis, top)][::-1]
    yield from lower
    yield Side(lower[-1].end, upper[0].start)
    yield from upper
    yield Side(upper[-1].end, lower[0].start)


def _moved(side: Side, moved: Callable[[Point], Point], mirrored: bool) -> Side:
    centre = moved(side.centre) if side.centre is not None else None
    left = side.left != mirrored if centre is not None else False
    return Side(moved(side.start), moved(side.end), centre, side.radius, left)


def _profile(ends: tuple[Length, Length], wide: Length, axis: int, cuts: Sequence[Cuboid]) -> list[Side]:
    """One edge from end to end, as far in as its cuts take it."""
    found: list[Side] = []
    at: Point | None = None
    for cut in cuts:
        first, last = max(cut.lo[0], ZERO), min(cut.hi[0], wide)
        for side in _of_cut(cut, first, last, cut.hi[axis] - cut.lo[axis]):
            if side.start[0] == side.end[0] and side.start[0] in ends:
                continue  # a notch at the very end: the end itself begins deeper
            at = at or (side.start if side.start[0] == ends[0] else (ends[0], ZERO))
            if at != side.start:
                found.append(Side(at, side.start))
            found.append(side)
            at = side.end
    at = at or (ends[0], ZERO)
    if at[0] < ends[1]:
        found.append(Side(at, (ends[1], at[1])))
    return found


def _of_cut(cut: Cuboid, first: Length, last: Length, deep: Length) -> Iterator[Side]:
    if cut.kind is FeatureKind.ARCH:
        half = (last - first) / 2
        radius = half * (half / deep) / 2 + deep / 2
        yield Side((first, ZERO), (last, ZERO), (first + half, deep - radius), radius, False)
    elif cut.kind is FeatureKind.TAPER:
        assert cut.flare is not None and cut.flare.only is not None
        at_end_a = cut.flare.only == face_of(0, True)
        yield Side((first, deep if at_end_a else ZERO), (last, ZERO if at_end_a else deep))
    elif cut.kind in (FeatureKind.BEVEL, FeatureKind.ROUNDING):
        start, end = ((first, deep), (last, ZERO)) if cut.lo[0] <= ZERO else ((first, ZERO), (last, deep))
        if cut.kind is FeatureKind.BEVEL:
            yield Side(start, end)
        else:
            yield Side(start, end, (last if cut.lo[0] <= ZERO else first, deep), deep, True)
    elif cut.flare is not None and cut.flare.waste:
        yield from _of_notch(cut, first, last, deep)
    else:
        yield Side((first, ZERO), (first, deep))
        yield Side((first, deep), (last, deep))
        yield Side((last, deep), (last, ZERO))


def _of_notch(cut: Cuboid, first: Length, last: Length, deep: Length) -> Iterator[Side]:
    """A notch whose inner corners are rounded, down its near wall, along its floor and up the far one; where it opens
    at an end of the piece, only the corner beside the other is."""
    assert cut.flare is not None
    arcs = [side for side in cut.flare.waste if side.centre is not None]
    radius = arcs[0].radius
    reach = [point[0] for side in arcs for point in (side.start, side.end)]
    near, far = min(reach) == first, max(reach) == last
    start, end = first + (radius if near else ZERO), last - (radius if far else ZERO)
    yield Side((first, ZERO), (first, deep - radius if near else deep))
    if near:
        yield Side((first, deep - radius), (start, deep), (start, deep - radius), radius, False)
    if start != end:
        yield Side((start, deep), (end, deep))
    if far:
        yield Side((end, deep), (last, deep - radius), (end, deep - radius), radius, False)
    yield Side((last, deep - radius if far else deep), (last, ZERO))
