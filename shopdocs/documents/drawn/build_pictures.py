"""The pictures of a build, made once and shared by its sheets: as it stands, and taken apart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from shopdocs.blocks.drawing import Drawing
from shopdocs.core.box import Corner
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.pictures import (
    Label,
    Laid,
    Marked,
    Picture,
    best_marks,
    drawn,
    every_mark,
    frame_of,
    picture,
    standing,
)
from shopdocs.documents.drawn.wet import wet_faces
from shopdocs.documents.job import Job
from shopdocs.work.order.closing import Closing
from shopdocs.work.order.runs import pieces_again, runs_of
from shopdocs.work.order.stages import StageWork
from shopdocs.work.order.straight import Way
from shopdocs.work.scene.opened import opened
from shopdocs.work.scene.taken_apart import TakenApart
from shopdocs.work.shapes.projection import ISOMETRIC, Flat
from shopdocs.work.space.contacts import Contacts, Pair, find_contacts
from shopdocs.work.space.placed import PlacedPiece, Scene

STANDING_MM = (88.0, 52.0)  # beside what is said of the build
LARGER_STANDING_MM = (120.0, 100.0, 90.0, 80.0, 72.0, 65.0, 58.0)  # as tall where its page has room
MOST_DETAILED = 160  # pieces; more of them fill a sheet with lines, and their joints are smaller than a dot
PULLED = 0.4  # of its depth a drawer stands open
# Between neighbours, as parts of the longest side of the build, and how many times as far apart upwards at most, for
# tops lie over much of the picture: the first at which every mark has room.
GAPS = ((Fraction(1, 16), 3), (Fraction(1, 12), 3), (Fraction(1, 9), 3), (Fraction(1, 7), 4))
LEAST_RISE = Fraction(3, 2)
STAGE_PICTURE_MM = (88.0, 140.0)  # the left half of a stage's page
LONG_PICTURE_MM = (170.0, 78.0)  # above a long list of steps in two columns
STAGE_MARKS = (20.0, 16.0, 13.0, 11.0)  # points: read from where one stands with both hands full
STAGE_GAP = Fraction(1, 9)  # what goes on stands back so far, as a part of the longest side


def strips_of(job: Job) -> Mapping[str, int]:
    """Of how many strips each piece is glued up, by mark, where it is not one board."""
    return {piece.mark: part.strips for part, piece in job.build.pieces() if part.strips > 1}


def assembled_picture(job: Job, room_mm: tuple[float, float] = STANDING_MM) -> Drawing | None:
    """The build as it stands, doors open and drawers pulled out a little, for a space of paper this wide and high, at
    the largest scale that fits; taller settings of it follow, as wide. None where no piece has a place."""
    if job.space is None:
        return None
    open_ = opened(job.build, pictured(job.space.scene))
    laid = Laid(open_.scene, open_.pulled(PULLED), strips=strips_of(job))
    drawing = picture(laid, room_mm, name=job.build.title).drawing
    wide, tall, scale = drawing.width, drawing.height, drawing.scale
    assert scale is not None
    found: dict[Fraction, Drawing] = {}
    for high in LARGER_STANDING_MM:
        more = min(room_mm[0] / wide.float_mm(), high / tall.float_mm()) / float(scale)
        if high > room_mm[1] and more > 1.02:
            larger = scale * Fraction(int(more * 1000), 1000)
            found[larger] = replace(drawing, scale=larger, tallest_mm=high + 2)
    return replace(drawing, larger=tuple(found[scale] for scale in sorted(found, reverse=True)))


def exploded_picture(job: Job, room_mm: tuple[float, float], labels: Sequence[Label] | None = None) -> Picture:
    """The build taken apart, with a mark for every piece (or the `labels`): neighbours as near together as leaves every
    mark a place, and so at the largest scale."""
    laid, marked = taken_apart(job, room_mm, labels)
    return drawn(laid, marked, room_mm, ISOMETRIC, job.build.title, frame_of(laid, ISOMETRIC))


def taken_apart(job: Job, room_mm: tuple[float, float], labels: Sequence[Label] | None = None) -> tuple[Laid, Marked]:
    """What that picture shows, and where its marks stand."""
    assert job.space is not None
    scene = pictured(job.space.scene)
    closed = job.space.contacts if scene is job.space.scene else replace(job.space.contacts, scene=scene)
    apart = TakenApart(opened(job.build, scene), closed)
    long = scene.ticks.length(max(scene.bounds.size))
    every = every_mark(scene) if labels is None else labels
    for gap, most in GAPS:
        laid = _apart(apart, long * gap, Fraction(most), strips_of(job), room_mm)
        frame = frame_of(laid, ISOMETRIC)
        marked = best_marks(laid, room_mm, ISOMETRIC, every, frame, quick=True)
        if not marked.unmarked:
            return laid, marked
    return laid, best_marks(laid, room_mm, ISOMETRIC, every, frame)


def _apart(
    apart: TakenApart, gap: Length, most: Fraction, strips: Mapping[str, int], room_mm: tuple[float, float]
) -> Laid:
    """Taken apart with this gap, and upwards by as many times it, up to `most`, as the room has left of its height."""

    def laid(rise: Fraction) -> Laid:
        found = apart.by(gap, gap * rise)
        return Laid(apart.opened.scene, found.offsets, found.lines, strips)

    low, high = (laid(rise) for rise in (LEAST_RISE, most))
    wide, one = _size(low)
    _, two = _size(high)
    left = wide * room_mm[1] / room_mm[0] - one
    if left <= 0 or two <= one:
        return low
    share = min(Fraction(1), Fraction(int(left / (two - one) * 100), 100))
    return laid(LEAST_RISE + (most - LEAST_RISE) * share)


def _size(laid: Laid) -> tuple[float, float]:
    low, high = frame_of(laid, ISOMETRIC)
    return (high[0] - low[0]).float_mm(), (high[1] - low[1]).float_mm()


def pictured(scene: Scene) -> Scene:
    """The scene, or only the bodies of its pieces where so many are drawn so small that no joint could be seen."""
    if len(scene.pieces) <= MOST_DETAILED:
        return scene
    return Scene.of(replace(piece, features=()) for piece in scene.pieces)


@dataclass(frozen=True)
class _Shown:
    """What the picture of a stage shows, and the upright rectangle round it."""

    laid: Laid
    labels: Sequence[Label]
    arrows: Sequence[tuple[Corner, Corner, str]] = ()

    @cached_property
    def frame(self) -> tuple[Flat, Flat]:
        return frame_of(self.laid, ISOMETRIC, self.arrows)


def stage_picture(job: Job, work: StageWork, room_mm: tuple[float, float]) -> Picture | None:
    """What a stage puts together. What stands already is pale; what goes on now is bold, with its marks, drawn back
    along the way it goes on, with a numbered arrow in the order of the steps. None where pieces have no place."""
    shown, marked = _stage_shown(job, work), stage_marks(job, work, room_mm)
    if shown is None or marked is None:
        return None
    found = drawn(shown.laid, marked, room_mm, ISOMETRIC, f"stage {work.number}", shown.frame, shown.arrows)
    return replace(found, drawing=replace(found.drawing, sketch=True, captioned=False))


def stage_marks(job: Job, work: StageWork, room_mm: tuple[float, float]) -> Marked | None:
    """Where the marks stand in that picture, and which have no place in it."""
    shown = _stage_shown(job, work)
    if shown is None:
        return None
    return job.once(
        ("marks of a stage", work.number, room_mm),
        lambda: best_marks(shown.laid, room_mm, ISOMETRIC, shown.labels, shown.frame, shown.arrows),
    )


def _stage_shown(job: Job, work: StageWork) -> _Shown | None:
    """The same for every sheet and every room."""
    return job.once(("picture of a stage", work.number), lambda: _made_shown(job, work))


def _made_shown(job: Job, work: StageWork) -> _Shown | None:
    if job.space is None:
        return None
    by_mark = {piece.mark: piece for piece in pictured(job.space.scene).pieces}
    if work.panels:
        return _strips_shown(work, by_mark)
    again = pieces_again(job.build, work)
    every = (*work.stage.pieces, *(mark for closing in _closings(work) for mark in closing.marks))
    marks = dict.fromkeys(mark for mark in every if mark not in again)
    if not marks or any(mark not in by_mark for mark in marks) or len(marks) > MOST_DETAILED:
        return None
    scene = Scene.of(by_mark[mark] for mark in marks)
    contacts = find_contacts(scene)
    wet, later = runs_of(job.build, work)
    told = [
        (str(n) if each is run[0] else "", each)
        for n, run in enumerate((*wet, *later), 1)
        for each in run
        if not again.intersection(each.marks)
    ]
    shifts, arrows = drawn_back(contacts, [each for _, each in told], [number for number, _ in told])
    movers = {mark for _, closing in told if closing.onto for mark in closing.marks}
    glued = ((meeting.entering, meeting.receiving) for joint, meeting in work.meetings if joint.glued)
    laid = Laid(
        scene,
        shifts,
        strips=strips_of(job),
        pale=marks.keys() - set(work.loose) - movers,
        bold=True,
        wet=wet_faces(contacts, glued),
        sizes=STAGE_MARKS,
    )
    used = {mark for earlier in job.stages[: work.number - 1] for mark in earlier.stage.pieces}
    labels: list[Label] = [(mark, (mark,)) for mark in marks if mark not in used]
    for title in work.stage.uses:
        things = (earlier.things.get(title, ()) for earlier in job.stages[: work.number - 1])
        labels += [(title, thing) for thing in things if thing][-1:]
    return _Shown(laid, labels, arrows)


def _strips_shown(work: StageWork, by_mark: Mapping[str, PlacedPiece]) -> _Shown | None:
    """The strips of each panel side by side in their order, apart, each with its mark."""
    strips = []
    for part, piece in work.panels:
        if piece.mark not in by_mark:
            return None
        whole = replace(by_mark[piece.mark], features=())
        wide, gap = whole.width / part.strips, whole.width / 12
        for number, mark in enumerate(part.strip_marks(piece.mark)):
            across = (wide + gap) * number
            at, _ = whole.range_in_build((ZERO, across, ZERO), (whole.length, across + wide, whole.thickness))
            strips.append(replace(whole, mark=mark, at=at, width=wide))
    scene = Scene.of(strips)
    return _Shown(standing(scene, bold=True, sizes=STAGE_MARKS), every_mark(scene))


def _closings(work: StageWork) -> tuple[Closing, ...]:
    return (*work.order.closings, *work.order.later)


def drawn_back(
    contacts: Contacts, closings: Sequence[Closing], numbers: Sequence[str]
) -> tuple[tuple[Corner, ...], list[tuple[Corner, Corner, str]]]:
    """How far each piece of a scene stands back from its place, in ticks, so that every move is seen; and an arrow for
    each move, from what moves to where it goes, with the number of its step: empty where an earlier one bears it."""
    scene = contacts.scene
    index = {piece.mark: i for i, piece in enumerate(scene.pieces)}
    shifts: list[Corner] = [(0, 0, 0)] * len(scene.pieces)
    gap = int(max(scene.bounds.size) * STAGE_GAP)
    standing_marks: set[str] = set()
    spots: list[tuple[str, int, int, Corner, Closing]] = []
    for number, closing in zip(numbers, closings, strict=True):
        movers = {index[mark] for mark in closing.marks if mark in index}
        met = [
            pair
            for i in movers
            for pair in contacts.of_piece[i]
            if (pair.touches or pair.mitre)
            and (pair.first in movers) != (pair.second in movers)
            and contacts.scene.pieces[pair.second if pair.first in movers else pair.first].mark in standing_marks
        ]
        standing_marks |= set(closing.marks)
        if not closing.onto or not met:
            continue
        _draw_back(contacts, shifts, movers, met, closing, gap)
        pair = max(met, key=lambda p: (ISOMETRIC.depth(_middle(p)), p.first))
        mover, stays = (pair.first, pair.second) if pair.first in movers else (pair.second, pair.first)
        spots.append((number, mover, stays, _middle(pair), closing))
    arrows = []
    for words, mover, stays, spot, closing in spots:
        axis, high = closing.toward
        start, end = _sum(spot, shifts[mover]), list(_sum(spot, shifts[mover]))
        end[axis] = spot[axis] + shifts[stays][axis]
        if closing.also is not None:  # as far aside as along
            end[closing.also[0]] += abs(end[axis] - start[axis]) * (1 if closing.also[1] else -1)
        if (end[axis] > start[axis]) == high and end[axis] != start[axis]:
            arrows.append((start, (end[0], end[1], end[2]), words))
    return tuple(shifts), arrows


def _draw_back(
    contacts: Contacts, shifts: list[Corner], movers: Set[int], met: Sequence[Pair], closing: Closing, gap: int
) -> None:
    """Moves what goes on clear of what it goes onto, from where that stands drawn back itself."""
    axis, high = closing.toward
    sense = -1 if high else 1
    ends = [(p.first, p.second) if p.first in movers else (p.second, p.first) for p in met]
    far = max(
        gap + _reach(contacts, pair, movers, closing.toward) - sense * (shifts[mover][axis] - shifts[stays][axis])
        for pair, (mover, stays) in zip(met, ends, strict=True)
    )
    mover, stays = ends[0]
    step = [b - a for a, b in zip(shifts[mover], shifts[stays], strict=True)]
    step[axis] = sense * max(0, far)
    if closing.also is not None:
        step[closing.also[0]] += max(0, far) * (-1 if closing.also[1] else 1)
    for i in movers:
        shifts[i] = _sum(shifts[i], (step[0], step[1], step[2]))


def _reach(contacts: Contacts, pair: Pair, movers: Set[int], toward: Way) -> int:
    """How far one piece reaches into the other, against the way they go together."""
    axis, high = toward
    mover, stays = (pair.first, pair.second) if pair.first in movers else (pair.second, pair.first)
    one, two = contacts.scene.solids[mover].bounds, contacts.scene.solids[stays].body
    depth = one.hi[axis] - two.lo[axis] if high else two.hi[axis] - one.lo[axis]
    return min(max(0, depth), two.size[axis])


def _middle(pair: Pair) -> Corner:
    where = max(pair.touches, key=lambda t: t.area).where if pair.touches else pair.mitre
    assert where is not None
    a, b, c = (v // 2 for v in where.doubled_centre)
    return (a, b, c)


def _sum(one: Corner, two: Corner) -> Corner:
    return (one[0] + two[0], one[1] + two[1], one[2] + two[2])
