"""Piece drawings: one for all pieces that look alike as they stand in the build, a mirror image beside its twin."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, Document, SideBySide, Together
from shopdocs.blocks.text import (
    Bullets,
    Cell,
    Column,
    Figure,
    Group,
    Heading,
    Paragraph,
    Row,
    Table,
    Text,
    Weight,
    plain,
    text,
)
from shopdocs.core.length import ZERO
from shopdocs.documents.drawn.gauged import MOST_ASKEW, Gauged
from shopdocs.documents.drawn.how_to_read import how_to_read
from shopdocs.documents.drawn.piece_drawing import Marked, PieceSheet, Twin
from shopdocs.documents.drawn.season_details import season_details
from shopdocs.documents.drawn.sizing import APART_MM, SHEET_MM, Sized, Unit, sized
from shopdocs.documents.drawn.stand import end_a_at, face_edge_at, looks, seen_from, seen_key, seen_shape, stand_of
from shopdocs.documents.figures import marks_text, size_text
from shopdocs.documents.fitting.crossed_holes import with_tenon_holes
from shopdocs.documents.fitting.driving import with_pilots
from shopdocs.documents.fitting.hands import borne_alone, hands
from shopdocs.documents.fitting.joint_cuts import cut_words
from shopdocs.documents.fitting.laid_on import laid_lines
from shopdocs.documents.fitting.off_square import slanted_line, slanting_words
from shopdocs.documents.job import Job, other
from shopdocs.documents.noting import note_lines, notes_of
from shopdocs.documents.outlines import point_tables, points_of
from shopdocs.documents.own_cuts import POINTS_BELOW, cut_lines, own_names
from shopdocs.documents.rounds import finished_name
from shopdocs.documents.seasons import season_notes
from shopdocs.model.joining import Face
from shopdocs.model.parts import Direction, Part, Piece
from shopdocs.work.cut_list import Size
from shopdocs.work.scene.in_space import bore_of
from shopdocs.work.scene.own_cuts import own_cuts, turned_pieces
from shopdocs.work.space.let_in import is_let_in
from shopdocs.work.space.placed import Bore, Cuboid, Feature, FeatureKind, PlacedPiece, Pose, Spot, Toward, pose_of

MOST_COLUMNS, NARROW_COLUMNS, MOST_BESIDE = 5, 4, 2
BESIDE_MM = 120.0  # a drawing no wider has its words beside it
LEAST_LINE_MM = 60.0  # lines of words in a narrower column become many
LETTERS = "abcdefghijklmnopqrstuvwxyz"


class DrawnGroup(Struct, frozen=True, dict=True):
    """Pieces that one drawing serves, for they look alike as they stand. `placed` says whether they have a place."""

    part: Part
    pieces: tuple[PlacedPiece, ...]
    placed: bool = True

    @cached_property
    def marks(self) -> tuple[str, ...]:
        """The marks of the pieces, in the order of the build."""
        return tuple(piece.mark for piece in self.pieces)

    @cached_property
    def gauged(self) -> Gauged:
        """The piece that is drawn for all of them, with its ends and cuts measured."""
        return Gauged(self.pieces[0])


def has_piece_drawings(job: Job) -> bool:
    """Whether anything can be drawn on a piece: the build has places, or holes."""
    return job.space is not None or bool(job.holes or job.build.cuts)


def drawn_groups(job: Job) -> tuple[DrawnGroup, ...]:
    """All pieces, in reading order of the first of each group. A piece without a place is drawn with its holes only."""
    return job.once(("drawn groups",), lambda: tuple(_drawn_groups(job)))


def _drawn_groups(job: Job) -> Iterator[DrawnGroup]:
    groups: dict[object, list[PlacedPiece]] = {}
    parts: dict[object, tuple[Part, bool]] = {}
    for part, piece in job.build.pieces():
        placed = job.space.pieces.get(piece.mark) if job.space is not None else None
        drawn = with_pilots(job, with_tenon_holes(job, placed)) if placed else _on_its_own(job, part, piece)
        key = seen_shape(drawn)
        groups.setdefault(key, []).append(drawn)
        parts[key] = (part, placed is not None)
    for key, pieces in groups.items():
        yield DrawnGroup(parts[key][0], tuple(pieces), parts[key][1])


def _on_its_own(job: Job, part: Part, piece: Piece) -> PlacedPiece:
    """A piece whose place is not said, lying on the bench with its face side up, the face edge toward the maker."""
    pose = pose_of(part, piece) or Pose(Toward(Direction.X), Toward(Direction.Y), Toward(Direction.Z, False))
    bores = tuple(bore_of(hole, part) for hole in job.holes_in(piece.mark))
    cuts = job.once(("features of own cuts",), lambda: own_cuts(job.build)).get(piece.mark, ())
    at = (ZERO, ZERO, ZERO)
    features: tuple[Feature, ...] = (*cuts, *bores)
    size = part.length, part.width, part.thickness
    turned = job.once(("rounds",), lambda: turned_pieces(job.build)).get(piece.mark)
    return PlacedPiece(piece.mark, part.name, at, *size, pose, features, part.material, turned)


def piece_drawings(job: Job) -> Document:
    """A drawing for each group of pieces with something to mark out; pieces with nothing are named at the end."""
    groups = drawn_groups(job)
    worked = [group for group in groups if group.pieces[0].features or group.pieces[0].turned]
    bare = [group for group in groups if not (group.pieces[0].features or group.pieces[0].turned)]
    units = _sized_units(job, _pairs(job, worked))
    laid = [piece.mark for unit, _ in units if unit.laid for piece in unit.pieces]
    blocks: list[Block] = [how_to_read(job, [group.pieces[0] for group in groups], laid)]
    drawn: list[str] = []
    for unit, size in units:
        blocks += unit.blocks(size, drawn)
        drawn += [piece.mark for piece in unit.pieces]
    blocks += _not_drawn(job, bare)
    question = "Where are the mortises, tenons, grooves and holes?"
    return Document("piece-drawings", "Piece drawings", question, tuple(blocks), runs_on=True)


def _sized_units(job: Job, pairs: Sequence[tuple[DrawnGroup, ...]]) -> list[tuple[_Unit, Sized]]:
    """What is drawn, and how large. A part that stands upright and shows so many faces side by side that it has no room
    at any scale is laid down; a pair that has no room even so is drawn as two."""
    units = [_Unit(job, pair) for pair in pairs]
    sizes = sized([unit.drawn for unit in units], job.display)
    crowded = {unit.groups[0].part.name for unit, size in zip(units, sizes, strict=True) if _is_crowded(unit, size)}
    if crowded:
        units = [_Unit(job, unit.groups, unit.groups[0].part.name in crowded) for unit in units]
        sizes = sized([unit.drawn for unit in units], job.display)
    close = [len(unit.groups) > 1 and not _has_room(size) for unit, size in zip(units, sizes, strict=True)]
    if any(close):
        apart: list[tuple[DrawnGroup, ...]] = []
        for unit, parted in zip(units, close, strict=True):
            apart += [(group,) for group in unit.groups] if parted else [unit.groups]
        return _sized_units(job, apart)
    return list(zip(units, sizes, strict=True))


def _is_crowded(unit: _Unit, size: Sized) -> bool:
    return unit.drawn.piece.gauged.stand.upright and not size.sheet.fits


def _not_drawn(job: Job, groups: Sequence[DrawnGroup]) -> list[Block]:
    """Pieces with nothing to mark out; without places also those that have joints alone. Their notes bear their marks,
    for they stand under no piece's heading."""
    jointed = [mark for group in groups for mark in group.marks if job.meets[mark]]
    rest = [mark for group in groups for mark in group.marks if not job.meets[mark]]
    told: list[Block] = []
    if jointed:
        told.append(Paragraph(text("Nothing but joints, by number among the mate marks: ", marks_text(jointed), ".")))
    if rest:
        told.append(Paragraph(text("No joints or holes, so the cut list is enough: ", marks_text(rest), ".")))
    lines: dict[str, list[DrawnGroup]] = {}
    for group in groups:
        lines.setdefault(group.part.name, []).append(group)
    items = [
        (f"{marks_text([mark for group in every for mark in group.marks], 12)}: ", *line)
        for every in lines.values()
        for line in note_lines(job, every[0].part, [mark for group in every for mark in group.marks])
    ]
    told += [Bullets(tuple(items))] if items else []
    return [Heading("Not drawn", 2), *told] if jointed or items else told


