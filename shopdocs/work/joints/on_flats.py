"""Rails into the side of a round by a mortise and tenon: a flat is planed there for the square shoulder.

The flat is as high as the rail and, where the round is least, as wide as the rail is thick. From there on the round is
a piece with a face like any other: the joint is worked out as if its stock began at the flat, and ended at the other
side of the round.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.rounds import Round
from shopdocs.work.joints.frame import Doubt, Geometry, Joinery, JointSizes, frame_of
from shopdocs.work.joints.off_square import MISS
from shopdocs.work.space.placed import Cuboid, Feature, FeatureKind, PlacedPiece, Spot


def on_flat(
    entering: PlacedPiece, receiving: PlacedPiece, turned: Round, sizes: JointSizes, geometry: Geometry
) -> Joinery:
    """The joint of a rail into a plumb round, with the flat for its shoulder."""
    k, k_leg = entering.pose.build_axis(0), receiving.pose.build_axis(0)
    if k == k_leg:
        return _none(sizes, Doubt("flat", f"{entering.mark} runs along {receiving.mark}", "leave flat out"))
    j, third = receiving.pose.piece_axis(k), 3 - k - k_leg
    (low, *_), (high, *_) = receiving.range_in_piece(entering.at, entering.far)
    axis = [(a + b) / 2 for a, b in zip(receiving.at, receiving.far, strict=True)]
    off = abs((entering.at[third] + entering.far[third]) / 2 - axis[third])
    half = entering.extent[third] / 2 + off
    level = turned.flat(low, high, half.float_mm())
    if level is None:
        least = turned.least(low, high)
        if least is None:
            wrong = f"{receiving.mark} is not round all along the shoulder of {entering.mark}"
            return _none(sizes, Doubt("flat", wrong, "leave flat out, and let it be square there, or move the rail"))
        wrong = f"{receiving.mark} is {exact_text(least)} across where {entering.mark} meets it"
        right = f"no flat is {exact_text(half * 2)} wide there: make {entering.mark} thinner, or the round thicker"
        return _none(sizes, Doubt("flat", wrong, right))
    rises = receiving.at[k] + receiving.far[k] > entering.at[k] + entering.far[k]
    plane = entering.far[k] if rises else entering.at[k]
    if abs(abs((plane - axis[k]).float_mm()) - level) > MISS:
        side = ("left", "front", "bottom")[k] if rises else ("right", "back", "top")[k]
        wrong = f"{entering.mark} does not end at the flat of {receiving.mark}"
        return _none(sizes, Doubt("not-touching", wrong, f"let it end there: {receiving.mark}.{side}"))
    least = turned.least(low, high)
    assert least is not None
    behind = axis[k] + (least / 2 if rises else -(least / 2))
    stock = _between(receiving, k, plane, behind)
    frame = frame_of(entering, stock)
    if frame is None:
        return _none(sizes, Doubt("not-touching", f"{entering.mark} stands off {receiving.mark}", "let them touch"))
    made = geometry.touching(frame, sizes)
    begins, _ = receiving.range_in_piece(stock.at, stock.far)
    flat_lo, flat_hi = list(receiving.range_in_piece(stock.at, stock.far)[0]), list(receiving.size)
    flat_lo[0], flat_hi[0] = low, high
    flat_lo[3 - j], flat_hi[3 - j] = ZERO, receiving.size[3 - j]
    faces_low = rises == receiving.pose.axes[j].forward
    spot = receiving.spot_in_piece(_with(axis, k, plane))[j]
    flat_lo[j], flat_hi[j] = (ZERO, spot) if faces_low else (spot, receiving.size[j])
    flat = Cuboid(FeatureKind.FLAT, _spot(flat_lo), _spot(flat_hi), joint=sizes.name)
    return replace(made, receiving=(flat, *(_moved(one, j, begins[j]) for one in made.receiving)))


def _between(piece: PlacedPiece, k: int, one: Length, other: Length) -> PlacedPiece:
    """The stock of a piece between two levels along an axis of the build."""
    at, j = list(piece.at), piece.pose.piece_axis(k)
    at[k] = min(one, other)
    size = list(piece.size)
    size[j] = max(one, other) - at[k]
    return PlacedPiece(piece.mark, piece.part, _spot(at), *_spot(size), piece.pose, (), piece.material)


def _moved(feature: Feature, axis: int, by: Length) -> Feature:
    """A cut of the thinner stock in coordinates of the piece."""
    assert isinstance(feature, Cuboid)
    lo, hi = list(feature.lo), list(feature.hi)
    lo[axis], hi[axis] = lo[axis] + by, hi[axis] + by
    return replace(feature, lo=_spot(lo), hi=_spot(hi))


def _with(values: list[Length], k: int, value: Length) -> list[Length]:
    return [value if i == k else one for i, one in enumerate(values)]


def _spot(values: Sequence[Length]) -> Spot:
    return values[0], values[1], values[2]


def _none(sizes: JointSizes, doubt: Doubt) -> Joinery:
    return Joinery(sizes.kind, None, None, doubts=(doubt,))
