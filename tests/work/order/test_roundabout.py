"""Ways that are none of the build's own: on a slant between two mitres, round a corner, alone and as a part. Cases by
hand, replayed with swept wood by another library."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.core.box import Box
from shopdocs.documents.fitting.sequence import way_words
from shopdocs.pipeline.checking import checked
from shopdocs.work.order.closing import Outcome
from shopdocs.work.order.round_corner import Corners
from shopdocs.work.order.straight import Link, Way, straight_order
from shopdocs.work.shapes.solid import Solid
from tests.work.order.replay import faults
from tests.work.order.test_straight import hook

# A bracket like a Z: the stile SL stands up from one end of the rail, SR hangs down from the other; both mitres rise
# with x as they rise with z, and the splines in them let nothing pass through the thickness. The plate ties both stiles
# before the rail is there, so the rail can come in along both mitres at once and no other way.
BRACKET = """
build: {title: Bracket, mark: B, units: mm, free standing: no}
materials:
  ash 30: {kind: hardwood, rough: 30}
parts:
  stile:
    material: ash 30
    thickness: 20
    width: 50
    length: 200
    runs: {length: z, width: x}
    pieces:
      SL: {x: 0, y: 0, z: 0}
      SR: {x: 250, y: 0, z: 0 - 150}
  rail:
    material: ash 30
    thickness: 20
    width: 50
    length: 300
    runs: {length: x, width: z}
    pieces:
      R: {x: 0, y: 0, z: 0}
  block:
    material: ash 30
    thickness: 20
    width: 40
    length: 60
    runs: {length: y, width: z}
    pieces:
      BL: {x: 15, y: 20, z: 100}
      BR: {x: 265, y: 20, z: 0 - 100}
  plate:
    material: ash 30
    thickness: 20
    width: 250
    length: 300
    runs: {length: x, width: z}
    pieces:
      P: {x: 0, y: 80, z: 0 - 105}
joints:
  corner: {kind: splined mitre, from: rail, into: stile, thickness: 5, depth: 12}
  back: {kind: dowels, from: block, into: [stile, plate], thickness: 8, length: 30, count: 1}
gluing:
  adhesive: slow epoxy
  stages:
    - {title: Stiles, pieces: [SL, SR, BL, BR, P]}
    - {title: Rail, pieces: [R], uses: [Stiles]}
"""


def test_a_rail_between_two_mitres_that_lie_the_same_way(tmp_path: Path) -> None:
    path = tmp_path / "build.yaml"
    path.write_text(BRACKET, "utf-8")
    work = checked(str(path), None).work
    assert work is not None
    stage = work.stages[-1]
    assert stage.order.outcome is Outcome.FOUND
    move = stage.order.closings[-1]
    ways = {move.toward, move.also}
    assert ways in ({(0, True), (2, True)}, {(0, False), (2, False)})
    assert way_words(move).endswith("at once, on a slant of 45°")
    assert list(faults(work)) == []


def test_a_rail_between_two_mitres_that_fall_as_it_goes_right(tmp_path: Path) -> None:
    """The bracket seen in a mirror: to the right and down, or to the left and up, both equally far."""
    mirrored = BRACKET
    for old, new in (
        ("SL: {x: 0, y: 0, z: 0}", "SL: {x: 0, y: 0, z: 0 - 150}"),
        ("SR: {x: 250, y: 0, z: 0 - 150}", "SR: {x: 250, y: 0, z: 0}"),
        ("BL: {x: 15, y: 20, z: 100}", "BL: {x: 15, y: 20, z: 0 - 100}"),
        ("BR: {x: 265, y: 20, z: 0 - 100}", "BR: {x: 265, y: 20, z: 100}"),
    ):
        assert old in mirrored
        mirrored = mirrored.replace(old, new)
    path = tmp_path / "build.yaml"
    path.write_text(mirrored, "utf-8")
    work = checked(str(path), None).work
    assert work is not None
    assert work.stages[-1].order.outcome is Outcome.FOUND
    move = work.stages[-1].order.closings[-1]
    assert {move.toward, move.also} in ({(0, True), (2, False)}, {(0, False), (2, True)})
    assert list(faults(work)) == []


def test_one_that_lies_the_other_way_leaves_no_slant(tmp_path: Path) -> None:
    """Both stiles stand up: the mitres lie opposite ways, and the rail comes from below."""
    path = tmp_path / "build.yaml"
    path.write_text(BRACKET.replace("SR: {x: 250, y: 0, z: 0 - 150}", "SR: {x: 250, y: 0, z: 0}"), "utf-8")
    work = checked(str(path), None).work
    assert work is not None
    move = work.stages[-1].order.closings[-1]
    assert move.also is None and (set(move.what), move.toward) in (({"R"}, (2, True)), ({"Stiles"}, (2, False)))
    assert list(faults(work)) == []


def half(solid: Solid, low: int, high: int) -> Solid:
    """What of a solid lies between two places along y."""
    (a, b, c), (d, e, f) = solid.body.lo, solid.body.hi
    return Solid(
        Box((a, max(b, low), c), (d, min(e, high), f)),
        tuple(
            Box((p, max(q, low), r), (s, min(t, high), u))
            for add in solid.adds
            for (p, q, r), (s, t, u) in [(add.lo, add.hi)]
        ),
        solid.cuts,
    )


@pytest.mark.parametrize("lid", [False, True])
def test_two_that_hold_each_other_turn_a_corner_as_one(lid: bool) -> None:
    """The tongue of `hook` is sawn in two along its length and dowelled across: in the slot the halves cannot part. So
    both are dropped in as one and slid along under the lips, by 17 to 18; a lid over the open place leaves no way. The
    block moved the other way is the same."""
    block, tongue, gate = hook()
    lids = [Solid(Box((2, 0, 13), (10, 12, 14)))] if lid else []
    things = [[block, gate, *lids], [half(tongue, 0, 6)], [half(tongue, 6, 12)]]
    links = [Link(1, 0, 1), Link(2, 0, 2), Link(3, 1, 2, bars=(0, 2), along=1)]
    found = straight_order(things, links)
    barred: list[set[tuple[int, Way]]] = [
        set(),
        *({(other, (axis, high)) for axis in (0, 2) for high in (False, True)} for other in (2, 1)),
    ]
    turns = {(turn.part, turn.way, turn.then): turn.short for turn in Corners(things, barred).parts(0b111)}
    if lid:
        assert found.locked == (0, 1, 2) and not turns  # one half alone would shift aside and lift out
        return
    assert set(turns) == {(0b110, (0, False), (2, True)), (0b001, (0, True), (2, False))}
    (turned,) = [move for move in found.chains[0] if move.first is not None]
    assert (set(turned.what), turned.first, turned.toward) in (
        ({1, 2}, (2, False), (0, True)),
        ({0}, (2, True), (0, False)),
    )
    assert 17 <= turned.short <= 18
