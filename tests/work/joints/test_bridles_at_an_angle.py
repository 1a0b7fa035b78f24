"""Bridles of pieces that meet at an angle, against manifold3d and worked out by hand."""

from __future__ import annotations

import math
import random
from pathlib import Path

import manifold3d
import pytest

from shopdocs.core.problems import Problem, Severity
from shopdocs.model.joint_names import FeatureKind
from shopdocs.pipeline import check_build
from shopdocs.work.computed import Computed
from shopdocs.work.order.closing import link_of
from shopdocs.work.order.straight import straight_order
from shopdocs.work.space.let_in import marked_side, off_square
from shopdocs.work.space.placed import Cuboid
from shopdocs.work.space.wrong_ways import Fitting
from tests.examples import some
from tests.work.joints.test_laps_at_an_angle import turned
from tests.work.space.test_tipping import mesh_of, read


def a_frame(
    wide: tuple[float, float] = (70, 70),
    thick: tuple[float, float] = (40, 40),
    splay: tuple[float, float] = (15, 15),
    at: tuple[float, float] = (300, 300),
    rear: float = 0,
    high: tuple[float, float] = (800, 800),
    sizes: str = ", thickness: 14",
) -> str:
    """Two legs that lean to each other and lie over each other at their tops; the second stands `rear` farther back."""
    legs = "".join(
        f"""
  leg {mark}:
    material: ash
    thickness: {thick[k]:g}
    width: {wide[k]:g}
    runs: {{length: z, width: x}}
    pieces:
      {mark}: {{x: centred on {at[k]:g}, y: {k * rear:g}, z: 0 to {high[k]:g},
        lean: {{splay: {splay[k]:g} {("left", "right")[k]}}}}}"""
        for k, mark in enumerate("LR")
    )
    return f"""
build: {{title: Trial, mark: T, units: mm}}
materials: {{ash: {{kind: hardwood, rough: 60}}}}
parts:{legs}
joints:
  apex: {{kind: bridle, from: leg L, into: leg R{sizes}}}
"""


TRESTLE = """
build: {title: Trial, mark: T, units: mm}
materials: {ash: {kind: hardwood, rough: 60}}
parts:
  beam:
    material: ash
    thickness: 45
    width: 90
    runs: {length: x, width: z}
    pieces: {B: {x: SPAN, y: 0, z: 500 to 590}}
  leg:
    material: ash
    thickness: 45
    width: 70
    runs: {length: z, width: x}
    pieces:
      L: {x: centred on 200, y: 0, z: 0 to B.top, lean: {splay: 12}}
      R: {mirror: L across x at 500}
joints:
  heads: {kind: bridle, MEET, thickness: 15}
"""
ASTRIDE = TRESTLE.replace("SPAN", "0 to 1000").replace("MEET", "from: beam, into: leg")
CORNERED = TRESTLE.replace("SPAN", "L.left to R.right").replace("MEET", "from: leg, into: beam")


def cuts_of(work: Computed, mark: str, kind: FeatureKind) -> list[Cuboid]:
    return [one for one in work.space.pieces[mark].cuboids if one.kind is kind]


def problems_of(tmp_path: Path, text: str) -> list[Problem]:
    path = tmp_path / "b.yaml"
    path.write_text(text, "utf-8")
    build, shop, problems = check_build(str(path))
    assert build is not None and shop is not None
    return list(problems)


