"""Piece drawings are true: each piece as it stands, every joint at the end where its partner stands in the build.

Where things are comes from the build itself (places of pieces); which way one sees them from the directions of x, y, z:
looking at a face that looks to the front, x runs to the right; left and right are worked out with the vector product.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Drawing, Leader, Stroke, Words
from shopdocs.blocks.drawing import Line as DrawnLine
from shopdocs.blocks.sheets import Block, SideBySide, Together
from shopdocs.blocks.text import Bullets, Heading, Table, plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.core.display import Display, Units
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.drawn.measures import extents_mm, type_mm
from shopdocs.documents.drawn.piece_drawing import Marked, PieceSheet
from shopdocs.documents.drawn.season_details import FLUSH
from shopdocs.documents.drawn.season_details import ROOM as ROOM_LEFT
from shopdocs.documents.job import Job
from shopdocs.documents.piece_drawings import drawn_groups, joints_of
from shopdocs.documents.piece_records import own_drawings
from shopdocs.model.joining import Face
from shopdocs.model.parts import Direction
from shopdocs.page.typeface import width
from shopdocs.work.space.placed import Bore, Cuboid, FeatureKind, PlacedPiece, Pose, Spot, Toward, side_of
from tests.drawn_sheets import fitted_sheet
from tests.page.frame_checks import laid_items, line_through_text, small_digits, text_over_text
from tests.sample_jobs import BY_NAME, PLACED, document_of, job_of, sample_job

UNITS: tuple[Units, ...] = ("in", "mm")
Vector = tuple[int, int, int]
ROOM = (178.0, 150.0)


def job(name: str) -> Job:
    return sample_job(BY_NAME[name], "in" if name == "threshold_bench" else "mm")


def drawn_blocks(made: Job) -> tuple[Block, ...]:
    return document_of(made, "piece-drawings").blocks


@cache
def sheet_of(name: str, mark: str) -> PieceSheet:
    """The drawing of one piece of a sample."""
    made = job(name)
    piece = next(piece for piece in pieces(made) if piece.mark == mark)
    return fitted_sheet(numbered(made, piece), made.display, ROOM)


def numbered(job: Job, piece: PlacedPiece, placed: bool = True) -> Marked:
    return Marked(Gauged(piece), {number: number for number, _ in joints_of(job, piece)}, placed)


def pieces(job: Job) -> Iterator[PlacedPiece]:
    for group in drawn_groups(job):
        if group.pieces[0].features:
            yield from group.pieces


# Which way.


def cross(a: Vector, b: Vector) -> Vector:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def outward(piece: PlacedPiece, face: Face) -> Vector:
    axis, high = piece.pose.look_of(face)
    sign = 1 if high else -1
    return (sign * (axis == 0), sign * (axis == 1), sign * (axis == 2))


def in_build(piece: PlacedPiece, axis: int) -> Vector:
    """What a step along a piece axis is in the build."""
    toward = piece.pose.axes[axis]
    sign = 1 if toward.forward else -1
    return (sign * (toward.index == 0), sign * (toward.index == 1), sign * (toward.index == 2))


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_no_view_is_a_mirror_image(folder: Path) -> None:
    """Right and up on the paper, taken into the build, and what looks at the reader follow the right-hand rule."""
    checked = 0
    made = job(folder.name)
    for piece in pieces(made):
        sheet = sheet_of(folder.name, piece.mark)
        for view in sheet.views.every():
            zero = view.place((ZERO, ZERO, ZERO))
            right: Vector | None = None
            up: Vector | None = None
            for axis in range(3):
                spot = [ZERO, ZERO, ZERO]
                spot[axis] = Length(1)
                dx, dy = (b - a for a, b in zip(zero, view.place((spot[0], spot[1], spot[2])), strict=True))
                step = in_build(piece, axis)
                if dx:
                    right = step if dx > ZERO else (-step[0], -step[1], -step[2])
                if dy:
                    up = step if dy > ZERO else (-step[0], -step[1], -step[2])
            assert right is not None and up is not None
            assert cross(right, up) == outward(piece, view.face), (piece.mark, view.face)
            checked += 1
    assert checked > 8


def test_a_drawing_of_several_pieces_says_where_a_face_looks_on_all_of_them() -> None:
    """Of the rack's front posts both show their face side to the front; the face edge looks left on one, right on the
    other, so the drawing does not say."""
    sheet = document_of(sample_job(BY_NAME["plate_rack"], "in"), "piece-drawings")
    together = (block for block in walk(sheet.blocks) if isinstance(block, Together))
    posts = next(
        one for one in together if isinstance(one.blocks[0], Heading) and one.blocks[0].text.startswith("post  LF")
    )
    drawings = [block for block in walk(posts.blocks) if isinstance(block, Drawing)]
    words = {shape.text for drawing in drawings for shape in drawing.shapes if isinstance(shape, Words)}
    assert "face side, front" in words
    assert "face edge" in words


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_what_stands_upright_is_drawn_upright(folder: Path) -> None:
    """Up in the build is up on the paper for the face side and the faces beside it, where the face side is no top."""
    made = job(folder.name)
    upright = 0
    for piece in pieces(made):
        sheet = sheet_of(folder.name, piece.mark)
        rises = next(axis for axis in range(3) if piece.pose.axes[axis].index == 2)
        if rises == 2 or Face.FACE not in sheet.views.long:
            continue
        spot = [ZERO, ZERO, ZERO]
        spot[rises] = Length(1)
        view = sheet.views.long[Face.FACE]
        low, high = view.place((ZERO, ZERO, ZERO)), view.place((spot[0], spot[1], spot[2]))
        assert (high[1] > low[1]) == piece.pose.axes[rises].forward
        upright += 1
    assert upright


def middle(piece: PlacedPiece) -> list[float]:
    return [(low + high).float_mm() / 2 for low, high in zip(piece.at, piece.far, strict=True)]


def named_spots(drawing: Drawing) -> dict[str, tuple[float, float]]:
    """Where each name of a joint points on a drawing."""
    found = {}
    for shape in drawing.shapes:
        if isinstance(shape, Leader):
            found[shape.text.split(": ")[0]] = (shape.tip[0].float_mm(), shape.tip[1].float_mm())
        elif isinstance(shape, Words) and shape.strong and shape.boxed:
            found[shape.text] = (shape.at[0].float_mm(), shape.at[1].float_mm())
    return found


def hand_of(piece: PlacedPiece) -> tuple[int, int]:
    """The axis of the build that runs along the paper of a lying piece, and whether it runs to the right (1)."""
    length = in_build(piece, 0)
    axis = next(k for k in range(3) if length[k])
    front = outward(piece, Face.FACE)
    if front[2]:
        return axis, 1  # flat: left end or front end at the left
    right = cross((0, 0, 1), front)
    return axis, right[axis]


def check_ends(made: Job, piece: PlacedPiece, spots: dict[str, tuple[float, float]], partners: dict[str, str]) -> int:
    """Of two joints at the ends of a piece, that with the partner further to the right in the build stands further to
    the right on the drawing."""
    assert made.space is not None
    upright = piece.pose.length.index == 2
    axis, way = (2, 1) if upright else hand_of(piece)
    placed = [(middle(made.space.pieces[partner])[axis] * way, spots[name][1 if upright else 0])
              for name, partner in partners.items() if name in spots]  # fmt: skip
    count = 0
    half = piece.length.float_mm() / 2
    for one, at in placed:
        for two, there in placed:
            if two - one > half:
                assert there > at, (piece.mark, partners)
                count += 1
    return count


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_joints_stand_at_the_end_where_their_partner_stands(folder: Path) -> None:
    """On the sheet, for every piece of a drawing and for its mirror image, by the letters of the table; and on the
    record's drawing by number."""
    made = job(folder.name)
    assert made.space is not None
    tables = {block.name: block for block in walk(drawn_blocks(made)) if isinstance(block, Table)}
    checked = 0
    for group in drawn_groups(made):
        first = group.pieces[0]
        partners = {piece.mark: {str(meeting.number): meeting.receiving if meeting.entering == piece.mark
                                 else meeting.entering for _, meeting in made.meets[piece.mark]}
                    for piece in group.pieces}  # fmt: skip
        if not first.features:
            continue
        for own in own_drawings(made, group, (62.0, 80.0)):
            piece = next(piece for piece in group.pieces if piece.mark == own.mark)
            checked += check_ends(made, piece, named_spots(own.drawing), partners[own.mark])
        letters = lettered(tables, group.marks)
        if not letters:
            continue
        spots = letter_spots(made, first, letters[first.mark])
        for piece in group.pieces:
            by_letter = {letter: partners[piece.mark][number] for letter, number in letters[piece.mark].items()}
            checked += check_ends(made, piece, spots, by_letter)
    assert checked >= min(11, sum(1 for _ in made.build.meetings()))


