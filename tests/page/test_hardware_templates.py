"""Templates of hardware by patterns, read back from the finished PDF by its vectors and by pixels; what must be
there by hand."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pypdfium2 as pdfium
import pytest

from shopdocs.blocks.drawing import FullScale
from shopdocs.blocks.sheets import Document
from shopdocs.documents.templates import templates
from tests.page import paper_sample as sample
from tests.page.test_page_true_scale import MM, circles, page_streams, segments
from tests.sample_jobs import job_of
from tests.values import replace

SAMPLES = Path(__file__).parents[2] / "sample_builds"
NEAR = 0.02  # millimetres
PIXEL = 0.05  # millimetres, a little more than a pixel of 600 dpi


def printed(blocks: list[FullScale], which: str, number: int = 0) -> str:
    """The vectors of one template on a page of its own."""
    block = replace([block for block in blocks if block.anchor == which][number], thumbnail=None)
    return page_streams(sample.pdf_bytes(sample.composed((Document("t", "T", "", (block,)),), "a4")))[0]


def sheets(path: Path) -> list[FullScale]:
    return [block for block in templates(job_of(path)).blocks if isinstance(block, FullScale)]


def heavy_sides(stream: str, x: float, y: float) -> tuple[list[float], list[float]]:
    """Where the upright and the level heavy lines have their outer sides, seen from a hole at (x, y): half their width
    of 0.7 mm beyond their middle."""
    heavy = [(a, b, c, d) for w, a, b, c, d in segments(stream) if abs(w - 0.7) < 0.01]
    upright = [a for a, _, c, _ in heavy if abs(c - a) < NEAR]
    level = [b for _, b, _, d in heavy if abs(d - b) < NEAR]
    return [a + (0.35 if a > x else -0.35) for a in upright], [b + (0.35 if b > y else -0.35) for b in level]


def edges(stream: str, length: float) -> list[tuple[float, float, float, float]]:
    """Strokes of this length, from the lower left end on."""
    ends = [(min(a, c), min(b, d), max(a, c), max(b, d)) for _, a, b, c, d in segments(stream)]
    return [end for end in ends if abs(max(end[2] - end[0], end[3] - end[1]) - length) < NEAR]


@pytest.mark.parametrize(
    ("which", "first", "up", "leaf"),
    # from end A to the first screw and from the edge one gauges from, both in the build of the cabinet: the leaf's
    # screws are 19 apart, 70 up the stile (end A at z 2) and so 72 up the side (end A at z 0); 5 from the stile's face
    # edge at x 0, and 5 from the side's face side there. The leaf is 50 x 10, its screws begin 6 from its end.
    [("template-DL-back", 51.0, 5.0, 10.0), ("template-L-edge", 53.0, 5.0, 10.0)],
)
def test_the_leaves_of_a_hinge_lie_over_each_other(which: str, first: float, up: float, leaf: float) -> None:
    stream = printed(sheets(SAMPLES / "spice_cabinet" / "build.yaml"), which)
    holes = sorted(circles(stream))
    assert len(holes) == 3
    (end,), level = heavy_sides(stream, *holes[0][:2])
    for k, (x, y, radius) in enumerate(holes):
        assert x - end == pytest.approx(first + 19 * k, abs=NEAR)
        assert abs(y - level[0]) == pytest.approx(up, abs=NEAR)
        assert radius == pytest.approx(0.75, abs=NEAR)  # a bit of 1.5 for a screw of 2.5
    sides = [x0 for x0, _, x1, _ in edges(stream, leaf) if abs(x1 - x0) < NEAR]
    assert any(holes[0][0] - x == pytest.approx(6, abs=NEAR) for x in sides)
    assert any(x - holes[2][0] == pytest.approx(6, abs=NEAR) for x in sides)
    back = [y0 for x0, y0, x1, y1 in edges(stream, 50.0) if abs(y1 - y0) < NEAR]
    assert any(abs(y - holes[0][1]) == pytest.approx(5, abs=NEAR) for y in back)


BUILD = """
build: {title: Rail and top, mark: R, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 34}}
parts:
  top: {material: oak, size: 24 x 300 x 500, runs: {length: x, width: y}, pieces: {T: {x: 0, y: 0, z: 400}}}
  rail: {material: oak, size: 25 x 80 x 400, runs: {length: x, width: z}, pieces: {R: {x: 50, y: 20, z: to T.bottom}}}
hardware:
  pull: {pattern: bar pull, with: {spacing: 96}, on: [{piece: R, face: face, along: 120, across: 40}]}
  plate:
    pattern: two-ring plate
    with: {ring: 16, plate: 2.5, reach: 18, screw: 4 x 16 mm}
    on: [{piece: R, face: edge, along: 40, across: 20, meets: T}]
