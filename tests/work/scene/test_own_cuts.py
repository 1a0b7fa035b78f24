"""The maker's own cuts on random pieces: the wood that is left, against manifold3d, which knows nothing of faces named
at the bench. `tests/bench/own_cuts.py` tries more of them."""

from __future__ import annotations

import math
import random
import re
from collections.abc import Iterable
from pathlib import Path

import manifold3d
import pytest

from shopdocs.pipeline.checking import checked
from shopdocs.work.shapes.solid import Solid

FACES = {
    "A": (0, False),
    "B": (0, True),
    "edge": (1, False),
    "far edge": (1, True),
    "face": (2, False),
    "back": (2, True),
}
DIRECTIONS = "xyz"


def build_text(chance: random.Random) -> tuple[str, manifold3d.Manifold]:
    """A build of one piece with one to four cuts, and the same piece as manifold3d makes it: a box, less boxes and less
    prisms, from end A, the face edge and the face side."""
    size = [chance.randint(120, 400), chance.randint(30, 110), chance.randint(15, 29)]
    body = manifold3d.Manifold.cube(size)
    cuts = []
    for number in range(chance.randint(1, 4)):
        face = chance.choice(list(FACES))
        words, taken = (edge if chance.random() < 0.3 else box)(chance, size, face)
        cuts.append(f"  c{number}: {words}")
        body -= taken
    length, width = chance.sample(DIRECTIONS, 2)
    turned = "".join(
        f", {key}: {chance.choice(words)}"
        for key, axis in (("end A", length), ("face edge", width))
        for words in [{"x": ("left", "right"), "y": ("front", "back"), "z": ("bottom", "top")}[axis]]
    )
    text = (
        "build: {title: Trial, mark: T, units: mm}\n"
        "materials: {oak: {kind: hardwood, rough: 34}}\n"
        "parts:\n"
        f"  slab: {{material: oak, size: {size[2]} x {size[1]} x {size[0]},\n"
        f"    runs: {{length: {length}, width: {width}}},\n"
        f"    pieces: {{S: {{x: 7, y: 11, z: 13{turned}}}}}}}\n"
        "cuts:\n" + "\n".join(cuts) + "\n"
    )
    return text, body


def box(chance: random.Random, size: list[int], face: str) -> tuple[str, manifold3d.Manifold]:
    """A cut with two stretches of the face, written in the way of the face."""
    axis, high = FACES[face]
    first, second = (k for k in range(3) if k != axis)
    spans = [stretch(chance, size[k]) for k in (first, second)]
    if all(span == (0, size[k]) for span, k in zip(spans, (first, second), strict=True)):
        spans[1] = (0, size[second] - 3)
    deep = chance.randint(1, size[axis] - 1)
    opens = [end for span, k in zip(spans, (first, second), strict=True) for end in (span[0] == 0, span[1] == size[k])]
    kind = chance.choice(["notch", "rabbet"] if any(opens) else ["recess", "mortise"])
    lo, hi = [0, 0, 0], [0, 0, 0]
    (lo[first], hi[first]), (lo[second], hi[second]) = spans
    lo[axis], hi[axis] = (size[axis] - deep, size[axis]) if high else (0, deep)
    cube = manifold3d.Manifold.cube([b - a for a, b in zip(lo, hi, strict=True)]).translate(lo)
    along, across = (f"{a} to {b}" for a, b in spans)
    place = f"{{piece: S, face: {face}, along: {along}, across: {across}}}"
    return f"{{kind: {kind}, depth: {deep}, on: [{place}]}}", cube


