"""Pictures: exploded pieces clear their neighbours, leaders and words keep apart, dimensions say what the piece is.

Marks and words are measured as they are set, with the font's own widths, from the laid-out page items; crossings and
overlaps are found with shapely."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations

import numpy as np
import pytest
import shapely

from shopdocs.blocks.drawing import Dimension, Drawing, Leader, Line, Point, Polygon, Words
from shopdocs.core.display import Display
from shopdocs.core.length import Length
from shopdocs.documents.drawn.elevations import elevations
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.drawn.pictures import Laid, every_mark, lines_of, picture, standing
from shopdocs.documents.drawn.piece_drawing import WIDE_MM, Marked
from shopdocs.model.joining import Face, JointKind
from shopdocs.model.parts import Direction
from shopdocs.page.drawings import lay_out, words_box
from shopdocs.page.items import TextRun
from shopdocs.page.typesetter import Typesetter
from shopdocs.work.joints.frame import JointSizes
from shopdocs.work.joints.joinery import joined_pieces
from shopdocs.work.scene.explode import explode
from shopdocs.work.shapes.carved import Carved, bodies_of
from shopdocs.work.shapes.projection import ISOMETRIC, ISOMETRIC_LEFT, View
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.contacts import find_contacts
from shopdocs.work.space.placed import Bore, Cuboid, FeatureKind, PlacedPiece, Pose, Scene, Toward
from tests.drawn_sheets import fitted_sheet
from tests.page.frame_checks import laid_items, leaders_crossed, text_over_text
from tests.work.scenes import random_scene, spot

X, Y, Z = (Toward(d) for d in Direction)
ROOM = (180.0, 130.0)


def stool() -> Scene:
    """Four legs, four rails with tenons, a seat of seven slats across two bearers."""
    legs = [
        PlacedPiece(f"L{i + 1}", "leg", spot(x, y, 0), Length(420), Length(40), Length(40), Pose(Z, X, Y))
        for i, (x, y) in enumerate(((0, 0), (460, 0), (0, 260), (460, 260)))
    ]
    rails = [
        PlacedPiece("F", "rail", spot(40, 10, 340), Length(420), Length(80), Length(22), Pose(X, Z, Y)),
        PlacedPiece("B", "rail", spot(40, 268, 340), Length(420), Length(80), Length(22), Pose(X, Z, Y)),
        PlacedPiece("E", "rail", spot(8, 40, 340), Length(220), Length(80), Length(22), Pose(Y, Z, X)),
        PlacedPiece("G", "rail", spot(470, 40, 340), Length(220), Length(80), Length(22), Pose(Y, Z, X)),
    ]
    slats = [
        PlacedPiece(f"S{i + 1}", "slat", spot(0, 0 + 43 * i, 420), Length(500), Length(40), Length(18), Pose(X, Y, Z))
        for i in range(7)
    ]
    tenon = JointSizes(JointKind.MORTISE_AND_TENON, Length(8), length=Length(18), shoulder=Length(10))
    joints = [("F", "L1"), ("F", "L2"), ("B", "L3"), ("B", "L4"), ("E", "L1"), ("E", "L3"), ("G", "L2"), ("G", "L4")]
    pieces, _ = joined_pieces([*legs, *rails, *slats], [(a, b, tenon) for a, b in joints])
    return Scene.of(pieces)


@pytest.mark.parametrize("seed", range(25))
def test_exploded_pieces_clear_their_neighbours(seed):
    """After moving, pieces that met are apart by the gap along some axis, tenons included."""
    scene = stool() if seed == 0 else random_scene(seed, 12)
    contacts = find_contacts(scene)
    gap = Length(30)
    offsets = explode(contacts, gap).offsets
    moved = [solid.shifted(by).bounds for solid, by in zip(scene.solids, offsets, strict=True)]
    met = [pair for pair in contacts.pairs if pair.touches or pair.overlap]
    assert met or seed
    for pair in met:
        assert max(moved[pair.first].gaps(moved[pair.second])) >= scene.ticks.count(gap)


def test_a_symmetrical_build_opens_symmetrically():
    scene = stool()
    offsets = dict(zip((p.mark for p in scene.pieces), explode(find_contacts(scene), Length(50)).offsets, strict=True))
    middle = offsets["F"][0]
    assert offsets["L2"][0] - middle == middle - offsets["L1"][0] > 0
    assert offsets["L1"] == (offsets["L3"][0], offsets["L1"][1], offsets["L3"][2])


def test_pieces_that_never_met_are_not_moved_into_each_other() -> None:
    """A rail hangs under a top, a shelf stands under the rail and touches only the sides: the rail must not sink into
    the shelf when the top goes up."""
    side = [
        PlacedPiece(m, "side", spot(x, 0, 0), Length(500), Length(140), Length(12), Pose(Z, Y, X))
        for m, x in (("L", 0), ("R", 412))
    ]
    boards = [
        PlacedPiece(m, m, spot(12, 0, z), Length(400), Length(140), Length(12), Pose(X, Y, Z))
        for m, z in (("TP", 488), ("S", 390), ("BT", 0))
    ]
    rail = PlacedPiece("HR", "rail", spot(12, 114, 428), Length(400), Length(60), Length(20), Pose(X, Z, Y))
    scene = Scene.of([*side, *boards, rail])
    for seed in range(26):
        scene = scene if seed == 0 else random_scene(seed, 14)
        offsets = explode(find_contacts(scene), scene.ticks.length(max(scene.bounds.size)) / 7).offsets
        moved = [solid.shifted(by) for solid, by in zip(scene.solids, offsets, strict=True)]
        for (i, one), (j, two) in combinations(enumerate(moved), 2):
            assert not one.overlap(two) or scene.solids[i].overlap(scene.solids[j])


def test_pieces_of_a_row_stay_in_a_row() -> None:
    """Slats that rest on three rails, and slats that rest on two: all go up alike."""
    offsets = dict(
        zip((p.mark for p in stool().pieces), explode(find_contacts(stool()), Length(50)).offsets, strict=True)
    )
    assert len({offsets[f"S{k}"][2] for k in range(1, 8)}) == 1


def _set_words(drawing, scale=None) -> list[tuple[str, shapely.Polygon]]:
    """All words with their boxes, in points, as the page sets them."""
    ts = Typesetter()
    laid = lay_out(drawing, scale or drawing.scale, ts)
    return [
        (run.text, shapely.box(*words_box(run.x, run.y, ts.width(run.text, run.face, run.size), run.size, run.angle)))
        for run in laid.items
        if isinstance(run, TextRun)
    ]


def _seen_at(solids: Sequence[Solid], view: View, per_mm: int, x: float, y: float) -> int | None:
    """Which solid is seen at a point of the picture, in its millimetres: every box is cut by the line of sight. With a
    start where the point and a depth of 0 are given, x, y and depth fix the line."""
    rows = [[float(a * u) for a in way] for way, u in ((view.right, view.across_unit), (view.up, view.up_unit))]
    start = np.linalg.solve(np.array([*rows, view.toward], dtype=float), np.array([x * per_mm, y * per_mm, 0.0]))
    best: tuple[float, int] | None = None
    for number, solid in enumerate(solids):
        for enter, leave in _crossings(solid, start, view):
            if enter < leave and (best is None or leave > best[0]):
                best = (leave, number)
    return None if best is None else best[1]


def _crossings(solid: Solid, start, view: View) -> Iterator[tuple[float, float]]:
    """From where to where the line of sight through `start` lies in each box of a solid, and in each convex body of one
    that leans: with every plane of it."""
    toward = np.array(view.toward, dtype=float)
    if isinstance(solid, Carved):
        planes = [[(np.array(plane.out), plane.at) for plane in body.planes] for body in bodies_of(solid)]
    else:
        sides = [(k, sign) for k in range(3) for sign in (1, -1)]
        planes = [
            [(sign * np.eye(3)[k], float(sign * (cell.hi if sign > 0 else cell.lo)[k])) for k, sign in sides]
            for cell in solid.cells
        ]
    for convex in planes:
        enter, leave = -math.inf, math.inf
        for out, at in convex:
            along, over = float(out @ toward), at - float(out @ start)
            if abs(along) < 1e-12:
                leave = leave if over > 0 else -math.inf
            elif along > 0:
                leave = min(leave, over / along)
            else:
                enter = max(enter, over / along)
        yield enter, leave


def astray(laid: Laid, drawing: Drawing, view: View) -> list[str]:
    """Marks that stand on another piece than their own, and leaders that run over one, found by lines of sight."""
    assert drawing.scale is not None
    first = next(shape for shape in drawing.shapes if isinstance(shape, Line))  # the drawing moves all by as much
    left, bottom = ((a - b).float_mm() for a, b in zip(lines_of(laid, view)[0].start, first.start, strict=True))
    marks = [piece.mark for piece in laid.scene.pieces]
    found = []

    def at(point: Point) -> int | None:
        x, y = (v.float_mm() + by for v, by in zip(point, (left, bottom), strict=True))
        return _seen_at(laid.solids, view, laid.scene.ticks.per_mm, x, y)

    for shape in drawing.shapes:
        if isinstance(shape, Words) and shape.text in marks and at(shape.at) != marks.index(shape.text):
            found.append(f"{shape.text} stands on another piece")
        if isinstance(shape, Leader):
            steps = [Fraction(k, 30) for k in range(31)]
            points = [tuple(a + (b - a) * s for a, b in zip(shape.tip, shape.at, strict=True)) for s in steps]
            seen = [at((x, y)) for x, y in points]
            own = marks.index(shape.text)
            if seen[0] != own:
                found.append(f"{shape.text} points at another piece")
            # a square of the grid that places leaders is 0.7 mm wide: its corner may touch what it passes
            astray = (
                sum(v not in (own, None) for v in seen)
                / 30
                * math.dist(*([v.float_mm(drawing.scale) for v in p] for p in (shape.tip, shape.at)))
            )
            if astray > 0.75:
                found.append(f"{shape.text} runs over another piece")
    return found


@pytest.mark.parametrize("view", [ISOMETRIC, ISOMETRIC_LEFT], ids=lambda view: view.name)
@pytest.mark.parametrize("apart", [False, True])
def test_marks_and_leaders_keep_apart(view, apart):
    """Every mark on its piece or on free paper; no leader over a piece it does not name, over words or another leader.
    What a point shows is found by cutting all boxes with the line of sight, not by the grid that places the marks."""
    scene = stool()
    moved = explode(find_contacts(scene), Length(70), Length(140)).offsets
    laid = Laid(scene, moved) if apart else standing(scene)
    found = picture(laid, ROOM, view, "stool", every_mark(scene))
    drawing = found.drawing
    assert drawing.scale is not None
    leaders = [shape for shape in drawing.shapes if isinstance(shape, Leader)]
    on_pieces = [shape for shape in drawing.shapes if isinstance(shape, Words)]
    named = [shape.text for shape in (*leaders, *on_pieces)]
    assert sorted([*named, *found.unmarked]) == sorted(piece.mark for piece in scene.pieces)
    assert len(found.unmarked) <= (0 if apart else 3)
    assert not astray(laid, drawing, view)
    items = laid_items(drawing)
    assert not text_over_text(items)
    assert not leaders_crossed([(s.text, _spot(s.tip), _spot(s.at)) for s in leaders])
    words = _set_words(drawing)
    assert len(words) == len(named)
    per_mm = float(drawing.scale) * 72 / 25.4
    for leader in leaders:
        line = shapely.LineString([[v * per_mm for v in _spot(leader.tip)], [v * per_mm for v in _spot(leader.at)]])
        assert not any(line.intersects(box) for text, box in words if text != leader.text)


def _spot(point: Point) -> tuple[float, float]:
    return point[0].float_mm(), point[1].float_mm()


def test_a_leader_over_a_foreign_piece_is_found() -> None:
    """The check above, seen to fail: the leader of one slat led over the next ones."""
    laid = standing(stool())
    drawing = picture(laid, ROOM, ISOMETRIC, "stool", every_mark(laid.scene)).drawing
    leaders = [shape for shape in drawing.shapes if isinstance(shape, Leader)]
    seat = next(leader for leader in leaders if leader.text == "S7")
    wrong = replace(next(leader for leader in leaders if leader.text == "S1"), at=seat.tip)
    assert astray(laid, replace(drawing, shapes=(*drawing.shapes, wrong)), ISOMETRIC)


def test_overall_size_heights_and_overhangs_by_hand() -> None:
    """500 wide; legs 460 + 40 deep: 300; 420 + 18 high. Rails from 340 to 420. The legs stand under both ends, 420
    apart along x (40 to 460) and 220 along y (40 to 260). Seven slats, 40 wide, 43 from one to the next: 3 between."""
    drawing = elevations(stool(), Display.of("mm"), [ROOM])
    texts = [s.text for s in drawing.shapes if isinstance(s, Dimension)]
    assert sorted(texts) == sorted(["500", "300", "438", "420", "220", "40", "3"])
    heights = [s.text for s in drawing.shapes if isinstance(s, Words)]
    assert sorted(heights) == sorted(["340", "420", "340", "420"])


def test_a_plan_that_shows_a_bare_rectangle_is_left_out() -> None:
    """A seat of slats or of one board shows nothing from above that the other views have not: how wide slats are and
    how far apart is told over their ends, 40 and 3, whatever is seen between them. A board across part of it is seen
    from above alone."""

    def views(*pieces: PlacedPiece) -> str:
        return elevations(Scene.of(pieces), Display.of("mm"), [ROOM]).name.partition(";")[0]

    legs = [piece for piece in stool().pieces if piece.part == "leg"]
    seat = PlacedPiece("T", "seat", spot(0, 0, 420), Length(500), Length(300), Length(18), Pose(X, Y, Z))
    step = PlacedPiece("U", "step", spot(100, 100, 438), Length(50), Length(50), Length(18), Pose(X, Y, Z))
    assert views(*stool().pieces) == "front and right side"
    drawing = elevations(stool(), Display.of("mm"), [ROOM])
    ends = sorted((s.start[0].float_mm(), s.end[0].float_mm(), s.text) for s in drawing.shapes
                  if isinstance(s, Dimension) and s.axis == "x" and s.start[1] == Length(438))  # fmt: skip
    assert [text for *_, text in ends] == ["40", "3"]
    assert [round(two - one, 6) for one, two, _ in ends] == [40, 3]
    assert min(one for one, *_ in ends) > 500  # beyond the front view
    assert views(*stool().pieces, step) == "front, plan and right side"
    assert views(*legs, seat) == "front and right side"
    assert views(*legs, seat, step) == "front, plan and right side"


def _pieces() -> list[PlacedPiece]:
    scene = stool()
    pieces = [piece for piece in scene.pieces if piece.mark in ("L1", "L2", "F", "E", "S1")]
    slotted = PlacedPiece(
        "M",
        "stretcher",
        spot(0, 0, 0),
        Length(1000),
        Length(40),
        Length(22),
        Pose(X, Y, Z),
        tuple(Cuboid(FeatureKind.MORTISE, spot(50 + 100 * i, 12, 0), spot(80 + 100 * i, 28, 12)) for i in range(9)),
    )
    board = PlacedPiece(
        "T",
        "top",
        spot(0, 0, 0),
        Length(1100),
        Length(300),
        Length(20),
        Pose(X, Y, Z),
        tuple(Bore(FeatureKind.HOLE, Face.BACK, spot(at, 30, 20), Length(8), Length(12)) for at in (40, 550, 1060)),
    )
    side = PlacedPiece("D", "side", spot(0, 20, 0), Length(300), Length(120), Length(12), Pose(Y, Z, X))
    front = PlacedPiece("W", "front", spot(0, 0, 0), Length(400), Length(120), Length(20), Pose(X, Z, Y))
    drawer, _ = joined_pieces([side, front], [("D", "W", JointSizes(JointKind.DOVETAIL, length=Length(15), count=3))])
    return [*pieces, slotted, board, *drawer]


@pytest.mark.parametrize("piece", _pieces(), ids=lambda piece: piece.mark)
@pytest.mark.parametrize("units", ["mm", "in"])
def test_words_of_piece_drawings_never_overlap(piece, units):
    drawing = fitted_sheet(Marked(Gauged(piece), {}), Display.of(units), ROOM).drawing(piece.mark)
    words = _set_words(drawing)
    assert len(words) >= 4
    for (one, a), (two, b) in combinations(words, 2):
        assert not a.intersection(b).area > 0.5, (one, two)
    # and it fits the room it was made for
    assert drawing.scale is not None
    assert float(drawing.width.mm * drawing.scale) <= ROOM[0] + 0.1
    assert float(drawing.height.mm * drawing.scale) <= ROOM[1] + 0.1
    box = lay_out(drawing, drawing.scale, Typesetter()).box
    assert (box[2] - box[0]) * 25.4 / 72 <= ROOM[0] + 2
    assert (box[3] - box[1]) * 25.4 / 72 <= ROOM[1] + 4


def test_long_pieces_are_broken_and_stay_readable():
    rail = PlacedPiece("R", "rail", spot(0, 0, 0), Length(2400), Length(60), Length(20), Pose(X, Z, Y), (
        Cuboid(FeatureKind.MORTISE, spot(50, 20, 0), spot(110, 28, 12)),
    ))  # fmt: skip
    drawing = fitted_sheet(Marked(Gauged(rail), {}), Display.of("mm"), ROOM).drawing("R")
    assert drawing.scale is not None
    assert 60 * float(drawing.scale) >= WIDE_MM
    breaks = [s for s in drawing.shapes if isinstance(s, Polygon) and not s.closed and len(s.points) == 6]
    assert len(breaks) == 2  # in the one long view
    assert any(isinstance(s, Words) and s.text == "2400" for s in drawing.shapes)
    assert float(drawing.width.mm * drawing.scale) <= ROOM[0]


def test_handed_pairs_come_out_as_mirror_images():
    """The same features gauged from mirrored faces: the left and the right leg are mirrored left for right."""
    notch = Cuboid(FeatureKind.MORTISE, spot(300, 10, 22), spot(360, 18, 40))
    left = PlacedPiece("A", "leg", spot(0, 0, 0), Length(420), Length(40), Length(40), Pose(Z, X, Y), (notch,))
    right = PlacedPiece(
        "A", "leg", spot(0, 0, 0), Length(420), Length(40), Length(40), Pose(Z, Toward(Direction.X, False), Y), (notch,)
    )
    sheets = [fitted_sheet(Marked(Gauged(piece), {}), Display.of("mm"), ROOM) for piece in (left, right)]
    lines = []
    for sheet in sheets:
        view = sheet.views.long[Face.BACK]
        xs = sorted(view.place(corner)[0] for corner in (sheet.views.lo, sheet.views.hi))
        own = {
            (*sorted((s.start, s.end), key=lambda p: (p[0], p[1])), s.stroke)
            for s in sheet.views.shapes()
            if isinstance(s, Line) and all(xs[0] <= p[0] <= xs[1] for p in (s.start, s.end)) and s.stroke != "thin"
        }
        flat = {(*sorted((p[0] - xs[0], p[1]) for p in line[:2]), line[2]) for line in own}
        lines.append((flat, xs[1] - xs[0]))
    (one, wide), (two, _) = lines
    mirrored = {(*sorted(((wide - x, y) for x, y in line[:2])), line[2]) for line in one}
    assert mirrored == two != one


def test_rims_are_the_ellipses_of_an_isometric_circle():
    """A circle of 60 mm on a face square to an axis, axes drawn at full length: an ellipse of 60 sqrt(3/2) by
    60 sqrt(1/2) mm, by projecting on the plane square to (1, -1, 1) and enlarging by sqrt(3/2). 24 chords lie at most
    0.9 % inside. A board in front of it hides it; a hole that is not through shows on its own side only."""
    hole = Bore(FeatureKind.HOLE, Face.FACE, spot(100, 60, 0), Length(60), Length(10))
    board = PlacedPiece("A", "board", spot(0, 0, 0), Length(200), Length(120), Length(20), Pose(X, Z, Y), (hole,))

    def rim(*pieces: PlacedPiece) -> list[tuple[float, float]]:
        lines = [s for s in picture(standing(Scene.of(pieces)), ROOM).drawing.shapes if isinstance(s, Line)]
        short = [s for s in lines if max(abs(s.start[0] - s.end[0]), abs(s.start[1] - s.end[1])) < Length(11)]
        return [(float(p[0].mm), float(p[1].mm)) for s in short for p in (s.start, s.end)]

    points = rim(board)
    assert len(points) == 48
    centre = [sum(p[k] for p in points) / len(points) for k in (0, 1)]
    reach = [((x - centre[0]) ** 2 + (y - centre[1]) ** 2) ** 0.5 for x, y in points]
    assert max(reach) == pytest.approx(30 * 1.5**0.5, rel=0.01)
    assert min(reach) == pytest.approx(30 * 0.5**0.5, rel=0.01)
    cover = PlacedPiece("B", "board", spot(0, -50, 0), Length(300), Length(300), Length(20), Pose(X, Z, Y))
    assert rim(board, cover) == []
    behind = Bore(FeatureKind.HOLE, Face.BACK, spot(100, 60, 20), Length(60), Length(10))
    assert rim(replace(board, features=(behind,))) == []
    assert len(rim(replace(board, features=(replace(behind, depth=None),)))) == 48


def test_tails_are_drawn_with_their_slope():
    """A tail 30 wide at its end and 15 long, 1 in 8: 1.875 narrower on each side at the shoulder. In the picture, with
    x and y at 30 degrees and z upright, its sloped edge runs 15 cos 30 across and 15 / 2 less or more 1.875 up."""
    drawer = {piece.mark: piece for piece in _pieces()}
    tail = picture(standing(Scene.of([drawer["D"]])), ROOM).drawing
    steps = {
        (abs(round(float((s.end[0] - s.start[0]).mm), 2)), abs(round(float((s.end[1] - s.start[1]).mm), 2)))
        for s in tail.shapes
        if isinstance(s, Line)
    }
    across = round(15 * 3**0.5 / 2, 2)
    assert {step for step in steps if step[0] == across} & {(across, 7.5 + 1.88), (across, 7.5 - 1.88)} != set()
    assert (across, 7.5) not in steps
