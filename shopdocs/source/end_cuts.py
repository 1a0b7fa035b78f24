"""Decodes end cuts: ends sawn off square, across the face, through the thickness, or both at once."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.angle import Angle, tilt_on_edge
from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.model.cutting import CutKind, CutPlace, OwnCut
from shopdocs.model.joining import Face, the_face
from shopdocs.model.parts import Part
from shopdocs.source.cut_schema import CutKeys, CutOnKeys
from shopdocs.source.joining import Known
from shopdocs.source.keys import BENCH_FACES, FACE_WORDS
from shopdocs.source.nodes import Scalar, shorten
from shopdocs.source.values import Values

MOST_DEGREES = 75
LEAST_DEGREES = 0.05  # 0.1 mm over 100: less is square at the bench (common practice, no source)
_RIGHT = "write degrees off square, a slope, or the sides of a frame: angle: 15, angle: 1 in 8, or angle: 6 sides"
_EDGE = "write the end and the face where it comes out shorter: edge: A and far edge"
_DEGREES = re.compile(r"(\d+(?:\.\d+)?)\s*(?:°|deg|degrees)?")
_SLOPE = re.compile(r"1\s*(?:in|:)\s*(\d+(?:\.\d+)?)")
_POLYGON = re.compile(r"(\d{1,3})\s+sides")
LEAST_SIDES = 3  # of a frame or a box whose pieces meet in mitres: each end is sawn half the angle between two sides
_ENDS, _EDGES, _SIDES = (Face.A, Face.B), (Face.EDGE, Face.FAR_EDGE), (Face.FACE, Face.BACK)


def read_end_cuts(name: str, keys: CutKeys, known: Known, values: Values) -> Iterator[OwnCut]:
    """The end cuts of one entry, those that take the same off pieces of one section together."""
    for word, node in (("depth", keys.depth), ("width", keys.width), ("to", keys.to)):
        if node is not None:
            values.note(node.at, "cut", f"an end cut has no '{word}'", "leave it out: the angle says what comes off")
            return
    if keys.angle is None:
        values.note(keys.at, "missing-key", f"the end cut '{shorten(name)}' lacks 'angle'", _RIGHT)
        return
    angle = _angle(keys.angle, values)
    tilt = _angle(keys.tilt, values) if keys.tilt is not None else None
    if angle is None or (keys.tilt is not None and tilt is None):
        return
    sizes: dict[tuple[Length, Length, Length | None], list[CutPlace]] = {}
    for item in keys.on:
        for place, part, over in _places(item, keys, known, values):
            off, skew = _off(angle, tilt, part, over)
            if off + (skew or ZERO) >= part.length:
                wrong = f"the end cut takes {exact_text(off + (skew or ZERO))} of '{part.name}', all of its length"
                values.note(item.at, "cut-deep", wrong, "set a smaller angle")
                continue
            sizes.setdefault((off, over, skew), []).append(place)
    for (off, over, skew), on in sizes.items():
        yield OwnCut(
            name,
            CutKind.END_CUT,
            tuple(on),
            off + (skew or ZERO),
            over,
            values.line(keys.note),
            keys.at,
            keys.places,
            angle=angle,
            tilt=tilt,
            skew=skew,
        )


def _off(angle: Angle, tilt: Angle | None, part: Part, over: Length) -> tuple[Length, Length | None]:
    """What comes off the length over the width (or the thickness), and of a compound cut over the thickness, each to
    1/1000 mm unless it is exact as it stands."""
    if tilt is None:
        return _rounded(over * angle.tangent), None
    return _rounded(over * angle.tangent), _rounded(part.thickness * tilt_on_edge(angle, tilt).tangent)


def _rounded(length: Length) -> Length:
    return length if length.per_mm <= 1_000_000 else Length(Fraction(round(length.mm * 1000), 1000))


def _angle(node: Scalar, values: Values) -> Angle | None:
    text = values.line(node)
    slope, degrees = _SLOPE.fullmatch(text), _DEGREES.fullmatch(text)
    found = None
    if (sides := _POLYGON.fullmatch(text)) and int(sides[1]) >= LEAST_SIDES:
        found = Angle.of_degrees(Fraction(180, int(sides[1])))
    elif slope and Fraction(slope[1]) > 0:
        found = Angle.of_slope(Fraction(slope[1]))
    elif degrees and 0 < Fraction(degrees[1]) < 90:
        found = Angle.of_degrees(Fraction(degrees[1]))
    # by their tangents, which are kept: the degrees of 75 are 75.0000000001
    if found is None or found.tangent < Angle.of_degrees(LEAST_DEGREES).tangent:
        values.note(node.at, "angle", f"'{shorten(text)}' is no angle off square", _RIGHT)
        return None
    if found.tangent > Angle.of_degrees(MOST_DEGREES).tangent:
        wrong = f"'{shorten(text)}' is {found.degrees:.3g}° off square: no saw cuts that steep"
        values.note(node.at, "angle", wrong, f"count from square, not from the edge, to {MOST_DEGREES}° at most")
        return None
    return found


def _places(item: CutOnKeys, keys: CutKeys, known: Known, values: Values) -> Iterator[tuple[CutPlace, Part, Length]]:
    for word, node in (("face", item.face), ("along", item.along), ("across", item.across)):
        if node is not None:
            values.note(node.at, "cut", f"an end cut has no '{word}'", f"leave it out; {_EDGE}")
            return
    if item.edge is None:
        values.note(item.at, "missing-key", "this end cut lacks 'edge'", _EDGE)
        return
    faces = _faces(item.edge, values)
    if faces is None:
        return
    end, edges, sides = faces
    if end is None or not (edges or sides):
        values.note(item.edge.at, "edge", f"'{shorten(item.edge.text)}' is no end and its shorter side", _EDGE)
        return
    compound = edges is not None and sides is not None
    if compound != (keys.tilt is not None):
        missing = "a compound cut has a 'tilt' as well" if compound else "a 'tilt' needs two shorter faces"
        right = "add tilt: 10" if compound else "write edge: A and far edge and back, or leave 'tilt' out"
        values.note(item.edge.at if compound else keys.place("tilt"), "angle", missing, right)
        return
    marks = known.expand_all(item.piece, values)
    for name in dict.fromkeys(known.marks[mark].name for mark in marks):
        part = known.parts[name]
        over = part.width if edges is not None else part.thickness
        along = (ZERO, part.thickness if edges is not None else part.width)
        for mark in marks:
            if known.marks[mark] is part:
                short = edges or sides
                place = CutPlace(mark, end, along, (ZERO, over), short, item.at, sides if compound else None)
                yield place, part, over


def _faces(node: Scalar, values: Values) -> tuple[Face | None, Face | None, Face | None] | None:
    """The end, the edge and the side that are named, each once at most."""
    found: dict[int, Face] = {}
    for word in re.split(r"\s+and\s+", values.line(node)):
        known = values.word(Scalar(node.at, word, node.quoted), (*FACE_WORDS, *BENCH_FACES), "face")
        if known is None:
            return None
        face = Face(BENCH_FACES.get(known, known))
        axis = next(k for k, pair in enumerate((_ENDS, _EDGES, _SIDES)) if face in pair)
        if axis in found:
            values.note(node.at, "edge", f"{the_face(face)} and {the_face(found[axis])} do not meet", _EDGE)
            return None
        found[axis] = face
    return found.get(0), found.get(1), found.get(2)
