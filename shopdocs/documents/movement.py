"""Movement: how far each part swells and shrinks over the year, and whether the build lets it."""

from __future__ import annotations

import re
from fractions import Fraction

from shopdocs.blocks.drawing import Drawing, Line, Polygon
from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import (
    Bullets,
    Cell,
    Column,
    Facts,
    Figure,
    Group,
    Heading,
    Row,
    Table,
    Text,
    text,
)
from shopdocs.core.display import ROUNDED, trimmed
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.clearances import clearance_blocks
from shopdocs.documents.figures import decimal_figure, gap_figure, length_figure, marks_text, temperature_figure
from shopdocs.documents.how.rules import note, where_notes_are
from shopdocs.documents.job import Job
from shopdocs.documents.rounds import has_rounds
from shopdocs.documents.seasons import alike, both_changes, change, least, season_lines
from shopdocs.model.parts import Cut, Part
from shopdocs.work.scene.meant_gaps import RealGap, real_gaps
from shopdocs.work.seasons.bodies import joined
from shopdocs.work.seasons.tie import Sort, Tie
from shopdocs.work.seasons.wood import is_solid, wood_name

SLIGHT = {"in": Length.inches("1/32"), "mm": Length(1)}  # what moves less is told in one line (common practice)
CUTS = {Cut.FLAT: "flat-sawn", Cut.QUARTER: "quarter-sawn"}
TITLES = {
    Sort.PANEL: "In grooves",
    Sort.SLIDING: "On",  # and what it slides on
    Sort.HELD: "Held with play",
    Sort.FAST: "Held fast across the grain",
    Sort.GAP: "Between neighbours",
}


def has_movement(job: Job) -> bool:
    """Whether anything of the build is solid wood, or stands with play in an opening."""
    return bool(clearance_blocks(job)) or any(is_solid(job.build.material(part.material)) for part in job.build.parts)


def movement_sheet(job: Job) -> Document:
    """The climate it was reckoned for, what moves how far, what holds it, and what to leave on the day of making."""
    parts = _parts(job)
    wide = [part for part in parts if _most(job, part) >= SLIGHT[job.build.units]]
    slight = [part for part in parts if _most(job, part) < SLIGHT[job.build.units]]
    blocks: list[Block] = [Facts(tuple(_climate(job)))]
    lines = tuple(season_lines(job))
    if lines:
        blocks += [Heading("Leave on the day you make it", 2), Bullets(lines)]
    if wide:
        blocks.append(_moving(job, wide))
    if job.ties:
        blocks += [Heading("Is it free to move?", 2), _held(job)]
    blocks += clearance_blocks(job)
    blocks += _gaps(job)
    runs = [run for told in _besides(job, slight) for run in (" ", *told)][1:]
    blocks += where_notes_are(tuple(runs))
    question = "How far will the wood move, and does the build let it?"
    return Document("movement", "Movement", question, tuple(blocks), runs_on=True)


def _parts(job: Job) -> list[Part]:
    """What moves, most of all first."""
    found = [part for part in job.build.parts if part.name in job.moves]
    return sorted(found, key=lambda part: -_most(job, part).mm)


def _most(job: Job, part: Part) -> Length:
    return part.width * job.moves[part.name].most


def _climate(job: Job) -> list[tuple[str, Text]]:
    """What the wood is exposed to."""
    climate, year, at = job.shop.climate, job.year, job.shop.climate.at
    unsaid = "usual, " if "climate" in job.shop.defaults else ""
    pairs: list[tuple[str, Text]] = []
    if climate.moisture is None:
        low, high = (decimal_figure("climate · humidity", value, 0, "%", at) for value in climate.humidity)
        cold, warm = (temperature_figure("climate · temperature", value, job.display, at) for value in climate.celsius)
        degrees = (cold,) if cold.shown == warm.shown else (cold, " to ", warm)
        pairs.append(("Air over the year", text(unsaid, low, " to ", high, " % humidity at ", *degrees)))
    dry, wet = (_percent("wood · moisture", value, job) for value in (year.dry, year.wet))
    pairs.append((f"Moisture of the wood{note(job, 'movement')}", text(dry, " to ", wet, " %")))
    if year.worked is None:
        told = text("not measured; worked out for the driest and the dampest")
    else:
        told = text(_percent("wood · worked at", year.worked, job), " %")
    pairs.append(("Moisture when made", told))
    return pairs