def edge(chance: random.Random, size: list[int], face: str) -> tuple[str, manifold3d.Manifold]:
    """A bevel along an edge, or along a part of it: a prism on a triangle; or a rounding, a prism on a square less the
    convex prism under the chords of a quarter circle: twelve, as its solid has along an arris, and as few as lie near
    enough to the arc where it takes a corner off right through the thickness."""
    axis, high = FACES[face]
    other = chance.choice([name for name, (k, _) in FACES.items() if k != axis])
    second, far = FACES[other]
    wide, deep = chance.randint(1, size[second] // 2), chance.randint(1, size[axis] // 2)
    rounds = chance.random() < 0.5
    corners = ((0, 0), (0, wide), (deep, 0))
    if rounds:
        wide = deep = min(wide, deep)
        corners = ((0, 0), (0, wide), (deep, 0), (deep, wide))
    runs = 3 - axis - second
    span = stretch(chance, size[runs])
    chords = least_chords(wide) if runs == 2 and span == (0, size[2]) else 12
    turns = [math.pi / 2 / chords * k for k in range(chords + 1)]
    bulge = [(deep - deep * math.sin(turn), wide - wide * math.cos(turn)) for turn in turns]

    def prism(corners: Iterable[tuple[float, float]]) -> manifold3d.Manifold:
        points = []
        for along in span:
            for on_axis, on_second in corners:
                point: list[float] = [0, 0, 0]
                point[runs] = along
                point[axis] = size[axis] - on_axis if high else on_axis
                point[second] = size[second] - on_second if far else on_second
                points.append(point)
        return manifold3d.Manifold.hull_points(points)

    place = f"{{piece: S, edge: {face} and {other}, along: {span[0]} to {span[1]}}}"
    if rounds:
        taken = prism(corners) - prism([*bulge, (deep, wide)])
        return f"{{kind: rounding, width: {wide}, on: [{place}]}}", taken
    return f"{{kind: bevel, width: {wide}, depth: {deep}, on: [{place}]}}", prism(corners)


def least_chords(radius: float) -> int:
    """How many equal chords of a quarter circle lie no farther beside it than an outline's straight pieces may: 1/900
    of the radius, but 1/20 mm of a small one and 1/10 mm of a large one. Between a chord and its arc is R - R cos of
    half the angle over it."""
    beside = min(max(0.05, radius / 900), 0.1)
    return next(n for n in range(1, 99) if radius * (1 - math.cos(math.pi / 4 / n)) <= beside)


def tapered(seed: int) -> tuple[str, manifold3d.Manifold]:
    """A build of one leg that tapers to end A or B on one to four faces, each face from a place of its own, and the
    same leg as manifold3d makes it: a box less a wedge for each face."""
    chance = random.Random(seed)
    size = [chance.randint(300, 800), chance.randint(36, 80), chance.randint(36, 80)]
    to_b = chance.random() < 0.5
    body, cuts = manifold3d.Manifold.cube(size), []
    for number, face in enumerate(
        chance.sample([name for name, (axis, _) in FACES.items() if axis], chance.randint(1, 4))
    ):
        axis, high = FACES[face]
        long, off = chance.randint(60, size[0]), chance.randint(2, size[axis] // 2 - 2)
        points = []
        for across in (0, size[3 - axis]):
            for from_end, deep in ((0, 0), (0, off), (long, 0)):
                point = [0, 0, 0]
                point[0] = size[0] - from_end if to_b else from_end
                point[axis] = size[axis] - deep if high else deep
                point[3 - axis] = across
                points.append(point)
        body -= manifold3d.Manifold.hull_points(points)
        run = f"{size[0] - long} to length" if to_b else f"{long} to 0"
        place = f"{{piece: S, face: {face}, along: {run}}}"
        cuts.append(f"  t{number}: {{kind: taper, to: {size[axis] - off}, on: [{place}]}}")
    text = (
        "build: {title: Trial, mark: T, units: mm}\n"
        "materials: {oak: {kind: hardwood, rough: 95}}\n"
        "parts:\n"
        f"  leg: {{material: oak, size: {size[2]} x {size[1]} x {size[0]}, runs: {{length: z, width: x}},\n"
        "    pieces: {S: {x: 7, y: 11, z: 0}}}\n"
        "cuts:\n" + "\n".join(cuts) + "\n"
    )
    return text, body


def stretch(chance: random.Random, whole: int) -> tuple[int, int]:
    low, high = sorted(chance.sample(range(whole + 1), 2))
    return (0 if chance.random() < 0.3 else low), (whole if chance.random() < 0.3 else high)


def volume(solid: Solid, per_mm: int) -> float:
    """What is left of a solid in cubic millimetres: its cells, and the bodies that slopes make of others."""
    cells = sum(cell.volume for cell in solid.plain_cells)
    bodies = (
        manifold3d.Manifold.hull_points([list(point) for face in body.faces for point in face]).volume()
        for body in (solid.sloped.bodies if solid.slopes else ())
    )
    return (cells + sum(bodies)) / per_mm**3


def trial(seed: int, folder: Path) -> tuple[float, float]:
    """What is left of a random piece by this program and by manifold3d, in cubic millimetres."""
    return compared(*build_text(random.Random(seed)), folder)


class Refused(AssertionError):
    """A piece at random that `check` will not have."""


def compared(text: str, wanted: manifold3d.Manifold, folder: Path) -> tuple[float, float]:
    """What is left of the piece of a build by this program, and the volume that is wanted. Refused where `check` does
    not take the build."""
    path = folder / "trial.yaml"
    path.write_text(text, "utf-8")
    found = checked(str(path), None)
    assert found.work is not None and found.work.space is not None, (text, found.problems)
    wrong = [p for p in found.problems if p.code not in ("cuts-meet", "milling", "wood-left", "loose", "no-joint")]
    if wrong:
        raise Refused(text, wrong)
    scene = found.work.space.scene
    return volume(scene.solids[0], scene.ticks.per_mm), wanted.volume()


@pytest.mark.parametrize("seed", range(24))
def test_the_wood_that_is_left(seed: int, tmp_path: Path) -> None:
    ours, theirs = trial(seed, tmp_path)
    # manifold3d reckons in doubles of millimetres, and ends of slopes are rounded to a thousandth here
    assert ours == pytest.approx(theirs, rel=2e-6)


@pytest.mark.parametrize("seed", range(12))
def test_the_wood_that_tapers_leave(seed: int, tmp_path: Path) -> None:
    ours, theirs = compared(*tapered(seed), tmp_path)
    assert ours == pytest.approx(theirs, rel=2e-6)


def test_opposite_tapers_share_what_is_taken_off(tmp_path: Path) -> None:
    """A leg 40 x 40 x 600 that all four faces narrow from 300 to a foot of 20: a straight half of 40 x 40 x 300, and
    the frustum of a pyramid, 300 / 3 x (1600 + 400 + sqrt(1600 x 400)) (Euclid's rule, any table of solids)."""
    text = (
        "build: {title: Trial, mark: T, units: mm}\n"
        "materials: {oak: {kind: hardwood, rough: 52}}\n"
        "parts: {leg: {material: oak, size: 40 x 40 x 600, runs: {length: z, width: x},\n"
        "  pieces: {S: {x: 0, y: 0, z: 0}}}}\n"
        "cuts: {foot: {kind: taper, to: 20, on: [\n"
        + ",\n".join(f"  {{piece: S, face: {face}, along: 300 to 0}}" for face in ("face", "back", "edge", "far edge"))
        + "]}}\n"
    )
    ours, wanted = compared(text, manifold3d.Manifold.cube([40, 40, 300]), tmp_path)
    assert ours == pytest.approx(wanted + 100 * (1600 + 400 + 800), rel=2e-6)


@pytest.mark.parametrize(("chord", "rise"), [(120, 5), (200, 30), (90, 45)])
def test_the_wood_that_an_arch_leaves(chord: int, rise: int, tmp_path: Path) -> None:
    """A board 20 x 100 x 240 less the segment of a circle: R^2 acos((R - h) / R) - (R - h) sqrt(2 R h - h^2) of its
    radius R and height h, times the thickness (any table of plane figures). The arc stands as straight pieces here,
    which leave a little more wood: a half of the area of a sector turn^3 / 12 each, under 1/300 of what is taken."""
    radius = (chord**2 / 4 + rise**2) / (2 * rise)
    segment = radius**2 * math.acos((radius - rise) / radius) - (radius - rise) * math.sqrt(2 * radius * rise - rise**2)
    text = (
        "build: {title: Trial, mark: T, units: mm}\n"
        "materials: {oak: {kind: hardwood, rough: 34}}\n"
        "parts: {slab: {material: oak, size: 20 x 100 x 240, runs: {length: x, width: z},\n"
        "  pieces: {S: {x: 0, y: 0, z: 0}}}}\n"
        f"cuts: {{arch: {{kind: arch, depth: {rise}, on: [{{piece: S, face: edge, along: 30 to {30 + chord}}}]}}}}\n"
    )
    ours, whole = compared(text, manifold3d.Manifold.cube([20, 100, 240]), tmp_path)
    taken = whole - ours
    assert 0.996 * segment * 20 < taken < segment * 20


@pytest.mark.parametrize("seed", [0, 3, 5])
def test_the_trial_would_notice(seed: int, tmp_path: Path) -> None:
    """The first cut is written a millimetre deeper than manifold3d makes it: the volumes part by more than passes."""
    text, body = build_text(random.Random(seed))
    deeper = re.sub(r"depth: (\d+)", lambda found: f"depth: {int(found[1]) + 1}", text, count=1)
    ours, theirs = compared(deeper, body, tmp_path)
    assert ours < theirs
    assert ours != pytest.approx(theirs, rel=2e-6)


@pytest.mark.parametrize("faces", ["face and edge", "edge and face", "back and far edge", "far edge and face"])
@pytest.mark.parametrize(("radius", "of"), [(6, (10, 190)), (19, (0, 200))])
def test_the_wood_that_a_rounding_leaves(faces: str, radius: int, of: tuple[int, int], tmp_path: Path) -> None:
    """A board 20 x 60 x 200 less a square of the radius without its quarter of a circle, (1 - pi/4) r^2, times the
    length. Straight pieces stand for the arc, n to the quarter, which cut its sectors to triangles: they take
    r^2 / 2 x (pi/2 - n sin(pi/2n)) more wood, under 1/75 of what is taken."""
    text = (
        "build: {title: Trial, mark: T, units: mm}\n"
        "materials: {oak: {kind: hardwood, rough: 34}}\n"
        "parts: {board: {material: oak, size: 20 x 60 x 200, runs: {length: x, width: z},\n"
        "  pieces: {S: {x: 0, y: 0, z: 0}}}}\n"
        f"cuts: {{r: {{kind: rounding, width: {radius}, on: [\n"
        f"  {{piece: S, edge: {faces}, along: {of[0]} to {of[1]}}}]}}}}\n"
    )
    ours, whole = compared(text, manifold3d.Manifold.cube([200, 60, 20]), tmp_path)
    taken = (1 - math.pi / 4) * radius**2 * (of[1] - of[0])
    assert taken < whole - ours < taken * (1 + 1 / 75)


@pytest.mark.parametrize("corner", ["edge and B", "A and far edge"])
@pytest.mark.parametrize("radius", [4, 12, 29])
def test_the_wood_that_a_rounded_corner_leaves(corner: str, radius: int, tmp_path: Path) -> None:
    """A board 20 x 60 x 200 with a corner rounded right through: (1 - pi/4) r^2 times the thickness. Between a chord
    and its arc lies less than a rectangle of the same height, 1/20 mm at these radii: the whole arc, pi/2 r, is good
    for less than 2/3 of that (Archimedes) and a hundredth more, as a segment is a little fuller than a parabola's."""
    text = (
        "build: {title: Trial, mark: T, units: mm}\n"
        "materials: {oak: {kind: hardwood, rough: 34}}\n"
        "parts: {board: {material: oak, size: 20 x 60 x 200, runs: {length: x, width: z},\n"
        "  pieces: {S: {x: 0, y: 0, z: 0}}}}\n"
        f"cuts: {{r: {{kind: rounding, width: {radius}, on: [{{piece: S, edge: {corner}}}]}}}}\n"
    )
    ours, whole = compared(text, manifold3d.Manifold.cube([200, 60, 20]), tmp_path)
    taken, beside = (1 - math.pi / 4) * radius**2 * 20, 0.05 * math.pi / 2 * radius * 20
    assert taken < whole - ours < taken + beside * 2 / 3 * 1.01


def sawn_off(seed: int) -> tuple[str, manifold3d.Manifold]:
    """A board with one or both ends sawn off square, some of them both ways at once, and the same board as manifold3d
    trims it by a plane: through the long corner of the end, its direction from the two lines on face and edge, which
    run at the angle on the face, and on the edge at what two vectors in the plane of a tilted blade give."""
    chance = random.Random(seed)
    size = [chance.randint(250, 500), chance.randint(30, 90), chance.randint(15, 29)]
    body, cuts = manifold3d.Manifold.cube(size), []
    for end in chance.sample(["A", "B"], chance.randint(1, 2)):
        edge, side = chance.choice([None, "edge", "far edge"]), chance.choice([None, "face", "back"])
        if edge is None and side is None:
            edge = "far edge"
        angle, tilt = chance.randint(2, 50), chance.randint(2, 40)
        # from end A inward, toward the shorter edge and the shorter side
        slants = [0.0, 0.0]
        if edge:
            slants[0] = math.tan(math.radians(angle))
            if side:  # a blade upright in the line on the face, turned about that line by the tilt
                slants[1] = math.tan(math.radians(tilt)) / math.cos(math.radians(angle))
        else:
            slants[1] = math.tan(math.radians(angle))
        inward = 1.0 if end == "A" else -1.0
        normal, point = [inward, 0.0, 0.0], [0.0 if end == "A" else float(size[0]), 0.0, 0.0]
        for axis, slant, far in ((1, slants[0], edge == "far edge"), (2, slants[1], side == "back")):
            normal[axis] = -slant if far else slant
            point[axis] = 0.0 if far else float(size[axis])
        body = body.trim_by_plane(normal, sum(a * b for a, b in zip(normal, point, strict=True)) / math.hypot(*normal))
        named = " and ".join(filter(None, (end, edge, side)))
        both = f", tilt: {tilt}" if edge and side else ""
        cuts.append(f"  e{end}: {{kind: end cut, angle: {angle}{both}, on: [{{piece: S, edge: {named}}}]}}")
    text = (
        "build: {title: Trial, mark: T, units: mm}\n"
        "materials: {oak: {kind: hardwood, rough: 34}}\n"
        "parts:\n"
        f"  slab: {{material: oak, size: {size[2]} x {size[1]} x {size[0]}, runs: {{length: z, width: x}},\n"
        "    pieces: {S: {x: 7, y: 11, z: 0}}}\n"
        "cuts:\n" + "\n".join(cuts) + "\n"
    )
    return text, body


@pytest.mark.parametrize("seed", range(16))
def test_the_wood_that_end_cuts_leave(seed: int, tmp_path: Path) -> None:
    ours, theirs = compared(*sawn_off(seed), tmp_path)
    assert ours == pytest.approx(theirs, rel=2e-6)
