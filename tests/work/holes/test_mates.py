"""Hardware on two pieces: the holes and recesses of the second are worked out from where both lie. By hand."""

from __future__ import annotations

from itertools import permutations
from pathlib import Path

import pytest

from shopdocs.core.assets import layout_table
from shopdocs.core.length import ZERO, Length
from shopdocs.model.joining import Face, HoleUse
from shopdocs.pipeline.checking import Checked, checked
from shopdocs.work.computed import Computed
from shopdocs.work.space.mates import mate_of
from shopdocs.work.space.placed import Cuboid
from tests.small_builds import rail_and_top

SAMPLES = Path(__file__).parents[3] / "sample_builds"


def read(text: str, folder: Path) -> Checked:
    (folder / "build.yaml").write_text(text, "utf-8")
    return checked(str(folder / "build.yaml"), None)


def _recesses(work: Computed, mark: str) -> list[Cuboid]:
    assert work.space is not None
    return sorted((cut for cut in work.space.pieces[mark].cuboids if cut.own), key=lambda cut: cut.lo)


def test_both_leaves_of_the_cabinets_hinge() -> None:
    # The stile DL stands at x 0 to 50, z 2 to 558, its back face at y 22; the side L at x 0 to 12, z 0 to 560, its
    # front edge at y 24. The hinge sits 70 up the stile, z 72, screws 19 above and below; 10 wide from the arris of
    # both at x 0: screws at x 5, the leaf from x 0 to 10, z 47 to 97. On the side that is 72 up, 5 from the face
    # side (left), and 2 of its 12 are left behind the leaf.
    work = checked(str(SAMPLES / "spice_cabinet" / "build.yaml"), None).work
    assert work is not None and work.space is not None
    mine = [
        (h.along, h.across) for h in work.holes if h.hardware == "hinge" and h.piece == "DL" and h.along < Length(200)
    ]
    theirs = [h for h in work.holes if h.hardware == "hinge" and h.piece == "L" and h.along < Length(200)]
    assert mine == [(Length(70 + k), Length(5)) for k in (-19, 0, 19)]
    assert [(h.along, h.across, h.face) for h in theirs] == [
        (Length(72 + k), Length(5), Face.EDGE) for k in (-19, 0, 19)
    ]
    low, _ = _recesses(work, "L")
    assert (low.lo, low.hi) == (
        (Length(47), Length(0), Length(0)),
        (Length(97), Length(1), Length(10)),
    )
    low, _ = _recesses(work, "DL")  # from end A, from the face edge, from the face side: the stile is 22 thick
    assert (low.lo, low.hi) == (
        (Length(45), Length(0), Length(21)),
        (Length(95), Length(10), Length(22)),
    )


RAILED = (
    rail_and_top(400)
    + """\
  leg: {material: oak, size: 30 x 30 x 400, runs: {length: z, width: x}, pieces: {L: {x: 20, y: 20, z: 0, end A: top}}}
hardware:
"""
)


def test_a_screw_up_through_a_rail(tmp_path: Path) -> None:
    # From the rail's lower edge (its face edge is the upper one), 60 along: x 110; 10 from its front: y 30. The top's
    # end A is at x 0, its face edge at y 0. A 100 mm screw has 20 left for the top behind 80 of rail.
    text = RAILED + (
        "  screw:\n"
        "    holes: [{screw: 5 x 100 mm, as: clearance, depth: through}]\n"
        "    on: [{piece: R, face: far edge, along: 60, across: 10, meets: T}]\n"
    )
    work = read(text, tmp_path).work
    assert work is not None
    (pilot,) = [hole for hole in work.holes if hole.piece == "T"]
    assert (pilot.face, pilot.along, pilot.across) == (Face.BACK, Length(110), Length(30))
    assert (pilot.bore.use, pilot.bore.depth) == (HoleUse.PILOT, Length(20))
    assert work.fastening is not None and work.fastening.held_by["screw"] == {"R", "T"}


def test_a_two_ring_plate(tmp_path: Path) -> None:
    # A ring of 16 let into the rail's upper edge, its middle 20 from the front side of a rail 25 thick: open behind.
    # The other ring's screw goes into the top 18 farther back: y 20 + 20 + 18.
    text = RAILED + (
        "  plate:\n"
        "    pattern: two-ring plate\n"
        "    with: {ring: 16, plate: 2.5, reach: 18, screw: 4 x 16 mm}\n"
        "    on: [{piece: R, face: edge, along: 100, across: 20, meets: T}]\n"
    )
    found = read(text, tmp_path)
    assert found.work is not None
    rail = [(h.bore.use, h.bore.bit, h.bore.depth) for h in found.work.holes if h.piece == "R"]
    assert rail[0] == (HoleUse.RECESS, Length(16), Length("2.5"))
    (screw,) = [hole for hole in found.work.holes if hole.piece == "T"]
    assert (screw.face, screw.along, screw.across) == (Face.BACK, Length(150), Length(58))
    assert not [problem for problem in found.problems if problem.code == "outside"]


