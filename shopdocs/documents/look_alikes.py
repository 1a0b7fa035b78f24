"""Look-alikes: which pieces can be swapped by mistake, and which way round a piece goes in and is wrong."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Bullets, Cell, Column, Group, Heading, Paragraph, Row, Run, Table, Text, Weight, text
from shopdocs.core.length import ZERO
from shopdocs.documents.figures import length_figure, marks_text, strips_text
from shopdocs.documents.fitting.alike import FACE_WORDS, Alike, Other, own_shape
from shopdocs.documents.fitting.turned import TurnedWay, ways_of
from shopdocs.documents.job import Job
from shopdocs.model.joining import Face
from shopdocs.work.space.placed import Cuboid, PlacedPiece, side_of
from shopdocs.work.space.wrong_ways import Kind, Likeness, LookAlike

SHORT = {
    Likeness.MIRROR: "mirror image",
    Likeness.OTHER_JOINTS: "other joints",
    Likeness.NEAR_SIZE: "nearly the same size",
}
MOST_PAIRS = 120  # of one sort; a sheet with more is read by nobody


def look_alikes(job: Job) -> Document:
    assert job.alike is not None
    alike = job.alike
    blocks: list[Block] = []
    pairs = list(_pair_groups(job))
    if pairs:
        blocks += [Heading("Not to be swapped", 2), _pair_table(tuple(pairs))]
    ways = tuple(_way_rows(alike))
    if ways:
        blocks += [Heading("Can go in the wrong way round", 2), _way_table(ways)]
    parts = alike.space.pieces
    same = [
        text(f"{parts[kind.marks[0]].part}  {marks_text(alike.in_order(kind.marks))}")
        for kind in alike.kinds
        if len(kind.marks) > 1
    ]
    same += [
        text(f"strips of {piece.mark}  {strips_text(part.strip_marks(piece.mark))}, until a triangle is drawn on them")
        for part, piece in job.build.pieces()
        if part.strips > 1
    ]
    if same:
        blocks += [
            Heading("Interchangeable", 2),
            Paragraph(text("Any of these can stand in any of their places, until their joints are marked:")),
            Bullets(tuple(same)),
        ]
    if not pairs and not ways:
        words = "No piece of this build can be taken for another or put in the wrong way round."
        blocks.insert(0, Paragraph(text(words)))
    words = (
        "Found by trying: every piece was turned all the ways it can be turned in its own place and in the places of "
        "its look-alikes. Fits means that it goes in there without a clash, so that nothing stops the mistake."
    )
    blocks.append(Paragraph(text(words), Weight.QUIET))
    question = "Which pieces can be swapped or turned by mistake?"
    return Document("look-alikes", "Look-alikes", question, tuple(blocks))


# Pairs of kinds.


def _pair_table(groups: tuple[Group, ...]) -> Table:
    columns = (
        Column("These", strong=True, share=0.8),
        Column("are not these", strong=True, share=0.8),
        Column("Fits", share=0.1),
        Column("To tell them apart", share=2.0),
    )
    return Table("look-alikes", columns, groups)


def _pair_groups(job: Job) -> Iterator[Group]:
    assert job.alike is not None
    pairs = job.alike.space.look_alikes.pairs
    for likeness in Likeness:
        found = [pair for pair in pairs if pair.likeness is likeness]
        rows = tuple(_pair_row(job, job.alike, pair) for pair in found[:MOST_PAIRS])
        if rows:
            more = f"and {len(found) - MOST_PAIRS} more pairs of this sort" if len(found) > MOST_PAIRS else ""
            yield Group(rows, likeness.value, more)


def _pair_row(job: Job, alike: Alike, pair: LookAlike) -> Row:
    first, second = alike.kinds[pair.first], alike.kinds[pair.second]
    one, two = first.marks[0], second.marks[0]
    fits = alike.fitting.goes_in_for(one, two) or alike.fitting.goes_in_for(two, one)
    cells = (
        Cell.of(marks_text(alike.in_order(first.marks))), Cell.of(marks_text(alike.in_order(second.marks))),
        Cell.of("yes" if fits else "no"), Cell(_tell_apart(job, first, second, pair)),
    )  # fmt: skip
    return Row(cells)


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
    counts: dict[str, int] = {}
    for feature in piece.features:
        face = _opening(piece, feature) if isinstance(feature, Cuboid) else feature.face
        words = f"{feature.kind} in the {FACE_WORDS[face]}"
        if isinstance(feature, Cuboid) and feature.adds:
            words = f"{feature.kind} at the {FACE_WORDS[face]}"
        words = words.replace("the end", "end")
        counts[words] = counts.get(words, 0) + 1
    return [f"{count} × {words}" if count > 1 else words for words, count in counts.items()]


def _opening(piece: PlacedPiece, cuboid: Cuboid) -> Face:
    """The face a cut is open at, or an added part stands out of; sides before ends where there are several."""
    order = (Face.FACE, Face.EDGE, Face.BACK, Face.FAR_EDGE, Face.A, Face.B)
    for face in order if not cuboid.adds else reversed(order):
        axis, high = side_of(face)
        low, top = cuboid.lo[axis], cuboid.hi[axis] - piece.size[axis]
        if (top > ZERO if high else low < ZERO) or (not cuboid.adds and not (top if high else low)):
            return face
    return Face.FACE


# Wrong ways.


def _way_table(rows: tuple[Row, ...]) -> Table:
    columns = (
        Column("Pieces", strong=True, share=0.9),
        Column("go in wrong", share=1.0),
        Column("Right is", strong=True, share=0.8),
        Column("One sees", share=1.2),
    )
    return Table("wrong-ways", columns, (Group(rows),))


def _way_rows(alike: Alike) -> Iterator[Row]:
    groups: dict[TurnedWay, list[str]] = {}
    for piece in alike.space.scene.pieces:
        for way in ways_of(alike, piece.mark):
            groups.setdefault(way, []).append(piece.mark)
    for way, marks in groups.items():
        seen = way.seen or "nothing but its marks"
        yield Row((Cell.of(marks_text(marks)), Cell.of(way.wrong), Cell.of(way.right), Cell.of(seen)))


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
        return f"not {marks_text(marks, 4)}: {SHORT[same[0].likeness]}"
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
    alike, told = job.alike, []
    twins: dict[tuple[str, ...], list[str]] = {}
    ways: dict[TurnedWay, list[str]] = {}
    for mark in marks:
        others = [
            f"{marks_text(free, 6)} ({SHORT[other.likeness]})"
            for other in alike.others(mark)
            if (free := [m for m in other.marks if m not in glued])
        ]
        if others:
            twins.setdefault(tuple(others), []).append(mark)
        for way in ways_of(alike, mark):
            ways.setdefault(way, []).append(mark)
    told_of: set[frozenset[str]] = set()
    for names, mine in twins.items():
        pair = frozenset((marks_text(mine), names[0].partition(" (")[0]))
        if len(names) == 1 and pair in told_of:  # "BR is not FR" says nothing new after "FR is not BR"
            continue
        told_of.add(pair)
        told.append(text(f"{marks_text(mine)} is not {', '.join(names)}" if len(mine) == 1 else
                         f"{marks_text(mine)} are not {', '.join(names)}"))  # fmt: skip
    for way, mine in ways.items():
        verb = "goes" if len(mine) == 1 else "go"
        told.append(text(f"{marks_text(mine)}: {way.whole} (also {verb} in {way.wrong}: wrong)"))
    return told
