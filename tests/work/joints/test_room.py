"""Room in joints: a mortise, a groove or a hole is deeper than what goes in is long, unless it is a through joint.

That about 1/16 in or 1.5 mm is left is common practice, no source. Everything else is worked out by hand here, and held
against the solids of the samples by another geometry library.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.text import Table, plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.core.length import Length
from shopdocs.documents.cut_list import cut_list
from shopdocs.documents.job import Job
from shopdocs.documents.piece_drawings import piece_drawings
from shopdocs.documents.records import record_pages
from shopdocs.documents.shopping import shopping_list
from shopdocs.documents.templates import templates
from shopdocs.model.joining import JointKind
from shopdocs.work.space.placed import Bore, Cuboid
from tests.meshes import block
from tests.sample_jobs import SAMPLES, job_of, sample_job

# A rail 24 x 80 into a post 50 square, at end A.
BUILD = """
build: {{title: Corner, mark: C, units: {units}, fineness: {fineness}}}
materials: {{oak: {{kind: hardwood, rough: 65 mm}}}}
parts:
  post:
    material: oak
    size: 50 mm x 50 mm x 400 mm
    runs: {{length: z, width: x}}
    pieces: {{P: {{x: 0, y: 0, z: 0}}}}
  rail:
    material: oak
    size: 24 mm x 80 mm x 300 mm
    runs: {{length: x, width: z}}
    pieces: {{R: {{x: P.right, y: 13 mm, z: 100 mm}}}}
joints:
  corner: {{from: rail, into: post, {joint}}}
