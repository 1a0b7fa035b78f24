"""No leader of a piece drawing runs over a cut, a hole or an addition that it does not name, nor past a row of cuts
alike so that one asks which is meant. Judged by shapely on the shapes as they are drawn, in millimetres of paper.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import shapely

from shopdocs.blocks.drawing import Leader
from shopdocs.core.display import Units
from shopdocs.documents.drawn.piece_drawing import PieceSheet
from shopdocs.documents.drawn.sizing import sized
from shopdocs.documents.job import Job
from shopdocs.documents.piece_drawings import _pairs, _Unit, drawn_groups
from shopdocs.model.joining import Face
from shopdocs.work.space.placed import Spot
from tests.documents.test_notes import job_of
from tests.sample_jobs import BY_NAME, PLACED, sample_job

INSIDE_MM = 0.15  # a leader that only touches the border of a cut does not run over it


def sheets(job: Job) -> Iterator[PieceSheet]:
    worked = [group for group in drawn_groups(job) if group.pieces[0].features]
    drawn = [_Unit(job, pair).drawn for pair in _pairs(job, worked)]
    for size in sized(drawn, job.display):
        yield from (size.sheet, *size.larger[:1])


def features(sheet: PieceSheet) -> Iterator[tuple[str, shapely.Polygon]]:
    """What is cut, bored and added, with the name that stands for its joint on this drawing."""
    scale, views = sheet.scale, sheet.views

    def at(face: Face, spot: Spot) -> tuple[float, float]:
        view = views.long.get(face) or views.ends.get(face) or views.base
        x, y = view.place(spot)
        return x.float_mm(scale), y.float_mm(scale)

    for shown in sheet.gauged.shown:
        if shown.cuboid.adds and any(shown.hi[k] - shown.lo[k] >= sheet.piece.size[k] for k in (0, 1)):
            continue  # all along a side: the way out of the wood leads over it
        (a, b), (c, d) = (at(shown.face, (s[0], s[1], s[2])) for s in (shown.lo, shown.hi))
        box = shapely.box(min(a, c), min(b, d), max(a, c), max(b, d))
        yield sheet.marked.names.get(shown.cuboid.joint, ""), box
    for bore in sheet.piece.bores:
        x, y = at(bore.face, bore.centre)
        yield sheet.marked.names.get(bore.joint, ""), shapely.Point(x, y).buffer(bore.diameter.float_mm(scale) / 2)


def leaders(sheet: PieceSheet) -> Iterator[tuple[str, shapely.LineString, shapely.Point]]:
    for shape in sheet.shapes:
        if isinstance(shape, Leader):
            ends = [(p[0].float_mm(sheet.scale), p[1].float_mm(sheet.scale)) for p in (shape.tip, shape.at)]
            yield shape.text, shapely.LineString(ends), shapely.Point(ends[0])


def named(words: str) -> set[str]:
    """The joints that a note names; "18, 20 … 28 from end A: 7/16 deep" stands for every other number as well."""
    head = words.split(": ")[0].removesuffix(" from end A")
    if "…" not in head:
        return set(head.split(", "))
    first, second, last = map(int, re.findall(r"\d+", head))
    return {str(number) for number in range(first, last + (second - first), second - first)}


def astray(job: Job) -> tuple[int, list[str]]:
    """How many leaders there are, and those that run over what they do not name."""
    found, count = [], 0
    for sheet in sheets(job):
        every = list(features(sheet))
        for words, line, tip in leaders(sheet):
            count += 1
            for name, shape in every:
                inner = shape.buffer(-INSIDE_MM)
                if name not in named(words) and not shape.buffer(0.01).covers(tip) and line.intersects(inner):
                    found.append(f"{sheet.piece.mark} 1:{float(1 / sheet.scale):g}: {words!r} over {name or 'a cut'}")
    return count, found


@pytest.mark.thorough
@pytest.mark.parametrize("folder", [pytest.param(folder, id=folder.name) for folder in PLACED])
@pytest.mark.parametrize("units", ["in", "mm"])
def test_no_leader_runs_over_what_it_does_not_name(folder: Path, units: Units) -> None:
    count, found = astray(sample_job(folder, units))
    assert count and not found


def test_the_words_on_a_hinge_recess_do_not_point_at_a_screw_hole() -> None:
    """The middle of three pilot holes lies in the middle of the recess, in the cabinet's stile and its side."""
    seen = 0
    for sheet in sheets(sample_job(BY_NAME["spice_cabinet"], "mm")):
        bores = [shape for _, shape in features(sheet) if not shape.equals(shape.envelope)]
        for words, _, tip in leaders(sheet):
            if "recess: " in words:
                seen += 1
                assert not [bore for bore in bores if bore.buffer(0.01).covers(tip)], (sheet.piece.mark, words)
    assert seen


# Of the samples hardly one has a leader that would run astray: most ways out cross the lines of two cuts, which costs
# as much. A case of shelves: their housings end at the rabbet for the back, so that the nearest way out of the wood for
# the note on a housing leads over a cut with another name; of three or five the middle one lies beside the rabbet's.
CASE = """
build: {{title: Case, mark: C, units: mm}}
materials: {{oak: {{kind: hardwood, species: white oak, rough: 27}}}}
parts:
  side:
    material: oak
    size: 18 x {deep} x {high}
    runs: {{length: z, width: y}}
    pieces:
      L: {{x: 0, y: 0, z: 0}}
      R: {{mirror: L across x at 300}}
  back:
    material: oak
    thickness: 12
    width: {high} - 40
    runs: {{length: x, width: z}}
    pieces: {{B: {{x: L.right to R.left, y: to L.back, z: 20}}}}
  shelf:
    material: oak
    thickness: 16
    width: {deep} - 12
    runs: {{length: x, width: y}}
    pieces: {{S1..S{shelves}: {{x: L.right to R.left, y: 0, z: evenly from 30 to {high} - 30}}}}
joints:
  back: {{kind: rabbet, from: back, into: side, depth: 9}}
  shelves: {{kind: housing, from: shelf, into: side, depth: 6}}
"""


@pytest.mark.parametrize("shelves", [3, 5])
@pytest.mark.parametrize("deep", [120, 150])
def test_notes_of_shelves_keep_off_the_rabbet(shelves: int, deep: int, tmp_path: Path) -> None:
    count, found = astray(job_of(CASE.format(deep=deep, high=140 * shelves, shelves=shelves), tmp_path))
    assert count and not found
