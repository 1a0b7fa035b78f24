"""The building order for those who buy the plan: tools and skills, then one step after the other, each with its picture
and the sheets it is done by."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, Document, SideBySide, Together
from shopdocs.blocks.text import (
    Bullets,
    Caution,
    Cell,
    Checklist,
    Column,
    Group,
    Heading,
    Row,
    Step,
    Table,
    Text,
    text,
)
from shopdocs.blocks.walk import walk
from shopdocs.documents.drawn.build_pictures import assembled_picture, exploded_picture, stage_picture, strips_of
from shopdocs.documents.drawn.pictures import Laid, picture, standing
from shopdocs.documents.figures import count_figure, marks_text
from shopdocs.documents.finish import cautions_of as finish_cautions
from shopdocs.documents.job import CUSTOMER, Job
from shopdocs.documents.patterns import has_patterns
from shopdocs.documents.rounds import has_rounds, is_round
from shopdocs.documents.tools import tool_steps
from shopdocs.facts.adhesives import EPOXY, adhesive
from shopdocs.facts.cautions import DRILLING, EPOXY_HEAT, LATHE, WOOD_DUST
from shopdocs.facts.cautions import Caution as FactCaution
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.space.placed import Scene

NAME = "building-order"
OWN_FILE = ("printer-check",)  # not bound into the set
PICTURE_MM = (82.0, 62.0)
APART = 2  # times the thickness of the one it goes into, stands a piece before it


class _Step(Struct, frozen=True):
    """One step of the work: what it is called, its picture, what is done, the names of its sheets, its cautions."""

    title: str
    drawing: Drawing | None
    lines: tuple[Text, ...]
    sheets: tuple[str, ...]
    cautions: tuple[FactCaution, ...] = ()


def for_customers(job: Job) -> bool:
    """Whether the set is for those who buy the plan."""
    return job.edition == CUSTOMER


def building_order(job: Job, made: Sequence[Document] = ()) -> Document:
    """Tools and skills, then the steps; of `made`, the other sheets of the set, each step names those it is done by."""
    tools = Checklist(tuple(tool_steps(job)), "Tools to have ready")
    skills = Bullets(tuple(text(line) for line in _skills(job)))
    blocks: list[Block] = [SideBySide(((Heading("What you must be able to do", 2), skills), (tools,)), (1.0, 1.0))]
    titles = {document.name: document.title for document in made}
    blocks += [_shown(number, step, titles) for number, step in enumerate(_steps(job, made), 1)]
    question = "What do I need, and what do I do first, then next?"
    return Document(NAME, "Building order", question, tuple(blocks))


def _shown(number: int, step: _Step, titles: dict[str, str]) -> Block:
    told: list[Block] = [Checklist(tuple(Step(line) for line in step.lines))]
    told += [_sheets(number, [(name, titles[name]) for name in step.sheets if name in titles])]
    drawn: list[Block] = [step.drawing] if step.drawing is not None else []
    cautions = [Caution(caution.title, caution.text) for caution in step.cautions]
    body: list[Block] = [SideBySide((tuple(drawn), tuple(told)), (1.0, 1.1))] if drawn else told
    return Together((Heading(f"{number}  {step.title}", 1, f"step-{number}"), *body, *cautions))


def _sheets(number: int, named: Sequence[tuple[str, str]]) -> Block:
    rows = tuple(
        Row((Cell.of(title, link=name), Cell.of("separate file") if name in OWN_FILE else Cell(link=name)))
        for name, title in named
    )
    columns = (Column("Sheets for this step", share=1.0), Column("Page", "right", share=0.1))
    return Table(f"sheets-{number}", columns, (Group(rows),))


# --- skills ----------------------------------------------------------------------------------------------------------


def _skills(job: Job) -> Iterator[str]:
    if any(row.rough != row.joinery for row in job.rows.values()):
        yield "Plane rough boards flat, square and to thickness, by hand or by machine"
    yield "Mark out from a face side and a face edge with knife, gauge and square"
    kinds = dict.fromkeys(joint.kind for joint in job.build.joints if joint.meetings)
    cut = [kind.value for kind in kinds if not KINDS[kind].screwed]
    if cut:
        yield f"Cut by hand or machine: {', '.join(cut)}"
    if job.faces:
        yield "Drill square to a face, to a depth stop"
    if any(part.strips > 1 for part in job.build.parts):
        yield "Joint and glue up boards edge to edge into a panel"
    timed = [work for work in job.stages if work.open is not None]
    if timed:
        longest = max(timed, key=lambda work: work.minutes)
        joints, minutes = len(longest.meetings), ceil(longest.minutes)
        told = f"Spread, close and clamp {joints} joints" if joints > 1 else "Spread, close and clamp up"
        yield f"{told} in {minutes} minutes, and check for square"
    if job.finish is not None:
        coats = job.finish.finish.coats
        yield f"Apply {job.finish.finish.kind}, {coats} coat{'s' if coats > 1 else ''}"


# --- the steps -------------------------------------------------------------------------------------------------------


def _steps(job: Job, made: Sequence[Document]) -> Iterator[_Step]:
    standing_ = assembled_picture(job, PICTURE_MM)
    yield _mill(job)
    if any(joint.meetings for joint in job.build.joints):
        yield _joints(job)
    if job.faces:
        yield _drill(job)
    if has_patterns(job):
        yield _shape(job)
    if job.build.joints:
        lines = (
            text("Put everything together dry, stage by stage, in the order of the glue-up"),
            text("Every shoulder closes, and the diagonals are equal"),
            text("Read the look-alikes aloud: find each mistake now, not in wet glue"),
        )
        yield _Step("Dry fit", standing_, lines, ("exploded", "look-alikes", "glue-up"))
        marked = (
            text("Write the number of each joint inside it, on both pieces, with an arrow"),
            text("Only when every joint has its number do the labels come off"),
        )
        yield _Step("Mark every joint", _first_drawing(made, "mate-marks"), marked, ("mate-marks",))
    yield _edges(job, made)
    if job.stages:
        yield _glue(job)
    if job.finish is not None:
        work = job.finish.finish
        last = (
            text("Saw off what stands proud, plane it flush, ease what the hand meets"),
            text(
                f"{work.kind}, ",
                count_figure("finish · coats", work.coats, work.at),
                " coats" if work.coats > 1 else " coat",
            ),
        )
        yield _Step("Finish", standing_, last, ("finish",), tuple(finish_cautions(job)))


def _mill(job: Job) -> _Step:
    pieces = sum(len(part.pieces) for part in job.build.parts)
    lines = [
        text("Buy what is on the shopping list; let the wood settle in the shop before you cut it"),
        text("Saw every piece to its rough size, ", count_figure("pieces", pieces), " in all, and label it at once"),
    ]
    if any(row.rough != row.joinery for row in job.rows.values()):
        lines.append(text("Plane to the size with joinery, all pieces of one setting one after another"))
    drawing = exploded_picture(job, PICTURE_MM).drawing if job.space is not None else None
    sheets = ("shopping", "lumber", "cut-list", "labels")
    return _Step("Saw and mill", drawing, tuple(lines), sheets, (WOOD_DUST,))


def _joints(job: Job) -> _Step:
    lines: list[Text] = [text("Mark face side and face edge on every piece: all measures count from there")]
    for joint in job.build.joints:
        if joint.meetings:
            count = count_figure(f"{joint.name} · joints", len(joint.meetings), joint.at)
            lines.append(text(f"{joint.name}: ", count, f" × {joint.kind.value}"))
    return _Step("Cut the joints", _joint_picture(job), tuple(lines), ("piece-drawings", "angles", "cut-list"))


def _joint_picture(job: Job) -> Drawing | None:
    """The joint between the shortest pieces, which can be drawn largest, its pieces apart along the one that enters."""
    if job.space is None:
        return None
    placed = job.space.pieces
    found = [
        (joint, placed[meeting.entering], placed[meeting.receiving])
        for joint, meeting in job.build.meetings()
        if meeting.entering in placed and meeting.receiving in placed and not KINDS[joint.kind].screwed
    ]
    if not found:
        return None
    cut = [one for one in found if KINDS[one[0].kind].shouldered or KINDS[one[0].kind].chopped] or found
    joint, one, other = min(cut, key=lambda each: each[1].length + each[2].length)
    scene = Scene.of((one, other))
    axis = one.pose.build_axis(0)
    away = 1 if one.at[axis] + one.far[axis] >= other.at[axis] + other.far[axis] else -1
    far = away * scene.ticks.count(other.thickness) * APART
    shift = (far if axis == 0 else 0, far if axis == 1 else 0, far if axis == 2 else 0)
    marks = tuple((piece.mark, (piece.mark,)) for piece in (one, other))
    laid = Laid(scene, (shift, (0, 0, 0)), strips=strips_of(job))
    return picture(laid, PICTURE_MM, name=joint.name, labels=marks).drawing


def _drill(job: Job) -> _Step:
    holes = sum(len(face.holes) * len(face.marks) for face in job.faces)
    lines = [
        text("Cut the templates out, lay their heavy lines on the edges they name, prick the centres through"),
        text("Bit, depth stop and face are in the table; holes in all: ", count_figure("holes", holes)),
    ]
    if whole := job.in_strips({mark for face in job.faces for mark in face.marks}):
        lines.append(text(f"What is still in strips waits until it is glued up: {marks_text(whole)}"))
    return _Step("Drill", _drilled_picture(job), tuple(lines), ("templates", "printer-check"), (DRILLING,))


def _drilled_picture(job: Job) -> Drawing | None:
    """The piece with the most holes of those that show any from where one looks."""
    if job.space is None:
        return None
    count: dict[str, int] = {}
    for face in job.faces:
        for mark in face.marks:
            count[mark] = count.get(mark, 0) + len(face.holes)
    for mark in sorted((mark for mark in count if mark in job.space.pieces), key=lambda mark: -count[mark]):
        piece = job.space.pieces[mark]
        bare = replace(piece, features=tuple(piece.cuboids))
        bored, plain = (
            picture(standing(Scene.of((one,))), PICTURE_MM, name=mark, labels=((mark, (mark,)),)).drawing
            for one in (piece, bare)
        )
        if len(bored.shapes) > len(plain.shapes):
            return bored
    return None


def _shape(job: Job) -> _Step:
    turned = has_rounds(job)
    sawn = not turned or any(not is_round(cut) for cut in job.build.cuts if not cut.follows)
    lines: list[Text] = []
    if sawn:
        lines += [
            text("Tape the tiles of each pattern together mark to mark, cut it out, and draw round it on the wood"),
            text("Taper and arch only when the joints are cut and the holes drilled, while the piece is still square"),
            text("Saw beside the line, then plane or spokeshave down to it"),
        ]
    if turned:
        lines.append(text("Part down to each diameter of the turning pattern, then turn straight from one to the next"))
    title = " and ".join([*(["Taper and arch"] if sawn else []), *(["turn" if sawn else "Turn"] if turned else [])])
    cautions = (LATHE,) if turned else ()
    return _Step(title, None, tuple(lines), ("patterns", "cut-list", "printer-check"), cautions)


def _edges(job: Job, made: Sequence[Document]) -> _Step:
    lines = (
        text("Chamfer the arrises that the edge sheet names, and only those: the others lie against a piece"),
        text("Plane, scrape or sand every face that will be out of reach once it is glued"),
        text("Keep glue faces bare: no wax, no finish, no sanding over a shoulder"),
    )
    return _Step("Prepare the surfaces", _first_drawing(made, "edges"), lines, ("edges", "finish"))


def _glue(job: Job) -> _Step:
    gluing = job.build.gluing
    glue = adhesive(gluing.adhesive) if gluing is not None else None
    hot = (EPOXY_HEAT,) if glue is not None and glue.family == EPOXY else ()
    lines = [text("Clear the bench, lay out clamps and pieces, and walk through each stage dry")]
    for work in job.stages:
        used = [*work.stage.uses, *([marks_text(work.loose, 6)] if work.loose else [])]
        lines.append(text(f"{work.number}  {work.stage.title}: {', '.join(used)}"))
    first = stage_picture(job, job.stages[0], PICTURE_MM)
    return _Step("Glue up", first.drawing if first is not None else None, tuple(lines), ("glue-up",), hot)


def _first_drawing(made: Sequence[Document], name: str) -> Drawing | None:
    for document in made:
        if document.name == name:
            return next((block for block in walk(document.blocks) if isinstance(block, Drawing)), None)
    return None
