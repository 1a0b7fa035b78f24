"""What to leave on the day of making, drawn at full size: the edge that moves, what it rides in, and the room between.

The room is as large as the figure beside it, so that the drawing can be held against the work: what the build leaves,
where that is enough, else the least.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from fractions import Fraction

from shopdocs.blocks.drawing import Drawing, Line, Point, Polygon, Shape, Stroke, Words
from shopdocs.blocks.scales import SCALES
from shopdocs.blocks.text import Figure
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.measures import figures_pt
from shopdocs.documents.drawn.pictures import moved_all
from shopdocs.documents.fitting.buttons import Section, button_section
from shopdocs.documents.job import Job
from shopdocs.documents.seasons import alike, change, edges_move, room_left, room_to_leave, ties_on
from shopdocs.model.joining import Face
from shopdocs.work.seasons.tie import Beside, Sort, Tie
from shopdocs.work.space.placed import Cuboid

BEYOND = Length(24)  # of the piece, as far as it is drawn
BEHIND = Length(24)  # of what it rides in
DEEP = Length(7)  # of both, where nobody sees how thick they are
TICK = Length(2)  # of the thin lines beside what is measured
ROOM, FLUSH = "Room for the season", "Flush as made; out and back over the year"
WALL = Length(3)  # beside a groove
BELOW, CLEAR = Length(4), Length("0.5")  # a groove, as far as its rail is drawn; a button, where it is measured; paper
OVERHANG = Length(20)  # of a top beyond a button; paper
SECTION_SCALES = SCALES[:3]  # of a button
CLEAR_MM = 3.0


def season_details(job: Job, marks: Collection[str], before: Collection[str] = ()) -> list[Drawing]:
    """A detail for every way in which pieces of these marks are to be left room, or to be left flush; none that stands
    with those of the marks `before` already, for they look the same."""
    drawn = (_detail(job, tie, marks) for tie, pieces, _ in alike(ties_on(job, marks)) if not set(pieces) & set(before))
    return [detail for detail in drawn if detail is not None]


WAYS = {Sort.PANEL: " each side", Sort.HELD: " each way", Sort.GAP: ""}


def _detail(job: Job, tie: Tie, marks: Collection[str]) -> Drawing | None:
    left = room_to_leave(job, tie)
    if left is None:
        return _flush(job, tie) if tie.sort is Sort.SLIDING else None
    rooms, made = room_left(job, tie), _groove(job, tie)
    room = Length(rooms[-1].value if rooms else left.value)
    told = f"at least {left.shown}{WAYS[tie.sort]} now"
    if rooms:
        told = f"{rooms[-1].shown}{WAYS[tie.sort]} now"
    mark = next(mark for mark in tie.riding if mark in marks)
    figures = rooms[-1:] or (left,)
    if tie.sort is Sort.HELD:
        section = button_section(job, tie.through, tie.by[-1])
        if section is not None:
            return _buttoned(section, room, (mark, tie.through), told, figures)
        mark = tie.through
    beside = [one for one in tie.beside if one.gap][-1:]
    if beside and beside[0].where != "beside":
        return _stacked(room, mark, beside[0], told, figures)
    near = beside[0].mark if beside else tie.by[-1]
    shapes = _in_groove(*made, room, mark, near) if made else _before(room, mark, near)
    high = (made[0] if made else DEEP) + WALL * 2
    shapes += _measured((BEHIND, high), (BEHIND + room, high), told)
    return _drawing(ROOM, BEHIND + room + BEYOND, high + TICK * 3, shapes, figures)


def _stacked(room: Length, mark: str, beside: Beside, told: str, figures: tuple[Figure, ...]) -> Drawing:
    """An edge, and what stands over or under it beyond the room."""
    far, over = BEHIND + BEYOND, beside.where == "over"
    low, high = DEEP, DEEP + room
    names = (mark, beside.mark) if over else (beside.mark, mark)
    shapes: list[Shape] = []
    for name, edge, back in ((names[0], low, ZERO), (names[1], high, high + DEEP)):
        ends = ((ZERO, back), (ZERO, edge), (far, edge), (far, back))
        shapes.append(Polygon(ends, fill="tint", closed=True) if name == beside.mark else Polygon(ends, closed=False))
        shapes.append(Words((far / 2, (edge + back) / 2 - Length("1.2")), name))
    shapes += _measured((far, low), (far, high), told)
    return _drawing(ROOM, far, high + DEEP, shapes, figures)


def _buttoned(
    section: Section, room: Length, names: tuple[str, str], told: str, figures: tuple[Figure, ...]
) -> Drawing:
    """A section along a button, at full size where its page has the room."""
    drawn = [_along_button(section, room, names, told, figures, scale) for scale in SECTION_SCALES]
    return replace(drawn[-1], larger=tuple(drawn[:-1]))


def _along_button(
    section: Section,
    room: Length,
    names: tuple[str, str],
    told: str,
    figures: tuple[Figure, ...],
    scale: Fraction,
) -> Drawing:
    """Under the top a button, its tongue in the groove of the rail, its shoulder as far off the rail as the top may
    move that way. The rail is broken off below, the top above and at both ends."""
    button, face = section.button, min(section.whole, BEHIND)
    roof, floor, inner = -section.under, -section.under - section.high, face - section.deep
    low = floor - BELOW / scale
    rail = [(ZERO, low), (ZERO, ZERO), (face, ZERO), (face, roof)]
    rail += [(inner, roof), (inner, floor), (face, floor), (face, low)]
    shoulder, foot = face + room, roof - button.tongue
    far, tip, crown = shoulder + section.body, shoulder - button.out, foot + button.thick
    body = ((tip, foot), (far, foot), (far, crown), (shoulder, crown), (shoulder, roof), (tip, roof))
    end, half = far + OVERHANG / scale, Length("1.2") / scale
    shapes: list[Shape] = [Polygon(tuple(rail), fill="tint", closed=False), Polygon(body)]
    shapes.append(Line((ZERO, ZERO), (end, ZERO), Stroke.VISIBLE))
    shapes.append(Words((inner / 2, low / 2 - half), section.rail))
    shapes.append(Words((far + half, (foot + crown) / 2 - half), names[1], anchor="left"))
    shapes.append(Words((end + half, -half), names[0], anchor="left"))
    under, tick = foot - CLEAR / scale, TICK / scale / 2
    shapes += _measured((face, under), (shoulder, under), told, -tick)
    moved = max(-low, -under + tick * 3)
    back = moved_all(shapes, (ZERO, -moved))
    return _drawing(ROOM, end, moved + half, [*back], figures, scale)


def _measured(start: Point, end: Point, told: str, tick: Length = TICK) -> list[Shape]:
    """Two thin lines from the places, a line across them and on to the words: one row, as beside a piece; over the
    places, or under them where `tick` is less than nothing."""
    (x0, y0), (x1, y1) = start, end
    long = abs(tick)
    drop = long / 2
    if y0 == y1:
        over = y0 + tick * 2
        ends = [((x0, y0), (x0, over + tick)), ((x1, y1), (x1, over + tick)), ((x0, over), (x1 + long * 2, over))]
        words = Words((x1 + long * 2, over - drop), told, figures_pt(told, 9.0), "left", dx_mm=1.0)
    else:
        ends = [((x0, y0), (x0 + long * 2, y0)), ((x1, y1), (x1 + long * 2, y1))]
        words = Words((x1 + long * 2, (y0 + y1) / 2 - drop), told, figures_pt(told, 9.0), "left", dx_mm=1.0)
    return [*(Line(low, high, Stroke.THIN) for low, high in ends), words]


def _drawing(
    name: str,
    wide: Length,
    high: Length,
    shapes: list[Shape],
    figures: tuple[Figure, ...],
    scale: Fraction = Fraction(1),
) -> Drawing:
    return Drawing(name, wide, high, tuple(shapes), scale=scale, clear_mm=CLEAR_MM, figures=figures)


def _flush(job: Job, tie: Tie) -> Drawing:
    """The end of a panel beside the cross piece that it slides on, and where its edge will stand over the year."""
    name, (grown, shrunk) = f"{tie.part} · season", edges_move(job, tie)
    level = DEEP + shrunk
    far = BEHIND + BEYOND
    shapes: list[Shape] = [Polygon(((ZERO, ZERO), (BEHIND, ZERO), (BEHIND, level), (ZERO, level)), fill="tint")]
    shapes.append(Polygon(((BEHIND, ZERO), (far, ZERO), (far, level), (BEHIND, level)), closed=False))
    shapes += [Line((BEHIND, y), (far, y), Stroke.HIDDEN) for y in (level + grown, level - shrunk)]
    out, back = (change(name, value, job.display, tie.at) for value in (grown, shrunk))
    shapes += _measured((far, level), (far, level + grown), f"{out.shown} out") if grown else []
    shapes += _measured((far, level - shrunk), (far, level), f"{back.shown} back") if shrunk else []
    shapes.append(Words((BEHIND / 2, level / 2 - Length("1.2")), tie.by[0]))
    shapes.append(Words((BEHIND + BEYOND / 2, DEEP / 2 - Length("1.2")), tie.mark))
    return _drawing(FLUSH, far, level + grown, shapes, (out, back))


def _groove(job: Job, tie: Tie) -> tuple[Length, Length, Length, Length] | None:
    """Thickness of the tongue and of its piece, length of the tongue, depth of its groove; None where none is known."""
    if tie.sort is not Sort.PANEL or job.space is None or tie.mark not in job.space.pieces:
        return None
    for _, meeting in job.meets[tie.mark]:
        made = job.space.joinery.get(meeting.number)
        if made is not None and meeting.entering == tie.mark and made.enters in (Face.EDGE, Face.FAR_EDGE):
            tongue = next((f for f in made.entering if isinstance(f, Cuboid) and f.adds), None)
            if tongue is not None:
                return tongue.size[2], job.space.pieces[tie.mark].thickness, made.added, made.added + made.room
    return None


def _in_groove(
    thick: Length, whole: Length, long: Length, deep: Length, room: Length, mark: str, beside: str
) -> list[Shape]:
    """A section: the groove with its two walls, and the tongue as far out of its floor as the room is."""
    low, high = WALL, WALL + thick
    floor, mouth, tip = BEHIND, BEHIND + deep, BEHIND + room
    top = high + WALL
    outer = [(ZERO, ZERO), (mouth, ZERO), (mouth, low), (floor, low), (floor, high), (mouth, high), (mouth, top)]
    shapes: list[Shape] = [Polygon((*outer, (ZERO, top)), fill="tint")]
    far, more = BEHIND + room + BEYOND, max(whole - thick, ZERO) / 2
    shoulder = tip + long
    edge = [(far, low - more), (shoulder, low - more), (shoulder, low), (tip, low)]
    edge += [(tip, high), (shoulder, high), (shoulder, high + more), (far, high + more)]
    shapes.append(Polygon(tuple(edge), closed=False))
    shapes.append(Words((floor / 2, (low + high) / 2 - Length("1.2")), beside))
    shapes.append(Words(((max(shoulder, mouth) + far) / 2, (low + high) / 2 - Length("1.2")), mark))
    return shapes


def _before(room: Length, mark: str, beside: str) -> list[Shape]:
    """An edge, and beyond the room what stands beside it."""
    high, far = DEEP + WALL, BEHIND + room + BEYOND
    near = BEHIND + room
    shapes: list[Shape] = [Polygon(((ZERO, ZERO), (BEHIND, ZERO), (BEHIND, high), (ZERO, high)), fill="tint")]
    shapes.append(Polygon(((far, WALL), (near, WALL), (near, high), (far, high)), closed=False))
    shapes.append(Words((BEHIND / 2, high / 2 - Length("1.2")), beside))
    shapes.append(Words(((near + far) / 2, (high + WALL) / 2 - Length("1.2")), mark))
    return shapes
