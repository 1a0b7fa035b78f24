"""End cuts in words: which end, how far off square, on which side it comes out shorter, and by how much."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.blocks.text import Figure, Text, text
from shopdocs.core.angle import Angle, tilt_on_edge
from shopdocs.core.display import trimmed
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.figures import length_figure
from shopdocs.documents.job import Job
from shopdocs.model.cutting import CutKind, CutPlace, OwnCut
from shopdocs.model.joining import Face, the_face
from shopdocs.model.parts import Part


def end_cut_words(job: Job, cut: OwnCut, place: CutPlace, part: Part) -> Text:
    """One sawn end: "end A sawn 15° off square across the face, 1 in 3.73, shorter at the far edge by 24 mm". Where a
    tenon stands out of it, it is its shoulder: sawn across, it would take the tenon off."""
    assert cut.angle is not None and cut.depth is not None and place.second is not None
    name, unit = f"{part.name} · {cut.name}", f" {job.display.units}"
    across = place.second in (Face.EDGE, Face.FAR_EDGE)
    shoulder = _has_tenon(job, place)
    what = f"shoulder at {the_face(place.face)}, round the tenon, " if shoulder else f"{the_face(place.face)} sawn "
    runs = text(what, degrees_figure(name, "off square", cut.angle, place), "° off square ")
    runs = (*runs, "across the face" if across else "through the thickness")
    if cut.tilt is None:
        runs = (*runs, ", 1 in ", slope_figure(name, cut.angle, place))
    else:
        edge = tilt_on_edge(cut.angle, cut.tilt)
        runs = (*runs, ", the blade tilted ", degrees_figure(name, "tilt", cut.tilt, place), "° from upright")
        runs = (*runs, "; on the edges it shows ", degrees_figure(name, "on the edge", edge, place), "° off square")
    skew = cut.skew
    off = cut.depth - skew if skew is not None else cut.depth
    runs = (*runs, f"; shorter at {the_face(place.second)} by ", _length(job, f"{name} · off", off, place), unit)
    if skew is not None and place.third is not None:
        runs = (*runs, f", at {the_face(place.third)} by ", _length(job, f"{name} · skew", skew, place), unit)
    return (*runs, "; knife it all round, saw down to the tenon") if shoulder else runs


def _has_tenon(job: Job, place: CutPlace) -> bool:
    """Whether a joint leaves something standing out of this end."""
    piece = job.space.pieces.get(place.piece) if job.space is not None else None
    added = [cuboid for cuboid in piece.cuboids if cuboid.adds] if piece is not None else []
    if piece is None or place.face not in (Face.A, Face.B):
        return False
    return any(one.hi[0] > piece.length if place.face is Face.B else one.lo[0] < ZERO for one in added)


def _length(job: Job, name: str, value: Length, place: CutPlace) -> Figure:
    return length_figure(name, value, job.display, place.at)


def degrees_figure(name: str, what: str, angle: Angle, place: CutPlace) -> Figure:
    """Degrees off square to 1/100, finer than any bevel is set."""
    degrees = Fraction(angle.degrees)
    return Figure(f"{name} · {what}", trimmed(degrees, 2), degrees, "degrees", place.at)


def slope_figure(name: str, angle: Angle, place: CutPlace) -> Figure:
    """The slope as 1 in so many."""
    return Figure(f"{name} · slope", trimmed(angle.one_in, 2), angle.one_in, "length to 1 off", place.at)


def end_cut_note(cut: OwnCut) -> str:
    """What a drawing says beside an end cut."""
    assert cut.angle is not None
    told = f"{trimmed(Fraction(cut.angle.degrees), 2)}°"
    return told if cut.tilt is None else f"{told}, tilt {trimmed(Fraction(cut.tilt.degrees), 2)}°"


def is_end_cut(cut: OwnCut) -> bool:
    """Whether a cut saws an end off square."""
    return cut.kind is CutKind.END_CUT


def has_end_cuts(job: Job) -> bool:
    """Whether any end in the build is sawn off square."""
    return any(map(is_end_cut, job.build.cuts))