def test_the_top_of_an_a_by_hand(tmp_path: Path) -> None:
    """Two legs of 70 x 40 that splay 15 degrees, their middles on one point of the level top, 800 up. Both tops are the
    same line, 70 / cos 15 = 72.4693 long; their inner edges meet 72.4693 / (2 tan 15) = 135.2296 below it. What they
    share is a triangle of 72.4693 x 135.2296 / 2 = 4900 square millimetres, glued on both cheeks: 9800. Its two long
    sides are 135.2296 / cos 15 = 140 long, and lie 30 degrees off the length of the other leg.

    A leg is 800 / cos 15 = 828.2210 long in its middle and 70 tan 15 = 18.7564 longer from long point to long point:
    846.9774. Its inner edge ends at the short point, 18.7564 before the long one at end B, so that the shoulder begins
    there at 846.9774 - 140 = 706.9774 on the inner edge, whose top is the long point, and ends on the outer edge at the
    short point, 846.9774 - 18.7564 = 828.2210."""
    _, work = read(tmp_path, a_frame())
    cheeks, (mouth,) = cuts_of(work, "L", FeatureKind.CHEEK_CUT), cuts_of(work, "R", FeatureKind.SLOT)
    assert [(one.lo[2].float_mm(), one.hi[2].float_mm()) for one in cheeks] == [(0, 13), (27, 40)]
    assert (mouth.lo[2].float_mm(), mouth.hi[2].float_mm()) == (13, 27)
    for cut in (*cheeks, mouth):
        low, high = sorted(marked_side(cut))
        inner = {0.0, 70.0} - {high[1].float_mm()}
        assert low[0].float_mm() == pytest.approx(706.9774, abs=0.002)
        assert {low[1].float_mm()} == inner
        assert high[0].float_mm() == pytest.approx(828.2210, abs=0.002)
        assert off_square(cut) == pytest.approx(60, abs=0.001)
    (made,) = work.space.joinery.values()
    assert float(made.glue_area) == pytest.approx(9800, abs=0.1)
    assert made.added.mm == 0
    scene, ticks = work.space.scene, work.space.scene.ticks.per_mm
    one, two = (mesh_of(scene.solids[scene.index(mark)], ticks) for mark in "LR")
    # along its middle 828.2210 x 70 x 40 = 2319018.8; two cheek cuts 13 deep, one mortise 14 wide
    assert one.volume() == pytest.approx(2319018.8 - 2 * 13 * 4900, rel=1e-5)
    assert two.volume() == pytest.approx(2319018.8 - 14 * 4900, rel=1e-5)
    assert (one ^ two).volume() < 1
    row = next(row for group in work.groups for row in group.rows)
    assert row.joinery.length.float_mm() == pytest.approx(846.9774, abs=0.001)


def test_a_third_is_taken_where_no_thickness_is_written(tmp_path: Path) -> None:
    """A third of 40 to the nearest millimetre is 13; it lies in the middle, from 13.5 on."""
    _, work = read(tmp_path, a_frame(sizes=""))
    (mouth,) = cuts_of(work, "R", FeatureKind.SLOT)
    assert (mouth.lo[2].float_mm(), mouth.hi[2].float_mm()) == (13.5, 26.5)


@pytest.mark.parametrize("seed", range(some(8)))
def test_bridles_against_a_mesh(tmp_path: Path, seed: int) -> None:
    """Two boxes turned, cut off level and bridled by manifold3d alone: over what both lie in the first keeps its
    middle, the second what is beside that, and so does a horn of it that stands out past the first. Flat tops that are
    one, or stand beside each other so that they overlap."""
    rnd = random.Random(seed)
    a, b = (rnd.randint(40, 90) for _ in range(2))
    c, d = (rnd.randint(10, 35) for _ in range(2))
    one, two = rnd.choice([(30, 30), (36, 36), (28, 40)])
    tenon = rnd.choice([8, 10, 12])
    rear = -(two - one) / 2
    apart = rnd.choice([0, 0, 10])
    text = a_frame((a, b), (one, two), (c, d), (300, 300 + apart), rear, sizes=f", thickness: {tenon}")
    path = tmp_path / "b.yaml"
    path.write_text(text, "utf-8")
    build, shop, problems = check_build(str(path))
    told = {p.code for p in problems if p.severity is Severity.ERROR}
    # at the top the second leg must not stand out past the outer side of the first: half its width there, b / cos d,
    # less half that of the first and what they stand apart; what stands out is a triangle, and less than 1 mm² is none
    out = b / math.cos(math.radians(d)) / 2 - a / math.cos(math.radians(c)) / 2 - apart
    past = max(out, 0) ** 2 / 2 / (math.tan(math.radians(c)) + math.tan(math.radians(d)))
    far = out * math.cos(math.radians(c))
    assert told == ({"bridle-not-at-the-end"} if far > 25 else set())
    if told:
        return
    assert [p.code for p in problems].count("bridle-horn") == (past >= 1)
    work = Computed(build, shop)
    legs = [turned(a, one, 300, 0, -c, 800), turned(b, two, 300 + apart, rear, d, 800)]
    middle = manifold3d.Manifold.cube([4000, tenon, 4000]).translate([-2000, (one - tenon) / 2, -1000])
    column = manifold3d.Manifold.cube([4000, 200, 4000]).translate([-2000, -100, -1000])
    over = [turned(w, 400, x, -200, s, 800) ^ column for w, x, s in ((a, 300, -c), (b, 300 + apart, d))]
    shared = over[0] ^ over[1]
    # the mortise is sawn from the end of the second leg down to the inner side of the first
    away = math.cos(math.radians(c)), 0.0, -math.sin(math.radians(c))
    floor = away[0] * 300 + away[2] * 800 + a / 2
    open_end = legs[1].trim_by_plane([-v for v in away], -floor)
    wanted = [legs[0] - (shared - middle), legs[1] - (open_end ^ middle)]
    scene = work.space.scene
    for mark, mesh in zip("LR", wanted, strict=True):
        own = mesh_of(scene.solids[scene.index(mark)], scene.ticks.per_mm)
        assert (own - mesh).volume() + (mesh - own).volume() < 1e-5 * mesh.volume()
    pair = work.space.contacts.between("L", "R")
    assert pair is not None
    assert pair.overlap == 0
    (made,) = work.space.joinery.values()
    assert float(made.glue_area) == pytest.approx(2 * shared.volume() / 200, rel=1e-3)


