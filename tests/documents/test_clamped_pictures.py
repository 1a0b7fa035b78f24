"""Where the bars of clamps are drawn, in space, before anything is hidden: clear of the wood, evenly spread, over and
under a panel in turn, pads on the work. Worked out from the lines the clamps stand on and the boxes of the pieces."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise, product
from pathlib import Path
from typing import Any

import pytest

from shopdocs.core.box import AXES, Box
from shopdocs.documents.drawn import clamped
from shopdocs.documents.drawn.pictures import Laid
from shopdocs.documents.job import Job
from shopdocs.work.order.clamping import ClampSet
from shopdocs.work.order.stages import StageWork
from shopdocs.work.shapes.hidden import Segment
from tests.sample_jobs import PLACED, sample_job

ROOM = (88.0, 96.0)


@pytest.fixture
def laid(monkeypatch: pytest.MonkeyPatch) -> list[Laid]:
    """What is handed on to be drawn."""
    found: list[Laid] = []
    drawn = clamped.picture

    def kept(laid: Laid, *rest: Any, **more: Any) -> Any:
        found.append(laid)
        return drawn(laid, *rest, **more)

    monkeypatch.setattr(clamped, "picture", kept)
    return found


def drawn_stages(
    job: Job, laid: list[Laid]
) -> Iterator[tuple[StageWork, Laid, list[tuple[ClampSet, list[list[Segment]]]]]]:
    """Each stage that has a picture of its clamps, with the bars of every line, five strokes each."""
    for work in job.stages:
        laid.clear()
        if clamped.clamped_picture(job, work, ROOM) is None:
            continue
        (scene,) = laid
        strokes, lines = list(scene.ways), []
        for each in job.clampings[work.number].sets:
            if each.line.round:
                strokes = strokes[4:]
                continue
            bars = [strokes[5 * k : 5 * k + 5] for k in range(each.count)]
            strokes = strokes[5 * each.count :]
            lines.append((each, bars))
        assert not strokes
        yield work, scene, lines


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_bars_stand_clear_of_the_work_with_their_pads_on_it(folder: Path, laid: list[Laid]) -> None:
    job = sample_job(folder, "mm")
    seen = 0
    for work, picture, lines in drawn_stages(job, laid):
        scene = picture.scene
        box_of = {piece.mark: solid.bounds for piece, solid in zip(scene.pieces, scene.solids, strict=True)}
        longest = max(scene.bounds.size)
        for each, bars in lines:
            axis = each.line.axis
            for bar, first, pad, last, other in bars:
                seen += 1
                side = next(k for k in range(3) if k != axis and first.start[k] != first.end[k])
                third = 3 - axis - side
                # the bar runs along the axis that is clamped and stands out beyond both jaws
                assert [bar.start[k] == bar.end[k] for k in range(3)] == [k != axis for k in range(3)]
                assert bar.start[axis] < first.start[axis] < pad.end[axis] < other.start[axis] < last.start[axis]
                assert last.start[axis] < bar.end[axis]
                # the pads end on the ends of the clamped line, whose distance is that of the work's outer faces
                assert pad.end[third] == other.start[third] == bar.start[third]
                assert pad.end[side] == other.start[side] != bar.start[side]
                for box in (box_of[mark] for mark in each.line.marks):  # what is clamped lies on one side of the bar
                    if box.lo[third] <= bar.start[third] <= box.hi[third]:
                        beside = box.hi[side] < bar.start[side] or bar.start[side] < box.lo[side]
                        ends = box.hi[axis] < bar.start[axis] or bar.end[axis] < box.lo[axis]
                        assert beside or ends, (work.stage.title, each.first)
                # an eighteenth of the longest side is left to the bar (our own measure)
                level = [
                    box
                    for box in map(box_of.__getitem__, each.line.marks)
                    if box.lo[third] <= bar.start[third] <= box.hi[third]
                ]
                nearest = min(
                    min(abs(box.lo[side] - bar.start[side]), abs(box.hi[side] - bar.start[side])) for box in level
                )
                assert nearest == pytest.approx(longest / 18, abs=1.5)
    assert seen


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_clamps_of_a_line_are_spread_evenly_along_their_run(folder: Path, laid: list[Laid]) -> None:
    """Of n clamps each has the n-th part of the run, and stands in its middle; those of a panel are over and under it
    in turn."""
    job = sample_job(folder, "mm")
    for _, picture, lines in drawn_stages(job, laid):
        for each, bars in lines:
            across = each.line.across
            run = picture.scene.ticks.count(each.line.run)
            at = [bar[2].end[across] for bar in bars]
            share = Fraction(run, each.count)
            for one, next_ in pairwise(at):
                assert abs(next_ - one - share) <= 2
            if not each.line.joints and each.count > 1:
                side = next(k for k in range(3) if k not in (each.line.axis, across))
                over = [bar[0].start[side] > bar[2].end[side] for bar in bars]
                assert all(one != other for one, other in pairwise(over))


def test_clamps_of_a_bottom_stand_under_it(laid: list[Laid]) -> None:
    """The cabinet's bottom lies at the foot of its side, 560 high: over its top a bar would need jaws as long as that.
    The top is clamped from above."""
    job = sample_job(next(folder for folder in PLACED if folder.name == "spice_cabinet"), "mm")
    lines = next(lines for work, _, lines in drawn_stages(job, laid) if work.stage.title == "Left half")
    told = {each.line.over: {bar[0].start[2] > bar[2].end[2] for bar in bars} for each, bars in lines}
    assert told == {"TP": {True}, "BT": {False}}


def test_a_clamp_reaches_over_the_nearest_edge(laid: list[Laid]) -> None:
    """The legs of the stool go into a seat of 400 by 300, each 82 from two edges, and nearer to them at the foot. With
    the bar an eighteenth of 430 off the seat, 24, jaws of 106 at most reach it from there; over the seat from its other
    edge it would be 242, which no bar clamp has."""
    job = sample_job(next(folder for folder in PLACED if folder.name == "loft_stool"), "mm")
    seen = 0
    for work, picture, lines in drawn_stages(job, laid):
        for each, bars in lines:
            if work.stage.title != "Legs and seat" or each.line.axis != 2:
                continue
            for bar, _, pad, _, _ in bars:
                seen += 1
                reach = max(abs(bar.start[k] - pad.end[k]) for k in (0, 1)) / picture.scene.ticks.per_mm
                assert reach <= 106
    assert seen == 4


@pytest.mark.parametrize("thin", AXES)
def test_a_band_goes_once_round_the_work_half_way_up_its_thickness(thin: int) -> None:
    """Round the outside of a frame that lies square to this axis: four lines that meet at its corners, all at the
    middle of its thickness, and the corners are where its words may point."""
    low, high = (30, 50, 70), (430, 350, 470)
    drawn = clamped._round(Box(low, high), thin, "C1")
    level = {spot[thin] for line in drawn.segments for spot in (line.start, line.end)}
    assert level == {(low[thin] + high[thin]) // 2}
    others = [k for k in AXES if k != thin]
    corners = {tuple(line.start[k] for k in others) for line in drawn.segments}
    assert corners == set(product(*((low[k], high[k]) for k in others)))
    assert [line.end for line in drawn.segments] == [line.start for line in (*drawn.segments[1:], drawn.segments[0])]
    assert all(sum(one != two for one, two in zip(line.start, line.end, strict=True)) == 1 for line in drawn.segments)
    assert set(drawn.spots) == {line.start for line in drawn.segments}
