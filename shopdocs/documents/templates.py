"""Drilling templates at full scale, and the drilling schedule.

A template is the outline of a face, or the piece of it around its holes: cut it out, lay its heavy edges on the edge
and the end that one gauges from, prick the centres through. Holes far from an end get an index line at a whole
distance, squared across the piece first.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from msgspec.structs import replace

from shopdocs.blocks.drawing import FullScale
from shopdocs.blocks.sheets import Block, Document, SideBySide, Together
from shopdocs.blocks.text import Caution, Cell, Column, Figure, Group, Heading, Paragraph, Row, Table, Weight, text
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.bits import stand_in
from shopdocs.documents.drawn.laid_template import WIDEST, Laid, laid_on, sharing_paper
from shopdocs.documents.drawn.recesses import outline_lines, outlines_of
from shopdocs.documents.drawn.template import Window, cut_out, edge_names, line_of
from shopdocs.documents.drawn.thumbnail import thumbnail
from shopdocs.documents.figures import length_figure, marks_text, screw_text
from shopdocs.documents.fitting.crossed_holes import crossing_words, drawbore_notes, like_crossings
from shopdocs.documents.fitting.ends_words import ends_words, long_points
from shopdocs.documents.fitting.off_square import SEEN, degrees, runs_along, slanting_words
from shopdocs.documents.fitting.wording import listed
from shopdocs.documents.job import Job
from shopdocs.documents.screw_rows import screw_table
from shopdocs.facts.cautions import DRILLING
from shopdocs.model.joining import FACE_NAMES, Face, HoleUse, the_face
from shopdocs.work.holes.face_holes import BitRow, FaceHoles, for_both_hands, schedule
from shopdocs.work.holes.joint_holes import screws_of
from shopdocs.work.scene.in_space import bore_of
from shopdocs.work.space.drilled import Bore, Drilled
from shopdocs.work.space.placed import FeatureKind

# What stands in capitals on the paper, in a sentence.
PROSE = {name.upper(): name for name in (*FACE_NAMES.values(), "either side", "either edge", "either end")}
HOW_TO = (
    "Cut along the dashed line, lip and all; without a lip, along the outside of the heavy line. That side is the edge "
    "or end it names: fold the hatched lip down over it, slide the paper to the heavy end or the index line, tape it "
    "at TAPE. Prick the centres through, drill by the numbers. The small picture is the whole face, the template's "
    "place shaded."
)

USE_NAMES = {
    HoleUse.CLEARANCE: "clearance",
    HoleUse.PILOT: "pilot",
    HoleUse.PLAIN: "hole",
    HoleUse.RECESS: "flat-bottomed recess",
}


def has_templates(job: Job) -> bool:
    """Whether anything is drilled."""
    return bool(job.holes)


def templates(job: Job) -> Document:
    """The drilling schedule with its caution and notes, then the templates at full scale."""
    caution = Caution(DRILLING.title, DRILLING.text)
    blocks: list[Block] = [_schedule_table(job)]
    if screws := screw_table(job):
        blocks.append(Together((Heading("Screw holes", 2), screws)))
    notes = list(dict.fromkeys(note for hole in job.holes if (note := _bit_note(job, hole))))
    sawn = [face for face in job.faces if on_sawn_end(job, face)]
    told = " ".join(
        filter(None, [*notes, *drawbore_notes(job), *_joint_notes(job), *_sawn_notes(job, sawn), _screws(job)])
    )
    noted: tuple[Block, ...] = (Paragraph(text(told), Weight.QUIET),) if told else ()
    sides = _shared_by_hands([side for face in job.faces if face not in sawn for side in face.by_edges(WIDEST)])
    every = sharing_paper(job, [laid for side in sides for laid in laid_on(job, side)])
    sheets = [_template(job, laid) for laid in every]
    if sheets:
        columns = ((caution,), (Paragraph(text(HOW_TO), Weight.QUIET), *noted))
        blocks += [SideBySide(columns, (0.6, 1.0)), *sheets]
    else:
        blocks += [caution, *noted]
    return Document(
        "templates", "Templates", "Where do the holes go, with which bit, how deep?", tuple(blocks), runs_on=True
    )


def on_sawn_end(job: Job, face: FaceHoles) -> bool:
    """Whether a face is an end that is sawn off square: it is larger than the piece is there, and no paper of that
    size lies true on it."""
    if job.space is None or face.face not in (Face.A, Face.B):
        return False
    piece = job.space.pieces.get(face.marks[0])
    cuts = piece.cuboids if piece is not None else ()
    return any(cut.kind is FeatureKind.END_CUT and (cut.lo[0] > ZERO) == (face.face is Face.B) for cut in cuts)


def _sawn_notes(job: Job, faces: Sequence[FaceHoles]) -> Iterator[str]:
    """Holes in ends off square, which have no template."""
    alike: dict[tuple[tuple[str, ...], str], dict[str, list[str]]] = {}
    for face in faces:
        own: dict[str, list[str]] = {}
        for hole in face.holes:
            if not hole.through_mate:
                along, across = job.display.length(hole.along), job.display.length(hole.across)
                place = f"{along} from the face edge and {across} from the face side"
                own.setdefault(slanting_hole(job, hole), []).append(place)
        for runs, places in own.items():
            ends = alike.setdefault((tuple(places), runs), {})
            ends.setdefault(marks_text(list(face.marks)), []).append(FACE_NAMES[face.face])
    for (spots, runs), named in alike.items():
        where = "; ".join(f"{marks}, {' and '.join(ends)}" for marks, ends in named.items())
        yield (
            f"{where}, sawn off square: no paper lies true there. Gauge with the fence on the faces, "
            f"{'; '.join(spots)}{f'; bore {runs}' if runs else ''}."
        )


def _shared_by_hands(sides: list[FaceHoles]) -> list[FaceHoles]:
    """Faces of a mirrored pair as one where one template lies right on both, printed side up: its holes lie in the
    middle. It is never turned over: the names of its edges and its numbers would lie face down."""
    found: list[FaceHoles] = []
    for side in sides:
        for i, earlier in enumerate(found):
            both = for_both_hands(earlier, side)
            if both is not None:
                found[i] = both
                break
        else:
            found.append(side)
    return found


def _schedule_table(job: Job) -> Table:
    columns = (
        Column("Bit", "right", strong=True, share=0.5),
        Column("Depth stop", "right", share=0.6),
        Column("For", share=3.0),
        Column("Pieces and faces", share=1.6),
        Column("Holes", "right", share=0.2),
    )
    rows = tuple(_schedule_row(job, row) for row in schedule(job.holes))
    return Table("drilling", columns, (Group(rows),), ticks=True)


def _schedule_row(job: Job, row: BitRow) -> Row:
    order = {piece.mark: i for i, (_, piece) in enumerate(job.build.pieces())}
    faces: dict[str, set[str]] = {}
    for hole in row.holes:
        faces.setdefault(the_face(hole.face), set()).add(hole.piece)
    alike: dict[tuple[str, ...], list[str]] = {}
    for face, marks in faces.items():
        alike.setdefault(tuple(sorted(marks, key=lambda mark: order[mark])), []).append(face)
    where = "; ".join(f"{marks_text(marks)} from {' and '.join(found)}" for marks, found in alike.items())
    purposes: dict[str, list[Drilled]] = {}
    for hole in row.holes:
        purposes.setdefault(_purpose(job, hole.bore, hole.hardware), []).append(hole)
    names = " · ".join(", ".join(filter(None, (words, crossing_words(job, own)))) for words, own in purposes.items())
    first = row.holes[0]
    bit = _bit_figure(job, first)
    cells = (
        Cell.of("Ø ", bit, stand_in(job, row.bit, [hole.bore for hole in row.holes])),
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


def slanting_hole(job: Job, hole: Drilled) -> str:
    """How a hole at an angle is bored; "" of one square to its face."""
    if hole.bore.slanting is None or job.space is None:
        return ""
    part = next(part for part, piece in job.build.pieces() if piece.mark == hole.piece)
    return slanting_words(bore_of(hole, part), job.display)


def _purpose(job: Job, found: Bore, hardware: str) -> str:
    first, *rest = bore_words(job, found)
    return ", ".join([f"{hardware}: {first}", *rest])


def bore_words(job: Job, found: Bore) -> list[str]:
    """What a hole is for and how it is shaped."""
    words = [USE_NAMES[found.use]]
    if found.screw:
        words.append(f"for {screw_text(found.screw)}")
    if found.slot:
        words.append(f"slotted {job.display.length(found.slot)} long")
    if found.head and found.angle:
        words.append(f"countersunk {found.angle.degrees}° to Ø {job.display.alone().length(found.head)}")
    if found.slanting is not None and found.slanting.off > SEEN:
        along = runs_along(found.slanting)
        words.append("along the piece" if along else f"{degrees(found.slanting.off)} off square")
    return words


def _bit_note(job: Job, hole: Drilled) -> str:
    found = hole.bore
    if found.choice is None:
        return (
            f"{_capital(hole.hardware)}: the shop has no bit for the {found.use.value} hole of "
            f"Ø {job.display.drill(found.wanted)}."
        )
    if found.choice.note:
        return (
            f"{_capital(hole.hardware)}: Ø {job.display.drill(found.bit)} stands for "
            f"Ø {job.display.drill(found.wanted)}, {found.choice.note}."
        )
    return ""


def _screws(job: Job) -> str:
    return "Screws differ by make: try yours in scrap." if any(hole.bore.screw for hole in job.holes) else ""


def _marked_notes(job: Job) -> Iterator[str]:
    """Pilots that are marked through the other piece, and have no template."""
    for name in dict.fromkeys(hole.hardware for hole in job.holes if hole.through_mate):
        mates: dict[tuple[str, ...], list[str]] = {}
        own = [hole for hole in job.holes if hole.hardware == name and hole.through_mate]
        for mark in dict.fromkeys(hole.piece for hole in own):
            through = tuple(dict.fromkeys(hole.through_mate for hole in own if hole.piece == mark))
            mates.setdefault(through, []).append(mark)
        if len(mates) > FEW_MATES:
            every = dict.fromkeys(mark for through in mates for mark in through)
            mates = {tuple(every): [mark for marks in mates.values() for mark in marks]}
        for through, marks in mates.items():
            yield (
                f"{_capital(name)}: the pilot holes in {listed(marks)} have no template. Hold the pieces together "
                f"and mark them through the holes in {listed(through)}."
            )


FEW_MATES = 2  # lines of this kind for one hardware; more are told in one


def _joint_notes(job: Job) -> list[str]:
    """Holes of joints that have no template, and why."""
    notes = list(_marked_notes(job))
    for joint in job.build.joints:
        name = _capital(joint.name)
        if screws_of(joint):
            drilled = any(hole.hardware == joint.name for hole in job.holes)
            pilot = joint.width or next((h for h in job.holes if h.hardware == joint.name and h.through_mate), None)
            sizes = (("clearance", joint.thickness), ("pilot", pilot))
            missing = " and no ".join(what for what, size in sizes if size is None)
            if missing:
                notes.append(f"{name}: the build gives no {missing} hole; bore for the screw in hand.")
            elif not drilled:
                notes.append(f"{name}: its holes are not known: its pieces have no places in this build.")
    return notes


def _template(job: Job, laid: Laid) -> FullScale:
    face = laid.face
    marks = marks_text(list(face.marks))
    called = f"{marks} · {FACE_NAMES[face.face]}"
    index = f"INDEX {_lines_words(job, laid, short=True)}" if laid.window.index is not None else ""
    if laid.window.gauged is not None:
        index = f"INDEX {_gauged_words(job, laid)}"
    drawing, folded = cut_out(face, laid.window, laid.holes, called, index, outlines_of(job, face))
    return FullScale(
        f"{marks} · {face.part.name} · {FACE_NAMES[face.face]}",
        drawing,
        _template_facts(job, laid, folded),
        f"template-{face.marks[0]}-{face.face.value}",
        _template_figures(job, laid),
        thumbnail=None if _is_whole(laid) else thumbnail(face, _shown(laid), _holes_of_whole(job, face)),
    )


def _is_whole(laid: Laid) -> bool:
    """Whether a template shows all of its face: a small picture of it would say nothing more."""
    return laid.turned is None and laid.window.size == (laid.face.width, laid.face.height)


def _shown(laid: Laid) -> list[Window]:
    """Every place of the template on its face, as it is and turned end for end."""
    windows = [window for window, _ in laid.places]
    if laid.turned is not None:
        high, other_edge = laid.face.height, laid.turned.face.from_far_edge != laid.face.from_far_edge
        for window, _ in laid.turned.places:
            low, across = (high - window.across, high - window.low) if other_edge else (window.low, window.across)
            windows.append(replace(window, low=low, across=across))
    return windows


def _holes_of_whole(job: Job, side: FaceHoles) -> list[Drilled]:
    """The holes of the whole face, counted across as its `side` counts: a broad face is laid out from either edge, by
    templates that have the holes of their own half alone."""
    whole = next(face for face in job.faces if face.face is side.face and side.marks[0] in face.marks)
    if not side.from_far_edge:
        return [*whole.holes]
    return [replace(hole, across=whole.height - hole.across) for hole in whole.holes]


def _turned(laid: Laid) -> str:
    """Where a template lies that serves two places."""
    if laid.turned is None:
        return ""
    one, other = _lies(laid, laid.turned.face), _lies(laid.turned, laid.face)
    return f", printed side up, at {one} and, turned end for end, at {other}"


def _lies(laid: Laid, other: FaceHoles) -> str:
    """The end, the edge, or the end on the edge that a template is laid to, as far as it is not that of the `other`."""
    face = replace(laid.face, half_turn="")
    level, first, second = (PROSE[name] for name in edge_names(face))
    if laid.window.index is not None:
        return f"the {level}"
    end = second if laid.window.from_far_end else first
    return f"{end} and the {level}" if face.from_far_edge != other.from_far_edge else end


def _lines_words(job: Job, laid: Laid, short: bool = False) -> str:
    """How far the index lines lie from the ends: "6 in, 22 in from end A, 6 in from end B"."""
    names = edge_names(laid.face)
    told: dict[bool, list[str]] = {}
    for window, _ in laid.places:
        if window.index is not None:
            told.setdefault(window.index_from_end, []).append(job.display.length(window.index))
    words = []
    for from_end, lengths in told.items():
        end = PROSE[names[2 if from_end else 1]]
        words.append(f"{', '.join(lengths)} from {end.removeprefix('end ') if short else end}")
    return ("; " if short else " and ").join(words)


def _gauged_words(job: Job, laid: Laid) -> str:
    """How far a line along the face is gauged from its edge: "7½ in from face edge"."""
    assert laid.window.gauged is not None
    line = laid.window.gauged
    edge = edge_names(replace(laid.face, half_turn=""))[0]
    return f"{job.display.length(line)} from {PROSE[edge]}"


def _outline_words(job: Job, laid: Laid) -> Iterator[str]:
    """What is cut within the outlines that the paper shows."""
    window = laid.window
    told: dict[str, None] = {}
    for outline in outlines_of(job, laid.face):
        if outline_lines(outline, (window.start, window.end), (window.low, window.across)):
            deep = "right through" if outline.depth is None else f"{job.display.length(outline.depth)} deep"
            told[f"Outline: {outline.kind} of {outline.name}, {deep}; knife round it."] = None
    yield from told


def _template_facts(job: Job, laid: Laid, folded: bool) -> tuple[str, ...]:
    face, window, holes = laid.face, laid.window, laid.holes
    display = job.display
    facts: list[str] = []
    second = PROSE[edge_names(face)[0]]
    if folded:
        facts.append("Fold the flap with the name down over the wood.")
    if window.index is not None:
        lines = "lines" if len(laid.places) > 1 else "a line"
        onto = "each" if len(laid.places) > 1 else "it"
        facts.append(f"Square {lines} across the face {_lines_words(job, laid)}; lay INDEX on {onto}{_turned(laid)}.")
    elif window.gauged is not None:
        facts.append(f"Gauge a line along the face {_gauged_words(job, laid)}; lay INDEX on it{_turned(laid)}.")
    elif laid.turned is not None:
        facts.append(f"Lay it{_turned(laid).removeprefix(',')}.")
    facts += ends_words(face, {window.from_far_end for window, _ in laid.places}, PROSE)
    facts += long_points(job, laid, PROSE)
    if face.both_hands:
        facts.append(f"Fits both of the mirrored pair, printed side up: its holes are central, so gauge from {second}.")
    facts += _outline_words(job, laid)
    alike: dict[tuple[str, str], list[tuple[int, Drilled]]] = {}
    for number, hole in enumerate(holes, 1):
        words = f"Ø {display.drill(hole.bore.bit)}, {depth_words(display, hole)}, "
        words += ", ".join(
            filter(
                None,
                (
                    slanting_hole(job, hole),
                    _purpose(job, replace(hole.bore, slanting=None), hole.hardware),
                    like_crossings(job, hole, face.marks),
                    SLOTTED if hole.bore.slot else "",
                ),
            )
        )
        across = "on INDEX" if hole.across == window.gauged else f"{display.length(hole.across)} from {second}"
        alike.setdefault((words, across), []).append((number, hole))
    for (words, across), found in alike.items():
        words = re.sub(r"(\d) × (\d)", "\\1\u00a0×\u00a0\\2", words)  # a screw's size stays on one line
        told = f"{_holes_named(found)}: {words}; "
        line = line_of(face, window)
        if line is None or len(found) == 1:
            places = _in_row(list(dict.fromkeys(_place_words(job, laid, hole) for _, hole in found)))
            spots = list(dict.fromkeys(hole.along for _, hole in found))
            pitch = {b - a for a, b in pairwise(spots)}
            if len(spots) >= LONG_ROW and len(pitch) == 1:
                first, second, last = (_place_words(job, laid, hole) for _, hole in (found[0], found[1], found[-1]))
                places = (
                    f"{first.split(' ', 1)[0]}, {second.split(' ', 1)[0]} … {last}, {display.length(abs(*pitch))} apart"
                )
            facts.append(f"{told}{places}, {across}")
        else:
            facts.append(f"{told}{across}. {_beside_words(job, laid, line, found)}")
    return tuple(facts)


SLOTTED = "bore both ends, cut out between them with a chisel or round file"
LONG_ROW = 6  # so many holes at even steps are told by the first two and the last


def _holes_named(found: Sequence[tuple[int, Drilled]]) -> str:
    numbers = [number for number, _ in found]
    steps = {b - a for a, b in pairwise(numbers)}
    told = [str(number) for number in numbers]
    words = f"{told[0]}, {told[1]} … {told[-1]}" if len(told) >= LONG_ROW and len(steps) == 1 else ", ".join(told)
    return f"Hole{'s' if len(found) > 1 else ''} {words}"


def _beside_words(job: Job, laid: Laid, line: Length, found: Sequence[tuple[int, Drilled]]) -> str:
    """Holes on the index line, then those on either side of it, a sentence each, nearest first: "Hole 1 on INDEX. Holes
    2, 3 from INDEX toward end B: 1¹⁄₄ in, 2¹⁄₂ in." """
    names = edge_names(laid.face)
    on = [(number, hole) for number, hole in found if hole.along == line]
    sentences = [f"{_holes_named(on)} on INDEX."] if on else []
    for name, side in ((names[1], -1), (names[2], 1)):
        away = sorted(
            ((abs(hole.along - line), number, hole) for number, hole in found if (hole.along - line).mm * side > 0),
            key=lambda each: each[:2],
        )
        if away:
            holes = _holes_named([(number, hole) for _, number, hole in away])
            told = [job.display.length(length) for length, _, _ in away]
            even = len({b - a for (a, _, _), (b, _, _) in pairwise(away)}) == 1 and len(away) >= LONG_ROW
            far = f"{told[0]}, {told[1]} … {told[-1]}" if even else ", ".join(told)
            sentences.append(f"{holes} from INDEX toward {PROSE[name]}: {far}.")
    return " ".join(sentences)