def test_a_leg_that_leans_astride_a_beam_by_hand(tmp_path: Path) -> None:
    """Legs 70 wide that splay 12 degrees, sawn level with the top of a beam 90 high: on the beam a leg takes
    70 / cos 12 = 71.5638 along, and its notch leans 90 tan 12 = 19.1301 from edge to edge. On the leg the open mortise
    is 90 / cos 12 = 92.0106 deep along both edges; its floor lies 12 degrees off square."""
    _, work = read(tmp_path, ASTRIDE)
    (mouth,) = cuts_of(work, "L", FeatureKind.SLOT)
    assert off_square(mouth) == pytest.approx(12, abs=0.001)
    assert {spot[1].float_mm() for spot in marked_side(mouth)} == {0, 70}
    # end B is off square by 70 tan 12 = 14.8790, as the floor is
    low, high = sorted(spot[0].float_mm() for spot in marked_side(mouth))
    assert high - low == pytest.approx(14.8790, abs=0.002)
    assert work.space.pieces["L"].length.float_mm() - high == pytest.approx(92.0106, abs=0.002)
    cheeks = cuts_of(work, "B", FeatureKind.CHEEK_CUT)
    assert len(cheeks) == 4
    for cut in cheeks:
        assert off_square(cut) == pytest.approx(12, abs=0.001)
        runs = [abs((s.end[0] - s.start[0]).float_mm()) for s in cut.flare.waste if s.start[1] == s.end[1]]
        assert runs == pytest.approx([71.5638] * 2, abs=0.003)
        assert cut.hi[2] - cut.lo[2] == cheeks[0].hi[2] - cheeks[0].lo[2]
    for made in work.space.joinery.values():
        assert float(made.glue_area) == pytest.approx(2 * 71.5638 * 90, abs=0.5)


def test_it_goes_astride_along_itself_and_no_other_way(tmp_path: Path) -> None:
    """Drawn off along its own length a leg clears the beam; along the beam, across it or upward it runs into it. So it
    goes on from below, though straight down it would bind."""
    build, work = read(tmp_path, ASTRIDE)
    scene, ticks = work.space.scene, work.space.scene.ticks.per_mm
    beam, leg = (mesh_of(scene.solids[scene.index(mark)], ticks) for mark in "BL")
    s, c = math.sin(math.radians(12)), math.cos(math.radians(12))
    for far in (5, 40, 90, 200):
        assert (leg.translate([-far * s, 0, -far * c]) ^ beam).volume() < 5
    for way in ([5, 0, 0], [-5, 0, 0], [0, 5, 0], [0, -5, 0], [0, 0, 5], [0, 0, -5]):
        assert (leg.translate(way) ^ beam).volume() > 100
    index = {"B": 0, "L": 1, "R": 2}
    links = [link_of(joint, meeting, index, work.space) for joint, meeting in build.meetings()]
    found = straight_order([[scene.solids[scene.index(mark)]] for mark in index], links)
    assert found.locked == ()
    moves = [(move.what, move.toward) for chain in found.chains for move in chain if move.onto]
    assert moves == [((1,), (2, True)), ((2,), (2, True))]