def lettered(tables: dict[str, Table], marks: tuple[str, ...]) -> dict[str, dict[str, str]]:
    """For each piece the joint number under each letter, as the sheet's tables say it."""
    found: dict[str, dict[str, str]] = {}
    for table in tables.values():
        heads = [column.title.split("  ")[0] for column in table.columns]
        for group in table.groups:
            for row in group.rows:
                cells = [plain(cell.text) for cell in row.cells]
                if cells[0] in marks and any("→" in cell for cell in cells):
                    if heads[1] == "Joints":
                        pairs = re.findall(r"(\w+)\s(\d+)\s→", cells[1])
                        found[cells[0]] = dict(pairs)
                    else:
                        found[cells[0]] = {
                            head: cell.split(" ")[0]
                            for head, cell in zip(heads, cells, strict=True) if "→" in cell
                        }  # fmt: skip
    return found


def letter_spots(made: Job, piece: PlacedPiece, letters: dict[str, str]) -> dict[str, tuple[float, float]]:
    names = {number: letter for letter, number in letters.items()}
    sheet = fitted_sheet(Marked(Gauged(piece), names), made.display, ROOM)
    return named_spots(sheet.drawing(""))


def test_the_drawer_fronts_of_the_table_by_hand() -> None:
    """Seen from the front, SL1 is at the left of DF1 and SR1 at its right; SL2 at the left of DF2 and SR2, joint 30, at
    its right. Both fronts share a drawing; the letter at the left is the one of both left sides."""
    made = job("potting_table")
    tables = {block.name: block for block in walk(drawn_blocks(made)) if isinstance(block, Table)}
    letters = lettered(tables, ("DF1", "DF2"))
    first = next(group.pieces[0] for group in drawn_groups(made) if group.marks == ("DF1", "DF2"))
    spots = letter_spots(made, first, letters["DF1"])
    left, right = sorted((letter for letter in spots if letter in letters["DF1"] and letter != "b"),
                         key=lambda letter: spots[letter][0])  # fmt: skip
    partners = {str(m.number): m.entering for mark in ("DF1", "DF2") for _, m in made.meets[mark]}
    assert [partners[letters[mark][left]] for mark in ("DF1", "DF2")] == ["SL1", "SL2"]
    assert [partners[letters[mark][right]] for mark in ("DF1", "DF2")] == ["SR1", "SR2"]
    assert letters["DF2"][right] == "30"


