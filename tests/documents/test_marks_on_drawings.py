"""The loop of the face side and the V of the face edge on the drawing of a piece: on the faces they name, at the arris
these two share. Which face is which is said in the builds below, and where it looks then follows by hand."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
import shapely
from shapely.ops import substring

from shopdocs.blocks.drawing import Circle, Line, Point, Polygon, Stroke
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.piece_drawing import PieceSheet
from shopdocs.documents.drawn.piece_views import PieceView
from shopdocs.model.joining import Face
from tests.documents.test_notes import job_of
from tests.drawn_sheets import sheet_of, worked_sheets
from tests.sample_jobs import PLACED, own_units, sample_job

# A rail 25 x 60 x 300 seen from the front, a hole in each face that is to be drawn.
RAIL = """
build: {{title: Rail, mark: R, units: mm}}
materials: {{oak: {{kind: hardwood, species: white oak, rough: 34}}}}
parts:
  rail:
    material: oak
    size: 25 x 60 x 300
    runs: {{length: {along}, width: {across}}}
    pieces: {{P: {{x: 0, y: 0, z: 0, face side: front, face edge: {edge}}}}}
hardware:
  pin: {{holes: [{{bit: 6, depth: 10}}], on: [{on}]}}
"""
HOLES = {face: f"{{piece: P, face: {face}, along: 80, across: 10}}" for face in ("face", "edge", "back")}


def marks(sheet: PieceSheet) -> tuple[Sequence[Point], Sequence[Point]]:
    """The points of the loop and of the V."""
    open_ = [s for s in sheet.shapes if isinstance(s, Polygon) and not s.closed and s.fill == "none"]
    (loop,) = (shape.points for shape in open_ if len(shape.points) > 10)
    (vee,) = (shape.points for shape in open_ if len(shape.points) == 3)
    return loop, vee


def drawn(tmp_path: Path, edge: str, *faces: str) -> PieceSheet:
    upright = edge in ("left", "right")
    along, across = ("z", "x") if upright else ("x", "z")
    on = ", ".join(HOLES[face] for face in faces)
    return sheet_of(job_of(RAIL.format(along=along, across=across, edge=edge, on=on), tmp_path), "P")


# Which way on paper the face edge lies from the middle of the face side, which looks at the reader.
WAYS = {"top": (0, 1), "bottom": (0, -1), "left": (-1, 0), "right": (1, 0)}


@pytest.mark.parametrize("edge", WAYS)
def test_the_loop_runs_from_the_arris_of_the_face_edge_into_the_face_side(edge: str, tmp_path: Path) -> None:
    """60 wide, centre at 30: the tails lie 30 from it toward the face edge, the loop nearer."""
    dx, dy = WAYS[edge]
    sheet = drawn(tmp_path, edge, "face")
    x, y = sheet.views.long[Face.FACE].place((Length(150), Length(30), ZERO))

    def out(point: Point) -> Length:
        return (point[0] - x) * dx + (point[1] - y) * dy

    loop, vee = marks(sheet)
    assert out(loop[0]) == out(loop[-1]) == Length(30) == out(vee[1])
    assert all(-Length(30) <= out(point) <= Length(30) for point in loop)
    assert out(loop[len(loop) // 2]) < Length(30) < min(out(vee[0]), out(vee[2])), "the V opens away, over the edge"


@pytest.mark.parametrize("edge", WAYS)
def test_the_v_stands_on_the_face_edge_where_that_is_drawn(edge: str, tmp_path: Path) -> None:
    """On the view of the edge, 25 deep: its point on the arris of the face side, which is nearer to the view of that
    face; open away from it, and no further than the edge is deep."""
    dx, dy = WAYS[edge]
    sheet = drawn(tmp_path, edge, "face", "edge")
    face, view = sheet.views.long[Face.FACE], sheet.views.long[Face.EDGE]
    x, y = view.place((Length(150), ZERO, ZERO))
    a, b = face.place((Length(150), ZERO, ZERO))
    assert (x - a) * dx + (y - b) * dy >= ZERO, "the edge is drawn at its own side of the face side"
    _, vee = marks(sheet)
    deep = [(point[0] - x) * dx + (point[1] - y) * dy for point in vee]
    assert deep[1] == ZERO and all(ZERO < one <= Length(25) for one in (deep[0], deep[2]))


@pytest.mark.parametrize("edge", WAYS)
def test_the_heavy_line_is_the_arris_of_face_side_and_face_edge(edge: str, tmp_path: Path) -> None:
    """One counts from it: across the face side from the face edge, on the edge from the face side. 60 and 25 off lie
    the other arrises, in thin lines."""
    sheet = drawn(tmp_path, edge, "face", "edge")
    heavy = [s for s in sheet.shapes if isinstance(s, Line) and s.stroke is Stroke.REFERENCE]
    for face, far in ((Face.FACE, (ZERO, Length(60), ZERO)), (Face.EDGE, (ZERO, ZERO, Length(25)))):
        view = sheet.views.long[face]
        here, there = view.place((ZERO, ZERO, ZERO)), view.place(far)
        k = next(k for k in (0, 1) if here[k] != there[k])
        low, high = sorted((here[k], there[k]))
        lines = {line.start[k] for line in heavy if line.start[k] == line.end[k] and low <= line.start[k] <= high}
        assert lines == {here[k]}, face


def test_on_an_end_the_loop_is_at_the_face_side_and_the_v_at_the_face_edge(tmp_path: Path) -> None:
    """Only the back face is drawn, and end A beside it: 25 thick, so that the face side is 12.5 from its middle, and 60
    wide, so that the face edge is 30 from it. The arrises are those lines; loop and V stand outside."""
    sheet = drawn(tmp_path, "top", "back")
    view = sheet.views.ends[Face.A]
    middle = view.place((ZERO, Length(30), Length("12.5")))
    loop, vee = marks(sheet)
    for points, spot, far in ((loop, (ZERO, Length(30), ZERO), "12.5"), (vee, (ZERO, ZERO, Length("12.5")), "30")):
        at = view.place(spot)
        way = [(one > ZERO) - (one < ZERO) for one in (at[0] - middle[0], at[1] - middle[1])]
        out = [(p[0] - middle[0]) * way[0] + (p[1] - middle[1]) * way[1] for p in points]
        assert min(out) == Length(far) < max(out)


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_every_drawing_of_a_sample_has_both_marks_at_one_arris(folder: Path) -> None:
    count = 0
    for sheet in worked_sheets(sample_job(folder, own_units(folder))):
        piece = sheet.gauged.piece
        if piece.turned is not None and (piece.turned.start, piece.turned.end) == (ZERO, piece.length):
            open_ = [s for s in sheet.shapes if isinstance(s, Polygon) and not s.closed and s.fill == "none"]
            assert not open_, "what is round from end to end has no faces and no arris to mark"
            continue
        loop, vee = marks(sheet)
        view = sheet.views.long.get(Face.FACE)
        if view is None:
            continue
        arris, width = across(view, sheet, sheet.gauged.start[1]), across(view, sheet, sheet.gauged.finish[1])
        k = next(k for k in (0, 1) if arris[k] != width[k])
        assert loop[0][k] == loop[-1][k] == arris[k]
        assert all(min(arris[k], width[k]) <= point[k] <= max(arris[k], width[k]) for point in loop)
        if Face.EDGE not in sheet.views.long:
            assert vee[1][k] == arris[k]
        count += 1
    assert count


def across(view: PieceView, sheet: PieceSheet, at: Length) -> Point:
    return view.place((sheet.gauged.start[0], at, ZERO))


def test_the_loop_starts_at_the_true_arris_and_not_at_the_tongue_beside_it(tmp_path: Path) -> None:
    """A panel 18 thick with a tongue 6 x 8 along its face edge: its arris lies 8 inside of what is drawn."""
    text = """
