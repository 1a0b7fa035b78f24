"""Where holes land on a template, against a picture of the solid taken with vectors; and the bits they get."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import permutations, product
from pathlib import Path

import pytest
import shapely

from shopdocs.core.length import ZERO, Length
from shopdocs.documents.job import make_job
from shopdocs.documents.templates import bore_words
from shopdocs.model.joining import Face, Hole, HolePlace, HoleUse
from shopdocs.model.parts import Direction, Part, Piece, Place, Runs
from shopdocs.pipeline import check_build
from shopdocs.work.holes.face_holes import FaceHoles, face_holes, face_size, inside, is_of_other_hand
from shopdocs.work.space.drilled import Bore, Drilled, drilled
from shopdocs.work.space.in_place import placed_piece
from shopdocs.work.space.placed import PlacedPiece, side_of

LENGTH, WIDTH, THICKNESS = Length(90), Length(40), Length(10)
ALONG, ACROSS = Length(7), Length(3)
DIRECTIONS = (Direction.X, Direction.Y, Direction.Z)
POSES = [(order, sides) for order in permutations(DIRECTIONS) for sides in product((True, False), repeat=3)]

Vector = tuple[Length, Length, Length]


def part_of(order: tuple[Direction, Direction, Direction], sides: tuple[bool, bool, bool]) -> tuple[Part, PlacedPiece]:
    piece = Piece("P", "part", place=Place((Length(100), Length(200), Length(300)), *sides))
    part = Part("part", "m", THICKNESS, WIDTH, LENGTH, (piece,), Runs(*order))
    placed = placed_piece(part, piece)
    assert placed is not None
    return part, placed


def spot_on(part: Part, face: Face, along: Length, across: Length) -> Vector:
    """A place on a face as (from end A, from the face edge, from the face side)."""
    return {
        Face.FACE: (along, across, ZERO),
        Face.BACK: (along, across, part.thickness),
        Face.EDGE: (along, ZERO, across),
        Face.FAR_EDGE: (along, part.width, across),
        Face.A: (ZERO, along, across),
        Face.B: (part.length, along, across),
    }[face]


def difference(a: Vector, b: Vector) -> tuple[int, int, int]:
    x, y, z = (int((p - q).mm) for p, q in zip(a, b, strict=True))
    return x, y, z


def unit(vector: tuple[int, int, int]) -> tuple[int, int, int]:
    x, y, z = ((v > 0) - (v < 0) for v in vector)
    return x, y, z


def cross(a: tuple[int, int, int], b: tuple[int, int, int]) -> tuple[int, int, int]:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def dot(a: tuple[int, int, int], b: tuple[int, int, int]) -> int:
    return sum(p * q for p, q in zip(a, b, strict=True))


@pytest.mark.parametrize("face", list(Face))
@pytest.mark.parametrize("pose", POSES)
def test_the_edge_to_gauge_from_is_where_one_sees_it(
    pose: tuple[tuple[Direction, Direction, Direction], tuple[bool, bool, bool]], face: Face
) -> None:
    """Stand before the face and look at it, `right` from end A to end B (an end: from face edge to far edge). With x to
    the right, y away and z up (a right-handed system) what is up on the picture is right x look. On an end the piece
    is turned until its face edge is at the left. The height of the hole over the lower edge of the picture must be
    `across` where the template puts the edge to gauge from at the bottom, and the rest of the face where at the top.
    """
    part, placed = part_of(*pose)
    width, height, _ = face_size(part, face)
    start = placed.spot_in_build(spot_on(part, face, ZERO, ZERO))
    right = unit(difference(placed.spot_in_build(spot_on(part, face, width, ZERO)), start))
    axis, _ = side_of(face)
    inward_end = {0: (LENGTH / 2, ZERO, ZERO), 1: (ZERO, WIDTH / 2, ZERO), 2: (ZERO, ZERO, THICKNESS / 2)}[axis]
    outside = list(spot_on(part, face, ZERO, ZERO))
    middle = [ZERO, ZERO, ZERO]
    middle[axis] = inward_end[axis]
    outside_flat = [outside[k] if k == axis else ZERO for k in range(3)]
    look = unit(
        difference(
            placed.spot_in_build((middle[0], middle[1], middle[2])),
            placed.spot_in_build((outside_flat[0], outside_flat[1], outside_flat[2])),
        )
    )
    up = cross(right, look)
    corners = [placed.spot_in_build(spot_on(part, face, a, c)) for a in (ZERO, width) for c in (ZERO, height)]
    lowest = min(dot(difference(corner, start), up) for corner in corners)
    hole = placed.spot_in_build(spot_on(part, face, ALONG, ACROSS))
    seen = dot(difference(hole, start), up) - lowest

    other = is_of_other_hand(part, part.pieces[0])
    holes = FaceHoles(part, face, ("P",), width, height, ZERO, (), other)
    on_template = height - ACROSS if holes.reference_at_top else ACROSS
    assert seen == on_template.mm


def holes_of(tmp_path: Path, text: str) -> tuple[Drilled, ...]:
    path = tmp_path / "b.yaml"
    path.write_text(text, "utf-8")
    build, shop, problems = check_build(str(path))
    assert build is not None
    assert not [p for p in problems if p.severity == 0], problems
    return drilled(build, shop)


BUILD = """
build: {{title: Trial, mark: T, units: in}}
materials: {{ash 4/4: {{kind: hardwood}}}}
parts:
  board: {{material: ash 4/4, size: 3/4 x 6 x 20, pieces: [A1]}}
