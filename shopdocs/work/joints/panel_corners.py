"""The corners of a panel that goes into grooves or rabbets on two sides that meet.

Each tongue is as long as its piece touches the other; taken by themselves, two of them leave a notch at the corner
between. Nobody saws such a notch: the panel is a rectangle, and the grooves run on past the corner, into the joint of
the frame (common practice, no source). So one tongue is lengthened over the corner, and both grooves are, by the depth
of the other, as far as there is wood in their way.
"""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping
from itertools import combinations

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.length import ZERO, Length
from shopdocs.model.joint_names import Trait
from shopdocs.work.joints.tipped import widened
from shopdocs.work.space.let_in import is_let_in
from shopdocs.work.space.neighbours import in_the_way, seen_from, with_changed
from shopdocs.work.space.placed import Cuboid, PlacedPiece, Spot
from shopdocs.work.space.tipped_board import TippedPiece


class _Tongue(Struct, frozen=True):
    """What stands out past one border of a piece: the piece axis it stands out along, whether at its high end."""

    feature: Cuboid
    axis: int
    high: bool

    def reaches(self, piece: PlacedPiece, axis: int, high: bool) -> bool:
        """Whether it runs up to the border of the piece at one end of another axis."""
        return self.feature.hi[axis] == piece.size[axis] if high else self.feature.lo[axis] == ZERO


def square_corners(pieces: MutableMapping[str, PlacedPiece], receiving: Mapping[str, str]) -> None:
    """Lengthens tongues and grooves in `pieces` (by mark) where a panel has a corner between two of its tongues;
    `receiving` gives the mark of the piece that receives each joint, by the joint's name."""
    for mark in list(pieces):
        found = [tongue for f in pieces[mark].cuboids if (tongue := _tongue(pieces[mark], f)) is not None]
        for one, two in combinations(found, 2):
            if one.feature.joint != two.feature.joint and {one.feature.joint, two.feature.joint} <= receiving.keys():
                _square(pieces, mark, one, two, receiving)


def _tongue(piece: PlacedPiece, feature: Cuboid) -> _Tongue | None:
    if not feature.adds or Trait.TONGUE not in feature.kind.traits:
        return None
    out = [
        (k, high)
        for k in range(3)
        for high in (False, True)
        if (feature.hi[k] > piece.size[k] if high else feature.lo[k] < ZERO)
    ]
    return _Tongue(feature, *out[0]) if len(out) == 1 else None


def _square(
    pieces: MutableMapping[str, PlacedPiece], mark: str, one: _Tongue, two: _Tongue, receiving: Mapping[str, str]
) -> None:
    piece, third = pieces[mark], 3 - one.axis - two.axis
    if one.axis == two.axis or (
        not one.reaches(piece, two.axis, two.high)
        or not two.reaches(piece, one.axis, one.high)
        or (one.feature.lo[third], one.feature.hi[third]) != (two.feature.lo[third], two.feature.hi[third])
    ):
        return
    if isinstance(piece, TippedPiece):
        _square_tipped(pieces, piece, one, two, receiving)
        return
    corner = _crossing(one.feature, two.feature, one.axis, two.axis)
    frame = {receiving[tongue.feature.joint]: tongue for tongue in (one, two)}
    trenches = {other: _trench(pieces[other], tongue.feature.joint) for other, tongue in frame.items()}
    if len(frame) < 2 or None in trenches.values() or in_the_way(pieces, piece, corner) - {mark, *frame}:
        return  # a notch after all, rather than wood where another piece is
    now = next(
        f for f in piece.cuboids if f.joint == one.feature.joint and f.adds
    )  # another corner may be on it already
    pieces[mark] = with_changed(piece, now, replace(now, lo=_lower(now.lo, corner.lo), hi=_upper(now.hi, corner.hi)))
    cut = {other: seen_from(piece, pieces[other], trench) for other, trench in trenches.items() if trench is not None}
    for other, tongue in frame.items():
        beside = next(each for each in cut if each != other)
        axes = (tongue.axis, frame[beside].axis)
        room = _crossing(cut[other], cut[beside], *axes)
        if other in in_the_way(pieces, piece, corner):
            trench = trenches[other]
            assert trench is not None
            more = _within(pieces[other], seen_from(pieces[other], piece, room))
            longer = replace(trench, lo=_lower(trench.lo, more.lo), hi=_upper(trench.hi, more.hi))
            pieces[other] = with_changed(pieces[other], trench, longer)


