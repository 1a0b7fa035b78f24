"""Piece drawings: one for every group of pieces that are marked out alike, handed pairs as pairs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, Document, Together
from shopdocs.blocks.text import Cell, Column, Group, Heading, Paragraph, Row, Run, Table, Weight, text
from shopdocs.core.length import ZERO
from shopdocs.core.problems import Position
from shopdocs.documents.drawn.named import FittedPiece
from shopdocs.documents.drawn.piece_drawing import UNSEEN
from shopdocs.documents.drawn.sizing import Sized, sized
from shopdocs.documents.drawn.strip import strip
from shopdocs.documents.figures import length_figure, marks_text
from shopdocs.documents.fitting.alike import own_shape
from shopdocs.documents.fitting.crossing import with_tenon_holes
from shopdocs.documents.job import Job, other
from shopdocs.documents.noting import joint_notes
from shopdocs.documents.yard.board_drawings import UNIT_WORDS
from shopdocs.model.joining import BENCH_NAMES
from shopdocs.model.parts import Direction, Part
from shopdocs.work.joints.room import leaves_usual_room, usual_room
from shopdocs.work.scene.in_space import bore_of
from shopdocs.work.space.ends import gauged_extents
from shopdocs.work.space.placed import Cuboid, Feature, PlacedPiece, Pose, Spot, Toward

MOST_COLUMNS = 6
LETTERS = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True, slots=True)
class DrawnGroup:
    """Pieces that one drawing serves: they are marked out alike."""

    part: Part
    pieces: tuple[PlacedPiece, ...]

    @property
    def marks(self) -> tuple[str, ...]:
        """The marks of the pieces, in the order of the build."""
        return tuple(piece.mark for piece in self.pieces)


@dataclass(frozen=True, slots=True)
class OwnDrawing:
    """The drawing of one piece, for its record."""

    mark: str
    drawing: Drawing


def has_piece_drawings(job: Job) -> bool:
    """Whether anything can be drawn on a piece: the build has places, or holes."""
    return job.space is not None or bool(job.holes)


def drawn_groups(job: Job) -> tuple[DrawnGroup, ...]:
    """All pieces, in reading order of the first of each group. A piece without a place is drawn with its holes only."""
    groups: dict[object, list[PlacedPiece]] = {}
    parts: dict[object, Part] = {}
    kinds = job.alike.kind_of if job.alike is not None else {}
    for part, piece in job.build.pieces():
        placed = job.space.pieces.get(piece.mark) if job.space is not None else None
        drawn = with_tenon_holes(job, placed) if placed else _on_its_own(job, part, piece.mark)
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
    """A drawing for each group of pieces with something to mark out; pieces with nothing are named at the end."""
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
    if any(bore.note for group in groups for bore in group.pieces[0].bores):
        words += " Drawbore is how much nearer to the shoulder a tenon's hole lies than the one in the other piece."
    blocks: list[Block] = [Paragraph(text(words), Weight.QUIET)]
    units = _units(worked)
    sizes = sized([tuple(group.pieces[0] for group in unit) for unit in units], job.display)
    for unit, size in zip(units, sizes, strict=True):
        blocks += _unit_blocks(job, unit, size)
    if plain:
        blocks.append(Paragraph(text("Without joints or holes, the cut list says all: ", marks_text(plain), ".")))
    blocks += joint_notes(job.build.joints)
    question = "Where are the mortises, tenons, grooves and holes?"
    return Document("piece-drawings", "Piece drawings", question, tuple(blocks))


def _units(groups: list[DrawnGroup]) -> list[tuple[DrawnGroup, ...]]:
    """The groups in their order, those of a handed pair together."""
    done: set[int] = set()
    units: list[tuple[DrawnGroup, ...]] = []
    for i, group in enumerate(groups):
        if i not in done:
            pair = _other_hand(i, groups)
            units.append((group,) if pair is None else (group, groups[pair]))
            done |= {i} if pair is None else {i, pair}
    return units


def _other_hand(index: int, groups: list[DrawnGroup]) -> int | None:
    """The later group that is the mirror image, marked out alike from the same faces."""
    first = groups[index].pieces[0]
    for i in range(index + 1, len(groups)):
        second = groups[i].pieces[0]
        if own_shape(first) == own_shape(second) and first.pose.right_handed != second.pose.right_handed:
            return i
    return None


def _unit_blocks(job: Job, unit: tuple[DrawnGroup, ...], size: Sized) -> list[Block]:
    names = "  and mirrored  ".join(marks_text(group.marks, 12) for group in unit)
    several = len(unit) > 1 or len(unit[0].pieces) > 1
    inner: list[Block] = []
    for i, (group, fitted) in enumerate(zip(unit, size.fitted, strict=True)):
        larger = tuple(lettered_drawing(job, group, each[i], several) for each in size.larger)
        inner.append(replace(lettered_drawing(job, group, fitted, several), larger=larger, like=size.like))
    table = _joint_table(job, list(unit))
    if table is not None:
        inner.append(table)
    return [Heading(f"{unit[0].part.name}  {names}", 2, f"drawing-{unit[0].marks[0]}"), Together(tuple(inner))]


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
