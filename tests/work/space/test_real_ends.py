"""Measures count from what a square or a template can be laid to: the shoulder where one shows, else the real end.

Expected values are worked out by hand from the builds' own dimensions, in the comments.
"""

from __future__ import annotations

import random
from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import FullScale, Words
from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Table, plain
from shopdocs.blocks.walk import figures, texts, walk
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.job import Job
from shopdocs.documents.records import record_pages
from shopdocs.documents.templates import templates
from shopdocs.model.joining import Face
from shopdocs.model.parts import Direction, Runs
from shopdocs.work.space.ends import PLAIN, extent_of, unplaced_extent
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece, Pose, side_of
from tests.drawn_sheets import sheet_of
from tests.sample_jobs import document_of, job_of, records_of
from tests.small_builds import frame

SAMPLES = Path(__file__).parents[3] / "sample_builds"


@pytest.fixture(scope="module")
def cabinet() -> Job:
    return job_of(SAMPLES / "spice_cabinet" / "build.yaml")


def written(text: str, folder: Path) -> Job:
    path = folder / "b.yaml"
    path.write_text(text, "utf-8")
    return job_of(path)


def sheet(job: Job, anchor: str) -> FullScale:
    return next(b for b in templates(job).blocks if isinstance(b, FullScale) and b.anchor == anchor)


def figure(block: FullScale, ending: str) -> Fraction:
    return next(f.value for f in block.figures if f.name.endswith(ending))


def record(job: Job, title: str) -> Document:
    return next(page for page in record_pages(job) if page.title == title)


# A panel that goes into rabbets on every side.


def test_a_panel_in_rabbets_is_drilled_from_its_real_edges(cabinet: Job) -> None:
    """W 420 less two sides of 12 leaves 396, H 560 less 2 x 12 leaves 536; 6 in the rabbets all round: 408 x 548.
    The slots lie 30 below the opening's top and 60 in from its sides: from the real edges 30 + 6, 60 + 6 and, on the
    far side, 396 - 60 + 6."""
    near, far = (b for b in templates(cabinet).blocks if isinstance(b, FullScale) and b.anchor == "template-BK-face")
    assert figure(near, "hole 1 along") == figure(far, "hole 1 along") == 36
    assert figure(near, "hole 1 across") == 66
    assert figure(far, "hole 1 from far edge") == 408 - 342
    for block, edge in ((near, "face edge"), (far, "far edge")):
        told = " ".join(block.facts)
        assert "shoulder" not in told
        assert f"End B and {edge} are those of the piece as sawn" in told


def test_slots_of_the_panel_lie_behind_the_holes_of_the_rail(cabinet: Job) -> None:
    """In the build: the rail from x 12, its holes at 60 and 396 - 60, 30 below its upper edge at z 548; the panel's
    real face edge at x 12 - 6, its real end B at z 548 + 6."""
    rail = {(12 + along, 548 - 30) for along in (60, 396 - 60)}
    near, far = (b for b in templates(cabinet).blocks if isinstance(b, FullScale) and b.anchor == "template-BK-face")
    across = [figure(near, "hole 1 across"), 408 - figure(far, "hole 1 from far edge")]
    assert {(12 - 6 + value, 548 + 6 - figure(near, "hole 1 along")) for value in across} == rail


def test_the_panel_is_drawn_and_recorded_from_its_real_edges(cabinet: Job) -> None:
    """Along: 548 - 36 = 512 from end A, 548 in all; across the slots stand at 66 and 342. Records: what lies in the
    rabbet is 0 to 6 from end A, and 548 - 6 to 548."""
    told = {s.text for s in sheet_of(cabinet, "BK").shapes if isinstance(s, Words)}
    assert {"512", "548", "408", "66", "342"} <= told
    assert not {"506", "396"} & told
    assert not any(text.startswith("−") for text in told)
    page = record(cabinet, "SC-BK")
    values = {(f.name, f.value) for f in figures(page.blocks)}
    assert {("BK · joint 16 edge in the rabbet · along", 0), ("BK · joint 16 edge in the rabbet · along", 6)} <= values
    assert {
        ("BK · joint 15 edge in the rabbet · along", 542),
        ("BK · joint 15 edge in the rabbet · along", 548),
    } <= values
    assert {value for name, value in values if name.endswith("· across") and "hanging" in name} == {66, 342}
    assert not any(value < 0 for name, value in values)


def test_records_say_where_a_minus_counts_from(cabinet: Job) -> None:
    """A door rail has tenons of 30: its record counts from the shoulder, and its column says so."""
    page = record(cabinet, "SC-DT")
    cuts = next(b for b in walk(page.blocks) if isinstance(b, Table) and b.name == "cuts-DT")
    assert [column.title for column in cuts.columns if "end" in column.title] == ["from shoulder at end A"]
    lows = [f.value for f in figures(page.blocks) if f.name.endswith("tenon · along")]
    assert min(lows) == -30