def _pairs(job: Job, groups: list[DrawnGroup]) -> list[tuple[DrawnGroup, ...]]:
    """The groups in their order, those of a handed pair together."""
    found = hands(
        [group.pieces[0] for group in groups], lambda piece: _numbers(job, piece), lambda i: _is_broad(groups[i])
    )
    return [tuple(groups[i] for i in some) for some in found]


def _is_broad(group: DrawnGroup) -> bool:
    """Whether the drawing of a piece with mortises at an angle has so many faces side by side, or so much that lies
    askew on one, that its mirror image, in small beside it, would make it too small to read."""
    gauged, cuboids = group.gauged, list(group.pieces[0].cuboids)
    if sum(map(is_let_in, cuboids)) > MOST_ASKEW:
        return True
    askew = any(cuboid.slant is not None for cuboid in cuboids)
    return askew and gauged.stand.upright and len(gauged.faces) > 2


class _Unit:
    """What one drawing shows: a group of pieces, and the group that mirrors it, `laid` down if they stand upright."""

    def __init__(self, job: Job, groups: tuple[DrawnGroup, ...], laid: bool = False) -> None:
        self.job, self.groups, self.laid = job, groups, laid
        self.pieces = [piece for group in groups for piece in group.pieces]
        self.named = _named(job, groups)  # for each piece its joints by name
        self.drawn = self._drawn()

    def _drawn(self) -> Unit:
        main = self._marked(self.groups[0])
        if len(self.groups) == 1:
            return Unit(main)
        one, other = (group.pieces[0] for group in self.groups)
        own = borne_alone(other, one)
        alone = self._marked(replace(self.groups[1], pieces=(replace(other, features=own),))) if own else None
        main = replace(main, alone={feature: self._marks(0) for feature in borne_alone(one, other)})
        if alone is not None:
            return Unit(main, alone=alone)
        return Unit(main, Twin(_without_end_cuts(self._marked(self.groups[1])), f"{self._marks(1)}: mirror image"))

    def _marks(self, hand: int) -> str:
        return marks_text(self.groups[hand].marks, 8)

    def _marked(self, group: DrawnGroup) -> Marked:
        names = {number: name for name, (number, _) in self.named[group.pieces[0].mark].items()}
        names |= own_names(self.job, group.marks)
        apart = frozenset(face for face in Face if len({looks(piece, face) for piece in group.pieces}) > 1)
        points = tuple(points_of(self.job, group.marks[0]))
        gauged = Gauged(group.pieces[0], True) if self.laid else group.gauged
        return Marked(gauged, names, group.placed, apart, points)

    def blocks(self, size: Sized, before: Sequence[str]) -> list[Block]:
        """The drawing with its words; what looks the same stands with the pieces drawn `before`."""
        names = "  and mirrored  ".join(marks_text(group.marks, 12) for group in self.groups)
        heading = Heading(f"{self.groups[0].part.name}  {names}", 2, f"drawing-{self.groups[0].marks[0]}")
        marks = [piece.mark for piece in self.pieces]
        lines = (*self._slanted(), *laid_lines(self.job, marks), *cut_lines(self.job, marks, POINTS_BELOW))
        told: list[Block] = [Bullets(lines)] if lines else []
        told += point_tables(self.job, [piece.mark for piece in self.pieces])
        told += season_notes(self.job, [piece.mark for piece in self.pieces])
        told += notes_of(self.job, self.groups[0].part, marks)
        details = season_details(self.job, [piece.mark for piece in self.pieces], before)
        narrow = self._narrow(size, heading, (*told, *details))
        sheets = (size.sheet, *size.larger)
        usual = self._beside(size, sheets, told) or self._under(size, sheets, told)
        lower = []
        if size.smaller is not None:
            smaller = (size.smaller, *size.larger, size.sheet)
            lower += [self._under(size, smaller, told), self._beside(size, smaller, told, MOST_BESIDE)]
        lower += [self._beside(size, sheets, told, MOST_BESIDE), self._under_alone(size, sheets, told)]
        closer = tuple((heading, *form, *details) for form in lower if form and form != usual)
        return [Together((heading, *usual, *details), True, narrow, closer)]

    def _under(self, size: Sized, sheets: Sequence[PieceSheet], told: Sequence[Block]) -> tuple[Block, ...]:
        """The drawing across the page, its size in its caption, its words under it."""
        caption, figures = self._size(), tuple(run for run in self._size() if isinstance(run, Figure))
        drawings = [replace(sheet.drawing(plain(caption)), figures=figures) for sheet in sheets]
        table = self._table()
        words = (*([table] if table is not None else []), *told)
        if size.alone is None:
            return (_grows(drawings, size.like), *words)
        return self._with_alone(size, sheets, drawings, words)

    def _under_alone(self, size: Sized, sheets: Sequence[PieceSheet], told: Sequence[Block]) -> tuple[Block, ...]:
        """The same with the lines of the words under what the mirror image bears alone, where that stands beside the
        drawing and is wide enough; else nothing."""
        if size.alone is None or not size.is_roomy(sheets[0]) or _wide_mm(size.alone) < LEAST_LINE_MM:
            return ()
        lines = tuple(block for block in told if isinstance(block, Bullets))
        (drawing, *words) = self._under(size, sheets, [block for block in told if block not in lines])
        assert isinstance(drawing, SideBySide)
        one, alone = drawing.columns
        return (replace(drawing, columns=(one, (*alone, *lines))), *words)

    def _with_alone(
        self, size: Sized, sheets: Sequence[PieceSheet], drawings: Sequence[Drawing], words: Sequence[Block]
    ) -> tuple[Block, ...]:
        """The drawing, no larger than what the mirror image bears alone, with that beside it or beside the words."""
        assert size.alone is not None
        most = max(size.alone.scale, sheets[0].scale)
        drawings = [one for one, sheet in zip(drawings, sheets, strict=True) if sheet.scale <= most]
        sheets = [sheet for sheet in sheets if sheet.scale <= most]
        alone, wide = size.alone.drawing(f"{self._marks(1)} only"), _wide_mm(size.alone)
        shares = (SHEET_MM - wide - APART_MM, wide)
        if size.is_roomy(sheets[0]):
            roomy = [one for one, sheet in zip(drawings, sheets, strict=True) if size.is_roomy(sheet)]
            return (SideBySide(((_grows(roomy, size.like),), (alone,)), shares), *words)
        drawing = _grows(drawings, size.like)
        return (drawing, SideBySide((tuple(words), (alone,)), shares))

    def _beside(
        self, size: Sized, sheets: Sequence[PieceSheet], told: Sequence[Block], most: int = MOST_COLUMNS
    ) -> tuple[Block, ...]:
        """The drawing with its words at its right; nothing where they have no room there."""
        table = self._table(most)
        words = (*([table] if table is not None else []), *told)
        slim = _wide_mm(sheets[0]) <= BESIDE_MM and all(_is_slim(one) for one in words)
        if not words or not slim or size.alone is not None:
            return ()
        drawing = _grows([sheet.drawing("") for sheet in sheets if _wide_mm(sheet) <= BESIDE_MM], size.like)
        at_right = (Paragraph(self._size(), Weight.QUIET), *words)
        return (SideBySide(((drawing,), at_right), (BESIDE_MM, SHEET_MM - BESIDE_MM - APART_MM)),)

    def _narrow(self, size: Sized, heading: Heading, told: Sequence[Block]) -> tuple[Block, ...]:
        """The same for a column of half the page, its size under the drawing; nothing where it has no room there."""
        if not size.narrow or size.alone is not None or not all(_is_slim(one, NARROW_COLUMNS) for one in told):
            return ()
        drawing, table = _grows([sheet.drawing("") for sheet in size.narrow], size.like), self._table(NARROW_COLUMNS)
        rows = (table,) if table is not None else ()
        return (heading, drawing, Paragraph(self._size(), Weight.QUIET), *rows, *told)

    def _slanted(self) -> Iterator[Text]:
        """How mortises and holes go in that do so at an angle, those alike together."""
        alike: dict[str, list[str]] = {}
        named = self.named[self.pieces[0].mark]
        for name in sorted(named, key=lambda name: (len(name), name)):
            for feature in named[name][1]:
                if isinstance(feature, Bore):
                    words = slanting_words(feature, self.job.display)
                else:
                    words = slanted_line(self.job, feature)
                if words and name not in alike.setdefault(words, []):
                    alike[words].append(name)
        meetings = {str(meeting.number) for _, meeting in self.job.build.meetings()}
        for bore in self.pieces[0].bores:
            if bore.slanting is not None and bore.joint not in meetings:
                words = slanting_words(bore, self.job.display)
                alike.setdefault(words, []).append(f"Ø {self.job.display.drill(bore.diameter)} of the {bore.joint}")
        for words, names in alike.items():
            yield text(f"{', '.join(names)}: {words}")

    def _size(self) -> Text:
        """Finished size, and over the joints, as the cut list has them."""
        row = self.job.rows[self.pieces[0].mark]
        part = self.groups[0].part
        step = finished_name(self.job, part, self.pieces[0].mark).lower()
        told: Text = (*_size_runs(self.job, part, "finished", row.finished), f" {step}")
        if row.joinery != row.finished:
            told = (*told, ", ", *_size_runs(self.job, part, "with joinery", row.joinery), " with joinery")
        return told

    def _table(self, most: int = MOST_COLUMNS) -> Table | None:
        """Which joint is which on every piece; the sizes of the joint once. At `most` so many have a column each, how a
        piece is seen counted for two."""
        first = self.named[self.pieces[0].mark]
        name = f"joints-{self.pieces[0].mark}"
        if not first:
            return None
        words = {name: cut_words(self.job, features, self.pieces[0]) for name, (_, features) in first.items()}
        if len(self.pieces) == 1:
            return self._single(first, words, name)
        stands = self._stands()
        if len(words) + (2 if stands and most < MOST_COLUMNS else 0) <= most:
            columns = [Column("", strong=True, share=0.2)] + ([Column("Face side seen", share=1.5)] if stands else [])
            columns += [Column(f"{letter}  {word}") for letter, word in words.items()]
            rows = [
                Row(
                    (
                        Cell.of(piece.mark),
                        *([Cell.of(stands[piece.mark])] if stands else []),
                        *(Cell.of(self._partner(piece, letter)) for letter in words),
                    )
                )
                for piece in self.pieces
            ]
            return Table(name, tuple(columns), (Group(tuple(rows)),), fitted=True)
        return self._long(words, name)

    def _partner(self, piece: PlacedPiece, letter: str) -> str:
        number = self.named[piece.mark][letter][0]
        return f"{number} → {_numbers(self.job, piece)[number]}"

    def _stands(self) -> dict[str, str]:
        """From where the face side of each is seen and where its end A lies then, where they differ, and its face edge
        where those that one drawing serves have it on two sides; empty where nothing differs. The drawing has the end A
        and the face edge of the first."""
        ends = {piece.mark: end_a_at(stand_of(piece)) for piece in self.pieces}
        told = {piece.mark: f"{seen_from(piece)}, end\u00a0A {ends[piece.mark]}" for piece in self.pieces}
        if len(set(told.values())) == 1:  # which end lies where is as on the drawing
            told = {piece.mark: seen_from(piece) for piece in self.pieces}
        for mark in self.groups[0].marks:
            if ends[mark] != ends[self.pieces[0].mark]:
                told[mark] += ": 0 is at end\u00a0B"
        for group in self.groups:
            edges = {piece.mark: face_edge_at(stand_of(piece)) for piece in group.pieces}
            for mark in edges if len(set(edges.values())) > 1 else ():
                told[mark] += f", face\u00a0edge {edges[mark]}"
                told[mark] += ": 0 is at the far\u00a0edge" if edges[mark] != edges[group.marks[0]] else ""
        return told if len(set(told.values())) > 1 and self.groups[0].placed else {}

    def _long(self, words: Mapping[str, str], name: str) -> Table:
        """Many joints on several pieces: what each letter is, then each piece with all its joints in one cell."""
        stands = self._stands()
        rows = []
        for piece in self.pieces:
            told = ", ".join(f"{letter} {self._partner(piece, letter)}".replace(" ", "\u00a0") for letter in words)
            how = f"face side seen {stands[piece.mark]}; " if stands else ""
            rows.append(Row((Cell.of(piece.mark), Cell.of(how + told))))
        alike: dict[str, list[str]] = {}
        for letter, word in words.items():
            alike.setdefault(word, []).append(letter)
        meanings = tuple(Row((Cell.of(" ".join(letters)), Cell.of(word))) for word, letters in alike.items())
        share = max(0.2, 0.09 * max(map(len, alike.values())))
        columns = (Column("", strong=True, share=share), Column("Joints", share=3.0))
        return Table(name, columns, (Group(meanings), Group(tuple(rows))))

    def _single(self, named: Named, words: Mapping[str, str], name: str) -> Table:
        partners = _numbers(self.job, self.pieces[0])
        order = sorted(named, key=int)
        rows = tuple(Row((Cell.of(n), Cell.of(partners[n]), Cell.of(words[n]))) for n in order)
        columns = (Column("Joint", "right", share=0.1, strong=True), Column("With", share=0.3), Column("", share=2.0))
        return Table(name, columns, (Group(rows),), folds=True)