def _percent(name: str, value: Fraction, job: Job) -> Figure:
    return Figure(name, trimmed(value, 1), value, "%", job.shop.climate.at)


# --- what moves -------------------------------------------------------------------------------------------------------


def _moving(job: Job, parts: list[Part]) -> Table:
    """What moves, with a bar for each at full size."""
    unit = job.display.units
    most = max(_most(job, part) for part in parts)
    up_to = "" if job.year.worked is not None else ", at most"  # not both: nobody measured where it begins
    columns = (
        Column("Part", strong=True, share=0.6),
        Column("Marks", share=0.8),
        Column("Wood", share=1.0),
        Column("Width", "right", unit, share=0.05),
        Column(f"Swells{up_to}", "right", unit, share=0.05, strong=True),
        Column(f"Shrinks{up_to}", "right", unit, share=0.05, strong=True),
        Column("In all", "right", unit, share=0.05),
        Column("At full size", "centre", share=0.05, picture_mm=max(most.float_mm() * 2, LEAST_BAR_MM)),
    )
    return Table("movement", columns, (Group(tuple(_row(job, part, most) for part in parts), note=_bars_words(job)),))


def _row(job: Job, part: Part, most: Length) -> Row:
    moves, at = job.moves[part.name], part.place("width")
    cut = "" if moves.own else f", {CUTS[moves.cut]}" + (" (assumed)" if moves.assumed else "")
    return Row(
        (
            Cell.of(part.name),
            Cell.of(marks_text([piece.mark for piece in part.pieces])),
            Cell.of(f"{_wood(job, part)}{cut}" + (", your own figure" if moves.own else "")),
            Cell.of(length_figure(f"{part.name} · width", part.width, job.display, at)),
            Cell.of(change(f"{part.name} · swells", part.width * moves.grows, job.display, at)),
            Cell.of(change(f"{part.name} · shrinks", part.width * moves.shrinks, job.display, at)),
            Cell.of(both_changes(f"{part.name} · over the year", _in_all(job, part), job.display, at)),
            Cell(drawing=_bar(job, part, most)),
        )
    )


def _wood(job: Job, part: Part) -> str:
    """The wood as the build calls it, on this sheet as on all; with the table's name, turned as one says it, where that
    is another."""
    name, (kind, _, which) = wood_name(job.build.material(part.material)), job.moves[part.name].called.partition(", ")
    called = f"{which} {kind}".strip()
    return name if {*called.lower().split()} <= {*re.findall(r"\w+", name.lower())} else f"{name} ({called})"


TALL, TICK, LEAST_BAR_MM = Length(6), Length("1.75"), 18.0


def _in_all(job: Job, part: Part) -> tuple[Length, ...]:
    """How far an edge travels over the year, one way and the other."""
    moves = job.moves[part.name]
    ways = (part.width * moves.grows, part.width * moves.shrinks)
    return ways if job.year.worked is not None else (_most(job, part),)


def _bar(job: Job, part: Part, most: Length) -> Drawing:
    """The movement of a part as a bar at full scale, to the left where it shrinks, to the right where it swells, a long
    stroke where the edge is on the day of making. Where that is not known the whole bar is what the edge may travel."""
    moves = job.moves[part.name]
    known = job.year.worked is not None
    nought, y = most if known else ZERO, TALL / 2
    low = nought - (part.width * moves.shrinks if known else ZERO)
    high = nought + (part.width * moves.grows if known else _most(job, part))
    points = ((low, y - TICK), (high, y - TICK), (high, y + TICK), (low, y + TICK))
    shapes = (Polygon(points, fill="tint"), Line((nought, ZERO), (nought, TALL)))
    return Drawing("", most * 2 if known else most, TALL, shapes, scale=Fraction(1), captioned=False, sketch=True)