# Dimensions.


def texts_of(sheet: PieceSheet) -> set[str]:
    return {shape.text for shape in sheet.shapes if isinstance(shape, Words)}


def leg() -> PlacedPiece:
    """By hand: 420 x 40 x 40, a mortise 8 wide from 350 to 410, 17 from the face side, 18 deep from the far edge; one
    from the back, 15 from the face edge, 18 deep, at the same height."""
    cuts = (
        Cuboid(FeatureKind.MORTISE, spot(350, 22, 17), spot(410, 40, 25), joint="1"),
        Cuboid(FeatureKind.MORTISE, spot(350, 15, 22), spot(410, 23, 40), joint="2"),
    )
    return PlacedPiece("L", "leg", spot(0, 0, 0), Length(420), Length(40), Length(40), UPRIGHT, cuts)


def spot(*values: int | str) -> Spot:
    a, b, c = (Length(v) for v in values)
    return (a, b, c)


X, Y, Z = (Toward(d) for d in Direction)
UPRIGHT = Pose(Z, X, Y)


def test_a_mortised_leg_by_hand() -> None:
    sheet = fitted_sheet(Marked(Gauged(leg()), {"1": "a", "2": "b"}), Display.of("mm"), ROOM)
    assert set(sheet.views.long) == {Face.FAR_EDGE, Face.BACK}, "worked faces, from outside"
    assert {"A 0", "0", "350", "410", "17", "25", "15", "23", "40"} <= texts_of(sheet)
    notes = {shape.text for shape in sheet.shapes if isinstance(shape, Leader)}
    assert notes == {"a: 18 deep", "b: 18 deep"}
    hidden = [s for s in sheet.shapes if isinstance(s, DrawnLine) and s.stroke is Stroke.HIDDEN]
    assert not hidden, "mortises are open where one looks on them"