@pytest.mark.parametrize("name", ["spice_cabinet", "threshold_bench", "potting_table"])
def test_no_record_prints_a_minus_without_its_shoulder(name: str) -> None:
    job = job_of(SAMPLES / name / "build.yaml")
    for page in records_of(job):
        for table in (b for b in walk(page.blocks) if isinstance(b, Table) and b.name.startswith("cuts-")):
            for group in table.groups:
                for row in group.rows:
                    for column, cell in zip(table.columns, row.cells, strict=True):
                        if "−" in plain(cell.text):
                            assert "shoulder" in column.title, (page.title, plain(cell.text))


# A half lap shows its shoulder on one side only; a tenon on all of them.

LAP = """
build: {title: Trial, mark: T, units: mm}
materials: {ash: {kind: hardwood, rough: 40}}
parts:
  rail:
    material: ash
    thickness: 30
    width: 60
    runs: {length: x, width: y}
    pieces: {R: {x: 60 to 660, y: 0, z: 0}}
  post:
    material: ash
    thickness: 30
    width: 60
    length: 400
    runs: {length: y, width: x}
    pieces: {P: {x: 0, y: 0, z: 0}}
joints:
  corner: KIND
hardware:
  peg:
    holes: [{bit: 8, depth: 10}]
    on:
      - {piece: R, face: face, along: 40, across: 30}
      - {piece: R, face: back, along: 40, across: 30}
"""


def test_a_lap_counts_from_the_real_end_on_the_side_that_runs_on(tmp_path: Path) -> None:
    """R laps 60 over P with the half at its face side: 40 from the shoulder is 100 from the real end, and 40 on the
    back, where the shoulder shows."""
    job = written(LAP.replace("KIND", "{kind: half lap, from: rail, into: post}"), tmp_path)
    face, back = sheet(job, "template-R-face"), sheet(job, "template-R-back")
    assert figure(face, "hole 1 along") == 100
    assert "End A is that of the piece as sawn, with what goes into its joints." in face.facts
    assert figure(back, "hole 1 along") == 40
    assert "End A means the shoulder, not the end of the lap." in back.facts


def test_tails_count_from_their_shoulder_by_their_own_name(tmp_path: Path) -> None:
    """A drawer side of 500 between a front and a back of 20: tails 20 long at either end."""
    job = written(TAILS, tmp_path)
    block = sheet(job, "template-S-face")
    assert figure(block, "hole 1 along") == 40
    assert "End A means the shoulder, not the ends of the tails." in block.facts


TAILS = """
build: {title: Tails, mark: T, units: mm}
materials: {ash: {kind: hardwood, rough: 40}}
parts:
  side: {material: ash, size: 20 x 100 x 500, runs: {length: y, width: z}, pieces: {S: {x: 0, y: 20, z: 0}}}
  front: {material: ash, size: 20 x 100 x 300, runs: {length: x, width: z}, pieces: {F: {x: 0, y: 0, z: 0}}}
joints:
  tails: {kind: dovetail, from: side, into: front, count: 3}
hardware:
  peg: {holes: [{bit: 8, depth: 10}], on: [{piece: S, face: face, along: 40, across: 50}]}
"""


def test_a_tenon_counts_from_its_shoulder_on_both_sides(tmp_path: Path) -> None:
    kind = "{kind: mortise and tenon, from: rail, into: post, thickness: 10, length: 40}"
    job = written(LAP.replace("KIND", kind), tmp_path)
    for anchor in ("template-R-face", "template-R-back"):
        block = sheet(job, anchor)
        assert figure(block, "hole 1 along") == 40
        assert "End A means the shoulder, not the end of the tenon." in block.facts


UNPLACED = """
build: {title: Trial, mark: T, units: mm}
materials: {ash: {kind: hardwood, rough: 40}}
parts:
  shelf: {material: ash, size: 20 x 200 x 500, pieces: [S]}
  rail: {material: ash, size: 20 x 60 x 500, pieces: [R]}
  side: {material: ash, size: 20 x 200 x 900, pieces: [L]}
joints:
  housed: {kind: housing, pieces: [S into L at A], depth: 8}
  tenoned: {kind: mortise and tenon, pieces: [R into L at A], thickness: 7, length: 30}
hardware:
  peg:
    holes: [{bit: 8, depth: 10}]
    on: [{piece: [S, R], face: face, along: 40, across: 30}]
"""


def test_without_places_the_kind_of_joint_tells(tmp_path: Path) -> None:
    """A shelf goes 8 into its housing with its whole thickness: 40 + 8 from its real end; a tenon leaves a shoulder."""
    job = written(UNPLACED, tmp_path)
    assert figure(sheet(job, "template-S-face"), "hole 1 along") == 48
    assert figure(sheet(job, "template-R-face"), "hole 1 along") == 40
    told = [fact for mark in "SR" for fact in sheet(job, f"template-{mark}-face").facts if fact.startswith("End A")]
    assert told == [
        "End A is that of the piece as sawn, with what goes into its joints.",
        "End A means the shoulder, not the part in the joint.",
    ]


