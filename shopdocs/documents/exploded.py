"""The build as a picture: apart with its marks, and from three sides with its heights and its overall size."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, Document, TitlePage, Together
from shopdocs.blocks.text import Heading, Paragraph, text
from shopdocs.documents.drawn.build_pictures import (
    drawn_apart,
    pictured_build,
    stage_picture,
    strips_of,
    taken_apart,
)
from shopdocs.documents.drawn.elevations import elevations
from shopdocs.documents.drawn.pictures import Label, Laid, Marked, every_mark, picture
from shopdocs.documents.figures import marks_text
from shopdocs.documents.job import Job
from shopdocs.documents.stage_pages import names_all
from shopdocs.work.order.stages import StageWork
from shopdocs.work.scene.explode import explode
from shopdocs.work.scene.opened import Moves, opened
from shopdocs.work.space.contacts import find_contacts
from shopdocs.work.space.placed import Scene

# The width of the paper between its margins, and the height that a picture has under the title of its sheet.
PAGE_MM = {"letter": (178.0, 205.0), "a4": (178.0, 221.0)}
ANY_PAGE_MM = (178.0, 205.0)
STAGE_MM = 130.0  # tall
VIEWS_WIDE_MM = {"letter": 186.0}  # their scale is one of the usual: a little more room may give the next one
VIEWS_MM, LARGE_VIEWS_MM = 82.0, 108.0  # tall, on the page of a picture that needs more of it or less
BELOW_VIEWS_MM = 21.0  # for dimensions, caption and the marks of the parts on the same page
# Of a page's height, for the picture: it shares its page with the views as long as every mark has room in it.
SMALL_SHARE, LEAST_SHARE, ENOUGH_SHARE = 0.4, 0.55, 0.65
LARGER_VIEWS_MM = (240.0, 210.0, 180.0, 155.0, 130.0, 110.0, 97.0, 90.0)  # as tall where their page has room
LIKE_PIECES = 4  # more pieces of one part share a leader where not every piece has its own
MOST_MARKS = 48  # more marks in one picture are a thicket
GROUP_MARKS = 30  # pieces of one picture where no stage says what belongs together


def in_space(job: Job) -> bool:
    """Whether the build says where pieces go: without that there is nothing to picture."""
    return job.space is not None


def page_mm(job: Job) -> tuple[float, float]:
    """The room for a picture that has a page to itself, its title above it."""
    return PAGE_MM.get(job.shop.paper, ANY_PAGE_MM)


def exploded_drawing(job: Job) -> Document:
    """The build apart with its marks, the views with its sizes, the marks of every part, and pictures of what the whole
    cannot name. Only for a build with places: see `in_space`."""
    assert job.space is not None
    scene = job.space.scene
    few = len(scene.pieces) <= MOST_MARKS
    wide, _ = page_mm(job)
    units = opened(job.build, scene).units
    doors, drawers = ([i for u in units if u.moves is moves for i in u.pieces] for moves in (Moves.DOOR, Moves.DRAWER))
    rooms = [(VIEWS_WIDE_MM.get(job.shop.paper, wide), high) for high in (VIEWS_MM, *LARGER_VIEWS_MM, LARGE_VIEWS_MM)]
    one_door = sum(unit.moves is Moves.DOOR for unit in units) == 1
    views = elevations(pictured_build(job), job.display, rooms, doors, drawers, job.build.free_standing, one_door)
    least = views
    views, high, apart, short = _beside_views(job, views)
    whole = drawn_apart(job, apart, (wide, high))
    named = {piece.mark for piece in scene.pieces} - set(whole.unmarked) if few else set()
    pictures = list(_group_pictures(job, [p.mark for p in scene.pieces if p.mark not in named]))
    blocks: list[Block] = [whole.drawing]
    rows = _rows(job)
    if rows:
        words = ", ".join(marks_text(row) for row in rows)
        blocks.append(
            Paragraph(text(f"In a row only the first and the last are marked; the others follow in order: {words}."))
        )
    if not few:
        count = len(scene.pieces)
        blocks.append(Paragraph(text(f"All {count} pieces have their marks on the next pages, some in each picture.")))
    named |= {mark for _, marks in pictures for mark in marks}
    named |= {mark for work in job.stages if names_all(job, work) for mark in work.loose}
    rest = [*(block for block, _ in pictures), *_unnamed(job, named)]
    legend = _legend(job)
    question = "Which piece is which, and where does it go?"
    return Document(
        "exploded",
        "Exploded drawing",
        question,
        (*blocks, legend, views, *rest),
        instead=(*blocks, views, legend, *rest),
        # the views at the foot of the title sheet
        ahead=(least, TitlePage(), _lower(job, whole.drawing, short), *blocks[1:], legend, *rest),
    )


def _lower(job: Job, whole: Drawing, short: float) -> Drawing:
    """The picture less tall, as long as every mark has room, for a page that another sheet goes on with; `whole` where
    that leaves it the room. A height of `short` is too little for the marks already, and no lower one is tried."""
    wide, tall = page_mm(job)
    for share in (LEAST_SHARE, ENOUGH_SHARE):
        room = (wide, tall * share)
        if room[1] <= short:
            continue
        if whole.height.float_mm(whole.scale or 1) <= room[1]:
            break
        apart = taken_apart(job, room, marks_of_picture(job), whole=True)
        if not apart[1].unmarked:
            return replace(drawn_apart(job, apart, room).drawing, larger=(whole,))
    return whole


def _beside_views(job: Job, views: Drawing) -> tuple[Drawing, float, tuple[Laid, Marked], float]:
    """The views in the setting for their page, how tall the picture is, and what it shows: with larger views where
    every mark has room in the little height that is left then, else with the least, or by itself; and the tallest of
    the heights that were found to be too little for all marks."""
    wide, tall = page_mm(job)
    short = 0.0
    larger = [one for one in views.larger if one.tallest_mm <= LARGE_VIEWS_MM]
    if larger:
        grown = replace(larger[0], larger=tuple(one for one in views.larger if one not in larger))
        high = tall - _tall_mm(grown)
        roomy = high >= tall * SMALL_SHARE
        apart = taken_apart(job, (wide, high), marks_of_picture(job), whole=True) if roomy else None
        if apart is not None and not apart[1].unmarked:
            return grown, high, apart, short
        short = high if roomy else short
    shared = tall - _tall_mm(views)
    heights = (max(tall * LEAST_SHARE, shared), max(tall * ENOUGH_SHARE, shared))
    for high in dict.fromkeys(heights) if shared >= tall * LEAST_SHARE else ():
        apart = taken_apart(job, (wide, high), marks_of_picture(job), whole=True)
        if not apart[1].unmarked:
            return views, high, apart, short
        short = high
    return views, tall, taken_apart(job, (wide, tall), marks_of_picture(job)), short


def _tall_mm(views: Drawing) -> float:
    """What the views take of a page's height, with their dimensions and caption."""
    return views.height.float_mm(views.scale or 1) + BELOW_VIEWS_MM


