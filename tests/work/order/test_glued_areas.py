"""Glue and time of a stage against sums done by hand from the sizes in the build: once with places, where the joint is
worked out in space, and once from the sizes alone."""

from __future__ import annotations

from fractions import Fraction
from math import pi, sqrt
from pathlib import Path

import pytest

from shopdocs.pipeline import check_build
from shopdocs.work.computed import Computed
from shopdocs.work.order.stages import StageWork
from tests.small_builds import frame

# A side S, 12 thick and 120 wide, meets the inside of a front F, 20 thick and 120 high, at its left end.
CORNER = """
build: {{title: Corner, mark: C, units: mm}}
materials: {{oak: {{kind: hardwood, rough: 27}}}}
parts:
  side: {{material: oak, size: 12 x 120 x 300, runs: {{length: y, width: z}}, pieces: {side}}}
  front: {{material: oak, size: 20 x 120 x 400, runs: {{length: x, width: z}}, pieces: {front}}}
joints:
  corner: {{{joint}, pieces: [S into F]}}
gluing: {{adhesive: hot hide glue, stages: [{{title: All, pieces: [S, F]}}]}}
"""
PLACED = {"side": "{S: {x: 0, y: 20, z: 0}}", "front": "{F: {x: 0, y: 0, z: 0}}"}
LOOSE = {"side": "[S]", "front": "[F]"}


def stages(folder: Path, text: str) -> tuple[StageWork, ...]:
    path = folder / "build.yaml"
    path.write_text(text, "utf-8")
    build, shop, problems = check_build(str(path))
    assert build is not None, problems
    return Computed(build, shop).stages


# Square millimetres, by hand:
# through dovetail, 3 tails 20 long: two cheeks a tail, 12 x 20 each, 3 x 2 x 240 = 1440; the end between the tails and
#   on the pins lies on the front with all its 12 x 120 = 1440 at one depth or another. Together 2880.
# lapped, tails 15 long: 3 x 2 x 12 x 15 = 1080, and 1440. Together 2520.
# housing 6 deep: two walls of 6 x 120 = 1440, floor 12 x 120 = 1440. Together 2880.
# rabbet 6 deep at the front's end: one wall of 6 x 120 = 720, floor 1440. Together 2160.
# two dowels 6 x 30: 2 x pi x 6 x 30 = 1130.97.
# one loose tenon 4 x 40 x 30: 30 long, round it 2 x (4 + 40) = 88: 2640.
# butt with screws: 12 x 120 = 1440.
# tenon 4 thick, 90 wide, 12 long: two cheeks 90 x 12 = 2160, two edges 4 x 12 = 96. Together 2256.
# bridle, its tongue as long as the front is thick: two cheeks 120 x 20 = 4800.
AREAS = [
    ("kind: dovetail, count: 3", 2880),
    ("kind: dovetail, count: 3, length: 15", 2520),
    ("kind: housing, depth: 6", 2880),
    ("kind: rabbet, depth: 6", 2160),
    ("kind: dowels, thickness: 6, length: 30, count: 2", 2 * pi * 6 * 30),
    ("kind: loose tenon, thickness: 4, width: 40, length: 30", 2640),
    ("kind: screwed butt, length: 50", 1440),
    ("kind: mortise and tenon, thickness: 4, width: 90, length: 12", 2256),
    ("kind: bridle, thickness: 4, length: 20", 4800),
]


@pytest.mark.parametrize("places", [PLACED, LOOSE], ids=["placed", "without places"])
@pytest.mark.parametrize(("joint", "square_mm"), AREAS)
def test_the_glued_area_of_a_corner(tmp_path: Path, places: dict[str, str], joint: str, square_mm: float) -> None:
    (work,) = stages(tmp_path, CORNER.format(joint=joint, **places))
    assert float(work.area) * 1e6 == pytest.approx(square_mm, rel=1e-9)


def test_the_glued_area_of_a_tongue(tmp_path: Path) -> None:
    """A tongue 4 thick and 8 long across the end, 12 x 120: two cheeks of 8 x 120 = 1920, its tip and shoulders
    12 x 120 = 1440. Together 3360."""
    joint = "kind: tongue and groove, thickness: 4, length: 8"
    (work,) = stages(tmp_path, CORNER.format(joint=joint, **PLACED))
    assert work.area * 1_000_000 == 3360


def test_the_glued_area_of_round_tenons_and_keys_without_places(tmp_path: Path) -> None:
    """Four round tenons 16 across and 30 long: pi x 16 x 30 each. A mitre of a rail 20 x 60 is 20 x 60 x sqrt 2; two
    keys let in 12 deep are triangles 24 wide and 12 high on either side, 144 a side: 576 more."""
    glued = "gluing: {adhesive: slow epoxy, stages: [{title: All, pieces: [R1, R2, S1, S2]}]}"
    (work,) = stages(tmp_path, frame("kind: round tenon", "thickness: 16", "length: 30") + glued)
    assert float(work.area) * 1e6 == pytest.approx(4 * pi * 16 * 30, rel=1e-9)
    (work,) = stages(tmp_path, frame("kind: keyed mitre", "thickness: 3", "depth: 12", "count: 2") + glued)
    assert float(work.area) * 1e6 == pytest.approx(4 * (20 * 60 * sqrt(2) + 576), rel=1e-9)