# Any piece, by brute force.


def test_flush_wood_is_what_lies_under_the_face_point_by_point() -> None:
    """Unit cubes of a small piece: walking out from the body along the face, so long as every cube of the layer under
    the face is wood, over the whole width of the face, the wood is flush; where more wood follows, a shoulder shows."""
    chance = random.Random(11)
    seen = {True: 0, False: 0}
    for _ in range(400):
        size = (6, 4, 3)
        boxes = []
        for _ in range(chance.randint(1, 3)):
            axis, high = chance.randrange(3), chance.random() < 0.5
            low, top = [0, 0, 0], list(size)
            for k in range(3):
                if k != axis and chance.random() < 0.5:
                    low[k], top[k] = sorted(chance.sample(range(size[k] + 1), 2))
            out = chance.randint(1, 3)
            low[axis], top[axis] = (size[axis], size[axis] + out) if high else (-out, 0)
            boxes.append((low, top))
        piece = _piece(size, boxes)
        wood = {
            (a, b, c)
            for low, top in [([0, 0, 0], list(size)), *boxes]
            for a in range(low[0], top[0])
            for b in range(low[1], top[1])
            for c in range(low[2], top[2])
        }
        for face in Face:
            look, far = side_of(face)
            for axis in (k for k in range(3) if k != look):
                found = extent_of(piece, face, axis)
                for high, ending in ((False, found.start), (True, found.end)):
                    flush, shoulder = _walked(wood, size, (look, far), axis, high)
                    assert (ending.flush, ending.shoulder) == (Length(flush), shoulder)
                    seen[flush > 0] += 1
    assert min(seen.values()) > 100


def _piece(size: tuple[int, int, int], boxes: list[tuple[list[int], list[int]]]) -> PlacedPiece:
    added = tuple(
        Cuboid(FeatureKind.TONGUE, (Length(a), Length(b), Length(c)), (Length(d), Length(e), Length(f)), True, str(i))
        for i, ((a, b, c), (d, e, f)) in enumerate(boxes)
    )
    pose = Pose.of(Runs(Direction.X, Direction.Y, Direction.Z))
    return PlacedPiece("P", "p", (ZERO, ZERO, ZERO), *(Length(v) for v in size), pose, added)


def _walked(
    wood: set[tuple[int, int, int]], size: tuple[int, int, int], face: tuple[int, bool], axis: int, high: bool
) -> tuple[int, bool]:
    look, far = face
    other = 3 - look - axis
    steps = range(size[axis], size[axis] + 4) if high else range(-1, -5, -1)

    def cube(step: int, across: int) -> tuple[int, int, int]:
        at = {axis: step, other: across, look: size[look] - 1 if far else 0}
        return at[0], at[1], at[2]

    flush = 0
    for step in steps:
        if not all(cube(step, across) in wood for across in range(size[other])):
            break
        flush += 1
    beyond = max((spot[axis] - size[axis] + 1 if high else -spot[axis] for spot in wood), default=0)
    return flush, beyond > flush


def test_the_drawings_say_how_ends_are_counted(cabinet: Job) -> None:
    drawings = document_of(cabinet, "piece-drawings").blocks
    told = " ".join(plain(content) for block in walk(drawings) for content in texts(block))
    assert "measure from its real end or edge" in told


# Without places the kind of a joint says how far wood level with a face goes on.


@pytest.mark.parametrize(
    ("joint", "face", "flush", "shoulder"),
    [
        # half laps 60 long that stand 2 proud: the half at the face side runs on 62, the back ends at a shoulder
        (("kind: half lap", "depth: 10", "length: 60", "proud: 2"), Face.FACE, 62, False),
        (("kind: half lap", "depth: 10", "length: 60", "proud: 2"), Face.BACK, 0, True),
        # a tongue as thick as its rail of 20 has no shoulder, a thinner one has two
        (("kind: tongue and groove", "thickness: 20", "length: 12"), Face.FACE, 12, False),
        (("kind: tongue and groove", "thickness: 8", "length: 12"), Face.FACE, 0, True),
    ],
)
def test_real_ends_of_pieces_without_places(
    tmp_path: Path, joint: tuple[str, ...], face: Face, flush: int, shoulder: bool
) -> None:
    job = written(frame(*joint), tmp_path)
    part = job.build.part("rail")
    more = Length(62 if "kind: half lap" in joint else 12)
    found = unplaced_extent(job.build, part, "R1", face, 0, (more, more))
    for end in (found.start, found.end):
        assert (end.flush, end.shoulder) == (Length(flush), shoulder)
    assert unplaced_extent(job.build, part, "R1", face, 1, (more, more)) == PLAIN
