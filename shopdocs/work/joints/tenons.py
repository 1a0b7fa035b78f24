"""What the kinds with tenons, loose tenons and dowels share."""

from __future__ import annotations

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Severity
from shopdocs.work.joints.frame import (
    HAUNCH_SHARE,
    NARROWEST_CUT,
    SHOULDER_SHARE,
    TENON_DEPTH_SHARE,
    TENON_SHARE,
    THICKEST_TENON_SHARE,
    THINNEST_WALL,
    Doubt,
    Frame,
    Joinery,
    JointSizes,
    Range,
    about_middle,
    area,
    overhang,
    thin,
)
from shopdocs.work.joints.room import depths
from shopdocs.work.space.placed import FeatureKind


def tenon_thickness(mark: str, whole: Length, sizes: JointSizes) -> tuple[Length, list[Doubt]]:
    """The tenon's thickness on a piece that is `whole` thick there, and whether it can have it."""
    thickness = sizes.thickness or sizes.about(whole * TENON_SHARE)
    if thickness > whole:
        return thickness, [
            Doubt(
                "tenon-too-thick",
                f"the tenon is {exact_text(thickness)} thick, {mark} only {exact_text(whole)}",
                f"a third of it is common: {exact_text(sizes.about(whole * TENON_SHARE))}",
            )
        ]
    if thickness > whole * THICKEST_TENON_SHARE and thickness != whole:
        return thickness, [
            Doubt(
                "tenon-thick",
                f"the tenon takes {exact_text(thickness)} of the {exact_text(whole)} of {mark}",
                "common practice is a third, at most half",
                Severity.WARNING,
            )
        ]
    if sizes.thickness is None and thickness < NARROWEST_CUT:
        wrong = f"a third of {mark} leaves a tenon only {exact_text(thickness)} thick"
        right = f"write thickness: {exact_text(NARROWEST_CUT)} or more, or make {mark} thicker"
        return thickness, [Doubt("thin-tenon", wrong, right, Severity.WARNING)]
    return thickness, []


def walls(
    frame: Frame, u: Range, cut: str = "mortise", enters: str = "tenon", least: Length = THINNEST_WALL
) -> list[Doubt]:
    """Wood left on both sides of a mortise in the receiving piece, or of the `cut` for what `enters` there."""
    low, high = frame.extent(frame.receiving, frame.u)
    left = min(u[0] - low, high - u[1])
    right = f"make the {enters} thinner or move the piece"
    return thin("thin-wall", f"the {cut} in {frame.receiving.mark}", left, right, least)


def _ends(frame: Frame, v: Range) -> list[Doubt]:
    low, high = frame.extent(frame.receiving, frame.v)
    return thin(
        "thin-end",
        f"the mortise near the end of {frame.receiving.mark}",
        min(v[0] - low, high - v[1]),
        "widen the shoulder, give the tenon a haunch, or make a bridle joint",
    )


def with_tenon(frame: Frame, sizes: JointSizes, through: bool) -> Joinery:
    """A stopped or `through` tenon on the entering piece, the mortise for it in the receiving one."""
    thickness, doubts = tenon_thickness(frame.entering.mark, frame.entering.extent[frame.u], sizes)
    length = sizes.length or (frame.depth if through else sizes.about(frame.depth * TENON_DEPTH_SHARE))
    reach = frame.depth if through else length
    u = about_middle(frame.extent(frame.entering, frame.u), thickness)
    v, haunch = _tenon_width(frame, sizes)
    added = frame.depth + sizes.proud if through else length
    hole = reach if through else length + sizes.room
    name = sizes.name
    entering = [frame.cuboid(frame.entering, FeatureKind.TENON, (ZERO, added), u, v, name, adds=True)]
    receiving = [frame.cuboid(frame.receiving, FeatureKind.MORTISE, (ZERO, hole), u, v, name)]
    if haunch is not None and sizes.haunch is not None:
        stub = (ZERO, sizes.haunch)
        entering.append(frame.cuboid(frame.entering, FeatureKind.HAUNCH, stub, u, haunch, name, adds=True))
        receiving.append(frame.cuboid(frame.receiving, FeatureKind.HAUNCH, stub, u, haunch, name))
    doubts += overhang(frame) + walls(frame, u) + _ends(frame, v)
    if sizes.haunch is not None and sizes.haunch >= length:
        doubts.append(
            Doubt(
                "haunch-too-long",
                f"the haunch is {exact_text(sizes.haunch)} long, its tenon {exact_text(length)}",
                "about as long as the tenon is thick is common",
            )
        )
    if through and sizes.length is not None and sizes.length not in (frame.depth, added):
        doubts.append(
            Doubt(
                "through-length",
                f"the through tenon is {exact_text(sizes.length)} long, {frame.receiving.mark} is "
                f"{exact_text(frame.depth)} thick",
                "leave its length out; proud says how far it stands out",
            )
        )
    if v[1] <= v[0]:
        doubts.append(Doubt("no-tenon-left", "the shoulders leave no tenon", "make them narrower"))
    if v[1] - v[0] > frame.entering.extent[frame.v]:
        wrong = f"the tenon is {exact_text(v[1] - v[0])} wide, {frame.entering.mark} only "
        wrong += exact_text(frame.entering.extent[frame.v])
        doubts.append(Doubt("tenon-too-wide", wrong, "a tenon is no wider than its piece"))
    if not through:
        doubts += thin("thin-floor", f"the mortise in {frame.receiving.mark}", frame.depth - hole, "shorten the tenon")
    cheeks = area(reach, v[1] - v[0]) * 2
    edges = area(reach, thickness) * 2
    return Joinery(
        sizes.kind,
        frame.enters,
        frame.meets,
        tuple(entering),
        tuple(receiving),
        added,
        hole - reach,
        glue_area=cheeks + edges,
        long_grain=cheeks,
        doubts=tuple(doubts),
    )


def _tenon_width(frame: Frame, sizes: JointSizes) -> tuple[Range, Range | None]:
    """The tenon across the width of its piece, and the haunch beside it, at the side nearer an end of the other."""
    low, high = frame.shared_v
    whole = high - low
    shoulder = sizes.shoulder
    if shoulder is None:
        shoulder = (whole - sizes.width) / 2 if sizes.width is not None else sizes.about(whole * SHOULDER_SHARE)
    if sizes.haunch is None:
        return (low + shoulder, high - shoulder), None
    ends = frame.extent(frame.receiving, frame.v)
    at_high = ends[1] - high <= low - ends[0]
    part = sizes.about(whole * HAUNCH_SHARE)
    if at_high:
        return (low + shoulder, high - part), (high - part, high)
    return (low + part, high - shoulder), (low, low + part)


def in_both(frame: Frame, sizes: JointSizes) -> Range:
    """Whole length of a dowel or a loose tenon, and depth of the hole for it in each piece."""
    length, deep = depths(sizes.kind, sizes.length, sizes.depth, sizes.room)
    if length is None or deep is None:
        half = sizes.about(frame.depth * TENON_DEPTH_SHARE)
        return half * 2, half + sizes.room
    return length, deep
