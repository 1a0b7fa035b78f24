"""What the sheets say of tapers, worked out by hand for the table with tapered legs."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import shapely
from shapely import affinity

from shopdocs.blocks.sheets import Labels
from shopdocs.blocks.text import plain
from shopdocs.blocks.walk import walk
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.job import Job
from shopdocs.documents.own_cuts import cut_lines
from shopdocs.documents.tapers import nesting_lines
from shopdocs.model.joining import Face
from shopdocs.model.parts import Axis
from shopdocs.work.scene.nesting import nested_breadth
from shopdocs.work.space.placed import Cuboid, FeatureKind, Flare
from tests.sample_jobs import BY_NAME, document_of, job_of, sample_job


def job() -> Job:
    return sample_job(BY_NAME["sorting_table"], "mm")


def test_the_line_of_a_taper() -> None:
    """The legs are 900 - 24 = 876 long; the taper begins 110 + 40 = 150 under their top, 726 over the floor, and takes
    48 - 28 = 20 off: 726 / 20 = 36.3, and the angle whose tangent is 20 / 726 = 0.027548 is 0.027541 radians, 1.578
    degrees."""
    said = [plain(line) for line in cut_lines(job(), ["FL", "BR"])]
    tapers = [line for line in said if line.startswith("Leg taper")]
    assert len(tapers) == 1
    assert (
        "on the back face and the far edge, from 48 mm square at 726 mm from end A to 28 mm square at end A"
        in tapers[0]
    )
    assert "; each 1 in 36.3, 1.58°" in tapers[0]


def test_a_taper_of_opposite_faces_is_told_by_the_size_between_them(tmp_path: Path) -> None:
    """A leg of 48 that is 28 at its foot loses 10 on each of two opposite faces over 300, 1 in 30, and 20 on the far
    edge alone, 1 in 15."""
    path = tmp_path / "b.yaml"
    path.write_text(LEG, "utf-8")
    said = [plain(line).partition(". ")[0] for line in cut_lines(job_of(path))]
    sizes = "from 48 mm at 300 mm from end A to 28 mm at end A"
    assert said == [
        f"Foot, L1: tapers on the face side and the back face, {sizes}; each 1 in 30.0, 1.91°",
        f"Foot, L1: tapers on the far edge, {sizes}; 1 in 15.0, 3.81°",
    ]


LEG = """
build: {title: Trial, mark: T, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 65}}
parts:
  leg: {material: oak, size: 48 x 48 x 400, runs: {length: z, width: x}, pieces: {L1: {x: 0, y: 0, z: 0}}}
cuts:
  foot:
    kind: taper
    to: 28
    on:
      - {piece: leg, face: face, along: 300 to 0}
      - {piece: leg, face: back, along: 300 to 0}
      - {piece: leg, face: far edge, along: 300 to 0}
