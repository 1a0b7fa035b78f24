"""What the sheets say of bridles at an angle, whose joints other tests work out by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.drawing import FullScale, Polygon, Stroke, Words
from shopdocs.blocks.text import Bullets, Checklist, Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.job import Job
from shopdocs.model.joining import Face
from tests.sample_jobs import document_of, job_of
from tests.work.joints.test_bridles_at_an_angle import ASTRIDE, CORNERED, a_frame


@pytest.fixture(name="job")
def a(tmp_path: Path) -> Job:
    """The A of two legs of 70 x 40 that splay 15 degrees, 800 high, its tenon 14 thick: tests/work/joints."""
    path = tmp_path / "b.yaml"
    path.write_text(a_frame().replace("units: mm", "units: mm, fineness: 0.1 mm"), "utf-8")
    return job_of(path)


def rows(job: Job, document: str, name: str) -> list[list[str]]:
    blocks = walk(document_of(job, document).blocks)
    table = next(block for block in blocks if isinstance(block, Table) and block.name == name)
    return [[plain(cell.text) for cell in row.cells] for group in table.groups for row in group.rows]


def said(job: Job, document: str) -> list[str]:
    blocks = (block for block in walk(document_of(job, document).blocks) if isinstance(block, Bullets))
    return [plain(item) for block in blocks for item in block.items]


def test_shoulder_and_floor_are_angles_to_set(job: Job) -> None:
    """Two legs that splay 15 degrees meet at 30: the shoulder, on both faces, and the floor lie so far off the length,
    60 off square, nearer to along than across."""
    found = [row for row in rows(job, "angles", "angles") if "along the face" in row[4]]
    assert [(row[4], row[6]) for row in found] == [
        ("cheek cut, line along the face", "2"),
        ("open mortise, line along the face", "1"),
    ]
    assert found[0][1:4] == ["30", "60", "1.73"]  # tan 60 = 1.732


def test_the_drawing_gauges_the_mortise_and_strikes_its_floor(job: Job) -> None:
    """By hand, in tests/work/joints: the shoulder and the floor run from 706.9774 along on the inner edge to
    828.2210 on the outer one; the mortise lies (40 - 14) / 2 = 13 from the face side."""
    lines = [line for line in said(job, "piece-drawings") if line.startswith("1: ")]
    assert lines == [
        "1: shoulder from ≈707 along, 70 across to ≈828.2 along, 0 across, 30° off the length",
        "1: floor from ≈707 along, 0 across to ≈828.2 along, 70 across, 30° off the length",
    ]
    words = " ".join(
        plain(cell.text)
        for block in walk(document_of(job, "piece-drawings").blocks)
        if isinstance(block, Table)
        for group in block.groups
        for row in group.rows
        for cell in row.cells
    )
    assert "2 cheek cuts 70 × 140, 13 deep" in words
    assert "open mortise 14 wide, 13 from the face side" in words


def test_its_mouth_is_measured_on_the_edge_where_it_runs_out_farther(job: Job) -> None:
    """On the inner edge, the face edge of the right leg, the mortise is open from 706.9774 on to the long point,
    846.9774 from end A; on the outer one it comes to nothing."""
    gauged = Gauged(job.space.pieces["R"])
    (mouth,) = (shown for shown in gauged.shown if shown.at_mouth)
    assert mouth.face is Face.EDGE
    assert [mouth.lo[0].float_mm(), mouth.hi[0].float_mm()] == pytest.approx([706.9774, 846.9774], abs=0.002)
    assert [value.float_mm() for value in gauged.levels(Face.EDGE, Face.B)] == pytest.approx([13, 27, 40])


def test_one_guide_serves_both_faces_of_a_tenon(job: Job) -> None:
    guides = [block for block in walk(document_of(job, "angles").blocks) if isinstance(block, FullScale)]
    titles = [guide.title for guide in guides if guide.title.startswith("Guide")]
    assert titles == ["Guide for L, face side", "Guide for R, face side"]
    one, two = (guide.facts for guide in guides if guide.title.startswith("Guide"))
    assert one[0] == "cheek cut 70 × 140, 13 deep"
    assert "strike it on the other face" in one[-1]
    assert two[0] == "open mortise 14 wide, 13 from the face side"
    assert "strike it on the other face" not in two[-1]


def test_the_mark_goes_on_the_cheeks(job: Job) -> None:
    (row,) = rows(job, "mate-marks", "mate-marks")
    assert [cell for cell in row if "cheek" in cell or "wall" in cell] == [
        "tenon in R, cheek by the face side",
        "wall of L's open mortise, by the face side",
    ]


GLUED = """gluing:
  adhesive: slow PVA
  stages: [{title: All, pieces: [MARKS], clamps: {bar clamp: 4}}]
"""
BRACKET = """
build: {title: Trial, mark: T, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 38}}
parts:
  back:
    material: oak
    size: 30 x 60 x 360
    runs: {length: z, width: x}
    pieces: {K: {x: 0, y: 200, z: 0}}
  arm:
    material: oak
    size: 30 x 60 x 200
    runs: {length: y, width: z}
    pieces: {A: {x: centred on K, y: to K.front, z: to K.top}}
  brace:
    material: oak
    thickness: 24
    width: 40
    runs: {length: z, width: y}
    pieces: {S: {x: centred on K, y: centred on 60, z: 133 to A.bottom, lean: {rake: 40 rear}}}