def test_the_corner_of_an_a_goes_straight_into_the_mouth(tmp_path: Path) -> None:
    """Drawn off to its own side, square to the middle line of the A, a leg clears the other; to the other side, up, and
    out of the plane it does not."""
    build, work = read(tmp_path, a_frame())
    scene, ticks = work.space.scene, work.space.scene.ticks.per_mm
    left, right = (mesh_of(scene.solids[scene.index(mark)], ticks) for mark in "LR")
    for far in (5, 30, 100):
        assert (left.translate([-far, 0, 0]) ^ right).volume() < 5
    for way in ([5, 0, 0], [0, 5, 0], [0, -5, 0]):
        assert (left.translate(way) ^ right).volume() > 100
    links = [link_of(joint, meeting, {"L": 0, "R": 1}, work.space) for joint, meeting in build.meetings()]
    found = straight_order([[scene.solids[scene.index(mark)]] for mark in "LR"], links)
    ((start, move),) = found.chains
    assert (start.what, move.what, move.toward) in {((0,), (1,), (0, False)), ((1,), (0,), (0, True))}


def test_a_short_horn_does_not_shut_the_mouth(tmp_path: Path) -> None:
    """A leg of 60 into one of 75, both splayed 15 degrees: at the level top the second stands out half of 15 / cos 15 =
    7.76 past the first, 7.76 cos 15 = 7.5 square to it. The mortise runs out there, too."""
    _, work = read(tmp_path, a_frame(wide=(60, 75)))
    told = [p for p in problems_of(tmp_path, a_frame(wide=(60, 75))) if p.code == "bridle-horn"]
    assert [p.severity for p in told] == [Severity.WARNING]
    assert "R runs on about 7.5 mm past L" in told[0].wrong
    scene, ticks = work.space.scene, work.space.scene.ticks.per_mm
    left, right = (mesh_of(scene.solids[scene.index(mark)], ticks) for mark in "LR")
    for far in (5, 30, 100):
        assert (left.translate([-far, 0, 0]) ^ right).volume() < 5
    (made,) = work.space.joinery.values()
    assert (made.stops, made.frees) == ((), ())


@pytest.mark.parametrize("text", [a_frame(), ASTRIDE, CORNERED])
def test_no_leg_goes_in_turned_over(tmp_path: Path, text: str) -> None:
    """Turned over in any way the shoulder of a leg, or its floor, slopes the other way: it cannot go home."""
    _, work = read(tmp_path, text)
    fitting = Fitting(work.space.contacts)
    for mark in "LR":
        assert fitting.misfits(mark, [list(work.space.pieces)]) == ()


@pytest.mark.parametrize("meet", ["from: leg, into: beam", "from: beam, into: leg"])
def test_the_ends_of_a_level_beam_are_sawn_to_its_legs(tmp_path: Path, meet: str) -> None:
    """By hand: 45 below their tops, the middle of the beam, the legs' middles stand at 200 - 45 tan 12 = 190.4349, and
    their outer sides 35 / cos 12 = 35.7819 farther out, at 154.6530: the beam is 1000 - 2 x 154.6530 = 690.6940 long in
    its middle, and 90 tan 12 = 19.1301 longer from long point to long point: 709.8241. What is struck is the shoulder,
    and not the sawn end."""
    build, work = read(tmp_path, CORNERED.replace("from: leg, into: beam", meet))
    assert build.part("beam").length.float_mm() == pytest.approx(709.8241, abs=0.002)
    cuts = [one for one in work.space.pieces["B"].cuboids if one.slant is not None]
    # the inner side of a leg crosses the beam 71.5638 from its sawn end
    for cut in cuts:
        near_a = cut.lo[0].float_mm() < 300
        ends = sorted(spot[0].float_mm() for spot in marked_side(cut))
        wanted = [71.5638, 71.5638 + 19.1301] if near_a else [709.8241 - 71.5638 - 19.1301, 709.8241 - 71.5638]
        assert ends == pytest.approx(wanted, abs=0.003)
    scene, ticks = work.space.scene, work.space.scene.ticks.per_mm
    beam, left, right = (mesh_of(scene.solids[scene.index(mark)], ticks) for mark in "BLR")
    assert (beam ^ left).volume() < 5
    assert (beam ^ right).volume() < 5