def _bars_words(job: Job) -> str:
    if job.year.worked is None:
        return "Bars: how far an edge travels over the full width and the whole year, at full size."
    return (
        "Bars: the change over the full width, at full size. The stroke is the edge on the day it is made: it "
        "shrinks to the left and swells to the right."
    )


# --- what holds it ----------------------------------------------------------------------------------------------------


def _held(job: Job) -> Table:
    unit = job.display.units
    columns = (
        Column("Pieces", strong=True, share=0.5),
        Column("Held by", share=1.0),
        Column("Across", "right", unit, share=0.05),
        Column("Needs", "right", share=0.1, strong=True),
        Column("The build gives", "right", share=0.1),
        Column("Enough?", share=0.3, strong=True),
    )
    groups = []
    for sort, title in TITLES.items():
        ties = [tie for tie in job.ties if tie.sort is sort]
        for on in dict.fromkeys(tie.on for tie in ties):
            same = alike([tie for tie in ties if tie.on == on])
            groups.append(Group(tuple(_tie_row(job, *each) for each in same), f"{title} {on}".rstrip()))
    return Table("movement-held", columns, tuple(groups))


def _tie_row(job: Job, tie: Tie, marks: tuple[str, ...], by: tuple[str, ...]) -> Row:
    each = " each way" if tie.each else " altogether"
    name = f"{tie.part} · {tie.sort}"
    gives: Text = ("not given",)
    if tie.gives is not None:
        told = _gives(f"{name} · gives", tie, tie.gives, job)
        gives = (told, f" {job.display.units}{each}") if tie.gives else ("nothing",)
    order = {piece.mark: i for i, (_, piece) in enumerate(job.build.pieces())}
    holding = marks_text(sorted(by, key=lambda mark: order.get(mark, len(order))), 8)
    held = f"{tie.through}: {holding}" if tie.through else holding
    return Row(
        (
            Cell.of(marks_text(marks, 8)),
            Cell.of(held),
            Cell.of(length_figure(f"{name} · span", tie.span, job.display, tie.at)),
            Cell.of(least(f"{name} · needs", tie.needs, tie.gives, job, tie.at), each),
            Cell(gives),
            Cell.of(_enough(job, tie)),
        )
    )


def _gives(name: str, tie: Tie, given: Length, job: Job) -> Figure:
    """What the build gives, rounded up as gaps are, that on both sides as the sum of what each is told; to the nearest
    where it is not enough."""
    if not tie.enough:
        return change(name, given, job.display, tie.at)
    rooms = [beside.gap for beside in tie.beside if beside.gap]
    if len(rooms) < 2:
        return gap_figure(name, given, job.display, tie.at)
    told = gap_figure(name, sum((job.display.gap_length(room) for room in rooms), ZERO), job.display, tie.at)
    marked = ROUNDED if Length(told.value) != given and ROUNDED not in told.shown else ""
    return Figure(name, marked + told.shown, given.mm, "mm", tie.at)


def _enough(job: Job, tie: Tie) -> str:
    """Whether it is; where it is not, and the maker has answered the doubt about it, that it is left so on purpose."""
    if tie.enough is None:
        return "leave that much"
    if tie.enough and not tie.comes_out:
        return "yes"
    answers = (answer.casefold().split() for answer, _ in job.build.meant)
    return "no, on purpose" if any(tie.mark.casefold() in words[1:] for words in answers) else "no"


# --- gaps that are meant ----------------------------------------------------------------------------------------------

WAYS = ("left to right", "front to rear", "bottom to top")


