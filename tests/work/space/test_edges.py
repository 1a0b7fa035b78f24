"""The edge map of a small table corner, worked out by hand, and of random builds by comparing points."""

from __future__ import annotations

import pytest

from shopdocs.core.length import Length
from shopdocs.core.rounds import Round
from shopdocs.model.joining import Face
from shopdocs.model.parts import Direction
from shopdocs.work.space.arrises import EDGES, Verdict, Why, edge_name, find_edges
from shopdocs.work.space.contacts import find_contacts
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece, Pose, Scene, Toward, side_of
from tests.work.scenes import apart, random_scene, spot

X, Y, Z = (Toward(d) for d in Direction)
STANDING = Pose(Toward(Direction.Z), Toward(Direction.X), Toward(Direction.Y))
LYING = Pose(Toward(Direction.X), Toward(Direction.Z), Toward(Direction.Y))


def _corner() -> Scene:
    """A leg 50 x 50 x 400 and a rail 300 long, 80 high, 20 thick, its face flush with the leg's face (y = 0) and its
    top flush with the leg's top."""
    leg = PlacedPiece("L", "leg", spot(0, 0, 0), Length(400), Length(50), Length(50), STANDING)
    rail = PlacedPiece("R", "rail", spot(50, 0, 320), Length(300), Length(80), Length(20), LYING)
    return Scene.of([leg, rail])


def test_corner_by_hand():
    contacts = find_contacts(_corner())
    leg = {f.edge: f for f in find_edges(contacts, "L")}
    # the rail covers x = 50, y 0 to 20, z 320 to 400 of the leg: it lies along the edge of face side and far edge from
    # 320 to 400, and along the edge of end B and far edge from 0 to 20 (measured from the face side)
    covered = leg[edge_name(Face.FACE, Face.FAR_EDGE)]
    assert covered.verdict is Verdict.SQUARE
    assert [(s.start, s.end, s.why, s.what) for s in covered.taken] == [(Length(320), Length(400), Why.AGAINST, "R")]
    assert covered.free == ((Length(0), Length(310)),)  # a chamfer stays 10 away from the rail
    top = leg[edge_name(Face.B, Face.FAR_EDGE)]
    assert [(s.start, s.end) for s in top.taken] == [(Length(0), Length(20))]
    # its foot: four edges at end A are eased; the long edges away from the rail are free
    assert {name for name, f in leg.items() if f.verdict is Verdict.EASE} == {name for name in EDGES if Face.A in name}
    assert leg[edge_name(Face.BACK, Face.EDGE)].verdict is Verdict.CHAMFER
    rail = {f.edge: f for f in find_edges(contacts, "R")}
    # all of the rail's end A lies on the leg: its four edges stay square, and so do no others but none eased
    assert {name for name, f in rail.items() if f.verdict is Verdict.SQUARE} == {
        name for name in EDGES if Face.A in name
    }
    assert not any(f.verdict is Verdict.EASE for f in rail.values())


def test_an_edge_that_goes_into_a_housing_stops_short():
    """A shelf 300 long and 12 thick, both ends housed whole: its four long edges go on inside the housings, so a
    chamfer may run from 10 to 290. With a tenon of half the thickness all four are free: they end at the shoulders."""

    def shelf(low: int, high: int) -> dict:
        ends = [
            Cuboid(FeatureKind.HOUSED_END, spot(*a, low), spot(*b, high), True, name)
            for a, b, name in (((-4, 0), (0, 140), "1"), ((300, 0), (304, 140), "2"))
        ]
        size = (Length(300), Length(140), Length(12))
        piece = PlacedPiece("S", "shelf", spot(0, 0, 50), *size, Pose(X, Y, Z), tuple(ends))
        floor = PlacedPiece("F", "floor", spot(0, 0, 0), *size, Pose(X, Y, Z))
        return {f.edge: f for f in find_edges(find_contacts(Scene.of([piece, floor])), "S")}

    along = [name for name in EDGES if not set(name) & {Face.A, Face.B}]
    housed = shelf(0, 12)
    for name in along:
        assert (housed[name].verdict, housed[name].why) == (Verdict.SQUARE, Why.JOINT)
        assert housed[name].free == ((Length(10), Length(290)),)
        assert [s.what for s in housed[name].taken] == ["1", "2"]
    assert all(shelf(3, 9)[name].verdict is Verdict.CHAMFER for name in along)


