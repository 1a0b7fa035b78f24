"""Pieces that lean and the mortises bored for them: from plumb, off square and along the sight line, in a table, and a
guide at full size to prick each of them through.

Two conventions meet here, and each column says its own. A lean counts from plumb, in the front view (splay) and in the
side view (rake). A boring counts off square to the face that is bored, along its sight line.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction

from shopdocs.blocks.drawing import CentreMark, Drawing, FullScale, Line, Point, Polygon, Shape, Stroke, Words
from shopdocs.blocks.text import Cell, Column, Figure, Group, Row, Table
from shopdocs.core.display import trimmed
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.core.turn import Boring, near
from shopdocs.documents.drawn.paper_room import PaperRoom
from shopdocs.documents.figures import count_figure, length_figure, marks_text
from shopdocs.documents.fitting.askew_cuts import Askew, askew_cuts, askew_holes
from shopdocs.documents.fitting.off_square import SEEN, across_words, along_word
from shopdocs.documents.job import Job
from shopdocs.model.joining import FACE_NAMES, Face, the_face
from shopdocs.model.parts import Lean
from shopdocs.work.space.features import FINE
from shopdocs.work.space.placed import PlacedPiece, Slant, face_of, side_of

LEANING = (
    "Splay, rake and lean count from plumb. The lean is the true angle of a leg from plumb, in the plane of its sight "
    "line. Some makers count the sight line from the left-right line, others from the front-to-rear line: both stand "
    "here. Mark out every mortise and shoulder from the squared blank, before an end is sawn level."
)
BORING = (
    "To bore: draw the sight line through the centre, on the face named. Set a bevel to the angle off square and lay "
    "its stock on the face along the sight line. The hole goes in toward the faces named; blade and bit lean the other "
    "way. Keep the bit in line with the blade and with a square stood on the sight line. Try one in scrap. Bore from "
    "the face named."
)
STOPPED = " Stopped holes: mark the depth on the bit, along its own line."
THROUGH = " Through holes: stop when the point shows, and finish from the other side."
NEAR_EDGE = Length(120)  # a guide reaches to an edge or an end that lies no farther from the middle of its hole
AROUND = Length(34)  # of wood that a guide shows round a hole where it reaches no edge


def holes_at_an_angle(job: Job) -> list[Askew]:
    """Every mortise and hole that does not go in square: by the number of its joint, then those of hardware."""
    made: list[Askew] = [*askew_cuts(job), *askew_holes(job)]
    every = [hole for hole in made if hole.angles.off > SEEN and not hole.in_line]
    return sorted(every, key=lambda hole: (not hole.number, hole.number))


def leans_table(job: Job) -> Table | None:
    """What leans, and how far; None where nothing does."""
    alike: dict[tuple[Fraction, Fraction, Length], list[tuple[str, Lean]]] = {}
    for _, piece in job.build.pieces():
        lean = piece.place.lean if piece.place is not None else None
        if lean is not None:
            alike.setdefault((abs(lean.right), abs(lean.rear), lean.height), []).append((piece.mark, lean))
    if not alike:
        return None
    columns = (
        Column("Leaning", share=0.8, strong=True),
        *(Column(f"{name}, °", "right", share=0.5) for name in ("Splay", "Rake", "Lean")),
        Column("Sight line from left-right, °", "right", share=0.8),
        Column("from front-rear, °", "right", share=0.7),
        Column(f"Plumb height, {job.display.units}", "right", share=0.6),
        Column(f"Along its middle, {job.display.units}", "right", share=0.7),
    )
    rows = []
    for (right, rear, height), pieces in alike.items():
        marks, lean = [mark for mark, _ in pieces], pieces[0][1]
        name, found = f"lean of {marks[0]}", Boring.of(right, rear)
        angles = (
            ("splay", math.degrees(math.atan(right))),
            ("rake", math.degrees(math.atan(rear))),
            ("from plumb", found.resultant),
            ("sight line from left-right", found.sight_across),
            ("sight line from front-rear", found.sight),
        )
        long = near(height.float_mm() / lean.turn.z[2])
        rows.append(
            Row(
                (
                    Cell.of(marks_text(marks, 12)),
                    *(Cell.of(angle_figure(f"{name} · {what}", value, lean.at)) for what, value in angles),
                    Cell.of(length_figure(f"{name} · height", height, job.display, lean.at)),
                    Cell.of(length_figure(f"{name} · along it", long, job.display, lean.at)),
                )
            )
        )
    return Table("leaning", columns, (Group(tuple(rows)),))


def angle_figure(name: str, degrees: float, at: Position = NOWHERE) -> Figure:
    """Degrees to 1/100."""
    value = Fraction(degrees)
    return Figure(name, trimmed(value, 2), value, "degrees", at)


def borings_table(job: Job) -> Table | None:
    """How every mortise goes in; None where all go in square."""
    holes = holes_at_an_angle(job)
    if not holes:
        return None
    alike: dict[tuple[object, ...], list[Askew]] = {}
    for hole in holes:
        alike.setdefault(_setting(hole), []).append(hole)
    columns = (
        Column("Bored in", share=0.9, strong=True),
        Column("For", share=0.6),
        Column("Off square, °", "right", share=0.5, strong=True),
        Column("From the face, °", "right", share=0.5),
        Column("Sight line", "right", share=0.9),
        Column("Goes in toward", share=1.8),
        Column("Holes", "right", share=0.1),
    )
    return Table("boring", columns, (Group(tuple(_row(job, group) for group in alike.values())),))


def _setting(hole: Askew) -> tuple[object, ...]:
    found, slant = hole.angles, hole.slant
    return (
        hole.piece.part,
        "" if hole.number else hole.enters,
        slant.thick,
        slant.wide,
        slant.face,
        round(found.off, 2),
        round(found.sight, 2),
        round(found.turned, 2),
    )


def _row(job: Job, holes: list[Askew]) -> Row:
    first = holes[0]
    found, slant = first.angles, first.slant
    name = f"mortise of {first.called}"
    size = across_words(slant, job.display)
    toward = _toward(holes)
    sight = angle_figure(f"{name} · sight line", found.sight, first.at)
    pieces = list(dict.fromkeys(hole.piece.mark for hole in holes))
    turned = found.turned
    also = (", itself ", angle_figure(f"{name} · turned", turned, first.at), "°") if turned else ()
    return Row(
        (
            Cell.of(f"{marks_text(pieces, 6)}, {FACE_NAMES[slant.face]}"),
            Cell.of(f"{size}, {_entering(holes)}"),
            Cell.of(angle_figure(f"{name} · off square", found.off, first.at)),
            Cell.of(angle_figure(f"{name} · from the face", 90 - found.off, first.at)),
            Cell.of(sight, f"° off the {along_word(slant.face)}", *also),
            Cell.of(toward),
            Cell.of(count_figure(f"{name} · holes", len(holes), first.at)),
        )
    )


def _entering(holes: list[Askew]) -> str:
    """The pieces that go into mortises, or the hardware that holes are for."""
    return marks_text(list(dict.fromkeys(hole.enters for hole in holes)), 8)


def _toward(holes: list[Askew]) -> str:
    """The faces that the floors lie nearer to; by the piece that goes in where they differ."""
    by_way: dict[str, list[str]] = {}
    for hole in holes:
        by_way.setdefault(" and ".join(map(the_face, hole.angles.toward)), []).append(hole.enters)
    if len(by_way) == 1:
        return next(iter(by_way))
    return "; ".join(f"{marks_text(marks, 6)} {way}" for way, marks in by_way.items())


def boring_words(job: Job) -> str:
    """How to bore them, with what only a hole right through or only a stopped one needs."""
    deeps = [hole.slant.deep for hole in holes_at_an_angle(job)]
    return BORING + (THROUGH if None in deeps else "") + (STOPPED if any(deep is not None for deep in deeps) else "")


INSIDE_PT = (11.0, 9.0, 8.0)  # what a guide is for, as large as there is room
LINE_MM = 5.0
STEPS = 24  # along a line that words keep off


def guides(job: Job) -> Iterator[FullScale]:
    """A guide at full size for each mortise at an angle; one serves all pieces that are bored alike."""
    told: dict[tuple[object, ...], list[Askew]] = {}
    for hole in holes_at_an_angle(job):
        if not hole.sawn:  # on an end off square no paper lies square
            told.setdefault((hole.piece.part, hole.piece.pose.right_handed, hole.slant), []).append(hole)
    for holes in told.values():
        yield _guide(job, holes)


def _guide(job: Job, holes: list[Askew]) -> FullScale:
    hole = holes[0]
    slant, piece = hole.slant, hole.piece
    axis = side_of(slant.face)[0]
    first, second = (k for k in range(3) if k != axis)
    window = {k: _window(slant.centre[k], piece.size[k], slant.thick) for k in (first, second)}
    mirrored = runs_left(piece, slant.face)

    def at(a: Length, b: Length) -> Point:
        """A place of the face as it is seen from outside."""
        x, y = a - window[first][0], b - window[second][0]
        return (window[first][1] - window[first][0] - x if mirrored else x), y

    wide, tall = (window[k][1] - window[k][0] for k in (first, second))
    shapes: list[Shape] = [
        Polygon(
            (
                at(window[first][0], window[second][0]),
                at(window[first][1], window[second][0]),
                at(window[first][1], window[second][1]),
                at(window[first][0], window[second][1]),
            ),
            Stroke.HIDDEN,
        )
    ]
    shapes += _edges(piece, (first, second), window, at)
    if first == 0 and window[0][0] > ZERO and window[0][1] < piece.size[0]:
        beside = at(window[0][0] + Length(2), slant.centre[second])  # the arrow ends short of it
        words = "to end A →" if mirrored else "← to end A"
        shapes.append(Words(beside, words, 7.0, "right" if mirrored else "left", strong=True))
    rim = [at(near(spot[first]), near(spot[second])) for spot in slant.mouth(steps=FINE)]
    shapes.append(Polygon(tuple(rim), Stroke.VISIBLE))
    shapes += _sight(slant, (first, second), at)
    shapes.append(CentreMark(at(slant.centre[first], slant.centre[second]), slant.thick / 2 + Length(4)))
    found = hole.angles
    name = f"guide of {hole.called}"
    # it is measured from the ends and edges that the guide lies on, which for those far off are end A and the face edge
    high = {k: window[k][0] > ZERO and window[k][1] == piece.size[k] for k in (first, second)}
    off_by = {k: piece.size[k] - slant.centre[k] if high[k] else slant.centre[k] for k in (first, second)}
    along, across = (
        length_figure(f"{name} · {what}", off_by[k], job.display, hole.at, unit=True)
        for what, k in (("along", first), ("across", second))
    )
    off = angle_figure(f"{name} · off square", found.off, hole.at)
    sight = angle_figure(f"{name} · sight line", found.sight, hole.at)
    size = across_words(slant, job.display)
    deep = "through" if slant.deep is None else f"{job.display.bare(slant.deep)} deep along its own line"
    marks = list(dict.fromkeys(one.piece.mark for one in holes))
    facts = (
        f"{size}, {deep}, from {the_face(slant.face)}",
        f"{off.shown}° off square, bored the way the arrow points",
        f"sight line {sight.shown}° off the {along_word(slant.face)}",
        f"centre {along.shown} from {the_face(face_of(first, high[first]))}, "
        f"{across.shown} from {the_face(face_of(second, high[second]))}",
        _serves(holes),
    )
    lines = (
        f"{marks_text(marks, 8)} · {FACE_NAMES[slant.face]}",
        _serves(holes),
        f"{size} · {off.shown}° · {'through' if slant.deep is None else deep.removesuffix(' along its own line')}",
    )
    shapes += _named_inside(shapes, (wide, tall), lines)
    drawing = Drawing("", wide, tall, tuple(shapes))
    title = f"Guide for {marks_text(marks, 8)}, {FACE_NAMES[slant.face]}"
    return FullScale(
        title, drawing, facts, f"guide-{hole.number or f'{hole.piece.mark}-{hole.enters}'}", (along, across, off, sight)
    )


def _named_inside(shapes: Sequence[Shape], size: tuple[Length, Length], lines: Sequence[str]) -> Iterator[Shape]:
    """What a guide is for, inside the line that it is cut along: four guides of one piece look alike once they are cut
    out. What finds no room stands beside it, with all the rest."""
    room = PaperRoom(size[0].float_mm(), size[1].float_mm())
    for shape in shapes:
        if isinstance(shape, Line):
            (a, b), (c, d) = shape.start, shape.end
            for share in (Fraction(step, STEPS) for step in range(STEPS + 1)):
                room.keep_off((a + (c - a) * share, b + (d - b) * share), 1.6, 1.6)
        elif isinstance(shape, Words):
            room.keep_off(shape.at, len(shape.text) * 1.8, 2.4)
        elif isinstance(shape, CentreMark):
            reach = shape.reach.float_mm() + 1.0
            room.keep_off(shape.centre, reach, reach)
    for number, line in enumerate(lines):
        yield from room.set(line, INSIDE_PT, (room.wide / 2, room.high * 0.8 - LINE_MM * number), (0,))


def _serves(holes: list[Askew]) -> str:
    """The joints that a guide serves, with the pieces that enter there; or the hardware."""
    if not holes[0].number:
        return f"for the {holes[0].enters}"
    told = f"joint{'s' if len(holes) > 1 else ''} {', '.join(str(one.number) for one in holes)}: "
    return told + marks_text([one.enters for one in holes], 8)


def _window(centre: Length, whole: Length, thick: Length) -> tuple[Length, Length]:
    """The stretch of a face that a guide shows: to an edge or an end that is near, else a little way round."""
    low, high = centre - thick / 2 - AROUND, centre + thick / 2 + AROUND
    if centre <= NEAR_EDGE and centre <= whole - centre:
        low = ZERO
    elif whole - centre <= NEAR_EDGE:
        high = whole
    return max(low, ZERO), min(high, whole)


def _edges(
    piece: PlacedPiece,
    axes: tuple[int, int],
    window: dict[int, tuple[Length, Length]],
    at: Callable[[Length, Length], Point],
) -> Iterator[Shape]:
    """The edges and ends of the face that the guide reaches, heavy, with their names."""
    first, second = axes
    for k, other in ((first, second), (second, first)):
        for high in (False, True):
            level = piece.size[k] if high else ZERO
            if window[k][high] != level:
                continue
            ends = [at(*((level, end) if k == first else (end, level))) for end in window[other]]
            yield Line(ends[0], ends[1], Stroke.REFERENCE)
            middle = tuple((a + b) / 2 for a, b in zip(*ends, strict=True))
            yield Words((middle[0], middle[1]), FACE_NAMES[face_of(k, high)].upper(), 7.0, strong=True, boxed=True)


def _sight(slant: Slant, axes: tuple[int, int], at: Callable[[Length, Length], Point]) -> Iterator[Shape]:
    """The sight line with an arrow to where the floor of the mortise goes."""
    flat = [slant.way[k] for k in axes]
    long = math.hypot(*flat)
    reach = slant.thick.float_mm() / 2 + 16
    a, b = flat[0] / long, flat[1] / long
    spots = []
    for along, aside in ((-reach, 0.0), (reach, 0.0), (reach - 4, 1.6), (reach - 4, -1.6)):
        spots.append(
            at(
                near(slant.centre[axes[0]].float_mm() + along * a - aside * b),
                near(slant.centre[axes[1]].float_mm() + along * b + aside * a),
            )
        )
    yield Line(spots[0], spots[1], Stroke.CENTRE)
    yield Polygon((spots[1], spots[2], spots[3]), Stroke.VISIBLE, "ink")


def runs_left(piece: PlacedPiece, face: Face) -> bool:
    """Whether the first axis of a face runs to the left where its second runs up, as one looks at it from outside.

    It runs to the right where first, second and the way out of the face follow the right-hand rule. In a right-handed
    piece along, across and deep do; on an edge along and deep with the way to the face edge do."""
    axis, high = side_of(face)
    sense = (1 if piece.pose.right_handed else -1) * (-1 if axis == 1 else 1)
    return (sense > 0) != high