hardware:
  h:
    holes: [{hole}]
    on: [{{piece: A1, face: face, along: 10, across: 3}}]
"""


@pytest.mark.parametrize(
    ("hole", "inch", "source"),
    [
        # ISO 273:1979, medium series: M5 5.5 mm, M6 6.6 mm (read in reference pages that agree).
        ("{screw: M5 bolt, as: clearance, depth: through}", None, Length("5.5")),
        ("{screw: M6 bolt, as: clearance, depth: through}", None, Length("6.6")),
        ("{screw: M4 bolt, as: clearance, depth: through, fit: loose}", None, Length("4.8")),
        # A bit that is named is the bit.
        ("{bit: 3/8, depth: 1/2}", Length.inches("3/8"), None),
    ],
)
def test_wanted_diameter(tmp_path: Path, hole: str, inch: Length | None, source: Length | None) -> None:
    (found,) = holes_of(tmp_path, BUILD.format(hole=hole))
    assert found.bore.wanted == (inch or source)


def test_a_bit_for_a_clearance_hole_is_no_smaller_than_the_hole(tmp_path: Path) -> None:
    (found,) = holes_of(tmp_path, BUILD.format(hole="{screw: M5 bolt, as: clearance, depth: through}"))
    # 5.5 mm lies between 13/64 in (5.16 mm) and 7/32 in (5.556 mm); bits of an inch shop come in 64ths.
    assert found.bore.bit == Length.inches("7/32")


def test_a_bit_is_one_that_the_shop_has(tmp_path: Path) -> None:
    """5.5 mm for an M5 (ISO 273:1979, medium): of 3/16, 15/64 and 1/4 in that are in the drawer, 15/64 (5.95 mm) is the
    first that lets it through; 7/32, which is nearer, is not there."""
    (tmp_path / "shop.yaml").write_text("shop: {bits: [3/16 in, 15/64 in, 1/4 in]}\n", "utf-8")
    (found,) = holes_of(tmp_path, BUILD.format(hole="{screw: M5 bolt, as: clearance, depth: through}"))
    assert found.bore.bit == Length.inches("15/64")


def test_a_mirrored_pair_gets_templates_of_its_own(tmp_path: Path) -> None:
    text = """
build: {title: Trial, mark: T, units: in}
materials: {ash 4/4: {kind: hardwood}}
parts:
  side:
    material: ash 4/4
    size: 3/4 x 6 x 20
    runs: {length: z, width: y}
    pieces:
      L: {x: 0, y: 0, z: 0}
      R: {mirror: L across x at 10}
