"""The words of a note keep off the crosses of holes that are drawn near by, and the drawing becomes no larger by it.

Judged on the shapes as they are drawn, by shapely, in millimetres of paper: a cross reaches as far as its arms."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import shapely

from shopdocs.blocks.drawing import CentreMark, Leader
from shopdocs.core.length import Length
from shopdocs.documents.drawn.measures import words_at_leader
from shopdocs.documents.drawn.notes import arms
from shopdocs.documents.drawn.piece_drawing import PieceSheet
from shopdocs.documents.drawn.sizing import sized
from shopdocs.documents.job import Job
from shopdocs.documents.piece_drawings import _pairs, _Unit, drawn_groups
from tests.sample_jobs import BY_NAME, sample_job


def test_the_arms_of_a_cross_reach_to_both_sides_of_its_middle() -> None:
    """Half scale: a cross at (20, 40) that reaches 8 mm stands at (10, 20) of the paper and reaches 4."""
    cross = CentreMark((Length(20), Length(40)), Length(8))
    assert arms([cross], Fraction(1, 2)) == (((6.0, 20.0), (14.0, 20.0)), ((10.0, 16.0), (10.0, 24.0)))


def tops(job: Job) -> Iterator[PieceSheet]:
    """The top's drawing in each size that a page may have room for."""
    worked = [group for group in drawn_groups(job) if group.pieces[0].mark == "T"]
    for size in sized([_Unit(job, pair).drawn for pair in _pairs(job, worked)], job.display):
        yield from (size.sheet, *size.larger, *size.narrow, *filter(None, (size.smaller,)))


def test_what_is_said_of_eight_holes_in_a_top_stands_over_none_of_them() -> None:
    """There is room for it between two rows, 200 mm apart at 1:25: the words are as high as 4 mm, the arms 1.3 mm
    long."""
    drawn = list(tops(sample_job(BY_NAME["sorting_table"], "mm")))
    assert len({sheet.scale for sheet in drawn}) > 1
    for sheet in drawn:
        (note,) = (shape for shape in sheet.shapes if isinstance(shape, Leader) and shape.text.startswith("8 ×"))
        ends = [(p[0].float_mm(sheet.scale), p[1].float_mm(sheet.scale)) for p in (note.tip, note.at)]
        words = shapely.box(*words_at_leader(ends[0], ends[1], note.text, note.size_pt or 9.0))
        crosses = [shape for shape in sheet.shapes if isinstance(shape, CentreMark)]
        assert len(crosses) == 8
        for cross in crosses:
            x, y, reach = (v.float_mm(sheet.scale) for v in (*cross.centre, cross.reach))
            for arm in (((x - reach, y), (x + reach, y)), ((x, y - reach), (x, y + reach))):
                assert not words.intersects(shapely.LineString(arm)), (note.text, sheet.scale)
