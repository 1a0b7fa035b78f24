"""Look-alikes: the grouping depends on nothing but the solids. The turns are those of the cube, 24 rotations and 24
with a reflection, built here from signed permutation matrices and their determinants (numpy), not taken from the code
under test; whether a piece goes in is decided by manifold3d."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import permutations, product

import manifold3d
import numpy as np
import pytest

from shopdocs.core.length import Length
from shopdocs.core.rounds import Round
from shopdocs.model.joining import Face
from shopdocs.model.parts import Direction
from shopdocs.work.space.contacts import find_contacts
from shopdocs.work.space.features import Slanting
from shopdocs.work.space.likeness import Likeness, find_look_alikes
from shopdocs.work.space.placed import Bore, Cuboid, FeatureKind, PlacedPiece, Pose, Scene, Toward
from shopdocs.work.space.wrong_ways import Fitting
from tests.work.scenes import ALL_POSES, random_piece, spot

MATRICES = [
    np.array([[s * (k == p) for k in range(3)] for s, p in zip(signs, order, strict=True)])
    for order in permutations(range(3))
    for signs in product((1, -1), repeat=3)
]


def _pose(matrix: np.ndarray, pose: Pose) -> Pose:
    """The pose after turning the build by `matrix`."""
    towards = []
    for toward in pose.axes:
        vector = np.zeros(3, dtype=int)
        vector[toward.index] = 1 if toward.forward else -1
        new = matrix @ vector
        k = int(np.flatnonzero(new)[0])
        towards.append(Toward(list(Direction)[k], bool(new[k] > 0)))
    return Pose(*towards)


def _grouping(scene: Scene, tolerance: Length) -> tuple[set[frozenset[str]], set[tuple[frozenset[str], str]]]:
    found = find_look_alikes(scene, tolerance)
    kinds = {frozenset(kind.marks) for kind in found.kinds}
    pairs = {
        (frozenset((min(found.kinds[p.first].marks), min(found.kinds[p.second].marks))), p.likeness)
        for p in found.pairs
    }
    return kinds, pairs


def test_grouping_is_the_same_under_all_turns_places_and_orders():
    rnd = random.Random(7)
    assert [round(np.linalg.det(m)) for m in MATRICES].count(1) == 24
    for _ in range(2):
        makes = [random_piece(rnd, "M", largest=4) for _ in range(3)]
        pieces = [replace(rnd.choice(makes), mark=f"P{i}") for i in range(7)]
        for i in range(0, 7, 3):
            pieces[i] = replace(pieces[i], pose=rnd.choice(ALL_POSES))
        expected = _grouping(Scene.of(pieces), Length(1))
        for matrix in MATRICES:  # a mirrored build has the same groups: hands are swapped for all pieces
            moved = [
                replace(p, pose=_pose(matrix, p.pose), at=spot(*(rnd.randrange(99) for _ in range(3)))) for p in pieces
            ]
            rnd.shuffle(moved)
            assert _grouping(Scene.of(moved), Length(1)) == expected


def test_every_turn_of_a_piece_is_the_piece_and_every_reflection_its_mirror_image():
    """A body of 2 x 3 x 5 with a corner notch that has no symmetry of its own."""
    notch = Cuboid(FeatureKind.LAP, spot(0, 0, 0), spot(3, 2, 1))
    hole = Cuboid(FeatureKind.MORTISE, spot(4, 1, 0), spot(5, 3, 1))
    base = PlacedPiece("P", "part", spot(0, 0, 0), Length(5), Length(3), Length(2), ALL_POSES[0], (notch, hole))
    turned = [replace(base, mark=f"P{i:02}", pose=_pose(m, base.pose)) for i, m in enumerate(MATRICES)]
    found = find_look_alikes(Scene.of(turned))
    hands = {round(np.linalg.det(m)): set() for m in MATRICES}
    for piece, matrix in zip(turned, MATRICES, strict=True):
        hands[round(np.linalg.det(matrix))].add(piece.mark)
    assert {frozenset(kind.marks) for kind in found.kinds} == {frozenset(hands[1]), frozenset(hands[-1])}
    assert [pair.likeness for pair in found.pairs] == [Likeness.MIRROR]


def test_the_same_space_cut_in_other_steps_is_the_same_piece():
    plain = PlacedPiece("A", "part", spot(0, 0, 0), Length(9), Length(4), Length(2), ALL_POSES[0])
    one = plain.with_features(Cuboid(FeatureKind.GROOVE, spot(0, 1, 0), spot(9, 2, 1)))
    two = replace(plain, mark="B").with_features(
        Cuboid(FeatureKind.GROOVE, spot(4, 1, -3), spot(12, 2, 1)),
        Cuboid(FeatureKind.GROOVE, spot(-2, 1, 0), spot(5, 2, 1)),
    )
    assert [kind.marks for kind in find_look_alikes(Scene.of([one, two])).kinds] == [("A", "B")]


def test_size_stock_and_grain_keep_pieces_apart():
    base = PlacedPiece("A", "part", spot(0, 0, 0), Length(90), Length(40), Length(20), ALL_POSES[0], (), "oak")
    cross = replace(base, mark="B", length=Length(40), width=Length(90))  # same box, grain the other way
    other = replace(base, mark="C", material="ash")
    longer = replace(base, mark="D", length=Length(91))
    drilled = replace(
        base, mark="E", features=(Bore(FeatureKind.HOLE, Face.FACE, spot(45, 20, 0), Length(6), Length(9)),)
    )
    found = find_look_alikes(Scene.of([drilled, longer, other, cross, base]), Length(1))
    assert [kind.marks for kind in found.kinds] == [("A",), ("B",), ("C",), ("D",), ("E",)]
    assert [(p.first, p.second, p.likeness, p.differs) for p in found.pairs] == [
        (0, 3, Likeness.NEAR_SIZE, Length(1)),
        (0, 4, Likeness.OTHER_JOINTS, Length(0)),
        (3, 4, Likeness.NEAR_SIZE, Length(1)),
    ]


def test_slanting_holes_are_told_apart_by_where_they_begin_and_end() -> None:
    """Through 30 of wood, 40 along and 30 down or straight down: 3, 4, 5. Two begin at one place, two end at one."""
    base = PlacedPiece("A", "part", spot(0, 0, 0), Length(90), Length(45), Length(30), ALL_POSES[0])

    def bored(mark: str, start: int, end: int, length: int) -> PlacedPiece:
        way = ((end - start) / length, 0.0, 30 / length)
        slanting = Slanting(way, (0.0, 0.0, -1.0), Length(0), Face.BACK, spot(end, 20, 30))
        hole = Bore(FeatureKind.HOLE, Face.FACE, spot(start, 20, 0), Length(6), slanting=slanting)
        return replace(base, mark=mark, features=(hole,))

    pieces = [bored("A", 10, 50, 50), bored("B", 50, 50, 30), bored("C", 10, 10, 30), bored("D", 10, 50, 50)]
    assert [kind.marks for kind in find_look_alikes(Scene.of(pieces)).kinds] == [("A", "D"), ("B",), ("C",)]


def test_a_pommel_keeps_legs_apart_that_are_turned_alike() -> None:
    """A leg with a pommel, another that lies end for end, and one that is turned where they have theirs."""
    spots = tuple((Length(at), Length(wide)) for at, wide in ((50, 20), (100, 24), (140, 28), (250, 30)))
    turned, size = Round(spots, ((Length(100), Length(140)),)), (Length(300), Length(40), Length(40))

    def leg(mark: str, made: Round, forward: bool) -> PlacedPiece:
        pose = Pose(Toward(Direction.X, forward), Toward(Direction.Y), Toward(Direction.Z))
        return PlacedPiece(mark, "leg", spot(0, 100 * ord(mark), 0), *size, pose, turned=made)

    pieces = [leg("A", turned, True), leg("B", Round(spots), True), leg("C", turned, False), leg("D", turned, True)]
    assert [kind.marks for kind in find_look_alikes(Scene.of(pieces)).kinds] == [("A", "C", "D"), ("B",)]


def _frame(*rail_features: Cuboid) -> Scene:
    """A rail 100 long (x), 40 high (z), 20 thick (y) with a tenon at both ends between two posts with mortises."""
    poses = {toward: Toward(d) for toward, d in zip("xyz", Direction, strict=True)}
    lying = Pose(poses["x"], poses["z"], poses["y"])
    standing = Pose(poses["z"], poses["x"], poses["y"])
    rail = PlacedPiece(
        "R",
        "rail",
        spot(0, 0, 50),
        Length(100),
        Length(40),
        Length(20),
        lying,
        (
            Cuboid(FeatureKind.TENON, spot(-15, 10, 6), spot(0, 30, 14), adds=True),
            Cuboid(FeatureKind.TENON, spot(100, 10, 6), spot(115, 30, 14), adds=True),
            *rail_features,
        ),
    )
    left = PlacedPiece(
        "L",
        "post",
        spot(-30, 0, 0),
        Length(120),
        Length(30),
        Length(20),
        standing,
        (Cuboid(FeatureKind.MORTISE, spot(60, 15, 6), spot(80, 30, 14)),),
    )
    right = replace(
        left, mark="Q", at=spot(100, 0, 0), features=(Cuboid(FeatureKind.MORTISE, spot(60, 0, 6), spot(80, 15, 14)),)
    )
    return Scene.of([rail, left, right])


def test_wrong_ways_by_hand():
    """The tenons are central, so a plain rail goes in four ways, all of them right. A groove along the face side, off
    the middle, makes the three others wrong; central in the width only those that put the face side behind."""
    contacts = find_contacts(_frame())
    assert Fitting(contacts).wrong_ways("R") == ()
    low_groove = Cuboid(FeatureKind.GROOVE, spot(0, 4, 0), spot(100, 8, 3))
    contacts = find_contacts(_frame(low_groove))
    assert [way.words for way in Fitting(contacts).wrong_ways("R")] == [
        "end for end, back to front",
        "upside down, back to front",
        "upside down, end for end",
    ]
    middle_groove = Cuboid(FeatureKind.GROOVE, spot(0, 18, 0), spot(100, 22, 3))
    contacts = find_contacts(_frame(middle_groove))
    assert [way.words for way in Fitting(contacts).wrong_ways("R")] == [
        "end for end, back to front",
        "upside down, back to front",
    ]
    # a post turned over about the rail has its mortise 120 - 80 = 40 to 60 from the floor, and the tenon is at 60 to
    # 80: it goes in 20 too high, and from 20 to 140 it covers the shoulder of the rail, 50 to 90, as before
    (way,) = Fitting(contacts).wrong_ways("L")
    assert (way.words, way.out) == ("upside down, back to front", (2, Length(20)))
    assert not Fitting(contacts).goes_in_for("R", "L")
    # the posts are each other turned half round their length, so one can stand for the other
    assert Fitting(contacts).goes_in_for("L", "Q")
    assert [kind.marks for kind in find_look_alikes(contacts.scene).kinds] == [("L", "Q"), ("R",)]


def test_a_slot_that_holds_nothing_is_no_seat():
    """A wide slot 10 to 50 from the foot of the left post. Turned over it lies at 70 to 110; the tenon, 60 to 80, goes
    into it 10 lower down, and is loose there: it touches the floor, 20 x 8, one end, 8 x 15, and as much of the
    shoulder as the slot leaves, 10 x 20 and 30 x 4, together 600; where it belongs both cheeks, 2 x 20 x 15, both ends,
    the floor and the shoulder, 40 x 20 less 20 x 8: 1640. So the post goes on over its mortise alone, 20 too high."""
    scene = _frame()
    slot = Cuboid(FeatureKind.MORTISE, spot(10, 15, 2), spot(50, 30, 18))
    pieces = [piece.with_features(slot) if piece.mark == "L" else piece for piece in scene.pieces]
    (way,) = Fitting(find_contacts(Scene.of(pieces))).wrong_ways("L")
    assert (way.words, way.out) == ("upside down, back to front", (2, Length(20)))


@pytest.mark.parametrize("seed", range(12))
def test_a_wrong_way_never_clashes(seed):
    """Every wrong way found shares no more wood with the neighbours than the right way, by manifold3d; a right-handed
    half turn about each axis is tried here by matrix, and what is not found either clashes or changes nothing."""
    rnd = random.Random(seed)
    lo = [rnd.randrange(12), rnd.randrange(30), 0]
    groove = Cuboid(
        FeatureKind.GROOVE, spot(lo[0], lo[1], lo[2]), spot(lo[0] + rnd.randint(1, 80), lo[1] + rnd.randint(1, 9), 3)
    )
    scene = _frame(groove)
    contacts = find_contacts(scene)

    def manifold(i: int) -> manifold3d.Manifold:
        solid = scene.solids[i]
        boxes = [
            manifold3d.Manifold.cube([float(v) for v in b.size]).translate([float(v) for v in b.lo])
            for b in solid.cells
        ]
        return manifold3d.Manifold.batch_boolean(boxes, manifold3d.OpType.Add)

    rail, posts = manifold(0), manifold(1) + manifold(2)
    body = scene.solids[0].body
    centre = [v / 2 for v in body.doubled_centre]
    expected = 0
    for axis in range(3):
        turn = [[float((1 if r == axis else -1) * (r == c)) for c in range(3)] for r in range(3)]
        about = rail.translate([-v for v in centre]).transform([[*row, 0.0] for row in turn]).translate(centre)
        clashes = (about ^ posts).volume() > 1e-6
        changes = (about - rail).volume() > 1e-6
        expected += changes and not clashes
    assert len(Fitting(contacts).wrong_ways("R")) == expected
