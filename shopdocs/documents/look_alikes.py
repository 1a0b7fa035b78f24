"""Look-alikes: which pieces can be swapped by mistake, and which wrong way round a piece also goes in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Cell, Column, Group, Paragraph, Row, Run, Table, Text, Weight, text
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.mistaken import mistaken_pair, turned_piece
from shopdocs.documents.figures import hours_text, length_figure, marks_text, strips_text
from shopdocs.documents.fitting.alike import LAST, Alike, Other, own_shape
from shopdocs.documents.fitting.turned import TurnedWay, told_of, ways_of
from shopdocs.documents.fitting.whole_ways import SWAPPED, WholeWay, of_stage, whole_ways
from shopdocs.documents.fitting.wording import listed
from shopdocs.documents.job import Job
from shopdocs.model.joining import FACE_NAMES, Face
from shopdocs.model.joint_names import several
from shopdocs.work.space.likeness import Kind, Likeness, LookAlike
from shopdocs.work.space.placed import Cuboid, PlacedPiece, side_of

OFF_SQUARE = "off square or with round tenons, and so not tried the wrong way"
READ_MARK = "Read mark and arrow as each goes in."
SHORT = {
    Likeness.MIRROR: "mirror image",
    Likeness.OTHER_JOINTS: "other joints",
    Likeness.NEAR_SIZE: "nearly the same size",
}
MOST_PAIRS = 120  # nobody reads a sheet with more
NO_SIGN = "its marks"


def look_alikes(job: Job) -> Document:
    """The mistakes that go in, by the stage in which each can be made; what the dry fit stops, or what does
    no harm, is left out."""
    assert job.alike is not None
    rows: dict[int, list[_Told]] = {}
    for told_row in (*_swap_rows(job, job.alike), *_whole_rows(job, job.alike), *_way_rows(job, job.alike)):
        rows.setdefault(told_row.stage, []).append(told_row)
    numbers = sorted(rows, key=lambda number: number or LAST)
    shown = _pictured([told_row for number in numbers for told_row in rows[number]])
    groups = [Group(tuple(islice(shown, len(rows[number]))), _stage_title(job, number)) for number in numbers]
    strips = [
        f"{strips_text(part.strip_marks(piece.mark))} of {piece.mark}"
        for part, piece in job.build.pieces()
        if part.strips > 1
    ]
    blocks: list[Block] = [_table(tuple(groups))] if groups else []
    untried = job.alike.in_order(job.alike.fitting.untried)
    if not groups:
        other, others = ("other ", " of the others") if untried else ("", "")
        blocks.insert(
            0,
            Paragraph(
                text(
                    f"No {other}piece can be taken for another, and none{others} goes in the wrong way round: the dry "
                    "fit would stop it."
                )
            ),
        )
    if untried:
        words = f"{OFF_SQUARE[0].upper()}{OFF_SQUARE[1:]}: {marks_text(untried)}. {READ_MARK}"
        twins = mirrored(job)
        told = f" Mirror images: {'; '.join(twins)}." if twins else ""
        blocks.insert(0, Paragraph(text(words, told)))
    also = "other " if untried else ""
    words = (
        f"Every {also}piece was tried every way round in its own place, and in the place of every piece like it, as "
        "far as its stage is built by then. What the joints stop is not on this sheet, nor what makes no difference."
    )
    if strips:
        words += f" Strips are alike until their triangle is drawn: {', '.join(strips)}."
    blocks.insert(0, Paragraph(text(words), Weight.QUIET))
    question = "Which pieces also fit the wrong way, and when would I notice?"
    return Document("look-alikes", "Look-alikes", question, tuple(blocks), runs_on=True)


MOST_PICTURES = 18  # more of them are told in words alone
PICTURE_MM = 18.0


@dataclass(frozen=True, slots=True)
class _Told:
    """A row of the table, the stage in which the mistake is made, and pieces as they lie when they are right, each with
    what lies there when they are wrong: of the first that shows a difference there is a picture. Marks stand under it
    where the row tells of several pieces."""

    stage: int
    row: Row
    pairs: Iterable[tuple[PlacedPiece, PlacedPiece]] = ()
    several: bool = False


def _pictured(told: Sequence[_Told]) -> Iterator[Row]:
    """The rows, with what is right and what is wrong in pictures where one sees it from outside."""
    left = MOST_PICTURES
    for one in told:
        pairs = one.pairs if left else ()
        found = next((shown for pair in pairs if (shown := _picture_cells(*pair, one.several)) is not None), ())
        left -= bool(found)
        yield replace(one.row, cells=(*one.row.cells, *found))


def _picture_cells(right: PlacedPiece, wrong: PlacedPiece, several: bool) -> tuple[Cell, ...] | None:
    pair = mistaken_pair(right, wrong)
    if pair is None:
        return None
    one, two, where = pair
    marks = (right.mark, wrong.mark) if several else ("", "")
    words = (", ".join(filter(None, (marks[0], where))), marks[1])
    return tuple(Cell(text(said) if said else (), drawing=drawn) for said, drawn in zip(words, (one, two), strict=True))


def _table(groups: tuple[Group, ...]) -> Table:
    columns = (
        Column("Pieces", strong=True, share=0.7),
        Column("Wrong", share=0.9),
        Column("Correct", strong=True, share=1.0),
        Column("Check", share=2.0),
        Column("Found", share=1.0),
    )
    shown = any(cell.drawing for group in groups for row in group.rows for cell in row.cells)
    pictures = tuple(Column(title, "centre", share=0.0, picture_mm=PICTURE_MM) for title in ("Right", "WRONG"))
    return Table("look-alikes", (*columns, *pictures) if shown else columns, groups)


def _stage_title(job: Job, number: int) -> str:
    return f"Stage {number}, {job.stages[number - 1].stage.title}" if number else "After the glue-up"


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
    return f"{way.whole}. {'Also goes' if count == 1 else 'Also go'} in {_short(job, way)}{noticed}."


def _short(job: Job, way: TurnedWay) -> str:
    """The wrong ways, with how far out of line the piece sits then: "upside down (³⁄₄ in too high)"."""
    out = {words: (axis, by) for words, axis, by in way.out}
    told = []
    for words in way.shorts:
        if words in out:
            axis, by = out[words]
            words = f"{words} ({job.display.length(abs(by))} {TOO_FAR[axis, by > ZERO]})"
        told.append(words)
    return " or ".join(told)


TOO_FAR = {
    (0, False): "too far left",
    (0, True): "too far right",
    (1, False): "too far forward",
    (1, True): "too far back",
    (2, False): "too low",
    (2, True): "too high",
}


def _noticed(job: Job, way: TurnedWay | WholeWay) -> str:
    """By which later stage, and what has been in the clamps by then."""
    found = found_words(job, way.found)
    noticed = f", and {found}" if way.found is None else f": found {found}"
    clamped = job.stages[way.stage - 1].wait_hours if way.stage else None
    if way.found is not None and clamped:
        noticed += f", after {hours_text(clamped)} in the clamps"
    return noticed


# Pieces that go in for others.


def _swap_rows(job: Job, alike: Alike) -> Iterator[_Told]:
    told = 0
    for pair in alike.space.look_alikes.pairs:
        first, second = alike.kinds[pair.first], alike.kinds[pair.second]
        other = next((o for o in alike.others(first.marks[0]) if o.marks[0] in second.marks), None)
        if other is None or told >= MOST_PAIRS:
            continue
        told += 1
        one, two = marks_text(alike.in_order(first.marks)), marks_text(alike.in_order(second.marks))
        stage = _first_stage(alike, other, (*first.marks, *second.marks))
        found = found_words(job, other.swap.found) if other.swap is not None else "at once: too loose or too tight"
        cells = (
            Cell.of(f"{one}, {two}"),
            Cell.of(f"swapped: {SHORT[pair.likeness]}{_sits(job, other)}"),
            Cell.of("read the marks"),
            Cell(_tell_apart(job, first, second, pair)),
            Cell.of(found),
        )
        yield _Told(stage, Row(cells), _swapped(alike, other), several=True)


def _sits(job: Job, other: Other) -> str:
    """ " (B 8 mm too low)": which of them sits out of line in the place of the other, and how far."""
    if other.swap is None or other.swap.out is None:
        return ""
    axis, by = other.swap.out
    return f" ({other.swap.mark} {job.display.length(abs(by))} {TOO_FAR[axis, by > ZERO]})"


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


def _tell_apart(job: Job, first: Kind, second: Kind, pair: LookAlike) -> Text:
    assert job.space is not None
    one, two = job.space.pieces[first.marks[0]], job.space.pieces[second.marks[0]]
    if pair.likeness is Likeness.NEAR_SIZE:
        return _sizes_apart(job, one, two)
    if pair.likeness is Likeness.MIRROR and own_shape(one) == own_shape(two):
        left, right = (one, two) if one.pose.right_handed else (two, one)
        return text(f"on end A, face side to you, {left.mark} has its face edge left, {right.mark} right")
    return text(_joints_apart(one, two))


def _sizes_apart(job: Job, one: PlacedPiece, two: PlacedPiece) -> Text:
    runs: list[Run] = []
    for axis, name in enumerate(("long", "wide", "thick")):
        if one.size[axis] == two.size[axis]:
            continue
        runs.append(", " if runs else "measure: ")
        for number, piece in enumerate((one, two)):
            figure = length_figure(f"{piece.mark} · {name}", piece.size[axis], job.display)
            runs += [f" {name}, " if number else "", f"{piece.mark} ", figure]
        runs.append(f" {name}")
    return tuple(runs)


def _joints_apart(one: PlacedPiece, two: PlacedPiece) -> str:
    """What each has that the other has not, face by face."""
    mine, theirs = _joint_words(one), _joint_words(two)
    only_one, only_two = [w for w in mine if w not in theirs], [w for w in theirs if w not in mine]
    told = [f"{piece.mark}: {', '.join(words)}" for piece, words in ((one, only_one), (two, only_two)) if words]
    return "; ".join(told) or "the same joints on the same faces, but elsewhere: measure from end A"


def _joint_words(piece: PlacedPiece) -> list[str]:
    counts: dict[tuple[str, str], int] = {}
    for feature in piece.features:
        face = _opening(piece, feature) if isinstance(feature, Cuboid) else feature.face
        adds = isinstance(feature, Cuboid) and feature.adds
        where = f"{'at' if adds else 'in'} the {FACE_NAMES[face]}".replace("the end", "end")
        key = (feature.kind.value, where)
        counts[key] = counts.get(key, 0) + 1
    return [f"{several(kind, count)} {where}" for (kind, where), count in counts.items()]


def _opening(piece: PlacedPiece, cuboid: Cuboid) -> Face:
    """The face a cut is open at, or an added part stands out of. Where there are several: sides before ends, and of the
    sides the one into which it is cut least deep, as a hinge's recess is into the edge."""
    order = (Face.FACE, Face.EDGE, Face.BACK, Face.FAR_EDGE, Face.A, Face.B)
    found = []
    for face in order if not cuboid.adds else reversed(order):
        axis, high = side_of(face)
        low, top = cuboid.lo[axis], cuboid.hi[axis] - piece.size[axis]
        if (top > ZERO if high else low < ZERO) or (not cuboid.adds and not (top if high else low)):
            found.append(face)
    if cuboid.adds:
        return found[0] if found else Face.FACE
    return min(found, key=lambda face: (face in (Face.A, Face.B), _deep(cuboid, face)), default=Face.FACE)