def _without_end_cuts(marked: Marked) -> Marked:
    """A piece without the angles of its ends: a mirror image shows which way they slope, and the piece beside it says
    how far."""
    ends = {cuboid.joint for cuboid in marked.gauged.piece.cuboids if cuboid.kind is FeatureKind.END_CUT}
    return replace(marked, names={key: name for key, name in marked.names.items() if key not in ends})


def _grows(drawings: Sequence[Drawing], like: str) -> Drawing:
    """The first of the drawings, which brings the others for a page that has the room."""
    return replace(drawings[0], larger=tuple(drawings[1:]), like=like)


def _is_slim(block: Block, most: int = 3) -> bool:
    """Whether it may stand in a column: a table of many columns becomes tall there."""
    return not isinstance(block, Table) or len(block.columns) <= most


def _has_room(size: Sized) -> bool:
    """Whether a drawing fits, and what its mirror image bears alone has room beside it or beside its words."""
    roomy = size.alone is None or size.is_roomy(size.sheet) or _wide_mm(size.alone) <= BESIDE_MM / 2
    return size.sheet.fits and roomy


def _wide_mm(sheet: PieceSheet) -> float:
    left, _, right, _ = sheet.box
    return right - left


# Which joint is which.

Named = dict[str, tuple[str, list[Feature]]]  # a joint's number and its features, by what the drawing calls it