def test_along_a_round_no_arris_runs_but_at_its_pommels():
    """A leg 400 long, turned from 0 to 300 but for a pommel from 100 to 180. A stopped chamfer stays 10 short of what
    is round: 110 to 170, and 310 to the end."""
    turned = Round(
        tuple((Length(at), Length(40)) for at in (0, 100, 180, 300)),
        ((Length(100), Length(180)),),
    )
    size = (Length(400), Length(50), Length(50))
    leg = PlacedPiece("L", "leg", spot(0, 0, 0), *size, STANDING, turned=turned)
    found = {f.edge: f for f in find_edges(find_contacts(Scene.of([leg])), "L")}
    for name in (name for name in EDGES if not set(name) & {Face.A, Face.B}):
        assert found[name].why is Why.ROUND
        assert [(s.start, s.end) for s in found[name].taken] == [(Length(0), Length(100)), (Length(180), Length(300))]
        assert found[name].free == ((Length(110), Length(170)), (Length(310), Length(400)))


def test_the_maker_wins_and_names_are_free_of_order():
    name = edge_name(Face.FAR_EDGE, Face.FACE)
    assert name == edge_name(Face.FACE, Face.FAR_EDGE)
    assert len(set(EDGES)) == 12
    finding = next(f for f in find_edges(find_contacts(_corner()), "L", {name: Verdict.CHAMFER}) if f.edge == name)
    assert (finding.verdict, finding.why) == (Verdict.CHAMFER, Why.MAKER)
    assert finding.taken


@pytest.mark.thorough
def test_random_builds_point_by_point():
    """Half-way points of whole millimetres along every edge: taken exactly where some piece fills space that touches
    the face of this one at the point, found by looking at the eight unit cubes round the point."""
    checked = 0
    for seed in range(150):
        scene = random_scene(seed, 7)
        kept = apart(list(scene.solids))
        scene = Scene.of(p for p, s in zip(scene.pieces, scene.solids, strict=True) if s in kept)
        contacts = find_contacts(scene)
        filled = [_unit_cubes(solid.cells) for solid in scene.solids]
        for index, piece in enumerate(scene.pieces):
            if piece.features:
                continue
            for finding in find_edges(contacts, piece.mark):
                (axis,) = {0, 1, 2} - {side_of(face)[0] for face in finding.edge}
                fixed = {side_of(face)[0]: side_of(face)[1] for face in finding.edge}
                for step in range(int(finding.length.mm)):
                    at = [piece.size[k] if fixed.get(k) else Length(0) for k in range(3)]
                    at[axis] = Length(step) + Length("0.5")
                    here = [float(v.mm) for v in piece.spot_in_build(at)]
                    against = {
                        scene.pieces[other].mark
                        for other in range(len(filled))
                        if other != index and _beside(filled[index], filled[other], here)
                    }
                    taken = {s.what for s in finding.taken if s.start <= at[axis] <= s.end}
                    assert taken == against
                    checked += bool(against)
    assert checked > 100


def _unit_cubes(cells) -> set[tuple[int, int, int]]:
    return {
        (x, y, z)
        for c in cells
        for x in range(c.lo[0], c.hi[0])
        for y in range(c.lo[1], c.hi[1])
        for z in range(c.lo[2], c.hi[2])
    }


def _beside(mine: set[tuple[int, int, int]], theirs: set[tuple[int, int, int]], at: list[float]) -> bool:
    """Whether, of the unit cubes round a point, one of mine has one of theirs next to it, face to face."""
    corners = [
        (x, y, z)
        for x in {int(at[0]), int(at[0]) - (at[0] % 1 == 0)}
        for y in {int(at[1]), int(at[1]) - (at[1] % 1 == 0)}
        for z in {int(at[2]), int(at[2]) - (at[2] % 1 == 0)}
    ]
    return any(
        a in mine and b in theirs and sum(abs(p - q) for p, q in zip(a, b, strict=True)) == 1
        for a in corners
        for b in corners
    )
