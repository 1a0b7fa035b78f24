"""Which holes a stage of the glue-up closes the way to: what goes into them must go in before."""

from __future__ import annotations

from collections.abc import Iterable

from shopdocs.core.box import Box
from shopdocs.core.length import Length
from shopdocs.work.scene.in_space import Space
from shopdocs.work.shapes.carved import rough_cells
from shopdocs.work.space.placed import Bore, PlacedPiece, side_of

# Straight out of a hole there must be room for a driver and the hand that turns it: common practice, no source.
REACH = Length(150)
HAND = Length(20)  # to each side of the hole's middle
THIN = Length(3)  # a plate that another piece lies on is no thicker


def closed_off(space: Space, mark: str, hardware: str, standing: Iterable[str]) -> bool:
    """Whether every hole of this hardware on a piece has its way out blocked by the pieces that stand then, where it
    was free on the piece alone. False where it has no hole on the piece, or the piece no place."""
    return _every(space, mark, hardware, standing, REACH, HAND)


def covered(space: Space, mark: str, hardware: str, standing: Iterable[str]) -> bool:
    """Whether one of these pieces lies right on every hole of this hardware on a piece, so that nobody sees it."""
    return _every(space, mark, hardware, standing, THIN, Length(1))


def blockers(space: Space, mark: str, hardware: str, reach: Length, aside: Length) -> list[str]:
    """The pieces of the finished build that stand in the way out of a hole of this hardware, nearer than `reach` and no
    further `aside` of its middle, in their order; none where the piece has no place."""
    piece = space.pieces.get(mark)
    own = [bore for bore in piece.bores if bore.joint == hardware] if piece is not None else []
    return [
        other
        for other in space.pieces
        if piece is not None
        and other != mark
        and any(_blocked(space, piece, bore, (other,), reach, aside) for bore in own)
    ]


def _every(space: Space, mark: str, hardware: str, standing: Iterable[str], reach: Length, aside: Length) -> bool:
    piece = space.pieces.get(mark)
    if piece is None:
        return False
    own = [bore for bore in piece.bores if bore.joint == hardware]
    others = [other for other in standing if other != mark and other in space.pieces]
    return bool(own) and all(_blocked(space, piece, bore, others, reach, aside) for bore in own)


def _blocked(
    space: Space, piece: PlacedPiece, bore: Bore, standing: Iterable[str], reach: Length, aside: Length
) -> bool:
    """Whether something stands in the way out of a hole, nearer than `reach` and no further `aside` of its middle; of
    one right through, in both ways out."""
    axis, high = side_of(bore.face)
    through = bore.depth is None or bore.depth >= piece.size[axis]
    ways = [high, not high] if through else [high]
    solids = [space.scene.solids[space.scene.index(mark)] for mark in standing]
    for way in ways:
        lo, hi = list(bore.centre), list(bore.centre)
        for k in range(3):
            if k != axis:
                lo[k], hi[k] = lo[k] - aside, hi[k] + aside
        outside = piece.size[axis] if way else Length(0)
        lo[axis], hi[axis] = (outside, outside + reach) if way else (outside - reach, outside)
        ends = [[round(v.mm * space.scene.ticks.per_mm) for v in piece.spot_in_build(spot)] for spot in (lo, hi)]
        corridor = Box.between(ends[0], ends[1])
        if not any(cell.overlap(corridor) is not None for solid in solids for cell in rough_cells(solid)):
            return False
    return True
