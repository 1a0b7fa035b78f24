"""Mate marks, held against the solids: both marks of a joint are one place, wood covers it on both sides, a pencil gets
there before the joint closes, and joints that mirror each other are told alike."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from fractions import Fraction
from functools import cache
from itertools import combinations
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Drawing, Leader, Polygon, Words
from shopdocs.blocks.text import Table, plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.core.length import Length
from shopdocs.documents.drawn.mate_slant import mitred
from shopdocs.documents.fitting.wording import stepped_text
from shopdocs.documents.job import Job, make_job
from shopdocs.documents.mate_marks import HiddenFace, _placed, _sides_of, hidden_faces, mate_marks
from shopdocs.documents.piece_drawings import piece_drawings
from shopdocs.model.joining import Face, Meeting
from shopdocs.pipeline import check_build
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.placed import PlacedPiece
from tests.documents.test_wording import LID
from tests.page.frame_checks import laid_items, text_over_text
from tests.sample_jobs import BY_NAME, job_of

PLACED = ("threshold_bench", "spice_cabinet", "potting_table")


@cache
def sample(name: str) -> Job:
    return job_of(BY_NAME[name] / "build.yaml")


@cache
def marked(name: str) -> list[tuple[Meeting, HiddenFace, HiddenFace]]:
    job = sample(name)
    assert job.alike is not None
    found = [(meeting, hidden_faces(job.alike, meeting)) for _, meeting in job.build.meetings()]
    assert all(places is not None for _, places in found)
    return [(meeting, *places) for meeting, places in found if places is not None]


def wood_at(solid: Solid, spot: list[Fraction]) -> bool:
    """Whether a point lies inside the wood, by body, additions and cuts."""

    def inside(low: tuple[int, ...], high: tuple[int, ...]) -> bool:
        return all(a < v < b for a, v, b in zip(low, spot, high, strict=True))

    boxes = (solid.body, *solid.adds)
    return any(inside(b.lo, b.hi) for b in boxes) and not any(inside(c.lo, c.hi) for c in solid.cuts)


def spots_of(place: HiddenFace) -> list[list[Fraction]]:
    """Points all over the rectangle, none on its border."""
    spots = []
    for i in range(1, 8, 2):
        for j in range(1, 8, 2):
            shares = iter((Fraction(i, 8), Fraction(j, 8)))
            low, high = place.box.lo, place.box.hi
            spots.append(
                [Fraction(low[k]) if k == place.axis else low[k] + (high[k] - low[k]) * next(shares) for k in range(3)]
            )
    return spots


@pytest.mark.parametrize("name", PLACED)
def test_both_marks_are_one_place_between_the_two_pieces(name: str) -> None:
    """Just beside the rectangle there is wood of one piece on one side and of the other on the other, all over it, or
    the room that the joint leaves before its floor: so both pencil marks face each other when the joint is together,
    and no one looks at either from outside."""
    job = sample(name)
    assert job.space is not None
    solids = dict(zip(job.space.pieces, job.space.scene.solids, strict=True))
    for meeting, one, two in marked(name):
        room = job.space.joinery[meeting.number].room.mm * job.space.scene.ticks.per_mm
        assert all(a == b for k, (a, b) in enumerate(zip(one.box.lo, two.box.lo, strict=True)) if k != one.axis)
        assert all(a == b for k, (a, b) in enumerate(zip(one.box.hi, two.box.hi, strict=True)) if k != one.axis)
        assert abs(one.box.lo[one.axis] - two.box.lo[one.axis]) in (0, room)
        assert (one.mark, two.mark) == (meeting.entering, meeting.receiving)
        looks = [job.space.pieces[p.mark].pose.look_of(p.face) for p in (one, two)]
        assert looks[0][0] == looks[1][0] == one.axis and looks[0][1] != looks[1][1]
        for place, (axis, high) in zip((one, two), looks, strict=True):
            for spot in spots_of(place):
                within, beyond = spot.copy(), spot.copy()
                within[axis] += Fraction(-1 if high else 1, 100)
                beyond[axis] += Fraction(1 if high else -1, 100)
                assert wood_at(solids[place.mark], within)
                assert not wood_at(solids[place.mark], beyond)


@pytest.mark.parametrize("name", PLACED)
def test_a_pencil_gets_at_both_places(name: str) -> None:
    """Each piece alone: nothing of it stands over the place within a hand's breadth, 100 mm, and the place is at most
    twice as deep in a cut as that is wide: a pencil 7 mm thick whose point is 20 mm long gets nearly three times as
    deep (from memory)."""
    job = sample(name)
    assert job.space is not None
    ticks = job.space.scene.ticks.per_mm
    solids = dict(zip(job.space.pieces, job.space.scene.solids, strict=True))
    for _, *places in marked(name):
        for place in places:
            axis, high = job.space.pieces[place.mark].pose.look_of(place.face)
            sense = 1 if high else -1
            for spot in spots_of(place):
                for mm in range(2, 100, 2):
                    above = spot.copy()
                    above[axis] += sense * mm * ticks
                    assert not wood_at(solids[place.mark], above)
            body = solids[place.mark].body
            deep = (body.hi[axis] - place.box.lo[axis]) if high else (place.box.lo[axis] - body.lo[axis])
            assert deep <= 2 * place.sides[0].mm * ticks


@pytest.mark.parametrize("name", PLACED)
def test_words_leave_no_doubt_which_place_is_meant(name: str) -> None:
    """Of all rectangles where the two pieces of any joint meet, large enough to write on, no two on different surfaces
    of a piece are told in the same words, and a mortise is called by the one piece that goes into it."""
    job = sample(name)
    assert job.alike is not None and job.space is not None
    planes: dict[tuple[str, str], set[tuple[int, int, Face]]] = defaultdict(set)
    for _, meeting in job.build.meetings():
        for sides in _sides_of(job.alike, meeting):
            for place in _placed(job.alike, meeting, *sides):
                if place.sides[0] >= Length(6):
                    spot = place.box.lo[place.axis]
                    words = f"{place.where} ({meeting.number})" if place.mark == meeting.entering else place.where
                    planes[place.mark, words].add((place.axis, spot, place.face))
    assert len(planes) > 40
    assert {told: found for told, found in planes.items() if len(found) > 1} == {}


def named_in_mirror(piece: PlacedPiece, twin: PlacedPiece, axis: int) -> bool:
    """Whether the twin's faces are those that a mirror across the axis gives it."""
    mine = [(t.index, t.forward != (t.index == axis)) for t in piece.pose.axes]
    return mine == [(t.index, t.forward) for t in twin.pose.axes]


