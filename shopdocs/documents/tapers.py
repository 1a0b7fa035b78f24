"""Tapers in words: from where to where, to what size, and how steep."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction

from shopdocs.blocks.text import Text, text
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.figures import decimal_figure, length_figure, marks_text
from shopdocs.documents.job import Job
from shopdocs.model.cutting import CutKind, CutPlace, OwnCut
from shopdocs.model.joining import FACE_NAMES, Face, the_face
from shopdocs.model.parts import Part
from shopdocs.work.scene.nesting import nested_breadth
from shopdocs.work.scene.own_cuts import own_cuts
from shopdocs.work.space.placed import FeatureKind, side_of

WORTH_IT = Length(10)  # of breadth that has to be spared before it is told (common practice, no source)
LATER = "Mark out, cut and drill everything else first, while the piece is square."


def taper_words(job: Job, cut: OwnCut, places: Sequence[CutPlace], part: Part) -> Text:
    """One or more faces of a piece that taper alike: "tapers on the back face, from 2 in at 36 in from end A to 1 in at
    end B"; where it tapers both ways, "2 in square"."""
    assert cut.width is not None and cut.depth is not None
    first, name, unit = places[0], f"{part.name} · {cut.name}", f" {job.display.units}"
    end = first.second
    start = cut.width if end is Face.A else part.length - cut.width
    axes = {side_of(place.face)[0] for place in places}
    axis = min(axes)
    size = (part.length, part.width, part.thickness)[axis]
    left = size - cut.depth * sum(side_of(place.face)[0] == axis for place in places)
    square = " square" if len(axes) > 1 else ""  # one depth and one size left: so it has one size before as well
    faces = [the_face(place.face) for place in places]
    listed = faces[0] if len(faces) == 1 else ", ".join(faces[:-1]) + " and " + faces[-1]

    def figure(what: str, value: Length) -> Text:
        return text(length_figure(f"{name} · {what}", value, job.display, first.at), unit)

    return (
        *text(f"tapers on {listed}, from ", *figure("size", size), f"{square} at "),
        *text(
            *figure("begins", start), " from end A to ", *figure("to", left), f"{square} at {the_face(end or Face.B)}"
        ),
        *_steep(name, cut, first, len(places) > 1),
    )


def _steep(name: str, cut: OwnCut, place: CutPlace, several: bool = False) -> Text:
    """How steep each face is against the straight piece: as a slope and in degrees."""
    assert cut.width is not None and cut.depth is not None
    run = cut.width / cut.depth
    degrees = Fraction(math.degrees(math.atan2(cut.depth.float_mm(), cut.width.float_mm())))
    one_in = decimal_figure(f"{name} · slope", run, 1, "length to 1 off", place.at)
    angle = decimal_figure(f"{name} · angle", degrees, 2, "degrees", place.at)
    return text("; each " if several else "; ", "1 in ", one_in, ", ", angle, "°")


def taper_label(job: Job, mark: str) -> str:
    """What a label says of a piece that tapers, so that it is stood the right way: "tapers: back face, far edge"; "" of
    others. Its arrow says where its ends are."""
    places = [place for cut, place in job.cuts_on(mark) if is_taper(cut)]
    faces = dict.fromkeys(FACE_NAMES[place.face] for place in places)
    return f"tapers: {', '.join(faces)}" if faces else ""


def nesting_lines(job: Job) -> Iterator[Text]:
    """Two pieces of a part that taper, sawn from one blank, head to foot with one straight cut between them; told where
    that spares wood."""
    cuts = own_cuts(job.build)
    for part in job.build.parts:
        marks = [piece.mark for piece in part.pieces]
        if len(marks) < 2:
            continue
        size = (part.length, part.width, part.thickness)
        tapers = [cut for cut in cuts.get(marks[0], ()) if cut.kind is FeatureKind.TAPER]
        alike = all([cut for cut in cuts.get(mark, ()) if cut.kind is FeatureKind.TAPER] == tapers for mark in marks)
        kerf = job.shop.kerf
        found = [(broad, axis) for axis in (1, 2) if alike and (broad := nested_breadth(size, axis, tapers, kerf))]
        broad, axis = min(found, key=lambda each: each[0] - size[each[1]] * 2, default=(ZERO, 0))
        if not axis or size[axis] * 2 + kerf - broad < WORTH_IT:
            continue
        at, name, unit = part.at, f"{part.name} · nested", f" {job.display.units}"
        across = "width" if axis == 1 else "thickness"
        yield text(
            f"{marks_text(marks, 12)}: any two can be sawn from one blank, head to foot, with one straight cut between "
            f"them. Its {across} is ",
            length_figure(f"{name} · {across}", broad, job.display, at),
            f"{unit} with the kerf, not ",
            length_figure(f"{name} · apart", size[axis] * 2 + kerf, job.display, at),
            f"{unit}; add what you plane off. The sawn faces are those that taper: plane their square part true, and "
            "mark out the joints then. From square blanks the tapers come last.",
        )


def is_taper(cut: OwnCut) -> bool:
    """Whether a cut is a taper."""
    return cut.kind is CutKind.TAPER


def has_tapers(job: Job) -> bool:
    """Whether anything in the build tapers."""
    return any(map(is_taper, job.build.cuts))
