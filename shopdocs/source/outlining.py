"""Decodes outlines: the shape of a face, or of what is cut out of it, corner by corner from an end and an edge."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from shopdocs.core.display import exact_text
from shopdocs.core.drawn import (
    HOLLOW,
    ROUND,
    STRAIGHT,
    Corner,
    Fault,
    Half,
    Written,
    beside,
    closed,
    outward,
    past,
    reach,
    settled,
    whole_of,
)
from shopdocs.core.length import ZERO, Length
from shopdocs.core.loops import Loop
from shopdocs.core.outline import Point, Side
from shopdocs.model.cutting import CutKind, CutPlace, Drawn, OwnCut, Stretch
from shopdocs.model.joining import Face, the_face
from shopdocs.model.parts import Part
from shopdocs.source.cut_schema import CutKeys, CutOnKeys
from shopdocs.source.joining import Known
from shopdocs.source.keys import BENCH_FACES, FACE_WORDS
from shopdocs.source.nodes import Scalar, shorten
from shopdocs.source.values import Values

MOST_CORNERS = 200
FEWEST = 3  # places that are written: two arcs close a line already
_CORNER = (
    "write along, comma, across: '8, 2', with 'rounded 1/2' after it, or an arc to there: 'round to 8, 2, rise 1/2', "
    "'hollow to 8, 2, radius 6'"
)
_ARC = re.compile(r"\s*(round|hollow)\s+to\s+(?=\S)", re.IGNORECASE)
_OVER = re.compile(r"\s*(round|hollow)\s+across,\s+(rise|radius)\s+(?=\S)", re.IGNORECASE)
_ACROSS = (Length(-1), Length(-1))  # stands for the place of a corner that an arc across the centre line has not
_MORE = re.compile(r"\s*(rise|radius|rounded)\s+(?=\S)", re.IGNORECASE)
_ENDS, _EDGES, _SIDES = (Face.A, Face.B), (Face.EDGE, Face.FAR_EDGE), (Face.FACE, Face.BACK)
_PAIRS = (_ENDS, _EDGES, _SIDES)


def read_outlines(name: str, keys: CutKeys, kind: CutKind, known: Known, values: Values) -> Iterator[OwnCut]:
    """The outlines of one entry; a piece of another size may have another, for their lengths may be named."""
    given = {"depth": keys.depth, "width": keys.width, "radius": keys.radius, "to": keys.to, "angle": keys.angle}
    for word, node in {**given, "tilt": keys.tilt}.items():
        if node is not None:
            values.note(node.at, "cut", f"an outline has no '{word}'", "its corners and arcs say all: outline: [...]")
            return
    nodes = keys.outline if keys.outline is not None else keys.half
    if keys.outline is not None and keys.half is not None:
        values.note(keys.place("mirrored half"), "outline", "the outline is written whole and by its half", "keep one")
        return
    if nodes is None:
        values.note(keys.at, "missing-key", f"the outline '{shorten(name)}' has no corners", "add outline: [...]")
        return
    fewest = FEWEST - (keys.half is not None)
    if len(nodes) < fewest or len(nodes) > MOST_CORNERS:
        wrong = "1 corner makes no outline" if len(nodes) == 1 else f"{len(nodes)} corners make no outline"
        values.note(keys.at, "outline", wrong, f"write {fewest} to {MOST_CORNERS} of them")
        return
    on: list[CutPlace] = []
    for item in keys.on:
        faces = _face_of(item, kind, values)
        if faces is None:
            return
        marks = known.expand_all(item.piece, values)
        for part_name in dict.fromkeys(known.marks[mark].name for mark in marks):
            part = known.parts[part_name]
            place = _place(item, faces, part, nodes, keys.half is not None, kind, values)
            if place is None:
                return
            own = [mark for mark in marks if known.marks[mark] is part]
            pair = next(pair for pair in _PAIRS if faces[0] in pair)
            again = [each.piece for each in on if each.face in pair and each.piece in own]
            if kind is CutKind.OUTLINE and again:
                right = "it goes right through, from one face to the other: name one of them"
                values.note(item.at, "outline", f"'{again[0]}' has this outline twice", right)
                return
            on += [replace(place, piece=mark) for mark in own]
    if on:
        yield OwnCut(name, kind, tuple(on), None, note=values.note_words(keys.note), at=keys.at, places=keys.places)


def _face_of(item: CutOnKeys, kind: CutKind, values: Values) -> tuple[Face, Face, Face] | None:
    """The face that an outline lies on, and the two faces beside it that its corners are counted from."""
    for word, node in (("edge", item.edge), ("corners", item.corners), ("along", item.along), ("across", item.across)):
        if node is not None:
            values.note(
                node.at, "cut", f"an outline has no '{word}'", "its corners say where it lies, from: A and edge"
            )
            return None
    if item.face is None:
        values.note(item.at, "missing-key", f"this {kind} lacks 'face'", "add face: face side")
        return None
    face = _named(item.face, values)
    if face is None:
        return None
    if face in _ENDS:
        right = "write it on a face or an edge; an end is shaped by an arch or a bevel"
        values.note(item.face.at, "cut", f"no outline is drawn on {the_face(face)}", right)
        return None
    first, second = (pair for pair in _PAIRS if face not in pair)
    counted = {first: first[0], second: second[0]}
    if item.counted is not None:
        words, named = re.split(r"\s+and\s+", values.line(item.counted)), set[tuple[Face, Face]]()
        for word in words:
            side = _named(replace(item.counted, text=word), values)
            if side is None:
                return None
            pair = next(pair for pair in _PAIRS if side in pair)
            if pair not in counted or pair in named:
                right = f"name an end and an edge of that face: from: B and {second[1].value}"
                values.note(item.counted.at, "edge", f"nothing is counted from {the_face(side)} here", right)
                return None
            counted[pair] = side
            named.add(pair)
    return face, counted[first], counted[second]


def _named(node: Scalar, values: Values) -> Face | None:
    word = values.word(replace(node, text=values.line(node)), (*FACE_WORDS, *BENCH_FACES), "face")
    return Face(BENCH_FACES.get(word, word)) if word is not None else None


def _place(
    item: CutOnKeys,
    faces: tuple[Face, Face, Face],
    part: Part,
    nodes: Sequence[Scalar],
    half: bool,
    kind: CutKind,
    values: Values,
) -> CutPlace | None:
    """An outline on the pieces of a part (the mark is left empty); None with a note where it cannot be."""
    face, *starts = faces
    size = (part.length, part.width, part.thickness)
    spans = [whole for whole, pair in zip(size, _PAIRS, strict=True) if face not in pair]
    far = (Face.B, Face.FAR_EDGE, Face.BACK)
    flips = [whole if start in far else None for start, whole in zip(starts, spans, strict=True)]
    local = {"length": part.length, "width": part.width, "thickness": part.thickness}
    told = _told(nodes, local, flips, half, values)
    if told is None:
        return None
    face_size = spans[0], spans[1]
    axis = _centre_line(told, nodes, face_size, kind, values) if half else None
    if half and axis is None:
        return None
    every = [Written(corner, k, k) for k, corner in enumerate(told.corners)]
    if axis is not None:
        every = whole_of(told, axis, _middle(told, axis, face_size, kind))
    for one in every:
        if _is_off(one.corner.at, face_size, nodes[one.place], part, faces, values):
            return None
    try:
        loop = settled(closed([one.corner for one in every]), face_size)
    except Fault as fault:
        _tell(fault, nodes, every, values)
        return None
    if not _is_within(loop, every, face_size, nodes, part, faces, values):
        return None
    low, high = reach(loop)
    along, across = (outward(low[k], high[k], spans[k]) for k in (0, 1))
    rim = [along[0] == ZERO, along[1] == spans[0], across[0] == ZERO, across[1] == spans[1]]
    if kind is CutKind.OUTLINE and not all(rim):
        _tell_short(rim, (along, across), spans, face, part, item, values)
        return None
    if kind is CutKind.OUTLINE and not beside(loop, (spans[0], spans[1])):
        values.note(item.at, "outline", f"the outline is all of the face of '{part.name}'", "leave it out")
        return None
    if kind is CutKind.CUT_OUT and any(rim):
        wrong = f"the cut-out opens at an edge or an end of '{part.name}'"
        values.note(item.at, "cut", wrong, "write the whole face as an outline: kind: outline")
        return None
    return CutPlace("", face, along, across, at=item.at, drawn=Drawn(loop, told, axis))


def _told(
    nodes: Sequence[Scalar],
    local: dict[str, Length],
    flips: Sequence[Length | None],
    half: bool,
    values: Values,
) -> Half | None:
    """The corners as they are written; None with a note where they cannot be read or begin no outline."""
    corners: list[Corner] = []
    for number, node in enumerate(nodes):
        corner = _corner(node, local, flips, half and number in (0, len(nodes) - 1), values)
        if corner is None:
            return None
        corners.append(corner)
    told = _half(corners, half)
    if not told.corners:
        wrong = "two arcs across the centre line have no corner between them"
        values.note(nodes[-1].at, "outline", wrong, "add the corner where they meet")
        return None
    if told.corners[0].way != STRAIGHT:
        values.note(nodes[0].at, "outline", "an outline does not begin with an arc", "begin with the corner before it")
        return None
    return told


def _half(corners: Sequence[Corner], half: bool) -> Half:
    """What is written, an arc across the centre line at its beginning or its end by itself."""
    first = corners[0] if half and corners[0].at is _ACROSS else None
    last = corners[-1] if half and corners[-1].at is _ACROSS else None
    between = corners[1 if first else 0 : len(corners) - (1 if last else 0)]
    return Half(tuple(between), first, last)


def _corner(
    node: Scalar, local: dict[str, Length], flips: Sequence[Length | None], ends: bool, values: Values
) -> Corner | None:
    """One corner as it is written, counted from end A and the face edge (or the face side); where a half `ends`, there
    may be an arc across."""
    text = node.text
    over = _OVER.match(text)
    if over and not ends:
        wrong = f"'{shorten(text)}' stands between corners"
        values.note(node.at, "corner", wrong, "an arc across the centre line is first or last of a mirrored half")
        return None
    if over:
        size = values.length(node.part(over.end(), text[over.end() :]), local, least=1)
        given = {over[2].lower(): size}
        return Corner(_ACROSS, over[1].lower(), given.get("rise"), given.get("radius")) if size is not None else None
    arc = _ARC.match(text)
    way = {"round": ROUND, "hollow": HOLLOW}[arc[1].lower()] if arc else STRAIGHT
    at = arc.end() if arc else 0
    parts: list[Scalar] = []
    for word in text[at:].split(","):
        blank = len(word) - len(word.lstrip())
        if parts and word and not blank:
            values.note(node.place(at), "corner", f"'{shorten(text)}' has a comma without a space", "write 4, 5 or 4.5")
            return None
        parts.append(node.part(at + blank, word.strip()))
        at += len(word) + 1
    more = _MORE.match(parts[2].text) if len(parts) == 3 else None
    word = more[1].lower() if more else ""
    if len(parts) < 2 or len(parts) > 3 or not all(part.text for part in parts) or (len(parts) == 3 and not more):
        values.note(node.at, "corner", f"'{shorten(text)}' is no corner of an outline", _CORNER)
        return None
    if (way != STRAIGHT) != (word in ("rise", "radius")):
        arcs = "an arc has a rise or a radius" if way != STRAIGHT else f"a straight line has no {word}"
        values.note(node.at, "corner", f"'{shorten(text)}': {arcs}", _CORNER)
        return None
    spot = [values.length(part, local) for part in parts[:2]]
    size = values.length(parts[2].part(more.end(), parts[2].text[more.end() :]), local, least=1) if more else None
    if spot[0] is None or spot[1] is None or (more and size is None):
        return None
    x, y = (v if flip is None else flip - v for v, flip in zip((spot[0], spot[1]), flips, strict=True))
    given = {word: size} if word else {}
    return Corner((x, y), way, given.get("rise"), given.get("radius"), given.get("rounded"))


def _middle(told: Half, axis: int, size: Point, kind: CutKind) -> Length:
    """Where the centre line of a half lies: in the middle of the face, or of a cut-out where it begins or ends."""
    if kind is CutKind.OUTLINE:
        return size[axis] / 2
    return told.corners[0 if told.first is None else -1].at[axis]


def _centre_line(told: Half, nodes: Sequence[Scalar], size: Point, kind: CutKind, values: Values) -> int | None:
    """The axis across which the other half is mirrored: the half ends on that centre line or in an arc across it."""
    ends = [(told.corners[0].at, told.first), (told.corners[-1].at, told.last)]
    found = []
    for axis in (0, 1):
        middle = _middle(told, axis, size, kind)
        if all((at[axis] == middle) == (arc is None) for at, arc in ends):
            found.append(axis)
    if len(found) == 2:
        beside = [[(corner.at[axis] - _middle(told, axis, size, kind)).mm for corner in told.corners] for axis in found]
        found = [axis for axis, off in zip(found, beside, strict=True) if min(off) >= 0 or max(off) <= 0]
    if len(found) == 1 and (kind is CutKind.OUTLINE or told.first is None or told.last is None):
        return found[0]
    where = f"along {exact_text(size[0] / 2)} or across {exact_text(size[1] / 2)}"
    if kind is not CutKind.OUTLINE:
        where = "both at the same along, or at the same across"
    wrong = "the half does not begin and end on one centre line"
    values.note(nodes[-1].at, "outline", wrong, f"begin and end it {where}, or with an arc: 'hollow across, rise 1'")
    return None


def _tell(fault: Fault, nodes: Sequence[Scalar], every: Sequence[Written], values: Values) -> None:
    """Why an outline cannot be, at the corner that is at fault."""
    written = every[min(fault.number, len(every) - 1)]
    at = nodes[written.place if fault.kind in ("corner", "room") else written.line]
    most = _short(about) if fault.about and isinstance(about := fault.about[0], Length) else ""
    told = f"'{shorten(at.text)}'"
    if fault.kind == "back":
        wrong, right = f"the outline ends at {told} and not where it begins", f"end it at '{shorten(nodes[0].text)}'"
    elif fault.kind == "twice":
        wrong, right = f"{told} lies where the corner before it does", "take one of the two out"
    elif fault.kind == "rise":
        wrong = f"the arc {told} is more than half a circle over its chord"
        right = f"write a rise of {most} at most, or two arcs"
    elif fault.kind == "radius":
        wrong, right = f"the radius of {told} is less than half its chord", f"write a radius of {most} at least"
    elif fault.kind == "corner":
        wrong, right = f"the corner {told} cannot be rounded", "a corner between two straight lines can; write an arc"
    elif fault.kind == "room":
        wrong, right = f"there is no room to round the corner {told} so far", f"round it by {most} at most"
    else:
        number = fault.about[0]
        other = nodes[every[number].line] if isinstance(number, int) else at
        meets = f"meets the one to '{shorten(other.text)}'" if other is not at else "meets its mirror image"
        wrong = f"the line to {told} {meets}: the outline crosses itself"
        right = "go round the wood once, corner by corner"
    values.note(at.at, "outline", wrong, right)


def _is_within(
    loop: Loop,
    corners: Sequence[Written],
    size: Point,
    nodes: Sequence[Scalar],
    part: Part,
    faces: tuple[Face, Face, Face],
    values: Values,
) -> bool:
    """Whether an outline stays on its face; told at the corner nearest to where it does not."""
    for side in loop:
        over = past(side, size)
        if any(over):
            node = nodes[corners[_nearest(side, [one.corner for one in corners])].line]
            _tell_off(over, size, node, part, faces, values)
            return False
    return True


def _is_off(at: Point, size: Point, node: Scalar, part: Part, faces: tuple[Face, Face, Face], values: Values) -> bool:
    """Whether a corner lies beside its face; told before its lines are followed, for they may be of any size then."""
    over = past(Side(at, at), size)
    if any(over):
        _tell_off(over, size, node, part, faces, values)
    return any(over)


def _tell_off(
    over: Sequence[Length], size: Point, node: Scalar, part: Part, faces: tuple[Face, Face, Face], values: Values
) -> None:
    beyond = [face for pair in _PAIRS if faces[0] not in pair for face in pair]
    number = next(number for number, much in enumerate(over) if much > ZERO)
    wrong = f"the outline reaches {_short(over[number])} past {the_face(beyond[number])} of '{part.name}'"
    right = f"stay between 0 and {exact_text(size[number // 2])} there"
    values.note(node.at, "outside", wrong, right)


def _short(length: Length) -> str:
    return exact_text(length) if length.per_mm <= 1000 else f"{length.float_mm():.2f} mm"


def _nearest(side: Side, corners: Sequence[Corner]) -> int:
    """The corner whose line a side is: the later of those nearest to its ends."""

    def to(spot: Point) -> int:
        apart = [max(abs((a - b).mm) for a, b in zip(corner.at, spot, strict=True)) for corner in corners]
        return apart.index(min(apart))

    return max(to(side.start), to(side.end))


def _tell_short(
    rim: Sequence[bool],
    reached: Sequence[Stretch],
    spans: Sequence[Length],
    face: Face,
    part: Part,
    item: CutOnKeys,
    values: Values,
) -> None:
    """Which end or edge an outline does not reach."""
    sides = [side for pair in _PAIRS if face not in pair for side in pair]
    number = rim.index(False)
    axis = number // 2
    gap = spans[axis] - reached[axis][1] if number % 2 else reached[axis][0]
    wrong = f"the outline ends {_short(gap)} before {the_face(sides[number])} of '{part.name}'"
    needed = reached[axis][1] - reached[axis][0]
    word = ("long", "wide", "thick")[axis if face in _SIDES else axis * 2]
    right = f"reach it, or write the piece {_short(needed)} {word}"
    values.note(item.at, "outline", wrong, right)
