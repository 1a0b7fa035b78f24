"""Arches in words: where they spring from, how high, their radius, and their height at even steps for a batten."""

from __future__ import annotations

import math
from fractions import Fraction

from shopdocs.blocks.text import Run, Text, text
from shopdocs.core.display import Display, Units
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.figures import length_figure
from shopdocs.documents.job import Job
from shopdocs.model.cutting import CutKind, CutPlace, OwnCut
from shopdocs.model.joining import Face, the_face
from shopdocs.model.parts import Part

_STEPS: dict[Units, tuple[Length, ...]] = {
    "mm": tuple(Length(size) for size in (5, 10, 20, 25, 50, 100, 200, 250, 500)),
    "in": tuple(Length.inches(size) for size in ("1/4", "1/2", 1, 2, 3, 4, 6, 12, 24)),
}
_MOST_STEPS = 6


def radius_of(chord: Length, rise: Length) -> Length:
    """The radius of the circle through both ends of a chord and a point `rise` over its middle; exact, for in the
    right-angled triangle from its centre (half chord) squared is rise times the rest of the diameter (Euclid III 35).
    """
    half = chord / 2
    return half * (half / rise) / 2 + rise / 2


def heights(chord: Length, rise: Length, units: Units) -> tuple[Length, tuple[Length, ...]]:
    """A step of the units that are printed, and how high an arc is after each such step from its middle out, to
    1/1000 mm."""
    half, radius = chord / 2, radius_of(chord, rise)
    sizes = _STEPS[units]
    step = next((size for size in sizes if size * _MOST_STEPS >= half), half / _MOST_STEPS)
    count = math.ceil(half / step) - 1
    under = radius - rise
    return step, tuple(_height(radius, step * k) - under for k in range(1, count + 1))


def arc_long(chord: Length, rise: Length) -> float:
    """How long an arc is along its curve, in millimetres: its radius by the angle it turns through."""
    half, radius = (chord / 2).float_mm(), radius_of(chord, rise).float_mm()
    return 2 * radius * math.atan2(half, radius - rise.float_mm())


def _height(radius: Length, out: Length) -> Length:
    squared = radius.mm * radius.mm - out.mm * out.mm
    # the root of a fraction to 1/1000 mm, in whole numbers, so that it is the same everywhere
    return Length(Fraction(math.isqrt(int(squared * 4_000_000)) + 1, 2000) // Fraction(1, 1000) * Fraction(1, 1000))


def arch_words(job: Job, cut: OwnCut, place: CutPlace, part: Part, flush: Length, brief: bool = False) -> Text:
    """An arch of a piece whose face really begins `flush` before its end A; `brief`, its heights stand elsewhere."""
    assert cut.depth is not None
    name, unit = f"{part.name} · {cut.name}", f" {job.display.units}"
    low, high = place.along

    def figure(what: str, value: Length) -> Run:
        return length_figure(f"{name} · {what}", value, job.display, place.at)

    step, every = heights(high - low, cut.depth, job.display.units)
    steps: list[Run] = []
    for number, height in enumerate(every, 1):
        steps += [", " if steps else "", figure(f"height {number}", height)]
    begins, ends = figure("from", low + flush), figure("to", high + flush)
    counted = the_face(Face.EDGE if place.face in (Face.A, Face.B) else Face.A)
    return (
        *text(f"arch in {the_face(place.face)}, ", begins, " to ", ends, f"{unit} from {counted}, "),
        *text(figure("height", cut.depth), f"{unit} high in its middle, radius "),
        *text(figure("radius", radius_of(high - low, cut.depth)), unit),
        *(
            text("; its height every ", figure("step", step), f"{unit} from the middle out: ", *steps)
            if steps and not brief
            else ()
        ),
    )


def is_arch(cut: OwnCut) -> bool:
    """Whether a cut is an arch."""
    return cut.kind is CutKind.ARCH


def has_arches(job: Job) -> bool:
    """Whether anything in the build is arched."""
    return any(map(is_arch, job.build.cuts))


def arch_note(rise: Length, chord: Length, display: Display) -> str:
    """What a drawing says beside an arch."""
    assert rise > ZERO
    return f"{display.bare(rise)} high, radius {display.bare(radius_of(chord, rise))}"