def marks_of_picture(job: Job) -> list[Label]:
    """What the picture of the whole build, taken apart, is marked with: every piece, or what has room of many."""
    assert job.space is not None
    return _each(job) if len(job.space.scene.pieces) <= MOST_MARKS else _labels(job)


def _unnamed(job: Job, named: set[str]) -> Iterator[Paragraph]:
    """What is named in no picture, and why."""
    assert job.space is not None
    unplaced = [piece.mark for _, piece in job.build.pieces() if piece.mark not in job.space.pieces]
    if unplaced:
        yield Paragraph(text("In no picture, the build does not say where they go: ", marks_text(unplaced), "."))
    hidden = [
        piece.mark for _, piece in job.build.pieces() if piece.mark in job.space.pieces and piece.mark not in named
    ]
    if hidden:
        yield Paragraph(text("Named in no picture, hidden or too small there: ", marks_text(hidden), "."))


def _each(job: Job) -> list[Label]:
    """Every piece by its mark, one of strips with those of its strips; of a row only the first and the last piece."""
    assert job.space is not None
    strips = {piece.mark: part.strip_marks(piece.mark) for part, piece in job.build.pieces() if part.strips > 1}
    between = _between(_rows(job), [piece.mark for piece in job.space.scene.pieces])
    return [
        (f"{mark}: {' '.join(strips[mark])}" if mark in strips else mark, marks)
        for mark, marks in every_mark(job.space.scene)
        if mark not in between
    ]


def _between(rows: Sequence[Sequence[str]], marks: Sequence[str]) -> set[str]:
    """The pieces of a picture that stand in a row between two others of it."""
    return {mark for row in rows for mark in [mark for mark in row if mark in marks][1:-1]}


