"""The pictures of a build, made once and shared by its sheets: as it stands, and taken apart."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.blocks.drawing import Drawing
from shopdocs.core.box import Corner
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.arrow_ends import Going
from shopdocs.documents.drawn.drawn_back import STAGE_GAPS, drawn_back
from shopdocs.documents.drawn.pictures import (
    Label,
    Laid,
    Marked,
    Picture,
    best_marks,
    drawn,
    every_mark,
    frame_of,
    least_seen,
    lines_of,
    picture,
    standing,
)
from shopdocs.documents.drawn.wet import wet_faces, wet_pins
from shopdocs.documents.job import Job
from shopdocs.model.joining import Face
from shopdocs.work.order.closing import Closing
from shopdocs.work.order.runs import pieces_again, runs_of
from shopdocs.work.order.stages import StageWork
from shopdocs.work.scene.opened import Opened, opened
from shopdocs.work.scene.taken_apart import TakenApart
from shopdocs.work.shapes.hidden import Segment
from shopdocs.work.shapes.projection import ISOMETRIC, Flat, forget_places
from shopdocs.work.space.contacts import find_contacts
from shopdocs.work.space.placed import PlacedPiece, Scene, Spot, side_of

STANDING_MM = (88.0, 52.0)  # beside what is said of the build
LARGER_STANDING_MM = (120.0, 100.0, 90.0, 80.0, 72.0, 65.0, 58.0)  # as tall where its page has room
MOST_DETAILED = 160  # pieces; more of them fill a sheet with lines, and their joints are smaller than a dot
PULLED = 0.4  # of its depth a drawer stands open
# Between neighbours, as parts of the longest side of the build, and how many times as far apart upwards at most, for
# tops lie over much of the picture: the first at which every mark has room.
GAPS = ((Fraction(1, 16), 3), (Fraction(1, 12), 3), (Fraction(1, 9), 3), (Fraction(1, 7), 4))
LEAST_RISE = Fraction(3, 2)
# Where a piece is hidden but for less than this part of it, what lies over it is lifted farther, by so many times the
# gap, the first that shows enough of it; the picture becomes no smaller than this part of what it was.
LEAST_SEEN, LIFTS, LEAST_SCALE = 0.35, (4, 5, 6, 7), Fraction(4, 5)
MOST_LIFTED = 30  # pieces; of more some are hidden anyhow
STAGE_MARKS = (20.0, 16.0, 13.0, 11.0)  # points: read from where one stands with both hands full
LARGE_MARKS = STAGE_MARKS[1]  # of the gaps between pieces the first is taken at which every mark has room in these


def strips_of(job: Job) -> Mapping[str, int]:
    """Of how many strips each piece is glued up, by mark, where it is not one board."""
    return {piece.mark: part.strips for part, piece in job.build.pieces() if part.strips > 1}


def assembled_picture(job: Job, room_mm: tuple[float, float] = STANDING_MM) -> Drawing | None:
    """The build as it stands, doors open and drawers pulled out a little, for a space of paper this wide and high, at
    the largest scale that fits; taller settings of it follow, as wide. None where no piece has a place."""
    if job.space is None:
        return None
    drawing = picture(standing_open(job), room_mm, name=job.build.title).drawing
    wide, tall, scale = drawing.width, drawing.height, drawing.scale
    assert scale is not None
    found: dict[Fraction, Drawing] = {}
    for high in LARGER_STANDING_MM:
        more = min(room_mm[0] / wide.float_mm(), high / tall.float_mm()) / float(scale)
        if high > room_mm[1] and more > 1.02:
            larger = scale * Fraction(int(more * 1000), 1000)
            found[larger] = replace(drawing, scale=larger, tallest_mm=high + 2)
    return replace(drawing, larger=tuple(found[scale] for scale in sorted(found, reverse=True)))


PICTURED, OPENED, STANDING, APART = "pictured build", "opened build", "standing open", "taken apart"
MARKS_OF_STAGE, PICTURE_OF_STAGE, IN_CLAMPS = "marks of a stage", "picture of a stage", "stage in the clamps"


def forget_pictures(job: Job) -> None:
    """Let go of scenes and their hidden lines once every document has its drawings: of a thousand pieces they take as
    much memory as all documents."""
    job.forget(PICTURED, OPENED, STANDING, APART, MARKS_OF_STAGE, PICTURE_OF_STAGE, IN_CLAMPS)
    forget_places()


def work_out_standing(job: Job) -> None:
    """Work out now what is seen of the build as it stands: the title sheet and the records have it, so that a copy of
    this process need not do it again."""
    if job.space is not None:
        lines_of(standing_open(job), ISOMETRIC)


def opened_build(job: Job) -> Opened:
    """The build as it is pictured, its doors open. Only for a build with places."""
    assert job.space is not None
    scene = pictured_build(job)
    return job.once((OPENED,), lambda: opened(job.build, scene))


def standing_open(job: Job) -> Laid:
    """The build as it stands, doors open and drawers pulled out a little."""
    open_ = opened_build(job)
    return job.once((STANDING,), lambda: Laid(open_.scene, open_.pulled(PULLED), strips=strips_of(job)))


def exploded_picture(job: Job, room_mm: tuple[float, float], labels: Sequence[Label] | None = None) -> Picture:
    """The build taken apart, with a mark for every piece (or the `labels`): neighbours as near together as leaves every
    mark a place, and so at the largest scale."""
    return drawn_apart(job, taken_apart(job, room_mm, labels), room_mm)


def drawn_apart(job: Job, apart: tuple[Laid, Marked], room_mm: tuple[float, float]) -> Picture:
    """That picture, where its marks are placed already."""
    laid, marked = apart
    return drawn(laid, marked, room_mm, ISOMETRIC, job.build.title, frame_of(laid, ISOMETRIC))


def taken_apart(
    job: Job, room_mm: tuple[float, float], labels: Sequence[Label] | None = None, whole: bool = False
) -> tuple[Laid, Marked]:
    """What that picture shows, and where its marks stand; `whole` where it is of use only with all of them."""
    assert job.space is not None
    scene = pictured_build(job)
    apart = job.once((APART,), lambda: _taken_apart(job, scene))
    long = scene.ticks.length(max(scene.bounds.size))
    every = every_mark(scene) if labels is None else labels
    for gap, most in GAPS:
        laid = _lifted(apart, long * gap, _apart(apart, long * gap, Fraction(most), strips_of(job), room_mm), room_mm)
        frame = frame_of(laid, ISOMETRIC)
        marked = best_marks(laid, room_mm, ISOMETRIC, every, frame, quick=True)
        if not marked.unmarked:
            return laid, marked
    return laid, best_marks(laid, room_mm, ISOMETRIC, every, frame, whole=whole)


def _taken_apart(job: Job, scene: Scene) -> TakenApart:
    assert job.space is not None
    closed = job.space.contacts if scene is job.space.scene else replace(job.space.contacts, scene=scene)
    return TakenApart(opened_build(job), closed)


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


def _lifted(apart: TakenApart, gap: Length, laid: Laid, room_mm: tuple[float, float]) -> Laid:
    """The same with what lies over others lifted farther, where that shows a piece that they hide."""
    if len(laid.scene.pieces) > MOST_LIFTED:
        return laid
    seen, scale = least_seen(laid, room_mm, ISOMETRIC)
    for lift in LIFTS if seen < LEAST_SEEN else ():
        found = apart.by(gap, gap * lift)
        higher = replace(laid, shifts=found.offsets, ways=found.lines)
        shown, smaller = least_seen(higher, room_mm, ISOMETRIC)
        if smaller < scale * LEAST_SCALE:
            break
        if shown >= LEAST_SEEN:
            return higher
    return laid


def _size(laid: Laid) -> tuple[float, float]:
    low, high = frame_of(laid, ISOMETRIC)
    return (high[0] - low[0]).float_mm(), (high[1] - low[1]).float_mm()


def pictured_build(job: Job) -> Scene:
    """The scene of the build, or only the bodies of its pieces where so many are drawn so small that no joint could be
    seen. Only for a build with places."""
    assert job.space is not None
    return job.once((PICTURED,), lambda: _pictured(job.space.scene))  # type: ignore[union-attr]


def _pictured(scene: Scene) -> Scene:
    if len(scene.pieces) <= MOST_DETAILED:
        return scene
    return Scene.of(replace(piece, features=()) for piece in scene.pieces)


class _Shown(Struct, frozen=True, dict=True):
    """What the picture of a stage shows, and the upright rectangle round it."""

    laid: Laid
    labels: Sequence[Label]
    arrows: Sequence[Going] = ()

    @cached_property
    def frame(self) -> tuple[Flat, Flat]:
        return frame_of(self.laid, ISOMETRIC, self.arrows)


def stage_picture(job: Job, work: StageWork, room_mm: tuple[float, float]) -> Picture | None:
    """What a stage puts together. What stands already is pale; what goes on now is bold, with its marks, drawn back
    along the way it goes on, with a numbered arrow in the order of the steps. None where pieces have no place."""
    best = _best_shown(job, work, room_mm)
    if best is None:
        return None
    shown, marked = best
    found = drawn(shown.laid, marked, room_mm, ISOMETRIC, f"stage {work.number}", shown.frame, shown.arrows)
    return replace(found, drawing=replace(found.drawing, sketch=True, captioned=False))


def stage_marks(job: Job, work: StageWork, room_mm: tuple[float, float]) -> Marked | None:
    """Where the marks stand in that picture, and which have no place in it."""
    best = _best_shown(job, work, room_mm)
    return best[1] if best is not None else None


def _best_shown(job: Job, work: StageWork, room_mm: tuple[float, float]) -> tuple[_Shown, Marked] | None:
    """The first of the gaps at which every mark has room in large type, else the one that leaves out the fewest, with
    the largest of them."""
    return job.once((MARKS_OF_STAGE, work.number, room_mm), lambda: _tried_shown(job, work, room_mm))


def _tried_shown(job: Job, work: StageWork, room_mm: tuple[float, float]) -> tuple[_Shown, Marked] | None:
    best: tuple[_Shown, Marked] | None = None
    for gap in STAGE_GAPS:
        shown = _stage_shown(job, work, gap)
        if shown is None:
            return None
        marked = best_marks(shown.laid, room_mm, ISOMETRIC, shown.labels, shown.frame, shown.arrows)
        if best is None or _worth(marked) > _worth(best[1]):
            best = shown, marked
        if work.panels or (not marked.unmarked and marked.size_pt >= LARGE_MARKS):
            break
    return best


def _worth(marked: Marked) -> tuple[int, float]:
    return -len(marked.unmarked), marked.size_pt


def _stage_shown(job: Job, work: StageWork, gap: Fraction = STAGE_GAPS[0]) -> _Shown | None:
    """The same for every sheet and every room."""
    return job.once((PICTURE_OF_STAGE, work.number, gap), lambda: _made_shown(job, work, gap))


def _made_shown(job: Job, work: StageWork, gap: Fraction) -> _Shown | None:
    if job.space is None:
        return None
    by_mark = {piece.mark: piece for piece in pictured_build(job).pieces}
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
        (str(n), each) for n, run in enumerate((*wet, *later), 1) for each in run if not again.intersection(each.marks)
    ]
    shifts, arrows = drawn_back(contacts, [each for _, each in told], [number for number, _ in told], gap)
    movers = {mark for _, closing in told if closing.onto for mark in closing.marks}
    glued = [meeting for joint, meeting in work.meetings if joint.glued]
    faces = wet_faces(contacts, ((meeting.entering, meeting.receiving) for meeting in glued))
    pins = wet_pins(scene.solids, {str(meeting.number) for meeting in glued})
    laid = Laid(
        scene,
        shifts,
        strips=strips_of(job),
        pale=marks.keys() - set(work.loose) - movers,
        bold=True,
        wet=(*faces, *pins),
        sizes=STAGE_MARKS,
    )
    used = {mark for earlier in job.stages[: work.number - 1] for mark in earlier.stage.pieces}
    labels: list[Label] = [(mark, (mark,)) for mark in marks if mark not in used]
    for title in work.stage.uses:
        things = (earlier.things.get(title, ()) for earlier in job.stages[: work.number - 1])
        labels += [(title, thing) for thing in things if thing][-1:]
    return _Shown(laid, labels, arrows)


def _strips_shown(work: StageWork, by_mark: Mapping[str, PlacedPiece]) -> _Shown | None:
    """The strips of each panel side by side in their order, apart, each with its mark and its part of the triangle."""
    strips: list[PlacedPiece] = []
    pencilled: list[tuple[Spot, Spot]] = []
    for part, piece in work.panels:
        if piece.mark not in by_mark:
            return None
        whole = replace(by_mark[piece.mark], features=())
        wide, gap = whole.width / part.strips, whole.width / 12
        for number, mark in enumerate(part.strip_marks(piece.mark)):
            across = (wide + gap) * number
            at, _ = whole.range_in_build((ZERO, across, ZERO), (whole.length, across + wide, whole.thickness))
            strips.append(replace(whole, mark=mark, at=at, width=wide))
            if whole.pose.look_of(Face.FACE) == (2, True):  # seen from above
                pencilled += [
                    (strips[-1].spot_in_build(start), strips[-1].spot_in_build(end))
                    for start, end in of_triangle(whole, wide * number, wide)
                ]
    scene = Scene.of(strips)
    lines = tuple(Segment(_in_ticks(start, scene), _in_ticks(end, scene)) for start, end in pencilled)
    laid = standing(scene, bold=True, sizes=STAGE_MARKS, pencilled=lines)
    return _Shown(laid, every_mark(scene))


# The base of the triangle along the panel, to one side of where marks stand, and how far it stays off the edges.
TRIANGLE = Fraction(1, 12), Fraction(5, 12), Fraction(1, 10)


def of_triangle(panel: PlacedPiece, begins: Length, wide: Length) -> Iterator[tuple[Spot, Spot]]:
    """The triangle that is drawn across the strips of a panel on its face side, as far as it lies on the strip that
    `begins` so far across it and is so `wide`: its lines from end to end, in coordinates of the strip."""
    first, last, off = TRIANGLE
    deep = panel.thickness if side_of(Face.FACE)[1] else ZERO
    base, tip = panel.width * off, panel.width * (1 - off)
    low, high = max(base, begins), min(tip, begins + wide)
    if low >= high:
        return
    for side in (first, last):
        ends = [(at - base) / (tip - base) for at in (low, high)]
        alongs = [panel.length * (side + ((first + last) / 2 - side) * share) for share in ends]
        yield (alongs[0], low - begins, deep), (alongs[1], high - begins, deep)
    if low == base:
        yield (panel.length * first, base - begins, deep), (panel.length * last, base - begins, deep)


def _in_ticks(spot: Spot, scene: Scene) -> Corner:
    x, y, z = (round(value.mm * scene.ticks.per_mm) for value in spot)
    return (x, y, z)


def _closings(work: StageWork) -> tuple[Closing, ...]:
    return (*work.order.closings, *work.order.later)
