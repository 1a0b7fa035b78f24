"""Drilling templates at full scale, and the drilling schedule.

A template is the outline of a face, or the piece of it around its holes: cut it out, lay its heavy edges on the edge
and the end that one gauges from, prick the centres through. Holes far from an end get an index line at a whole
distance, squared across the piece first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from shopdocs.blocks.drawing import (
    CentreMark,
    Circle,
    Drawing,
    FullScale,
    Line,
    Point,
    Polygon,
    Shape,
    Stroke,
    Words,
)
from shopdocs.blocks.sheets import Block, Document, NewPage
from shopdocs.blocks.text import Caution, Cell, Column, Figure, Group, Paragraph, Row, Table, Weight, text
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.figures import length_figure, marks_text
from shopdocs.documents.job import Job
from shopdocs.facts.cautions import DRILLING
from shopdocs.model.joining import Face, HoleUse
from shopdocs.work.drilling import BitRow, Bore, Drilled, FaceHoles, schedule

Locate = Callable[[Length, Length], Point]  # a place on the face to a place on the drawing

MARGIN = Length(12)  # paper kept around holes that are far from every edge
CLUSTER_GAP = Length(120)  # holes farther apart than this along the piece get templates of their own
REACH = Length(170)  # an end farther away than this is not drawn on the template
INDEX_ROOM = Length(6)  # paper kept beside an index line
INDEX_STEPS = {"in": Length.inches(1), "mm": Length(10)}
CENTRE = Length("3.5")

FACE_NAMES = {
    Face.FACE: "face side",
    Face.BACK: "back",
    Face.EDGE: "face edge",
    Face.FAR_EDGE: "far edge",
    Face.A: "end A",
    Face.B: "end B",
}
USE_NAMES = {
    HoleUse.CLEARANCE: "clearance",
    HoleUse.PILOT: "pilot",
    HoleUse.PLAIN: "hole",
    HoleUse.RECESS: "flat-bottomed recess",
}


def has_templates(job: Job) -> bool:
    return bool(job.holes)


def templates(job: Job) -> Document:
    caution = Caution(DRILLING.title, DRILLING.text)
    blocks: list[Block] = [_schedule_table(job), caution]
    notes = list(dict.fromkeys(note for hole in job.holes if (note := _bit_note(job, hole))))
    blocks += [Paragraph(text(note), Weight.QUIET) for note in notes]
    blocks.append(Paragraph(text(_sources(job)), Weight.QUIET))
    blocks.append(NewPage())
    for face in job.faces:
        blocks += [_template(job, face, cluster) for cluster in _clusters(face.holes)]
    return Document("templates", "Drilling", "Where do the holes go, with which bit, how deep?", tuple(blocks))


def _schedule_table(job: Job) -> Table:
    columns = (
        Column("Bit", "right", strong=True, share=0.5),
        Column("Depth stop", "right", share=0.6),
        Column("For", share=1.6),
        Column("Pieces and faces", share=2.4),
        Column("Holes", "right", share=0.2),
    )
    rows = tuple(_schedule_row(job, row) for row in schedule(job.holes))
    return Table("drilling", columns, (Group(rows),), ticks=True)


def _schedule_row(job: Job, row: BitRow) -> Row:
    faces: dict[str, list[str]] = {}
    for hole in row.holes:
        faces.setdefault(FACE_NAMES[hole.face], []).append(hole.piece)
    where = "; ".join(f"{marks_text(list(dict.fromkeys(marks)))} {face}" for face, marks in faces.items())
    names = " · ".join(dict.fromkeys(_purpose(job, hole.bore, hole.hardware) for hole in row.holes))
    first = row.holes[0]
    bit = _bit_figure(job, first)
    cells = (
        Cell.of("Ø ", bit),
        Cell.of(
            length_figure("depth stop", row.depth, job.display, first.hole.at, unit=True) if row.depth else "through"
        ),
        Cell.of(names),
        Cell.of(where),
        Cell.of(str(len(row.holes))),
    )
    return Row(cells)


def _bit_figure(job: Job, hole: Drilled) -> Figure:
    bit = hole.bore.bit
    return Figure(f"{hole.hardware} · {hole.bore.use.value} bit", job.display.drill(bit), bit.mm, "mm", hole.hole.at)


def _purpose(job: Job, found: Bore, hardware: str) -> str:
    words = [hardware, USE_NAMES[found.use]]
    if found.screw:
        words.append(f"for {found.screw.text}")
    if found.slot:
        words.append(f"slotted {job.display.length(found.slot)} long")
    if found.head and found.angle:
        words.append(f"countersunk {found.angle.degrees}° to Ø {job.display.drill(found.head)}")
    return ", ".join([words[0] + ": " + words[1], *words[2:]])


def _bit_note(job: Job, hole: Drilled) -> str:
    found = hole.bore
    if found.choice is None:
        return (
            f"{hole.hardware}: the shop has no bit for the {found.use.value} hole of "
            f"Ø {job.display.drill(found.wanted)}."
        )
    if found.choice.note:
        return (
            f"{hole.hardware}: Ø {job.display.drill(found.bit)} stands for Ø {job.display.drill(found.wanted)}, "
            f"{found.choice.note}."
        )
    return ""


def _sources(job: Job) -> str:
    sources = dict.fromkeys(str(hole.bore.source) for hole in job.holes if hole.bore.source)
    trial = " Screws differ by make: drill a trial in scrap of the same wood first."
    return (f"Hole sizes: {'; '.join(sources)}." if sources else "") + trial


def _clusters(holes: Iterable[Drilled]) -> list[tuple[Drilled, ...]]:
    """Holes that lie near each other along the piece."""
    clusters: list[list[Drilled]] = []
    for hole in sorted(holes, key=lambda hole: (hole.along, hole.across)):
        if clusters and hole.along - clusters[-1][-1].along <= CLUSTER_GAP:
            clusters[-1].append(hole)
        else:
            clusters.append([hole])
    return [tuple(cluster) for cluster in clusters]


@dataclass(frozen=True, slots=True)
class _Window:
    """The part of the face that is drawn: from `start` to `end` along it; which of its ends are real ends of the face,
    and the distance of the index line from end A where neither is."""

    start: Length
    end: Length
    at_start: bool
    at_end: bool
    index: Length | None
    index_from_end: bool


def _window(job: Job, face: FaceHoles, holes: tuple[Drilled, ...]) -> _Window:
    first = min(hole.along - _half_width(hole) for hole in holes)
    last = max(hole.along + _half_width(hole) for hole in holes)
    at_start = first <= REACH
    at_end = not at_start and face.width - last <= REACH
    if face.width <= last + REACH and face.width - ZERO <= REACH * 2:
        at_start = at_end = True
    start = ZERO if at_start else max(ZERO, first - MARGIN)
    end = face.width if at_end else min(face.width, last + MARGIN)
    if at_start or at_end:
        return _Window(start, end, at_start, at_end or end == face.width, None, False)
    step = INDEX_STEPS[job.display.units]
    from_end = face.width - last < first
    middle = (face.width - holes[-1].along) if from_end else holes[0].along
    whole = step * int(middle / step)
    # the index line lies on the paper that is cut out
    line = face.width - whole if from_end else whole
    start, end = min(start, line - INDEX_ROOM), max(end, line + INDEX_ROOM)
    return _Window(start, end, False, False, whole, from_end)


def _half_width(hole: Drilled) -> Length:
    slot = hole.bore.slot if hole.bore.slot and not hole.slot_turned else ZERO
    return max(hole.bore.bit, slot, hole.bore.head or ZERO) / 2


def _template(job: Job, face: FaceHoles, holes: tuple[Drilled, ...]) -> FullScale:
    window = _window(job, face, holes)
    height = face.height
    shapes: list[Shape] = []

    def at(along: Length, across: Length) -> Point:
        return along - window.start, height - across if face.reference_at_top else across

    shapes += _outline(face, window, at)
    for number, hole in enumerate(holes, 1):
        shapes += _hole_shapes(job, hole, number, at)
    if window.index is not None:
        shapes += _index_line(face, window, at)
    marks = marks_text(list(face.marks))
    title = f"{marks} · {face.part.name} · {FACE_NAMES[face.face]}"
    drawing = Drawing(
        name="",
        width=window.end - window.start,
        height=height,
        shapes=tuple(shapes),
        clear_mm=14.0,
    )
    return FullScale(
        title,
        drawing,
        _template_facts(job, face, window, holes),
        f"template-{face.marks[0]}-{face.face.value}",
        _template_figures(job, face, window, holes),
    )


def _outline(face: FaceHoles, window: _Window, at: Locate) -> list[Shape]:
    zero, high = ZERO, face.height
    left, right = window.start, window.end
    reference = "FACE SIDE" if face.face in (Face.EDGE, Face.FAR_EDGE, Face.A, Face.B) else "FACE EDGE"
    first = "FACE EDGE" if face.face in (Face.A, Face.B) else "END A"
    second = "FAR EDGE" if face.face in (Face.A, Face.B) else "END B"
    turn = -1 if face.reference_at_top else 1
    shapes: list[Shape] = [
        Line(at(left, zero), at(right, zero), Stroke.REFERENCE),
        Line(at(left, high), at(right, high), Stroke.CUT),
        Words(at((left + right) / 2, zero), reference, 9, strong=True, dy_mm=-3.4 * turn),
    ]
    for position, real, name, side in ((left, window.at_start, first, -1), (right, window.at_end, second, 1)):
        stroke = Stroke.REFERENCE if real else Stroke.CUT
        shapes.append(Line(at(position, zero), at(position, high), stroke))
        if real:
            shapes.append(Words(at(position, high / 2), name, 9, angle=90, strong=True, dx_mm=3.4 * side))
    return shapes


def _hole_shapes(job: Job, hole: Drilled, number: int, at: Locate) -> list[Shape]:
    centre = at(hole.along, hole.across)
    radius = hole.bore.bit / 2
    shapes: list[Shape] = []
    if hole.bore.slot:
        shapes += _slot(hole, centre, radius)
    else:
        shapes.append(Circle(centre, radius, Stroke.VISIBLE))
    if hole.bore.head and hole.bore.head > hole.bore.bit:
        shapes.append(Circle(centre, hole.bore.head / 2, Stroke.THIN))
    shapes.append(CentreMark(centre, max(CENTRE, radius + Length(2))))
    reach = float(max(hole.bore.head or ZERO, hole.bore.bit, hole.bore.slot or ZERO).mm) / 2
    shapes.append(
        Words(centre, str(number), 10, "left", strong=True, boxed=True, dx_mm=max(reach, 2.0) + 1.2, dy_mm=2.6)
    )
    return shapes


def _slot(hole: Drilled, centre: Point, radius: Length) -> list[Shape]:
    """A slotted hole: two half rounds joined by straight sides, drawn as its two end circles and its sides."""
    half = (hole.bore.slot or ZERO) / 2 - radius
    x, y = centre
    along = (ZERO, half) if hole.slot_turned else (half, ZERO)
    side = (radius, ZERO) if hole.slot_turned else (ZERO, radius)
    ends = [(x - along[0], y - along[1]), (x + along[0], y + along[1])]
    shapes: list[Shape] = [Circle(end, radius, Stroke.VISIBLE) for end in ends]
    for sign in (1, -1):
        offset = (side[0] * sign, side[1] * sign)
        points = tuple((ex + offset[0], ey + offset[1]) for ex, ey in ends)
        shapes.append(Polygon(points, Stroke.VISIBLE, closed=False))
    return shapes


def _index_line(face: FaceHoles, window: _Window, at: Locate) -> list[Shape]:
    assert window.index is not None
    position = face.width - window.index if window.index_from_end else window.index
    return [
        Line(at(position, ZERO), at(position, face.height + Length(4)), Stroke.CENTRE),
        Words(at(position, face.height), "INDEX", 9, strong=True, dy_mm=(-6.5 if face.reference_at_top else 6.5)),
    ]


def _template_facts(job: Job, face: FaceHoles, window: _Window, holes: tuple[Drilled, ...]) -> tuple[str, ...]:
    display = job.display
    facts = []
    if window.index is not None:
        end = "end B" if window.index_from_end else "end A"
        facts.append(f"Square a line across the face {display.length(window.index)} from {end}; lay INDEX on it.")
    joints = [side for side, added in (("A", _added(job, face, "A")), ("B", _added(job, face, "B"))) if added]
    if joints and face.face not in (Face.A, Face.B):
        facts.append(f"End {' and '.join(joints)} means the shoulder, not the end of the tenon.")
    first = "face edge" if face.face in (Face.A, Face.B) else "end A"
    second = "face side" if face.face in (Face.EDGE, Face.FAR_EDGE, Face.A, Face.B) else "face edge"
    alike: dict[str, list[int]] = {}
    for number, hole in enumerate(holes, 1):
        place = f"{display.length(hole.along)} from {first}, {display.length(hole.across)} from {second}"
        depth = f"{display.length(hole.bore.depth)} deep" if hole.bore.depth else "through"
        words = f"Ø {display.drill(hole.bore.bit)}, {depth}, {_purpose(job, hole.bore, hole.hardware)}: {place}"
        alike.setdefault(words, []).append(number)
    facts += [f"{', '.join(str(n) for n in numbers)}  {words}" for words, numbers in alike.items()]
    return tuple(facts)


def _template_figures(job: Job, face: FaceHoles, window: _Window, holes: tuple[Drilled, ...]) -> tuple[Figure, ...]:
    """The numbers that stand in the facts, with their exact values."""
    display, found = job.display, []
    name = f"{face.marks[0]} {FACE_NAMES[face.face]}"
    if window.index is not None:
        found.append(length_figure(f"{name} · index", window.index, display, holes[0].place.at))
    for number, hole in enumerate(holes, 1):
        found += [
            _bit_figure(job, hole),
            length_figure(f"{name} · hole {number} along", hole.along, display, hole.place.at),
            length_figure(f"{name} · hole {number} across", hole.across, display, hole.place.at),
        ]
        if hole.bore.depth is not None:
            found.append(length_figure(f"{name} · hole {number} depth", hole.bore.depth, display, hole.hole.at))
    return tuple(found)


def _added(job: Job, face: FaceHoles, end: str) -> bool:
    added = job.rows[face.marks[0]].added
    return bool(added.end_a if end == "A" else added.end_b)
