"""A piece as it lies when it is right, beside the same place with the mistake in it, crossed out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import lru_cache

from msgspec.structs import replace

from shopdocs.blocks.drawing import Drawing, Line, Point, Shape, Stroke
from shopdocs.core.length import Length
from shopdocs.documents.drawn.hull import hull, is_clear
from shopdocs.documents.drawn.measures import true_length
from shopdocs.documents.drawn.pictures import Laid, picture, standing
from shopdocs.model.joining import Face
from shopdocs.model.parts import Direction
from shopdocs.work.shapes.hidden import outline
from shopdocs.work.shapes.projection import ISOMETRIC, ISOMETRIC_BACK, ISOMETRIC_BELOW, ISOMETRIC_LEFT, View
from shopdocs.work.space.askew_piece import AskewPiece
from shopdocs.work.space.likeness import Turn
from shopdocs.work.space.placed import Feature, PlacedPiece, Pose, Scene, Toward
from shopdocs.work.space.turn_names import changes_of

AXES = (Direction.X, Direction.Y, Direction.Z)
# The first of them that shows the difference best; what is said of it.
VIEWS = ((ISOMETRIC, ""), (ISOMETRIC_LEFT, "from the left"), (ISOMETRIC_BELOW, "from below"),
         (ISOMETRIC_BACK, "from the rear"))  # fmt: skip
CLEARER = 1.5  # times as many lines must tell, before another view than the usual one is taken
PAIR_MM = (17.0, 16.0)
PART_MM = 12.5  # high, of a part, which has a line under it that says which
CROSS_MM = (5.5, 4.5, 3.5)  # the first that has room
GAP_MM = 0.6  # between a cross and its piece
SLIM, STRETCH = 3, 2  # times as long as wide is slim; how much of it is drawn
SHORT = 4  # times less of it is still a part that tells
PARTS = (("left end", "right end"), ("front end", "rear end"), ("lower end", "upper end"))
HALVES = (("left half", "right half"), ("front half", "rear half"), ("lower half", "upper half"))
CUT_THROUGH = "cut through"
SAWN_OFF = Fraction(5, 4)  # of its width, how much of a piece is drawn that is cut through

Changes = Iterable[tuple[Face, Face]]
Pieces = tuple[PlacedPiece, ...]  # one, or those of what was glued up before


def turned_piece(piece: PlacedPiece, changes: Changes, like: PlacedPiece | None = None) -> PlacedPiece:
    """A piece turned so that each face of `changes` lies where the other face of its pair lay; where it was, or where
    another piece is that is `like` it in size."""
    comes_to = dict(changes)

    def toward(face: Face) -> Toward:
        """An axis of the piece leads away from the face that it is counted from."""
        axis, high = piece.pose.look_of(comes_to.get(face, face))
        return Toward(AXES[axis], not high)

    pose = Pose(toward(Face.A), toward(Face.EDGE), toward(Face.FACE))
    return replace(piece, pose=pose, at=(like or piece).at)


def turned_whole(pieces: Pieces, turn: Turn, there: Pieces) -> Pieces:
    """Pieces that are glued to each other, turned as one in the place of those that belong `there`; none where some
    lean, whose corners are no corners of a box."""
    if any(isinstance(piece, AskewPiece) for piece in (*pieces, *there)):
        return ()
    (low, high), (start, _) = _around(pieces), _around(there)
    made = []
    for piece in pieces:
        off = [
            high[s] - piece.far[s] if r else piece.at[s] - low[s]
            for s, r in zip(turn.source, turn.reverse, strict=True)
        ]
        x, y, z = (start[k] + off[k] for k in range(3))
        made.append(replace(turned_piece(piece, changes_of(piece, turn)), at=(x, y, z)))
    return tuple(made)


def _around(pieces: Pieces) -> tuple[list[Length], list[Length]]:
    """The low and the high corner of the box round the bodies of pieces."""
    return [min(piece.at[k] for piece in pieces) for k in range(3)], [max(p.far[k] for p in pieces) for k in range(3)]


def mistaken_whole(right: Pieces, wrong: Pieces) -> tuple[Drawing, Drawing, str] | None:
    """Both pictures of what was glued up before, as it lies when it is right and when it is wrong, as those of pieces;
    None where one would look like the other."""
    return _whole_seen(right, wrong) if right and wrong else None


def mistaken_pair(right: PlacedPiece, wrong: PlacedPiece) -> tuple[Drawing, Drawing, str] | None:
    """Both pictures from one side, and from which where it is not the usual one, or cut through where only a depth
    tells them apart; None where nothing does but the marks."""
    return seen_from_outside(right, wrong) or _seen_cut_through(right, wrong)


def seen_from_outside(right: PlacedPiece, wrong: PlacedPiece) -> tuple[Drawing, Drawing, str] | None:
    """The same of whole pieces, of slim ones as much as tells them apart; None where no view from outside does, but the
    marks or the depth of a cut."""
    return _part_seen(right, wrong) or _whole_seen((right,), (wrong,))


def _whole_seen(right: Pieces, wrong: Pieces, high_mm: float = PAIR_MM[1]) -> tuple[Drawing, Drawing, str] | None:
    first = _telling(right, wrong)
    for view, where in (first, *(other for other in VIEWS if other is not first)):
        found = _both(right, wrong, view, high_mm)
        if found is not None:
            return *found, where
    return None


def _part_seen(right: PlacedPiece, wrong: PlacedPiece) -> tuple[Drawing, Drawing, str] | None:
    """A short stretch of two slim pieces that lie in one place: of those about an end, a cut or a hole the one that
    tells them apart best. None where they are not slim."""
    axis = right.pose.build_axis(0)
    wide = max(right.width, right.thickness)
    alike = (right.at[axis], right.far[axis]) == (wrong.at[axis], wrong.far[axis])
    off = any(piece.turned or isinstance(piece, AskewPiece) for piece in (right, wrong))
    if off or not alike or wrong.pose.build_axis(0) != axis or right.length <= wide * SLIM:
        return None
    low, high, long = right.at[axis], right.far[axis], wide * STRETCH
    starts = {low, high - long}
    for piece in (right, wrong):
        spans = [piece.range_in_build(feature.lo, feature.hi) for feature in piece.cuboids if not feature.adds]
        spans += [(spot := piece.spot_in_build(bore.centre), spot) for bore in piece.bores]
        starts |= {min(max((lo[axis] + hi[axis] - long) / 2, low), high - long) for lo, hi in spans}
    best, merit = None, 0.0
    for start, end in _straight_spans(right, wrong, axis, sorted(starts), long):
        one, two = (_sawn(piece, axis, (start, end)) for piece in (right, wrong))
        found = _whole_seen((one,), (two,), PART_MM)
        told = len({*found[0].shapes} ^ {*found[1].shapes}) * (1 if found[2] else CLEARER) if found is not None else 0
        if found is not None and told > merit:
            where = _part_of(axis, (start, end), (low, high))
            best, merit = (found[0], found[1], ", ".join(filter(None, (where, found[2])))), told
    return best


def _part_of(axis: int, span: tuple[Length, Length], whole: tuple[Length, Length]) -> str:
    """Which part of a piece a stretch of it is: an end, the middle where it reaches over that, else a half."""
    (start, end), (low, high) = span, whole
    if start == low or end == high:
        return PARTS[axis][start > low]
    middle = (low + high) / 2
    return "middle" if start <= middle <= end else HALVES[axis][start > middle]


def _straight_spans(
    right: PlacedPiece, wrong: PlacedPiece, axis: int, starts: Sequence[Length], long: Length
) -> list[tuple[Length, Length]]:
    """Stretches so long, from these places, without a taper or an arch, which cannot be sawn as a box; where there are
    none what is straight at the ends, if that is half as long as it is wide."""
    low, high = right.at[axis], right.far[axis]
    sloping = [
        (lo[axis], hi[axis])
        for piece in (right, wrong)
        for lo, hi in (piece.range_in_build(cut.lo, cut.hi) for cut in piece.cuboids if cut.flare or cut.slant)
    ]
    if any(lo < low or hi > high for lo, hi in sloping):
        return []  # tails that stand out
    spans = [(start, start + long) for start in starts]
    spans = [span for span in spans if all(hi <= span[0] or lo >= span[1] for lo, hi in sloping)]
    if spans or not sloping:
        return spans
    ends = (low, min(lo for lo, _ in sloping)), (max(hi for _, hi in sloping), high)
    return [end for end in ends if (end[1] - end[0]) * SHORT >= long]


def _both(right: Pieces, wrong: Pieces, view: View, high_mm: float = PAIR_MM[1]) -> tuple[Drawing, Drawing] | None:
    for wide_mm in (PAIR_MM[0], PAIR_MM[0] - CROSS_MM[-1] - GAP_MM):
        one, two = (_pictured(pieces, view, (wide_mm, high_mm)) for pieces in (right, wrong))
        if one.shapes == two.shapes:
            return None
        if (crossed := _crossed(two)) is not None:
            return one, crossed
    return None


def _seen_cut_through(right: PlacedPiece, wrong: PlacedPiece) -> tuple[Drawing, Drawing, str] | None:
    """The end that is left when both are sawn through the middle of a cut, at the first that tells them apart."""
    cuts = [cuboid for cuboid in right.cuboids if not cuboid.adds]
    if right.turned or wrong.turned:
        return None
    axis = right.pose.build_axis(0)
    if wrong.pose.build_axis(0) != axis:
        return None
    for view, _ in VIEWS:
        high = view.toward[axis] > 0  # the sawn end looks to the eye
        for cut in cuts:
            lo, hi = right.range_in_build(cut.lo, cut.hi)
            at = (lo[axis] + hi[axis]) / 2
            deep = max(right.width, right.thickness) * SAWN_OFF
            span = (at - deep, at) if high else (at, at + deep)
            ends = [_sawn(piece, axis, span) for piece in (right, wrong)]
            sloping = any(cuboid.flare or cuboid.slant for end in ends for cuboid in end.cuboids)
            found = None if sloping else _both((ends[0],), (ends[1],), view)
            if found is not None:
                return *found, CUT_THROUGH
    return None


def _sawn(piece: PlacedPiece, axis: int, span: tuple[Length, Length]) -> PlacedPiece:
    """What lies between two places along an axis of the build that the piece runs along."""
    low, high = list(piece.at), list(piece.far)
    low[axis], high[axis] = max(low[axis], span[0]), min(high[axis], span[1])
    (start, *_), (end, *_) = piece.range_in_piece(low, high)
    kept: list[Feature] = []
    for cuboid in piece.cuboids:
        ends = max(cuboid.lo[0], start), min(cuboid.hi[0], end)
        if ends[0] < ends[1]:
            lo, hi = ((at - start, *corner[1:]) for at, corner in zip(ends, (cuboid.lo, cuboid.hi), strict=True))
            kept.append(replace(cuboid, lo=lo, hi=hi))
    for bore in piece.bores:
        if start <= bore.centre[0] <= end:
            kept.append(replace(bore, centre=(bore.centre[0] - start, *bore.centre[1:])))
    return replace(piece, at=(low[0], low[1], low[2]), length=end - start, features=tuple(kept))


def _telling(right: Pieces, wrong: Pieces) -> tuple[View, str]:
    merits = [_difference(right, wrong, view) for view, _ in VIEWS]
    best = max(range(len(VIEWS)), key=lambda k: (merits[k], -k))
    return VIEWS[best] if merits[best] > merits[0] * CLEARER else VIEWS[0]


def _difference(right: Pieces, wrong: Pieces, view: View) -> int:
    """How many lines of the pictures are not in both."""
    laids = [_alone(pieces) for pieces in (right, wrong)]
    seen = [set(outline(laid.solids, view, laid.scene.ticks, screens=laid.screens(view)).visible) for laid in laids]
    return len(seen[0] ^ seen[1])


@lru_cache(maxsize=8)
def _alone(pieces: Pieces) -> Laid:
    """A piece, or a thing, by itself. It is looked at from several sides before it is drawn from one, in several pairs:
    kept, that takes a third of the time."""
    return standing(Scene.of(pieces))


def _pictured(pieces: Pieces, view: View, room_mm: tuple[float, float]) -> Drawing:
    drawing = picture(_alone(pieces), room_mm, view).drawing
    return replace(drawing, sketch=True)


def _crossed(drawing: Drawing) -> Drawing | None:
    """With a heavy cross in a corner that the piece leaves free, else beside it: never over what is to be looked at. It
    stands out in a copy as well. None where it has no room so."""
    assert drawing.scale is not None
    zero = drawing.width * 0
    ends = [point for shape in drawing.shapes if isinstance(shape, Line) for point in (shape.start, shape.end)]
    border = hull(ends)
    for side_mm in CROSS_MM:
        side, gap = true_length(side_mm, drawing.scale), true_length(GAP_MM, drawing.scale)
        for x, y in ((x, y) for x in (drawing.width - side, zero) for y in (drawing.height - side, zero)):
            around = (
                (x - gap, y - gap),
                (x + side + gap, y - gap),
                (x + side + gap, y + side + gap),
                (x - gap, y + side + gap),
            )
            if is_clear(around, border):
                return replace(drawing, shapes=(*drawing.shapes, *_cross((x, y), side)))
        wide = drawing.width + gap + side
        if wide.float_mm(drawing.scale) <= PAIR_MM[0]:
            cross = _cross((drawing.width + gap, zero), side)
            return replace(drawing, shapes=(*drawing.shapes, *cross), width=wide)
    return None


def _cross(low: Point, side: Length) -> Sequence[Shape]:
    x, y = low
    return (
        Line((x, y), (x + side, y + side), Stroke.REFERENCE),
        Line((x, y + side), (x + side, y), Stroke.REFERENCE),
    )
