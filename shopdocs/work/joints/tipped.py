"""Joints of boards that are tipped: an end let, tenoned, dowelled or screwed into the side beside it.

The end of such a board is square; its joint lies askew on the side. So it is worked out as if the board lay level
against a wide side, and what that cuts in the side is then turned with the board.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec.structs import replace

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Severity
from shopdocs.core.turn import Turn, Vector, near
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.joints.frame import THINNEST_WALL, Doubt, Frame, Geometry, Joinery, JointSizes, frame_of
from shopdocs.work.space.askew_piece import way_in_piece
from shopdocs.work.space.let_in import let_in
from shopdocs.work.space.placed import (
    Bore,
    Cuboid,
    Feature,
    PlacedPiece,
    Slant,
    Spot,
    side_of,
)
from shopdocs.work.space.slanting import Sides
from shopdocs.work.space.tipped_board import TippedPiece

AHEAD = Length(10_000)  # how far the side is thought to reach round the board, before what is cut is held against it


def tipped_joint(
    entering: PlacedPiece, receiving: PlacedPiece, sizes: JointSizes, geometry: Geometry, sides: Sides
) -> Joinery:
    """The joint of two pieces of which one is tipped, or both; `sides` are those of a piece with its ends as sawn."""
    one = entering.tilt if isinstance(entering, TippedPiece) else None
    two = receiving.tilt if isinstance(receiving, TippedPiece) else None
    if one is not None and one == two:
        return _together(entering, receiving, sizes, geometry)
    if not KINDS[sizes.kind].tips:
        able = [told.called for told in KINDS.values() if told.tips]
        tipped = "which are not tipped alike" if one is not None and two is not None else "of which one is tipped"
        wrong = f"{KINDS[sizes.kind].called} cannot join {entering.mark} and {receiving.mark}, {tipped}"
        return _none(sizes, Doubt("tilt-joint", wrong, f"make it {', '.join(able[:-1])} or {able[-1]}"))
    if geometry.askew is not None and (two is not None or not _ends_at_a_side(entering, receiving)):
        return geometry.askew(entering, receiving, sizes, sides)
    if two is not None:
        other = f"{entering.mark} goes into {receiving.mark}, which is tipped"
        right = f"tip it along (tilt: with {receiving.mark}), or let {receiving.mark} go into it by an end"
        return _none(sizes, Doubt("tilt-joint", other, right))
    if sizes.haunch is not None:
        wrong = f"{entering.mark} is tipped, and its tenon has a haunch"
        return _none(sizes, Doubt("tilt-joint", wrong, "leave the haunch out: it would not run out at an end"))
    assert isinstance(entering, TippedPiece)
    return _into_a_side(entering, receiving, sizes, geometry)


def _ends_at_a_side(board: PlacedPiece, side: PlacedPiece) -> bool:
    """Whether a tipped board comes to a piece beside it with what stays square when it is tipped."""
    if not isinstance(board, TippedPiece) or board.tilt is None:
        return False
    axis = board.tilt.axis
    return board.far[axis] <= side.at[axis] or side.far[axis] <= board.at[axis]


def _none(sizes: JointSizes, doubt: Doubt) -> Joinery:
    return Joinery(sizes.kind, None, None, doubts=(doubt,))


def line_on(board: TippedPiece, side: PlacedPiece) -> Vector:
    """Which way the width of a tipped board runs on the side that its end goes to, in the side's own coordinates."""
    way = [0.0, 0.0, 0.0]
    way[board.pose.build_axis(1)] = 1.0
    return way_in_piece(side, board.turn.of(way))


def level(piece: PlacedPiece) -> PlacedPiece:
    """A tipped piece as it lies before it is tipped, without what joints make of it."""
    low = piece.plumb if isinstance(piece, TippedPiece) else piece.at
    return PlacedPiece(piece.mark, piece.part, low, *piece.size, piece.pose, (), piece.material)


def _together(entering: PlacedPiece, receiving: PlacedPiece, sizes: JointSizes, geometry: Geometry) -> Joinery:
    """Two pieces that are tipped together meet as if neither was."""
    assert isinstance(entering, TippedPiece)
    mine, theirs = level(entering), level(receiving)
    made = geometry.crossing(mine, theirs, sizes) if geometry.crossing else None
    if made is None:
        frame = frame_of(mine, theirs)
        if frame is None:
            wrong = f"{entering.mark} and {receiving.mark} are tipped together, and do not touch"
            return _none(sizes, Doubt("not-touching", wrong, "place them face to face, as if neither was tipped"))
        made = geometry.touching(frame, sizes)
    return replace(made, centres=tuple(_turned(entering, spot) for spot in made.centres))


def _turned(board: TippedPiece, spot: Spot) -> Spot:
    """A place beside the level board where it comes to lie with it; exact along the axis of the tilt."""
    assert board.tilt is not None
    about, axis = board.about, board.tilt.axis
    away = board.turn.of([(a - b).float_mm() for a, b in zip(spot, about, strict=True)])
    x, y, z = (spot[k] if k == axis else near(about[k].float_mm() + away[k]) for k in range(3))
    return x, y, z


