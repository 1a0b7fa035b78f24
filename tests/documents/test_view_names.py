"""Names of views on piece drawings: no line and no other words run through them (common practice, no source)."""

from __future__ import annotations

from itertools import combinations, pairwise
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import CentreMark, Circle, Drawing, Line, Point, Polygon, Words
from shopdocs.core.display import Units
from shopdocs.core.length import ZERO
from shopdocs.documents.drawn.notes import Ground
from shopdocs.documents.job import Job
from shopdocs.page.typeface import width
from tests.drawn_sheets import sheet_of, worked_sheets
from tests.sample_jobs import SAMPLES, job_of, sample_job

NAMES = ("face side", "face edge", "back face", "far edge", "end A", "end B", "both ends")
MM = 25.4 / 72


def drawings(job: Job) -> list[Drawing]:
    return [sheet.drawing("-") for sheet in worked_sheets(job)]


def crossed(drawing: Drawing) -> list[str]:
    """Names that a straight line of the drawing runs through; sizes from the typeface itself."""
    assert drawing.scale is not None
    scale = drawing.scale

    def paper(point: Point) -> tuple[float, float]:
        return float(point[0].mm * scale), float(point[1].mm * scale)

    lines: list[tuple[Point, Point]] = []
    for shape in drawing.shapes:
        if isinstance(shape, Line):
            lines.append((shape.start, shape.end))
        elif isinstance(shape, Polygon):
            lines += pairwise(shape.points)
        elif isinstance(shape, (Circle, CentreMark)):
            (x, y), r = shape.centre, shape.radius if isinstance(shape, Circle) else shape.reach
            lines += [((x - r, y), (x + r, y)), ((x, y - r), (x, y + r))]
    found = []
    for words in drawing.shapes:
        if not isinstance(words, Words) or not words.text.startswith(NAMES):
            continue
        wide = width(words.text, "regular", words.size_pt) * MM
        x, y = paper(words.at)
        x, y = x + words.dx_mm, y + words.dy_mm
        left = x if words.anchor == "left" else x - wide if words.anchor == "right" else x - wide / 2
        high = words.size_pt * MM * 0.45  # from the middle of capitals up to ascenders and down to descenders
        for one, two in lines:
            # sampled, so that the check shares no geometry with what it checks
            (a, b), (c, d) = paper(one), paper(two)
            steps = max(2, int(max(abs(c - a), abs(d - b)) / 0.1))
            for k in range(steps + 1):
                px, py = a + (c - a) * k / steps, b + (d - b) * k / steps
                if left < px < left + wide and y - high < py < y + high:
                    found.append(words.text)
                    break
    return found


@pytest.mark.thorough
@pytest.mark.parametrize("units", ["in", "mm"])
@pytest.mark.parametrize("folder", [s for s in SAMPLES if s.name != "seed_tote"], ids=lambda folder: folder.name)
def test_no_line_runs_through_the_name_of_a_view(folder: Path, units: Units) -> None:
    found = {drawing.width: crossed(drawing) for drawing in drawings(sample_job(folder, units))}
    assert not any(found.values())


HOLES = """
build: {title: Board, mark: B, units: mm}
materials: {ash: {kind: hardwood, rough: 40}}
parts: {board: {material: ash, size: 20 x 300 x 1000, pieces: [A1]}}
hardware:
  pins:
    holes: [{bit: 6, depth: through}]
    on: [{piece: A1, face: face, along: [AT], across: 60}]
"""


@pytest.mark.parametrize("at", ["30", "30, 100", "30, 100, 170", "40, 500, 960"])
def test_a_name_moves_away_from_centre_lines(tmp_path: Path, at: str) -> None:
    (tmp_path / "build.yaml").write_text(HOLES.replace("AT", at))
    (drawing,) = drawings(job_of(tmp_path / "build.yaml"))
    assert crossed(drawing) == []
    assert "face side" in {words.text.split(",")[0] for words in drawing.shapes if isinstance(words, Words)}


def boxes(drawing: Drawing) -> list[tuple[str, float, float, float, float]]:
    """Words of a drawing with what they take of the paper, by the widths of the typeface."""
    assert drawing.scale is not None
    found = []
    for words in drawing.shapes:
        if isinstance(words, Words):
            wide = width(words.text, "bold" if words.strong else "regular", words.size_pt) * MM
            high = words.size_pt * MM * 0.33
            x, y = (float(value.mm * drawing.scale) for value in words.at)
            before = {"left": 0.0, "centre": wide / 2, "right": wide}[words.anchor]
            if words.angle == 90:
                found.append((words.text, x - high, y - before, x + high, y - before + wide))
            else:
                x, y = x + words.dx_mm - before, y + words.dy_mm
                found.append((words.text, x, y - high, x + wide, y + high))
    return found


@pytest.mark.thorough
@pytest.mark.parametrize("units", ["in", "mm"])
@pytest.mark.parametrize("folder", [s for s in SAMPLES if s.name != "seed_tote"], ids=lambda folder: folder.name)
def test_no_figures_stand_on_each_other(folder: Path, units: Units) -> None:
    """Running figures of the face side and of an end stand beside each other in one row."""
    for drawing in drawings(sample_job(folder, units)):
        for (one, a, b, c, d), (two, e, f, g, h) in combinations(boxes(drawing), 2):
            assert not (a < g and e < c and b < h and f < d), (one, two)


def test_a_name_that_finds_no_room_keeps_its_usual_place(tmp_path: Path) -> None:
    """The whole paper is taken by one block of words, so no step away from it is free."""
    (tmp_path / "build.yaml").write_text(HOLES.replace("AT", "30"))
    sheet = sheet_of(job_of(tmp_path / "build.yaml"), "A1")
    usual = Words((ZERO, ZERO), "face side", 9.0)
    everywhere = Ground(((-10_000.0, -10_000.0, 10_000.0, 10_000.0),), ())
    assert sheet._clear_of(everywhere, usual) == usual
    assert sheet._clear_of(Ground((), ()), usual) == usual
