"""A mirrored pair on one drawing, and a post that stands on its head, by hand from the places in the build."""

from __future__ import annotations

from pathlib import Path

from shopdocs.blocks.drawing import Drawing, Leader, Polygon, Stroke, Words
from shopdocs.blocks.text import Heading, Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.catalogue import make_documents
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.drawn.piece_drawing import Marked
from shopdocs.documents.piece_drawings import drawn_groups
from shopdocs.model.joining import Face
from tests.documents.test_notes import job_of
from tests.drawn_sheets import fitted_sheet
from tests.sample_jobs import records_of
from tests.small_builds import one_piece

# Two sills lie flat, RB the mirror image of RA; into each go two posts, N 60 from its outer end, F 200 from it.
SILLS = """
build: {title: Sills, mark: S, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 34}}
parts:
  sill:
    material: oak
    size: 25 x 60 x 300
    runs: {length: x, width: y}
    pieces:
      RA: {x: 0, y: 0, z: 0}
      RB: {mirror: RA across x at 400}
  post:
    material: oak
    size: 20 x 60 x 200
    runs: {length: z, width: y}
    pieces:
      NA: {x: 60, y: 0, z: RA.top}
      FA: {x: 200, y: 0, z: RA.top}
      NB: {mirror: NA across x at 400}
      FB: {mirror: FA across x at 400}
joints:
  posts: {kind: housing, from: post, into: sill, depth: 6}
hardware:
  pin: {holes: [{bit: 6, depth: 10}], on: [{piece: sill, face: face, along: 20, across: 20}]}
"""
# A post with end A at its top, a hole in its face side 50 from there and 20 from the face edge.
POST = (
    one_piece(
        "post",
        "25 x 60 x 400",
        "length: z, width: x",
        "P: {x: 0, y: 0, z: 0, end A: top, face side: front, face edge: left}",
    )
    + "hardware:\n  pin: {holes: [{bit: 6, depth: 10}], on: [{piece: P, face: face, along: 50, across: 20}]}\n"
)


def test_a_letter_stands_for_the_same_place_of_both_twins(tmp_path: Path) -> None:
    """a is 60 from the outer end of either sill, b 200: a goes to N and b to F, though RB has F further left."""
    job = job_of(SILLS, tmp_path)
    (drawn,) = (d for d in make_documents(job) if d.name == "piece-drawings")
    tables = [block for block in walk(drawn.blocks) if isinstance(block, Table) and block.name == "joints-RA"]
    rows = {plain(row.cells[0].text): [plain(c.text) for c in row.cells] for g in tables[0].groups for row in g.rows}
    assert set(rows) == {"RA", "RB"}
    partners = {mark: [cell.split(" → ")[1] for cell in cells if " → " in cell] for mark, cells in rows.items()}
    assert partners in ({"RA": ["NA", "FA"], "RB": ["NB", "FB"]}, {"RA": ["FA", "NA"], "RB": ["FB", "NB"]})


def test_a_post_with_end_a_at_its_top_is_drawn_with_it_at_the_top(tmp_path: Path) -> None:
    """Seen from the front x runs to the right and z up: the hole is 20 from the left and 350 of 400 from the floor."""
    job = job_of(POST, tmp_path)
    (group,) = drawn_groups(job)
    sheet = fitted_sheet(Marked(Gauged(group.pieces[0]), {}, True), job.display, (178.0, 150.0))
    view = sheet.views.long[Face.FACE]
    end, hole = view.place((ZERO, ZERO, ZERO)), view.place((Length(50), Length(20), ZERO))
    foot = view.place((Length(400), ZERO, ZERO))
    assert foot[1] < hole[1] < end[1]
    assert hole[0] - end[0] == Length(20)


