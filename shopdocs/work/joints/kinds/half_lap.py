"""Half lap."""

from __future__ import annotations

from shopdocs.core.length import ZERO
from shopdocs.model.joining import Face
from shopdocs.work.joints.frame import Doubt, Frame, Geometry, Joinery, JointSizes, area, body_alone, overhang, thin
from shopdocs.work.joints.lapped import lapped
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece, Scene


def end_lap(frame: Frame, sizes: JointSizes) -> Joinery:
    """The entering piece runs on over the receiving one with the half of its thickness at its face side."""
    whole = frame.entering.extent[frame.u]
    depth = sizes.depth or whole / 2
    low, high = frame.extent(frame.entering, frame.u)
    axis, far = frame.entering.pose.look_of(Face.FACE)
    u = (high - depth, high) if axis == frame.u and far else (low, low + depth)
    n, v, out = (ZERO, frame.depth), frame.shared_v, frame.depth + sizes.proud
    doubts = overhang(frame)
    theirs = frame.extent(frame.receiving, frame.u)
    doubts += thin(
        "thin-lap", f"the lap in {frame.receiving.mark}", (theirs[1] - theirs[0]) - depth, "cut the lap less deep"
    )
    if u[0] > theirs[0] and u[1] < theirs[1]:
        doubts.append(
            Doubt(
                "lap-inside",
                f"the lap lies inside {frame.receiving.mark}",
                "bring the faces of both pieces level",
            )
        )
    cheek = area(frame.depth, v[1] - v[0])
    return Joinery(
        sizes.kind,
        frame.enters,
        frame.meets,
        (frame.cuboid(frame.entering, FeatureKind.LAP, (ZERO, out), u, v, sizes.name, adds=True),),
        (frame.cuboid(frame.receiving, FeatureKind.LAP, n, u, v, sizes.name),),
        out,
        glue_area=cheek,
        long_grain=cheek,
        doubts=tuple(doubts),
    )


def cross_lap(entering: PlacedPiece, receiving: PlacedPiece, sizes: JointSizes) -> Joinery | None:
    """Two pieces that cross in the same space: each gives up half of it. The entering piece keeps the upper half, or
    the front half where they cross in a standing frame. None when they share no space."""
    scene = Scene.of([body_alone(entering), body_alone(receiving)])
    shared = scene.solids[0].body.overlap(scene.solids[1].body)
    if shared is None:
        return None
    thick = entering.pose.build_axis(2)
    axis = thick if receiving.pose.build_axis(2) == thick else min(range(3), key=lambda k: (shared.size[k], k))
    lo, hi = ([scene.ticks.length(v) for v in corner] for corner in (shared.lo, shared.hi))
    depth = sizes.depth or (hi[axis] - lo[axis]) / 2
    keeps_high = axis == 2
    cut_mine, cut_theirs = (lo[:], hi[:]), (lo[:], hi[:])
    at = hi[axis] - depth if keeps_high else lo[axis] + depth
    cut_mine[keeps_high][axis] = cut_theirs[not keeps_high][axis] = at
    doubts = []
    for piece, cut in ((entering, cut_mine), (receiving, cut_theirs)):
        left = piece.extent[axis] - (cut[1][axis] - cut[0][axis])
        doubts += thin("thin-lap", f"the lap in {piece.mark}", left, "share the thickness more evenly")
    sides = [hi[k] - lo[k] for k in range(3) if k != axis]
    return Joinery(
        sizes.kind,
        None,
        None,
        (Cuboid(FeatureKind.LAP, *entering.range_in_piece(*cut_mine), joint=sizes.name),),
        (Cuboid(FeatureKind.LAP, *receiving.range_in_piece(*cut_theirs), joint=sizes.name),),
        glue_area=area(*sides),
        long_grain=area(*sides),
        doubts=tuple(doubts),
    )


GEOMETRY = Geometry(end_lap, cross_lap, lapped)
