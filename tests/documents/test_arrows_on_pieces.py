"""The arrow of a move ends on what is seen of a piece that it goes onto, or beside it where it goes in from behind; or
it is dashed from there on, behind what hides the piece. Found by lines of sight through every solid of the picture, not
by the grid that chooses the arrow."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Arrow, Drawing, Line, Point, Stroke, Words
from shopdocs.documents.drawn.build_pictures import _best_shown, stage_picture
from shopdocs.documents.drawn.pictures import Laid, lines_of
from shopdocs.documents.job import Job
from shopdocs.documents.stage_pages import _rooms
from shopdocs.work.order.closing import Closing
from shopdocs.work.order.runs import runs_of
from shopdocs.work.order.stages import StageWork
from shopdocs.work.shapes.projection import ISOMETRIC
from tests.sample_jobs import BY_NAME, PLACED, sample_job
from tests.work.shapes.test_pictures import _seen_at

BESIDE_MM, AHEAD_MM = 1.6, 4.0  # of paper: half the length of an arrow's head, and a little more than all of it


def onto_of(job: Job, work: StageWork, run: tuple[Closing, ...]) -> set[str]:
    """The marks of what the moves of a step go onto, and of all that was glued to it before."""
    made = {title: marks for before in job.stages for title, marks in before.things.items()}
    return {mark for each in run for name in each.onto for mark in made.get(name, (name,))} | {
        name for each in run for name in each.onto if name in work.members
    }


class Sight:
    """What is seen in the picture of a stage, at points of it."""

    def __init__(self, laid: Laid, drawing: Drawing) -> None:
        first = next(shape for shape in drawing.shapes if isinstance(shape, Line))
        by = [(a - b).float_mm() for a, b in zip(lines_of(laid, ISOMETRIC)[0].start, first.start, strict=True)]
        self.laid, self.by, self.scale = laid, by, float(drawing.scale or 1)
        self.marks = [piece.mark for piece in laid.scene.pieces]

    def seen(self, at: tuple[float, float], only: set[str] | None = None) -> str | None:
        solids = [s for s, mark in zip(self.laid.solids, self.marks, strict=True) if only is None or mark in only]
        marks = [mark for mark in self.marks if only is None or mark in only]
        x, y = (v + by for v, by in zip(at, self.by, strict=True))
        found = _seen_at(solids, ISOMETRIC, self.laid.scene.ticks.per_mm, x, y)
        return None if found is None else marks[found]

    def near(self, at: tuple[float, float], only: set[str] | None = None) -> set[str | None]:
        """The same at the point and all round it, half a head of an arrow away."""
        radius = BESIDE_MM / self.scale
        turns = [math.tau * k / 8 for k in range(8)]
        around = [(at[0] + radius * math.cos(turn), at[1] + radius * math.sin(turn)) for turn in turns]
        return {self.seen(spot, only) for spot in (at, *around)}

    def ahead(self, arrow: Arrow) -> str | None:
        """What an arrow that ends on free paper points at: the first thing before its tip, a little way off."""
        (a, b), (c, d) = mm(arrow.start), mm(arrow.end)
        step = AHEAD_MM / self.scale / math.dist((a, b), (c, d)) / 20
        spots = ((c + (c - a) * step * k, d + (d - b) * step * k) for k in range(21))
        return next((found for spot in spots if (found := self.seen(spot))), None)


def mm(point: Point) -> tuple[float, float]:
    return point[0].float_mm(), point[1].float_mm()


def arrows(drawing: Drawing) -> Iterator[tuple[str, Arrow, list[Line]]]:
    """Each arrow with the number in the disc behind it on its line, and the dashed lines that begin or end at its tip
    or its tail."""
    every = [shape for shape in drawing.shapes if isinstance(shape, Arrow)]
    words = [shape for shape in drawing.shapes if isinstance(shape, Words) and shape.text.isdigit()]
    numbers = {min(every, key=lambda arrow: off(arrow, mm(one.at))): one.text for one in words}
    dashed = [shape for shape in drawing.shapes if isinstance(shape, Line) and shape.stroke is Stroke.HIDDEN]
    for arrow in every:
        ends = mm(arrow.start), mm(arrow.end)
        yield numbers.get(arrow, ""), arrow, [one for one in dashed if mm(one.start) in ends or mm(one.end) in ends]


def off(arrow: Arrow, spot: tuple[float, float]) -> tuple[float, float]:
    """How far a spot lies off the line of an arrow, behind its tail, to whole millimetres; and how far behind."""
    (a, b), (c, d) = mm(arrow.start), mm(arrow.end)
    long = math.dist((a, b), (c, d))
    along = ((spot[0] - a) * (c - a) + (spot[1] - b) * (d - b)) / long
    across = abs((spot[0] - a) * (d - b) - (spot[1] - b) * (c - a)) / long
    return (float(round(across)) if along < 0 else math.inf), -along


def astray(job: Job, work: StageWork) -> tuple[int, list[str]]:
    """How many arrows a picture has, and those that end on what they do not go onto."""
    room = _rooms(job, work)[0]
    best, found = _best_shown(job, work, room), stage_picture(job, work, room)
    if best is None or found is None:
        return 0, []
    sight, count, wrong = Sight(best[0].laid, found.drawing), 0, []
    wet, later = runs_of(job.build, work)
    runs = {str(number): run for number, run in enumerate((*wet, *later), 1)}
    several = {mark for run in runs.values() if len(run) > 1 for mark in onto_of(job, work, run)}
    for number, arrow, dashed in arrows(found.drawing):
        count += 1
        onto = onto_of(job, work, runs[number]) if number else several
        if sight.near(mm(arrow.end)) & onto or (sight.seen(mm(arrow.end)) is None and sight.ahead(arrow) in onto):
            continue
        ends = [end for line in dashed for end in (mm(line.start), mm(line.end))]
        if not any(sight.near(end, onto) & onto for end in ends):
            wrong.append(f"stage {work.number}: {number or 'one'} ends on {sight.seen(mm(arrow.end))}")
    return count, wrong


@pytest.mark.thorough
@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_every_arrow_ends_on_what_it_goes_onto(folder: Path) -> None:
    job = sample_job(folder, "mm")
    found = [astray(job, work) for work in job.stages if work.meetings]
    assert any(count for count, _ in found)
    assert not [line for _, wrong in found for line in wrong]


def test_what_goes_in_behind_a_top_is_dashed_there() -> None:
    """The cabinet's hanging rail goes against the left side from the right, behind the top."""
    job = sample_job(BY_NAME["spice_cabinet"], "mm")
    work = job.stages[1]
    found = stage_picture(job, work, _rooms(job, work)[0])
    assert found is not None
    (dashed,) = [lines for number, _, lines in arrows(found.drawing) if number == "3"]
    assert dashed
    assert not astray(job, work)[1]


