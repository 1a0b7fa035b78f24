"""Look-alikes: which pieces can be swapped by mistake, and which wrong way round a piece also goes in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import partial
from itertools import islice

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Cell, Column, Group, Paragraph, Row, Table, Text, Weight, text
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.mistaken import (
    Pieces,
    mistaken_pair,
    mistaken_whole,
    seen_from_outside,
    turned_piece,
    turned_whole,
)
from shopdocs.documents.figures import hours_text, marks_text, strips_text
from shopdocs.documents.fitting.alike import LAST, Alike, Other
from shopdocs.documents.fitting.apart_words import deeper_cuts, likeness_words, tell_apart, told_apart
from shopdocs.documents.fitting.by_side import but_for_sides, by_side, can_be_one
from shopdocs.documents.fitting.turned import TurnedWay, told_of, turned_by, ways_of
from shopdocs.documents.fitting.twin_stages import stages_title, twin_stages
from shopdocs.documents.fitting.whole_ways import SWAPPED, WholeWay, of_stage, whole_ways
from shopdocs.documents.fitting.wording import listed
from shopdocs.documents.job import Job
from shopdocs.documents.look_alike_sizes import PICTURE_MM, with_larger, with_tall_pictures
from shopdocs.work.order.mistakes import Swap
from shopdocs.work.order.wholes import WholeMistake
from shopdocs.work.space.arrises import same_turned
from shopdocs.work.space.likeness import Kind, Likeness, LookAlike
from shopdocs.work.space.placed import PlacedPiece

MOST_PAIRS = 120  # nobody reads a sheet with more
NO_SIGN = "its marks"
AT_ONCE = ", both at once"


def look_alikes(job: Job) -> Document:
    """The mistakes that go in, by the stage in which each can be made; what the dry fit stops, or what does
    no harm, is left out."""
    assert job.alike is not None
    rows: dict[int, list[_Told]] = {}
    for told_row in (*_swap_rows(job, job.alike), *_whole_rows(job, job.alike), *_way_rows(job, job.alike)):
        rows.setdefault(_told_at(job, told_row.stage), []).append(told_row)
    numbers = sorted(rows, key=lambda number: number or LAST)
    shown = _pictured([told_row for number in numbers for told_row in rows[number]])
    groups = [Group(tuple(islice(shown, len(rows[number]))), _stage_title(job, number)) for number in numbers]
    strips = [
        f"{strips_text(part.strip_marks(piece.mark))} of {piece.mark}"
        for part, piece in job.build.pieces()
        if part.strips > 1
    ]
    table = with_larger(_table(tuple(groups)))
    blocks: list[Block] = [with_tall_pictures(table)] if groups else []
    if not groups:
        words = "No piece can be taken for another, and none goes in the wrong way round: the dry fit would stop it."
        twins = mirrored(job)
        told = f" {'; '.join(twins)} are mirror images." if twins else ""
        blocks.insert(0, Paragraph(text(words, told)))
    words = (
        "Every piece was tried every way round in its own place and in those of pieces like it, as its stage is "
        "built by then. Wrong ways that the joints stop, or that make no difference, are left out. Left and right are "
        "as seen from the front."
    )
    untold = len(_pairs(job, job.alike)) - MOST_PAIRS
    if untold > 0:
        words += f" Not told here: {untold} more pairs of pieces that can be swapped. Read the marks of all."
    if strips:
        words += f" Alike until their triangle is drawn: {', '.join(strips)}."
    blocks.insert(0, Paragraph(text(words), Weight.QUIET))
    question = "Which pieces also fit the wrong way, and when would I notice?"
    instead = (*blocks[:-1], table) if groups and blocks[-1] != table else ()
    return Document("look-alikes", "Look-alikes", question, tuple(blocks), runs_on=True, instead=instead)


MOST_PICTURES = 18  # more of them are told in words alone


class _Told(Struct, frozen=True):
    """A row of the table, the stage in which the mistake is made, and pieces as they lie when they are right, each with
    what lies there when they are wrong: of the first that shows a difference there is a picture. Marks stand under it
    where the row tells of several pieces. `things` are the same of what was glued up before."""

    stage: int
    row: Row
    pairs: Iterable[tuple[PlacedPiece, PlacedPiece]] = ()
    several: bool = False
    things: tuple[Pieces, Pieces] | None = None


def _pictured(told: Sequence[_Told]) -> Iterator[Row]:
    """The rows, with what is right and what is wrong in pictures where one sees it from outside."""
    left = MOST_PICTURES
    for one in told:
        pairs = one.pairs if left else ()
        found = next((shown for pair in pairs if (shown := _picture_cells(*pair, one.several)) is not None), ())
        if one.things is not None and left and (drawn := mistaken_whole(*one.things)) is not None:
            found = Cell(text(drawn[2]) if drawn[2] else (), drawing=drawn[0]), Cell((), drawing=drawn[1])
        left -= bool(found)
        yield replace(one.row, cells=(*one.row.cells, *found))


def _picture_cells(right: PlacedPiece, wrong: PlacedPiece, several: bool) -> tuple[Cell, ...] | None:
    pair = mistaken_pair(right, wrong)
    if pair is None:
        return None
    one, two, where = pair
    marks = (right.mark, wrong.mark) if several else ("", "")
    part, _, view = where.partition(", ")  # of what is slim: which part under the one, from where under the other
    if part.endswith(("end", "half", "middle")):
        same = marks[0] == marks[1] and view
        words = " ".join(filter(None, (marks[0], part))), ", ".join(filter(None, ("" if same else marks[1], view)))
    else:
        words = ", ".join(filter(None, (marks[0], where))), marks[1]
    return tuple(Cell(text(said) if said else (), drawing=drawn) for said, drawn in zip(words, (one, two), strict=True))


def _table(groups: tuple[Group, ...]) -> Table:
    columns = (
        Column("Pieces", strong=True, share=0.7),
        Column("Wrong way", share=0.9),
        Column("Right way", strong=True, share=1.0),
        Column("Check", share=2.0),
        Column("Found", share=1.0),
    )
    shown = any(cell.drawing for group in groups for row in group.rows for cell in row.cells)
    pictures = tuple(Column(title, "centre", share=0.0, picture_mm=PICTURE_MM) for title in ("RIGHT", "WRONG"))
    return Table("look-alikes", (*columns, *pictures) if shown else columns, groups, fitted=True)


def _stage_title(job: Job, number: int) -> str:
    return stages_title(twin_stages(job)[number]) if number else "After the glue-up"


def _told_at(job: Job, stage: int) -> int:
    """The stage under which a mistake is told: the first of those of one make."""
    return twin_stages(job)[stage][0].number if stage else 0


def found_words(job: Job, found: int | None) -> str:
    """When a mistake is noticed, in words; `found` as in `Mistake`."""
    if found is None:
        return "nothing stops it"
    if not found:
        return "only after the glue-up, when the rest goes on"
    return f"only at stage {found}, {job.stages[found - 1].stage.title}"


def way_words(job: Job, way: TurnedWay, count: int = 1, when: bool = True) -> str:
    """How `count` pieces lie when they are right, the wrong way they also go in, and `when` that is noticed."""
    noticed = _noticed(job, way) if when else ""
    return (
        f"{way.whole}. {'Also fits' if count == 1 else 'Also fit'} the wrong way, {_with(_short(job, way))}{noticed}."
    )


def _short(job: Job, way: TurnedWay) -> str:
    """The wrong ways, with how far out of line the piece sits then: "upside down (³⁄₄ in too high)"."""
    out = {words: (axis, by) for words, axis, by in way.out}
    return " or ".join(f"{words} ({_out_of_line(job, *out[words])})" if words in out else words for words in way.shorts)


def _with(wrong: str) -> str:
    """The wrong ways as they follow "goes in": upside down, but with a quarter turn."""
    return f"with {wrong}" if wrong.startswith("a ") else wrong


def _out_of_line(job: Job, axis: int, by: Length) -> str:
    return f"{job.display.length(abs(by))} {TOO_FAR[axis, by > ZERO]}"


TOO_FAR = {
    (0, False): "too far left",
    (0, True): "too far right",
    (1, False): "too far forward",
    (1, True): "too far back",
    (2, False): "too low",
    (2, True): "too high",
}


def _noticed(job: Job, way: TurnedWay | WholeWay | Swap) -> str:
    """By which later stage, and what has been in the clamps by then."""
    found = found_words(job, way.found)
    noticed = f", and {found}" if way.found is None else f": found {found}"
    clamped = job.stages[way.stage - 1].wait_hours if way.stage else None
    if way.found is not None and clamped:
        noticed += f", after {hours_text(clamped)} in the clamps"
    return noticed


# Pieces that go in for others.


def _swap_rows(job: Job, alike: Alike) -> Iterator[_Told]:
    for kinds, pairs in _confused(_pairs(job, alike)[:MOST_PAIRS], alike):
        likeness = pairs[0][0].likeness
        marks = [mark for kind in kinds for mark in kind.marks]
        swaps = [other.swap for _, other in pairs if other.swap is not None]
        wrong = f"swapped: {likeness_words(alike, likeness, [kind.marks[0] for kind in kinds])}"
        out = next(((swap, swap.out) for swap in swaps if swap.out is not None), None)
        if out is not None:
            swap, (axis, by) = out
            wrong += f" ({swap.mark} for {swap.place} sits {_out_of_line(job, axis, by)})"
        pictured = [pair for _, other in pairs for pair in _swapped(alike, other)]
        check = (*_deeper(job, alike, kinds, pictured), *tell_apart(job, kinds, pairs[0][0]))
        cells = (
            Cell.of(", ".join(marks_text(alike.in_order(kind.marks)) for kind in kinds)),
            Cell.of(wrong),
            Cell.of("read the marks"),
            Cell(check),
            Cell.of(_swap_found(job, alike, pairs)),
        )
        stage = min((_first_stage(alike, other, marks) or LAST for _, other in pairs), default=LAST) % LAST
        yield _Told(stage, Row(cells), pictured, several=True)


Pairs = list[tuple[LookAlike, Other]]
TRIED = "at once: too loose or too tight"  # what is of nearly the same size


def _pairs(job: Job, alike: Alike) -> Pairs:
    """All pairs of kinds of pieces that can be taken for each other."""

    def found() -> Iterator[tuple[LookAlike, Other]]:
        for pair in alike.space.look_alikes.pairs:
            second = alike.kinds[pair.second]
            others = alike.others(alike.kinds[pair.first].marks[0])
            other = next((o for o in others if o.marks[0] in second.marks), None)
            if other is not None:
                yield pair, other

    return job.once(("pairs that can be swapped",), lambda: list(found()))


def _confused(told: Pairs, alike: Alike) -> Iterator[tuple[list[Kind], Pairs]]:
    """Kinds of pieces that can be taken for each other, with the pairs of them that are told: two, or more of which any
    goes in for any other by its joints."""
    beside: dict[int, set[int]] = {}
    for pair, _ in told:
        if pair.likeness is Likeness.OTHER_JOINTS:
            beside.setdefault(pair.first, {pair.first}).add(pair.second)
            beside.setdefault(pair.second, {pair.second}).add(pair.first)
    done: set[int] = set()
    for pair, other in told:
        numbers = [pair.first, pair.second]
        if pair.likeness is Likeness.OTHER_JOINTS:
            if done.issuperset(numbers):
                continue
            every = beside[pair.first]
            if all(beside[number] == every for number in every):
                done |= every
                numbers = sorted(every)
        own = [one for one in told if {one[0].first, one[0].second} <= {*numbers}] if len(numbers) > 2 else []
        yield [alike.kinds[number] for number in numbers], own or [(pair, other)]


def _swap_found(job: Job, alike: Alike, pairs: Pairs) -> str:
    """When it is noticed; of several pairs of kinds which of them are noticed at another time than most."""
    found: dict[str, Pairs] = {}
    for pair, other in pairs:
        words = found_words(job, other.swap.found) if other.swap is not None else TRIED
        found.setdefault(words, []).append((pair, other))
    most = max(found, key=lambda words: len(found[words]))
    named = {
        words: "; ".join(" and ".join(alike.kinds[k].marks[0] for k in (p.first, p.second)) for p, _ in found[words])
        for words in found
        if words != most
    }
    return "; ".join((*(f"{marks}: {words}" for words, marks in named.items()), f"others {most}" if named else most))


def _deeper(job: Job, alike: Alike, kinds: Sequence[Kind], pictured: Iterable[tuple[PlacedPiece, PlacedPiece]]) -> Text:
    """Where one looks like the other from outside, and only how deep it is cut tells: what the deeper cut takes."""
    right, wrong = next(iter(pictured), (None, None))
    if right is None or wrong is None or seen_from_outside(right, wrong) is not None:
        return ()
    deeper = deeper_cuts(right, wrong)
    names = {cut.joint for cut in deeper}
    same = {(cut.kind, cut.lo, cut.hi) for cut in right.cuboids if cut.joint in names}
    entering = {str(meeting.number): meeting.entering for _, meeting in job.build.meetings()}
    pieces = [alike.space.pieces[mark] for mark in alike.in_order(mark for kind in kinds for mark in kind.marks)]
    cuts = [cut for piece in pieces for cut in piece.cuboids if (cut.kind, cut.lo, cut.hi) in same]
    takes = dict.fromkeys(entering[cut.joint] for cut in cuts if cut.joint in entering)
    return text(f"the deeper {deeper[0].kind.value} takes {listed(takes, 'or')}; ") if takes else ()


def _swapped(alike: Alike, other: Other) -> Iterator[tuple[PlacedPiece, PlacedPiece]]:
    """A piece, and the other one in its place."""
    swap, pieces = other.swap, alike.space.pieces
    if swap is not None:
        place = pieces[swap.place]
        yield place, turned_piece(pieces[swap.mark], swap.changes, place)


def _first_stage(alike: Alike, other: Other, marks: Iterable[str]) -> int:
    """Whoever takes the wrong one takes it when the first of both is put in; 0 after all glue."""
    stages = [number for mark in marks for number in alike.meets(mark).numbers[:1]]
    stages += [other.swap.stage] if other.swap is not None else []
    return min((number or LAST for number in stages), default=LAST) % LAST


# Wrong ways round.


def _way_rows(job: Job, alike: Alike) -> Iterator[_Told]:
    """A row for the wrong ways of a piece; one for those of pieces of which it is told alike but for the side."""
    groups: dict[TurnedWay, list[str]] = {}
    for piece in alike.space.scene.pieces:
        for way in told_of(alike, piece.mark):
            groups.setdefault(way, []).append(piece.mark)
    for ways in as_one(job, {way: _way_cells(job, way) for way in groups}):
        marks = [mark for way in ways for mark in groups[way]]
        told = [(marks_text(groups[way]), _way_cells(job, way)) for way in ways]
        cells = [by_side([(mine, words[k]) for mine, words in told]) for k in range(len(told[0][1]))]
        way = ways[0]
        row = Row(tuple(map(Cell.of, (marks_text(alike.in_order(marks)), *cells, found_words(job, way.found)))))
        shown = _turned(alike, alike.space.pieces[groups[way][0]], way)
        yield _Told(way.stage, row, shown, several=len(marks) > 1)


def _way_cells(job: Job, way: TurnedWay) -> tuple[str, ...]:
    return _short(job, way), way.right, way.seen or NO_SIGN


def as_one(job: Job, told: Mapping[TurnedWay, Sequence[str]]) -> list[list[TurnedWay]]:
    """Wrong ways with what is said of them, those together that say the same but for the side: of one stage, or of two
    of one make, and found at one time."""
    batches: dict[object, list[list[TurnedWay]]] = {}
    for way, words in told.items():
        key = _told_at(job, way.stage), way.found, *map(but_for_sides, words)
        every = batches.setdefault(key, [])
        for batch in every:
            if all(can_be_one(column) for column in zip(*(told[one] for one in (*batch, way)), strict=True)):
                batch.append(way)
                break
        else:
            every.append([way])
    return [batch for every in batches.values() for batch in every]


def _turned(alike: Alike, piece: PlacedPiece, told: TurnedWay) -> Iterator[tuple[PlacedPiece, PlacedPiece]]:
    """A piece, and the same the wrong way round, for every way of which the row tells."""
    for way in ways_of(alike, piece.mark):
        if (way.stage, way.found) == (told.stage, told.found):
            yield piece, turned_piece(piece, way.changes)


def _whole_rows(job: Job, alike: Alike) -> Iterator[_Told]:
    """What was glued up before: turned, or one in the place of another."""
    for way in whole_ways(alike):
        cells = (way.things, way.wrong, way.right, way.seen, found_words(job, way.found))
        yield _Told(way.stage, Row(tuple(map(Cell.of, cells))), things=_whole_pair(alike, way.first))


def _whole_pair(alike: Alike, mistake: WholeMistake) -> tuple[Pieces, Pieces]:
    """The pieces of what belongs in a place, and what lies there by this mistake."""
    place = alike.stages[mistake.stage - 1].ready[mistake.place]
    mine, there = (tuple(alike.space.pieces[mark] for mark in marks) for marks in (mistake.marks, place))
    return there, turned_whole(mine, mistake.turn, there)


def whole_warnings(job: Job, number: int) -> list[Text]:
    """The same as the lines of a stage."""
    if job.alike is None:
        return []
    told = []
    for way in of_stage(whole_ways(job.alike), number):
        also = "Also fit the wrong way," if way.wrong == SWAPPED else "Also fits the wrong way,"
        told.append(text(f"{way.things}: {way.right}. {also} {_with(way.wrong)}{_noticed(job, way)}."))
    return told


# Short forms for labels, records and the glue-up sheet.


def others_words(alike: Alike, mark: str, most: int = 4) -> list[str]:
    """ "not BR: mirror image", "not DR: this has 2 recesses in the back face", a line for each other kind."""
    return [f"not {marks_text(other.marks, most)}: {told_apart(alike, mark, [other])}" for other in alike.others(mark)]


def label_warning(job: Job, mark: str) -> str:
    """The mistake that is nearest: a mirror image first, then other twins, then a wrong way round."""
    if job.alike is None:
        return ""
    others = job.alike.others(mark)
    if others:
        same = [o for o in others if o.likeness is others[0].likeness]
        marks = [m for other in same for m in other.marks]
        return f"not {marks_text(marks, 4)}: {told_apart(job.alike, mark, same)}"
    ways = ways_of(job.alike, mark)
    return ways[0].right if ways else ""


def mirrored(job: Job) -> list[str]:
    """Handed pieces, each pair of kinds in words: "FL BR and FR BL"."""
    if job.alike is None:
        return []
    alike = job.alike
    pairs = [pair for pair in alike.space.look_alikes.pairs if pair.likeness is Likeness.MIRROR]
    sides = [[marks_text(alike.in_order(alike.kinds[k].marks), 6) for k in (p.first, p.second)] for p in pairs]
    return [f"{one} and {two}" for one, two in sides]


def stage_warnings(job: Job, marks: Iterable[str], glued: frozenset[str]) -> list[Text]:
    """What can go wrong when these pieces are put together: twins that are not glued in yet, and wrong ways round."""
    if job.alike is None:
        return []
    return [*_swap_warnings(job, job.alike, marks, glued), *_turned_warnings(job, job.alike, marks)]


def _swap_warnings(job: Job, alike: Alike, marks: Iterable[str], glued: frozenset[str]) -> Iterator[Text]:
    """Pieces that go in for others, and when that is found, in one line for those of which the same is told."""
    twins: dict[tuple[str, str], dict[tuple[str, ...], list[str]]] = {}
    for mark in marks:
        others: dict[tuple[str, str], list[str]] = {}
        for other in alike.others(mark):
            noticed = f"{_noticed(job, other.swap)}." if other.swap is not None else ": found when you try it."
            words = likeness_words(alike, other.likeness, (mark, other.marks[0]))
            others.setdefault((words, noticed), []).extend(m for m in other.marks if m not in glued)
        for same, them in others.items():
            if them:
                twins.setdefault(same, {}).setdefault(tuple(alike.in_order(them)), []).append(mark)
    for (words, noticed), told in twins.items():
        pairs: set[frozenset[tuple[str, ...]]] = set()
        lines = []
        for others_of, mine in told.items():
            pair = frozenset((tuple(alike.in_order(mine)), others_of))
            if pair not in pairs:  # "BR is not FR" says nothing new after "FR is not BR"
                pairs.add(pair)
                lines.append(f"{listed(mine)} {'is' if len(mine) == 1 else 'are'} not {listed(others_of, 'or')}")
        yield text(f"{'; '.join(lines)} ({words}){noticed}")


def _turned_warnings(job: Job, alike: Alike, marks: Iterable[str]) -> Iterator[Text]:
    """Pieces the wrong way round, a line each, and one for those of which it is told alike but for the side; when they
    are found in a line of its own, where that is one time for several."""
    ways: dict[TurnedWay, list[str]] = {}
    for mark in marks:
        for way in told_of(alike, mark):
            ways.setdefault(way, []).append(mark)
    late: dict[str, tuple[dict[str, None], dict[str, None]]] = {}
    batches = as_one(job, {way: _way_cells(job, way) for way in ways})
    times = Counter(_noticed(job, batch[0]) for batch in batches if batch[0].found is not None)
    for batch in batches:
        mine = [mark for way in batch for mark in ways[way]]
        noticed = _noticed(job, batch[0])
        shared = times[noticed] > 1
        told = [(listed(ways[way]), way_words(job, way, len(mine), not shared)) for way in batch]
        yield text(f"{listed(mine)}: {by_side(told)}")
        if shared:
            found, turns = late.setdefault(noticed, ({}, {}))
            found |= dict.fromkeys(mine)
            turns |= dict.fromkeys(turn for way in batch for turn in way.shorts)
    for noticed, (found, turns) in late.items():  # not "the wrong way round", which could be one in place of another
        yield text(f"{listed(found)} {turned_by(turns)}{noticed}.")


def either_way(job: Job, marks: Iterable[str]) -> dict[str, list[str]]:
    """Those of these pieces that can be turned in their place and are right whichever way they go in: how, with the
    pieces. "Either way round" is said only of those that any turn leaves the same, chamfers and all; what the joints
    would stop is no way to try with a mallet."""
    if job.alike is None:
        return {}
    alike = job.alike
    known = [mark for mark in marks if mark in alike.kind_of]
    told: dict[str, list[str]] = {}
    for mark in known:
        ways, every = alike.fitting.same_ways(mark, partial(same_turned, alike.edges(mark)))
        if ways and not alike.mistakes(mark):
            words = sorted(map(turned_words, ways), key=lambda way: AT_ONCE in way)
            how = "Right either way round" if every else f"Also right {' or '.join(words)}"
            told.setdefault(how, []).append(mark)
    return told


def either_words(job: Job, marks: Iterable[str]) -> str:
    """The same as sentences: "M is right either way round."."""
    return " ".join(
        f"{listed(found)} {'is' if len(found) == 1 else 'are'} {how[0].lower()}{how[1:]}."
        for how, found in either_way(job, marks).items()
    )


def turned_words(words: str) -> str:
    """ "upside down and end for end, both at once": both turns are one, and either by itself is wrong."""
    first, _, second = words.partition(", ")
    return f"{first} and {second}{AT_ONCE}" if first == "upside down" and second else first
