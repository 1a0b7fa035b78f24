"""The pictures of a stage on its page: in which room, and in which larger ones where the page has it."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, SideBySide
from shopdocs.blocks.text import Paragraph, Weight, text
from shopdocs.documents.drawn.build_pictures import stage_marks, stage_picture
from shopdocs.documents.drawn.clamped import clamped_picture
from shopdocs.documents.fitting.wording import listed
from shopdocs.documents.job import Job
from shopdocs.work.order.stages import StageWork

Rooms = tuple[tuple[float, float], tuple[float, float]]
# The picture of a stage and of its clamps under it, beside the steps; above them where they are many.
LARGE_MM, CLAMPED_MM = (88.0, 96.0), (88.0, 68.0)
LESS_MM = (88.0, 80.0), (88.0, 54.0)
LAST_MM = (88.0, 86.0), (88.0, 62.0)  # leaves room for what goes on without glue
LONG_MM, BESIDE_LONG_MM = (84.0, 54.0), (84.0, 52.0)
TALLER_LONG: tuple[Rooms, ...] = (((84.0, 66.0), (84.0, 66.0)), ((84.0, 84.0), (84.0, 84.0)))  # as a page has room
LEAST_MARKS = 16.0  # points, of the marks in pictures as small as these: they are read from 1.5 m
SIDES, WIDE_SIDES = (1.0, 1.0), (3.0, 2.0)  # the pictures and the steps
WIDE_MM = 103.0  # of three fifths of a page
# Times the usual height of the pictures, and whether they take more than half the page: tried where a page has room.
LARGER = ((1.45, True), (1.2, True), (1.0, True), (1.45, False), (1.2, False), (1.1, False))
WORTH = 1.06  # times as large at least
MOST_TRIED = 3  # larger settings


def with_larger(
    job: Job, work: StageWork, rooms: Rooms, under: Sequence[Block], steps: Sequence[Block]
) -> SideBySide | None:
    """Both pictures of a stage and what stands `under` them, beside the steps, with the larger settings for where its
    page has room. None without a picture."""
    pictures = pictures_of(job, work, *rooms)
    if not pictures:
        return None
    found: dict[float, SideBySide] = {}
    scale = _scale(pictures)
    for across, times in _worth_trying(pictures, rooms):
        tried = pictures_of(job, work, *((across, high * times) for _, high in rooms))
        larger = _scale(tried)
        if larger >= scale * WORTH and _words(tried) <= _words(pictures):
            sides = (tuple(block for column in tried for block in column) + tuple(under), tuple(steps))
            found[larger] = SideBySide(sides, WIDE_SIDES if across == WIDE_MM else SIDES)
    left = (*(block for column in pictures for block in column), *under)
    return SideBySide((left, tuple(steps)), SIDES, tuple(found[key] for key in sorted(found, reverse=True)))


def _worth_trying(pictures: Sequence[Sequence[Block]], rooms: Rooms) -> list[tuple[float, float]]:
    """Widths and how many times as high, the largest pictures first, each larger than the next by as much as is seen:
    where their marks have no room a picture is drawn again in every one."""
    drawing = next((block for each in pictures for block in each if isinstance(block, Drawing)), None)
    if drawing is None:
        return []
    (_, high), *_ = rooms
    wide, tall = drawing.width.float_mm(), drawing.height.float_mm()
    sizes = [(WIDE_MM if more else LARGE_MM[0], times) for times, more in LARGER]
    scales = {size: min(size[0] / wide, size[1] * high / tall) for size in sizes}
    least, found = float(drawing.scale or 0) * WORTH, list[tuple[float, float]]()
    for size in sorted(sizes, key=lambda size: (-scales[size], size[1])):
        if scales[size] >= least and (not found or scales[found[-1]] >= scales[size] * WORTH):
            found.append(size)
    return found[:MOST_TRIED]


def _scale(pictures: Sequence[Sequence[Block]]) -> float:
    """Of the picture of what goes on, or of the one in the clamps where there is no other."""
    return next((float(block.scale or 0) for each in pictures for block in each if isinstance(block, Drawing)), 0.0)


def _words(pictures: Sequence[Sequence[Block]]) -> int:
    """How much stands under pictures that had no room for every mark."""
    return sum(isinstance(block, Paragraph) for each in pictures for block in each)


def growing_pictures(
    job: Job, work: StageWork, rooms: Sequence[Rooms], least_pt: float = LEAST_MARKS
) -> tuple[Drawing, ...]:
    """Both pictures of a stage in the least of these rooms, with the larger ones for where the page has space; none
    where one is wanting, or has no room for every mark in large type."""
    marks = stage_marks(job, work, rooms[0][0])
    if marks is None or marks.unmarked or marks.size_pt < least_pt:
        return ()
    found = [pictures_of(job, work, *room) for room in rooms]
    if any([len(column) for column in pictures] != [1, 1] for pictures in found):
        return ()
    grown = []
    for place in range(2):
        least, *more = (block for pictures in found for block in pictures[place] if isinstance(block, Drawing))
        larger = {drawing.scale or 0: drawing for drawing in more if (drawing.scale or 0) > (least.scale or 0)}
        grown.append(replace(least, larger=tuple(larger[scale] for scale in sorted(larger, reverse=True))))
    return tuple(grown)


def pictures_of(
    job: Job, work: StageWork, apart_mm: tuple[float, float], closed_mm: tuple[float, float]
) -> tuple[tuple[Block, ...], ...]:
    """What goes together, with the pieces that had no room for a mark told under it; and how it is clamped."""
    picture = stage_picture(job, work, apart_mm)
    closed = clamped_picture(job, work, closed_mm)
    shown: tuple[Block, ...] = ()
    if picture is not None:
        bare = f"Not marked in the picture, where there was no room: {listed(picture.unmarked)}."
        shown = (picture.drawing, *((Paragraph(text(bare), Weight.QUIET),) if picture.unmarked else ()))
    return tuple(column for column in (shown, (closed,) if closed is not None else ()) if column)