def _deep(cuboid: Cuboid, face: Face) -> Length:
    axis = side_of(face)[0]
    return cuboid.hi[axis] - cuboid.lo[axis]


# Wrong ways round.


def _way_rows(job: Job, alike: Alike) -> Iterator[_Told]:
    groups: dict[TurnedWay, list[str]] = {}
    for piece in alike.space.scene.pieces:
        for way in told_of(alike, piece.mark):
            groups.setdefault(way, []).append(piece.mark)
    for way, marks in groups.items():
        piece = alike.space.pieces[marks[0]]
        cells = (
            Cell.of(marks_text(marks)),
            Cell.of(_short(job, way)),
            Cell.of(way.right),
            Cell.of(way.seen or NO_SIGN),
            Cell.of(found_words(job, way.found)),
        )
        yield _Told(way.stage, Row(cells), _turned(alike, piece, way), several=len(marks) > 1)


def _turned(alike: Alike, piece: PlacedPiece, told: TurnedWay) -> Iterator[tuple[PlacedPiece, PlacedPiece]]:
    """A piece, and the same the wrong way round, for every way of which the row tells."""
    for way in ways_of(alike, piece.mark):
        if (way.stage, way.found) == (told.stage, told.found):
            yield piece, turned_piece(piece, way.changes)