def test_shoulders_are_knife_lines() -> None:
    """A rail of 400 between shoulders with tenons of 24: figures -24, 0, 400, 424; two lines run past its edges."""
    tenons = tuple(Cuboid(FeatureKind.TENON, spot(*a, 7), spot(*b, 15), True, "1")
                   for a, b in (((-24, 10), (0, 70)), ((400, 10), (424, 70))))  # fmt: skip
    rail = PlacedPiece(
        "R", "rail", spot(0, 0, 0), Length(400), Length(80), Length(22), Pose(X, Toward(Direction.Z, False), Y), tenons
    )
    sheet = fitted_sheet(Marked(Gauged(rail), {"1": "a"}), Display.of("mm"), ROOM)
    assert {"−24", "A 0", "400", "424", "10", "70", "80", "7", "15", "22"} <= texts_of(sheet)
    knives = [s for s in sheet.shapes if isinstance(s, DrawnLine) and s.stroke is Stroke.KNIFE]
    view = sheet.views.long[Face.FACE]
    assert sorted(abs(k.start[0] - knives[0].start[0]) for k in knives) == [ZERO, Length(400)]
    for line in knives:
        ys = sorted((line.start[1], line.end[1]))
        assert ys[0] < view.low[1] and view.high[1] < ys[1]


def test_a_drawer_groove_counts_from_the_sockets() -> None:
    """A lapped front 20 thick, sides 14: its sockets are 14 long from each end, and the groove runs into them."""
    made = job("potting_table")
    front = next(piece for piece in pieces(made) if piece.mark == "DF1")
    groove = next(shown for shown in Gauged(front).shown if shown.cuboid.kind is FeatureKind.GROOVE)
    assert (groove.lo[0], front.length - groove.hi[0]) == (Length(14), Length(14))
    assert groove.cuboid.lo[0] < Length(14), "the cut itself reaches into what the sockets take"


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_one_kind_of_dimensioning(folder: Path, units: Units) -> None:
    """Running figures alone: each row has its 0, and no dimension line with two arrows stands beside them."""
    for block in walk(drawn_blocks(sample_job(folder, units))):
        if isinstance(block, Drawing):
            assert not any(type(shape).__name__ == "Dimension" for shape in block.shapes)
            if block.name not in (ROOM_LEFT, FLUSH):
                assert any(isinstance(shape, Words) and shape.text in ("0", "A 0") for shape in block.shapes)


# Words.


