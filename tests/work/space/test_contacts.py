"""What touches is told in as few whole rectangles as come of joining two and two: by shapely."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from pathlib import Path

import shapely
from hypothesis import given
from hypothesis import strategies as st

from shopdocs.core.box import Box, Touch
from shopdocs.pipeline.checking import checked
from shopdocs.work.space.contacts import merged

Rectangle = tuple[int, int, int, int]


def cut_up(draw: st.DrawFn, x0: int, y0: int, x1: int, y1: int) -> Iterator[Rectangle]:
    """A rectangle cut through at random, and its halves again."""
    way = draw(st.sampled_from(["whole", "along", "across"]))
    if way == "along" and x1 - x0 > 1:
        x = draw(st.integers(x0 + 1, x1 - 1))
        yield from (*cut_up(draw, x0, y0, x, y1), *cut_up(draw, x, y0, x1, y1))
    elif way == "across" and y1 - y0 > 1:
        y = draw(st.integers(y0 + 1, y1 - 1))
        yield from (*cut_up(draw, x0, y0, x1, y), *cut_up(draw, x0, y, x1, y1))
    else:
        yield x0, y0, x1, y1


@st.composite
def planes(draw: st.DrawFn) -> dict[int, list[Rectangle]]:
    """Parts of a face of 8 by 8 on each of two planes, by their height."""
    found = {}
    for height in (3, 5):
        parts = list(cut_up(draw, 0, 0, 8, 8))
        found[height] = [part for part in parts if draw(st.integers(0, 4))]
    return found


def drawn(touches: Sequence[Touch], height: int) -> list[shapely.Polygon]:
    flats = [touch.where for touch in touches if touch.where.lo[2] == touch.where.hi[2] == height]
    return [shapely.box(*flat.lo[:2], *flat.hi[:2]) for flat in flats]


@given(planes())
def test_no_two_are_left_that_make_a_rectangle(cut: dict[int, list[Rectangle]]) -> None:
    touches = [
        Touch(2, True, Box((x0, y0, height), (x1, y1, height)))
        for height, parts in cut.items()
        for x0, y0, x1, y1 in parts
    ]
    found = merged(touches)
    assert sum(len(drawn(found, height)) for height in cut) == len(found)
    for height in cut:
        before, after = drawn(touches, height), drawn(found, height)
        assert shapely.union_all(after).equals(shapely.union_all(before))
        assert sum(one.area for one in after) == shapely.union_all(after).area
        for one, other in combinations(after, 2):
            both = one.union(other)
            assert both.area < both.envelope.area or both.geom_type != "Polygon"


def test_the_two_sides_of_a_board_are_not_merged() -> None:
    lower, upper = Box((0, 0, 5), (4, 4, 5)), Box((4, 0, 5), (8, 4, 5))
    assert len(merged([Touch(2, True, lower), Touch(2, False, upper)])) == 2
    assert merged([Touch(2, True, upper), Touch(2, True, lower)]) == [Touch(2, True, Box((0, 0, 5), (8, 4, 5)))]


CORNER = """
build: {title: Corner, mark: C, units: mm}
materials: {oak: {kind: hardwood, rough: 34}}
parts:
  side: {material: oak, size: 20 x 200 x 400, runs: {length: x, width: z}, pieces: {S: {x: 0, y: 0, z: 0}}}
  front: {material: oak, size: 20 x 200 x 400, runs: {length: y, width: z}, pieces: {F: {x: 380, y: 0, z: 0}}}
joints:
  corner: {kind: finger joint, from: side, into: front, count: COUNT}
"""


def test_a_corner_of_many_fingers(tmp_path: Path) -> None:
    """Nine fingers in turn: eight sides lie on each other, and each finger on the bottom of its slot."""
    (tmp_path / "build.yaml").write_text(CORNER.replace("COUNT", "9"), "utf-8")
    work = checked(str(tmp_path / "build.yaml"), None).work
    assert work is not None and work.space is not None
    (pair,) = work.space.contacts.pairs
    assert not pair.overlap
    assert sorted(touch.axis for touch in pair.touches) == [0] * 4 + [1] * 5 + [2] * 8