def _whole_rows(job: Job, alike: Alike) -> Iterator[_Told]:
    """What was glued up before: turned, or one in the place of another."""
    for way in whole_ways(alike):
        cells = (way.things, way.wrong, way.right, NO_SIGN, found_words(job, way.found))
        yield _Told(way.stage, Row(tuple(Cell.of(words) for words in cells)))


def whole_warnings(job: Job, number: int) -> list[Text]:
    """The same as the lines of a stage."""
    if job.alike is None:
        return []
    told = []
    for way in of_stage(whole_ways(job.alike), number):
        also = "Also go in" if way.wrong == SWAPPED else "Also goes in"
        told.append(text(f"{way.things}: {way.right}. {also} {way.wrong}{_noticed(job, way)}."))
    return told


# Short forms for labels, records and the glue-up sheet.


def others_words(others: Iterable[Other], most: int = 4) -> list[str]:
    """ "not BR: mirror image", a line for each other kind."""
    return [f"not {marks_text(other.marks, most)}: {SHORT[other.likeness]}" for other in others]


def label_warning(job: Job, mark: str) -> str:
    """The mistake that is nearest: a mirror image first, then other twins, then a wrong way round."""
    if job.alike is None:
        return ""
    others = job.alike.others(mark)
    if others:
        same = [o for o in others if o.likeness is others[0].likeness]
        marks = [m for other in same for m in other.marks]
        return f"not {marks_text(marks, 4)}: {_told_apart(job.alike, mark, same)}"
    ways = ways_of(job.alike, mark)
    return ways[0].right if ways else ""