def whosever(words: str) -> str:
    """The twin goes into the twin: a mortise by the mark of either."""
    return re.sub(r"\S+'s ", "X's ", words)


def without_sense(words: str) -> str:
    """Leaves open which of two opposite faces is meant: a piece whose faces are not named in the mirror swaps them."""
    words = whosever(words)
    for one, two in (("face side", "back face"), ("face edge", "far edge"), ("end A", "end B"), ("at A", "at B")):
        words = words.replace(two, one)
    return words.replace("shoulder B", "shoulder A")


@pytest.mark.parametrize(("name", "least"), [("threshold_bench", 8), ("spice_cabinet", 10), ("potting_table", 20)])
def test_joints_that_mirror_each_other_are_told_alike(name: str, least: int) -> None:
    """In the same words where the pieces are named in the mirror, too, else in the same up to opposite faces.

    The cabinet by hand: L and DL carry the hinges, so nothing mirrors left to right; bottom to top there are three
    pairs in L (TP BT, S1 S4, S2 S3), three in R, two of the door's rails, the back's ends and the panel's ends: ten.
    """
    job = sample(name)
    assert job.space is not None
    solids = dict(zip(job.space.pieces, job.space.scene.solids, strict=True))
    pieces = job.space.pieces
    pairs, exact = 0, 0
    for (_, a1, a2), (_, b1, b2) in combinations(marked(name), 2):
        twins = ((a1, b1), (a2, b2))
        for axis in range(3):
            # one plane mirrors both pieces of one joint onto those of the other, with all that is cut
            bodies = [(solids[a.mark], solids[b.mark]) for a, b in twins]
            planes = {one.body.lo[axis] + two.body.hi[axis] for one, two in bodies}
            if len(planes) > 1 or not all(in_mirror(one, two, axis) for one, two in bodies):
                continue
            pairs += 1
            assert a1.sides == b1.sides
            assert [without_sense(a.where) for a, _ in twins] == [without_sense(b.where) for _, b in twins]
            if all(named_in_mirror(pieces[a.mark], pieces[b.mark], axis) for a, b in twins):
                exact += 1
                assert [whosever(a.where) for a, _ in twins] == [whosever(b.where) for _, b in twins]
    assert pairs >= least
    assert exact or name != "potting_table", "legs and aprons are named in the mirror"


def in_mirror(one: Solid, two: Solid, axis: int) -> bool:
    plane = one.body.lo[axis] + two.body.hi[axis]

    def shape(solid: Solid, turned: bool) -> set[tuple[tuple[int, int], ...]]:
        found = set()
        for box in (solid.body, *solid.adds, *solid.cuts):
            spans = list(zip(box.lo, box.hi, strict=True))
            if turned:
                spans[axis] = (plane - box.hi[axis], plane - box.lo[axis])
            found.add(tuple(spans))
        return found

    return shape(one, True) == shape(two, False)