@pytest.mark.parametrize(
    ("text", "code", "words"),
    [
        # the tops lie 150 above the place where the middles cross, so that each runs on past the other
        (
            a_frame(at=(300 + 150 * math.tan(math.radians(15)), 300 - 150 * math.tan(math.radians(15)))),
            "bridle-not-at-the-end",
            "R runs on",
        ),
        (
            a_frame(thick=(44, 40), sizes=", thickness: 14"),
            "wider-than-its-mate",
            "L is 44 mm thick there, R only 40 mm",
        ),
        (a_frame(thick=(30, 40), rear=5, sizes=", thickness: 10"), "hangs-over", "L stands 5 mm past R"),
        (a_frame(sizes=", thickness: 14, length: 70"), "bridle-length", "its length is written"),
        (a_frame(sizes=", thickness: 14, proud: 2"), "bridle-length", "what stands proud is written"),
        (
            a_frame(at=(300, 500)).replace("from: leg L, into: leg R", "pieces: [L into R]"),
            "not-touching",
            "L does not lie over R",
        ),
        (a_frame(splay=(6, 6)), "lean-steep", "L and R meet at 12.0°"),
        (a_frame(sizes=", thickness: 44"), "tenon-too-thick", "the tenon is 44 mm thick, L only 40 mm"),
    ],
)
def test_what_cannot_be_bridled(tmp_path: Path, text: str, code: str, words: str) -> None:
    (found,) = [p for p in problems_of(tmp_path, text) if p.code == code]
    assert words in found.wrong
    assert found.severity is Severity.ERROR


def test_a_leg_that_ends_at_a_beam_is_to_be_astride_it(tmp_path: Path) -> None:
    """The beam runs on past both legs, and takes no open mortise; the legs end at its top, and can."""
    text = ASTRIDE.replace("from: beam, into: leg", "from: leg, into: beam")
    found = [p for p in problems_of(tmp_path, text) if p.code == "bridle-not-at-the-end"]
    assert [p.right.split(";")[0] for p in found] == [
        f"swap from and into, so that {mark}, which ends there, is astride B" for mark in "LR"
    ]
    assert [p.code for p in problems_of(tmp_path, text) if p.code == "no-order"] == []  # mended, they go together
    assert [p for p in problems_of(tmp_path, ASTRIDE) if p.severity is Severity.ERROR or p.code == "no-order"] == []


def test_a_leg_that_ends_inside_the_other_is_told(tmp_path: Path) -> None:
    """The beam ends 50 short of the outside of its legs: its open mortise is filled, but the legs' is not."""
    text = ASTRIDE.replace("0 to 1000", "L.left + 50 to R.right - 50")
    found = [p for p in problems_of(tmp_path, text) if p.code == "bridle-short"]
    assert found
    assert {p.severity for p in found} == {Severity.WARNING}
    assert "B ends inside L" in found[0].wrong


STEPS = """
build: {title: Trial, mark: T, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 38}}
parts:
  front stile:
    material: oak
    thickness: 30
    width: 60
    runs: {length: z, width: y}
    pieces:
      FL: {x: 0, y: centred on 300, z: 0 to 900, lean: {rake: 20 front}}
      FR: {mirror: FL across x at 250}
  back stile:
    material: oak
    thickness: 30
    width: 50
    runs: {length: z, width: y}
    pieces:
      BL: {x: 0, y: centred on 300, z: 0 to 900, lean: {rake: 14 rear}}
      BR: {mirror: BL across x at 250}
  rail:
    material: oak
    thickness: 20
    width: 60
    runs: {length: x, width: z}
    pieces:
      RF: {x: FL.right to FR.left, y: centred on FL, z: centred on 300, tilt: 20 front}
      RB: {x: BL.right to BR.left, y: centred on BL, z: centred on 300, tilt: 14 rear}
joints:
  tops: {kind: bridle, from: back stile, into: front stile, thickness: 10}
  rails: {kind: mortise and tenon, from: rail, into: [front stile, back stile], thickness: 7, length: 18}
"""


def test_a_frame_turned_over_meets_its_fellow_nowhere(tmp_path: Path) -> None:
    """Turned over as a whole, the tops of a frame lie where no mortise is: all see that, and it is not told."""
    _, work = read(tmp_path, STEPS)
    fitting = Fitting(work.space.contacts)
    front, back = ["FL", "FR", "RF"], ["BL", "BR", "RB"]
    assert list(fitting.whole_misfits(front, front, [back])) == []
    assert list(fitting.whole_misfits(back, back, [front])) == []
