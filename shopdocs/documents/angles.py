"""Angles to set: every bevel of a build that has ends off square, with a full-size figure to lay a sliding bevel on.

All angles count from square, 0 for a square cut; what a gauge shows that counts from the edge stands beside.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from msgspec import Struct, field

from shopdocs.blocks.drawing import Drawing, FullScale, Line, Polygon, Shape, Stroke, Words
from shopdocs.blocks.sheets import Block, Document, Together
from shopdocs.blocks.text import Caution, Cell, Column, Figure, Group, Heading, Paragraph, Row, Table, Weight, text
from shopdocs.core.angle import Angle, tilt_on_edge
from shopdocs.core.display import trimmed
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position
from shopdocs.documents import let_ins
from shopdocs.documents.borings import LEANING, boring_words, borings_table, guides, holes_at_an_angle, leans_table
from shopdocs.documents.end_cuts import has_end_cuts
from shopdocs.documents.figures import count_figure, marks_text
from shopdocs.documents.fitting.askew_cuts import Askew
from shopdocs.documents.fitting.laid_on import laid_on
from shopdocs.documents.fitting.off_square import MOST_ACROSS, along_word
from shopdocs.documents.job import Job
from shopdocs.documents.let_ins import TIPPED, end_lines, laps_askew, tilts_table
from shopdocs.facts.cautions import DRILLING
from shopdocs.model.cutting import CutKind, CutPlace, OwnCut
from shopdocs.model.joining import Face, Joint, the_face
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.joint_names import Trait
from shopdocs.work.space.let_in import off_square
from shopdocs.work.space.placed import PIECE_AXES, Cuboid, side_of

HOW_TO = (
    "Every angle counts from square: a square cut is 0°. Where your gauge or saw counts from the edge, or shows 90 for "
    "a square cut, set the second figure. To set a sliding bevel, hold its stock against the outer side of the heavy "
    "line, the pivot at the dot, and turn the blade to the slanting line; try it on scrap before you saw."
)
COMPOUND = (
    " For a compound cut knife both lines, the one on the face and the one on the edge; a saw that tilts takes the "
    "line on the face and the tilt instead. A blade's tilt counts from upright."
)
LONG, HIGH, RADIUS = Length(95), Length(64), 38.0  # of a figure, and of the arc in it, millimetres
# What a bevel is held to for a line so many degrees off the length, or off the width: what that runs square to.
STOCK_ON = {"length": "on the end", "width": "on the edge"}
SAME = 100  # parts of a degree: finer is no figure of its own
# Degrees from the steepest to the least steep of one setting. Along 100 mm of a bevel's blade it is 0.09 mm, half a
# knife line's width: finer nobody sets it (common practice, no source).
ALIKE = Fraction(1, 20)
JOINED = f" Angles up to {trimmed(ALIKE, 2)}° apart are one setting, half-way between them: no bevel tells them apart."
_MITRE_FACE, _MITRE_EDGE = "mitre, line across the face", "mitre, line across the edge"
_ACROSS, _THROUGH = "line across the face", "line across the edge"
_COMPOUND_FACE, _COMPOUND_EDGE, _TILT = "compound cut, line on the face", "compound cut, line on the edge", "blade tilt"


class _Setting(Struct, dict=True):
    """One angle and what it is set for: for each use the pieces, how often, and one place in the source."""

    angle: Angle
    uses: dict[str, list[str]] = field(default_factory=dict)
    at: Position = field(default_factory=lambda: Position("", 0, 0))
    joined: bool = False  # half-way between several, each told with its uses


def angles(job: Job) -> Document:
    """The table of all settings, then a figure for each."""
    settings = _settings(job)
    table = Table(
        "angles",
        (
            Column("", "right", strong=True, share=0.1),
            Column("Off square, °", "right", share=0.2, strong=True),
            Column("From the edge, °", "right", share=0.2),
            Column("Slope, 1 in", "right", share=0.2),
            Column("For", share=1.6),
            Column("Pieces", share=1.2),
            Column("Cuts", "right", share=0.1),
        ),
        (Group(tuple(row for number, one in enumerate(settings, 1) for row in _rows(number, one))),),
    )
    blocks: list[Block] = [table, Paragraph(text(_how_to(settings)))]
    if leaning := leans_table(job):
        blocks.append(Together((Heading("Pieces that lean", 2), leaning, Paragraph(text(LEANING), Weight.QUIET))))
    if borings := borings_table(job):
        caution = Caution(DRILLING.title, DRILLING.text)
        blocks.append(
            Together(
                (Heading("Mortises and holes at an angle", 2), borings, Paragraph(text(boring_words(job))), caution)
            )
        )
    if tipped := tilts_table(job):
        blocks.append(Together((Heading("Boards that are tipped", 2), tipped, Paragraph(text(TIPPED), Weight.QUIET))))
    blocks += [_figure(number, one) for number, one in enumerate(settings, 1)]
    blocks += guides(job)
    blocks += let_ins.guides(job)
    question = "What do I set the sliding bevel to, and where is it used?"
    return Document("angles", "Angles to set", question, tuple(blocks))


def _how_to(settings: list[_Setting]) -> str:
    """What every angle needs, and what only some do."""
    compound = any(use.startswith((_COMPOUND_FACE, _TILT)) for one in settings for use in one.uses)
    return HOW_TO + (COMPOUND if compound else "") + (JOINED if any(one.joined for one in settings) else "")


def _settings(job: Job) -> list[_Setting]:
    found: dict[int, _Setting] = {}
    for cut in job.build.cuts:
        for place in cut.on:
            for angle, use in _of(cut, place):
                one = found.setdefault(round(angle.degrees * SAME), _Setting(angle, at=place.at))
                one.uses.setdefault(use, []).append(place.piece)
    for piece, feature, joint in _sloping_joints(job):
        for angle, use in _of_joint(feature, KINDS[joint.kind].sloped):
            one = found.setdefault(round(angle.degrees * SAME), _Setting(angle, at=joint.at))
            one.uses.setdefault(use, []).append(piece)
    for hole in holes_at_an_angle(job):
        for degrees, use in _of_boring(hole):
            one = found.setdefault(round(degrees * SAME), _Setting(Angle.of_degrees(degrees), at=hole.at))
            one.uses.setdefault(use, []).append(hole.piece.mark)
    for line in end_lines(job):
        one = found.setdefault(round(line.off * SAME), _Setting(Angle.of_degrees(line.off), at=line.at))
        one.uses.setdefault(f"{line.kind}, line of a tipped board's end", []).append(line.side)
    for laid in laid_on(job):
        if laid.slants:
            off = laid.off if laid.off <= MOST_ACROSS else 90 - laid.off
            one = found.setdefault(round(off * SAME), _Setting(Angle.of_degrees(off), at=laid.at))
            way = "across" if laid.off <= MOST_ACROSS else "along"
            one.uses.setdefault(f"{laid.kind}, line {way} the face that {laid.laid} is laid to", []).append(laid.on)
    for lap in laps_askew(job):
        off = off_square(lap.cuboid)
        across = off <= MOST_ACROSS
        off = off if across else 90 - off
        one = found.setdefault(round(off * SAME), _Setting(Angle.of_degrees(off), at=lap.at))
        use = f"{lap.cuboid.kind}, line {'across' if across else 'along'} the face"
        one.uses.setdefault(use, []).append(lap.piece.mark)
    alike: list[list[_Setting]] = []
    for _, one in sorted(found.items(), reverse=True):
        if alike and alike[-1][0].angle.degrees - one.angle.degrees <= ALIKE:
            alike[-1].append(one)
        else:
            alike.append([one])
    return [_joined(some) for some in alike]


def _joined(some: list[_Setting]) -> _Setting:
    """Settings that no bevel tells apart as one, each use with its own angle."""
    first, last = some[0], some[-1]
    if first is last:
        return first
    middle = Angle.of_degrees((first.angle.degrees + last.angle.degrees) / 2)
    uses = {
        f"{use}, {trimmed(Fraction(one.angle.degrees), 2)}°": marks for one in some for use, marks in one.uses.items()
    }
    return _Setting(middle, uses, first.at, joined=True)


def _sloping_joints(job: Job) -> Iterator[tuple[str, Cuboid, Joint]]:
    """The tails and the mitres of joints, with their pieces."""
    joints = {str(meeting.number): joint for joint, meeting in job.build.meetings()}
    for mark, piece in (job.space.pieces if job.space is not None else {}).items():
        for cuboid in piece.cuboids:
            if cuboid.flare is not None and not cuboid.flare.arc and cuboid.joint in joints:
                yield mark, cuboid, joints[cuboid.joint]


def _of_joint(feature: Cuboid, sloped: str) -> Iterator[tuple[Angle, str]]:
    """The slope of both sides of a tail, and that of a mitre; sockets are scribed from their tails."""
    flare = feature.flare
    assert flare is not None
    angle = Angle(flare.by / feature.size[side_of(flare.at)[0]]) if flare.by else None
    if angle is not None and feature.adds and Trait.TAILED in feature.kind.traits:
        yield from ((angle, sloped),) * 2
    elif angle is not None and Trait.MEETS_SLOPE in feature.kind.traits:
        third = 3 - PIECE_AXES.index(flare.axis) - side_of(flare.at)[0]
        yield angle, _MITRE_FACE if third == 2 else _MITRE_EDGE


def has_angles(job: Job) -> bool:
    """Whether any end is sawn off square, any joint slopes, or any mortise goes in at an angle."""
    sloping = any(
        True for _, feature, joint in _sloping_joints(job) for _ in _of_joint(feature, KINDS[joint.kind].sloped)
    )
    return (
        has_end_cuts(job)
        or sloping
        or bool(holes_at_an_angle(job))
        or tilts_table(job) is not None
        or any(laps_askew(job))
    )


def _of_boring(hole: Askew) -> Iterator[tuple[float, str]]:
    """The angles that a mortise is bored or chopped to."""
    found = hole.angles
    way = "boring" if hole.slant.wide is None else "chopping"
    lone = len(found.toward) == 1
    yield found.off, f"{way} off square" if lone else f"{way} off square, the bevel on the sight line"
    if not lone and found.sight < 90:
        yield found.sight, f"sight line, the stock {STOCK_ON[along_word(hole.slant.face)]}"
    if found.turned:
        yield found.turned, f"mortise, the stock {STOCK_ON[along_word(hole.slant.face)]}"


def _of(cut: OwnCut, place: CutPlace) -> Iterator[tuple[Angle, str]]:
    """The angles that one cut is set to, and what each is."""
    if cut.kind is CutKind.END_CUT and cut.angle is not None:
        if cut.tilt is not None:
            yield cut.angle, _COMPOUND_FACE
            yield tilt_on_edge(cut.angle, cut.tilt), _COMPOUND_EDGE
            yield cut.tilt, _TILT
        else:
            yield cut.angle, _ACROSS if place.second in (Face.EDGE, Face.FAR_EDGE) else _THROUGH
    elif cut.kind is CutKind.TAPER and cut.depth is not None and cut.width is not None:
        yield Angle(cut.depth / cut.width), f"taper of {the_face(place.face)}, off the straight piece"
    elif cut.kind is CutKind.BEVEL and cut.depth is not None and cut.width is not None:
        yield Angle(cut.width / cut.depth), f"bevel, the stock on {the_face(place.face)}"


def _rows(number: int, one: _Setting) -> Iterator[Row]:
    name = f"angle {number}"
    square, edge, slope = _figures(name, one)
    for count, (use, marks) in enumerate(one.uses.items()):
        head = (Cell.of(str(number)), Cell.of(square), Cell.of(edge), Cell.of(slope)) if not count else (Cell(),) * 4
        each = count_figure(f"{name} · {use} · cuts", len(marks), one.at)
        yield Row((*head, Cell.of(use), Cell.of(marks_text(list(dict.fromkeys(marks)), 12)), Cell.of(each)))


def _figures(name: str, one: _Setting) -> tuple[Figure, Figure, Figure]:
    degrees = Fraction(one.angle.degrees)
    return (
        Figure(f"{name} · off square", trimmed(degrees, 2), degrees, "degrees", one.at),
        Figure(f"{name} · from the edge", trimmed(90 - degrees, 2), 90 - degrees, "degrees", one.at),
        Figure(f"{name} · slope", trimmed(one.angle.one_in, 2), one.angle.one_in, "length to 1 off", one.at),
    )


def _figure(number: int, one: _Setting) -> FullScale:
    """The angle at full size: the edge, square to it a dashed line, and the line that slants."""
    square, edge, slope = _figures(f"angle {number}", one)
    turn = math.radians(one.angle.degrees)
    foot = LONG.float_mm() * 0.3
    long = min(HIGH.float_mm() / math.cos(turn), (LONG.float_mm() - foot) / math.sin(turn))
    vertex = (_at(foot), ZERO)
    top = (_at(foot + long * math.sin(turn)), _at(long * math.cos(turn)))
    middle = turn / 2
    shapes: list[Shape] = [
        Line((ZERO, ZERO), (LONG, ZERO), Stroke.REFERENCE, "right"),
        Line(vertex, (vertex[0], HIGH), Stroke.CENTRE),
        Line(vertex, top),
        Polygon(tuple(_arc(foot, turn * k / 24) for k in range(25)), Stroke.THIN, closed=False),
        Polygon(tuple(_dot(foot, k) for k in range(12)), Stroke.VISIBLE, "ink"),
        Words((ZERO, ZERO), "EDGE", 8.0, "left", strong=True, dx_mm=1.0, dy_mm=-3.2),
    ]
    told = f"{square.shown}°"
    if turn > math.radians(24):
        at = (_at(foot + (RADIUS - 9) * math.sin(middle)), _at((RADIUS - 9) * math.cos(middle)))
        shapes.append(Words(at, told, 12.0, strong=True, boxed=True))
    else:
        beyond = _at(foot + RADIUS * math.sin(turn)), _at(RADIUS * math.cos(turn))
        shapes.append(Words(beyond, told, 12.0, "left", strong=True, dx_mm=2.0))
    drawing = Drawing("", LONG, HIGH, tuple(shapes))
    facts = (
        f"{square.shown}° off square, {edge.shown}° from the edge, 1\u00a0in\u00a0{slope.shown}",
        *(
            f"{use[:1].upper()}{use[1:]}: {marks_text(list(dict.fromkeys(marks)), 12)}"
            for use, marks in one.uses.items()
        ),
    )
    return FullScale(f"Angle {number}", drawing, facts, f"angle-{number}", (square, edge, slope))


def _at(mm: float) -> Length:
    return Length(Fraction(round(mm * 10_000), 10_000))


def _arc(foot: float, turn: float) -> tuple[Length, Length]:
    return _at(foot + RADIUS * math.sin(turn)), _at(RADIUS * math.cos(turn))


def _dot(foot: float, k: int) -> tuple[Length, Length]:
    return _at(foot + 0.8 * math.cos(k * math.pi / 6)), _at(0.8 * math.sin(k * math.pi / 6))