def _told_apart(alike: Alike, mark: str, others: Sequence[Other]) -> str:
    """What a piece differs by from all of the others; of joints one that it has and they have not, or that all of them
    have and it has not."""
    likeness = others[0].likeness
    if likeness is not Likeness.OTHER_JOINTS:
        return SHORT[likeness]
    mine, *theirs = (_joint_words(alike.space.pieces[one]) for one in (mark, *(o.marks[0] for o in others)))
    own = [words for words in mine if not any(words in each for each in theirs)]
    foreign = [words for words in theirs[0] if words not in mine and all(words in each for each in theirs)]
    if own:
        return f"this has {_counted(own[0])}"
    if foreign and not foreign[0][0].isdigit():
        return f"this has no {foreign[0]}"
    return _wanting(alike, mark, others) or SHORT[likeness]


def _wanting(alike: Alike, mark: str, others: Sequence[Other]) -> str:
    """ "this has no groove and no pilot hole": kinds of which the piece has none, and each of the others one or the
    other; "" where one of them has no more kinds."""
    mine, *theirs = (
        dict.fromkeys(feature.kind.value for feature in alike.space.pieces[one].features)
        for one in (mark, *(other.marks[0] for other in others))
    )
    more = [[kind for kind in kinds if kind not in mine] for kinds in theirs]
    if not all(more):
        return ""
    return "this has " + " and ".join(f"no {kind}" for kind in dict.fromkeys(kinds[0] for kinds in more))