def _numbers(job: Job, piece: PlacedPiece) -> dict[str, str]:
    """The other piece of every joint of this one, by number."""
    return {str(meeting.number): other(meeting, piece.mark) for _, meeting in job.meets[piece.mark]}


def joints_of(job: Job, piece: PlacedPiece) -> list[tuple[str, list[Feature]]]:
    """The joints of a piece by where they lie on its drawing, so that pieces drawn alike give the same order."""
    return _sorted(job, piece, lambda feature: seen_key(feature, piece))


def _sorted(
    job: Job, piece: PlacedPiece, key: Callable[[Feature], tuple[Spot, Spot]]
) -> list[tuple[str, list[Feature]]]:
    numbers = _numbers(job, piece)
    joints: dict[str, list[Feature]] = {}
    for feature in piece.features:
        if feature.joint in numbers:
            joints.setdefault(feature.joint, []).append(feature)
    return sorted(joints.items(), key=lambda item: min(key(feature) for feature in item[1]))


def place_key(feature: Feature) -> tuple[Spot, Spot]:
    """Where a feature lies on its piece, its low corner and its high one, for sorting."""
    return (feature.lo, feature.hi) if isinstance(feature, Cuboid) else (feature.centre, feature.centre)


def _named(job: Job, groups: Sequence[DrawnGroup]) -> dict[str, Named]:
    """The joints of every piece by what the drawing calls them: by their numbers where it serves one piece; else by
    letters, one letter for what lies at one place of the drawing, and on the mirror image for what mirrors it."""
    pieces = [piece for group in groups for piece in group.pieces]
    first = pieces[0]
    seen = joints_of(job, first)
    if len(pieces) == 1:
        return {first.mark: {number: (number, features) for number, features in seen}}
    letters = {number: _letter(place) for place, (number, _) in enumerate(seen)}
    found: dict[str, Named] = {}
    for group in groups:
        # as marked out from the same faces, the joints of both hands come in one order
        own = zip(_sorted(job, first, place_key), _sorted(job, group.pieces[0], place_key), strict=True)
        here = letters if group is groups[0] else {theirs: letters[mine] for (mine, _), (theirs, _) in own}
        order = [here[number] for number, _ in joints_of(job, group.pieces[0])]
        for piece in group.pieces:
            named = dict(zip(order, joints_of(job, piece), strict=True))
            found[piece.mark] = {letter: named[letter] for letter in sorted(named, key=list(letters.values()).index)}
    return found


def _letter(place: int) -> str:
    return LETTERS[place] if place < len(LETTERS) else f"{LETTERS[place % 26]}{place // 26 + 1}"


# Sizes.


def _size_runs(job: Job, part: Part, what: str, size: Size) -> Text:
    at = part.at
    measures = (("thickness", size.thickness, at), ("width", size.width, at), ("length", size.length, at))
    return size_text(f"{part.name} · {what}", replace(job.display, both=False), *measures)
