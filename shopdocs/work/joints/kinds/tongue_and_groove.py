"""Tongue and groove."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.work.joints.frame import (
    NARROWEST_CUT,
    TENON_SHARE,
    THINNEST_WALL,
    Doubt,
    Frame,
    Geometry,
    Joinery,
    JointSizes,
    about_middle,
    area,
    thin,
)
from shopdocs.work.joints.room import depths
from shopdocs.work.space.placed import FeatureKind

# Common practice, no source.
THIN_PANEL = Length.inches("1/4")  # up to this a panel has no shoulders: its groove takes the whole of it
USUAL_TONGUE = Length.inches("3/8")  # long, where it could be as long as it is thick
WALL_SHARE = Fraction(3, 10)  # wood left beside a groove in thin stock: about a third, for nothing is stouter


def _usual(whole: Length, sizes: JointSizes) -> Length:
    """The tongue of a piece that thick: the whole of a sheet, whose face is too thin for a shoulder, and of a thin
    panel; else a third, and never less than an iron cuts."""
    if sizes.sheet or whole <= THIN_PANEL:
        return whole
    return max(sizes.about(whole * TENON_SHARE), sizes.about(NARROWEST_CUT))


def tongue_and_groove(frame: Frame, sizes: JointSizes) -> Joinery:
    """A tongue along the entering piece, `length` out of it, in a groove of the receiving one, `depth` deep, as long as
    they touch; the groove as wide as the tongue is thick, or as `width` says. A tongue as thick as its piece is a panel
    let into a frame; a sheet or a thin panel, as a drawer bottom, goes in so where nothing is said."""
    whole = frame.entering.extent[frame.u]
    thickness = sizes.thickness or _usual(whole, sizes)
    length, hole = depths(sizes.kind, sizes.length, sizes.depth, sizes.room)
    if length is None or hole is None:
        length = min(thickness, sizes.about(USUAL_TONGUE))
        hole = length + sizes.room
    u, v = about_middle(frame.extent(frame.entering, frame.u), thickness), frame.shared_v
    groove = about_middle(u, sizes.width or thickness)
    doubts: list[Doubt] = []  # a bottom may run on past a side, a side stand higher than a back
    if thickness > whole:
        doubts.append(
            Doubt(
                "tongue-too-thick",
                f"the tongue is {exact_text(thickness)} thick, {frame.entering.mark} only {exact_text(whole)}",
                f"make it at most {exact_text(whole)}",
            )
        )
    if sizes.width is not None and sizes.width < thickness:
        wrong = f"the tongue is {exact_text(thickness)} thick, its groove {exact_text(sizes.width)} wide"
        doubts.append(Doubt("tongue-too-thick", wrong, "make the groove as wide as the tongue is thick, or wider"))
    low, high = frame.extent(frame.receiving, frame.u)
    wall, least = min(groove[0] - low, high - groove[1]), min(THINNEST_WALL, (high - low) * WALL_SHARE)
    doubts += thin("thin-wall", f"the groove in {frame.receiving.mark}", wall, "make the tongue thinner", least)
    doubts += thin("thin-floor", f"the groove in {frame.receiving.mark}", frame.depth - hole, "make it less deep")
    cheeks = area(length, v[1] - v[0]) * 2
    return Joinery(
        sizes.kind,
        frame.enters,
        frame.meets,
        (frame.cuboid(frame.entering, FeatureKind.TONGUE, (ZERO, length), u, v, sizes.name, adds=True),),
        (frame.cuboid(frame.receiving, FeatureKind.GROOVE, (ZERO, hole), groove, v, sizes.name),),
        length,
        hole - length,
        glue_area=cheeks + area(whole, v[1] - v[0]),
        long_grain=cheeks,
        doubts=tuple(doubts),
    )


GEOMETRY = Geometry(tongue_and_groove)