def test_sizes_have_one_order() -> None:
    """Thickness × width × length: a tenon of 3/8 by 2-3/4, 1-1/4 long; of a mortise the depth comes last."""
    made = job("threshold_bench")
    told = {block.name: [column.title for column in block.columns] for block in walk(drawn_blocks(made))
            if isinstance(block, Table)}  # fmt: skip
    assert "a  tenon ³⁄₈ × 2³⁄₄ × 1¹⁄₄" in told["joints-RF"]
    assert any(title.endswith("mortise ³⁄₈ × 2³⁄₄, 1⁵⁄₁₆ deep") for title in told["joints-FL"])


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_notes_stand_on_the_drawing_of_their_piece_and_once(folder: Path) -> None:
    """Every note of a part, a piece or a joint follows the heading of a piece it belongs to, and no other."""
    made = job(folder.name)
    notes = {part.note for part in made.build.parts if part.note}
    notes |= {joint.note for joint in made.build.joints if joint.note and joint.meetings and made.space}
    under: dict[str, list[str]] = {}
    heading = ""
    for block in unfolded(drawn_blocks(made)):
        if isinstance(block, Heading):
            heading = block.text
        elif isinstance(block, Bullets):
            for item in texts(block):
                under.setdefault(heading, []).append(plain(item))
    for note in notes:
        places = [head for head, items in under.items() if any(note in item for item in items)]
        wanted = [part.name for part in made.build.parts if part.note == note]
        wanted += [part.name for joint in made.build.joints if joint.note == note for meeting in joint.meetings
                   for part in made.build.parts if meeting.entering in [p.mark for p in part.pieces]]  # fmt: skip
        assert places and all(any(head.startswith(name) for name in wanted) for head in places), note
        if note in {joint.note for joint in made.build.joints}:
            assert all(sum(note in item for item in under[head]) == 1 for head in places)


def unfolded(blocks: tuple[Block, ...]) -> Iterator[Block]:
    for block in blocks:
        if isinstance(block, Together):
            yield from unfolded(block.blocks)
        elif isinstance(block, SideBySide):
            for column in block.columns:
                yield from unfolded(column)
        else:
            yield block


def test_no_translated_words() -> None:
    for name in ("potting_table", "spice_cabinet", "threshold_bench"):
        made = job(name)
        told = " ".join(plain(line) for block in walk(drawn_blocks(made)) for line in texts(block))
        told += " ".join(column.title for block in walk(drawn_blocks(made)) if isinstance(block, Table)
                         for column in block.columns)  # fmt: skip
        assert name != "spice_cabinet" or "edge in the rabbet" in told, "the back is let in by its edges, not housed"
        for wrong in ("end left on", " the back,", "to the back"):
            assert wrong not in told, (name, wrong)


# On paper.


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_drawings_on_paper(folder: Path, units: Units) -> None:
    """No words over words, no line through words, no digit under 2 mm."""
    for block in walk(drawn_blocks(sample_job(folder, units))):
        if isinstance(block, Drawing):
            for drawing in (block, *block.larger):
                items = laid_items(drawing)
                assert text_over_text(items) == [], drawing.name
                assert line_through_text(items) == [], drawing.name
                assert small_digits(items) == [], drawing.name


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_no_leader_runs_over_a_joint_it_does_not_name(folder: Path) -> None:
    made = job(folder.name)
    crossed = []
    for piece in pieces(made):
        sheet = sheet_of(folder.name, piece.mark)
        scale = float(sheet.scale)
        for leader in (shape for shape in sheet.shapes if isinstance(shape, Leader)):
            (x0, y0), (x1, y1) = ((p[0].float_mm() * scale, p[1].float_mm() * scale) for p in (leader.tip, leader.at))
            for shown in sheet.gauged.shown:
                if shown.cuboid.adds or leader.text.split(": ")[0] == shown.cuboid.joint:
                    continue
                view = sheet.views.long.get(shown.face)
                if view is None:
                    continue
                a, b = view.place(shown.lo), view.place(shown.hi)
                xs, ys = (sorted(p[k].float_mm() * scale for p in (a, b)) for k in (0, 1))
                inside = [t for t in range(1, 200) if xs[0] + 0.2 < x0 + (x1 - x0) * t / 200 < xs[1] - 0.2
                          and ys[0] + 0.2 < y0 + (y1 - y0) * t / 200 < ys[1] - 0.2]  # fmt: skip
                if len(inside) > 4 and not (xs[0] <= x0 <= xs[1] and ys[0] <= y0 <= ys[1]):
                    crossed.append((piece.mark, leader.text, shown.cuboid.joint))
    assert crossed == []


