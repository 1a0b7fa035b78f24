"""The edge map: an arris is told of once, alike on all interchangeable pieces, and drawn as it is told."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import shapely
from shapely import affinity

from shopdocs.blocks.drawing import Drawing, Line, Stroke, Words
from shopdocs.blocks.text import Checklist, Step, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.length import Length
from shopdocs.documents.drawn.edge_box import edge_box
from shopdocs.documents.edges import edge_groups, edges_text, edges_words, treatment
from shopdocs.documents.fitting.alike import own_shape
from shopdocs.model.joining import Face
from shopdocs.model.parts import Axis, Direction
from shopdocs.page.typesetter import Typesetter
from shopdocs.work.space.arrises import EDGES, EdgeFinding, Verdict, Why
from shopdocs.work.space.placed import PlacedPiece, Pose, Toward
from tests.documents.test_notes import job_of
from tests.sample_jobs import PLACED, document_of, sample_job
from tests.values import replace

X, Y, Z = (Toward(direction) for direction in Direction)


def steps(folder: Path) -> dict[str, str]:
    """What the sheet says of each group of pieces, by its marks and name."""
    document = document_of(sample_job(folder, "mm"), "edges")
    found: list[Step] = [s for b in walk(document.blocks) if isinstance(b, Checklist) for s in b.steps]
    return {plain(step.text): plain(step.detail) for step in found}


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_what_is_done_to_an_arris_is_said_once(folder: Path) -> None:
    """No piece has all arrises left square and some of the same with stopped chamfers: every arris of a group is in one
    list, and where all twelve are in one nothing else is said."""
    for group in edge_groups(sample_job(folder, "mm")):
        lists = [{found.edge for found in group.of(verdict)} for verdict in Verdict]
        assert sum(map(len, lists)) == len(set().union(*lists)) == 12
    for words in steps(folder).values():
        assert "all twelve" not in words or "; " not in words.partition("; strips")[0], words


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_interchangeable_pieces_have_equal_arrises(folder: Path) -> None:
    job = sample_job(folder, "mm")
    assert job.alike is not None and job.space is not None
    compared = 0
    for kind in job.alike.kinds:
        every = {mark: job.alike.edges(mark) for mark in kind.marks}
        counts = [sorted(f.verdict for f in found) for found in every.values()]
        assert all(count == counts[0] for count in counts)
        drawn: dict[object, list[str]] = {}
        for mark in kind.marks:
            piece = job.space.pieces[mark]
            drawn.setdefault((own_shape(piece), piece.pose.right_handed), []).append(mark)
        for marks in drawn.values():
            told = {
                tuple((f.edge, f.verdict, f.free if f.verdict is Verdict.STOPPED else ()) for f in every[m])
                for m in marks
            }
            assert len(told) == 1, marks
            compared += len(marks) > 1
    assert compared


def test_the_slats_of_a_top_are_one_by_hand() -> None:
    """Six slats 95 wide with gaps of 6 lie on side aprons 25 thick, x 55 to 80 and 1120 to 1145, that run from y 90 to
    510. The first slat, y 0 to 95, has its front arris off them, the last its rear one, the others lie with both on
    them. On all six both arrises of the back are chamfered from 80 + 10 to 1120 - 10 and stop there."""
    table = next(folder for folder in PLACED if folder.name == "potting_table")
    (group,) = (g for g in edge_groups(sample_job(table, "mm")) if g.part.name == "top slat")
    assert group.marks == ("TS1", "TS2", "TS3", "TS4", "TS5", "TS6")
    stopped = {found.edge: found.free for found in group.of(Verdict.STOPPED)}
    assert {edge for edge in stopped} == {
        edge for edge in EDGES if Face.BACK in edge and not {Face.A, Face.B} & {*edge}
    }
    assert {*stopped.values()} == {((Length(90), Length(1110)),)}


def test_a_panel_left_square_is_told_of_its_strips_alone() -> None:
    """A panel whose twelve arrises lie in grooves has nothing to say before its strips: no semicolon stands first."""
    bench = next(folder for folder in PLACED if folder.name == "threshold_bench")
    top = next(group for group in edge_groups(sample_job(bench, "in")) if group.part.strips > 1)
    square = tuple(replace(found, verdict=Verdict.SQUARE) for found in top.edges)
    words = plain(treatment(sample_job(bench, "in"), replace(top, edges=square, every=(square,))))
    assert "; strips" not in words and not words.startswith(";"), words


def test_a_panel_is_shown_with_its_strips() -> None:
    """The bench's top is of three strips: two seams on its face side and two on its end, and the strips by name."""
    bench = next(folder for folder in PLACED if folder.name == "threshold_bench")
    told = steps(bench)["T  top"]
    assert "strips Ta Tb Tc: square all round until they are glued up" in told
    plain_box, with_seams = (edge_box(BOARD, found(Verdict.CHAMFER), strips) for strips in (1, 3))
    more = [s for s in with_seams.shapes if s not in plain_box.shapes]
    assert len(more) == 4 and all(isinstance(s, Line) and s.stroke is Stroke.THIN for s in more)


