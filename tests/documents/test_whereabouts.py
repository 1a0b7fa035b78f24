"""Pictures of where a piece sits stay small for a build of any size."""

from __future__ import annotations

from math import hypot

import pytest

from shopdocs.blocks.drawing import Line, Polygon, Stroke
from shopdocs.documents.drawn import whereabouts
from shopdocs.documents.drawn.whereabouts import Whereabouts
from tests.sample_jobs import BY_NAME, SAMPLES, sample_job

BENCH = next(folder for folder in SAMPLES if folder.name == "threshold_bench")


def long(line: Line) -> float:
    return hypot(*(float((a - b).mm) for a, b in zip(line.start, line.end, strict=True)))


def thin(around: Whereabouts, mark: str) -> list[Line]:
    drawing = around.of(mark)
    assert drawing is not None
    return [shape for shape in drawing.shapes if isinstance(shape, Line) and shape.stroke is Stroke.THIN]


def test_of_many_pieces_only_the_longest_lines_are_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    job = sample_job(BENCH, "in")
    assert job.space is not None
    pieces = job.space.scene.pieces
    every = thin(Whereabouts(job), pieces[0].mark)
    assert len(every) > 30
    monkeypatch.setattr(whereabouts, "MOST_LINES", 20 * len(pieces))
    monkeypatch.setattr(whereabouts, "LEAST_LINES", 1)
    around = Whereabouts(job)
    for piece in pieces:
        few = thin(around, piece.mark)
        assert len(few) == 20
        assert min(map(long, few)) >= sorted(map(long, every), reverse=True)[19]
        assert around.of(piece.mark) == around.of(piece.mark)


def test_what_leans_is_shaded_by_its_own_outline() -> None:
    """The shade of a leg of the stool ends where its lines do; the box round it is four times as wide."""
    drawing = Whereabouts(sample_job(BY_NAME["loft_stool"], "mm")).of("FL")
    assert drawing is not None
    (shade,) = [shape for shape in drawing.shapes if isinstance(shape, Polygon) and shape.fill == "tint"]
    lines = [
        shape
        for shape in drawing.shapes
        if isinstance(shape, Line) and shape.stroke in (Stroke.REFERENCE, Stroke.HIDDEN)
    ]
    assert set(shade.points) <= {end for line in lines for end in (line.start, line.end)}
    assert len(shade.points) > 4
