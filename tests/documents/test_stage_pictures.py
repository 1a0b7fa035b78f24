"""Pictures of a build and of its stages: what stands, what goes on now, in which direction and order."""

from __future__ import annotations

import re
from collections import Counter
from fractions import Fraction
from math import dist
from pathlib import Path

import numpy as np
import pytest

from shopdocs.blocks.drawing import Arrow, Circle, Drawing, Leader, Line, Point, Stroke, Words
from shopdocs.blocks.sheets import Block, Together
from shopdocs.blocks.text import Checklist, Paragraph, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.length import Length
from shopdocs.documents.drawn.build_pictures import (
    _best_shown,
    assembled_picture,
    drawn_back,
    exploded_picture,
    of_triangle,
    stage_picture,
    taken_apart,
)
from shopdocs.documents.drawn.clamped import clamped_picture
from shopdocs.documents.drawn.numbered_arrows import clear_of_each_other, covered, disc_of
from shopdocs.documents.drawn.pictures import Picture, drawn, frame_of
from shopdocs.documents.drawn.wet import _round, wet_faces, wet_pins
from shopdocs.documents.job import Job
from shopdocs.documents.stage_rooms import pictures_of
from shopdocs.work.order.runs import runs_of
from shopdocs.work.scene.opened import Moves, opened
from shopdocs.work.scene.taken_apart import TakenApart
from shopdocs.work.shapes.projection import ISOMETRIC
from shopdocs.work.space.contacts import find_contacts
from shopdocs.work.space.placed import Scene
from tests.documents.test_bridles_at_an_angle import BRACKET, GLUED
from tests.sample_jobs import BY_NAME, PLACED, document_of, job_of, sample_job
from tests.values import replace
from tests.work.shapes.test_pictures import astray

ROOM = (178.0, 120.0)


def marks_in(drawing: Drawing) -> set[str]:
    return {s.text for s in drawing.shapes if isinstance(s, Leader) or (isinstance(s, Words) and s.boxed)}


def stage(name: str, number: int) -> Picture:
    job = sample_job(BY_NAME[name], "mm")
    found = stage_picture(job, job.stages[number - 1], ROOM)
    assert found is not None
    return found


def test_a_stage_shows_what_stands_pale_and_what_goes_on_bold_with_its_marks() -> None:
    """As the build file says: the whole frame is two stretchers and what the first three stages glued. Its first thing
    stands; pale is what was glued before and does not move now."""
    found = stage("potting_table", 4)
    assert marks_in(found.drawing) == {"LS1", "LS2", "Left end", "Right end", "Drawer frame"}
    assert marks_in(stage("potting_table", 1).drawing) == {"FL", "BL", "AL", "EL"}
    strokes = {s.stroke for s in found.drawing.shapes if isinstance(s, Line)}
    assert {Stroke.THIN, Stroke.KNIFE} <= strokes


def test_pieces_stand_back_against_the_way_they_go_on() -> None:
    """The left end of the table: legs at x 40 to 100, the apron and the stretcher along y between them. What goes on
    moves along y alone, so that it stands back along y alone, and the arrow runs that way."""
    job = sample_job(BY_NAME["potting_table"], "mm")
    assert job.space is not None
    work = job.stages[0]
    scene = Scene.of(job.space.pieces[mark] for mark in ("FL", "BL", "AL", "EL"))
    every = [str(number) for number, _ in enumerate(work.order.closings, 1)]
    shifts, arrows = drawn_back(find_contacts(scene), work.order.closings, every)
    assert {shift[0] for shift in shifts} == {0} and {shift[2] for shift in shifts} == {0}
    assert any(shift[1] for shift in shifts)
    moves = [number for number, closing in enumerate(work.order.closings, 1) if closing.onto]
    assert [going.words for going in arrows] == [str(number) for number in moves]
    for start, end, words in ((going.start, going.end, going.words) for going in arrows):
        axis, high = work.order.closings[int(words) - 1].toward
        assert [a != b for a, b in zip(start, end, strict=True)] == [k == axis for k in range(3)]
        assert (end[axis] > start[axis]) == high
    drawn = [s for s in stage("potting_table", 1).drawing.shapes if isinstance(s, Arrow)]
    assert len(drawn) == len(arrows)


