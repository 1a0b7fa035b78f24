"""In pictures of stages no disc with the number of an arrow lies on the head of another arrow.

By hand: a disc has a radius of 3.2 mm, a head is 3.4 mm long, and what nearly touches is read as one (common practice,
no source): half a millimetre stays white at the least.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Arrow, Circle, Drawing, Point
from shopdocs.blocks.sheets import Block
from shopdocs.documents.drawn.numbered_arrows import clear_of_each_other, disc_of
from shopdocs.documents.stage_rooms import LARGE_MM, LONG_MM, WIDE_MM, pictures_of
from tests.sample_jobs import PLACED, own_units, sample_job

DISC_MM, HEAD_MM, WHITE_MM = 3.2, 3.4, 0.5
ROOMS = (LARGE_MM, (84.0, 68.0)), (LONG_MM, (84.0, 52.0)), ((WIDE_MM, 139.0), (WIDE_MM, 98.0))


def paper(point: Point, drawing: Drawing) -> tuple[float, float]:
    return point[0].float_mm(drawing.scale), point[1].float_mm(drawing.scale)


def from_head(spot: tuple[float, float], start: tuple[float, float], tip: tuple[float, float]) -> float:
    """The nearest of many spots along the head."""
    long = math.dist(start, tip)
    parts = [min(HEAD_MM, long) / long * k / 50 for k in range(51)]
    return min(math.dist(spot, (tip[0] + (start[0] - tip[0]) * p, tip[1] + (start[1] - tip[1]) * p)) for p in parts)


def crossed(drawing: Drawing) -> Iterator[float]:
    """How near discs come to the heads of arrows that are not their own, where that is too near."""
    arrows = [(paper(s.start, drawing), paper(s.end, drawing)) for s in drawing.shapes if isinstance(s, Arrow)]
    for disc in (shape for shape in drawing.shapes if isinstance(shape, Circle) and shape.fill == "paper"):
        at = paper(disc.centre, drawing)
        own = min(arrows, key=lambda arrow: math.dist(arrow[0], at))
        near = min((from_head(at, *arrow) for arrow in arrows if arrow is not own), default=math.inf)
        if near < DISC_MM + WHITE_MM:
            yield round(near, 2)


@pytest.mark.thorough
@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_no_disc_lies_on_the_head_of_another_arrow(folder: Path) -> None:
    job = sample_job(folder, own_units(folder))
    found = {
        (work.number, room[0]): near
        for work in job.stages
        for room in ROOMS
        for column in pictures_of(job, work, *room)
        for drawing in _drawings(column)
        if (near := list(crossed(drawing)))
    }

    assert not found


def _drawings(column: tuple[Block, ...]) -> Iterator[Drawing]:
    yield from (block for block in column if isinstance(block, Drawing))


def test_a_disc_moves_off_the_head_of_an_arrow_that_comes_later() -> None:
    """The first arrow's disc is at x = -3.2; the second's tip is there, too. The first is made longer."""
    first, second = ((0.0, 0.0), (20.0, 0.0)), ((-3.0, 30.0), (-3.0, 1.0))
    one, two = clear_of_each_other([first, second], ["1", "2"])

    assert two == second and one[1] == first[1]
    assert from_head(disc_of(one), *two) >= DISC_MM + WHITE_MM
