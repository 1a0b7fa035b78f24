"""What is meant to cross is said where it is bored, marked and driven, and a drawbored tenon has a hole of its own.

The trestle is worked by hand: legs 60 thick, a rail from leg to leg with tenons 9 × 40 × 80, its top 300 above the
floor. A pin's hole lies 250 above the floor and 40 from the outer side of each leg: 50 below the rail's top edge, 20
beyond its shoulder, 18.5 with the offset of 1.5.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Circle, Drawing, FullScale, Leader, Stroke
from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Table, plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.core.length import Length
from shopdocs.documents.catalogue import make_documents
from shopdocs.documents.job import Job
from shopdocs.pipeline import propose_stages
from shopdocs.work.holes.crossed_holes import tenon_holes
from shopdocs.work.space.placed import Cuboid
from tests.sample_jobs import job_of

TRESTLE = """\
build: {title: Trestle, mark: TR, units: mm}
materials: {beech: {kind: hardwood, rough: 80}}
parts:
  leg:
    material: beech
    size: 60 x 60 x 400
    runs: {length: z, width: x}
    pieces: {L1: {x: 0, y: 0, z: 0}, L2: {mirror: L1 across x at 330}, L3: {x: 1200, y: 0, z: 0}}
  rail:
    material: beech
    size: 25 x 100 x 540
    runs: {length: x, width: z}
    pieces: {R1: {x: L1.right to L2.left, y: 17.5, z: 200}, R2: {x: L2.right to L3.left, y: 17.5, z: 20}}
joints:
  rail tenon: {kind: mortise and tenon, pieces: [R1 into L1, R1 into L2], thickness: 9, length: 40, shoulder: 10}
  rail dowels: {kind: dowels, pieces: [R2 into L2], thickness: 10, length: 80, count: 2}
hardware:
  drawbore pin:
    holes: [{bit: 8, depth: through}]
    on: [{piece: [L1, L2], face: face, along: 250, across: 40}]
    crosses: rail tenon
    offset: 1.5
  peg: {holes: [{bit: 6, depth: through}], on: [{piece: L2, face: back, along: 45, across: 18}], crosses: rail dowels}
  bed bolt:
    holes: [{screw: M8 bolt, as: clearance, bit: 9, depth: 100}]
    on: [{piece: R2, face: B, along: 50, across: 12.5}]
  barrel nut:
    holes: [{bit: 16, depth: 20}]
    on: [{piece: R2, face: face, along: 470, across: 50}]
    crosses: bed bolt
    holds: [R2, L3]
gluing:
  adhesive: slow epoxy
  stages:
    - {title: Left, pieces: [L1, R1, L2], hardware: [drawbore pin]}
    - {title: All, pieces: [R2, L3], uses: [Left]}
