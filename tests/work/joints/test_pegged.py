"""Rails between pieces that lean, on dowels, loose tenons and tenons: against vectors turned here, and by hand."""

from __future__ import annotations

import math
import random
from pathlib import Path

import numpy as np
import pytest

from shopdocs.core.problems import Severity
from shopdocs.documents.catalogue import make_documents
from shopdocs.model.joining import Face
from shopdocs.pipeline import check_build
from shopdocs.work.computed import Computed
from shopdocs.work.space.placed import Bore, Cuboid
from tests.examples import some
from tests.sample_jobs import job_of
from tests.work.holes.test_slanting import frame

TABLE = """
build: {{title: Trial, mark: T, units: mm}}
materials: {{ash: {{kind: hardwood, rough: 80}}}}
parts:
  leg:
    material: ash
    thickness: {thick}
    width: {wide}
    runs: {{length: z, width: x}}
    pieces:
      FL: {{x: centred on 80, y: centred on 80, z: 0 to S.bottom, lean: {{splay: {splay}, rake: {rake}}}}}
      FR: {{mirror: FL across x at 300}}
      BL: {{mirror: FL across y at 200}}
      BR: {{mirror: FR across y at 200}}
  front:
    material: ash
    thickness: 20
    width: {high}
    runs: {{length: x, width: z}}
    pieces:
      AF: {{x: FL.right to FR.left, y: centred on {front}, z: centred on {level}{tilt}}}
      AB: {{mirror: AF across y at 200}}
  side:
    material: ash
    thickness: 20
    width: {high}
    runs: {{length: y, width: z}}
    pieces:
      AL: {{x: centred on (FL.left + FL.right) / 2, y: FL.back to BL.front, z: centred on {level}}}
      AR: {{mirror: AL across x at 300}}
  seat:
    material: ash
    size: 30 x 400 x 600
    strips: 4
    runs: {{length: x, width: y}}
    pieces: {{S: {{x: 0, y: 0, z: 420}}}}
joints:
  legs: {{kind: round tenon, from: leg, into: seat, thickness: 20, length: 20}}
  fronts: {{{fronts}, from: front, into: leg}}
  sides: {{{sides}, from: side, into: leg}}
{more}
"""
DOWELS = "kind: dowels, thickness: 8, depth: 16, count: 2"
LOOSE = "kind: loose tenon, thickness: 8, width: 30, length: 24"
TENON = "kind: mortise and tenon, thickness: 8, width: 30, length: 14"


def computed(tmp_path: Path, **given: object) -> Computed:
    usual: dict[str, object] = dict(thick=50, wide=50, splay=8, rake=6, high=60, front=72, level=370, tilt="", more="")
    path = tmp_path / "build.yaml"
    path.write_text(TABLE.format(**usual | {"fronts": DOWELS, "sides": LOOSE} | given), "utf-8")
    build, shop, problems = check_build(str(path))
    assert build is not None and shop is not None
    assert [each for each in problems if each.severity is Severity.ERROR] == []
    return Computed(build, shop)


def of_leg(work: Computed, mark: str, spot: np.ndarray) -> np.ndarray:
    """A place of a leg in the build, by matrices made here: from the middle of its top down its own axes."""
    assert work.space is not None
    piece = work.space.pieces[mark]
    left, near = mark[1] == "L", mark[0] == "F"
    lean = piece.lean  # type: ignore[attr-defined]
    matrix = frame(float(lean.right), float(lean.rear))
    top = np.array([80 if left else 520, 80 if near else 320, 420.0])
    wide, thick = piece.width.float_mm(), piece.thickness.float_mm()
    past = (abs(matrix[2, 0]) * wide + abs(matrix[2, 1]) * thick) / 2 / matrix[2, 2]
    along, across, deep = spot
    x, y = (across - wide / 2), (deep - thick / 2)
    sense = [1.0 if toward.forward else -1.0 for toward in piece.pose.axes]
    assert sense[0] == 1.0
    return top + matrix @ np.array([sense[1] * x, sense[2] * y, along - 420 / matrix[2, 2] - past])


def of_rail(work: Computed, mark: str, spot: np.ndarray) -> np.ndarray:
    """A place of a rail in the build: about the middle line of its length, turned by its tilt."""
    assert work.space is not None
    piece = work.space.pieces[mark]
    axis = piece.pose.build_axis(0)
    part, place = next((part, one.place) for part, one in work.build.pieces() if one.mark == mark)
    assert place is not None and part.runs is not None
    size = {part.runs.length: part.length, part.runs.width: part.width, part.runs.thickness: part.thickness}
    extent = [size[direction].float_mm() for direction in ("x", "y", "z")]  # type: ignore[index]
    middle = np.array([a.float_mm() + b / 2 for a, b in zip(place.corner, extent, strict=True)])
    found = np.zeros(3)
    for value, whole, toward in zip(spot, piece.size, piece.pose.axes, strict=True):
        found[toward.index] = (value - whole.float_mm() / 2) * (1 if toward.forward else -1)
    turn = math.atan(float(place.tilt.slope)) if place.tilt is not None else 0.0
    c, s = math.cos(turn), math.sin(turn)
    if place.tilt is not None:  # above zero what looks up goes to the front
        assert axis == 0
        found = np.array([[1, 0, 0], [0, c, -s], [0, s, c]]) @ found
    return middle + found


