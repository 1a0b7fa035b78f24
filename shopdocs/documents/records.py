"""The record of each piece: what the code on its label opens."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import (
    Bullets,
    Caution,
    Cell,
    Column,
    Facts,
    Figure,
    Group,
    Heading,
    Paragraph,
    Row,
    Run,
    Table,
    Text,
    Weight,
    text,
)
from shopdocs.core.slug import record_anchor, record_slug
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.drawn.how_to_read import ROLLED_ALONE, is_rolled_over
from shopdocs.documents.drawn.template import edge_names
from shopdocs.documents.edges import edge_groups, edges_text
from shopdocs.documents.figures import length_figure, size_text, strips_text
from shopdocs.documents.fitting.crossed_holes import like_crossings
from shopdocs.documents.fitting.turned import told_of
from shopdocs.documents.fitting.wording import from_one
from shopdocs.documents.job import Job, other, up_of
from shopdocs.documents.look_alikes import others_words, way_words
from shopdocs.documents.own_cuts import cut_lines
from shopdocs.documents.piece_drawings import drawn_groups, has_piece_drawings
from shopdocs.documents.piece_records import cuts_table, own_drawings
from shopdocs.documents.rounds import finished_name
from shopdocs.documents.sticking import sticking
from shopdocs.documents.templates import PROSE, bore_words, depth_words, slanting_hole
from shopdocs.facts.cautions import DRILLING
from shopdocs.model.joining import Joint, Meeting, the_face
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import Part, Piece
from shopdocs.work.cut_list import Size
from shopdocs.work.holes.face_holes import FaceHoles
from shopdocs.work.joints.room import depths_of
from shopdocs.work.space.drilled import Drilled
from shopdocs.work.space.placed import PlacedPiece

SIZE_OF_RECORD = "size of a record"
PHONE_MM = (62.0, 140.0)  # what a drawing is laid out for: as wide as the screen, which scrolls down


class _Shown(Struct, frozen=True):
    """What several records share: the drawing of each group of pieces drawn alike, and their edges, by mark."""

    pieces: Mapping[str, PlacedPiece]
    drawings: Mapping[str, Drawing]
    edges: Mapping[str, Facts]


def record_pages(job: Job) -> tuple[Document, ...]:
    """One page for each piece, in the order of the build."""
    shown = _shown(job)
    return tuple(_record(job, part, piece, shown) for part, piece in job.build.pieces())


def _shown(job: Job) -> _Shown:
    pieces: dict[str, PlacedPiece] = {}
    drawings: dict[str, Drawing] = {}
    for group in drawn_groups(job) if has_piece_drawings(job) else ():
        if group.pieces[0].features:
            pieces |= {piece.mark: piece for piece in group.pieces}
            for one in own_drawings(job, group, PHONE_MM):
                drawings[one.mark] = one.drawing
    groups = edge_groups(job) if job.alike is not None else ()
    edges = {mark: told for group in groups if (told := Facts(tuple(edges_text(job, group)))) for mark in group.marks}
    return _Shown(pieces, drawings, edges)


def _anchor(job: Job, mark: str) -> str:
    return record_anchor(job.build.full_mark(mark))


def _record(job: Job, part: Part, piece: Piece, shown: _Shown) -> Document:
    row = job.rows[piece.mark]
    blocks: list[Block] = []
    pairs: list[tuple[str, Text]] = [(finished_name(job, part, piece.mark), _size(job, part, "finished", row.finished))]
    if row.joinery != row.finished:
        pairs.append(("With joinery", _size(job, part, "with joinery", row.joinery)))
    if part.strips > 1:
        pairs.append(("Glued up from", text(strips_text(part.strip_marks(piece.mark)))))
    rough = "Rough" if part.strips == 1 else "Each rough"
    pairs += [(rough, _size(job, part, "rough", row.rough)), ("Material", text(part.material))]
    if up := up_of(part, piece):
        pairs.append(("Points up", text(up)))
    pairs.append(("Label on", text(sticking(job, part, piece).face)))
    stage = job.stage_of.get(piece.mark)
    if stage:
        glued = f"stage {stage.number}, {stage.stage.title}"
        later = "".join(f"; then stage {work.number}, {work.stage.title}" for work in job.again_of.get(piece.mark, ()))
        joined = [joint.glued for joint, _ in job.meets[piece.mark]]
        is_glued = part.strips > 1 or any(joined)
        dry = ", dry" if joined and not is_glued else ""
        pairs.append(("Glued in" if is_glued else "Goes in", text(glued + later + dry)))
    blocks.append(Facts(tuple(pairs)))
    notes = [note for note in (piece.note, part.note, part.private) if note]
    if notes:
        blocks.append(Bullets(tuple(text(note) for note in notes)))
    blocks += _not_to_be_swapped(job, piece)
    if piece.mark in shown.drawings:
        blocks.append(shown.drawings[piece.mark])
        if lines := tuple(cut_lines(job, (piece.mark,))):
            blocks.append(Bullets(lines))
        gauged = Gauged(shown.pieces[piece.mark])
        if is_rolled_over(gauged):
            blocks.append(Paragraph(text(ROLLED_ALONE), Weight.QUIET))
        cuts = cuts_table(job, gauged, piece.at)
        if cuts is not None:
            blocks += [Heading("Marking out", 2), cuts]
    if job.meets[piece.mark]:
        blocks += [Heading("Meets", 2), _meets(job, piece)]
    faces = [face for face in job.faces if piece.mark in face.marks]
    if faces:
        blocks += [Heading("Holes", 2), _holes(job, piece, faces)]
        if words := _ends_words(faces):
            blocks.append(Paragraph(text(words), Weight.QUIET))
        blocks.append(Caution(DRILLING.title, DRILLING.text))
    if piece.mark in shown.edges:
        blocks += [Heading("Edges", 2), shown.edges[piece.mark]]
    same = [twin.mark for twin in row.pieces if twin.mark != piece.mark]
    if same:
        blocks.append(Paragraph(text(f"Cut to the same size: {', '.join(same)}"), Weight.QUIET))
    full = job.build.full_mark(piece.mark)
    return Document(record_slug(full), full, part.name, tuple(blocks))


def _not_to_be_swapped(job: Job, piece: Piece) -> list[Block]:
    """What this piece may be taken for, and the wrong ways it goes in."""
    if job.alike is None:
        return []
    words = others_words(job.alike, piece.mark)
    words += [_sentence(way_words(job, way)) for way in told_of(job.alike, piece.mark)]
    return [Bullets(tuple(text(line) for line in words))] if words else []


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]


def _size(job: Job, part: Part, step: str, size: Size) -> Text:
    """In both systems: who scans a label has whatever rule is in the pocket. Pieces of one part share it."""
    return job.once(
        (SIZE_OF_RECORD, part.name, step, size),
        lambda: size_text(
            f"{part.name} · {step}",
            replace(job.display, both=True),
            ("thickness", size.thickness, part.place("thickness")),
            ("width", size.width, part.place("width")),
            ("length", size.length, part.place("length")),
            unit=True,
        ),
    )


def _meets(job: Job, piece: Piece) -> Table:
    rows = tuple(_meeting(job, piece, joint, meeting) for joint, meeting in job.meets[piece.mark])
    columns = (Column("Joint", "right", share=0.2), Column("With", share=0.3), Column("How", share=1.5))
    return Table(f"meets-{piece.mark}", columns, (Group(rows),))


def _meeting(job: Job, piece: Piece, joint: Joint, meeting: Meeting) -> Row:
    partner = other(meeting, piece.mark)
    dry = "" if joint.glued else ", dry"
    sizes = [
        _measure(name, job.display.length(value))
        for name, value in zip(
            KINDS[joint.kind].size_names,
            (joint.thickness, joint.width_on(job.rows[meeting.entering].finished.width), *depths_of(joint, job.build)),
            strict=True,
        )
        if value is not None
    ]
    how = from_one(joint.kind, meeting, piece.mark)
    words = f"{joint.kind.value}, {how}{dry}" + (f"; {', '.join(sizes)}" if sizes else "")
    words += f". {joint.note}" if joint.note else ""
    return Row(
        (Cell.of(str(meeting.number), strong=True), Cell.of(partner, link=_anchor(job, partner)), Cell.of(words))
    )


def _measure(name: str, length: str) -> str:
    """ "3 mm thick", "mortise 31.5 mm deep", "dowel Ø 8 mm"."""
    *noun, last = name.split()
    if last in ("thick", "wide", "long", "deep"):
        return " ".join((*noun, length, last))
    return f"{name} {length}"


def _holes(job: Job, piece: Piece, faces: Sequence[FaceHoles]) -> Table:
    """What is drilled for what, where along from which end, and how far from what; holes in one line that are alike in
    one row."""
    found: dict[tuple[str, str, str, str, str], tuple[list[Run], list[Run], str, str]] = {}
    for face in faces:
        level, first, _ = (PROSE[name] for name in edge_names(face))
        for hole in face.holes:
            name = f"{piece.mark} · {hole.hardware}"
            words = ", ".join(filter(None, (_hole_words(job, hole), like_crossings(job, hole, [piece.mark]))))
            from_face = f"{hole.hardware}, from {the_face(face.face)}"
            across = length_figure(f"{name} · across", hole.across, job.display, hole.place.at)
            key = (from_face, level, first, across.shown, words)
            along, *_ = found.setdefault(key, ([], [across, f" from the {level}"], from_face, words))
            along += [", "] if along else []
            along.append(length_figure(f"{name} · along", hole.along, job.display, hole.place.at))
    rows = []
    for (_, _, first, _, _), (along, off, from_face, words) in found.items():
        count = sum(isinstance(run, Figure) for run in along)
        many = f"{count} × " if count > 1 else ""
        where = Cell((*along, f" from {first if first.startswith('end') else f'the {first}'}"))
        rows.append(Row((Cell.of(from_face), where, Cell(tuple(off)), Cell.of(many + words))))
    unit = job.display.units
    columns = (
        Column("For", share=0.5),
        Column("Along", unit=unit, share=0.4),
        Column("Across", unit=unit, share=0.4),
        Column("Hole", share=1.2),
    )
    return Table(f"holes-{piece.mark}", columns, (Group(tuple(rows)),))


def _hole_words(job: Job, hole: Drilled) -> str:
    """All that the schedule says of a hole: "Ø 5.5 mm, through, clearance, slotted 12 mm long"."""
    shape = bore_words(job, hole.bore)
    if hole.bore.slot:
        shape = [f"{one} {'across' if hole.slot_turned else 'along'}" if "slotted" in one else one for one in shape]
    words = [f"Ø {job.display.drill(hole.bore.bit)}", depth_words(job.display, hole), *shape]
    if hole.through_mate:
        words.append(f"marked through {hole.through_mate}")
    if told := slanting_hole(job, hole):
        words = [word for word in words if not word.endswith(("off square", "along the piece"))] + [told]
    return ", ".join(words)


def _ends_words(faces: Sequence[FaceHoles]) -> str:
    """From what the holes of these faces count where a joint adds to the piece."""
    shoulders: dict[str, None] = {}
    real: dict[str, None] = {}
    for face in faces:
        level, first, _ = edge_names(face)
        for name, ending in ((first, face.along.start), (level, face.across.start)):
            if ending.shoulder:
                shoulders[PROSE[name]] = None
            elif ending.flush:
                real[PROSE[name]] = None
    told = [f"from the shoulder at {' and '.join(shoulders)}"] if shoulders else []
    told += [f"from the real {' and '.join(real)}, joinery included"] if real else []
    return f"Counted {'; '.join(told)}." if told else ""
