"""End cuts off square and the angles to set for them: against charts of compound settings as saws' manuals print them,
against vectors, and read back from paper."""

from __future__ import annotations

import math
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import FullScale
from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Paragraph, Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.angle import Angle, tilt_on_edge
from shopdocs.documents.angles import angles
from shopdocs.documents.catalogue import make_documents
from shopdocs.documents.job import Job
from shopdocs.documents.own_cuts import cut_lines
from shopdocs.page.compose import compose
from shopdocs.page.items import Line
from shopdocs.page.paper import paper
from shopdocs.pipeline.checking import checked
from tests.sample_jobs import BY_NAME, document_of, job_of, sample_job

# Compound angle setting chart of power-saw operator manuals, pitch of the side counted from flat (read in a secondary
# page, a scan): pitch, number of sides, mitre setting, bevel setting, both off square.
PRINTED = [
    (85, 4, 4.98, 44.78), (80, 4, 9.85, 44.14), (70, 4, 18.88, 41.64), (60, 4, 26.57, 37.76), (45, 4, 35.26, 30.0),
    (30, 4, 40.89, 20.7), (85, 5, 3.62, 35.84), (70, 5, 13.95, 33.53), (70, 6, 11.17, 28.02), (45, 6, 22.21, 20.7),
    (50, 8, 14.91, 17.05), (45, 8, 16.32, 15.7), (20, 8, 21.27, 7.52),
]  # fmt: skip

BUILD = """
build: {title: Trial, mark: T, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 34}}
parts:
  side: {material: oak, size: 12 x 80 x 300, runs: {length: x, width: z}, pieces: {S1: {x: 0, y: 0, z: 0}}}
  post: {material: oak, size: 22 x 70 x 900, runs: {length: z, width: y}, pieces: {P1: {x: 0, y: 200, z: 0}, \
P2: {x: 90, y: 200, z: 0}}}
cuts:
  corner: {kind: end cut, angle: %s, tilt: %s, on: [{piece: side, edge: B and far edge and back}]}
  foot: {kind: end cut, angle: 1 in 8, on: [{piece: post, edge: A and edge}]}
  head: {kind: end cut, angle: 15, on: [{piece: post, edge: B and back}]}
"""


@cache
def trial(folder: Path, angle: str = "31.62", tilt: str = "33.86") -> Job:
    folder.mkdir(exist_ok=True)
    path = folder / "trial.yaml"
    path.write_text(BUILD % (angle, tilt), "utf-8")
    return job_of(path)


@pytest.mark.parametrize(("pitch", "sides", "mitre", "bevel"), PRINTED)
def test_printed_settings_close_the_corner(pitch: int, sides: int, mitre: float, bevel: float, tmp_path: Path) -> None:
    """Sides leaning out from plumb by 90 less their pitch, sawn as the chart says: the cut then lies in the upright
    plane through the corner, at 180 over the number of sides to square. Here with vectors: the board's length along x,
    its width up the slope, its thickness square to both."""
    path = tmp_path / "trial.yaml"
    path.write_text(BUILD % (mitre, bevel), "utf-8")
    work = checked(str(path), None).work
    assert work is not None and work.space is not None
    scene = work.space.scene
    (slope,) = scene.pieces[scene.index("S1")].own_solid(scene.ticks).slopes
    ((x, width, thickness), _) = slope.planes()[0]
    lean = math.radians(90 - pitch)
    # shorter at its top and inside, where its back is: the sides lean in at the top. With y outward and z up, the width
    # runs along (0, -sin, cos) and the thickness inward and down, along (0, -cos, -sin)
    outward = -width * math.sin(lean) - thickness * math.cos(lean)
    upward = width * math.cos(lean) - thickness * math.sin(lean)
    assert upward == pytest.approx(0, abs=2e-4)
    assert math.degrees(math.atan(abs(outward / x))) == pytest.approx(180 / sides, abs=0.02)