def _counted(words: str) -> str:
    """ "a hole in the face edge", "2 recesses in the back face"."""
    return words if words[0].isdigit() else f"{'an' if words[0] in 'aeiou' else 'a'} {words}"


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
    alike, told = job.alike, []
    twins: dict[tuple[str, ...], list[str]] = {}
    ways: dict[TurnedWay, list[str]] = {}
    for mark in marks:
        free: dict[Likeness, list[str]] = {}
        for other in alike.others(mark):
            free.setdefault(other.likeness, []).extend(m for m in other.marks if m not in glued)
        others = [f"{listed(alike.in_order(them), 'or')} ({SHORT[how]})" for how, them in free.items() if them]
        if others:
            twins.setdefault(tuple(others), []).append(mark)
        for way in told_of(alike, mark):
            ways.setdefault(way, []).append(mark)
    pairs: set[frozenset[str]] = set()
    for names, mine in twins.items():
        pair = frozenset((listed(mine, "or"), names[0].partition(" (")[0]))
        if len(names) == 1 and pair in pairs:  # "BR is not FR" says nothing new after "FR is not BR"
            continue
        pairs.add(pair)
        told.append(text(f"{listed(mine)} {'is' if len(mine) == 1 else 'are'} not {', nor '.join(names)}"))
    told += _turned_warnings(job, ways)
    return told + _untried_warnings(alike, [mark for mark in marks if mark in alike.fitting.untried])


def _turned_warnings(job: Job, ways: Mapping[TurnedWay, Sequence[str]]) -> Iterator[Text]:
    """Pieces the wrong way round, a line each; when they are found in a line of its own, where that is one time for
    several."""
    late: dict[str, list[str]] = {}
    times = Counter(_noticed(job, way) for way in ways if way.found is not None)
    for way, marks in ways.items():
        noticed = _noticed(job, way)
        shared = times[noticed] > 1
        yield text(f"{listed(marks)}: {way_words(job, way, len(marks), not shared)}")
        if shared:
            late.setdefault(noticed, []).extend(mark for mark in marks if mark not in late.get(noticed, ()))
    for noticed, marks in late.items():
        yield text(f"{listed(marks)} the wrong way round{noticed}.")


def _untried_warnings(alike: Alike, marks: Sequence[str]) -> list[Text]:
    """Of pieces whose wrong ways nobody tried: what is a mirror image of what, and that they were not tried."""
    handed = []
    for pair in alike.space.look_alikes.pairs:
        sides = [[m for m in alike.in_order(alike.kinds[k].marks) if m in marks] for k in (pair.first, pair.second)]
        if pair.likeness is Likeness.MIRROR and all(sides):
            are = "is" if len(sides[0]) == 1 else "are"
            handed.append(text(f"{listed(sides[0])} {are} not {listed(sides[1], 'or')} ({SHORT[Likeness.MIRROR]})"))
    words = f"{listed(marks)}: {OFF_SQUARE}. {READ_MARK}"
    return [*handed, text(words)] if marks else []


def either_way(job: Job, marks: Iterable[str]) -> dict[str, list[str]]:
    """Those of these pieces that can be turned in their place and are right whichever way they go in: how, with the
    pieces. "Either way round" is said only of those that any turn leaves the same; what the joints would stop is no
    way to try with a mallet."""
    if job.alike is None:
        return {}
    alike = job.alike
    known = [mark for mark in marks if mark in alike.kind_of and mark not in alike.fitting.untried]
    told: dict[str, list[str]] = {}
    for mark in known:
        ways, every = alike.fitting.same_ways(mark)
        if ways and not alike.mistakes(mark):
            how = "Right either way round" if every else f"Right also {' or '.join(turned_words(w) for w in ways)}"
            told.setdefault(how, []).append(mark)
    return told


def turned_words(words: str) -> str:
    """ "end for end and upside down at once": both turns are one, and either by itself is wrong."""
    first, _, second = words.partition(", ")
    return f"{first} and {second} at once" if first == "upside down" and second else first
