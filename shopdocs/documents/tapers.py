"""Tapers in words: from where to where, to what size, and how steep."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from shopdocs.blocks.text import Text, text
from shopdocs.core.length import Length
from shopdocs.documents.figures import decimal_figure, length_figure
from shopdocs.documents.job import Job
from shopdocs.model.cutting import CutKind, CutPlace, OwnCut
from shopdocs.model.joining import Face, the_face
from shopdocs.model.parts import Part
from shopdocs.work.space.placed import side_of

LATER = "Mark out, cut and drill everything else first, while the piece is square."


def taper_words(job: Job, cut: OwnCut, places: Sequence[CutPlace], part: Part) -> Text:
    """One or more faces of a piece that taper alike: "tapers on the back face and the far edge, from 36 in from end A,
    where it is 2 in, to 1 in at end B"."""
    assert cut.width is not None and cut.depth is not None
    first, name, unit = places[0], f"{part.name} · {cut.name}", f" {job.display.units}"
    end = first.second
    start = cut.width if end is Face.A else part.length - cut.width
    axis = side_of(first.face)[0]
    size = (part.length, part.width, part.thickness)[axis]
    opposite = sum(side_of(place.face)[0] == axis for place in places) == 2
    left = size - cut.depth * (2 if opposite else 1)
    faces = [the_face(place.face) for place in places]
    listed = faces[0] if len(faces) == 1 else ", ".join(faces[:-1]) + " and " + faces[-1]

    def figure(what: str, value: Length) -> Text:
        return text(length_figure(f"{name} · {what}", value, job.display, first.at), unit)

    return (
        *text(f"tapers on {listed}, from ", *figure("begins", start), " from end A"),
        *text(", where it is ", *figure("size", size), ", to ", *figure("to", left), f" at {the_face(end or Face.B)}"),
        *_steep(name, cut, first),
    )


def _steep(name: str, cut: OwnCut, place: CutPlace) -> Text:
    """How steep each face is against the straight piece: as a slope and in degrees."""
    assert cut.width is not None and cut.depth is not None
    run = cut.width / cut.depth
    degrees = Fraction(math.degrees(math.atan2(cut.depth.float_mm(), cut.width.float_mm())))
    one_in = decimal_figure(f"{name} · slope", run, 1, "length to 1 off", place.at)
    return text("; 1 in ", one_in, ", ", decimal_figure(f"{name} · angle", degrees, 2, "degrees", place.at), "°")


def is_taper(cut: OwnCut) -> bool:
    """Whether a cut is a taper."""
    return cut.kind is CutKind.TAPER


def has_tapers(job: Job) -> bool:
    """Whether anything in the build tapers."""
    return any(map(is_taper, job.build.cuts))