def _square_tipped(
    pieces: MutableMapping[str, PlacedPiece],
    board: TippedPiece,
    one: _Tongue,
    two: _Tongue,
    receiving: Mapping[str, str],
) -> None:
    """The same of a board that is tipped, for a corner between its end, which lies askew in a side, and an edge that
    goes into what is tipped with it: seen as if nothing was tipped."""
    corner = _crossing(one.feature, two.feature, one.axis, two.axis)
    frame = {receiving[tongue.feature.joint]: tongue for tongue in (one, two)}
    trenches = {other: _trench(pieces[other], tongue.feature.joint) for other, tongue in frame.items()}
    flat = {
        mark: piece.upright()
        for mark, piece in pieces.items()
        if isinstance(piece, TippedPiece) and piece.tilt == board.tilt
    }
    level = flat[board.mark]
    there = in_the_way(flat, level, corner)
    sides = [other for other, trench in trenches.items() if trench is not None and is_let_in(trench)]
    if len(frame) < 2 or None in trenches.values() or len(sides) != 1 or there - {board.mark, *frame}:
        return
    now = next(f for f in board.cuboids if f.joint == one.feature.joint and f.adds)
    changed = with_changed(board, now, replace(now, lo=_lower(now.lo, corner.lo), hi=_upper(now.hi, corner.hi)))
    pieces[board.mark] = changed
    for other, tongue in frame.items():
        trench = trenches[other]
        assert trench is not None
        lo, hi = _lower(tongue.feature.lo, corner.lo), _upper(tongue.feature.hi, corner.hi)
        if other in sides:
            pieces[other] = with_changed(pieces[other], trench, widened(trench, board, pieces[other], lo, hi))
        elif other in there:
            more = _within(flat[other], seen_from(flat[other], level, replace(corner, lo=lo, hi=hi)))
            longer = replace(trench, lo=_lower(trench.lo, more.lo), hi=_upper(trench.hi, more.hi))
            pieces[other] = with_changed(pieces[other], trench, longer)


def _crossing(one: Cuboid, two: Cuboid, axis: int, beside: int) -> Cuboid:
    """Where two cuboids of a piece would cross: as deep along `axis` as the one, along `beside` as the other."""
    lo, hi = list(one.lo), list(one.hi)
    lo[beside], hi[beside] = two.lo[beside], two.hi[beside]
    return replace(one, lo=_spot(lo), hi=_spot(hi))


def _trench(piece: PlacedPiece, joint: str) -> Cuboid | None:
    """The only cut of a joint in the piece that receives it."""
    found = [f for f in piece.cuboids if f.joint == joint and not f.adds and Trait.TRENCH in f.kind.traits]
    return found[0] if len(found) == 1 else None


def _within(piece: PlacedPiece, cut: Cuboid) -> Cuboid:
    """A cut as far as the piece reaches with its tenons and the like: nothing is marked out in the air."""
    adds = [f for f in piece.cuboids if f.adds]
    lo = [max(cut.lo[k], min([ZERO, *(f.lo[k] for f in adds)])) for k in range(3)]
    hi = [min(cut.hi[k], max([piece.size[k], *(f.hi[k] for f in adds)])) for k in range(3)]
    return replace(cut, lo=_spot(lo), hi=_spot(hi))


def _spot(values: list[Length]) -> Spot:
    return (values[0], values[1], values[2])


def _lower(one: Spot, two: Spot) -> Spot:
    return (min(one[0], two[0]), min(one[1], two[1]), min(one[2], two[2]))


def _upper(one: Spot, two: Spot) -> Spot:
    return (max(one[0], two[0]), max(one[1], two[1]), max(one[2], two[2]))