def test_numbers_are_said_to_stand_where_they_stand(tmp_path: Path) -> None:
    """Boards that are only glued have nothing to draw: the sheet does not promise their joint on the drawings. Joint 1
    of the lid is its seam, 2 and 3 are the tenons in its cleat."""
    (tmp_path / "build.yaml").write_text(LID)
    build, shop, _ = check_build(str(tmp_path / "build.yaml"))
    assert build is not None
    job = make_job(build, shop, build.display, "", "letter-30")
    told = " ".join(plain(line) for block in walk(mate_marks(job).blocks) for line in texts(block))
    drawn = " ".join(plain(line) for block in walk(piece_drawings(job).blocks) for line in texts(block))
    assert "2 →" in drawn and "3 →" in drawn and "1 →" not in drawn
    assert "but for joint 1, which is not cut" in told


def test_the_housed_back_is_marked_where_there_is_room() -> None:
    """A back 6 thick in rabbets 6 wide. At top and bottom all 6 of its face lie on the rabbet. At the sides the
    housings of top and bottom, 4 deep, take the ends of 4 of the 6, so no rectangle of its face is whole and 6 wide
    there; its edge is, and the two sides mirror each other."""
    faces = {meeting.receiving: one.face for meeting, one, _ in marked("spice_cabinet") if meeting.entering == "BK"}
    assert faces == {"L": Face.EDGE, "R": Face.FAR_EDGE, "TP": Face.FACE, "BT": Face.FACE}


def rows_of(name: str) -> list[list[str]]:
    return [
        [plain(cell.text) for cell in row.cells]
        for block in walk(mate_marks(sample(name)).blocks)
        if isinstance(block, Table)
        for group in block.groups
        for row in group.rows
    ]


def test_no_one_is_sent_with_a_pencil_into_a_narrow_groove() -> None:
    """The cabinet's door panel, 6 thick, stands in grooves 6 wide, joints 23 to 26 of the build; the table's drawer
    bottoms in grooves as wide. Each panel has one row: a mark on its margin, none in the groove."""
    for name, panels in (("spice_cabinet", {"DP": "23–26"}), ("potting_table", {"DM1": "35–37", "DM2": "38–40"})):
        rows = rows_of(name)
        assert not any("groove" in row[4] for row in rows)
        told = {row[1]: row for row in rows if "groove" in row[2]}
        assert {mark: row[0] for mark, row in told.items()} == panels
        assert all(row[2] == "face side, margin in the grooves" and "too narrow" in row[4] for row in told.values())
    (door,) = (row for row in rows_of("spice_cabinet") if row[1] == "DP")
    assert door[3].split() == ["DL", "DR", "DT", "DB"]


@pytest.mark.parametrize("name", PLACED)
def test_marks_stand_in_the_order_of_the_glue_up(name: str) -> None:
    job = sample(name)
    stages = {str(m.number): work.number for work in job.stages for _, m in work.meetings}
    order = [stages.get(re.split("[–,;]", row[0])[0], len(stages)) for row in rows_of(name)]
    assert order == sorted(order)


@pytest.mark.parametrize("name", PLACED)
def test_a_sketch_shows_where_each_mark_goes(name: str) -> None:
    """Every joint that is marked on both pieces is in one sketch by its number; each sketch shows two places, and both
    carry the number of the joint that is drawn."""
    numbers: list[int] = []
    for block in walk(mate_marks(sample(name)).blocks):
        if isinstance(block, Drawing):
            told = block.name.removeprefix("joints ").removeprefix("joint ")
            runs = [[int(end) for end in part.split("–")] for part in told.split(", ")]
            some = [n for run in runs for n in range(run[0], run[-1] + 1)]
            numbers += some
            places = [s for s in block.shapes if isinstance(s, Polygon)]
            marks = [s.text for s in block.shapes if isinstance(s, Words)]
            leaders = {s.text for s in block.shapes if isinstance(s, Leader)}
            meeting = next(m for _, m in sample(name).build.meetings() if {str(m.number)} == leaders)
            assert len(places) == 2 and marks == [meeting.entering, meeting.receiving] and meeting.number in some
            assert not text_over_text(laid_items(block))
    narrow = [m.number for m, *places in marked(name) if any(place.narrow for place in places)]
    assert sorted([*numbers, *narrow]) == sorted(m.number for m, *_ in marked(name))