BOARD = PlacedPiece("T", "top", (Length(0),) * 3, Length(100), Length(60), Length(30), Pose(X, Y, Z))


def found(verdict: Verdict, **free: object) -> tuple[EdgeFinding, ...]:
    axes = {0: Axis.LENGTH, 1: Axis.WIDTH, 2: Axis.THICKNESS}
    del free
    return tuple(
        EdgeFinding(edge, axes[0], Length(100), verdict, Why.FREE, (), ((Length(0), Length(100)),)) for edge in EDGES
    )


def strokes(drawing: Drawing) -> dict[Stroke, int]:
    lines = [s for s in drawing.shapes if isinstance(s, Line)]
    return {
        stroke: sum(line.stroke is stroke for line in lines) for stroke in Stroke if stroke in {s.stroke for s in lines}
    }


def test_a_chamfer_is_drawn_as_two_lines_and_a_square_arris_as_one() -> None:
    """By hand: nine arrises of a box are seen, three of them between two seen faces. All square: nine heavy lines. All
    chamfered: two lines each, eighteen; those of the three hidden ones say nothing new. One of the hidden arrises
    chamfered and the others square: the corner is looked at from its other side, so that it is seen, two lines and
    eleven less three behind: eight heavy."""
    assert strokes(edge_box(BOARD, found(Verdict.SQUARE))) == {Stroke.REFERENCE: 9}
    assert strokes(edge_box(BOARD, found(Verdict.CHAMFER))) == {Stroke.VISIBLE: 18}
    one = tuple(f for f in found(Verdict.SQUARE) if {*f.edge} != {Face.BACK, Face.FAR_EDGE})
    mixed = (*one, *(f for f in found(Verdict.CHAMFER) if {*f.edge} == {Face.BACK, Face.FAR_EDGE}))
    assert strokes(edge_box(BOARD, mixed)) == {Stroke.VISIBLE: 2, Stroke.REFERENCE: 8}


def test_both_long_arrises_of_a_face_are_named_by_the_face() -> None:
    far = [edge for edge in EDGES if Face.FAR_EDGE in edge and not {Face.A, Face.B} & {*edge}]
    assert edges_words(far) == "both arrises of the far edge"


def test_an_arris_bevelled_in_part_is_no_square_one(tmp_path: Path) -> None:
    """A board 300 long, its arris of face side and face edge bevelled from 100 to 250: not chamfered as well, not left
    square, and drawn as two lines for half its length, 150 of 300, between heavy ones."""
    said = """
build: {title: Board, mark: B, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 34}}
parts:
  board: {material: oak, size: 25 x 80 x 300, runs: {length: x, width: y}, pieces: {P: {x: 0, y: 0, z: 0}}}
cuts:
  arris: {kind: bevel, width: 10, on: [{piece: P, edge: face and edge, along: 100 to 250}]}
"""
    job = job_of(said, tmp_path)
    (group,) = edge_groups(job)
    worked, told = (Face.EDGE, Face.FACE), plain(treatment(job, group))
    assert "bevel or round in part, see its drawing: face side / face edge" in told
    assert group.in_part == {edge: ((Length(100), Length(250)),) for edge in group.in_part} and len(group.in_part) == 1
    assert {*next(iter(group.in_part))} == {*worked}
    words = dict(edges_text(job, group))
    assert "face side / face edge" not in plain(words.get("Leave square", ())) + plain(words.get("Chamfer", ()))
    assert job.space is not None
    square = tuple(replace(found, verdict=Verdict.SQUARE) for found in group.edges)
    drawn = strokes(edge_box(job.space.pieces["P"], square, in_part=group.in_part))
    # broken in its middle, in the bevel: its two lines are four. Heavy are the arris before and behind it, two
    # more long arrises in two parts each, and six short ones; the three behind say nothing new
    assert (drawn[Stroke.VISIBLE], drawn[Stroke.REFERENCE]) == (2 * 2, 2 + 2 * 2 + 6)