def numbers_of(block: Block) -> tuple[set[int], set[int]]:
    """Of a stage: the numbers in discs in its pictures, and those before its steps, without what it starts with and
    what is put together as the picture shows it of another."""
    drawn, told = set(), set()
    for each in walk((block,)):
        if isinstance(each, Drawing):
            drawn |= {int(s.text) for s in each.shapes if isinstance(s, Words) and s.text.isdigit()}
        if isinstance(each, Checklist):
            steps = [plain(step.text).split(None, 1) for step in each.steps]
            shown = [(n, words) for n, words in steps if not words.startswith(("Start with", "The same again"))]
            told |= {int(number) for number, _ in shown if number.isdigit()}
    return drawn, told


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_a_number_in_the_picture_is_that_of_its_step(folder: Path) -> None:
    """Each number once in the pictures of a stage, on the arrow of its step; what has no place for its disc but is told
    does not occur in the samples."""
    stages = [b for b in document_of(sample_job(folder, "mm"), "glue-up").blocks if isinstance(b, Together)]
    found = [numbers_of(block) for block in stages]
    assert any(drawn for drawn, _ in found)
    assert all(drawn == told for drawn, told in found if drawn)


def test_slats_that_go_in_alike_are_one_step() -> None:
    """Six slats from the front into the same rail, then the other rail over all of them: three steps."""
    job = sample_job(BY_NAME["plate_rack"], "mm")
    wet, later = runs_of(job.build, job.stages[2])
    assert [[mark for move in run for mark in move.marks] for run in wet] == [
        ["BU"],
        ["U1", "U2", "U3", "U4", "U5", "U6"],
        ["FU"],
    ]
    assert not later


def test_a_second_drawer_is_put_together_as_the_first() -> None:
    """Front, left side, back and right side of the first, and its bottom when the glue has set: the second has the same
    parts on the same sides, and is one step. The picture shows the first, so that it can be twice as large."""
    job = sample_job(BY_NAME["potting_table"], "mm")
    work = job.stages[4]
    wet, later = runs_of(job.build, work)
    assert [[mark for move in run for mark in move.marks] for run in wet] == [
        ["DF1"],
        ["SL1"],
        ["DB1"],
        ["SR1"],
        ["DF2", "SL2", "DB2", "SR2"],
    ]
    assert [[mark for move in run for mark in move.marks] for run in later] == [["DM1", "DM2"]]
    assert marks_in(stage("potting_table", 5).drawing) == {"DF1", "SL1", "DB1", "SR1", "DM1"}
    lists = [b for b in walk(document_of(job, "glue-up").blocks) if isinstance(b, Checklist)]
    told = [plain(step.text) for each in lists for step in each.steps]
    assert "5\u00a0\u00a0The same again with DF2, SL2, DB2 and SR2" in told
    assert "6\u00a0\u00a0DM1 into DF1, SL1 and SR1 together, from the rear; DM2 likewise" in told


def test_what_differs_is_not_the_same_again() -> None:
    """With a batch of glue begun at the second side, or a side from elsewhere, each move is a step of its own."""
    job = sample_job(BY_NAME["potting_table"], "mm")
    work = job.stages[4]
    assert work.mix is not None
    late = work.order.closings[-1]
    portion = replace(work.mix.portions[0], numbers=(late.joints[0][1].number,))
    mixed = replace(work, mix=replace(work.mix, portions=(work.mix.portions[0], portion)))
    assert [len(run) for run in runs_of(job.build, mixed)[0]] == [1] * 8
    turned = (*work.order.closings[:-1], replace(late, toward=(2, True)))
    other = replace(work, order=replace(work.order, closings=turned))
    assert [len(run) for run in runs_of(job.build, other)[0]] == [1] * 8


def test_a_run_ends_where_glue_is_mixed_anew() -> None:
    """The first joint of a batch begins a step, so that the mixing stands before it."""
    job = sample_job(BY_NAME["plate_rack"], "mm")
    work = job.stages[2]
    assert work.mix is not None
    third = work.order.closings[3].joints[0][1].number
    portion = replace(work.mix.portions[0], numbers=(third,))
    mixed = replace(work, mix=replace(work.mix, portions=(work.mix.portions[0], portion)))
    wet, _ = runs_of(job.build, mixed)
    assert [len(run) for run in wet] == [1, 2, 4, 1]


