"""A face as a small sketch with the place of its template shaded, so that one sees at a glance where the paper lies."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from shopdocs.blocks.drawing import Circle, Drawing, Line, Polygon, Shape, Stroke, Words
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.template import Window
from shopdocs.model.joining import Face
from shopdocs.work.holes.face_holes import FaceHoles
from shopdocs.work.space.drilled import Drilled

LONG, HIGH = Fraction(32), Fraction(14)  # of the sketch, millimetres of paper
LEAST_LONG, LEAST_HIGH = Fraction(10), Fraction(5)  # a slat is drawn higher than it is, or nothing could be seen in it
HOLE = Length("0.5")


def thumbnail(face: FaceHoles, windows: Iterable[Window], holes: Iterable[Drilled]) -> Drawing:
    """The whole face with its edge to gauge from heavy, the template's places shaded, the holes as dots, and which end
    is which. In millimetres of paper, not to scale."""
    wide, high = face.width.mm, face.height.mm
    factor = min(LONG / wide, HIGH / high)
    across = max(factor, LEAST_LONG / wide)
    up = max(factor, LEAST_HIGH / high)
    long, tall = Length(wide * across), Length(high * up)

    def at(along: Length, level: Length) -> tuple[Length, Length]:
        y = Length(level.mm * up)
        return Length(along.mm * across), tall - y if face.reference_at_top else y

    shapes: list[Shape] = [
        Polygon(
            tuple(
                at(x, y)
                for x, y in (
                    (window.start, window.low),
                    (window.end, window.low),
                    (window.end, window.across),
                    (window.start, window.across),
                )
            ),
            Stroke.THIN,
            "tint",
        )
        for window in windows
    ]
    shapes += [Circle(at(hole.along, hole.across), HOLE, Stroke.THIN, "ink") for hole in holes]
    corners = ((ZERO, ZERO), (face.width, ZERO), (face.width, face.height), (ZERO, face.height))
    shapes.append(Polygon(tuple(at(x, y) for x, y in corners), Stroke.VISIBLE))
    shapes.append(Line(at(ZERO, ZERO), at(face.width, ZERO), Stroke.REFERENCE))
    if face.face not in (Face.A, Face.B):
        middle = tall / 2
        shapes.append(Words((ZERO, middle), "A", 8.0, strong=True, dx_mm=-2.4))
        shapes.append(Words((long, middle), "B", 8.0, strong=True, dx_mm=2.4))
    return Drawing("", long, tall, tuple(shapes), Fraction(1), captioned=False, sketch=True)