"""


def test_shoulders_above_the_taper() -> None:
    """The aprons meet the legs where these still have their full 48: 1100 - 2 x 40 - 2 x 48 = 924 from shoulder to
    shoulder, and 560 - 80 - 96 = 384."""
    lengths = {part.name: part.length.float_mm() for part in job().build.parts}
    assert (lengths["long apron"], lengths["short apron"]) == (924, 384)


def test_a_tapered_leg_does_not_pass_upside_down() -> None:
    """The narrow end would leave a gap of 48 - 28 = 20 less what the taper has come back over 110 of apron, 3, at the
    shoulder, which nobody overlooks; a square leg with mortises at both ends would go in.

    Turned a quarter it does go in, out of line. The short apron's tenon lies 16 to 24 from the outside of the leg and
    enters 13. The mortise for the long apron lies 16 to 24 from the front in the face beside, at the same height and
    22 deep; with that face turned to the rear what was the front looks inward, and the mortise lies 16 to 24 from the
    inside, 48 - 24 = 24 to 32 from the outside. So the leg sits 8 too far out: the left one to the left, the right one
    to the right. It still covers the shoulder, 8 to 32 from where the outside belongs, for it reaches to 48 - 8 = 40;
    the taper begins 40 under the apron. Neither piece of that end stops it; the frame does: the long apron's tenon
    then meets the straight outer face, where there is no mortise."""
    fitting = job().alike.fitting
    for mark, stage, out in (("FL", {"BL", "AL"}, -8), ("FR", {"BR", "AR"}, 8)):
        found = fitting.misfits(mark, [stage, {"AF"}])
        assert [(one.way.words, one.way.out, one.found) for one in found] == [("a quarter turn", (0, Length(out)), 1)]


def test_a_tapered_leg_in_the_place_of_its_mirror_image() -> None:
    """BL has its deep mortise in the right face, 16 to 24 from the back, and its shallow one in the front face, 16 to
    24 from the left. Turned a quarter, the right face to the front and the front face to the left, it stands in BR's
    place with both where BR's lie, 16 to 24 from the right and from the back, its two tapered faces inward: in line.
    The tenon of the short apron, 13, enters the deep one; that of the long apron, 22, does not enter the shallow one,
    13 and what is left for glue: the frame, the third stage, finds it. BL as it lies would be found there too, but it
    is out of line; and upside down it would leave a gap of 20 at the shoulder, for its foot is 28."""
    alike = job().alike
    assert alike is not None
    swap = alike.swap("BL", "BR")
    assert swap is not None
    body = alike.space.pieces["BL"].pose
    faces = {body.look_of(face): face for face in (Face.FACE, Face.BACK, Face.EDGE, Face.FAR_EDGE)}
    left, right, front, back = faces[0, False], faces[0, True], faces[1, False], faces[1, True]
    # each face where the next one's was, seen from above with the hands of a clock
    assert set(swap.changes) == {(right, front), (front, left), (left, back), (back, right)}
    assert (swap.stage, swap.found) == (2, 3)


def test_two_legs_from_one_blank() -> None:
    """Head to foot, with one cut along the taper carried on to both ends: at the middle of the leg, 438 from its foot,
    that line is 28 + 438 x 20 / 726 = 40.066 over the straight face, and twice that is 80.13; the kerf of the sample's
    shop is on top. Side by side they would take 96 and the kerf."""
    kerf = job().shop.kerf.float_mm()
    (told,) = [plain(line) for line in nesting_lines(job())]
    assert told.startswith("FL  FR  BL  BR: any two can be sawn from one blank, head to foot")
    broad, apart = (float(part) for part in re.findall(r"is ≈?([\d.]+) mm with the kerf, not ≈?([\d.]+) mm", told)[0])
    assert broad == pytest.approx(80.13 + kerf, abs=0.5)
    assert apart == pytest.approx(96 + kerf, abs=0.5)


@pytest.mark.parametrize(
    ("long", "wide", "foot", "begins"), [(876, 48, 28, 726), (600, 40, 15, 600), (700, 45, 20, 300)]
)
def test_nested_pieces_touch_and_no_more(long: int, wide: int, foot: int, begins: int) -> None:
    """By shapely: the outline and itself turned half round about the middle of the blank share no area in a blank of
    this breadth, and do in one a tenth of a millimetre less. Convex outlines that do not overlap are parted by a
    straight line."""
    size = (Length(long), Length(wide), Length(wide))
    flare = Flare(Axis.LENGTH, Face.EDGE, Length(begins), only=Face.B)
    lo, hi = (ZERO, Length(foot), ZERO), (Length(begins), Length(wide), Length(wide))
    broad = nested_breadth(size, 1, [Cuboid(FeatureKind.TAPER, lo, hi, False, "cut:t", flare)], ZERO)
    assert broad is not None
    outline = shapely.Polygon([(0, 0), (long, 0), (long, wide), (begins, wide), (0, foot)])
    for breadth, overlaps in ((broad.float_mm(), False), (broad.float_mm() - 0.1, True)):
        other = affinity.rotate(outline, 180, origin=(long / 2, breadth / 2))
        assert (outline.intersection(other).area > 0.5) == overlaps


def test_the_label_says_which_faces_taper() -> None:
    """Both inner faces; an apron does not taper."""
    (sheet,) = [block for block in walk(document_of(job(), "labels").blocks) if isinstance(block, Labels)]
    told = {label.mark: " ".join(label.sizes) for label in sheet.labels}
    for mark in ("FL", "FR", "BL", "BR"):
        assert "tapers: back face, far edge" in told[mark]
    assert "taper" not in told["AF"]
