"""What the angles sheet says of legs that lean: against the handbook's formulas, and against vectors."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from shopdocs.blocks.drawing import FullScale, Polygon, Words
from shopdocs.blocks.text import Bullets, Paragraph, Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.borings import boring_words, guides, holes_at_an_angle, leans_table
from shopdocs.documents.catalogue import make_documents
from shopdocs.documents.job import Job
from shopdocs.pipeline import check_build
from tests.sample_jobs import BY_NAME, job_of, sample_job

STOOL = BY_NAME["loft_stool"] / "build.yaml"


def cells(table: Table, row: int = 0) -> list[str]:
    return [plain(cell.text) for cell in [row for group in table.groups for row in group.rows][row].cells]


def test_the_legs_from_plumb() -> None:
    """Splay 10, rake 6 degrees. Machinery's Handbook, 31st ed., Compound Angles, p. 121: the tangent of the sight line
    from the front-rear line is tan(10) / tan(6) = 1.67762: 59.20 degrees, 30.80 from the left-right line; that of the
    lean is tan(10) / sin(59.20) = 0.20528: 11.60 degrees. Over a height of 390 the leg is 390 / cos(11.60) = 398.13
    long."""
    table = leans_table(job_of(STOOL))
    assert table is not None
    assert cells(table) == ["FL  FR  BL  BR", "10", "6", "11.6", "30.8", "59.2", "390", "≈398"]


def test_each_mortise_points_along_its_leg() -> None:
    """With numpy: the way into the seat, off square and along the sight line as the sheet has them, put together again,
    is the leg's own direction in the build."""
    job = job_of(STOOL)
    assert job.space is not None
    legs = [hole for hole in holes_at_an_angle(job) if hole.piece.mark == "S"]
    assert [hole.enters for hole in legs] == ["FL", "FR", "BL", "BR"]
    for hole in legs:
        lean = job.space.pieces[hole.enters].lean  # type: ignore[attr-defined]
        up = np.array([-float(lean.right), -float(lean.rear), 1.0])
        up /= np.linalg.norm(up)
        found = hole.angles
        assert math.degrees(math.acos(up[2])) == pytest.approx(found.off, abs=1e-6)
        assert math.degrees(math.atan2(abs(up[1]), abs(up[0]))) == pytest.approx(found.sight, abs=1e-6)
        # the seat's length runs to the right from end A, its width to the rear from the face edge
        toward = {"end B" if up[0] > 0 else "end A", "far edge" if up[1] > 0 else "edge"}
        assert {"end " + face if face in "AB" else str(face) for face in found.toward} == toward


def _guides(job: Job) -> list[FullScale]:
    (sheet,) = (document for document in make_documents(job) if document.name == "angles")
    return [block for block in walk(sheet.blocks) if isinstance(block, FullScale) and block.anchor.startswith("guide")]


def test_guides_have_the_rim_at_full_size() -> None:
    """A bore of 25 at 11.6 degrees off square cuts the face in an ellipse 25 by 25 / cos(11.6) = 25.52 mm; one of 16 at
    6 degrees 16 by 16.09. The four of the seat are of both hands and lie at four corners, those of the legs are of two
    hands."""
    job = job_of(STOOL)
    guides = _guides(job)
    assert len(guides) == 6
    spans = []
    for guide in guides:
        rims = [shape for shape in guide.drawing.shapes if isinstance(shape, Polygon) and len(shape.points) > 4]
        (rim,) = rims
        spots = np.array([[float(v.mm) for v in point] for point in rim.points])
        half = len(spots) // 2
        far = [np.linalg.norm(spots[k] - spots[(k + half) % len(spots)]) for k in range(half)]
        spans.append((round(min(far), 1), round(max(far), 1)))
        # no corner is seen: the middles of its sides lie within 0.02 mm, a tenth of the finest pen, of the circle or
        # ellipse that its corners lie on; with 24 sides it was 0.1
        from_middle = np.linalg.norm(spots - spots.mean(axis=0), axis=1)
        sides = np.linalg.norm((spots + np.roll(spots, -1, axis=0)) / 2 - spots.mean(axis=0), axis=1)
        assert ((from_middle + np.roll(from_middle, -1)) / 2 - sides).max() < 0.02
    assert sorted(set(spans)) == [(16.0, 16.1), (25.0, 25.5)]


def test_a_guide_says_what_it_is_for_inside_its_outline() -> None:
    """Cut out, the four guides of the seat differ in nothing else but the edges they reach."""
    inside = []
    for guide in _guides(job_of(STOOL)):
        wide, tall = guide.drawing.width.float_mm(), guide.drawing.height.float_mm()
        told = []
        for words in (shape for shape in guide.drawing.shapes if isinstance(shape, Words)):
            half = len(words.text) * words.size_pt * 0.5 * 25.4 / 72 / 2  # a bold letter is half as wide as high
            x, y = (value.float_mm() for value in words.at)
            if half < x < wide - half and 1 < y < tall - 1 and not words.boxed:
                told.append(words.text)
        inside.append(told)
    for joint, told in zip(("1: FL", "2: FR", "3: BL", "4: BR"), inside[:4], strict=True):
        assert told == ["S · back face", f"joint {joint}", "Ø 25 mm · 11.6° · through"]
    for marks, told in zip(("FL  BR", "BL  FR"), inside[4:], strict=True):
        assert f"{marks} · back face" in told