def test_a_two_ring_plate_let_into_the_top(tmp_path: Path) -> None:
    # The same plate, both rings in the top's underside: at x 150, y 40 over the rail's screw and y 58 beside it.
    text = RAILED + (
        "  plate:\n"
        "    pattern: two-ring plate in the top\n"
        "    with: {ring: 16, plate: 2.5, reach: 18, screw: 4 x 16 mm}\n"
        "    on: [{piece: R, face: edge, along: 100, across: 20, meets: T}]\n"
    )
    work = read(text, tmp_path).work
    assert work is not None
    (rail,) = [hole for hole in work.holes if hole.piece == "R"]
    assert (rail.bore.use, rail.along, rail.across) == (HoleUse.PILOT, Length(100), Length(20))
    top = [(h.bore.use, h.along, h.across) for h in work.holes if h.piece == "T"]
    assert sorted(top, key=lambda each: each[2]) == [
        (HoleUse.RECESS, Length(150), Length(40)),
        (HoleUse.RECESS, Length(150), Length(58)),
        (HoleUse.PILOT, Length(150), Length(58)),
    ]


def test_what_runs_along_one_face_runs_along_or_across_the_other(tmp_path: Path) -> None:
    """One stick on another, in every pose of both. A step along the face of the one is a step of the same length on
    that of the other: across it where the mate is called turned, else along it. Which of them follows from how both
    lie: what runs along a face runs lengthwise in its stick, on an end across it."""
    ways = list(permutations("xyz", 2))
    faces = (("A", "B"), ("far edge", "edge"), ("back", "face"))  # below and above: face side and face edge look up
    parts, on = "", ""
    for i, way in enumerate(ways):
        below, above = faces[way.index("z") if "z" in way else 2]
        lower = ", ".join(f"A{i}{j}: {{x: {1800 * i + 300 * j}, y: 0, z: 0}}" for j in range(6))
        upper = ", ".join(f"B{j}{i}: {{x: {1800 * j + 300 * i}, y: 0, z: A{j}{i}.top}}" for j in range(6))
        stick = f"material: oak, size: 20 x 60 x 200, runs: {{length: {way[0]}, width: {way[1]}}}"
        parts += f"  a{i}: {{{stick}, pieces: {{{lower}}}}}\n  b{i}: {{{stick}, pieces: {{{upper}}}}}\n"
        for j in range(6):
            on += f"      - {{piece: A{i}{j}, face: {above}, along: 5, across: 5, meets: B{i}{j}}}\n"
            on += f"      - {{piece: B{j}{i}, face: {below}, along: 5, across: 5, meets: A{j}{i}}}\n"
    text = (
        "build: {title: Sticks, mark: S, units: mm}\nmaterials: {oak: {kind: hardwood, rough: 27}}\n"
        f"parts:\n{parts}hardware:\n  dowel:\n    holes: [{{bit: 6, depth: 8}}]\n    on:\n{on}"
    )
    build = read(text, tmp_path).build
    assert build is not None
    pieces = {piece.mark: (part, piece) for part, piece in build.pieces()}
    (dowel,) = build.hardware
    turned = 0
    for place in dowel.on:
        mate = mate_of(place, pieces)
        assert mate is not None and mate.gap == ZERO
        begin, on_along = mate.spot(ZERO, ZERO), mate.spot(Length(1), ZERO)
        steps = tuple(abs(after - before) for before, after in zip(begin, on_along, strict=True))
        assert steps == ((ZERO, Length(1)) if mate.turned else (Length(1), ZERO)), place
        lower, upper = (ways[int(number)] for number in place.piece[1:])
        along = [way[1] if way[0] == "z" else way[0] for way in (lower, upper)]
        assert mate.turned == (along[0] != along[1]), place
        turned += mate.turned
    assert 0 < turned < len(dowel.on) == 72


