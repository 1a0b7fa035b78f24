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
from shopdocs.documents.piece_drawings import _pairs, _Unit, drawn_groups
from shopdocs.model.joining import Face
from shopdocs.work.space.placed import Spot
from tests.sample_jobs import PLACED, sample_job

INSIDE_MM = 0.15  # a leader that only touches the border of a cut does not run over it


def sheets(folder: Path, units: Units) -> Iterator[PieceSheet]:
    job = sample_job(folder, units)
    worked = [group for group in drawn_groups(job) if group.pieces[0].features]
    drawn = [_Unit(job, pair).drawn for pair in _pairs(worked)]
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


@pytest.mark.parametrize("folder", [pytest.param(folder, id=folder.name) for folder in PLACED])
@pytest.mark.parametrize("units", ["in", "mm"])
def test_no_leader_runs_over_what_it_does_not_name(folder: Path, units: Units) -> None:
    astray, count = [], 0
    for sheet in sheets(folder, units):
        every = list(features(sheet))
        for words, line, tip in leaders(sheet):
            count += 1
            for name, shape in every:
                inner = shape.buffer(-INSIDE_MM)
                if name not in named(words) and not shape.buffer(0.01).covers(tip) and line.intersects(inner):
                    astray.append(f"{sheet.piece.mark} 1:{float(1 / sheet.scale):g}: {words!r} over {name or 'a cut'}")
    assert count and not astray