def test_a_panel_points_at_the_groove_that_it_runs_into_last() -> None:
    """The cabinet's door panel slides along the grooves of both rails into that of the left stile: along the rails the
    arrow would end somewhere on them."""
    job = sample_job(BY_NAME["spice_cabinet"], "mm")
    work = job.stages[0]
    room = _rooms(job, work)[0]
    best, found = _best_shown(job, work, room), stage_picture(job, work, room)
    assert best is not None and found is not None
    (arrow,) = [arrow for number, arrow, _ in arrows(found.drawing) if number == "3"]
    assert Sight(best[0].laid, found.drawing).seen(mm(arrow.end)) == "DL"


def test_a_seat_points_at_a_leg_below_it() -> None:
    """The stool's seat hides the tenons it is driven onto: its arrow goes on until the leg comes to light; and of the
    two legs that go on from the rear the one beside the seat bears the number."""
    job = sample_job(BY_NAME["loft_stool"], "mm")
    work = job.stages[1]
    room = _rooms(job, work)[0]
    best, found = _best_shown(job, work, room), stage_picture(job, work, room)
    assert best is not None and found is not None
    sight = Sight(best[0].laid, found.drawing)
    ends = {number: sight.near(mm(arrow.end)) for number, arrow, _ in arrows(found.drawing)}
    assert ends["6"] & {"FL", "FR", "BL", "BR"}
    assert "SR" in ends["5"]