def test_places_by_the_faces_of_neighbours(tmp_path: Path) -> None:
    # On the leg, whose end A is its top at z 400, the rail's lower edge (z 320) lies 80 down; 5 below it 85. Its
    # faces across: the leg's face edge is its left side at x 20, the rail begins at x 50; half of 30 is 15.
    text = RAILED + (
        "  peg:\n"
        "    holes: [{bit: 6, depth: 10}]\n"
        "    on: [{piece: L, face: face, along: R.bottom - 5, across: (L.left + R.left) / 2}]\n"
    )
    work = read(text, tmp_path).work
    assert work is not None
    assert [(hole.along, hole.across) for hole in work.holes] == [(Length(85), Length(15))]


JOINED = """
build: {title: Leg and rail, mark: L, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 52}}
parts:
  leg: {material: oak, size: 45 x 45 x 700, runs: {length: z, width: x}, pieces: {L: {x: 0, y: 0, z: 0, end A: top}}}
  rail:
    material: oak
    size: 22 x 90 x 400
    runs: {length: x, width: z}
    pieces: {R: {x: L.right to L.right + 400, y: 10, z: 610, face edge: top}}
joints:
  rail into leg: {kind: mortise and tenon, from: rail, into: leg, thickness: 8, width: 60, length: 30}
hardware:
  pin: {holes: [{bit: 8, depth: 20}], on: [{piece: L, face: face, along: ALONG, across: ACROSS}]}
"""


@pytest.mark.parametrize(
    ("along", "across", "wanted"),
    # The leg's end A is its top at z 700. The tenon is 60 of the rail's 90, centred on it: z 625 to 685, its middle at
    # z 655, 45 down. The mortise is 30 deep and 1.5 of room, x 13.5 to 45 in the leg, whose face edge is its left side
    # at x 0: its middle at 29.25. The rail itself is as high as its tenon: z 610 to 700.
    [
        ("rail into leg.centre", "rail into leg.centre", (Length(45), Length("29.25"))),
        ("rail into leg.center + 12", "10", (Length(33), Length(10))),  # up is nearer to end A
        ("R.centre", "L.centre", (Length(45), Length("22.5"))),
        ("(rail into leg.centre + R.bottom) / 2", "L.right - 5", (Length("67.5"), Length(40))),
        ("[rail into leg.centre, R.bottom - 20]", "20", (Length(45), Length(20))),
    ],
)
def test_places_by_the_centre_lines_of_joints(
    along: str, across: str, wanted: tuple[Length, Length], tmp_path: Path
) -> None:
    found = read(JOINED.replace("ALONG", along).replace("ACROSS", across), tmp_path)
    assert found.work is not None
    assert not [problem for problem in found.problems if problem.severity == 0], found.problems
    first, *rest = [hole for hole in found.work.holes if hole.hardware == "pin"]
    assert (first.along, first.across) == wanted
    assert [hole.along for hole in rest] == ([Length(110)] if "[" in along else [])


MEASURED = {
    "long": "2",
    "wide": "1-1/4",
    "spacing": "1-1/2",
    "plate": "1/16",
    "leaf": "1/16",
    "ring": "5/8",
    "head": "1",
    "pin": "1/4",
}


@pytest.mark.parametrize("name", list(layout_table("hardware_patterns")))
def test_every_pattern_asks_for_what_it_needs_and_takes_it(name: str, tmp_path: Path) -> None:
    """Without its measures a pattern is refused, by name; with them it makes holes that lie on the face."""
    entry = layout_table("hardware_patterns")[name]
    asks = {**entry.get("asks", {}), **entry.get("asks whole", {})}
    board = (
        "build: {title: Board, mark: B, units: in}\n"
        "materials: {oak: {kind: hardwood, species: white oak, rough: 12/4}}\n"
        "parts: {board: {material: oak, size: 2 x 10 x 40, count: 1, mark: B}}\n"
        "hardware:\n"
        f"  it: {{pattern: {name}, on: [{{piece: B, face: face, along: 15, across: 5}}]}}\n"
    )
    missing = [problem for problem in read(board, tmp_path).problems if problem.code == "missing-key"]
    assert bool(missing) == bool(asks)
    for word in asks:
        assert f"'{word}'" in missing[0].wrong
    given = ", ".join(f"{word}: {'3' if word == 'count' else MEASURED.get(word, '3/4')}" for word in asks)
    if name in ("butt hinge", "lock"):  # these open at an edge
        board = board.replace("across: 5", "across: 0")
    found = read(board.replace(", on:", f", with: {{{given}}}, on:") if asks else board, tmp_path)
    assert found.work is not None
    assert len(found.work.holes) == (3 if name == "shelf pins" else len(entry["holes"])), found.problems
    assert not [problem for problem in found.problems if problem.severity == 0], found.problems