def millimetres(spot: tuple[object, ...]) -> np.ndarray:
    return np.array([value.float_mm() for value in spot])  # type: ignore[attr-defined]


@pytest.mark.parametrize("seed", range(some(12)))
def test_both_halves_lie_on_one_line_along_the_rail(seed: int, tmp_path: Path) -> None:
    """Every hole and every mortise in a leg begins where its fellow in the rail does, in the very line of that, which
    is the line of the rail; the mouth lies on the face of the leg."""
    rnd = random.Random(seed)
    kinds = [DOWELS, LOOSE]
    rnd.shuffle(kinds)
    work = computed(
        tmp_path,
        splay=rnd.randint(3, 12),
        rake=rnd.randint(3, 12),
        thick=rnd.randint(48, 60),
        wide=rnd.randint(48, 60),
        level=rnd.randint(340, 370),
        front=rnd.randint(68, 76),
        tilt=f", tilt: {rnd.randint(2, 10)} {rnd.choice(('front', 'rear'))}" if rnd.random() < 0.5 else "",
        fronts=kinds[0],
        sides=kinds[1],
    )
    assert work.space is not None
    assert not [pair for pair in work.space.contacts.pairs if pair.overlap]
    count = 0
    for joint, meeting in work.build.meetings():
        if joint.name == "legs":
            continue
        made, leg, rail = work.space.joinery[meeting.number], meeting.receiving, meeting.entering
        axis = work.space.pieces[rail].pose.build_axis(0)
        for mine, theirs in zip(made.entering, made.receiving, strict=True):
            assert type(mine) is type(theirs) is (Bore if joint.kind.value == "dowels" else Cuboid)
            one, two = (feature.slant for feature in (mine, theirs))
            assert one is not None and two is not None
            here, there = (millimetres(slant.centre) for slant in (one, two))
            assert of_rail(work, rail, here) == pytest.approx(of_leg(work, leg, there), abs=0.006)
            into = of_leg(work, leg, there + np.array(two.way)) - of_leg(work, leg, there)
            out = of_rail(work, rail, here + np.array(one.way)) - of_rail(work, rail, here)
            assert into == pytest.approx(-out, abs=1e-6)
            assert abs(into[axis]) == pytest.approx(1, abs=1e-9)
            k = 1 if two.face in (Face.EDGE, Face.FAR_EDGE) else 2
            assert there[k] in (0.0, work.space.pieces[leg].size[k].float_mm())
            if isinstance(theirs, Cuboid):  # its thickness lies as that of the rail
                across = of_leg(work, leg, there + np.array(two.across)) - of_leg(work, leg, there)
                own = of_rail(work, rail, here + np.array([0, 0, 1.0])) - of_rail(work, rail, here)
                assert abs(across @ own) == pytest.approx(1, abs=1e-9)
            count += 1
    assert count == 12  # four ends on two dowels, four on one loose tenon


def test_an_apron_tipped_as_its_legs_rake_by_hand(tmp_path: Path) -> None:
    """Legs splay and rake by 8 degrees; the apron is tipped by 8 degrees and lies in the plane of their front faces,
    which leans 8 degrees. In that plane a leg leans atan(tan 8 cos 8) = 7.9231 degrees: so much off square is the
    shoulder, by the face alone, square through the thickness; and so is the mortise in the leg, which lies along it. A
    rail square to a leg that leans p in the plane of the rail has its shoulder off square by p (general geometry)."""
    work = computed(tmp_path, splay=8, rake=8, tilt=", tilt: 8 rear", fronts=TENON)
    cuts = [cut for cut in work.build.cuts if cut.name == "shoulder of front"]
    off = math.degrees(math.atan(math.tan(math.radians(8)) * math.cos(math.radians(8))))
    assert off == pytest.approx(7.9231, abs=1e-4)
    for cut in cuts:
        assert cut.angle is not None and cut.tilt is None and cut.skew is None
        assert cut.angle.degrees == pytest.approx(off, abs=1e-4)
        assert {place.second for place in cut.on} <= {Face.EDGE, Face.FAR_EDGE}
    assert sum(len(cut.on) for cut in cuts) == 4
    assert work.space is not None
    slants = [cuboid.slant for cuboid in work.space.pieces["FL"].cuboids]
    (slant,) = [one for one in slants if one is not None and one.face is Face.FAR_EDGE]
    assert math.degrees(math.acos(abs(slant.way[1]))) == pytest.approx(off, abs=1e-4)
    assert abs(slant.way[2]) < 1e-9 and abs(slant.across[2]) == pytest.approx(1, abs=1e-9)