def test_an_end_with_a_tenon_is_told_as_its_shoulder() -> None:
    """Sawn across as the foot is, the upper end of a leg would lose its round tenon."""
    (sheet,) = (document for document in make_documents(job_of(STOOL)) if document.name == "piece-drawings")
    told = [plain(item) for block in walk(sheet.blocks) if isinstance(block, Bullets) for item in block.items]
    lines = [line for line in told if line.startswith("Level end of leg")]
    assert ["end A sawn 9.95°" in lines[0], "end B sawn" in "".join(lines)] == [True, False]
    assert "shoulder at end B, round the tenon, 9.95° off square" in lines[1]


def test_the_look_alikes_try_what_is_off_square_too() -> None:
    """Every leg leans its own way, and its mortises with it: turned, or in its neighbour's place, none goes in (by
    brute force in the bench). The sheet says that all were tried, and names the hands."""
    (sheet,) = (document for document in make_documents(job_of(STOOL)) if document.name == "look-alikes")
    told = " ".join(" ".join(plain(block.text) for block in sheet.blocks if isinstance(block, Paragraph)).split())
    assert "not tried" not in told and "Every piece was tried" in told
    assert "FR BL and FL BR are mirror images." in told
    assert "No piece can be taken for another, and none goes in the wrong way round" in told


def test_a_glide_goes_into_the_sawn_foot_of_a_leg_that_leans(tmp_path: Path) -> None:
    """A pilot in the middle of a foot of 40 x 40: 20 from the face edge and from the face side, as in any other end,
    and told with the bits. Holes that would meet the tenon's end or the stretcher's mortise are found as elsewhere: the
    stretcher's, 26.5 deep in the back face 150 from the foot, is met by one 150 along the face side and 20 deep (40 -
    26.5 leaves 13.5)."""
    whole = (BY_NAME["loft_stool"] / "build.yaml").read_text("utf-8")
    glide = (
        "glide: {holes: [{bit: 4, depth: 14}], on: [{piece: leg, face: A, along: width / 2, across: thickness / 2}]}"
    )
    tag = "tag: {holes: [{bit: 4, depth: 20}], on: [{piece: FL, face: face side, along: 150, across: width / 2}]}"
    file = tmp_path / "build.yaml"
    file.write_text(whole.replace("gluing:\n", f"hardware:\n  {glide}\n\ngluing:\n", 1), "utf-8")
    assert not [p for p in check_build(str(file))[2] if p.code not in ("bit", "meant")]
    told = [hole for hole in job_of(file).holes if hole.hardware == "glide"]
    assert {(hole.piece, hole.along.mm, hole.across.mm) for hole in told} == {
        (m, 20, 20) for m in ("FL", "FR", "BL", "BR")
    }
    file.write_text(whole.replace("gluing:\n", f"hardware:\n  {tag}\n\ngluing:\n", 1), "utf-8")
    (problem,) = [p for p in check_build(str(file))[2] if p.code == "hole-in-joint"]
    assert "mortise of joint 5" in problem.wrong


def test_only_what_goes_through_is_stopped_when_the_point_shows() -> None:
    """The stool has both: the seat is bored through, a leg 26.5 of its 40 deep; so each is told for its own."""
    words = boring_words(job_of(STOOL))
    assert "Through holes: stop when the point shows" in words
    assert "Stopped holes: mark the depth" in words


def test_a_guide_that_reaches_no_end_says_which_way_end_a_is() -> None:
    """The mortises of the legs lie 150 from the foot, farther than a guide reaches; those of the seat 82 from an end,
    which is drawn. A mortise of a leg goes in toward end A (it leans out towards its foot), and so does the arrow."""
    for guide in _guides(job_of(STOOL)):
        said = [shape for shape in guide.drawing.shapes if isinstance(shape, Words)]
        ways = [shape for shape in said if "to end A" in shape.text]
        assert bool(ways) == ("26.5 deep" in guide.facts[0])
        for way in ways:
            (arrow,) = [s for s in guide.drawing.shapes if isinstance(s, Polygon) and len(s.points) == 3]
            to_left = arrow.points[0][0] < arrow.points[1][0]
            assert way.text == ("\N{LEFTWARDS ARROW} to end A" if to_left else "to end A \N{RIGHTWARDS ARROW}")


def test_a_guide_is_measured_from_the_end_and_edge_it_lies_on() -> None:
    """The seat is 400 x 300 with its mortises 82 from ends and edges, by its build: each guide lies on a corner of its
    own."""
    job = sample_job(BY_NAME["loft_stool"], "mm")
    told = [fact for guide in guides(job) if " S," in guide.title for fact in guide.facts if fact.startswith("centre")]
    assert sorted(told) == [
        f"centre 82 mm from end {end}, 82 mm from the {edge} edge" for end in "AB" for edge in ("face", "far")
    ]