def test_faces_that_take_glue_are_dotted() -> None:
    """A dry joint has none: of the cabinet's door only the tenons are glued, its panel floats; drawn alone, a stage of
    nothing but screws has none either."""
    for name, number in (("potting_table", 1), ("spice_cabinet", 1), ("threshold_bench", 3)):
        found = [s for s in stage(name, number).drawing.shapes if isinstance(s, Circle) and s.fill == "ink"]
        assert len(found) > 4, name
    job = sample_job(BY_NAME["spice_cabinet"], "mm")
    assert job.space is not None
    work = job.stages[0]
    contacts = find_contacts(Scene.of(job.space.pieces[mark] for mark in work.stage.pieces))
    glued = [(m.entering, m.receiving) for joint, m in work.meetings if joint.glued]
    touched = {contacts.scene.pieces[face.solid].mark for face in wet_faces(contacts, glued)}
    assert touched == {"DL", "DR", "DT", "DB"}


def test_round_tenons_are_dotted_on_their_round() -> None:
    """By hand, from the stool's build: four tenons of 25 into the seat, four of 16 on the side stretchers, two of 14 on
    the middle one. Every dot lies half as far from the middle of its tenon; where tenons stand free there are some."""
    job = sample_job(BY_NAME["loft_stool"], "mm")
    assert job.space is not None
    solids, per_mm = job.space.scene.solids, job.space.scene.ticks.per_mm
    pins = wet_pins(solids, {str(meeting.number) for _, meeting in job.stages[1].meetings})
    marks = Counter(job.space.scene.pieces[wet.solid].mark for wet in pins)
    assert marks == {"FL": 1, "FR": 1, "BL": 1, "BR": 1, "SL": 2, "SR": 2, "M": 2}
    wide = {"FL": 25.0, "FR": 25.0, "BL": 25.0, "BR": 25.0, "SL": 16.0, "SR": 16.0, "M": 14.0}
    for wet in pins:
        faces = [spot for face in wet.pin.body.faces for spot in face]
        middle = np.mean(faces, axis=0) + np.array(solids[wet.solid].body.lo)
        spots = list(_round(wet.pin, solids[wet.solid], ISOMETRIC, 4 * per_mm))
        assert len(spots) > 5
        way = np.array(wet.pin.way)
        for spot in spots:
            off = np.array(spot) - middle
            away = float(np.linalg.norm(off - way * (off @ way))) / per_mm
            assert abs(away - wide[job.space.scene.pieces[wet.solid].mark] / 2) < 0.15
    shown = [s for s in stage("loft_stool", 2).drawing.shapes if isinstance(s, Circle) and s.fill == "ink"]
    assert len(shown) > 10


@pytest.mark.parametrize(("name", "count"), [("threshold_bench", 3), ("spice_cabinet", 6), ("potting_table", 5)])
def test_every_clamp_stands_in_the_picture_with_its_number(name: str, count: int) -> None:
    """The largest stage of each sample; a clamp is five lines, whose parts that are seen are drawn heavy."""
    job = sample_job(BY_NAME[name], "mm")
    work = max(job.stages, key=lambda work: len(work.members))
    drawing = clamped_picture(job, work, ROOM)
    assert drawing is not None
    assert {s.text for s in drawing.shapes if isinstance(s, Words)} == {f"C{n}" for n in range(1, count + 1)}
    heavy = [s for s in drawing.shapes if isinstance(s, Line) and s.stroke is Stroke.REFERENCE]
    assert len(heavy) >= 3 * count
    # spindles are drawn as long as pad and tail: 1/40 and 1/11 of the longest side of what is clamped (our own measure)
    assert job.space is not None
    pieces = [piece for piece in job.space.scene.pieces if piece.mark in work.members]
    longest = max(max(p.far[k].mm for p in pieces) - min(p.at[k].mm for p in pieces) for k in range(3))
    wanted = float(longest) * (1 / 40 + 1 / 11)
    assert [s for s in heavy if dist(_mm(s.start), _mm(s.end)) == pytest.approx(wanted, rel=0.005)]


def _mm(point: Point) -> tuple[float, float]:
    return float(point[0].mm), float(point[1].mm)


def test_a_panel_is_glued_up_of_its_strips() -> None:
    """The bench's top is of three strips."""
    assert marks_in(stage("threshold_bench", 4).drawing) == {"Ta", "Tb", "Tc"}