hardware:
  peg:
    holes: [{bit: 3/8, depth: 1/2}]
    on: [{piece: [L, R], face: face, along: 4, across: 1}]
"""
    path = tmp_path / "b.yaml"
    path.write_text(text, "utf-8")
    build, shop, _ = check_build(str(path))
    assert build is not None
    faces = face_holes(build, drilled(build, shop))
    assert [face.marks for face in faces] == [("L",), ("R",)]
    assert faces[0].reference_at_top != faces[1].reference_at_top


def test_wood_screws_and_bolts_have_holes_of_their_own(tmp_path: Path) -> None:
    """ISO 273 is for machine threads: 6.6 mm for an M6 bolt. A 6 mm wood screw has half a millimetre of room, a #8 its
    shank of 0.164 in, the tolerance of 0.004 (ASME B18.6.1) and 1/128 (both rooms: common practice, no source)."""
    hole = "{{screw: {0}, as: clearance, depth: through}}"
    wanted = []
    for screw in ("M6 bolt", "6 x 40 mm", "'#8 x 1-1/4'"):
        (found,) = holes_of(tmp_path, BUILD.format(hole=hole.format(screw)))
        wanted.append(found.bore.wanted)
    assert wanted == [Length("6.6"), Length("6.5"), Length.inches(Fraction("0.168") + Fraction(1, 128))]


@pytest.mark.parametrize(("units", "told"), [("in", "Ø ≈¹³⁄₃₂ in"), ("mm", "Ø 10 mm")])
def test_the_sheet_rules_the_unit_of_a_countersink(tmp_path: Path, units: str, told: str) -> None:
    """10 mm is 0.39 in, 12.6 thirty-seconds: ≈13/32."""
    path = tmp_path / "b.yaml"
    path.write_text(BUILD.format(hole="{screw: 5 x 50 mm, as: clearance, depth: through, countersunk: yes}"), "utf-8")
    build, shop, _ = check_build(str(path))
    assert build is not None
    display = build.display if units == "in" else build.display.turned()
    job = make_job(build, shop, display, "", "cut")
    (found,) = job.holes
    assert bore_words(job, found.bore)[-1] == f"countersunk 90° to {told}"


def test_a_hole_lies_on_its_face_with_all_of_its_round_or_slot() -> None:
    """Against shapely: the round, or the slot as a line with so much round it, lies within the face, its border too. A
    slot runs along the face, one that is turned across it."""
    part, _ = part_of(DIRECTIONS, (True, True, True))
    rng = random.Random(5)
    found = []
    for _ in range(400):
        face = rng.choice(list(Face))
        width, height, _ = (int(size.mm) for size in face_size(part, face))
        along, across, radius = rng.randint(0, width), rng.randint(0, height), rng.randint(1, 4)
        slot, turned = rng.choice((0, 0, 2 * radius, 2 * radius + 2 * rng.randint(1, 4))), rng.random() < 0.5
        reach = max(slot / 2 - radius, 0)
        ends = [(along, across - reach), (along, across + reach)] if turned else [
            (along - reach, across), (along + reach, across)]  # fmt: skip
        form = (shapely.LineString(ends) if reach else shapely.Point(along, across)).buffer(radius)
        bore = Bore(
            HoleUse.PLAIN, Length(2 * radius), None, None, None, Length(slot) if slot else None, *(None,) * 3, ""
        )
        where = HolePlace("P", face, Length(along), Length(across))
        hole = Drilled(
            "P", face, Length(along), Length(across), turned, bore, "", Hole(ZERO, ZERO, HoleUse.PLAIN), where
        )
        (left, low, right, high), near = form.bounds, 1e-6
        lies = -near <= left and -near <= low and right <= width + near and high <= height + near
        assert inside(part, hole) is lies, (face, along, across, radius, slot, turned)
        found.append((lies, bool(slot), turned, 0.0 in (left, low) or (right, high) == (width, height)))
    assert {kind[:3] for kind in found} == set(product((False, True), repeat=3))
    assert any(lies and border for lies, *_, border in found)