@pytest.mark.parametrize(("pitch", "sides", "mitre", "bevel"), PRINTED)
def test_the_line_on_the_edge(pitch: int, sides: int, mitre: float, bevel: float) -> None:
    """From the corner's plane, x = tan(180 / N) (y sin(lean) + z cos(lean)): on the square edge of the board it shows
    the angle whose tangent is tan(180 / N) cos(lean). Both settings of the chart are rounded to 0.01 degrees."""
    wanted = math.degrees(math.atan(math.tan(math.pi / sides) * math.cos(math.radians(90 - pitch))))
    found = tilt_on_edge(Angle.of_degrees(Fraction(str(mitre))), Angle.of_degrees(Fraction(str(bevel))))
    assert found.degrees == pytest.approx(wanted, abs=0.02)


def test_angles_by_hand() -> None:
    """45 degrees is 1 in 1, exactly; 1 in 8 is 7.125 degrees, as tables of dovetails print it (7.1)."""
    assert Angle.of_degrees(45).tangent == 1
    assert Angle.of_slope(Fraction(8)).degrees == pytest.approx(7.125, abs=0.0005)
    with pytest.raises(ValueError, match="no angle"):
        Angle.of_degrees(90)
    with pytest.raises(ValueError, match="no slope"):
        Angle.of_slope(Fraction(0))


def test_what_the_cut_list_says(tmp_path: Path) -> None:
    """The foot: 70 wide at 1 in 8 is 8.75 shorter; the head: 22 x tan 15 = 5.895; both to 1/2 mm at most here."""
    said = [plain(line) for line in cut_lines(trial(tmp_path))]
    (foot,) = [line for line in said if line.startswith("Foot")]
    assert "end A sawn 7.13° off square across the face, 1 in 8; shorter at the face edge by ≈9 mm" in foot
    (head,) = [line for line in said if line.startswith("Head")]
    assert "end B sawn 15° off square through the thickness, 1 in 3.73; shorter at the back face by ≈6 mm" in head
    (corner,) = [line for line in said if line.startswith("Corner")]
    assert "31.62° off square across the face, the blade tilted 33.86° from upright" in corner
    assert "on the edges it shows 38.24° off square" in corner  # as in a table of cornice mouldings, 52/38 laid flat


def test_every_angle_stands_once_with_its_uses(tmp_path: Path) -> None:
    document = next(one for one in make_documents(trial(tmp_path), ("angles",)) if one.name == "angles")
    (table,) = [block for block in walk(document.blocks) if isinstance(block, Table)]
    rows = [[plain(cell.text) for cell in row.cells] for row in table.groups[0].rows]
    assert [row[1] for row in rows] == ["38.24", "33.86", "31.62", "15", "7.13"]
    for row in rows:
        assert float(row[1]) + float(row[2]) == pytest.approx(90)
        # both are rounded to two places
        assert math.tan(math.radians(float(row[1]))) == pytest.approx(1 / float(row[3]), rel=0.01)
    assert rows[3][4:] == ["line across the edge", "P1  P2", "2"]
    assert rows[1][4] == "blade tilt"


def test_only_compound_cuts_are_told_how_to_knife_them(tmp_path: Path) -> None:
    """The drawers of the potting table have dovetails, and no blade is tilted for these."""

    def how_to(document: Document) -> str:
        return next(plain(block.text) for block in document.blocks if isinstance(block, Paragraph))

    assert "compound cut" in how_to(angles(trial(tmp_path)))
    tails = how_to(document_of(sample_job(BY_NAME["potting_table"], "mm"), "angles"))
    assert "compound" not in tails and "tilt" not in tails


def test_angles_that_no_bevel_tells_apart_are_one_setting(tmp_path: Path) -> None:
    """14.96 and 15 degrees: over 100 mm of blade they are 0.07 mm apart; half-way is 14.98. At 14.9 they are a tenth of
    a degree apart, and two."""
    one, two = (angles(trial(tmp_path / each, each)) for each in ("14.96", "14.9"))
    (table,) = [block for block in walk(one.blocks) if isinstance(block, Table)]
    rows = [[plain(cell.text) for cell in row.cells] for row in table.groups[0].rows]
    joined = [row for row in rows if "mitre" not in row[4] and row[4].endswith(("14.96°", "15°"))]
    assert [row[4] for row in joined] == ["line across the edge, 15°", "compound cut, line on the face, 14.96°"]
    assert joined[0][1] == "14.98" and joined[1][1] == ""
    (table,) = [block for block in walk(two.blocks) if isinstance(block, Table)]
    assert {"15", "14.9"} <= {plain(row.cells[1].text) for row in table.groups[0].rows}
    said = [plain(block.text) for block in one.blocks if isinstance(block, Paragraph)]
    assert any("0.05° apart are one setting" in words for words in said)