SHAPED = """
build: {title: Shaped, mark: S, units: mm}
materials: {oak: {kind: hardwood, rough: 52}}
parts: {board: {material: oak, size: 30 x 60 x 100, runs: {length: x, width: z}, pieces: {S: {x: 0, y: 0, z: 0}}}}
cuts:
  shape:
    kind: outline
    on: [{piece: S, face: face side}]
    outline:
      - 0, 0
      - 30, 0
      - hollow to 60, 0, rise 12
      - 70, 0
      - round to 70, 60, rise 30
      - 60, 60
      - 40, 45
      - 0, 60
      - 0, 0
"""


def test_a_shaped_piece_is_drawn_as_it_is_sawn(tmp_path: Path) -> None:
    """The drawing is isometric (both directions of the face at 30 degrees to the level, 14 mm of paper for 60 of wood):
    its upper arrises are the outline by shapely, of which nothing is hidden, and no line lies outside what the prism
    covers of the paper."""
    job = job_of(SHAPED, tmp_path)
    assert job.space is not None
    face = shapely.box(0, 0, 70, 60) | shapely.Point(70, 30).buffer(30, quad_segs=500)
    radius = (15**2 + 12**2) / 24
    face -= shapely.Point(45, 12 - radius).buffer(radius, quad_segs=500)
    face -= shapely.Polygon([(60, 60), (40, 45), (0, 60)])
    drawn = edge_box(job.space.pieces["S"], found(Verdict.SQUARE))
    lines = [s for s in drawn.shapes if isinstance(s, Line) and s.stroke in (Stroke.REFERENCE, Stroke.VISIBLE)]
    paper = shapely.MultiLineString([[[v.float_mm() for v in spot] for spot in (s.start, s.end)] for s in lines])
    scale, low, top = 14 / 60, paper.bounds[0], paper.bounds[3]
    fits = []
    for a, b in ((1, 1), (1, -1), (-1, 1), (-1, -1)):  # which corner is looked at, and of which hand the piece is
        for sense in (1, -1):
            c = math.cos(math.radians(30)) * sense
            flat = affinity.affine_transform(face, [scale * a * c, -scale * b * c, scale * a / 2, scale * b / 2, 0, 0])
            flat = affinity.translate(flat, low - flat.bounds[0], top - flat.bounds[3])
            spots = shapely.points(shapely.get_coordinates(shapely.segmentize(flat.boundary, 0.2)))
            fits.append((shapely.distance(spots, paper).max(), flat))
    apart, flat = min(fits, key=lambda fit: fit[0])
    assert apart < 0.06
    thick = max(6, 30 * scale)
    covered = shapely.union_all([affinity.translate(flat, 0, -thick * k / 40) for k in range(41)]).buffer(0.1)
    assert paper.difference(covered).length < 0.2


def test_the_arrises_of_a_leg_that_leans_stop_before_its_seat() -> None:
    """The stool's legs are 409.5 from long point to long point; end B, which lies against the seat, is sawn off square
    by 7 across and 4.5 through, so that its short point is at 398. Chamfers stop 10 before that, on all four arrises,
    and none runs round end B."""
    stool = next(folder for folder in PLACED if folder.name == "loft_stool")
    (group,) = (g for g in edge_groups(sample_job(stool, "mm")) if g.part.name == "leg")
    stopped = {found.edge: found.free for found in group.of(Verdict.STOPPED)}
    assert {*stopped} == {edge for edge in EDGES if not {Face.A, Face.B} & {*edge}}
    for ((low, high),) in stopped.values():
        assert low == Length(0)
        assert abs(high - Length("387.9")) < Length("0.6")
    assert not [found for found in group.of(Verdict.CHAMFER) if Face.B in found.edge]


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_the_names_of_arrises_stand_clear_within_their_drawing(folder: Path) -> None:
    """By the widths of the typeface, a capital being 0.66 of its size high: each name lies within the drawing, off the
    other names and off the lines of the box."""
    ts = Typesetter()
    named = 0
    for drawing in (b for b in walk(document_of(sample_job(folder, "mm"), "edges").blocks) if isinstance(b, Drawing)):
        paper = shapely.box(0, 0, drawing.width.float_mm(), drawing.height.float_mm())
        names = []
        for shape in drawing.shapes:
            if isinstance(shape, Words):
                half = ts.width(shape.text, "regular", shape.size_pt) * 25.4 / 72 / 2
                (x, y), up = (at.float_mm() for at in shape.at), shape.size_pt * 25.4 / 72 * 0.33
                names.append(shapely.box(x - half, y - up, x + half, y + up))
        lines = [
            shapely.LineString([[at.float_mm() for at in end] for end in (line.start, line.end)])
            for line in drawing.shapes
            if isinstance(line, Line)
        ]
        for i, name in enumerate(names):
            assert paper.covers(name)
            assert all(name.disjoint(other) for other in (*names[:i], *lines))
        named += len(names)
    assert named
