"""Pictures: exploded pieces clear their neighbours, leaders and words keep apart, dimensions say what the piece is.

Marks and words are measured as they are set, with the font's own widths, from the laid-out page items; crossings and
overlaps are found with shapely."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from itertools import combinations

import pytest
import shapely

from shopdocs.blocks.drawing import Dimension, Leader, Line, Polygon, Words
from shopdocs.core.display import Display
from shopdocs.core.length import Length
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.drawn.leaders import place_marks
from shopdocs.documents.drawn.pictures import assembled, exploded, overall_views
from shopdocs.documents.drawn.piece_drawing import WIDE_MM, Marked, fitted_sheet
from shopdocs.model.joining import Face, JointKind
from shopdocs.model.parts import Direction
from shopdocs.page.drawings import lay_out, words_box
from shopdocs.page.items import TextRun
from shopdocs.page.typesetter import Typesetter
from shopdocs.work.joints.frame import JointSizes
from shopdocs.work.joints.joinery import joined_pieces
from shopdocs.work.scene.explode import explode
from shopdocs.work.shapes.projection import ISOMETRIC, ISOMETRIC_LEFT
from shopdocs.work.space.contacts import find_contacts
from shopdocs.work.space.placed import Bore, Cuboid, FeatureKind, PlacedPiece, Pose, Scene, Toward
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


def _cross(one: Leader, two: Leader, scale: Fraction) -> bool:
    a, b = (
        shapely.LineString([[float(v.mm * scale) for v in leader.tip], [float(v.mm * scale) for v in leader.at]])
        for leader in (one, two)
    )
    return a.intersects(b)


def _set_words(drawing, scale=None) -> list[tuple[str, shapely.Polygon]]:
    """All words with their boxes, in points, as the page sets them."""
    ts = Typesetter()
    laid = lay_out(drawing, scale or drawing.scale, ts)
    return [
        (run.text, shapely.box(*words_box(run.x, run.y, ts.width(run.text, run.face, run.size), run.size, run.angle)))
        for run in laid.items
        if isinstance(run, TextRun)
    ]


@pytest.mark.parametrize("view", [ISOMETRIC, ISOMETRIC_LEFT], ids=lambda view: view.name)
@pytest.mark.parametrize("apart", [False, True])
def test_marks_and_leaders_keep_apart(view, apart):
    scene = stool()
    drawing = exploded(find_contacts(scene), ROOM, view) if apart else assembled(scene, ROOM, view, marks=True)
    leaders = [shape for shape in drawing.shapes if isinstance(shape, Leader)]
    assert len(leaders) >= 12
    assert len({leader.text for leader in leaders}) == len(leaders)
    assert drawing.scale is not None
    for one, two in combinations(leaders, 2):
        assert not _cross(one, two, drawing.scale)
    words = _set_words(drawing)
    assert len(words) == len(leaders)
    for (_, one), (_, two) in combinations(words, 2):
        assert not one.intersects(two)
    per_mm = float(drawing.scale) * 72 / 25.4
    for leader in leaders:
        line = shapely.LineString(
            [[float(v.mm) * per_mm for v in leader.tip], [float(v.mm) * per_mm for v in leader.at]]
        )
        assert not any(line.intersects(box) for text, box in words if text != leader.text)


@pytest.mark.parametrize("seed", range(30))
def test_leaders_of_random_tips_never_cross(seed):
    rnd = random.Random(seed)
    tips = [(f"P{i}", (rnd.uniform(0, 120), rnd.uniform(0, 90))) for i in range(rnd.randint(1, 45))]
    placed = place_marks(tips, (0.0, 0.0), (120.0, 90.0))
    assert [p.text for p in placed] == [text for text, _ in tips]
    lines = [shapely.LineString([p.tip, p.at]) for p in placed]
    assert not any(a.crosses(b) for a, b in combinations(lines, 2))
    for a, b in combinations(placed, 2):
        assert a.at[0] != b.at[0] or abs(a.at[1] - b.at[1]) > 5.0
    assert all(not 0 <= p.at[0] <= 120 for p in placed)


def test_overall_size_by_hand():
    """500 wide; legs 460 + 40 deep: 300; 420 + 18 high."""
    texts = {s.text for s in overall_views(stool(), Display.of("mm"), [ROOM]).shapes if isinstance(s, Dimension)}
    assert texts == {"500", "300", "438"}


def _pieces() -> list[PlacedPiece]:
    scene = stool()
    pieces = [piece for piece in scene.pieces if piece.mark in ("L1", "L2", "F", "E", "S1")]
    slotted = PlacedPiece("M", "stretcher", spot(0, 0, 0), Length(1000), Length(40), Length(22), Pose(X, Y, Z), tuple(
        Cuboid(FeatureKind.MORTISE, spot(50 + 100 * i, 12, 0), spot(80 + 100 * i, 28, 12)) for i in range(9)
    ))  # fmt: skip
    board = PlacedPiece("T", "top", spot(0, 0, 0), Length(1100), Length(300), Length(20), Pose(X, Y, Z), tuple(
        Bore(FeatureKind.HOLE, Face.BACK, spot(at, 30, 20), Length(8), Length(12)) for at in (40, 550, 1060)
    ))  # fmt: skip
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
        lines = [s for s in assembled(Scene.of(pieces), ROOM).shapes if isinstance(s, Line)]
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
    picture = assembled(Scene.of([drawer["D"]]), ROOM)
    steps = {
        (abs(round(float((s.end[0] - s.start[0]).mm), 2)), abs(round(float((s.end[1] - s.start[1]).mm), 2)))
        for s in picture.shapes if isinstance(s, Line)
    }  # fmt: skip
    across = round(15 * 3**0.5 / 2, 2)
    assert {step for step in steps if step[0] == across} & {(across, 7.5 + 1.88), (across, 7.5 - 1.88)} != set()
    assert (across, 7.5) not in steps