@pytest.mark.parametrize(
    "text", ["a: 25.5 deep", "16³⁄₄", "10¹⁵⁄₁₆", "≈450.5", "2 × Ø 5.5 mm, through, slotted 12 long"]
)
def test_words_are_reckoned_no_narrower_than_they_are_set(text: str) -> None:
    """Against the widths of the typeface itself."""
    real = width(text, "regular", 12.0) * 25.4 / 72
    assert real * 0.99 <= type_mm(text, 12.0) <= real * 1.15


def test_a_piece_without_a_place_lies_on_its_back(tmp_path: Path) -> None:
    """Its face side is up, end A at the left, the face edge toward the maker, as its templates have it."""
    text = """
build: {title: Board, mark: B, units: mm}
materials: {ash: {kind: hardwood, rough: 40}}
parts: {board: {material: ash, size: 20 x 300 x 1000, pieces: [A1]}}
hardware:
  pins:
    holes: [{bit: 6, depth: through}]
    on: [{piece: A1, face: face, along: [200], across: 60}]
"""
    (tmp_path / "build.yaml").write_text(text)
    made = job_of(tmp_path / "build.yaml")
    (group,) = drawn_groups(made)
    sheet = fitted_sheet(Marked(Gauged(group.pieces[0]), {}, False), made.display, ROOM)
    view = sheet.views.long[Face.FACE]
    corner, along, across = (view.place(spot(*at)) for at in ((0, 0, 0), (100, 0, 0), (0, 100, 0)))
    assert along[0] > corner[0] and along[1] == corner[1]
    assert across[1] > corner[1] and across[0] == corner[0]
    assert {"200", "1000", "60", "300"} <= texts_of(sheet)
    box = extents_mm(sheet.shapes, sheet.scale)
    assert box[2] - box[0] <= ROOM[0] and box[3] - box[1] <= ROOM[1]
    assert isinstance(group.pieces[0].features[0], Bore) and side_of(Face.FACE) == (2, False)


def test_on_a_phone_long_pieces_are_drawn_large() -> None:
    """A screen is 62 mm wide in the measure of its words. A rail of 1000 that had to fit it would be drawn at 1:20 or
    smaller; up to two and a half screens wide, there is room for 1:8. An upright leg of 850 runs down the page."""
    made = job("potting_table")
    scales = {
        own.mark: own.drawing.scale
        for group in drawn_groups(made)
        for own in own_drawings(made, group, (62.0, 140.0))
        if own.mark in ("FD", "FL", "AB")
    }
    assert set(scales) == {"FD", "FL", "AB"}
    for mark, scale in scales.items():
        assert scale is not None and scale >= Fraction(1, 10), mark


def test_a_face_measures_the_corners_of_a_slanting_end_that_it_shows() -> None:
    """A leg of the stool, 40 square, is sawn level at 9.95 and tilted 6 degrees. Over its width that is 40 tan 9.95 =
    7.0, through its thickness 40 tan 6 / cos 9.95 = 4.3. The foot is the shorter at the back: of the corners at 0, 7,
    4.3 and 11.3 the face shows two. The shoulder is the shorter at the face, over which the back is seen; the middle
    of it, 5.6 below the long corner, is no corner at all."""
    leg = next(piece for piece in pieces(job("loft_stool")) if piece.mark == "FL")
    low = leg.size[0].float_mm()
    found = [place.float_mm() for place in Gauged(leg).stations(Face.FACE)]
    assert [place for place in found if place < 40] == [pytest.approx(7.0, abs=0.05)]
    upper = [place for place in found if low - 20 < place < low + 1]
    assert upper == pytest.approx([low - 11.3, low - 4.3, low], abs=0.05)