joints:
  arm: {kind: bridle, from: arm, into: back, thickness: 10}
  foot: {kind: mortise and tenon, pieces: [S into K], thickness: 8, length: 15}
  head: {kind: mortise and tenon, pieces: [S into A], thickness: 8, length: 20}
"""


def steps(tmp_path: Path, text: str, marks: str) -> str:
    path = tmp_path / "b.yaml"
    path.write_text(text + GLUED.replace("MARKS", marks), "utf-8")
    blocks = walk(document_of(job_of(path), "glue-up").blocks)
    lists = [block for block in blocks if isinstance(block, Checklist)]
    told = [(plain(step.text), plain(step.detail)) for block in lists for step in block.steps]
    return " ".join(word for line in told for word in line).replace("\u00a0", " ")


def test_legs_astride_go_on_along_their_own_length(tmp_path: Path) -> None:
    """Straight up from below they would bind: tests/work/joints."""
    said_ = steps(tmp_path, ASTRIDE, "B, L, R")
    assert "L and R over B, from below, each along its own length, one at a time" in said_
    assert "heck that both legs lean alike" in said_


def test_a_brace_and_what_it_carries_go_along_it(tmp_path: Path) -> None:
    """A brace that leans 40 degrees goes in along itself, and the arm comes onto its tenon along it: the bridle of the
    arm lets it come from above, from the front, or from between."""
    said_ = steps(tmp_path, BRACKET, "K, A, S")
    assert "S into K, from above, along its own length" in said_
    assert "A onto K and S, from above, along S" in said_
    assert "heck the lean of S with the bevel" in said_
    assert "legs" not in said_


def test_a_lap_at_the_end_of_a_rail_is_marked_by_its_shoulder(tmp_path: Path) -> None:
    """At end A the side of a lap that is struck is the one farther from that end, for the other is sawn."""
    path = tmp_path / "b.yaml"
    path.write_text(CORNERED.replace("bridle", "half lap").replace(", thickness: 15", ""), "utf-8")
    told = [line for line in said(job_of(path), "piece-drawings") if "off square" in line and line[1] == ":"]
    of_beam = [line.split(" from")[0] for line in told[:2]]
    assert of_beam == ["1: shoulder", "2: side nearer end A"]


SAWBUCK = """
build: {title: Trial, mark: T, units: mm}
materials: {ash: {kind: hardwood, species: white ash, rough: 52}}
parts:
  leg:
    material: ash
    thickness: 45
    width: 95
    runs: {length: z, width: x}
    pieces: {A: {x: centred on 650, y: 0, z: 0 to 900, lean: {splay: 30 left}}}
  other leg:
    material: ash
    thickness: 45
    width: 95
    runs: {length: z, width: x}
    pieces: {B: {x: centred on 150, y: 0, z: 0 to 900, lean: {splay: 30 right}}}
  tie:
    material: ash
    thickness: 45
    width: 95
    runs: {length: x, width: z}
    pieces: {T: {x: A.left to B.right, y: A.front, z: centred on 200}}
joints:
  crossing: {kind: half lap, pieces: [A into B]}
  ties: {kind: half lap, from: tie, into: [leg, other leg]}
"""


def test_one_guide_serves_all_laps_that_look_alike(tmp_path: Path) -> None:
    """Six laps of 95 wide pieces at 30 degrees: their sides rise to the right, or to the left, as one looks at the
    face. A's laps on face and back, B's with A and one of the tie's rise one way, the two others the other way: seen
    from behind a leg leans to the other side. A guide is laid on all of one hand, on either edge, and names none."""
    path = tmp_path / "b.yaml"
    path.write_text(SAWBUCK, "utf-8")
    found = [b for b in walk(document_of(job_of(path), "angles").blocks) if isinstance(b, FullScale)]
    guides = [guide for guide in found if guide.title.startswith("Guide")]
    assert [" ".join(guide.title.split()) for guide in guides] == ["Guide for A B T", "Guide for B T"]
    for guide in guides:
        words = {shape.text for shape in guide.drawing.shapes if isinstance(shape, Words)}
        assert words == {"EDGE"}
    ways = []
    for guide in guides:
        (outline,) = [s for s in guide.drawing.shapes if isinstance(s, Polygon) and s.stroke is Stroke.VISIBLE]
        runs = zip(outline.points, (*outline.points[1:], outline.points[0]), strict=True)
        slopes = {(b[0] - a[0]).mm * (b[1] - a[1]).mm > 0 for a, b in runs if a[0] != b[0] and a[1] != b[1]}
        ways.append(slopes)
    assert sorted(map(sorted, ways)) == [[False], [True]]
    one, two = (" ".join(guide.facts) for guide in guides)
    assert "on the face side of A" in one and "on the back face of A" in one and "on the face side of B" in one
    assert "on the face side of B" in two and "on the back face of T" in two