def test_a_record_names_the_cuts_and_counts_from_the_end_a_of_its_own_hand(tmp_path: Path) -> None:
    """60 to 80 and 200 to 220 from end A on both sills: that of RB lies at the right, where its outer end is."""
    job = job_of(SILLS, tmp_path)
    for mark, near, far in (("RA", "NA", "FA"), ("RB", "NB", "FB")):
        (page,) = (p for (_, piece), p in zip(job.build.pieces(), records_of(job), strict=True) if piece.mark == mark)
        tables = {block.name: block for block in walk(page.blocks) if isinstance(block, Table)}
        meets = {plain(r.cells[0].text): plain(r.cells[1].text) for g in tables[f"meets-{mark}"].groups for r in g.rows}
        cuts = [[plain(cell.text) for cell in r.cells] for g in tables[f"cuts-{mark}"].groups for r in g.rows]
        told = {
            meets[number]: (name, along)
            for numbers, name, _, spans, *_ in cuts
            for number, along in zip(numbers.split(", "), spans.split(", "), strict=True)
        }
        assert told == {near: ("housing", "60–80"), far: ("housing", "200–220")}


# A board with a rabbet 20 wide and 8 deep along its far edge, cut from the back: it is marked out where it is wide.
REBATE = POST.replace("end A: top, ", "").replace(
    "hardware:", "cuts: {step: {kind: rabbet, depth: 8, on: [{piece: P, face: back, across: 40 to 60}]}}\nhardware:"
)


def test_a_cut_is_drawn_on_the_face_that_shows_most_of_it(tmp_path: Path) -> None:
    job = job_of(REBATE, tmp_path)
    (group,) = drawn_groups(job)
    (shown,) = group.gauged.shown
    assert (shown.face, shown.depth) == (Face.BACK, Length(8))


def test_hardware_on_one_of_a_pair_is_drawn_for_that_one_alone(tmp_path: Path) -> None:
    """The pin is in RA alone, a peg in RB alone, 70 of 300 from end A: one drawing of RA with both housings and the pin
    as RA's, beside it RB's peg, at 70 and nowhere on RA's drawing."""
    peg = "  peg: {holes: [{bit: 8, depth: 5}], on: [{piece: RB, face: face, along: 70, across: 30}]}\n"
    job = job_of(SILLS.replace("piece: sill", "piece: RA") + peg, tmp_path)
    (drawn,) = (d for d in make_documents(job) if d.name == "piece-drawings")
    heads = [block.text for block in walk(drawn.blocks) if isinstance(block, Heading)]
    assert sum("RA" in head and "RB" in head for head in heads) == 1, heads
    found = [block for block in walk(drawn.blocks) if isinstance(block, Drawing)]
    (main,) = (one for one in found if any("RA only, " in words for words in words_of(one)))
    (alone,) = (one for one in found if one.name == "RB only")
    assert not any("Ø 8" in words for words in words_of(main)) and any("Ø 8" in words for words in words_of(alone))
    assert "70" in words_of(alone) and not any("Ø 6" in words or words == "a" for words in words_of(alone))


def test_a_face_edge_that_is_drawn_alone_needs_no_end_beside_it(tmp_path: Path) -> None:
    """The hole is in the face edge, which looks to the left: seen from there the front, where the face side is, lies at
    the right. The V has its point at that arris and opens over the edge."""
    job = job_of(
        POST.replace("end A: top, ", "").replace(
            "face: face, along: 50, across: 20", "face: edge, along: 50, across: 8"
        ),
        tmp_path,
    )
    (group,) = drawn_groups(job)
    sheet = fitted_sheet(Marked(Gauged(group.pieces[0]), {}, True), job.display, (178.0, 150.0))
    assert set(sheet.views.long) == {Face.EDGE} and not sheet.views.ends
    view = sheet.views.long[Face.EDGE]
    front, rear = view.place((ZERO, ZERO, ZERO)), view.place((ZERO, ZERO, Length(25)))
    assert front[0] > rear[0]
    lines = [one for one in sheet.views.shapes() if isinstance(one, Polygon) and not one.closed]
    (mark,) = (one for one in lines if one.stroke is Stroke.VISIBLE)  # break lines are thin
    across = [point[0] for point in mark.points]
    assert max(across) == front[0] and min(across) > rear[0]


def words_of(drawing: Drawing) -> list[str]:
    return [shape.text for shape in drawing.shapes if isinstance(shape, (Words, Leader))]