def test_doors_swing_on_their_hinge_and_drawers_are_found() -> None:
    """The cabinet's door, 0 to 420 across and 22 thick, hangs on the left: opened it stands with its hinge edge where
    it was, x 0 to 22, and reaches from the front, y 0, out to 420 before it. The table's drawers have five pieces."""
    cabinet = sample_job(BY_NAME["spice_cabinet"], "mm")
    assert cabinet.space is not None
    found = opened(cabinet.build, cabinet.space.scene)
    (door,) = found.units
    assert door.moves is Moves.DOOR
    pieces = [found.scene.pieces[i] for i in door.pieces]
    assert sorted(piece.mark for piece in pieces) == ["DB", "DL", "DP", "DR", "DT"]
    assert [min(p.at[k].mm for p in pieces) for k in range(3)] == [0, -420, 2]
    assert [max(p.far[k].mm for p in pieces) for k in range(3)] == [22, 0, 558]
    left, right = (next(p for p in pieces if p.mark == mark) for mark in ("DL", "DR"))
    assert left.far[1] == Length(0) and right.at[1] == Length(-420)
    table = sample_job(BY_NAME["potting_table"], "mm")
    assert table.space is not None
    drawers = opened(table.build, table.space.scene).units
    assert [unit.moves for unit in drawers] == [Moves.DRAWER] * 2 and [len(unit.pieces) for unit in drawers] == [5, 5]


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_taken_apart_no_two_pieces_share_room(folder: Path) -> None:
    """Where two did, the line between them was missing: HR ran into S4."""
    job = sample_job(folder, "mm")
    assert job.space is not None
    apart = TakenApart(opened(job.build, job.space.scene), job.space.contacts)
    scene = apart.opened.scene
    long = scene.ticks.length(max(scene.bounds.size))
    for part in (16, 12, 9, 7):
        offsets = apart.by(long * Fraction(1, part), long * Fraction(3, part)).offsets
        moved = [solid.shifted(by) for solid, by in zip(scene.solids, offsets, strict=True)]
        clashes = [
            (scene.pieces[i].mark, scene.pieces[j].mark)
            for i in range(len(moved))
            for j in range(i)
            if moved[i].overlap(moved[j])
        ]
        assert not clashes


@pytest.mark.thorough
@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_marks_stand_on_their_piece_and_leaders_cross_no_other(folder: Path) -> None:
    """In the exploded picture of every sample; what a point shows is found by cutting all boxes with the line of
    sight, not by the grid that places the marks."""
    job = sample_job(folder, "mm")
    room = (178.0, 205.0)
    laid, marked = taken_apart(job, room)
    drawing = drawn(laid, marked, room, ISOMETRIC, "apart", frame_of(laid, ISOMETRIC)).drawing
    assert len(marks_in(drawing)) >= 8
    assert not astray(laid, drawing, ISOMETRIC)


@pytest.mark.thorough
@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_leaders_in_pictures_of_stages_cross_no_other_piece(folder: Path) -> None:
    """As in the exploded picture; a mark that stands for several pieces, glued before, points at one of them."""
    job = sample_job(folder, "mm")
    told = 0
    for work in job.stages:
        best, found = _best_shown(job, work, (84.0, 54.0)), stage_picture(job, work, (84.0, 54.0))
        assert best is not None and found is not None
        shown = best[0]
        single = {piece.mark for piece in shown.laid.scene.pieces}
        shapes = tuple(s for s in found.drawing.shapes if not isinstance(s, Leader) or s.text in single)
        told += sum(isinstance(s, Leader) for s in shapes)
        assert not astray(shown.laid, replace(found.drawing, shapes=shapes), ISOMETRIC), work.number
    assert told


def words_of(folder: Path) -> str:
    document = document_of(sample_job(folder, "mm"), "exploded")
    return " ".join(plain(b.text) for b in document.blocks if isinstance(b, Paragraph))


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_every_piece_is_named_in_a_picture_or_said_not_to_be(folder: Path) -> None:
    """By its mark, by the row whose ends are marked, or under the pictures."""
    document = document_of(sample_job(folder, "mm"), "exploded")
    named = {words.split(":")[0] for b in walk(document.blocks) if isinstance(b, Drawing) for words in marks_in(b)}
    said = words_of(folder)
    for part, piece in sample_job(folder, "mm").build.pieces():
        row = [one.mark for one in part.pieces]
        inside = f"{row[0]}–{row[-1]}" in said and {row[0], row[-1]} <= named
        assert piece.mark in named or inside, piece.mark