def test_the_length_between_shoulders_of_a_tipped_apron_by_hand(tmp_path: Path) -> None:
    """Legs of 50 x 50 splay 1 in 8 alone, their middles 440 apart at a height of 420. The apron's middle, 370 up, lies
    50 lower, where each has gone 50/8 = 6.25 outward: 452.5. Level through a leg it is 50 * sqrt(1 + 1/64) = 50.3891:
    402.1109 on the middle line. It is 60 wide and tipped by 10 degrees, so that its width stands 60 cos 10 = 59.088
    high, and its thickness 20 sin 10 = 3.473: its lowest arris lies (59.088 + 3.473) / 2 below its middle line and is
    longer by an eighth of that at each end, 7.8201 in all: 409.931 from long point to long point."""
    work = computed(tmp_path, splay="1 in 8", rake=0, tilt=", tilt: 10 rear", front=80, fronts=TENON)
    assert work.build.part("front").length.float_mm() == pytest.approx(409.931, abs=0.002)


@pytest.mark.parametrize("seed", range(some(8)))
def test_shoulders_of_tipped_aprons_lie_on_their_legs(seed: int, tmp_path: Path) -> None:
    """The four corners of a sawn end, as its end cut takes them off, turned into the build and back into the leg: all
    in the face that it meets. And no wood is shared."""
    rnd = random.Random(seed)
    tilt = f", tilt: {rnd.randint(2, 12)} {rnd.choice(('front', 'rear'))}"
    lean: dict[str, object] = {"splay": rnd.randint(3, 12), "rake": rnd.randint(3, 12)}
    work = computed(tmp_path, tilt=tilt, fronts=rnd.choice((DOWELS, LOOSE, TENON)), **lean)
    assert work.space is not None
    assert not [pair for pair in work.space.contacts.pairs if pair.overlap]
    for apron, legs in (("AF", ("FL", "FR")), ("AB", ("BL", "BR"))):
        ends = [cut for cut in work.build.cuts if cut.name == "shoulder of front" for on in cut.on if on.piece == apron]
        assert ends
        for leg in legs:
            made = next(m for _, m in work.build.meetings() if (m.entering, m.receiving) == (apron, leg))
            assert made.end is not None
            high = made.end.value == "B"
            (cut, place) = next(
                (cut, on) for cut in ends for on in cut.on if on.piece == apron and on.face.value == made.end.value
            )
            piece = work.space.pieces[apron]
            corners = []
            for across in (0.0, 60.0):
                for deep in (0.0, 20.0):
                    off = 0.0
                    skew = cut.skew.float_mm() if cut.skew else 0.0
                    for short, fall in ((place.second, cut.depth.float_mm() - skew), (place.third, skew)):  # type: ignore[union-attr]
                        sides = {Face.FAR_EDGE: across / 60, Face.EDGE: 1 - across / 60}
                        sides |= {Face.BACK: deep / 20, Face.FACE: 1 - deep / 20}
                        off += fall * sides[short] if short is not None else 0.0
                    long = piece.length.float_mm()
                    corners.append(of_rail(work, apron, np.array([long - off if high else off, across, deep])))
            start = of_leg(work, leg, np.zeros(3))
            axes = np.column_stack([of_leg(work, leg, unit) - start for unit in np.eye(3)])
            there = [axes.T @ (corner - start) for corner in corners]
            level = 0.0 if there[0][1] < 25 else 50.0
            assert [spot[1] for spot in there] == pytest.approx([level] * 4, abs=0.01)


STAGES = """
gluing:
  adhesive: slow epoxy
  stages:
    - {title: Front, pieces: [FL, AF, FR], clamps: {bar clamp 80 cm: 2}}
    - {title: Rear, pieces: [BL, AB, BR], clamps: {bar clamp 80 cm: 2}}
    - {title: Frame, pieces: [AL, AR], uses: [Front, Rear], clamps: {bar clamp 80 cm: 2}}
"""


@pytest.mark.thorough
def test_the_frame_goes_together_along_its_rails(tmp_path: Path) -> None:
    """Dowels run along the apron: one leg after the other goes on from its own side, then both frames from front and
    rear; and the sheets say so."""
    path = tmp_path / "build.yaml"
    given = dict(thick=50, wide=50, splay=8, rake=6, high=60, front=72, level=370, tilt="", more=STAGES)
    text = TABLE.format(**given, fronts=DOWELS, sides=LOOSE).replace("  legs: {kind: round tenon", "  # legs: {kind:")
    path.write_text(text, "utf-8")
    job = job_of(path)
    (sheet,) = [one for one in make_documents(job) if one.name == "glue-up"]
    said = repr(sheet.blocks)
    assert "FR against AF, from the right" in said
    assert "Rear against AL and AR, from the rear" in said
    assert "No straight order" not in said


def test_what_is_refused_names_what_can_be(tmp_path: Path) -> None:
    path = tmp_path / "build.yaml"
    given = dict(thick=50, wide=50, splay=8, rake=6, high=60, front=72, level=370, tilt="", more="")
    path.write_text(TABLE.format(**given, fronts="kind: housing, depth: 8", sides=LOOSE), "utf-8")
    told = [each for each in check_build(str(path))[2] if each.code == "lean-joint"]
    assert told
    assert "a housing cannot join AF and FL, which meet at an angle" in told[0].wrong
    assert "dowels" in told[0].right and "a loose tenon" in told[0].right
