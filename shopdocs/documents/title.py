"""The title sheet: the finished piece, large; its key dimensions; the order of the work; what is in the set."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import groupby

from msgspec.structs import replace

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, Code, Document, SideBySide, Together
from shopdocs.blocks.text import (
    Caution,
    Cell,
    Column,
    Facts,
    Group,
    Paragraph,
    Row,
    Run,
    Table,
    Text,
    Weight,
    text,
)
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.cautions import cautions_of
from shopdocs.documents.drawn.build_pictures import assembled_picture, opened_build, pictured_build
from shopdocs.documents.figures import count_figure, length_figure, length_text, marks_text, size_text
from shopdocs.documents.fitting.dry_run import closed_at_last, finished_before
from shopdocs.documents.fitting.wording import anded, numbered
from shopdocs.documents.job import CUSTOMER, Job
from shopdocs.documents.own_cuts import let_in_names
from shopdocs.documents.patterns import has_patterns
from shopdocs.documents.rounds import has_rounds
from shopdocs.work.scene.overall import Height, heights, overall_of, overhangs

LEAST_PICTURE_MM = (110.0, 46.0)  # width and height; it grows taller with the room that the page leaves
LARGER_PICTURE_MM = (170.0, 155.0, 140.0, 128.0, 118.0, 108.0, 98.0, 90.0, 82.0, 74.0, 66.0, 60.0, 54.0)
MOST_MARKS = 8  # of a stage's pieces in the build order
MOST_CUTS = 5  # by name in one step of it
MOST_HEIGHTS = 7  # rows; of more those of doors and drawers go first, then those that reach least far


def title_sheet(job: Job, contents: tuple[Document, ...], loose: tuple[str, ...] = ()) -> Document:
    """`loose` names those of the contents that are not bound in and have no page."""
    build = job.build
    blocks: list[Block] = []
    picture = _picture(job)
    key = _key_heights(job)
    facts, code = Facts(tuple(_facts(job))), (Code(job.records, "record pages"),) if job.records else ()
    told: list[Block] = [facts, *([key] if key is not None else []), *code]
    top = told if picture is None else [SideBySide(((picture,), tuple(told)), (1.9, 1.0))]
    low: list[Block] = []
    if picture is not None and key is not None:  # less tall: the facts across the page, the code in a column of its own
        columns, shares = ((picture,), (key,), code), (1.25, 0.85, 0.3)
        low = [Together((facts, SideBySide(columns if code else columns[:2], shares if code else (1.25, 1.0))))]
    if build.intro:
        blocks += [Paragraph(text(line)) for line in build.intro.split("\n") if line]
    order, listed = _order(job), _contents(contents, loose)
    blocks.append(listed if order is None else SideBySide(((order,), (listed,)), (1.0, 1.05)))
    cautions = [Caution(caution.title, caution.text) for caution in cautions_of(job)]
    for pair in zip(cautions[::2], cautions[1::2], strict=False):
        blocks.append(SideBySide(tuple((each,) for each in pair), (1.0, 1.0)))
    blocks += cautions[-1:] if len(cautions) % 2 else []
    if build.licence and job.edition != CUSTOMER:  # there it stands at the foot of every page
        blocks.append(Paragraph(text(build.licence), Weight.QUIET))
    question = "What am I building, and in what order?"
    instead = (*low, *blocks) if low else ()
    return Document("title", build.title, question, (*top, *blocks), instead=instead)


def _picture(job: Job) -> Drawing | None:
    """The finished piece as large as the page has room for."""
    drawing = assembled_picture(job, LEAST_PICTURE_MM)
    if drawing is None:
        return None
    found: dict[Fraction, Drawing] = {}
    for tall in LARGER_PICTURE_MM:
        most = min(LEAST_PICTURE_MM[0] / drawing.width.float_mm(), tall / drawing.height.float_mm())
        scale = Fraction(int(most * 100_000), 100_000)
        if drawing.scale is not None and scale > drawing.scale:
            found[scale] = replace(drawing, scale=scale, tallest_mm=tall + 2, larger=())
    return replace(drawing, larger=tuple(found[scale] for scale in sorted(found, reverse=True)))


def _facts(job: Job) -> list[tuple[str, Text]]:
    build = job.build
    pairs: list[tuple[str, Text]] = []
    overall = overall_of(build, job.space)
    if overall is not None:
        at = build.places.get("overall", build.at)
        size = size_text(
            "overall",
            job.display,
            ("width", overall.width, at),
            ("depth", overall.depth, at),
            ("height", overall.height, at),
            unit=True,
        )
        pairs.append(("Width × depth × height", size))
    pairs += _overhangs(job)
    pieces = sum(len(part.pieces) for part in build.parts)
    different = f" ({len(build.parts)} different)" if len(build.parts) > 1 else ""
    counted = text(count_figure("pieces", pieces, build.at), different)
    joints = sum(len(joint.meetings) for joint in build.joints)
    if joints:
        counted += text(", ", count_figure("joints", joints, build.at), " joint" + ("s" if joints != 1 else ""))
    if build.copies > 1:
        counted = text(count_figure("copies", build.copies, build.places.get("copies", build.at)), " × ", *counted)
    pairs.append(("Pieces", counted))
    pairs.append(("Made of", text(", ".join(_woods(job)))))
    maker = build.maker or job.shop.name
    return [*pairs, ("Maker", text(maker))] if maker else pairs


def _overhangs(job: Job) -> list[tuple[str, Text]]:
    """How far the top reaches beyond what stands on the floor."""
    if job.space is None or not job.build.free_standing:
        return []
    runs: list[Run] = []
    for found in overhangs(job.space):
        runs += ["; " if runs else "", *length_text("overhang", found.reach, job.display)]
        runs.append(" all round" if len(found.sides) == 4 else f" {' and '.join(found.sides)}")
    return [("Top overhangs", tuple(runs))] if runs else []


def _woods(job: Job) -> list[str]:
    return list(dict.fromkeys(need.material.species or need.material.name for need in job.needs))


# --- key heights -----------------------------------------------------------------------------------------------------


def _key_heights(job: Job) -> Table | None:
    """How high over the floor what lies level begins and ends."""
    if job.space is None:
        return None
    rows = [
        Row((Cell.of(name), _height(job, name, "underside", under), _height(job, name, "top", top)))
        for name, under, top in _merged(job, heights(job.space))
    ]
    if not rows:
        return None
    over = "Height above the floor" if job.build.free_standing else "Height above the lower edge"
    unit = job.display.units
    columns = (
        Column(over, share=1.0),
        Column("Underside", "right", unit, share=0.1),
        Column("Top", "right", unit, share=0.1, strong=True),
    )
    return Table("heights", columns, (Group(tuple(rows)),))


def _height(job: Job, name: str, what: str, value: Length) -> Cell:
    return Cell.of(length_figure(f"{name} · {what}", value, job.display))


def _merged(job: Job, found: tuple[Height, ...]) -> list[tuple[str, Length, Length]]:
    """What lies equally high in one row; of many rows those whose pieces stand fast and reach farthest."""
    assert job.space is not None
    rows: dict[tuple[Length, Length], dict[str, Length]] = {}
    fast: set[tuple[Length, Length]] = set()
    moving = {pictured_build(job).pieces[i].mark for unit in opened_build(job).units for i in unit.pieces}
    for height in found:
        reach = max(max(job.space.pieces[mark].extent[:2]) for mark in height.marks)
        names = rows.setdefault((height.top, height.under), {})
        part = next(part for part in job.build.parts if part.name == height.part)
        name = height.part if len(height.marks) == len(part.pieces) else f"{height.part} {marks_text(height.marks)}"
        names[name] = max(names.get(name, ZERO), reach)
        if not moving.issuperset(height.marks):
            fast.add((height.top, height.under))
    kept = sorted(rows, key=lambda key: (key in fast, max(rows[key].values())), reverse=True)[:MOST_HEIGHTS]
    return [(", ".join(rows[key]), key[1], key[0]) for key in rows if key in kept]


# --- the order of the work -------------------------------------------------------------------------------------------


def _order(job: Job) -> Table | None:
    """The order of the work; empty where the build says too little about it."""
    if not job.stages and not job.build.joints:
        return None
    steps = ["Saw and mill the pieces"]
    joined = {mark for _, meeting in job.build.meetings() for mark in (meeting.entering, meeting.receiving)}
    drilled = {mark for face in job.faces for mark in face.marks}
    own = let_in_names(job)
    joined.update(*own.values())
    named = [*(["the joints"] if job.build.joints else []), *own]
    named = named if len(named) <= MOST_CUTS else [*named[: MOST_CUTS - 1], "the other cuts"]
    steps += [_when_whole(job, f"Mark out and cut {anded(named)}", joined)] if named else []
    steps += [_when_whole(job, "Drill", drilled)] if job.faces else []
    shaped = "Saw and turn to shape" if has_rounds(job) else "Saw to shape"
    steps += [f"{shaped} what has a pattern"] if has_patterns(job) else []
    placed = set(job.space.pieces) if job.space is not None else set()
    steps += [_when_whole(job, "Chamfer and smooth the pieces", placed)] if placed else []
    steps += [f"Glue up the strips of {marks_text([p.mark for p in work.pieces], 6)}" for work in job.panels]
    step_of: dict[int, int] = {}  # a stage by its number on its own sheet
    for work in job.stages:
        used = [*work.stage.uses, *([marks_text(work.loose, MOST_MARKS)] if work.loose else [])]
        steps.append(f"{_glued(work.stage.title)}: {', '.join(used)}")
        step_of[work.number] = len(steps)
    loose = [name for added in (job.left.added if job.left is not None else ()) for name in added.things]
    steps += [f"Fit without glue: {_things(job, loose)}"] if loose else []
    if job.finish is not None:
        first = [step_of[stage] for stage in finished_before(job)]
        first += [len(steps)] if loose and closed_at_last(job) else []
        sooner = f", some of it before {numbered('step', first)}" if first else ""
        steps.append(f"Finish with {job.finish.finish.kind}{sooner}")
    rows = tuple(Row((Cell.of(str(number)), Cell.of(step))) for number, step in enumerate(steps, 1))
    columns = (Column("", "right", share=0.01), Column("Build order", share=1.0))
    return Table("build-order", columns, (Group(rows),))


def _when_whole(job: Job, step: str, done: set[str]) -> str:
    """What is still in strips then has to wait."""
    later = job.in_strips(done)
    return f"{step}; {marks_text(later, 4)} once glued up" if later else step


def _glued(title: str) -> str:
    """ "Glue up Left end"; a title that says it is a glue-up by itself is not told so twice."""
    return title if re.search(r"\bglue[- ]?up\b", title, re.I) else f"Glue up {title}"


def _things(job: Job, names: list[str]) -> str:
    """Marks in a row; what goes by a stage's title stands apart from them and from its like."""
    marks = {piece.mark for _, piece in job.build.pieces()}
    runs = [[*run] for is_mark, run in groupby(names, lambda name: name in marks)]
    told = [marks_text(run, 6) if run[0] in marks else ", ".join(run) for run in runs]
    return ", ".join(told)


# --- what is in the set ----------------------------------------------------------------------------------------------


def _contents(contents: tuple[Document, ...], loose: tuple[str, ...]) -> Table:
    rows = []
    for document in contents:
        bound = document.name not in loose
        link = document.name if bound else ""
        page = Cell(link=link) if bound else Cell.of("separate file")
        rows.append(Row((Cell.of(document.title, strong=True, link=link), page)))
    columns = (Column("In this set", share=1.0), Column("Page", "right", share=0.1))
    return Table("contents", columns, (Group(tuple(rows)),), folds=True)
