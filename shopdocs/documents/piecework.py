"""Piece drawings: one for every group of pieces that are marked out alike, handed pairs as pairs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, Document, Together
from shopdocs.blocks.text import Cell, Column, Group, Heading, Paragraph, Row, Run, Table, Weight, text
from shopdocs.core.length import ZERO
from shopdocs.core.problems import Position
from shopdocs.documents.alike import own_shape
from shopdocs.documents.boards import UNIT_WORDS
from shopdocs.documents.drawn.named import FittedPiece, fitted_pair, fitted_piece
from shopdocs.documents.drawn.pictures import SCALES
from shopdocs.documents.drawn.piecedrawing import UNSEEN, PieceSheet
from shopdocs.documents.drawn.strip import strip
from shopdocs.documents.figures import length_figure, marks_text
from shopdocs.documents.job import Job, other
from shopdocs.documents.noting import joint_notes
from shopdocs.documents.picturing import SHEET_MM
from shopdocs.model.joining import BENCH_NAMES
from shopdocs.model.parts import Direction, Part
from shopdocs.work.space.ending import gauged_extents
from shopdocs.work.space.inspace import bore_of
from shopdocs.work.space.joint_room import leaves_usual_room, usual_room
from shopdocs.work.space.placed import Cuboid, Feature, PlacedPiece, Pose, Spot, Toward

HEIGHTS_MM = (78.0, 92.0, 108.0, 150.0)
GROWN_MM = (SHEET_MM, 150.0)  # where no other piece would have its page
NARROW_MM, SHORT_MM = 20.0, 50.0  # a piece that is drawn smaller may take more of the page
WORTH_IT = Fraction(5, 4)  # where it becomes so much larger then
PAIR_MM = (SHEET_MM, 71.0)  # each of the two
MOST_COLUMNS = 6
LETTERS = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True, slots=True)
class DrawnGroup:
    """Pieces that one drawing serves. `places` says whether their joints are known."""

    part: Part
    pieces: tuple[PlacedPiece, ...]

    @property
    def marks(self) -> tuple[str, ...]:
        return tuple(piece.mark for piece in self.pieces)


@dataclass(frozen=True, slots=True)
class OwnDrawing:
    """The drawing of one piece, for its record."""

    mark: str
    drawing: Drawing


def has_piece_drawings(job: Job) -> bool:
    return job.space is not None or bool(job.holes)


def drawn_groups(job: Job) -> tuple[DrawnGroup, ...]:
    """All pieces, in reading order of the first of each group. A piece without a place is drawn with its holes only."""
    groups: dict[object, list[PlacedPiece]] = {}
    parts: dict[object, Part] = {}
    kinds = job.alike.kind_of if job.alike is not None else {}
    for part, piece in job.build.pieces():
        placed = job.space.pieces.get(piece.mark) if job.space is not None else None
        drawn = placed or _on_its_own(job, part, piece.mark)
        key = (own_shape(drawn), kinds.get(piece.mark))
        groups.setdefault(key, []).append(drawn)
        parts[key] = part
    return tuple(DrawnGroup(parts[key], tuple(pieces)) for key, pieces in groups.items())


def _on_its_own(job: Job, part: Part, mark: str) -> PlacedPiece:
    """A piece whose place is not said, lying on the bench."""
    pose = Pose(Toward(Direction.X), Toward(Direction.Z), Toward(Direction.Y, False))
    bores = tuple(bore_of(hole, part) for hole in job.holes if hole.piece == mark)
    at = (ZERO, ZERO, ZERO)
    return PlacedPiece(mark, part.name, at, part.length, part.width, part.thickness, pose, bores, part.material)


def piece_drawings(job: Job) -> Document:
    groups = drawn_groups(job)
    worked = [group for group in groups if group.pieces[0].features]
    plain = [mark for group in groups if not group.pieces[0].features for mark in group.marks]
    words = (
        "Measured from the face edge, the face side and end A, the heavy lines; figures in a row all count from their "
        "0. Where a tenon leaves a shoulder on the face side, that shoulder is the end; what goes into a joint with "
        "its whole thickness has none and counts from its real end or edge. "
        f"Lengths in {UNIT_WORDS[job.display.units]}."
    )
    if job.space is None:
        words += " Joints are left out: the pieces have no places in this build."
    elif leaves_usual_room(job.build):
        room = job.display.length(usual_room(job.build))
        words += (
            f" Stopped mortises, grooves and holes for dowels are {room} deeper than what goes in is long, where the "
            "build says nothing else (common practice): so the joint closes, and glue has somewhere to go."
        )
    blocks: list[Block] = [Paragraph(text(words), Weight.QUIET)]
    done: set[int] = set()
    for i, group in enumerate(worked):
        if i in done:
            continue
        pair = _other_hand(i, worked)
        if pair is None:
            blocks += _group_blocks(job, group)
        else:
            done.add(pair)
            blocks += _pair_blocks(job, group, worked[pair])
    if plain:
        blocks.append(Paragraph(text("Without joints or holes, the cut list says all: ", marks_text(plain), ".")))
    blocks += joint_notes(job.build.joints)
    question = "Where are the mortises, tenons, grooves and holes?"
    return Document("piece-drawings", "Piece drawings", question, tuple(blocks))


def _other_hand(index: int, groups: list[DrawnGroup]) -> int | None:
    """The later group that is the mirror image, marked out alike from the same faces."""
    first = groups[index].pieces[0]
    for i in range(index + 1, len(groups)):
        second = groups[i].pieces[0]
        if own_shape(first) == own_shape(second) and first.pose.right_handed != second.pose.right_handed:
            return i
    return None


def _group_blocks(job: Job, group: DrawnGroup) -> list[Block]:
    name = f"{group.part.name}  {marks_text(group.marks, 12)}"
    fitted = _fitted(job, group.pieces[0])
    several = len(group.pieces) > 1
    drawing = lettered_drawing(job, group, fitted, several)
    larger = tuple(lettered_drawing(job, group, each, several) for each in _larger(job, fitted))
    inner: list[Block] = [replace(drawing, larger=larger)]
    table = _joint_table(job, [group])
    if table is not None:
        inner.append(table)
    return [Heading(name, 2, f"drawing-{group.marks[0]}"), Together(tuple(inner))]


def _fitted(job: Job, piece: PlacedPiece) -> FittedPiece:
    """In little height, so that several drawings share a page; in more where that makes much of a small drawing."""
    found = fitted_piece(piece, job.display, (SHEET_MM, HEIGHTS_MM[0]))
    for height in HEIGHTS_MM[1:]:
        if found.sheet.fits and not _small(found):
            break
        taller = found.in_room(job.display, (SHEET_MM, height))
        if not found.sheet.fits or taller.sheet.scale >= found.sheet.scale * WORTH_IT:
            found = taller
    return found


def _larger(job: Job, fitted: FittedPiece) -> list[FittedPiece]:
    """The same at larger scales, for a page that has the room; the largest first. None of a piece that is broken: its
    joints are large enough, it is only its length that has no room."""
    found: list[FittedPiece] = []
    if fitted.sheet.views.fold.cuts:
        return found
    for scale in reversed(SCALES[: SCALES.index(fitted.sheet.scale)]):
        sheet = PieceSheet(fitted.sheet.gauged, job.display, scale, GROWN_MM)
        if not sheet.fits or sheet.views.fold.cuts:
            break
        found.insert(0, FittedPiece(sheet))
    return found


def _small(fitted: FittedPiece) -> bool:
    """Whether the drawing is hard to read: narrow, or a whole board no longer than a thumb."""
    sheet = fitted.sheet
    across = max(sheet.piece.width, sheet.piece.thickness)
    wide, long = (v.float_mm(sheet.scale) for v in (across, sheet.piece.length))
    return wide < NARROW_MM or (long < SHORT_MM and not sheet.views.fold.cuts)


def _pair_blocks(job: Job, one: DrawnGroup, two: DrawnGroup) -> list[Block]:
    name = f"{one.part.name}  {marks_text(one.marks, 12)}  and mirrored  {marks_text(two.marks, 12)}"
    # one over the other they mirror each other across the gap, and neither has to be made smaller
    pair = fitted_pair(one.pieces[0], two.pieces[0], job.display, PAIR_MM)
    inner: list[Block] = [
        lettered_drawing(job, group, fitted, True) for group, fitted in zip((one, two), pair, strict=True)
    ]
    table = _joint_table(job, [one, two])
    if table is not None:
        inner.append(table)
    return [Heading(name, 2, f"drawing-{one.marks[0]}"), Together(tuple(inner))]


# Joints on the drawing and under it.


def joints_of(piece: PlacedPiece, numbers: Mapping[str, object]) -> list[tuple[str, list[Feature]]]:
    """The joints of a piece by where they lie on it, so that pieces drawn alike give the same order."""
    joints: dict[str, list[Feature]] = {}
    for feature in piece.features:
        if feature.joint in numbers:
            joints.setdefault(feature.joint, []).append(feature)
    return sorted(joints.items(), key=lambda item: min(_key(feature) for feature in item[1]))


def _key(feature: Feature) -> tuple[Spot, Spot]:
    return (feature.lo, feature.hi) if isinstance(feature, Cuboid) else (feature.centre, feature.centre)


def cuts_table(job: Job, piece: PlacedPiece, at: Position) -> Table | None:
    """Every cut and tenon of a piece with where it lies: from end A, from the face edge, from the face side; from the
    shoulder where one shows there."""
    display, unit, rows = job.display, job.display.units, []
    extents = gauged_extents(piece)
    for number, features in joints_of(piece, _numbers(job, piece)):
        for kind in dict.fromkeys(feature.kind for feature in features):
            corners = [_key(feature) for feature in features if feature.kind is kind]
            cells = [Cell.of(number), Cell.of(str(kind))]
            for axis, name in enumerate(("along", "across", "deep")):
                figure = f"{piece.mark} · joint {number} {kind} · {name}"
                runs: list[Run] = []
                flush = extents[axis].start.flush
                for low, high in sorted({(low[axis] + flush, high[axis] + flush) for low, high in corners}):
                    runs += [", "] if runs else []
                    runs.append(length_figure(figure, low, display, at))
                    runs += ["–", length_figure(figure, high, display, at)] if low != high else []
                cells.append(Cell(tuple(runs)))
            rows.append(Row(tuple(cells)))
    columns = (
        Column("Joint", "right", share=0.1, strong=True), Column("Cut", share=0.4),
        *(
            Column(f"from {'shoulder at ' if extent.start.shoulder else ''}{name}", "right", unit, share=0.4)
            for name, extent in zip(("end A", "face edge", "face side"), extents, strict=True)
        ),
    )  # fmt: skip
    return Table(f"cuts-{piece.mark}", columns, (Group(tuple(rows)),)) if rows else None


def _numbers(job: Job, piece: PlacedPiece) -> dict[str, str]:
    """The other piece of every joint of this one, by number."""
    return {str(meeting.number): other(meeting, piece.mark) for _, meeting in job.meets[piece.mark]}


def lettered_drawing(job: Job, group: DrawnGroup, fitted: FittedPiece, several: bool) -> Drawing:
    """The drawing of a group, each joint named by its number, or by a letter where it serves `several` pieces."""
    piece = group.pieces[0]
    joints = joints_of(piece, _numbers(job, piece))
    named = [(_letter(i) if several else number, features) for i, (number, features) in enumerate(joints)]
    return fitted.drawing(marks_text(group.marks, 8), named)


def own_drawings(job: Job, group: DrawnGroup, room_mm: tuple[float, float]) -> Iterator[OwnDrawing]:
    """The drawing of a group once for each of its pieces, with the joint numbers of that piece."""
    for piece in group.pieces:
        joints = joints_of(piece, _numbers(job, piece))
        drawing = strip(piece, room_mm, "", joints)  # the record's own title says which piece it is
        yield OwnDrawing(piece.mark, drawing)


def _letter(place: int) -> str:
    return LETTERS[place] if place < len(LETTERS) else f"{LETTERS[place % 26]}{place // 26 + 1}"


def _joint_table(job: Job, groups: list[DrawnGroup]) -> Table | None:
    """Which joint is which on every piece; the sizes of the joint once."""
    pieces = [piece for group in groups for piece in group.pieces]
    named = [joints_of(piece, _numbers(job, piece)) for piece in pieces]
    if not named[0]:
        return None
    name = f"joints-{pieces[0].mark}"
    if len(pieces) == 1:
        return _single_table(job, pieces[0], named[0], name)
    letters = [_letter(place) for place in range(len(named[0]))]
    words = [_size_words(job, features) for _, features in named[0]]
    if len(letters) <= MOST_COLUMNS:
        columns = [Column("", strong=True, share=0.2)]
        columns += [Column(f"{letter}  {word}") for letter, word in zip(letters, words, strict=True)]
        rows = [
            Row((Cell.of(piece.mark), *(Cell.of(f"{n} → {_numbers(job, piece)[n]}") for n, _ in joints)))
            for piece, joints in zip(pieces, named, strict=True)
        ]
        return Table(name, tuple(columns), (Group(tuple(rows)),))
    if len(pieces) > MOST_COLUMNS:
        return _long_table(job, pieces, letters, words, name)
    columns = [Column("", strong=True, share=0.1), Column("")]
    columns += [Column(piece.mark, share=0.5) for piece in pieces]
    rows = []
    for place, letter in enumerate(letters):
        cells = [Cell.of(letter), Cell.of(words[place])]
        for piece, joints in zip(pieces, named, strict=True):
            number = joints[place][0]
            cells.append(Cell.of(f"{number} → {_numbers(job, piece)[number]}"))
        rows.append(Row(tuple(cells)))
    return Table(name, tuple(columns), (Group(tuple(rows)),))


def _long_table(job: Job, pieces: list[PlacedPiece], letters: list[str], words: list[str], name: str) -> Table:
    """Many joints on many pieces: what each letter is, then each piece with all its joints in one cell."""
    meanings = tuple(Row((Cell.of(letter), Cell.of(word))) for letter, word in zip(letters, words, strict=True))
    rows = []
    for piece in pieces:
        partners = _numbers(job, piece)
        joints = zip(letters, joints_of(piece, partners), strict=True)
        told = ", ".join(f"{letter} {number}\u00a0→\u00a0{partners[number]}" for letter, (number, _) in joints)
        rows.append(Row((Cell.of(piece.mark), Cell.of(told))))
    columns = (Column("", strong=True, share=0.2), Column("Joints", share=3.0))
    return Table(name, columns, (Group(meanings), Group(tuple(rows))))


def _single_table(job: Job, piece: PlacedPiece, named: list[tuple[str, list[Feature]]], name: str) -> Table:
    partners = _numbers(job, piece)
    rows = tuple(
        Row((Cell.of(number), Cell.of(partners[number]), Cell.of(_size_words(job, features))))
        for number, features in sorted(named, key=lambda joint: int(joint[0]))
    )
    columns = (Column("Joint", "right", share=0.1, strong=True), Column("With", share=0.3), Column("", share=2.0))
    return Table(name, columns, (Group(rows),), folds=True)


def _size_words(job: Job, features: list[Feature]) -> str:
    """What is cut: "mortise ⅜ × 2¾, 1¼ deep" by thickness and width, and how far it goes in or stands out."""
    told: dict[str, int] = {}
    for feature in features:
        if not isinstance(feature, Cuboid):
            deep = f"{job.display.bare(feature.depth)} deep" if feature.depth is not None else "through"
            unseen = f", from {BENCH_NAMES[feature.face]}" if feature.face in UNSEEN else ""
            words = f"{feature.kind} Ø {job.display.drill(feature.diameter)}, {deep}{unseen}"
        else:
            words = f"{feature.kind} {job.display.bare_size(*sorted(feature.size))}"
        told[words] = told.get(words, 0) + 1
    return "; ".join(f"{count} × {words}" if count > 1 else words for words, count in told.items())

