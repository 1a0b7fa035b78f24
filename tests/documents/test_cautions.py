"""Which builds are warned of what: within the scope that a published rule gives itself, and where glass is named.

16 CFR 1261.2 with ASTM F2057-23 (read): free-standing, from 27 in, 30 lb and 3.2 ft³ in drawers and behind doors, all
of them. Volume (CPSC business guidance, read): height × width × depth of a drawer, half of it behind a door.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.text import Heading
from shopdocs.documents.cautions import cautions_of
from shopdocs.documents.clearances import clearance_blocks
from shopdocs.facts.cautions import GLASS, ON_A_WALL, TIP_OVER
from shopdocs.work.seasons.fits import enclosed
from tests.sample_jobs import BY_NAME, job_of, own_units, sample_job

CHEST = """
build: {{title: Chest, mark: C, units: in{more}}}
materials: {{oak: {{kind: hardwood, species: white oak, rough: 8/4}}}}
parts:
  side: {{material: oak, size: 1 x 20 x {height}, runs: {{length: z, width: y}},
    pieces: {{L: {{x: 0, y: 1, z: 0}}, R: {{x: 31, y: 1, z: 0}}}}}}
  shelf: {{material: oak, size: 1 x 20 x 30, runs: {{length: x, width: y}},
    pieces: {{S: {{x: 1, y: 1, z: 2}}, T: {{x: 1, y: 1, z: to {height}}}}}}}
  door: {{material: oak, size: 1 x 31.875 x 24, runs: {{length: z, width: x}}, pieces: {{D: {{x: 1/16, y: 0, z: 1}}}}}}
joints: {{s: {{kind: dowels, from: shelf, into: side, count: 3, thickness: 3/8}}}}
"""


def warned(tmp_path: Path, height: int, more: str = "", text: str = CHEST) -> list[str]:
    (tmp_path / "build.yaml").write_text(text.format(height=height, more=more), "utf-8")
    return [caution.key for caution in cautions_of(job_of(tmp_path / "build.yaml"))]


def test_a_chest_with_a_door_can_tip(tmp_path: Path) -> None:
    # White oak weighs more than 700 kg/m³ at 12 % (specific gravity 0.68); 2 x 20 x 27 + 2 x 20 x 30 + 765 in³ make
    # 3045 in³, 0.0499 m³, some 35 kg or 77 lb. Behind the door: 31-7/8 x 24 x 20 / 2 = 7650 in³, over 1728: 4.43 ft³.
    assert TIP_OVER.key in warned(tmp_path, 27)
    assert enclosed(job_of(tmp_path / "build.yaml").fits) == Fraction(7650, 1728)
    assert TIP_OVER.key not in warned(tmp_path, 26)
    assert TIP_OVER.key not in warned(tmp_path, 27, ", encloses: 3.1 ft3")
    hung = warned(tmp_path, 27, ", free standing: no")
    assert TIP_OVER.key not in hung and ON_A_WALL.key in hung


def test_open_shelves_enclose_nothing(tmp_path: Path) -> None:
    shelves = "\n".join(line for line in CHEST.splitlines() if not line.startswith("  door"))
    assert TIP_OVER.key not in warned(tmp_path, 60, text=shelves)


def test_the_drawers_of_the_table() -> None:
    # Outside: 481 x 98, and from the front of the drawer to the back of its back 20 + 440 + 12 = 472 mm, two of them:
    # 44.5 l; 28.317 l to the cubic foot. Within, as the build says, they are 36 l.
    job = sample_job(BY_NAME["potting_table"], "mm")
    assert float(enclosed(job.fits)) == pytest.approx(2 * 4.81 * 0.98 * 4.72 / 28.316846592, rel=1e-9)
    assert TIP_OVER not in cautions_of(job)


@pytest.mark.parametrize("named", ["glass 4 mm", "plate of Glass", "mirror"])
def test_glass_is_warned_of_where_it_is_named(tmp_path: Path, named: str) -> None:
    bought = CHEST.rstrip() + f"\nbuy: [{named}]\n"
    assert GLASS.key in warned(tmp_path, 20, text=bought)
    assert GLASS.key not in warned(tmp_path, 20, text=CHEST.rstrip() + "\nbuy: [fibreglass-free felt, glasspaper]\n")


def test_no_sample_has_glass() -> None:
    for folder in BY_NAME.values():
        assert GLASS not in cautions_of(sample_job(folder, own_units(folder)))


def test_what_a_lid_shuts_is_no_storage_behind_a_door(tmp_path: Path) -> None:
    """The same chest on its back, a board hinged along its rear edge over it: it is called a lid where it is told how
    far it lies off what it covers, and nothing is enclosed behind a door."""
    text = """
build: {{title: Chest, mark: C, units: in{more}}}
materials: {{oak: {{kind: hardwood, species: white oak, rough: 8/4}}}}
parts:
  end: {{material: oak, size: 1 x 20 x {height}, runs: {{length: x, width: z}},
    pieces: {{F: {{x: 0, y: 0, z: 0}}, B: {{x: 0, y: 31, z: 0}}}}}}
  side: {{material: oak, size: 1 x 20 x 30, runs: {{length: y, width: z}},
    pieces: {{L: {{x: 0, y: 1, z: 0}}, R: {{x: to {height}, y: 1, z: 0}}}}}}
  top: {{material: oak, size: 1 x 32 x {height}, runs: {{length: x, width: y}}, pieces: {{T: {{x: 0, y: 0, z: 20}}}}}}
joints: {{s: {{kind: dowels, from: side, into: end, count: 3, thickness: 3/8}}}}
hardware:
  hinge:
    pattern: butt hinge
    with: {{long: 3, wide: -3/4, leaf: 1/8, spacing: 2, screw: '#6 x 1/2'}}
    on: [{{piece: T, face: back, along: [5, length - 5], across: width, meets: B}}]
"""
    assert TIP_OVER.key not in warned(tmp_path, 27, text=text)
    job = job_of(tmp_path / "build.yaml")
    assert [fit.word for fit in job.fits] == ["lid"] and enclosed(job.fits) == 0
    heading, _ = clearance_blocks(job)
    assert isinstance(heading, Heading) and heading.text == "Lids over their openings"
