"""What the season of making asks for: a line for each way in which wood that moves is held, for several sheets."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from msgspec.structs import replace

from shopdocs.blocks.sheets import Block
from shopdocs.blocks.text import Bullets, Figure, Paragraph, Text, Weight, text
from shopdocs.core.display import ROUNDED, SMALL, Display, rounded
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.documents.figures import gap_figure, marks_text
from shopdocs.documents.job import Job
from shopdocs.work.seasons.tie import Sort, Tie


def at_least(name: str, value: Length, job: Job, at: Position = NOWHERE) -> Figure:
    """What must be left: rounded up to what the build measures in, and up again to what the sheet does, for a gap
    rounded down would be too small."""
    up, display = _up(value, job.build.display.step), job.display
    shown = _up(up, display.step)
    marked = ROUNDED if shown != up else ""
    return Figure(name, f"{marked}{display.digits(shown)} {display.units}", up.mm, "mm", at)


def _up(value: Length, step: Length) -> Length:
    return step * -(-value.mm // step.mm)


def least(name: str, value: Length, given: Length | None, job: Job, at: Position = NOWHERE) -> Figure:
    """What must be left beside what the build gives: finer where it would seem more than that, though it is enough."""
    told = at_least(name, value, job, at)
    seems_more = given is not None and _up(Length(told.value), job.display.step) > job.display.gap_length(given)
    if given is None or given < value or not seems_more:
        return told
    return gap_figure(name, Length(told.value), job.display, at, unit=True)


def change(name: str, value: Length, display: Display, at: Position = NOWHERE) -> Figure:
    """How far wood moves, no finer than a 64th of an inch or a tenth of a millimetre."""
    fine = replace(display, step=SMALL[display.units], both=False)
    return Figure(name, fine.bare(value), value.mm, "mm", at)


def both_changes(
    name: str, parts: Sequence[Length], display: Display, at: Position = NOWHERE, gaps: Sequence[Length] = ()
) -> Figure:
    """What several of these, and gaps, come to, as the sum of what is printed of each: one adds up what one reads."""
    step = SMALL[display.units]
    value, printed = sum((*gaps, *parts), ZERO), sum((rounded(part, step) for part in parts), ZERO)
    printed += sum(map(display.gap_length, gaps), ZERO)
    shown = replace(display, step=step, both=False).bare(printed)
    marked = f"{ROUNDED}{shown}" if printed != value and ROUNDED not in shown else shown
    return Figure(name, marked, value.mm, "mm", at)


def alike(ties: Collection[Tie]) -> list[tuple[Tie, tuple[str, ...], tuple[str, ...]]]:
    """Ties of the same sort and size told once, with all the pieces, and all that hold them."""
    groups: dict[object, list[Tie]] = {}
    for tie in ties:
        groups.setdefault(_kind(tie), []).append(tie)
    found = []
    for same in groups.values():
        marks = tuple(dict.fromkeys(mark for tie in same for mark in tie.riding))
        found.append((same[0], marks, tuple(dict.fromkeys(by for tie in same for by in tie.by))))
    return found


def _kind(tie: Tie) -> object:
    gaps = tuple((beside.gap, beside.where) for beside in tie.beside)
    return tie.sort, tie.part, tie.through, tie.needs, tie.gives, tie.span, gaps


def season_lines(job: Job, marks: Collection[str] | None = None) -> Iterator[Text]:
    """What to leave on the day of making, for all pieces or for those of these marks."""
    for tie, pieces, by in alike(ties_on(job, marks)):
        words = _words(job, tie, by)
        if words:
            yield text(f"{marks_text(pieces, 8)}: ", *words)


def ties_on(job: Job, marks: Collection[str] | None) -> list[Tie]:
    """The ties that pieces of these marks have a share in; all of them where none are named."""
    return [tie for tie in job.ties if marks is None or not set(tie.riding).isdisjoint(marks)]


def room_to_leave(job: Job, tie: Tie) -> Figure | None:
    """What to leave on the day of making: a panel at either edge, what is held with play each way, a gap in all."""
    if tie.sort is Sort.PANEL:
        needs = None if tie.glued else tie.needs / 2
    else:
        needs = tie.needs if tie.sort in (Sort.HELD, Sort.GAP) else None
    given = tie.gives if tie.sort in (Sort.HELD, Sort.GAP) else None
    return least(f"{tie.part} · season", needs, given, job, tie.at) if needs else None


def room_left(job: Job, tie: Tie) -> tuple[Figure, ...]:
    """What the build leaves, where that is enough: the play each way, or the gap to either neighbour that one is left
    to. Who left the least there would have a narrower top, or a button that does not fit its groove."""
    if not tie.enough or tie.sort not in (Sort.HELD, Sort.GAP):
        return ()
    rooms = [beside.gap for beside in tie.beside] if tie.sort is Sort.GAP else [tie.gives]
    name = f"{tie.part} · room left"
    return tuple(gap_figure(name, room, job.display, tie.at, unit=True) for room in rooms if room)


def edges_move(job: Job, tie: Tie) -> tuple[Length, Length]:
    """How far each edge of a panel goes out and back, where its middle stays: half of what the whole width does."""
    moves, width = job.moves[tie.part], job.build.part(tie.part).width
    return width * moves.grows / 2, width * moves.shrinks / 2


def _words(job: Job, tie: Tie, by: tuple[str, ...]) -> Text:
    name, display, left = f"{tie.part} · season", job.display, room_to_leave(job, tie)
    if left is not None and tie.sort is Sort.PANEL:
        return text("leave at least ", left, " on each side now, between the tongue and the floor of its groove")
    if left is not None and tie.sort is Sort.HELD:
        each, rooms = f" of play each way now, at each {tie.through}", room_left(job, tie)
        if rooms:
            least = ("; ", left, " is the least") if rooms[0].shown != left.shown else ()
            return text("leave ", rooms[0], each, *least)
        return text("leave at least ", left, each)
    if left is not None and tie.sort is Sort.GAP:
        return _gap_words(job, tie, by, left)
    if tie.sort is Sort.SLIDING:
        grown, shrunk = (change(name, value, display, tie.at) for value in edges_move(job, tie))
        return text(
            f"flush with its {tie.on} on the day you make it; each edge will stand out by up to ",
            grown,
            " and back by up to ",
            shrunk,
            f" {display.units} over the year",
        )
    return ()


def _gap_words(job: Job, tie: Tie, by: tuple[str, ...], left: Figure) -> Text:
    """The gaps that the build has, where they are enough, and the least that would do."""
    rooms, named = room_left(job, tie), len(by) < 3
    if len(rooms) == 1:
        (to,) = (beside.mark for beside in tie.beside if beside.gap)
        return text("leave a gap of ", rooms[0], f" to {to} now; " if named else " now; ", left, " is the least")
    together = " is the least, both sides together"
    if rooms and rooms[0].shown == rooms[1].shown:
        return text("leave gaps of ", rooms[0], " now; ", left, together)
    if rooms and named:
        one, two = (beside.mark for beside in tie.beside)
        return text("leave gaps of ", rooms[0], f" to {one} and ", rooms[1], f" to {two} now; ", left, together)
    where = f" now, between {' and '.join(by)}" if named else " now, both sides together"
    return text("leave a gap of at least ", left, where)


def season_notes(job: Job, marks: Collection[str]) -> list[Block]:
    """The same among what else is told of a drawing, a line each."""
    lines = tuple(text("Allow for the season: ", *line, ".") for line in season_lines(job, marks))
    return [Bullets(lines)] if lines else []


def season_blocks(job: Job, marks: Collection[str] | None = None) -> list[Block]:
    """The lines under a title of their own, for a sheet where pieces are sawn or drawn; nothing where none is held."""
    lines = tuple(season_lines(job, marks))
    if not lines:
        return []
    if len(lines) == 1:
        return [Paragraph(text("Allow for the season: ", *lines[0], "."), Weight.NORMAL)]
    return [Paragraph(text("Allow for the season:")), Bullets(lines)]
