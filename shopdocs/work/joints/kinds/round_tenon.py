"""Round tenon."""

from __future__ import annotations

from dataclasses import replace

from shopdocs.core.length import PI
from shopdocs.work.joints.frame import Frame, Geometry, Joinery, JointSizes
from shopdocs.work.joints.tenons import with_tenon
from shopdocs.work.space.placed import Cuboid, Feature, FeatureKind

_ROUND = {FeatureKind.TENON: FeatureKind.ROUND_TENON, FeatureKind.MORTISE: FeatureKind.ROUND_MORTISE}
USUAL = ("tenon-thick", "thin-tenon")  # doubts about tenons that are a third of their piece


def round_tenon(frame: Frame, sizes: JointSizes) -> Joinery:
    """A round tenon `thickness` across; it goes through where its length is not written. Its cuboids
    are the square ones round it."""
    least = min(frame.entering.extent[frame.u], frame.entering.extent[frame.v])
    thickness = sizes.thickness or sizes.about(least / 2)
    through = sizes.length is None
    square = replace(sizes, thickness=thickness, width=thickness, shoulder=None, haunch=None)
    made = with_tenon(frame, square, through)
    reach = (made.added - sizes.proud) if through else made.added
    surface = PI * thickness.mm * reach.mm
    return replace(
        made,
        entering=tuple(map(_rounded, made.entering)),
        receiving=tuple(map(_rounded, made.receiving)),
        glue_area=surface,
        long_grain=surface / 2,
        doubts=tuple(doubt for doubt in made.doubts if doubt.code not in USUAL),
    )


def _rounded(feature: Feature) -> Feature:
    return replace(feature, kind=_ROUND[feature.kind]) if isinstance(feature, Cuboid) else feature


GEOMETRY = Geometry(round_tenon)
