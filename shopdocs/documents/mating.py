"""What to pencil inside each joint, so that the number is there when the labels come off and gone when the glue is in.

A mark goes where the two pieces lie against each other: on the cheek of a tenon, under a shoulder, on a wall of the
mortise. That it cannot show is not a rule of thumb here: the place is taken from the rectangle the two pieces share.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Bullets, Cell, Column, Group, Heading, Paragraph, Row, Table, Weight, text
from shopdocs.core.box import Box, Ticks, Touch
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.alike import FACE_WORDS, TOWARD, Alike
from shopdocs.documents.figures import length_figure, strips_text
from shopdocs.documents.job import Job
from shopdocs.model.joining import Face, Joint, JointKind, Meeting
from shopdocs.work.space.contacts import Pair
from shopdocs.work.space.joint_frame import opposite
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece, Spot, side_of

LEGIBLE = Length(6)  # a pencilled number needs so much wood both ways (common practice, no source)


@dataclass(frozen=True, slots=True)
class HiddenFace:
    """A rectangle of one piece that lies inside a joint. `where` says it in words; `face` is the side of the piece it
    looks to; `inside` is said of a tenon or a cut, not of the body's own face; `box` is the rectangle in ticks of the
    scene; `sides` are its two measures, the shorter first; `axis` is the one of
    the build it stands square to."""

    mark: str
    where: str
    face: Face
    inside: bool
    box: Box
    sides: tuple[Length, Length]
    axis: int


def has_joints(job: Job) -> bool:
    return any(joint.meetings for joint in job.build.joints) or any(part.strips > 1 for part in job.build.parts)


def mate_marks(job: Job) -> Document:
    question = "What do I pencil inside each joint before the labels come off?"
    blocks: list[Block] = list(_strips(job))
    groups = tuple(_groups(job))
    if groups:
        blocks += _joints(job, groups)
    return Document("mate-marks", "Mate marks", question, tuple(blocks))


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
        "Lay the strips of each piece side by side in the order of their letters, the faces up that shall show, and "
        "draw one triangle across all of them before their labels come off. They belong together when it is whole "
        "again. It lies on the surface and is planed away with the glue; pencil it anew after the edges are jointed."
    )
    yield from (Heading("Strips of one piece", 2), Paragraph(text(words)), Bullets(tuple(panels)))


def _joints(job: Job, groups: tuple[Group, ...]) -> list[Block]:
    return [
        Paragraph(
            text(
                "Write the joint's number, and an arrow beside it, on both places named, with a soft pencil, at the "
                "dry fit and before any label comes off. Pieces match when their numbers are the same and their arrows "
                "point the same way."
            )
        ),
        Table("mate-marks", _columns(job), groups, ticks=True),
        Paragraph(text(_reading(job)), Weight.QUIET),
    ]


def _columns(job: Job) -> tuple[Column, ...]:
    columns = [
        Column("Joint", "right", share=0.1, strong=True),
        Column("Piece", share=0.2, strong=True),
        Column("pencil on its", share=1.6),
        Column("Meets", share=0.2, strong=True),
        Column("pencil on its", share=1.6),
    ]
    if job.space is not None:
        columns += [Column("Arrow", share=0.5), Column("Hidden", "right", job.display.units, share=0.4)]
    return tuple(columns)


def _groups(job: Job) -> Iterator[Group]:
    """Joints in the order of the glue-up; those of no stage under the name of their joint."""
    staged: set[int] = set()
    for work in job.stages:
        rows = tuple(_row(job, joint, meeting) for joint, meeting in work.meetings)
        staged |= {meeting.number for _, meeting in work.meetings}
        if rows:
            yield Group(rows, f"Stage {work.number}, {work.stage.title}")
    for joint in job.build.joints:
        rest = tuple(_row(job, joint, m) for m in joint.meetings if m.number not in staged)
        if rest:
            yield Group(rest, joint.name)


def _row(job: Job, joint: Joint, meeting: Meeting) -> Row:
    cells = [Cell.of(str(meeting.number))]
    found = hidden_faces(job.alike, meeting) if job.alike is not None else None
    if found is None:
        mine, theirs = known_faces(joint, meeting)
        cells += [Cell.of(meeting.entering), Cell.of(mine), Cell.of(meeting.receiving), Cell.of(theirs)]
        if job.space is not None:
            cells += [Cell.of("—"), Cell.of("—")]
        return Row(tuple(cells))
    one, two = found
    small = one if one.sides[0] < two.sides[0] else two
    name, at = f"joint {meeting.number} · hidden", meeting.at
    cells += [
        Cell.of(one.mark), Cell.of(one.where), Cell.of(two.mark), Cell.of(two.where),
        Cell.of(arrow(one, two)),
        Cell.of(
            length_figure(name, small.sides[0], job.display, at), " × ",
            length_figure(name, small.sides[1], job.display, at),
        ),
    ]  # fmt: skip
    return Row(tuple(cells))


def _reading(job: Job) -> str:
    if job.space is None:
        return (
            "The pieces have no places in this build, so only the kind of joint is known. With a place for every piece "
            "the face, the size of what is hidden and the arrow are worked out."
        )
    return (
        "Hidden is the smaller of the two places: keep number and arrow inside it and nothing shows. The same numbers "
        "stand on the labels, the piece drawings and the glue-up sheet."
    )


# Without places: what is hidden in a joint of each kind, on the piece that goes in and on the one that takes it.
_BY_KIND = {
    JointKind.MORTISE_AND_TENON: ("cheek of the tenon", "wall of the mortise"),
    JointKind.THROUGH_TENON: ("cheek of the tenon, near the shoulder", "wall of the mortise"),
    JointKind.BRIDLE: ("cheek of the tenon", "cheek of the open mortise"),
    JointKind.HALF_LAP: ("cut face of the lap", "cut face of the lap"),
    JointKind.HOUSING: ("end grain that is housed", "floor of the housing"),
    JointKind.TONGUE_AND_GROOVE: ("tongue", "floor of the groove"),
    JointKind.RABBET: ("end grain that is covered", "floor of the rabbet"),
    JointKind.DOWELS: ("face the dowels stand in", "face the dowels go into"),
    JointKind.LOOSE_TENON: ("face beside the mortise", "face beside the mortise"),
    JointKind.DOVETAIL: ("inside of a tail", "side of a socket"),
    JointKind.SCREWED_BUTT: ("end that meets the other piece", "face under that end"),
    JointKind.EDGE_JOINT: ("edge that is glued", "edge that is glued"),
}


def known_faces(joint: Joint, meeting: Meeting) -> tuple[str, str]:
    """Where to pencil on both pieces as far as the kind of joint tells."""
    mine, theirs = _BY_KIND[joint.kind]
    return (f"{mine}, end {meeting.end.value}" if meeting.end else mine), theirs


def hidden_faces(alike: Alike, meeting: Meeting) -> tuple[HiddenFace, HiddenFace] | None:
    """The best place on the entering and on the receiving piece; None where a piece has no place or they touch nowhere.

    The entering piece is marked on what goes in where it can be, the receiving one where a pencil reaches.
    """
    if not {meeting.entering, meeting.receiving} <= alike.index.keys():
        return None
    pair = alike.between(meeting.entering, meeting.receiving)
    if pair is None or not pair.touches:
        return None
    places = []
    for mark, entering in ((meeting.entering, True), (meeting.receiving, False)):
        every = [_Side.of(alike, mark, touch, pair) for touch in pair.touches]
        best = max(every, key=lambda side: side.worth(alike.space.scene.ticks, entering))
        places.append(best.place(alike.space.scene.ticks, str(meeting.number)))
    return places[0], places[1]


@dataclass(frozen=True, slots=True)
class _Side:
    """One rectangle of a contact seen from one of the two pieces: the face it looks to, and whether it lies on a tenon
    or in a cut rather than on the face of the body."""

    piece: PlacedPiece
    touch: Touch
    face: Face
    inside: bool

    @staticmethod
    def of(alike: Alike, mark: str, touch: Touch, pair: Pair) -> _Side:
        index, scene = alike.index[mark], alike.space.scene
        piece, body = scene.pieces[index], scene.solids[index].body
        looks_high = touch.high == (index == pair.first)
        face = piece.pose.face_toward(touch.axis, looks_high)
        on_face = touch.where.lo[touch.axis] == (body.hi if looks_high else body.lo)[touch.axis]
        # a tongue may be as thick as its piece and lie in the plane of its face
        return _Side(piece, touch, face, not (on_face and body.holds(touch.where)))

    @property
    def sides(self) -> tuple[int, int]:
        """Both measures in ticks, the shorter first."""
        short, long = sorted(side for k, side in enumerate(self.touch.where.size) if k != self.touch.axis)
        return short, long

    def worth(self, ticks: Ticks, entering: bool) -> tuple[bool, bool, bool, int, bool]:
        """Legible first; then long grain; then on the tenon rather than its shoulder, beside the mortise rather than
        inside it; then large, then at the face side."""
        short, long = self.sides
        side_grain = self.face not in (Face.A, Face.B)
        legible = short >= LEGIBLE.mm * ticks.per_mm
        return legible, side_grain, self.inside == entering, short * long, self.face in (Face.FACE, Face.EDGE)

    def place(self, ticks: Ticks, joint: str) -> HiddenFace:
        where, piece = self.touch.where, self.piece
        cuboids = [c for c in piece.cuboids if c.joint == joint]
        if self.inside:
            low, high = piece.range_in_piece([ticks.length(v) for v in where.lo], [ticks.length(v) for v in where.hi])
            words = _inside_words(piece, self.face, low, high, cuboids)
        else:
            words = _surface_words(self.face, cuboids)
        short, long = (ticks.length(side) for side in self.sides)
        return HiddenFace(piece.mark, words, self.face, self.inside, where, (short, long), self.touch.axis)


def arrow(one: HiddenFace, two: HiddenFace) -> str:
    """The way of the build in which an arrow can point on both faces: up, else to the front, else to the left."""
    axis = next(k for k in (2, 1, 0) if k not in (one.axis, two.axis))
    return TOWARD[(axis, axis == 2)]


def _surface_words(face: Face, cuboids: list[Cuboid]) -> str:
    kinds = list(dict.fromkeys(c.kind for c in cuboids))
    if not kinds:
        return FACE_WORDS[face]
    if face in (Face.A, Face.B) and any(c.adds for c in cuboids):
        return f"{FACE_WORDS[face]}, shoulder beside the {kinds[0]}"
    return f"{FACE_WORDS[face]}, beside the {kinds[0]}"


def _inside_words(piece: PlacedPiece, face: Face, low: Spot, high: Spot, cuboids: list[Cuboid]) -> str:
    """Which side of a tenon, or which wall of a cut, a rectangle in piece coordinates lies on."""
    holds = [
        c for c in cuboids if all(c.lo[k] <= low[k] and high[k] <= c.hi[k] for k in range(3))
    ]  # fmt: skip
    if not holds:
        return f"inside, toward the {FACE_WORDS[face]}"
    part = holds[0]
    axis, far = side_of(face)
    if part.adds:
        end = _end_of(piece, part)
        if face in (Face.A, Face.B):
            return f"end of the {part.kind}{end}" if part.kind is not FeatureKind.HOUSED_END else f"{part.kind}{end}"
        return f"{part.kind}{end}, toward {FACE_WORDS[face]}"
    opens = part.hi[axis] >= piece.size[axis] if far else part.lo[axis] <= ZERO
    if opens:
        return f"floor of the {part.kind}"
    return f"{part.kind}, wall toward {FACE_WORDS[opposite(face)]}"


def _end_of(piece: PlacedPiece, part: Cuboid) -> str:
    if part.lo[0] < ZERO:
        return " at A"
    return " at B" if part.hi[0] > piece.length else ""
