"""Sliding dovetail."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Severity
from shopdocs.model.joining import OPPOSITE
from shopdocs.model.kinds.sliding_dovetail import neck
from shopdocs.work.joints.frame import (
    HOUSING_SHARE,
    Doubt,
    Frame,
    Geometry,
    Joinery,
    JointSizes,
    Range,
    about_middle,
    area,
    axis_name,
    overhang,
    thin,
)
from shopdocs.work.space.placed import FeatureKind, Flare

THINNEST_NECK = Length(5)  # common practice, no source: a thinner one breaks when it is driven in


def sliding_dovetail(frame: Frame, sizes: JointSizes) -> Joinery:
    """A tail as long as the trench is deep, along all that touches, `thickness` thick at its end: as thick as its piece
    where nothing is said. With `width` it stops short of the entering piece's face edge, and the trench with it."""
    depth = sizes.depth or sizes.about(frame.depth * HOUSING_SHARE)
    whole = frame.extent(frame.entering, frame.u)
    thickness = sizes.thickness or whole[1] - whole[0]
    n, u, v = (ZERO, depth), about_middle(whole, thickness), frame.stopped(sizes.width)
    by = depth / sizes.slope
    mine = Flare(axis_name(frame.entering, frame.u), OPPOSITE[frame.enters], by)
    theirs = Flare(axis_name(frame.receiving, frame.u), frame.meets, by)
    sides = area(depth, v[1] - v[0]) * 2
    return Joinery(
        sizes.kind,
        frame.enters,
        frame.meets,
        (frame.cuboid(frame.entering, FeatureKind.SLIDING_TAIL, n, u, v, sizes.name, adds=True, flare=mine),),
        (frame.cuboid(frame.receiving, FeatureKind.TAIL_TRENCH, n, u, v, sizes.name, flare=theirs),),
        depth,
        glue_area=sides + area(thickness, v[1] - v[0]),
        doubts=(*overhang(frame), *_doubts(frame, sizes, depth, thickness, v)),
    )


def _doubts(frame: Frame, sizes: JointSizes, depth: Length, thickness: Length, v: Range) -> Iterator[Doubt]:
    mark, whole = frame.entering.mark, frame.entering.extent[frame.u]
    if thickness > whole:
        told = f"the tail is {exact_text(thickness)} thick, {mark} only {exact_text(whole)}"
        yield Doubt("tail-too-thick", told, f"make it {exact_text(whole)} or less")
    left = neck(thickness, depth, sizes.slope)
    if left < THINNEST_NECK:
        told = f"the tail of {mark} is {exact_text(left)} thick at its neck" if left > ZERO else f"{mark} has no neck"
        severity = Severity.WARNING if left > ZERO else Severity.ERROR
        yield Doubt("thin-neck", told, "make it shorter or thicker, or its slope less steep", severity)
    low, high = frame.extent(frame.receiving, frame.v)
    if low < v[0] and v[1] < high:
        told = f"the trench in {frame.receiving.mark} is closed at both ends, and {mark} cannot be slid in"
        yield Doubt("no-way-in", told, "let it run out at one end, or make a housing")
    yield from thin("thin-floor", f"the trench in {frame.receiving.mark}", frame.depth - depth, "cut it less deep")


GEOMETRY = Geometry(sliding_dovetail)
