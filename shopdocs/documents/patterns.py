"""Patterns: the outline of every shaped piece at full size, and the heights to spring a batten by.

A pattern is drawn once for all pieces and faces with the same outline; where it fits some of them only from behind, it
is turned over there, for an outline has no numbers that would lie face down.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from msgspec import Struct, field

from shopdocs.blocks.drawing import Pattern
from shopdocs.blocks.sheets import Block, Document, Together
from shopdocs.blocks.text import (
    Caution,
    Cell,
    Column,
    Figure,
    Group,
    Heading,
    Paragraph,
    Row,
    Table,
    Text,
    figures_of,
    plain,
    text,
)
from shopdocs.core.length import ZERO, Length
from shopdocs.core.outline import Outline
from shopdocs.core.slug import plain_name
from shopdocs.documents.arches import arc_long, heights
from shopdocs.documents.drawn.pattern import Laid, drawn_pattern, half_axis
from shopdocs.documents.figures import length_figure, marks_text
from shopdocs.documents.job import Job
from shopdocs.documents.outlines import arc_tables, is_outline
from shopdocs.documents.own_cuts import said_of
from shopdocs.documents.pattern_details import Detail, details, has_details
from shopdocs.documents.round_patterns import how_to as how_to_turn
from shopdocs.documents.round_patterns import round_patterns
from shopdocs.documents.rounds import is_round
from shopdocs.documents.tapers import LATER
from shopdocs.facts.cautions import LATHE
from shopdocs.model.cutting import CutKind, CutPlace, OwnCut
from shopdocs.model.joining import FACE_NAMES, OPPOSITE, Face, the_face
from shopdocs.model.parts import Part
from shopdocs.work.cut_list import additions
from shopdocs.work.holes.face_holes import REFERENCE_AT_TOP, extents_of_face, is_of_other_hand
from shopdocs.work.scene.outlines import shapes_of
from shopdocs.work.scene.own_cuts import own_cuts
from shopdocs.work.space.ends import Extent
from shopdocs.work.space.placed import side_of

HOW_TO = (
    "Cut along the middle of the thin line. The outer side of the heavy line is the edge that it names: fold the "
    "hatched lip down over that edge of the wood and slide the paper to the end, or paste it on thin plywood or card "
    "without the lip and keep that as your pattern. Join tiles mark to mark: cut one along its dashed line "
    "and lay it on the tile named there. "
)
FILES = (
    "Each outline is in the folder patterns as well, whole: as SVG, and as DXF if the set was made with the extra dxf."
)
_SHAPES = (CutKind.TAPER, CutKind.ARCH, CutKind.OUTLINE)
_GAUGED = {Face.FACE: "FACE EDGE", Face.EDGE: "FACE SIDE"}


class _Group(Struct, dict=True):
    """Pieces of one part whose outline on some of their faces is the same."""

    part: Part
    outline: Outline
    ends: tuple[Extent, Extent]
    places: list[tuple[str, Face, bool]] = field(default_factory=list)  # mark, face, whether its arris is at the top

    @property
    def marks(self) -> list[str]:
        return list(dict.fromkeys(mark for mark, _, _ in self.places))

    @property
    def faces(self) -> list[Face]:
        return list(dict.fromkeys(face for _, face, _ in self.places))


def has_patterns(job: Job) -> bool:
    """Whether any piece is tapered, arched, turned or outlined, or worked at a corner, an end or right through."""
    return any(cut.kind in _SHAPES or is_round(cut) for cut in job.build.cuts) or (
        bool(job.build.cuts) and has_details(job)
    )


def patterns(job: Job) -> Document:
    """The heights of every arch, then the outlines at full size."""
    groups = _groups(job)
    names = _names(groups)
    tables: list[Block] = []
    for group, name in zip(groups, names, strict=True):
        tables += _offsets(job, group, name)
    sheets: list[Block] = [_pattern(job, group, name) for group, name in zip(groups, names, strict=True)]
    parts = list(details(job))
    sheets += [_detail(job, detail, f"detail-{number}") for number, detail in enumerate(parts, 1)]
    turned = list(round_patterns(job))
    flat = bool(sheets) or not turned
    how = Paragraph(text((HOW_TO + LATER + " " if flat else "") + (how_to_turn(job) if turned else "") + FILES))
    shaped = bool(parts) or any(map(is_outline, job.build.cuts)) or (flat and turned)
    question = f"What is the true shape of each {_which(bool(shaped), flat)} piece?"
    if turned:
        sheets += [Caution(LATHE.title, LATHE.text), *turned]
    return Document("patterns", "Patterns", question, (how, *tables, *sheets), runs_on=True)


def _which(shaped: bool, flat: bool) -> str:
    if not flat:
        return "turned"
    return "shaped" if shaped else "tapered or arched"


def _groups(job: Job) -> list[_Group]:
    found: dict[object, _Group] = {}
    placed = job.space.pieces if job.space is not None else {}
    added = {mark: (more.end_a, more.end_b) for mark, more in additions(job.build, job.space).items()}
    cuts = own_cuts(job.build)
    for part, piece in job.build.pieces():
        size = part.length, part.width, part.thickness

        def ends(face: Face, part: Part = part, mark: str = piece.mark) -> tuple[Extent, Extent]:
            return extents_of_face(job.build, part, mark, face, placed, added)

        for shape in shapes_of(size, cuts.get(piece.mark, ()), lambda face, ends=ends: ends(face)[0]):  # type: ignore[misc]
            here = ends(shape.face)
            outline = shape.outline.widened(here[1].start.flush, here[1].end.flush)  # it is laid to the real edge
            key = (part.name, outline, here)
            at_top = (shape.face in REFERENCE_AT_TOP) != is_of_other_hand(part, piece)
            group = found.setdefault(key, _Group(part, outline, here))
            group.places.append((piece.mark, shape.face, at_top))
    return list(found.values())


def _names(groups: Sequence[_Group]) -> list[str]:
    """What the files of each are called."""
    names: list[str] = []
    for group in groups:
        face = f" {FACE_NAMES[group.faces[0]]}" if len(group.faces) == 1 else ""
        name = plain_name(group.part.name + face, "piece")
        told, count = name, 1
        while told in names:
            count += 1
            told = f"{name}-{count}"
        names.append(told)
    return names


def _pattern(job: Job, group: _Group, name: str) -> Pattern:
    (_, face, at_top), marks = group.places[0], marks_text(group.marks)
    faces = " and ".join(FACE_NAMES[one] for one in group.faces)
    one = group.faces[0] if len(group.faces) == 1 else None
    edge = _GAUGED[one] if one is not None else "REFERENCE EDGE"
    lip = not any(extents[1].start.shoulder for extents in [group.ends])
    called = f"{marks} · {group.part.name}" + (f" · {faces}" if one is not None else "")
    drawing = drawn_pattern(group.outline, Laid(edge, ("END A", "END B"), at_top, one, lip), called)
    facts, figures = _facts(job, group)
    outline = group.outline.turned_over() if at_top else group.outline
    return Pattern(
        f"{marks} · {group.part.name} · {faces}, pattern",
        drawing,
        facts,
        f"pattern-{group.marks[0]}-{face.value}",
        figures,
        outline=outline,
        file=name,
    )


def _detail(job: Job, detail: Detail, name: str) -> Pattern:
    """The pattern of a part of a piece."""
    pieces = {piece.mark: (part, piece) for part, piece in job.build.pieces()}
    at_top = (detail.face in REFERENCE_AT_TOP) != is_of_other_hand(*pieces[detail.marks[0]])
    at_top = at_top != (detail.edge in ("FAR EDGE", "BACK FACE")) and detail.edge != "EDGE"
    face = detail.face if detail.edge in _GAUGED.values() else None
    laid = Laid(detail.edge, detail.ends, at_top, face, True, detail.rest)
    facts = (*detail.facts, *(("Dashed: the paper ends there, the wood goes on",) if detail.rest else ()))
    outline = detail.outline.turned_over() if at_top else detail.outline
    file = plain_name(f"{marks_text(detail.marks, 4)} {detail.what}", name)
    drawing = drawn_pattern(detail.outline, laid, detail.title)
    title = f"{detail.title}, pattern"
    return Pattern(title, drawing, facts, f"pattern-{name}", (), outline=outline, file=file)


def _facts(job: Job, group: _Group) -> tuple[tuple[str, ...], tuple[Figure, ...]]:
    facts: list[str] = []
    figures: list[Figure] = []
    if half_axis(group.outline) is not None:
        facts.append("Half: draw round it, turn it over along the centre line, and draw the other half")
    else:
        facts += _ways(group)
    if len(group.faces) > 1:
        facts.append("Lip over the face edge, or the face side where it lies on a face edge")
    shoulders = [
        name for name, ending in (("End A", group.ends[0].start), ("end B", group.ends[0].end)) if ending.shoulder
    ]
    if shoulders:
        verb = "mean" if len(shoulders) > 1 else "means"
        told = " and ".join(shoulders)
        facts.append(f"{told[0].upper()}{told[1:]} {verb} the shoulder, not the end of the tenon")
    for words in _cut_words(job, group):
        told = plain(words)
        facts.append(f"{told[0].upper()}{told[1:]}")
        figures += figures_of(words)
    return tuple(facts), tuple(figures)


def _ways(group: _Group) -> Iterator[str]:
    """On which faces it lies as it is printed, and on which it is turned over."""
    first = group.places[0][2]
    told = []
    for top in (first, not first):
        by_face: dict[Face, list[str]] = {}
        for mark, face, at_top in group.places:
            if at_top == top:
                by_face.setdefault(face, []).append(mark)
        told.append(" and ".join(f"{the_face(face)} of {marks_text(marks)}" for face, marks in by_face.items()))
    if all(told):
        yield f"Printed side up on {told[0]}; printed side down on {told[1]}"


def _cut_words(job: Job, group: _Group) -> Iterator[Text]:
    """What shapes the first of the pieces on these faces, as the cut list says it."""
    mark = group.marks[0]
    axes = {3 - side_of(face)[0] for face in group.faces}
    for cut in job.build.cuts:
        places = [place for place in cut.on if place.piece == mark and _seen_in(place) in axes]
        if cut.kind is CutKind.TAPER:
            ends = dict.fromkeys(place.second for place in places)
            for end in ends:
                yield said_of(job, cut, [place for place in places if place.second is end], group.part)
        elif cut.kind is CutKind.END_CUT and cut.tilt is None:
            for place in cut.on:
                if place.piece == mark and place.second is not None and side_of(place.second)[0] in axes:
                    yield said_of(job, cut, [place], group.part)
        elif cut.kind is CutKind.ARCH:
            for place in places:
                yield said_of(job, cut, [place], group.part, brief=True)


def _seen_in(place: CutPlace) -> int:
    """The axis that is seen with the length where a cut in a face shows in the outline: of an end the width."""
    return side_of(place.face)[0] or 1


def _offsets(job: Job, group: _Group, name: str) -> Iterator[Block]:
    """For each arch of a piece the heights at even steps from its middle, and what is left of the piece there."""
    mark = group.marks[0]
    axes = {3 - side_of(face)[0] for face in group.faces}
    count = 0
    for cut in job.build.cuts:
        for place in cut.on:
            if cut.kind is CutKind.ARCH and place.piece == mark and _seen_in(place) in axes:
                count += 1
                yield _offset_table(job, group, cut, place, f"offsets-{name}" + (f"-{count}" if count > 1 else ""))
    yield from arc_tables(job, mark, group.marks, group.faces[0], name)


def _offset_table(job: Job, group: _Group, cut: OwnCut, place: CutPlace, name: str) -> Block:
    assert cut.depth is not None
    axis, _ = side_of(place.face)
    size = (group.part.length, group.part.width, group.part.thickness)[axis]
    low, top = place.along
    step, every = heights(top - low, cut.depth, job.display.units)
    rows = [(ZERO, cut.depth), *((step * k, height) for k, height in enumerate(every, 1)), ((top - low) / 2, ZERO)]
    opposite = the_face(OPPOSITE[place.face])
    display, called = job.display, f"{group.part.name} · {cut.name}"

    def cell(what: str, number: int, value: Length) -> Cell:
        return Cell.of(length_figure(f"{called} · {what} {number}", value, display, place.at))

    columns = (
        Column("From the middle", "right", display.units),
        Column("Height of the arch", "right", display.units),
        Column(f"From {opposite}", "right", display.units),
    )
    body = tuple(
        Row((cell("out", k, out), cell("height", k, height), cell("left", k, size - height)))
        for k, (out, height) in enumerate(rows)
    )
    curve = Length(Fraction(round(arc_long(top - low, cut.depth) * 1000), 1000))
    words = text(
        "Square lines across at these distances to either side of the middle, drive a nail at each height, spring a "
        "batten round the nails and draw along it. The curve is ",
        length_figure(f"{called} · curve", curve, display, place.at),
        f" {display.units} long.",
    )
    title = f"{cut.name[:1].upper()}{cut.name[1:]}, {marks_text(group.marks, 12)}"
    return Together((Heading(title, 2), Paragraph(words), Table(name, columns, (Group(body),))))