CORNERS = """
build: {title: Corners, mark: C, units: mm}
materials: {cherry: {kind: hardwood, rough: 25}}
parts:
  rail: {material: cherry, size: 18 x 50 x 300, runs: {length: x, width: z}, pieces: {T: {x: 0, y: 0, z: 350}}}
  stile: {material: cherry, size: 18 x 50 x 400, runs: {length: z, width: x}, pieces: {L: {x: 0, y: 0, z: 0}}}
  side: {material: cherry, size: 12 x 84 x 240, runs: {length: x, width: z}, pieces: {S: {x: 900, y: 0, z: 0}}}
  end: {material: cherry, size: 12 x 84 x 180, runs: {length: y, width: z}, pieces: {E: {x: 900, y: 0, z: 0}}}
joints:
  frame: {kind: splined mitre, pieces: [T into L], thickness: 5, depth: 12}
  box: {kind: keyed mitre, pieces: [S into E], thickness: 3, depth: 8, count: 3}
"""


def test_a_mitre_is_marked_on_its_slanting_face(tmp_path: Path) -> None:
    """By hand: the corner of T and L is x 0 to 50, z 350 to 400, its mitre from the outside, (0, 400), to the inside,
    (50, 350), and the slot 5 wide in the middle of 18 leaves 6.5 at both sides. T lies above the mitre and shows it to
    the left and below; L to the right and above. The corner of S and E is 12 square, 84 high, without a slot."""
    file = tmp_path / "build.yaml"
    file.write_text(CORNERS)
    job = job_of(file)
    assert job.space is not None
    frame, box = (mitred(job.space, meeting) for _, meeting in job.build.meetings())
    assert frame is not None and box is not None
    per_mm = job.space.scene.ticks.per_mm

    def spans(corners: Sequence[tuple[int, int, int]]) -> list[tuple[float, float]]:
        return [(min(c[k] for c in corners) / per_mm, max(c[k] for c in corners) / per_mm) for k in range(3)]

    (x, y, z), faces = spans(frame.faces[0].corners), frame.faces
    assert (x, z) == ((0, 50), (350, 400)) and y in ((0, 6.5), (11.5, 18))
    assert {(c[0] / per_mm, c[2] / per_mm) for c in faces[0].corners} == {(0, 400), (50, 350)}
    assert [face.out for face in faces] == [(-1, 0, -1), (1, 0, 1)]
    assert [round(high - low) for low, high in spans(box.faces[0].corners)] == [12, 12, 84]
    drawings = [block for block in walk(mate_marks(job).blocks) if isinstance(block, Drawing)]
    assert [drawing.name for drawing in drawings] == ["joint 1", "joint 2"]
    for drawing in drawings:  # a face seen on edge would be a line
        for place in (s for s in drawing.shapes if isinstance(s, Polygon)):
            wide = [max(p[k].mm for p in place.points) - min(p[k].mm for p in place.points) for k in (0, 1)]
            assert min(wide) > 1


def test_joints_alike_share_a_row() -> None:
    """By hand: of the rack's twelve slats, six in each frame, the joints run 17, 18 (U1), 19, 20 (U2) to 27, 28 (U6)
    and on from 29; those at end A go into the front rail, those at end B into the rear one. Their mortises are 1/4 in
    wide, and a pencil alone is 7 mm thick (from memory): it gets into none of them."""
    job = job_of(BY_NAME["plate_rack"] / "build.yaml")
    rows = [
        [plain(cell.text) for cell in row.cells]
        for block in walk(mate_marks(job).blocks)
        if isinstance(block, Table)
        for group in block.groups
        for row in group.rows
    ]
    slats = [row[:2] + row[3:5] for row in rows if row[1].startswith(("U", "D"))]
    assert slats == [
        ["17, 19 … 27; 18, 20 … 28", "U1–U6", "FU  BU", "beside each one's mortise, lightly"],
        ["29, 31 … 39; 30, 32 … 40", "D1–D6", "FD  BD", "beside each one's mortise, lightly"],
    ]


def test_both_ends_of_a_piece_share_a_row() -> None:
    """By hand, from the bench's build: each long rail goes with both its shoulders onto the legs at either side."""
    rows = {row[1]: row for row in rows_of("threshold_bench")}
    assert rows["RF"][:4] == ["1, 2", "RF", "shoulders A and B, by the face side", "FL  FR"]
    assert rows["ST"][:4] == ["9, 10", "ST", "housed ends A and B", "RL  RR"]


def test_numbers_that_step_evenly_are_drawn_together() -> None:
    assert stepped_text([5, 6, 7, 8]) == "5–8"
    assert stepped_text([17, 19, 21, 23]) == "17, 19 … 23"
    assert stepped_text([1, 19]) == "1, 19"
    assert stepped_text([13, 15, 17]) == "13, 15, 17"
    assert stepped_text([3, 2, 7]) == "3, 2, 7"