@pytest.mark.parametrize("key", ["letter", "a4"])
def test_figures_are_true_on_paper(key: str, tmp_path: Path) -> None:
    """The slanting line against the heavy one, as they are laid out, in every figure."""
    job = trial(tmp_path)
    document = next(one for one in make_documents(job, ("angles",)) if one.name == "angles")
    count = sum(isinstance(block, FullScale) for block in walk(document.blocks))
    found = []
    for frame in compose((document,), job.imprint, paper(key)).frames:
        lines = [item for item in frame.items if isinstance(item, Line)]
        heavy = [line for line in lines if line.width > 1.5]
        for edge in heavy:
            edge_way = math.degrees(math.atan2(edge.y1 - edge.y0, edge.x1 - edge.x0))
            for line in lines:
                way = math.degrees(math.atan2(line.y1 - line.y0, line.x1 - line.x0))
                off = abs((way - edge_way + 90) % 180 - 90)
                if 1 < off < 89 and math.dist((line.x0, line.y0), _nearest(edge, line)) < 1.5:
                    found.append(90 - off)
    assert len(found) == count == 5
    wanted = [38.24, 33.86, 31.62, 15.0, 7.125]
    assert sorted(found, reverse=True) == pytest.approx(wanted, abs=0.01)


def _nearest(edge: Line, line: Line) -> tuple[float, float]:
    """The foot of the perpendicular from where a line starts to another."""
    dx, dy = edge.x1 - edge.x0, edge.y1 - edge.y0
    part = ((line.x0 - edge.x0) * dx + (line.y0 - edge.y0) * dy) / (dx * dx + dy * dy)
    return edge.x0 + dx * min(max(part, 0), 1), edge.y0 + dy * min(max(part, 0), 1)


DRAWER = """
build: {title: Drawer, mark: D, units: mm}
materials: {oak: {kind: hardwood, rough: 27}}
parts:
  side: {material: oak, size: 14 x 90 x 300, runs: {length: y, width: z}, pieces: {SL: {x: 0, y: 20, z: 0}}}
  front: {material: oak, size: 20 x 90 x 400, runs: {length: x, width: z}, pieces: {DF: {x: 0, y: 0, z: 0}}}
joints: {corners: {kind: dovetail, from: side, into: front, length: 15, slope: 1 in 8, count: 3}}
"""


def test_the_slope_of_dovetails_is_set_as_well(tmp_path: Path) -> None:
    """1 in 8 is atan(1/8) = 7.12502 degrees; three tails have six sides."""
    (tmp_path / "build.yaml").write_text(DRAWER, "utf-8")
    sheet = angles(job_of(tmp_path / "build.yaml"))
    (table,) = [block for block in sheet.blocks if isinstance(block, Table)]
    rows = [[plain(cell.text) for cell in row.cells] for group in table.groups for row in group.rows]
    assert rows == [["1", "7.13", "82.87", "8", "sides of dovetail tails, the stock on the end", "SL", "6"]]


@pytest.mark.parametrize(("sides", "degrees"), [(4, "45"), (5, "36"), (6, "30"), (8, "22.5"), (12, "15")])
def test_mitres_by_the_number_of_sides(tmp_path: Path, sides: int, degrees: str) -> None:
    """Half of what two sides of a regular polygon turn: 360 / n / 2."""
    text = BOARD % f"{{kind: end cut, angle: {sides} sides, on: [{{piece: S, edge: A and far edge}}]}}"
    (tmp_path / "build.yaml").write_text(text, "utf-8")
    sheet = angles(job_of(tmp_path / "build.yaml"))
    (table,) = [block for block in sheet.blocks if isinstance(block, Table)]
    assert plain(table.groups[0].rows[0].cells[1].text) == degrees


BOARD = """
build: {title: Frame, mark: F, units: mm}
materials: {oak: {kind: hardwood, rough: 27}}
parts: {side: {material: oak, size: 20 x 60 x 400, pieces: [S]}}
cuts: {mitres: %s}
"""