build: {title: Board, mark: B, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 40}}
parts:
  post: {material: oak, size: 30 x 30 x 300, runs: {length: z, width: x}, pieces: {L: {x: 0, y: 0, z: 0}}}
  panel:
    material: oak
    size: 18 x 100 x 300
    runs: {length: z, width: x}
    pieces: {P: {x: L.right, y: 6, z: 0, face side: front, face edge: left}}
joints: {edge: {kind: tongue and groove, pieces: [P into L], thickness: 6, length: 8}}
"""
    sheet = sheet_of(job_of(text, tmp_path), "P")
    arris, _ = sheet.views.long[Face.FACE].place((Length(150), ZERO, ZERO))
    tip, _ = sheet.views.long[Face.FACE].place((Length(150), Length(-8), ZERO))
    loop, vee = marks(sheet)
    assert arris - tip == Length(8)
    assert loop[0][0] == loop[-1][0] == vee[1][0] == arris


@pytest.mark.parametrize("face", ["face", "edge"])
def test_the_marks_stand_on_plain_wood_near_end_a(face: str, tmp_path: Path) -> None:
    """A hole of 6 at 80 of 300: both marks lie between end A and its rim at 77, and nearer to end A than to the hole's
    far side of the rail."""
    sheet = drawn(tmp_path, "top", "face", "edge") if face == "edge" else drawn(tmp_path, "top", "face")
    view = sheet.views.long[Face.FACE]
    low, high = (view.place((Length(at), ZERO, ZERO))[0] for at in (0, 77))
    for points in marks(sheet):
        assert all(min(low, high) < x < max(low, high) for x, _ in points)


def test_the_loop_crosses_no_line_and_no_hole_where_there_is_plain_wood() -> None:
    """By another geometry library, but for its tails on the arris."""
    clear = 0
    for sheet in (sheet for folder in PLACED for sheet in worked_sheets(sample_job(folder, own_units(folder)))):
        found = [s for s in sheet.shapes if isinstance(s, Polygon) and not s.closed and s.fill == "none"]
        if len(found) != 2 or Face.FACE not in sheet.views.long:
            continue
        loop = shapely.LineString([flat(point) for point in marks(sheet)[0]])
        long = max(loop.bounds[2] - loop.bounds[0], loop.bounds[3] - loop.bounds[1])
        if any((high - low).float_mm() > 2.5 * long for low, high in sheet.gauged.free):
            inner = substring(loop, 0.05, 0.95, True)
            lines = [shapely.LineString((flat(s.start), flat(s.end))) for s in sheet.shapes if isinstance(s, Line)]
            circles = [s for s in sheet.shapes if isinstance(s, Circle)]
            holes = [shapely.Point(flat(hole.centre)).buffer(hole.radius.float_mm()) for hole in circles]
            assert all(one.disjoint(inner) for one in (*lines, *holes)), sheet.gauged.piece.mark
            clear += 1
    assert clear > 10


def flat(point: Point) -> tuple[float, float]:
    return point[0].float_mm(), point[1].float_mm()


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_no_mark_stands_on_a_shoulder_line(folder: Path) -> None:
    """By shapely, in true measure: a rail with a groove along its back face is plain enough on its face side."""
    for sheet in worked_sheets(sample_job(folder, own_units(folder))):
        open_ = [s for s in sheet.shapes if isinstance(s, Polygon) and not s.closed and s.fill == "none"]
        loops = [shape.points for shape in open_ if len(shape.points) > 10]
        knifed = [s for s in sheet.shapes if isinstance(s, Line) and s.stroke is Stroke.KNIFE]
        for loop in loops:
            path = shapely.LineString([(x.float_mm(), y.float_mm()) for x, y in loop])
            for line in knifed:
                shoulder = shapely.LineString([(x.float_mm(), y.float_mm()) for x, y in (line.start, line.end)])
                assert not path.intersects(shoulder), sheet.piece.mark