def _rows(job: Job) -> list[list[str]]:
    """Parts of many pieces that lie side by side in the order of their marks."""
    assert job.space is not None
    found = []
    for part in job.build.parts:
        pieces = [job.space.pieces[piece.mark] for piece in part.pieces if piece.mark in job.space.pieces]
        moves = [axis for axis in range(3) if len({piece.at[axis] for piece in pieces}) > 1]
        if len(pieces) <= LIKE_PIECES or len(moves) != 1 or len({piece.pose for piece in pieces}) > 1:
            continue
        places = [piece.at[moves[0]].mm for piece in pieces]
        if places in (sorted(places), sorted(places, reverse=True)):
            found.append([piece.mark for piece in pieces])
    return found


def _labels(job: Job) -> list[Label]:
    """Marks for a picture that is too small for every one: one a piece, or one for all pieces of a part."""
    assert job.space is not None
    parts = [tuple(piece.mark for piece in part.pieces if piece.mark in job.space.pieces) for part in job.build.parts]
    few = sum(len(marks) if len(marks) <= LIKE_PIECES else 1 for marks in parts) <= MOST_MARKS
    labels: list[Label] = []
    for marks in parts:
        if few and len(marks) <= LIKE_PIECES:
            labels += [(mark, (mark,)) for mark in marks]
        elif marks:
            middle = len(marks) // 2
            labels.append((marks_text(marks, 3), (*marks[middle:], *reversed(marks[:middle]))))
    return labels if len(labels) <= MOST_MARKS else []


def _group_pictures(job: Job, wanted: Sequence[str]) -> Iterator[tuple[Block, list[str]]]:
    """Some pieces at a time, each with its mark: the stages that have any of those wanted, then the others; with the
    marks that are named in each."""
    assert job.space is not None
    scene, rows = pictured_build(job), _rows(job)
    room = (page_mm(job)[0], STAGE_MM)
    for title, marks, work in _groups(job):
        if not set(marks) & set(wanted) or (work is not None and names_all(job, work)):
            continue
        found = stage_picture(job, work, room) if work is not None else None
        if found is None or found.unmarked:
            some = Scene.of(piece for piece in scene.pieces if piece.mark in marks)
            step = some.ticks.length(max(some.bounds.size)) / 9
            apart = explode(find_contacts(some), step, step * 2)
            laid = Laid(some, apart.offsets, apart.lines, strips_of(job))
            between = _between(rows, marks)
            labels = [(mark, of) for mark, of in every_mark(some) if mark not in between]
            found = picture(laid, room, name=marks_text(marks, 16), labels=labels)
        yield Together((Heading(title, 2), found.drawing)), [m for m in marks if m not in found.unmarked]


def _groups(job: Job) -> Iterator[tuple[str, tuple[str, ...], StageWork | None]]:
    """What belongs together, with a title: the new pieces of each stage, and the stage where they are all of them; the
    others in the order of their parts."""
    assert job.space is not None
    left = {piece.mark: part for part, piece in job.build.pieces() if piece.mark in job.space.pieces}
    for work in job.stages:
        marks = [mark for mark in work.loose if mark in left]
        for title, some_marks in _portions(f"Stage {work.number}, {work.stage.title}", marks):
            yield title, some_marks, work if len(some_marks) == len(marks) else None
        for mark in marks:
            del left[mark]
    some = len(left) < len(job.space.pieces)
    rest = "Pieces outside the glue-up stages" if some else "Pieces in the order of the list"
    for title, some_marks in _portions(rest, list(left)):
        yield title, some_marks, None


def _portions(title: str, marks: Sequence[str]) -> Iterable[tuple[str, tuple[str, ...]]]:
    """As few portions of even size as hold no more than a picture can mark."""
    count = -(-len(marks) // GROUP_MARKS) if len(marks) > MOST_MARKS else min(1, len(marks))
    for part in range(count):
        low, high = len(marks) * part // count, len(marks) * (part + 1) // count
        yield (title if count == 1 else f"{title}: {part + 1} of {count}"), tuple(marks[low:high])


def _legend(job: Job) -> Paragraph:
    """The marks of every part; what is sawn for it stands on the cut list."""
    told = [f"{marks_text([piece.mark for piece in part.pieces])} {part.name}" for part in job.build.parts]
    return Paragraph(text(" · ".join(one.replace(" ", "\u00a0") for one in told)))
