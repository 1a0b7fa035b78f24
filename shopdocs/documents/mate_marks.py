"""What to pencil inside each joint, so that the number is there when the labels come off and gone when the glue is in.

A mark goes where the two pieces lie against each other, on the cheek of a tenon, under a shoulder, on a wall of the
mortise, or where they face each other across the room that is left at the end of a tenon or a tongue. That it cannot
show is not a rule of thumb here: the place is taken from the rectangle the two pieces share.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, Document, SideBySide, Together
from shopdocs.blocks.text import Bullets, Cell, Column, Group, Heading, Paragraph, Row, Table, Weight, plain, text
from shopdocs.core.box import Box, Ticks, Touch
from shopdocs.core.length import Length
from shopdocs.documents.drawn.mate_sketch import Patch, mate_sketch
from shopdocs.documents.drawn.mate_slant import mitred
from shopdocs.documents.figures import marks_text, strips_text
from shopdocs.documents.fitting.alike import TOWARD, Alike
from shopdocs.documents.fitting.crossed_holes import pin_lines
from shopdocs.documents.fitting.mate_places import (
    LIGHTLY,
    WITHIN_REACH,
    Joined,
    beside_mortise,
    in_joint,
    in_narrow_groove,
    on_body,
)
from shopdocs.documents.fitting.twin_stages import stages_title, twin_stages
from shopdocs.documents.fitting.wording import numbers_text, stepped_text
from shopdocs.documents.job import Job
from shopdocs.documents.noting import joint_notes
from shopdocs.documents.piece_drawings import has_piece_drawings
from shopdocs.model.joining import Face, Joint, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.contacts import Pair
from shopdocs.work.space.placed import PlacedPiece, Spot

HOW = (
    "With a soft pencil, at the dry fit and before any label comes off, write the joint's number with an arrow on both "
    "places named. Pieces match when their numbers are the same and their arrows point the same way."
)
RUB_OUT = " Where it says lightly, the mark stays in sight: rub it out when the glue has set."
LEGIBLE = Length(6)  # wood that a pencilled number needs both ways (common practice, no source)
ROOMY = Length(12)  # and one of the two ways with an arrow beside it
PAGE_MM, AIR_MM = 178.0, 6.0  # the width of a page, and what parts a sketch from the next
NAME_MM = 1.8  # a letter of its name
ROWS_TIED = 2  # of sketches, that are not parted
MOST_LEFT = 0.2  # of a row of sketches
_END = re.compile(r"\b(shoulder|end) ([AB])\b")
EACH = "each one"  # stands for the pieces of a row, which go into another alike


class HiddenFace(Struct, frozen=True):
    """A rectangle of one piece that lies inside a joint, against one of the other piece or the joint's room before it.
    `where` says it in words; `face` is the side of the piece it
    looks to; `inside` is said of a tenon or a cut, not of the body's own face; `box` is the rectangle in ticks of the
    scene; `sides` are its two measures, the shorter first; `axis` is the one of
    the build it stands square to, and it looks to its `high` side or not. `narrow` lies in a groove that no one can
    write in, and `instead` says what is written on where it lies in a mortise that no pencil gets into."""

    mark: str
    where: str
    face: Face
    inside: bool
    box: Box
    sides: tuple[Length, Length]
    axis: int
    high: bool = False
    narrow: bool = False
    instead: str = ""


BESIDE_MM, WORDS_MM = 62.0, 7.0  # of the width, at most for sketches beside the table, and for words at their sides
Places = Mapping[int, tuple[HiddenFace, HiddenFace] | None]


def has_joints(job: Job) -> bool:
    """Whether there is anything to mark: pieces that meet in a joint, or strips to be glued up."""
    return any(joint.meetings for joint in job.build.joints) or any(part.strips > 1 for part in job.build.parts)


def mate_marks(job: Job) -> Document:
    """The strips of glued-up pieces, then each group of joints with the place of its number inside."""
    question = "What do I pencil inside each joint before the labels come off?"
    strips: tuple[Block, ...] = tuple(_strips(job))
    places = _places(job)
    groups = tuple(_groups(job, places))
    blocks, instead = [*strips], tuple[Block, ...]()
    if groups:
        lightly = any(LIGHTLY in plain(cell.text) for group in groups for row in group.rows for cell in row.cells)
        reading = _reading(job) + (RUB_OUT if lightly else "")
        how = (Paragraph(text(HOW)), Paragraph(text(reading), Weight.QUIET))
        beside = (strips, (Heading("Joints", 2), *how)) if strips else tuple((each,) for each in how)
        blocks = [SideBySide(beside, (1.0, 1.0))]
        table, sketches = Table("mate-marks", _columns(job), groups, ticks=True, fitted=True), _sketches(job, places)
        head = Heading("Where the marks go", 2)
        widest = max((sketch.width.float_mm() for sketch in sketches), default=0.0) + WORDS_MM
        if len(sketches) > 1 and widest <= BESIDE_MM:  # at the right of the table, to spare a page
            sides = SideBySide(((table,), (head, *sketches)), (PAGE_MM - widest, widest))
            instead = (*blocks, sides, *_notes(job))
        rows = [*_in_rows(sketches)]
        tied, loose = (rows, []) if len(rows) <= ROWS_TIED else (rows[:1], rows[1:])
        below: tuple[Block, ...] = (Together((head, *tied)), *loose) if rows else ()
        blocks += [table, *below, *_notes(job)]
    return Document("mate-marks", "Mate marks", question, tuple(blocks), runs_on=True, instead=instead)


def _strips(job: Job) -> Iterator[Block]:
    """A triangle across the strips of a panel says their order, their faces and their ends (common practice)."""
    panels = [
        text(f"{piece.mark}, {part.name}: {strips_text(part.strip_marks(piece.mark))}")
        for part, piece in job.build.pieces()
        if part.strips > 1
    ]
    if not panels:
        return
    words = (
        "Before their labels come off lay the strips side by side in the order of their letters, face sides up, and "
        "draw one triangle across all of them: they are in order when it is whole again. "
        "Draw it again once the edges are jointed; it comes off when the panel is planed."
    )
    yield from (Heading("Strips of one piece", 2), Paragraph(text(words)), Bullets(tuple(panels)))


def _places(job: Job) -> Places:
    """Where the marks of every joint go, by its number."""
    meetings = (meeting for _, meeting in job.build.meetings())
    return {m.number: hidden_faces(job.alike, m) if job.alike is not None else None for m in meetings}


def _notes(job: Job) -> list[Block]:
    return [
        *(() if has_piece_drawings(job) else joint_notes(job.build.joints)),
        *([Bullets(tuple(text(line) for line in lines))] if (lines := pin_lines(job)) else []),
    ]


def _columns(job: Job) -> tuple[Column, ...]:
    columns = [
        Column("Joint", "right", share=0.1, strong=True),
        Column("Piece", share=0.2, strong=True),
        Column("Pencil on", share=1.5),
        Column("Meets", share=0.2, strong=True),
        Column("Pencil on", share=2.6),
    ]
    if job.space is not None:
        columns.append(Column("Arrow", share=0.3))
    return tuple(columns)


def _groups(job: Job, places: Places) -> Iterator[Group]:
    """Joints in the order of the glue-up; those of no stage under the name of their joint."""
    staged: set[int] = set()
    for works in {run[0].number: run for run in twin_stages(job).values()}.values():
        rows = tuple(row for work in works for row in _rows(job, work.meetings, places))
        staged |= {meeting.number for work in works for _, meeting in work.meetings}
        if rows:
            yield Group(rows, stages_title(works))
    for joint in job.build.joints:
        rest = tuple(_rows(job, [(joint, m) for m in joint.meetings if m.number not in staged], places))
        if rest:
            yield Group(rest, joint.name)


def _rows(job: Job, pairs: Sequence[tuple[Joint, Meeting]], places: Places) -> Iterator[Row]:
    """A row for every joint; one for those of pieces that go into the same piece alike, for both ends of a piece, and
    for all narrow grooves that it goes into."""
    panels: dict[str, list[Meeting]] = {}
    for _, meeting in pairs:
        if _in_grooves(places, meeting):
            panels.setdefault(meeting.entering, []).append(meeting)
    alike: dict[tuple[str, ...], list[tuple[str, ...]]] = {}  # rows under what is the same on them
    for joint, meeting in pairs:
        if not _in_grooves(places, meeting):
            number, one, where, two, there, *way = _told(job, joint, meeting, places)
            own = re.sub(rf"(?<!\w){re.escape(one)}(?='s | meets it)", EACH, there)
            alike.setdefault((where, two, own, *way), []).append((number, one, where, two, there, *way))
        elif panels[meeting.entering][0] is meeting:
            alike[(meeting.entering,)] = [_panel_words(job, panels[meeting.entering])]
    told: dict[tuple[str, ...], list[tuple[str, ...]]] = {}
    for same, rows in alike.items():
        row = rows[0]
        if len(rows) > 1:
            row = (stepped_text([int(each[0]) for each in rows]), marks_text([each[1] for each in rows]), *same)
        _, mark, where, _, *rest = row
        told.setdefault((mark, _END.sub(r"\1", where), *rest), []).append(row)
    for rows in told.values():
        yield from (Row(tuple(map(Cell.of, row))) for row in _both_ends(rows))


def _both_ends(rows: Sequence[tuple[str, ...]]) -> Iterator[tuple[str, ...]]:
    """Rows of one piece, or of the same pieces, that differ by the ends and by what they go into there; both as one
    row, the numbers of one end before those of the other."""
    ends = [found[2] for row in rows for found in _END.finditer(row[2])]
    if len(rows) != 2 or sorted(ends) != ["A", "B"]:
        yield from rows
        return
    (one, mark, where, two, *rest), (other, _, _, too, *_), (first, second) = *rows, ends
    parted = ", " if one.isdecimal() else "; "
    both = _END.sub(rf"\1s {first} and {second}", where)
    yield f"{one}{parted}{other}", mark, both, f"{two}  {too}", *rest


def _in_grooves(places: Places, meeting: Meeting) -> bool:
    found = places[meeting.number]
    return found is not None and any(place.narrow for place in found)


def _panel_words(job: Job, meetings: Sequence[Meeting]) -> tuple[str, ...]:
    """A panel has one place in its frame, which its other joints tell: one mark says which way up it goes."""
    grooves = "grooves" if len(meetings) > 1 else "groove"
    told = [
        numbers_text([meeting.number for meeting in meetings]),
        meetings[0].entering,
        f"face side, margin in the {grooves}",
        marks_text([meeting.receiving for meeting in meetings]),
        "nothing, too narrow to write in",
    ]
    if job.space is not None:
        piece = job.space.pieces[meetings[0].entering]
        across = piece.pose.look_of(Face.FACE)[0]
        axis = next(k for k in (2, 1, 0) if k != across)
        told.append(TOWARD[(axis, axis == 2)])
    return tuple(told)


def _sketches(job: Job, places: Places) -> list[Drawing]:
    """A sketch for every way in which marks lie, with the numbers of all joints that are marked so."""
    if job.alike is None:
        return []
    ways: dict[tuple[str, str], list[Meeting]] = {}
    staged = [pair for work in job.stages for pair in work.meetings]
    for joint, meeting in {pair[1].number: pair for pair in (*staged, *job.build.meetings())}.values():
        found = places[meeting.number]
        if found is not None and not any(place.narrow or place.instead for place in found):
            ways.setdefault((_alike(found[0].where), _alike(found[1].where)), []).append(meeting)
        elif found is None and mitred(job.alike.space, meeting) is not None:
            ways.setdefault(known_faces(joint, meeting), []).append(meeting)
    return [_sketch(job.alike, same, places) for same in ways.values()]


def _in_rows(cells: Sequence[Drawing]) -> Iterator[SideBySide]:
    """As many sketches in a row as have room there with their names, each with its share of it."""
    row: list[tuple[Drawing, float]] = []
    for cell in cells:
        wide = max(cell.width.float_mm(), NAME_MM * len(cell.name)) + AIR_MM
        if row and sum(each for _, each in row) + wide > PAGE_MM:
            yield _row(row)
            row = []
        row.append((cell, wide))
    if row:
        yield _row(row)


def _row(row: Sequence[tuple[Drawing, float]]) -> SideBySide:
    rest = PAGE_MM - sum(wide for _, wide in row)
    spread = rest > PAGE_MM * MOST_LEFT  # a row that is not full: the sketches stay as near as in the others
    columns, shares = tuple((cell,) for cell, _ in row), tuple(wide for _, wide in row)
    return SideBySide((*columns, ()), (*shares, rest)) if spread else SideBySide(columns, shares)


def _alike(words: str) -> str:
    """The words without which piece and which end is meant."""
    words = re.sub(r"\b(shoulder|end) [AB]\b", r"\1", re.sub(r"\S+'s ", "", words))
    return re.sub(r"^housed (face|far) edge", "housed edge", words)


def _sketch(alike: Alike, same: Sequence[Meeting], places: Places) -> Drawing:
    meeting = same[0]
    name = f"joint{'s' if len(same) > 1 else ''} {numbers_text([m.number for m in same])}"
    found, number, scene = places[meeting.number], str(meeting.number), alike.space.scene
    if found is None:
        slant = mitred(alike.space, meeting)
        assert slant is not None
        return mate_sketch(scene, slant.faces, slant.corner, number, name)
    pair = alike.between(meeting.entering, meeting.receiving)
    assert pair is not None
    joint = Box.around(touch.where for touch in pair.touches)
    return mate_sketch(scene, [Patch.of(p.mark, p.box, p.axis, p.high) for p in found], joint, number, name)


def _told(job: Job, joint: Joint, meeting: Meeting, places: Places) -> tuple[str, ...]:
    """The number of a joint, its pieces with where to pencil on them, and the arrow in a build with places."""
    number, found = str(meeting.number), places[meeting.number]
    if found is not None:
        one, two = found
        return number, one.mark, one.where, two.mark, two.instead or two.where, arrow(one, two)
    mine, theirs = known_faces(joint, meeting)
    told = (number, meeting.entering, mine, meeting.receiving, theirs)
    if job.space is None:
        return told
    slant = mitred(job.space, meeting)
    return *told, "—" if slant is None else TOWARD[(slant.along, slant.along == 2)]


def _reading(job: Job) -> str:
    if job.space is None:
        return (
            "The pieces have no places in this build, so only the kind of joint is known. With a place for every piece "
            "the face, the room for a mark and the arrow are worked out."
        )
    words = (
        "The two places named meet in the joint: keep number and arrow where nothing will show. Beside a mortise "
        "means where the shoulder lands. The same numbers are on labels where they fit"
    )
    words += " and on the glue-up sheet" if job.stages else ""
    kinds = dict.fromkeys(j.kind for j in job.build.joints if max(j.count, KINDS[j.kind].least_count) > 1)
    rows = ", ".join(counted for kind in kinds if (counted := KINDS[kind].counted))
    if rows:
        words = f"{rows.capitalize()} in a row are counted from the face edge, or from end A. {words}"
    cut: list[int] = []
    uncut: list[int] = []
    for _, meeting in job.build.meetings():
        (cut if _is_cut(job, meeting) else uncut).append(meeting.number)
    if not cut:
        return f"{words}."
    if not uncut:
        return f"{words}, and on the piece drawings."
    several = len(uncut) > 1
    named = f"s {', '.join(map(str, uncut[:-1]))} and {uncut[-1]}, which are" if several else f" {uncut[0]}, which is"
    return f"{words}, and on the piece drawings, but for joint{named} not cut in both pieces."


def _is_cut(job: Job, meeting: Meeting) -> bool:
    """Whether the drawings of both pieces show something of the joint."""
    assert job.space is not None
    pieces = [job.space.pieces.get(mark) for mark in (meeting.entering, meeting.receiving)]
    return all(piece and any(f.joint == str(meeting.number) for f in piece.features) for piece in pieces)


def known_faces(joint: Joint, meeting: Meeting) -> tuple[str, str]:
    """Where to pencil on both pieces as far as the kind of joint tells."""
    mine, theirs = KINDS[joint.kind].hidden
    return (f"{mine}, end {meeting.end.value}" if meeting.end else mine), theirs


def hidden_faces(alike: Alike, meeting: Meeting) -> tuple[HiddenFace, HiddenFace] | None:
    """The best place where the two pieces lie against each other, or face each other in the joint, as the entering
    piece and as the receiving one shows it. None where a piece has no place or they touch nowhere."""
    every, ticks = _sides_of(alike, meeting), alike.space.scene.ticks
    if not every:
        return None
    placed = (_placed(alike, meeting, *sides) for sides in _best_first(every, ticks))
    first = next(placed)
    if not any(place.narrow for place in first):
        return first
    return next((sides for sides in placed if _is_written_on(sides)), first)


def _is_written_on(sides: tuple[HiddenFace, HiddenFace]) -> bool:
    return all(not place.narrow and place.sides[0] >= LEGIBLE and place.sides[1] >= ROOMY for place in sides)


def _sides_of(alike: Alike, meeting: Meeting) -> list[tuple[_Side, _Side]]:
    if not {meeting.entering, meeting.receiving} <= alike.index.keys():
        return []
    pair = alike.between(meeting.entering, meeting.receiving)
    if pair is None or not pair.touches:
        return []
    return [
        (_Side.of(alike, meeting.entering, touch, pair), _Side.of(alike, meeting.receiving, touch, pair))
        for touch in (*pair.touches, *alike.space.across.get((pair.first, pair.second), ()))
    ]


def _placed(alike: Alike, meeting: Meeting, mine: _Side, theirs: _Side) -> tuple[HiddenFace, HiddenFace]:
    made, ticks, joint = alike.space.joinery[meeting.number], alike.space.scene.ticks, str(meeting.number)
    return (
        mine.place(ticks, joint, made.enters, True, meeting.receiving),
        theirs.place(ticks, joint, made.meets, False, meeting.entering),
    )


class _Side(Struct, frozen=True):
    """One rectangle of a contact seen from one of the two pieces: the face it looks to, whether it lies on a tenon or
    in a cut rather than on the face of the body, and whether a pencil gets at it."""

    piece: PlacedPiece
    touch: Touch
    face: Face
    inside: bool
    open: bool

    @staticmethod
    def of(alike: Alike, mark: str, touch: Touch, pair: Pair) -> _Side:
        index, scene = alike.index[mark], alike.space.scene
        piece, solid = scene.pieces[index], scene.solids[index]
        looks_high = touch.high == (index == pair.first)
        if touch.gap and index != pair.first:
            by = touch.gap if touch.high else -touch.gap
            touch = replace(touch, where=touch.where.shifted([by if k == touch.axis else 0 for k in range(3)]))
        face = piece.pose.face_toward(touch.axis, looks_high)
        at, surface = touch.where.lo[touch.axis], (solid.body.hi if looks_high else solid.body.lo)[touch.axis]
        # a tongue may be as thick as its piece and lie in the plane of its face
        inside = not (at == surface and solid.body.holds(touch.where))
        return _Side(piece, touch, face, inside, _open(solid, touch, looks_high, surface - at))

    @property
    def sides(self) -> tuple[int, int]:
        """Both measures in ticks, the shorter first."""
        short, long = sorted(side for k, side in enumerate(self.touch.where.size) if k != self.touch.axis)
        return short, long

    def place(self, ticks: Ticks, joint: str, enters: Face | None, goes_in: bool, other: str) -> HiddenFace:
        where, piece = self.touch.where, self.piece
        cuboids = tuple(c for c in piece.cuboids if c.joint == joint)
        low, high = self._in_piece(ticks)
        joined = Joined(piece, cuboids, enters, goes_in, other)
        words = (in_joint if self.inside else on_body)(joined, self.face, low, high)
        short, long = (ticks.length(side) for side in self.sides)
        narrow = self.inside and in_narrow_groove(joined, low, high)
        instead = beside_mortise(joined, low, high) if self.inside and not goes_in else ""
        axis, looks_high = self.touch.axis, piece.pose.look_of(self.face)[1]
        return HiddenFace(
            piece.mark, words, self.face, self.inside, where, (short, long), axis, looks_high, narrow, instead
        )

    def _in_piece(self, ticks: Ticks) -> tuple[Spot, Spot]:
        where = self.touch.where
        return self.piece.range_in_piece([ticks.length(v) for v in where.lo], [ticks.length(v) for v in where.hi])

    def from_references(self, ticks: Ticks) -> tuple[Length, Length, Length]:
        """How far its middle lies from the face side, the face edge and end A, doubled."""
        low, high = self._in_piece(ticks)
        return (low[2] + high[2], low[1] + high[1], low[0] + high[0])


def _open(solid: Solid, touch: Touch, high: bool, deep: int) -> bool:
    """Whether a pencil gets at the rectangle: nothing of its own piece stands over it, and it lies in no deep hole."""
    axis, (lo, hi) = touch.axis, touch.where
    u, v = (k for k in range(3) if k != axis)
    if (deep if high else -deep) > min(hi[u] - lo[u], hi[v] - lo[v]) * WITHIN_REACH:
        return False
    for low, top in solid.cells:
        if top[axis] <= hi[axis] if high else low[axis] >= lo[axis]:
            continue
        if low[u] < hi[u] and lo[u] < top[u] and low[v] < hi[v] and lo[v] < top[v]:
            return False
    return True


def _best_first(every: Iterable[tuple[_Side, _Side]], ticks: Ticks) -> Iterator[tuple[_Side, _Side]]:
    """By their worth; of equal ones those nearest to where one gauges from, which takes long to tell. Nothing in it
    tells left from right, so that joints that mirror each other are marked alike."""

    def worth(sides: tuple[_Side, _Side]) -> tuple[object, ...]:
        return _worth(*sides, ticks)

    def near(sides: tuple[_Side, _Side]) -> tuple[object, ...]:
        return tuple(-length.mm for length in sides[0].from_references(ticks))

    for _, equal in groupby(sorted(every, key=worth, reverse=True), worth):
        some = list(equal)
        yield from sorted(some, key=near, reverse=True) if len(some) > 1 else some


def _worth(one: _Side, two: _Side, ticks: Ticks) -> tuple[object, ...]:
    """Both sides within reach and legible; then long grain; then on the face of the piece that takes the other rather
    than inside; then large; then the face nearest to those one gauges from."""
    short, long = one.sides
    legible = ticks.length(short) >= LEGIBLE and ticks.length(long) >= ROOMY
    reach = one.open and two.open
    grain = sum(side.face not in (Face.A, Face.B) for side in (one, two))
    gauged = one.face in (Face.FACE, Face.EDGE)
    flat = one.face in (Face.FACE, Face.BACK)
    return (legible and reach, reach, legible, grain, not two.inside, short * long, flat, gauged)


def arrow(one: HiddenFace, two: HiddenFace) -> str:
    """The way of the build in which an arrow can point on both faces: up, else to the front, else to the left."""
    axis = next(k for k in (2, 1, 0) if k not in (one.axis, two.axis))
    return TOWARD[(axis, axis == 2)]
