"""Drilling templates at full scale, and the drilling schedule.

A template is the outline of a face, or the piece of it around its holes: cut it out, lay its heavy edges on the edge
and the end that one gauges from, prick the centres through. Holes far from an end get an index line at a whole
distance, squared across the piece first.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from shopdocs.blocks.drawing import FullScale
from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Caution, Cell, Column, Figure, Group, Paragraph, Row, Table, Weight, text
from shopdocs.core.length import Length
from shopdocs.documents.drawn.template import Window, cut_out, edge_names, window_of
from shopdocs.documents.figures import length_figure, marks_text
from shopdocs.documents.job import Job
from shopdocs.facts.cautions import DRILLING
from shopdocs.model.joining import Face, HoleUse
from shopdocs.work.drilling import BitRow, Bore, Drilled, FaceHoles, schedule

CLUSTER_GAP = Length(120)  # holes farther apart than this along the piece get templates of their own
INDEX_STEPS = {"in": Length.inches(1), "mm": Length(10)}

PROSE = {"END A": "end A", "END B": "end B", "FACE EDGE": "face edge", "FAR EDGE": "far edge"}
HOW_TO = (
    "Cut each template out along its outline. Its heavy lines lie flush with the edge and the end that they name; "
    "prick the centres through, then drill by the numbers."
)

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
    if sources := _sources(job):
        blocks.append(Paragraph(text(sources), Weight.QUIET))
    blocks.append(Paragraph(text(HOW_TO)))
    blocks += [_template(job, face, cluster) for face in job.faces for cluster in _clusters(face.holes)]
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
        words.append(f"for {found.screw.text.replace(' x ', ' × ')}")
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
    told = [f"Hole sizes: {'; '.join(sources)}."] if sources else []
    if any(hole.bore.screw for hole in job.holes):
        told.append("Screws differ by make: drill a trial in scrap of the same wood first.")
    return " ".join(told)


def _clusters(holes: Iterable[Drilled]) -> list[tuple[Drilled, ...]]:
    """Holes that lie near each other along the piece."""
    clusters: list[list[Drilled]] = []
    for hole in sorted(holes, key=lambda hole: (hole.along, hole.across)):
        if clusters and hole.along - clusters[-1][-1].along <= CLUSTER_GAP:
            clusters[-1].append(hole)
        else:
            clusters.append([hole])
    return [tuple(cluster) for cluster in clusters]


def _template(job: Job, face: FaceHoles, holes: tuple[Drilled, ...]) -> FullScale:
    window = window_of(face, holes, INDEX_STEPS[job.display.units])
    marks = marks_text(list(face.marks))
    called = f"{marks} · {FACE_NAMES[face.face]}"
    index = ""
    if window.index is not None:
        index = f"INDEX {job.display.length(window.index)} from {'B' if window.index_from_end else 'A'}"
    drawing, folded = cut_out(face, window, holes, called, index)
    return FullScale(
        f"{marks} · {face.part.name} · {FACE_NAMES[face.face]}",
        drawing,
        _template_facts(job, face, window, holes, folded),
        f"template-{face.marks[0]}-{face.face.value}",
        _template_figures(job, face, window, holes),
    )


def _template_facts(
    job: Job, face: FaceHoles, window: Window, holes: tuple[Drilled, ...], folded: bool
) -> tuple[str, ...]:
    display = job.display
    facts = []
    if folded:
        facts.append("Fold the flap with the name down over the wood.")
    if window.index is not None:
        end = "end B" if window.index_from_end else "end A"
        facts.append(f"Square a line across the face {display.length(window.index)} from {end}; lay INDEX on it.")
    joints = [side for side, added in (("A", _added(job, face, "A")), ("B", _added(job, face, "B"))) if added]
    if joints and face.face not in (Face.A, Face.B):
        facts.append(f"End {' and '.join(joints)} means the shoulder, not the end of the tenon.")
    first = PROSE[edge_names(face)[2 if window.from_far_end else 1]]
    second = "face side" if face.face in (Face.EDGE, Face.FAR_EDGE, Face.A, Face.B) else "face edge"
    alike: dict[tuple[str, str], list[tuple[int, Length]]] = {}
    for number, hole in enumerate(holes, 1):
        depth = f"{display.length(hole.bore.depth)} deep" if hole.bore.depth else "through"
        words = f"Ø {display.drill(hole.bore.bit)}, {depth}, {_purpose(job, hole.bore, hole.hardware)}"
        across = f"{display.length(hole.across)} from {second}"
        alike.setdefault((words, across), []).append((number, _along(face, window, hole)))
    for (words, across), found in alike.items():
        numbers = f"Hole{'s' if len(found) > 1 else ''} {', '.join(str(number) for number, _ in found)}"
        lengths = list(dict.fromkeys(along for _, along in found))
        shown = [*(display.bare(along) for along in lengths[:-1]), display.length(lengths[-1])]
        places = ", ".join(shown) if not display.both else ", ".join(display.length(along) for along in lengths)
        words = re.sub(r"(\d) × (\d)", "\\1\u00a0×\u00a0\\2", words)  # a screw's size stays on one line
        facts.append(f"{numbers}: {words}; {places} from {first}, {across}")
    return tuple(facts)


def _along(face: FaceHoles, window: Window, hole: Drilled) -> Length:
    """Distance of the hole from the end that the template is laid by."""
    return face.width - hole.along if window.from_far_end else hole.along


def _template_figures(job: Job, face: FaceHoles, window: Window, holes: tuple[Drilled, ...]) -> tuple[Figure, ...]:
    """The numbers that stand in the facts, with their exact values."""
    display, found = job.display, []
    name = f"{face.marks[0]} {FACE_NAMES[face.face]}"
    if window.index is not None:
        found.append(length_figure(f"{name} · index", window.index, display, holes[0].place.at))
    for number, hole in enumerate(holes, 1):
        found += [
            _bit_figure(job, hole),
            length_figure(f"{name} · hole {number} along", _along(face, window, hole), display, hole.place.at),
            length_figure(f"{name} · hole {number} across", hole.across, display, hole.place.at),
        ]
        if hole.bore.depth is not None:
            found.append(length_figure(f"{name} · hole {number} depth", hole.bore.depth, display, hole.hole.at))
    return tuple(found)


def _added(job: Job, face: FaceHoles, end: str) -> bool:
    added = job.rows[face.marks[0]].added
    return bool(added.end_a if end == "A" else added.end_b)