def _capital(sentence: str) -> str:
    return sentence[0].upper() + sentence[1:]


def depth_words(display: Display, hole: Drilled) -> str:
    """'1-1/4 in deep', or 'through' for a hole without a depth."""
    return f"{display.length(hole.bore.depth)} deep" if hole.bore.depth else "through"


def _place_words(job: Job, laid: Laid, hole: Drilled) -> str:
    """Where a hole lies along the face: from the end that the template is laid by, or from its index line."""
    names = edge_names(laid.face)
    line = line_of(laid.face, laid.window)
    if line is None:
        return f"{job.display.length(_along(laid, hole))} from {PROSE[names[2 if laid.window.from_far_end else 1]]}"
    if hole.along == line:
        return "on INDEX"
    toward = PROSE[names[2 if hole.along > line else 1]]
    return f"{job.display.length(abs(hole.along - line))} from INDEX toward {toward}"


def _in_row(places: Sequence[str]) -> str:
    """Places in a row; what they all end with is said once: "50, 70, 90 mm from end A"."""
    if len(places) == 1:
        return places[0]
    split = [place.split(" ", 1) for place in places]
    if all(len(pair) == 2 and pair[1] == split[0][1] for pair in split):
        return ", ".join([*(pair[0] for pair in split[:-1]), places[-1]])
    return ", ".join(places)