def test_a_dry_joint_takes_no_glue(tmp_path: Path) -> None:
    (work,) = stages(tmp_path, CORNER.format(joint="kind: housing, depth: 6, glued: no", **LOOSE))
    assert work.area == 0
    assert work.mix is None


def test_the_glued_area_of_boards_and_laps(tmp_path: Path) -> None:
    """An edge 20 thick and 600 long: 12 000. A lap of two rails 40 and 50 wide, as long as the narrower is wide:
    40 x 40 = 1600. A tongue 8 long on an edge of 600: two cheeks of 8 x 600 = 9600."""
    text = """
build: {title: Boards, mark: B, units: mm}
materials: {oak: {kind: hardwood, rough: 27}}
parts:
  board: {material: oak, size: 20 x 100 x 600, pieces: [B1, B2, B3]}
  rail: {material: oak, size: 20 x 40 x 600, pieces: [R]}
  bar: {material: oak, size: 20 x 50 x 600, pieces: [Q]}
joints:
  seam: {kind: edge joint, pieces: [B1 into B2]}
  lap: {kind: half lap, pieces: [R into Q]}
  tongue: {kind: tongue and groove, thickness: 6, length: 8, pieces: [B3 into B2]}
gluing:
  adhesive: hot hide glue
  stages:
    - {title: Seam, pieces: [B1, B2]}
    - {title: Lap, pieces: [R, Q]}
    - {title: Tongue, pieces: [B3, B2]}
"""
    areas = [work.area * 1_000_000 for work in stages(tmp_path, text)]
    assert areas == [12_000, 1600, 9600]


# Common practice, no source, for one pair of hands: 1-1/2 min a joint, 3/4 min a clamp, 3 min to check for square, in
# whole minutes, rounded up.
GLUED = """\
gluing: {{adhesive: hot hide glue, stages: [{{title: All, pieces: [R1, R2, S1, S2], clamps: {clamps}{more}}}]}}
"""


@pytest.mark.parametrize(
    ("clamps", "more", "minutes"),
    [
        ("{}", "", 9),  # 4 x 1.5 + 3
        ("{bar: 4}", "", 12),  # 6 + 4 x 0.75 + 3
        ("{bar: 2, F: 3}", "", 13),  # 6 + 5 x 0.75 + 3 = 12.75
        ("{bar: 2, F: 3}", ", minutes: 7", 7),  # the maker's own
    ],
)
def test_minutes_of_a_stage(tmp_path: Path, clamps: str, more: str, minutes: int) -> None:
    corners = frame("kind: mortise and tenon", "thickness: 7", "length: 30")
    (work,) = stages(tmp_path, corners + GLUED.format(clamps=clamps, more=more))
    assert work.minutes == Fraction(minutes)
    assert work.estimated == (not more)


LONG = """
build: {{title: Board, mark: B, units: mm}}
materials: {{oak: {{kind: hardwood, rough: 120}}}}
parts: {{board: {{material: oak, size: THICK x 400 x 1000, strips: 5, runs: {{length: x, width: y}}, pieces: [T]}}}}
gluing: {{adhesive: {glue}, stages: [{{title: All, pieces: [T]}}]}}
"""


@pytest.mark.parametrize(
    ("thick", "pace", "minutes"),
    [
        ("50", "", 9),  # 4 seams x 1.5 + 3: 0.05 m² are wetted in the minute that a joint has for its glue
        ("100", "", 13),  # 0.1 m² take 2 min, one more: 4 x 2.5 + 3
        ("100", "area: 3.5 min", 19),  # 4 x (0.5 + 3.5) + 3
        ("100", "area: 3.5 min, spread: 1.5 min, joint: 2.5 min", 21),  # 4 x (1 + 3.5) + 3
    ],
)
def test_a_long_seam_takes_longer_to_wet(tmp_path: Path, thick: str, pace: str, minutes: int) -> None:
    (tmp_path / "shop.yaml").write_text(f"shop: {{units: mm, pace: {{{pace}}}}}\n", "utf-8")
    (work,) = stages(tmp_path, LONG.replace("THICK", thick).format(glue="yellow PVA"))
    assert work.minutes == minutes


def test_batches_mixed_while_glue_is_open_take_time(tmp_path: Path) -> None:
    """The first is mixed before anything is wet; each one after it takes 2 min more than a glue from the bottle, or the
    maker's own 4."""
    text = LONG.replace("THICK", "100")
    for pace, each in (("", 2), ("mix: 4 min", 4)):
        (tmp_path / "shop.yaml").write_text(f"shop: {{units: mm, pace: {{{pace}}}}}\n", "utf-8")
        (work,) = stages(tmp_path, text.format(glue="slow epoxy"))
        assert work.mix is not None and work.mix.batches > 2
        assert work.minutes == 13 + each * (work.mix.batches - 1)