"""


@pytest.fixture(scope="module")
def trestle(tmp_path_factory: pytest.TempPathFactory) -> Job:
    path: Path = tmp_path_factory.mktemp("trestle") / "build.yaml"
    path.write_text(TRESTLE, "utf-8")
    return job_of(path)


@pytest.fixture(scope="module")
def sheets(trestle: Job) -> dict[str, Document]:
    return {document.name: document for document in make_documents(trestle)}


def words(document: Document) -> str:
    told = [plain(line) for block in walk(document.blocks) for line in texts(block)]
    told += [fact for block in walk(document.blocks) if isinstance(block, FullScale) for fact in block.facts]
    return "\n".join(told).replace("\u00a0", " ")


def test_the_hole_in_the_tenon_lies_nearer_to_the_shoulder(trestle: Job) -> None:
    holes = {hole.crossing.hole.piece: hole for hole in tenon_holes(trestle.crossings, trestle.build, trestle.space)}
    assert set(holes) == {"L1", "L2"}
    at_a, at_b = holes["L1"].bore, holes["L2"].bore
    assert {holes["L1"].mark, holes["L2"].mark} == {"R1"}
    assert at_a.centre == (Length("-18.5"), Length(50), Length(8))  # end A's shoulder is 0; the tenon is 8 to 17 deep
    assert at_b.centre == (Length("558.5"), Length(50), Length(8))  # end B's shoulder is 540
    assert at_a.depth == at_b.depth == Length(9)
    assert trestle.space is not None
    rail, leg = trestle.space.pieces["R1"], trestle.space.pieces["L1"]
    (mortise,) = [cut for cut in leg.cuboids if isinstance(cut, Cuboid) and not cut.adds]
    assert at_a.against is not None
    # unshifted it lies in the leg's own hole, inside the mortise
    assert leg.spot_in_piece(rail.spot_in_build(at_a.against))[:2] == (Length(250), Length(40))
    spot = leg.spot_in_piece(rail.spot_in_build(at_a.centre))
    assert spot[1] == Length("41.5"), "toward the shoulder, which stands on the leg's inner side, 60 from the outer"
    assert all(mortise.lo[k] < spot[k] < mortise.hi[k] for k in range(2))


def test_the_drawing_of_the_rail_shows_both_circles_and_says_the_offset(sheets: dict[str, Document]) -> None:
    drawings = [block for block in walk(sheets["piece-drawings"].blocks) if isinstance(block, Drawing)]
    (rail,) = [drawing for drawing in drawings if any("drawbore" in note.text for note in drawing.shapes
                                                      if isinstance(note, Leader))]  # fmt: skip
    large = max((rail, *rail.larger), key=lambda each: each.scale or 0)
    notes = [shape.text for shape in large.shapes if isinstance(shape, Leader)]
    assert [note for note in notes if "Ø" in note] == ["2 × Ø 8 mm, drawbore 1.5"]
    circles = [shape for shape in large.shapes if isinstance(shape, Circle)]
    own = [circle for circle in circles if circle.stroke is Stroke.VISIBLE]
    others = [circle for circle in circles if circle.stroke is Stroke.HIDDEN]
    assert len(own) == len(others) == 2
    for one, two in zip(sorted(own, key=lambda c: c.centre), sorted(others, key=lambda c: c.centre), strict=True):
        assert abs(one.centre[0] - two.centre[0]) == Length("1.5")
        assert one.centre[1] == two.centre[1]
    assert "Drawbore is how much nearer to the shoulder" in words(sheets["piece-drawings"])


def test_what_is_crossed_is_said_where_it_is_bored(sheets: dict[str, Document]) -> None:
    told = words(sheets["templates"])
    (table,) = [block for block in walk(sheets["templates"].blocks) if isinstance(block, Table)]
    purposes = [plain(row.cells[2].text) for group in table.groups for row in group.rows]
    assert "drawbore pin: hole, through joints 1, 2, in the tenon 1.5 mm nearer to the shoulder" in purposes
    assert "peg: hole, through joint 3" in purposes
    assert "barrel nut: hole, across bed bolt" in purposes
    assert "prick the tenon of R1 through the hole" in told
    assert "Hole 1: Ø 8 mm, through, drawbore pin: hole, through joint 1, in the tenon" in told
    assert "barrel nut: hole, across bed bolt; 70 mm from end B" in told


def test_pins_are_driven_at_the_stage_that_closes_their_joints(sheets: dict[str, Document]) -> None:
    told = words(sheets["glue-up"])
    left, _, rest = told.partition("Start with Left")
    assert "2 × drawbore pin driven through joints 1, 2" in left
    assert left.index("Joint 2") < left.index("driven") < left.index("Clamps on")
    assert "Fitted: 2 × drawbore pin" not in told, "not before its joint is closed"
    # the tenon is bored before, with the pin; a peg that draws nothing goes in when the joint cannot move any more
    ready = "Tenons of R1 bored for 2 × drawbore pin, 1.5 mm nearer to the shoulder than in L1 and L2"
    assert ready in left or ready in rest.partition("Start with")[0]
    assert told.index(ready) < told.index("2 × drawbore pin driven")
    assert rest.count("drive 1 × peg") == 1 and "peg driven" not in told
    bored = rest.index("Bore Ø 6 mm on through joint 3, drive 1 × peg with glue")
    assert rest.index("Leave them on") < bored < rest.index("Saw off and pare flush: peg")
    marks = words(sheets["mate-marks"])
    assert "drawbore pin: goes through joints 1, 2; keep" in marks


@pytest.mark.parametrize("written", ["", "    offset: 0\n"])
def test_without_an_offset_the_tenon_has_no_hole_of_its_own(tmp_path: Path, written: str) -> None:
    path = tmp_path / "build.yaml"
    path.write_text(TRESTLE.replace("    offset: 1.5\n", written), "utf-8")
    job = job_of(path)
    assert [crossing.hole.piece for crossing in job.crossings] == ["L1", "L2", "L2", "R2"]
    assert not list(tenon_holes(job.crossings, job.build, job.space))


def test_pins_and_pegs_are_bought_or_made_long_enough(sheets: dict[str, Document]) -> None:
    """By hand: both go right through a leg of 60. A pin is cut 25 longer than its hole, so that its point comes out and
    can be sawn off (common practice, no source): 85 each. Bolt and nut cross no joint and get no such line."""
    told = words(sheets["shopping"])
    assert "2 × drawbore pin\nØ 8 mm, hole 60 mm deep: cut 85 mm long." in told
    assert "1 × peg\nØ 6 mm, hole 60 mm deep: cut 85 mm long." in told
    assert told.count(" long.") == 2


def test_proposed_stages_say_when_pins_and_pegs_are_driven(tmp_path: Path) -> None:
    """Pins with an offset draw the shoulders up, so they go in while the glue is wet; a peg waits until it has set."""
    path = tmp_path / "build.yaml"
    path.write_text(TRESTLE.partition("  stages:")[0], "utf-8")
    problems, stages = propose_stages(str(path))
    assert not problems
    flat = " ".join(stages.replace("#", " ").split())
    assert "driven while the glue is wet: drawbore pin" in flat
    assert "wait until it has set: peg, bored for and driven" in flat
    assert "sawn off flush" in flat
