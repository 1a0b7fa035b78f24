"""Two tapered pieces sawn from one blank: laid head to foot, with one straight cut between them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations

from shopdocs.core.length import ZERO, Length
from shopdocs.work.space.placed import Cuboid, Spot, face_of, side_of


def nested_breadth(size: Spot, axis: int, tapers: Sequence[Cuboid], kerf: Length) -> Length | None:
    """How broad a blank is along `axis` (1 width, 2 thickness) that gives two pieces of this size, `kerf` wide of it
    sawn away between them, to 1/1000 mm upward. None where the piece does not taper along that axis on one face alone.

    Head to foot the two lie point-symmetric about the middle of the cut. A cut at slope s leaves a piece with the edge
    w(x) room where w(x) - s (x - L/2) is nowhere above half the blank; at the best slope two corners of the edge touch
    it, so the slopes between corners are all that has to be tried.
    """
    along = [taper for taper in tapers if taper.flare is not None and side_of(taper.flare.at)[0] == axis]
    if not along or len({taper.flare.at for taper in along if taper.flare is not None}) > 1:
        return None
    corners = _edge(size, axis, along)
    middle = size[0] / 2
    slopes = [(two[1] - one[1]) / (two[0] - one[0]) for one, two in combinations(corners, 2) if one[0] != two[0]]
    best: tuple[Length, Fraction] | None = None
    for slope in (Fraction(0), *slopes):
        broad = max(high - (x - middle) * slope for x, high in corners) * 2
        if best is None or broad < best[0]:
            best = broad, slope
    assert best is not None
    sawn = kerf.float_mm() * math.hypot(1.0, float(best[1]))  # the kerf is as wide as it is square to the cut
    return Length(Fraction(math.ceil((best[0].float_mm() + sawn) * 1000 - 1e-6), 1000))


def _edge(size: Spot, axis: int, tapers: Sequence[Cuboid]) -> list[tuple[Length, Length]]:
    """The corners of the edge that tapers, along the piece and across it."""
    corners = {ZERO: size[axis], size[0]: size[axis]}
    for taper in tapers:
        assert taper.flare is not None
        left = size[axis] - (taper.hi[axis] - taper.lo[axis])
        if taper.flare.only is face_of(0, True):
            corners |= {ZERO: left, taper.hi[0]: corners.get(taper.hi[0], size[axis])}
        else:
            corners |= {size[0]: left, taper.lo[0]: corners.get(taper.lo[0], size[axis])}
    return sorted(corners.items())
