"""What stands in the way of what, where wood slopes or a groove stops: by hand, and as the joints themselves say it."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.model.joining import JointKind
from shopdocs.pipeline.checking import checked
from shopdocs.work.computed import Computed
from shopdocs.work.joints.frame import JointSizes
from shopdocs.work.joints.joinery import joined_pieces
from shopdocs.work.order.blocking import WAYS, Way, masks_of
from shopdocs.work.order.closing import Outcome
from shopdocs.work.space.placed import Scene
from tests.work.joints.test_mitres import ALL_WAYS, corner
from tests.work.order.replay import faults

SAMPLES = Path(__file__).parents[3] / "sample_builds"


def computed(path: Path) -> Computed:
    found = checked(str(path), None)
    assert found.work is not None, found.problems
    return found.work


@pytest.mark.parametrize(("high_n", "high_m", "ends"), ALL_WAYS)
def test_the_wood_of_a_mitre_stands_where_the_joint_says(high_n: bool, high_m: bool, ends: bool) -> None:
    """A keyed mitre lets its pieces part in four of the six ways; the sloping wood alone shows the other two."""
    sizes = JointSizes(JointKind.KEYED_MITRE, name="1")
    pieces, (joinery,) = joined_pieces(corner(high_n, high_m, ends, False), [("R", "S", sizes)])
    masks = masks_of([[solid] for solid in Scene.of(pieces).solids])
    assert {way for way in WAYS if masks[way][0]} == set(joinery.stops)
    assert {(axis, not high) for axis, high in WAYS if masks[axis, high][1]} == set(joinery.stops)


def test_the_wood_of_tails_lets_them_in_sideways_only() -> None:
    """Sides of a drawer along y, tails on them, the front across: a side goes on from beside, along x, alone. By their
    cuboids the tails could be drawn out to the rear as well."""
    work = computed(SAMPLES / "potting_table" / "build.yaml")
    assert work.obstacles is not None
    masks = work.obstacles.of([["SL1"], ["DF1"]])
    free: set[Way] = {way for way in WAYS if not masks[way][0]}
    assert free == {(0, False)}


CASE = """
build: {title: Case, mark: C, units: mm}
materials:
  ash 34: {kind: hardwood, rough: 34}
parts:
  side:
    material: ash 34
    thickness: 24
    width: 200
    length: 400
    runs: {length: z, width: y}
    pieces:
      L: {x: 0, y: 0, z: 0}
      R: {x: 300, y: 0, z: 0}
  rail:
    material: ash 34
    thickness: 24
    width: 60
    runs: {length: x, width: y}
    pieces:
      T: {x: L.right to R.left, y: centred on 100, z: 350}
      B: {x: L.right to R.left, y: centred on 100, z: 20}
  shelf:
    material: ash 34
    thickness: 20
    width: 180
    runs: {length: x, width: y}
    pieces:
      S: {x: L.right to R.left, y: to L.back, z: 200}
joints:
  rails: {kind: mortise and tenon, from: rail, into: side, thickness: 8, length: 15}
  shelf: {kind: housing, from: shelf, into: side, depth: 8, width: 160}
gluing:
  adhesive: slow epoxy
  stages:
    - {title: Case, pieces: [L, R, T, B]}
    - {title: Shelf, pieces: [S], uses: [Case]}
"""


def test_a_shelf_slides_along_stopped_housings(tmp_path: Path) -> None:
    """The housings are open at the rear and stop 40 behind the front, and the shelf is notched there: between two sides
    that stand it can come from the rear alone."""
    path = tmp_path / "build.yaml"
    path.write_text(CASE, "utf-8")
    work = computed(path)
    order = work.stages[1].order
    assert order.outcome is Outcome.FOUND
    assert [closing.toward for closing in order.closings if closing.onto] == [(1, False)]
    assert list(faults(work)) == []