def test_a_piece_without_a_place_and_one_that_is_hidden_are_told(tmp_path: Path) -> None:
    """A block inside a closed box is seen in no picture; a shelf of which the build does not say where it goes."""
    file = tmp_path / "build.yaml"
    file.write_text(BOX)
    job: Job = job_of(file)
    from shopdocs.documents.exploded import exploded_drawing

    said = [plain(b.text) for b in exploded_drawing(job).blocks if isinstance(b, Paragraph)]
    assert "In no picture, the build does not say where they go: SH." in said


BOX = """
build: {title: Box, mark: B, units: mm}
materials: {ash: {kind: hardwood, rough: 27}}
parts:
  board:
    material: ash
    thickness: 20
    width: 300
    length: 300
    runs: {length: x, width: y}
    pieces:
      BO: {x: 0, y: 0, z: 0}
      TO: {x: 0, y: 0, z: 200}
  shelf: {material: ash, thickness: 20, width: 100, length: 200, pieces: [SH]}
"""


def test_the_assembled_and_the_exploded_picture_fill_their_room() -> None:
    """The larger of width and height, in parts of the room, is nearly all of it: no usual scale is waited for."""
    for folder in PLACED:
        job = sample_job(folder, "mm")
        standing = assembled_picture(job, ROOM)
        assert standing is not None
        for drawing in (standing, exploded_picture(job, ROOM).drawing):
            assert drawing.scale is not None
            shares = [drawing.width.float_mm(drawing.scale) / ROOM[0], drawing.height.float_mm(drawing.scale) / ROOM[1]]
            assert 0.8 < max(shares) <= 1.0


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_every_piece_of_a_stage_has_its_mark(folder: Path) -> None:
    """In the room that a stage's page has for its picture."""
    job = sample_job(folder, "mm")
    for work in job.stages:
        found = stage_picture(job, work, (88.0, 96.0))
        assert found is not None and found.unmarked == (), work.stage.title


def test_no_disc_hides_the_small_piece_it_moves() -> None:
    """The divider of the drawer frame is no larger on paper than a disc: the arrow stands beside it. By hand: a disc of
    3.2 mm at the middle of a piece of 4 x 4 mm hides all of it (its corners are 2.8 mm away), one that touches it
    nothing; an arrow straight up whose disc touches its tail from below has its middle 3.2 mm under the tail."""
    piece = ((-2.0, -2.0), (2.0, 2.0))
    assert covered((0.0, 0.0), piece) == 1 and covered((5.3, 0.0), piece) == 0
    up = ((0.0, 3.2), (0.0, 12.0))
    (aside,) = clear_of_each_other([up], ["2"], [piece])
    assert covered(disc_of(aside), piece) < 0.4
    assert aside[1][0] - aside[0][0] == pytest.approx(0) and aside[1][1] - aside[0][1] == pytest.approx(8.8)
    assert clear_of_each_other([up], ["2"], [((-20.0, -20.0), (20.0, 20.0))]) == [up], "a large one is still seen"


def test_a_move_that_turns_has_an_arrow_for_either_way(tmp_path: Path) -> None:
    """A back with a tongue at its right end alone: in from the front, then to the right into the groove."""
    path = tmp_path / "build.yaml"
    path.write_text(TURNED, "utf-8")
    job = job_of(path)
    assert job.space is not None
    work = job.stages[1]
    (move,) = [closing for closing in work.order.closings if closing.onto]
    assert (move.first, move.toward) == ((1, True), (0, True))
    scene = Scene.of(job.space.pieces[mark] for mark in ("L", "R", "K"))
    shifts, arrows = drawn_back(find_contacts(scene), work.order.closings, ["1", "2"])
    assert shifts[2][0] < 0 and shifts[2][1] < 0, "it stands back to the left and to the front"
    (begin, turn, words), (turned, end, none) = ((going.start, going.end, going.words) for going in arrows)
    assert (words, none) == ("2", "") and turn == turned
    assert [b - a > 0 for a, b in zip(begin, turn, strict=True)] == [False, True, False]
    assert [b - a > 0 for a, b in zip(turn, end, strict=True)] == [True, False, False]