"""


def corner(folder: Path, joint: str, fineness: str = "0.5 mm") -> Job:
    (folder / "build.yaml").write_text(BUILD.format(units=fineness[-2:], fineness=fineness, joint=joint), "utf-8")
    return job_of(folder / "build.yaml")


def depths(job: Job) -> tuple[Length, Length]:
    """How far the first thing that goes in goes, and how deep the first cut in the post is, along the rail."""
    assert job.space is not None
    found = []
    for mark in "RP":
        feature = job.space.pieces[mark].features[0]
        assert isinstance(feature, Cuboid)
        found.append(feature.size[0 if mark == "R" else 1])  # along the rail; across the post
    return found[0], found[1]


@pytest.mark.parametrize(
    ("joint", "fineness", "inside", "cut"),
    [
        # 30 and 1.5; 1-1/4 in and 1/16; where the sheets show whole millimetres, 2
        ("kind: mortise and tenon, length: 30 mm", "0.5 mm", "30", "31.5"),
        ("kind: mortise and tenon, length: 1-1/4", "1/32 in", "31.75", "33.3375"),
        ("kind: mortise and tenon, length: 30 mm", "1 mm", "30", "32"),
        # what is stated wins
        ("kind: mortise and tenon, length: 30 mm, room: 3 mm", "0.5 mm", "30", "33"),
        ("kind: mortise and tenon, length: 30 mm, room: 0", "0.5 mm", "30", "30"),
        ("kind: tongue and groove, length: 10 mm", "0.5 mm", "10", "11.5"),
        ("kind: tongue and groove, depth: 10 mm", "0.5 mm", "8.5", "10"),
        ("kind: tongue and groove, depth: 10 mm, room: 4 mm", "0.5 mm", "6", "10"),
        ("kind: tongue and groove, length: 7 mm, depth: 10 mm", "0.5 mm", "7", "10"),
        # nothing is stated but how thick: as long as thick, at most 3/8 in, in whole millimetres 10
        ("kind: tongue and groove, thickness: 6 mm", "0.5 mm", "6", "7.5"),
        ("kind: tongue and groove, thickness: 12 mm, room: 2 mm", "0.5 mm", "10", "12"),
        # nothing stands before the floor: the tenon has come out, the end stands on it
        ("kind: through tenon", "0.5 mm", "50", "50"),
        ("kind: housing, depth: 8 mm", "0.5 mm", "8", "8"),
        ("kind: housing, depth: 8 mm, room: 1 mm", "0.5 mm", "8", "9"),
    ],
)
def test_how_deep_by_hand(tmp_path: Path, joint: str, fineness: str, inside: str, cut: str) -> None:
    assert depths(corner(tmp_path, joint, fineness)) == (Length(inside), Length(cut))


@pytest.mark.parametrize("kind", ["mortise and tenon", "tongue and groove"])
def test_there_is_room_where_nothing_is_stated(tmp_path: Path, kind: str) -> None:
    inside, cut = depths(corner(tmp_path, f"kind: {kind}"))
    assert cut - inside == Length("1.5")


@pytest.mark.parametrize(
    ("sizes", "long", "deep"),
    [
        ("length: 40 mm", "40", "21.5"),  # 20 and 1.5 in each piece
        ("depth: 21.5 mm", "40", "21.5"),
        ("depth: 25 mm, room: 2 mm", "46", "25"),
        ("length: 40 mm, depth: 22 mm", "40", "22"),
    ],
)
def test_dowels_have_room_at_both_ends(tmp_path: Path, sizes: str, long: str, deep: str) -> None:
    """In the holes, in the schedule of the templates, and on the shopping list."""
    job = corner(tmp_path, f"kind: dowels, thickness: 10 mm, count: 2, {sizes}")
    assert job.space is not None
    bores = [f for mark in "RP" for f in job.space.pieces[mark].features if isinstance(f, Bore)]
    assert len(bores) == 4 and {bore.depth for bore in bores} == {Length(deep)}
    assert f"2 × dowel Ø 10 mm × {long} mm" in told(shopping_list(job))
    schedule = next(block for block in templates(job).blocks if isinstance(block, Table))
    assert {plain(row.cells[1].text) for group in schedule.groups for row in group.rows} == {f"{deep} mm"}


def told(document) -> str:
    return " ".join(plain(content) for block in walk(document.blocks) for content in texts(block))


def test_sheets_agree(tmp_path: Path) -> None:
    """A tenon of 30 in a mortise of 31.5: the cut list adds 30, the drawing of the post and the records say 31.5."""
    job = corner(tmp_path, "kind: mortise and tenon, thickness: 8 mm, width: 60 mm, length: 30 mm")
    drawings = told(piece_drawings(job))
    assert "mortise 8 × 60, 31.5 deep" in drawings and "tenon 8 × 60 × 30" in drawings
    assert "1.5 mm deeper than what goes in" in drawings
    assert "330" in told(cut_list(job))
    records = {page.title: told(page) for page in record_pages(job)}
    assert all("30 mm long, mortise 31.5 mm deep" in records[f"C-{mark}"] for mark in "PR")
    stated = corner(tmp_path, "kind: mortise and tenon, thickness: 8 mm, width: 60 mm, length: 30 mm, room: 2 mm")
    assert "deeper than what goes in" not in told(piece_drawings(stated))


SQUARE = [s for s in SAMPLES if s.name not in ("seed_tote", "loft_stool")]  # the stool's tenons are round


@pytest.mark.parametrize("folder", SQUARE, ids=lambda folder: folder.name)
def test_every_tenon_and_tongue_of_the_samples_stops_before_the_floor(folder: Path) -> None:
    """The tenon fills all of its mortise but a slice of its own section, 1/16 in or 1.5 mm thick, and the mortise
    leaves wood beneath it."""
    job = sample_job(folder, "in" if folder.name in ("plate_rack", "threshold_bench") else "mm")
    assert job.space is not None
    scene, room = job.space.scene, Length.inches("1/16") if job.display.units == "in" else Length("1.5")
    solids = {piece.mark: solid for piece, solid in zip(scene.pieces, scene.solids, strict=True)}
    tried = 0
    for joint, meeting in job.build.meetings():
        if joint.kind not in (JointKind.MORTISE_AND_TENON, JointKind.TONGUE_AND_GROOVE):
            continue
        boxes = []
        for mark in (meeting.entering, meeting.receiving):
            piece = job.space.pieces[mark]
            cuboid = next(f for f in piece.cuboids if f.joint == str(meeting.number))
            ends = [[scene.ticks.count(v) for v in piece.spot_in_build(spot)] for spot in (cuboid.lo, cuboid.hi)]
            boxes.append(type(solids[mark].body).between(*ends))
        inside, cut = (block(box) for box in boxes)
        enters = job.space.joinery[meeting.number].enters
        assert enters is not None
        axis, _ = job.space.pieces[meeting.entering].pose.look_of(enters)
        long, deep = (box.size[axis] for box in boxes)
        assert deep - long == scene.ticks.count(room)
        body = block(solids[meeting.receiving].body)
        if joint.kind is JointKind.MORTISE_AND_TENON:  # a groove may run on past the corner of a panel
            assert (cut - inside).volume() == pytest.approx(boxes[0].volume / long * scene.ticks.count(room))
            assert (cut - body).volume() == pytest.approx(0)
        assert deep < solids[meeting.receiving].body.size[axis]
        tried += 1
    assert tried >= 8