"""


def test_a_pull_and_both_rings_of_a_plate(tmp_path: Path) -> None:
    (tmp_path / "build.yaml").write_text(BUILD, "utf-8")
    blocks = sheets(tmp_path / "build.yaml")
    pull = sorted(circles(printed(blocks, "template-R-face")))
    (x0, y0, _), (x1, y1, _) = pull
    assert max(abs(x1 - x0), abs(y1 - y0)) == pytest.approx(96, abs=NEAR)  # the spacing that was measured
    assert min(abs(x1 - x0), abs(y1 - y0)) == pytest.approx(0, abs=NEAR)
    ring = max(circles(printed(blocks, "template-R-edge")), key=lambda circle: circle[2])
    assert ring[2] == pytest.approx(8, abs=NEAR)
    # the screw under the top: 90 from its end A, 20 + 20 + 18 from its face edge, both heavy lines of its template
    stream = printed(blocks, "template-T-back")
    (screw,) = circles(stream)
    (end,), (level,) = heavy_sides(stream, *screw[:2])
    assert abs(screw[0] - end) == pytest.approx(90, abs=NEAR)
    assert abs(screw[1] - level) == pytest.approx(58, abs=NEAR)


class Raster:
    """A page in black and white at 600 dpi (a pixel is 0.042 mm), measured without its vectors; those only say near
    where to look."""

    def __init__(self, blocks: list[FullScale], which: str) -> None:
        block = replace(next(block for block in blocks if block.anchor == which), thumbnail=None)
        data = sample.pdf_bytes(sample.composed((Document("t", "T", "", (block,)),), "a4"))
        page = pdfium.PdfDocument(data)[0]
        pixels = page.render(scale=600 / 72, grayscale=True).to_numpy()
        self.dark = pixels.reshape(pixels.shape[:2]) < 128
        self.high = page.get_height() * MM
        self.per_y, self.per_x = self.high / self.dark.shape[0], page.get_width() * MM / self.dark.shape[1]
        self.stream = page_streams(data)[0]

    def window(self, x0: float, y0: float, x1: float, y1: float) -> tuple[np.ndarray, np.ndarray]:
        """Where the black pixels between two corners lie, in millimetres."""
        top, left = int((self.high - y1) / self.per_y), int(x0 / self.per_x)
        part = self.dark[top : int((self.high - y0) / self.per_y) + 1, left : int(x1 / self.per_x) + 1]
        rows, columns = np.nonzero(part)
        return (columns + left + 0.5) * self.per_x, self.high - (rows + top + 0.5) * self.per_y

    def holes(self) -> list[tuple[float, float, float]]:
        """Middles and radii of the circles' black, without the crosses in them."""
        found = []
        for x, y, radius in circles(self.stream):
            px, py = self.window(x - radius - 0.5, y - radius - 0.5, x + radius + 0.5, y + radius + 0.5)
            ring = (abs(np.hypot(px - x, py - y) - radius) < 0.3) & (abs(px - x) > 0.3) & (abs(py - y) > 0.3)
            px, py = px[ring], py[ring]
            x, y = (px.min() + px.max()) / 2, (py.min() + py.max()) / 2
            found.append((float(x), float(y), float(np.hypot(px - x, py - y).mean())))
        return sorted(found)

    def from_heavy(self, x: float, y: float) -> tuple[float, float]:
        """How far a hole lies from the outer sides of the upright and of the level heavy line: from their inner sides,
        where no lip is hatched, and 0.7 mm more."""
        (end,), (level,) = heavy_sides(self.stream, x, y)
        steps = [way * k * 0.7 for k in range(4, 16) for way in (1, -1)]
        upright = [self.window(end - 1, y + by, end + 1, y + by + 0.1)[0] for by in steps]
        lying = [self.window(x + by, level - 1, x + by + 0.1, level + 1)[1] for by in steps]
        ends = [abs(black - x).min() for black in upright if len(black)]
        levels = [abs(black - y).min() for black in lying if len(black)]
        half = (self.per_x + self.per_y) / 4  # from the middle of a pixel to its side
        return float(np.median(ends)) - half + 0.7, float(np.median(levels)) - half + 0.7


def test_a_pull_and_both_rings_of_a_plate_in_a_raster(tmp_path: Path) -> None:
    """The same figures by hand as above, from pixels alone, within 0.05 mm; then both pieces laid over each other as
    they stand: the rail begins 50 right of the top's end A and 20 behind its edge, the plate reaches 18 farther."""
    (tmp_path / "build.yaml").write_text(BUILD, "utf-8")
    blocks = sheets(tmp_path / "build.yaml")
    (x0, y0, _), (x1, y1, _) = Raster(blocks, "template-R-face").holes()
    assert np.hypot(x1 - x0, y1 - y0) == pytest.approx(96, abs=PIXEL)
    rail, top = Raster(blocks, "template-R-edge"), Raster(blocks, "template-T-back")
    ring = max(rail.holes(), key=lambda hole: hole[2])
    (screw,) = top.holes()
    assert ring[2] == pytest.approx(8, abs=PIXEL)
    along, across = rail.from_heavy(*ring[:2])
    assert (along, across) == pytest.approx((40, 20), abs=PIXEL)
    mate_along, mate_across = top.from_heavy(*screw[:2])
    assert (mate_along - along, mate_across - across) == pytest.approx((50, 20 + 18), abs=2 * PIXEL)