def test_what_goes_on_along_its_own_length_stands_back_along_it(tmp_path: Path) -> None:
    """A brace whose foot goes 40 degrees to the rear, into the back below it: for each step down it goes tan 40 = 0.839
    to the rear, its arrow with it, and the arm that is put on its tenon comes along it from above and the front."""
    path = tmp_path / "build.yaml"
    path.write_text(BRACKET + GLUED.replace("MARKS", "K, A, S"), "utf-8")
    job = job_of(path)
    assert job.space is not None
    closings = job.stages[0].order.closings
    scene = Scene.of(job.space.pieces[mark] for mark in "KAS")
    shifts, arrows = drawn_back(find_contacts(scene), closings, [one.what[0] for one in closings])
    back, arm, brace = shifts
    assert back == (0, 0, 0) and brace[2] > 0 and arm[2] > brace[2]
    assert brace[0] == 0 and brace[1] / brace[2] == pytest.approx(-0.8391, abs=0.001)
    assert {going.words for going in arrows} == {"S", "A"}
    for going in arrows:
        _, to_the_rear, up = (b - a for a, b in zip(going.start, going.end, strict=True))
        assert up < 0 and to_the_rear / up == pytest.approx(-0.8391, abs=0.001)


TURNED = """
build: {title: Map case, mark: MC, units: mm, free standing: no}
materials:
  oak 27: {kind: hardwood, species: white oak, rough: 27}
parts:
  side:
    material: oak 27
    size: 20 x 200 x 500
    runs: {length: z, width: y}
    pieces: {L: {x: 0, y: 0, z: 0}, R: {x: 479, y: 0, z: 0}}
  level:
    material: oak 27
    thickness: 20
    width: 180
    runs: {length: x, width: y}
    pieces: {T: {x: L.right to R.left, y: 0, z: to 480}, B: {x: L.right to R.left, y: 0, z: 20}}
  back:
    material: oak 27
    thickness: 9
    runs: {length: x, width: z}
    pieces: {K: {x: L.right + 8 to R.left, y: 120, z: B.top to T.bottom}}
joints:
  case: {kind: housing, from: level, into: side, depth: 8}
  back right: {kind: tongue and groove, from: K, into: R, thickness: 4, length: 5}
gluing:
  adhesive: slow epoxy
  stages:
    - {title: Case, pieces: [L, R, T, B]}
    - {title: Back, pieces: [K], uses: [Case]}
"""


def test_the_triangle_across_the_strips_is_whole_when_they_lie_in_order() -> None:
    """The bench's top, 44 long, of three strips of 5: the base lies 1-1/2 off the edge, from 44/12 = 3-2/3 to 18-1/3,
    the tip 13-1/2 across it, at 11. What ends at a seam goes on from there on the next strip."""
    job = sample_job(BY_NAME["threshold_bench"], "in")
    assert job.space is not None
    top = job.space.pieces["T"]
    inch = Fraction("25.4")
    ends: dict[tuple[Fraction, Fraction], int] = {}
    for number in range(3):
        begins = Length.inches(5 * number)
        for line in of_triangle(top, begins, Length.inches(5)):
            for along, across, _ in line:
                place = (along.mm / inch, (begins + across).mm / inch)
                ends[place] = ends.get(place, 0) + 1
    corners = {(Fraction(11, 3), Fraction(3, 2)), (Fraction(55, 3), Fraction(3, 2)), (Fraction(11), Fraction(27, 2))}
    assert corners <= ends.keys()
    assert {across for _, across in ends.keys() - corners} == {5, 10}
    assert set(ends.values()) == {2}


@pytest.mark.parametrize("side_mm", [14.0, 30.0])
def test_what_has_no_room_for_its_mark_in_the_picture_of_a_stage_is_named_under_it(side_mm: float) -> None:
    """In a room of a stamp's size no mark has a place, in one twice as large some have: every piece that goes on is
    marked in the picture or named under it, and none is both."""
    job = sample_job(BY_NAME["plate_rack"], "mm")
    work = max(job.stages, key=lambda work: len(work.loose))
    (drawing, *under), *_ = pictures_of(job, work, (side_mm, side_mm), (side_mm, side_mm))
    assert isinstance(drawing, Drawing)
    words = {word for s in drawing.shapes if isinstance(s, (Leader, Words)) for word in re.findall(r"\w+", s.text)}
    told = {word for block in under if isinstance(block, Paragraph) for word in told_marks(plain(block.text))}
    assert told, "else the room is too large for this test"
    for mark in work.loose:
        assert (mark in words) != (mark in told), mark


def told_marks(words: str) -> set[str]:
    """The marks in a list, runs such as U1–U6 opened."""
    found = set(re.findall(r"\w+", words))
    for letters, first, last in re.findall(r"\b([A-Z]+)(\d+)–\1(\d+)", words):
        found |= {f"{letters}{number}" for number in range(int(first), int(last) + 1)}
    return found
