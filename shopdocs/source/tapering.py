"""Decodes tapers: a face that slopes from a place along the piece to one of its ends."""

from __future__ import annotations

import re
from collections.abc import Iterator

from msgspec.structs import replace

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.model.cutting import CutKind, CutPlace, OwnCut
from shopdocs.model.joining import OPPOSITE, Face, the_face
from shopdocs.model.parts import Part
from shopdocs.source.cut_schema import CutKeys, CutOnKeys
from shopdocs.source.joining import Known
from shopdocs.source.keys import BENCH_FACES, FACE_WORDS
from shopdocs.source.nodes import Scalar, shorten
from shopdocs.source.values import Values

_RIGHT = "write where it begins and the end it runs to: along: 5 to length, or length - 5 to 0"
_ENDS = (Face.A, Face.B)
# how long a taper is, and what it takes off at its end
_Cut = tuple[Length, Length]


def read_tapers(name: str, keys: CutKeys, known: Known, values: Values) -> Iterator[OwnCut]:
    """The tapers of one entry, those of one size together: pieces of different sizes give up different amounts."""
    for word, node in (("depth", keys.depth), ("width", keys.width), ("angle", keys.angle), ("tilt", keys.tilt)):
        if node is not None:
            values.note(node.at, "cut", f"a taper has no '{word}'", "write what is left at its end: to: 1")
            return
    if keys.to is None:
        values.note(keys.at, "missing-key", f"the taper '{shorten(name)}' lacks 'to'", "add what is left: to: 1")
        return
    left = values.length(keys.to, least=1)
    if left is None:
        return
    places = [place for item in keys.on for place in _places(item, known, values)]
    sloping = {(place.piece, place.face, place.second) for place, _, _ in places}
    sizes: dict[_Cut, list[CutPlace]] = {}
    for place, part, long in places:
        whole = part.width if place.face in (Face.EDGE, Face.FAR_EDGE) else part.thickness
        if left >= whole:
            wrong = f"the taper is to leave {exact_text(left)} of '{part.name}', which is {exact_text(whole)} there"
            values.note(place.at, "taper", wrong, f"write less than {exact_text(whole)} under to:")
            return
        both = (place.piece, OPPOSITE[place.face], place.second) in sloping
        sizes.setdefault((long, (whole - left) / 2 if both else whole - left), []).append(place)
    for (long, off), on in sizes.items():
        yield OwnCut(name, CutKind.TAPER, tuple(on), off, long, values.note_words(keys.note), keys.at, keys.places)


def _places(keys: CutOnKeys, known: Known, values: Values) -> Iterator[tuple[CutPlace, Part, Length]]:
    for word, node in (("edge", keys.edge), ("across", keys.across)):
        if node is not None:
            values.note(node.at, "cut", f"a taper has no '{word}'", "it slopes a whole face: face: back")
            return
    if keys.face is None:
        values.note(keys.at, "missing-key", "this taper lacks 'face'", "add the face that slopes: face: back")
        return
    known_word = values.word(replace(keys.face, text=values.line(keys.face)), (*FACE_WORDS, *BENCH_FACES), "face")
    if known_word is None:
        return
    face = Face(BENCH_FACES.get(known_word, known_word))
    if face in _ENDS:
        values.note(keys.face.at, "cut", f"{the_face(face)} cannot taper", "a taper slopes one of the four long faces")
        return
    marks = known.expand_all(keys.piece, values)
    for name in dict.fromkeys(known.marks[mark].name for mark in marks):
        part = known.parts[name]
        run = _run(keys.along, part, values) if keys.along is not None else None
        if keys.along is None:
            values.note(keys.at, "missing-key", "this taper lacks 'along'", _RIGHT)
        if run is None:
            return
        end, long = run
        across = part.thickness if face in (Face.EDGE, Face.FAR_EDGE) else part.width
        for mark in marks:
            if known.marks[mark] is part:
                yield CutPlace(mark, face, (ZERO, across), (ZERO, long), end, keys.at), part, long


def _run(node: Scalar, part: Part, values: Values) -> tuple[Face, Length] | None:
    """The end a taper runs to, and how long it is."""
    local = {"length": part.length, "width": part.width, "thickness": part.thickness}
    ends = re.split(r"\s+to\s+", node.text.strip())
    if len(ends) != 2:
        values.note(node.at, "stretch", f"'{shorten(node.text)}' is not a stretch", _RIGHT)
        return None
    start, stop = (values.length(Scalar(node.at, end, node.quoted), local) for end in ends)
    if start is None or stop is None:
        return None
    if not ZERO <= start <= part.length:
        wrong = f"'{shorten(node.text)}' begins off the end of '{part.name}', which is {exact_text(part.length)} long"
        values.note(node.at, "outside", wrong, f"begin between 0 and {exact_text(part.length)}")
        return None
    if stop not in (ZERO, part.length) or start == stop:
        values.note(node.at, "taper", f"'{shorten(node.text)}' runs to no end of '{part.name}'", _RIGHT)
        return None
    return (Face.A, start) if stop == ZERO else (Face.B, part.length - start)