def _along(laid: Laid, hole: Drilled) -> Length:
    """Distance of the hole from the end that the template is laid by."""
    return laid.face.width - hole.along if laid.window.from_far_end else hole.along


def _template_figures(job: Job, laid: Laid) -> tuple[Figure, ...]:
    """The numbers that stand in the facts, with their exact values."""
    face, holes = laid.face, laid.holes
    display, found = job.display, []
    name = f"{face.marks[0]} {FACE_NAMES[face.face]}"
    for window, own in laid.places:
        if window.index is not None:
            found.append(length_figure(f"{name} · index", window.index, display, own[0].place.at))
    if laid.window.gauged is not None:
        found.append(length_figure(f"{name} · index", laid.window.gauged, display, holes[0].place.at))
    line, aside = line_of(face, laid.window), "from far edge" if face.from_far_edge else "across"
    for number, hole in enumerate(holes, 1):
        found.append(_bit_figure(job, hole))
        along = _along(laid, hole) if line is None else abs(hole.along - line)
        if line is None or along:
            found.append(length_figure(f"{name} · hole {number} along", along, display, hole.place.at))
        found.append(length_figure(f"{name} · hole {number} {aside}", hole.across, display, hole.place.at))
        if hole.bore.depth is not None:
            found.append(length_figure(f"{name} · hole {number} depth", hole.bore.depth, display, hole.hole.at))
    return tuple(found)