def _into_a_side(board: TippedPiece, side: PlacedPiece, sizes: JointSizes, geometry: Geometry) -> Joinery:
    assert board.tilt is not None
    axis = board.tilt.axis
    flat = level(board)
    low, extent = list(side.at), list(side.extent)
    for k in (k for k in range(3) if k != axis):
        low[k], extent[k] = board.about[k] - AHEAD, AHEAD * 2
    size = [extent[side.pose.build_axis(k)] for k in range(3)]
    wide = PlacedPiece(side.mark, side.part, (low[0], low[1], low[2]), size[0], size[1], size[2], side.pose)
    frame = frame_of(flat, wide)
    if frame is None or frame.n != axis:
        wrong = f"{board.mark} does not end at a face of {side.mark}"
        names = ("right", "left") if axis == 0 else ("back", "front")
        before = board.at[axis] + board.far[axis] < side.at[axis] + side.far[axis]
        return _none(sizes, Doubt("not-touching", wrong, f"let it end there: {side.mark}.{names[before]}"))
    made = geometry.touching(frame, sizes)

    def there(spot: Sequence[Length]) -> Spot:
        found = list(side.spot_in_piece(_turned(board, wide.spot_in_build(spot))))
        at = side_of(frame.meets)[0]
        if spot[at] in (ZERO, wide.size[at]):  # on a face it stays on it
            found[at] = side.size[at] if spot[at] else ZERO
        return found[0], found[1], found[2]

    receiving = tuple(_moved(feature, frame, board.turn, side, there) for feature in made.receiving)
    doubts = [*made.doubts, *(_inside(side, receiving) or _overhang(board, side, axis))]
    centres = tuple(_turned(board, spot) for spot in made.centres)
    return replace(made, receiving=receiving, centres=centres, doubts=tuple(doubts))


def _moved(
    feature: Feature, frame: Frame, turn: Turn, side: PlacedPiece, there: Callable[[Sequence[Length]], Spot]
) -> Feature:
    """What a joint cuts in the side, turned with the board."""
    if isinstance(feature, Bore):
        return replace(feature, centre=there(feature.centre))
    axis, high = side_of(frame.meets)
    centre = [(a + b) / 2 for a, b in zip(feature.lo, feature.hi, strict=True)]
    centre[axis] = frame.receiving.size[axis] if high else ZERO
    depth = feature.hi[axis] - feature.lo[axis]
    whole = depth >= side.size[axis]
    out = [0.0, 0.0, 0.0]
    out[axis] = -1.0 if high else 1.0
    across = [0.0, 0.0, 0.0]
    across[frame.u] = 1.0
    pose = side.pose
    slant = Slant(
        frame.meets,
        there(centre),
        (out[0], out[1], out[2]),
        way_in_piece(side, turn.of(across)),
        feature.size[pose.piece_axis(frame.u)],
        feature.size[pose.piece_axis(frame.v)],
        None if whole else depth,
    )
    return let_in(feature, slant, side.size)


def widened(cut: Cuboid, board: TippedPiece, side: PlacedPiece, lo: Spot, hi: Spot) -> Cuboid:
    """What is cut in a side for the end of a board, as wide and as thick as a box of the board that goes in there."""
    assert cut.slant is not None
    at = side_of(cut.slant.face)[0]
    middle = list(side.spot_in_piece(board.spot_in_build([(a + b) / 2 for a, b in zip(lo, hi, strict=True)])))
    middle[at] = cut.slant.centre[at]
    centre = (middle[0], middle[1], middle[2])
    slant = replace(cut.slant, centre=centre, thick=hi[2] - lo[2], wide=hi[1] - lo[1])
    return let_in(cut, slant, side.size)


def _overhang(board: TippedPiece, side: PlacedPiece, axis: int) -> list[Doubt]:
    """A board whose end stands out past the side."""
    hangs = max(max(side.at[k] - board.at[k], board.far[k] - side.far[k]) for k in range(3) if k != axis)
    if hangs <= ZERO:
        return []
    wrong = f"{board.mark}, tipped as it is, stands {exact_text(hangs)} past {side.mark}"
    return [Doubt("hangs-over", wrong, f"move it so that all of its end meets {side.mark}, or make it narrower")]


def _inside(side: PlacedPiece, features: Sequence[Feature]) -> list[Doubt]:
    """Whether there is wood all round what is cut in the side."""
    doubts: list[Doubt] = []
    for feature in features:
        if not isinstance(feature, Cuboid) or feature.slant is None:
            continue
        axis = side_of(feature.slant.face)[0]
        spare = min(min(feature.lo[k], side.size[k] - feature.hi[k]) for k in range(3) if k != axis)
        if spare < ZERO:
            wrong = f"the {feature.kind} in {side.mark} runs {exact_text(-spare)} past its edge"
            doubts.append(Doubt("tilt-misses", wrong, "move the board inward, or make it narrower"))
        elif spare < THINNEST_WALL:
            wrong = f"the {feature.kind} leaves {exact_text(spare)} of wood beside it in {side.mark}"
            right = "common practice leaves at least 6 mm or 1/4 in: move the board inward"
            doubts.append(Doubt("thin-wall", wrong, right, Severity.WARNING))
    return doubts