def _gaps(job: Job) -> list[Block]:
    """Each gap that is meant: where it lies, how wide it is on the day of making, and what the damp season leaves."""
    if job.space is None or not job.build.gaps:
        return []
    unit = job.display.units
    columns = (
        Column("Gap", strong=True, share=0.8),
        Column("Between", share=0.8),
        Column("Direction", share=0.8),
        Column("As made", "right", unit, share=0.05, strong=True),
        Column("Closes by", "right", unit, share=0.05),
        Column("When damp", "right", unit, share=0.05, strong=True),
    )
    alike: dict[object, list[RealGap]] = {}
    for meant in job.build.gaps:
        for gap in real_gaps(job.build, job.space, meant):
            alike.setdefault((meant.name, gap.axis, gap.size, _takes(job, gap)), []).append(gap)
    rows = tuple(_gap_row(job, gaps) for gaps in alike.values())
    return [Heading("Gaps left on purpose", 2), Table("gaps", columns, (Group(rows),))]


def _gap_row(job: Job, gaps: list[RealGap]) -> Row:
    gap, takes = gaps[0], _takes(job, gaps[0])
    name, at = f"{gap.meant.name} · gap", gap.meant.at
    pairs = ", ".join(f"{each.one} – {each.other}" for each in gaps[:4]) + (" …" if len(gaps) > 4 else "")
    return Row(
        (
            Cell.of(gap.meant.name),
            Cell.of(pairs),
            Cell.of(WAYS[gap.axis]),
            Cell.of(gap_figure(f"{name} · made", gap.size, job.display, at)),
            Cell.of(change(f"{name} · swells by", takes, job.display, at)),
            Cell.of(both_changes(f"{name} · damp", (-takes,), job.display, at, (gap.size,))),
        )
    )


def _takes(job: Job, gap: RealGap) -> Length:
    """How much of a gap its two pieces take as they swell: what can move aside all of it, should it move to this side
    alone; what is held, as a leg is by its rails, half of it."""
    assert job.space is not None
    held = job.once(("movement", "bodies"), lambda: {m: len(group) for group in joined(job.build) for m in group})
    taken = ZERO
    for mark, facing in ((gap.one, gap.other), (gap.other, gap.one)):
        piece = job.space.pieces[mark]
        moves = job.moves.get(piece.part)
        if moves is not None and piece.pose.build_axis(1) == gap.axis:
            taken += piece.width * moves.grows / (1 if held[mark] < held[facing] else 2)
    return taken


# --- what does not ----------------------------------------------------------------------------------------------------


def _besides(job: Job, slight: list[Part]) -> list[Text]:
    """What moves little, what is not known, what hardly moves, and what the figures are worth."""
    told: list[Text] = []
    if slight:
        limit = length_figure("movement · slight", SLIGHT[job.build.units], job.display, unit=True)
        told.append(text("Less than ", limit, f": {_names(slight)}."))
    unknown = [p for p in job.build.parts if p.name not in job.moves and is_solid(job.build.material(p.material))]
    if unknown:
        woods = ", ".join(dict.fromkeys(wood_name(job.build.material(part.material)) for part in unknown))
        words = (
            f"Not worked out, since no table here has {woods}: {_names(unknown)}. Write species:, or moves: and your "
            "own figure."
        )
        told.append(text(words))
    sheets = [part for part in job.build.parts if not is_solid(job.build.material(part.material))]
    if sheets:
        told.append(text(f"Sheet goods hardly move: {_names(sheets)}."))
    if not job.year.in_range:
        words = (
            "The moisture is outside 6 to 14 %, where the coefficients hold; the change is worked out from the "
            "shrinkage to oven-dry instead, and is less certain."
        )
        own = any(moves.own for moves in job.moves.values())
        told.append(text(words + (" Your own figures go on as a straight line." if own else "")))
    if has_rounds(job):
        words = (
            "Turned work goes slightly oval as it dries: wood shrinks more along the growth rings than "
            "across them: turn tenons from dry wood, and fit them soon."
        )
        told.append(text(words))
    words = (
        "Along the grain wood hardly moves. Figures are averages of the species, for boards sawn purely flat or "
        "quartered: most move less."
    )
    return [*told, text(words)]


def _names(parts: list[Part]) -> str:
    return ", ".join(part.name for part in parts)
