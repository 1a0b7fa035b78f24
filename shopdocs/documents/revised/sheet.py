"""The sheet of changes: what is other than in the revision on the bench, and what of the work done still stands."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence

from msgspec import Struct

from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Bullets, Cell, Column, Facts, Group, Heading, Paragraph, Row, Table, Text, Weight, text
from shopdocs.documents.figures import marks_text
from shopdocs.documents.revised.compare import Change, Changes, PieceChange, Verdict
from shopdocs.documents.revised.state import BuildState

NAME = "changes"
NONE = "—"
MANY = 4  # marks; fewer are read at a glance
PRINTED_OTHERWISE = (
    "The furniture is as before; every record page prints differently, as after a change to something that is on each "
    "of them, or by another version of shopdocs."
)
ORDER = (
    "Verdicts are by size alone. Where a piece was milled or cut further than its step says, measure before you go on."
)


class Alike(Struct, frozen=True):
    """Pieces of one part with the same changes and verdicts, told together."""

    marks: tuple[str, ...]
    part: str
    changes: tuple[Change, ...]
    verdicts: tuple[Verdict, ...]


def revision_words(state: BuildState) -> str:
    """How a revision is named: 'revision C (check ropale)'."""
    named = f"revision {state.revision}" if state.revision else "no revision"
    return f"{named} (check {state.check_word})" if state.check_word else named


def alike_changes(pieces: Iterable[PieceChange]) -> list[Alike]:
    """Changed pieces in groups; neither those that are new nor those that are gone."""
    groups: dict[tuple[object, ...], list[PieceChange]] = {}
    for piece in pieces:
        if piece.old is not None and piece.new is not None:
            groups.setdefault((piece.part, piece.changes, piece.verdicts), []).append(piece)
    return [
        Alike(tuple(one.mark for one in some), some[0].part, some[0].changes, some[0].verdicts)
        for some in groups.values()
    ]


def come_and_gone(changes: Changes) -> tuple[tuple[PieceChange, ...], tuple[PieceChange, ...]]:
    """Pieces that are new, and pieces that are gone."""
    come = tuple(piece for piece in changes.pieces if piece.old is None)
    return come, tuple(piece for piece in changes.pieces if piece.new is None)


def changes_sheet(changes: Changes) -> Document:
    """What changed, with old and new side by side, what it means for pieces in hand, and what to print anew."""
    blocks: list[Block] = [Facts(tuple(_head(changes)))]
    if changes.build:
        blocks.append(_table("changed-build", "Build", ((change.what, change) for change in changes.build)))
    blocks += _come_and_gone(changes)
    alike = alike_changes(changes.pieces)
    if alike:
        blocks += [Heading("Pieces that changed", 2), _pieces_table(alike)]
    told = [one for one in alike if one.verdicts]
    if told:
        blocks += [Heading("If it is in hand already", 2), _verdicts_table(told), Paragraph(text(ORDER), Weight.QUIET)]
    if changes.glued and changes.old.pieces:
        words = f"What is glued in already would have to come out again: {marks_text(changes.glued)}."
        blocks.append(Paragraph(text(words)))
    if changes.bought:
        items = tuple(text(_bought_words(change)) for change in changes.bought)
        blocks += [Heading("Shopping list", 2), Bullets(items)]
    if anew := _anew(changes):
        blocks += [Heading("Throw away and reprint", 2), anew]
        blocks += [Paragraph(text(PRINTED_OTHERWISE))] if changes.printed_otherwise else []
    if len(blocks) == 1:
        blocks.append(Paragraph(text("Nothing printed has changed."), Weight.STRONG))
    question = "What has changed, and what of my work still stands?"
    since = f" since revision {changes.old.revision}" if changes.old.revision else ""
    return Document(NAME, f"Changes{since}", question, tuple(blocks))


def _head(changes: Changes) -> Iterator[tuple[str, Text]]:
    yield "Before", text(revision_words(changes.old))
    yield "Now", text(revision_words(changes.new))
    if changes.proposed:
        yield "Next revision would be", text(changes.proposed)


def _come_and_gone(changes: Changes) -> Iterator[Block]:
    come, gone = come_and_gone(changes)
    items = [f"New: {words}" for words in _by_part(come)]
    items += [f"No longer in the build: {words}" for words in _by_part(gone)]
    if items:
        yield Bullets(tuple(text(item) for item in items))


def _by_part(pieces: Sequence[PieceChange]) -> Iterator[str]:
    parts: dict[str, list[str]] = {}
    for piece in pieces:
        parts.setdefault(piece.part, []).append(piece.mark)
    for part, marks in parts.items():
        yield f"{part} {marks_text(marks)}"


def _table(name: str, head: str, rows: Iterable[tuple[str, Change]]) -> Table:
    shown = tuple(
        Row((Cell.of(what, strong=True), Cell.of(change.old or NONE), Cell.of(change.new or NONE)))
        for what, change in rows
    )
    columns = (Column(head, share=0.6), Column("Before", share=1.2), Column("Now", share=1.2))
    return Table(name, columns, (Group(shown),))


def _pieces_table(alike: Sequence[Alike]) -> Table:
    groups = tuple(
        Group(
            tuple(
                Row((Cell.of(change.what), Cell.of(change.old or NONE), Cell.of(change.new or NONE)))
                for change in one.changes
            ),
            f"{marks_text(one.marks)}, {one.part}",
        )
        for one in alike
    )
    columns = (Column("What", share=0.6), Column("Before", share=1.2), Column("Now", share=1.2, strong=True))
    return Table("changed-pieces", columns, groups)


def _verdicts_table(alike: Sequence[Alike]) -> Table:
    rows = []
    for one in alike:
        for number, verdict in enumerate(one.verdicts):
            head = marks_text(one.marks) if not number else ""
            good = "still good" if verdict.good else "not good"
            cells = (
                Cell.of(head, strong=True),
                Cell.of(verdict.step.value),
                Cell.of(good, strong=not verdict.good),
                Cell.of(verdict.words),
            )
            rows.append(Row(cells))
    columns = (
        Column("Pieces", share=0.8),
        Column("If already", share=0.5),
        Column("Then", share=0.4),
        Column("Because", share=1.6),
    )
    return Table("changed-in-hand", columns, (Group(tuple(rows)),))


def _bought_words(change: Change) -> str:
    return f"no longer: {change.old}" if change.old else f"new: {change.new}"


def anew_lines(changes: Changes) -> list[tuple[str, str, str]]:
    """What to throw away and what to print anew: kind, what is printed anew, what has no successor."""
    titles = {name: sheet.title for name, sheet in (*changes.old.sheets.items(), *changes.new.sheets.items())}
    found = [
        ("Labels", _marks(changes.labels, changes.new.labels), marks_text(changes.void_labels)),
        ("Record pages", _marks(changes.records, changes.new.records), marks_text(changes.void_records)),
        ("Templates", "; ".join(changes.templates), "; ".join(changes.void_templates)),
        ("Sheets", _titled(changes.sheets, titles), _titled(changes.void_sheets, titles)),
    ]
    return [(kind, anew, void) for kind, anew, void in found if anew or void]


def _marks(anew: tuple[str, ...], there: Collection[str]) -> str:
    """The marks to print anew; where that is every one of many, a count says more than a list."""
    return f"all {len(anew)}" if len(anew) == len(there) >= MANY else marks_text(anew)


def _titled(names: Sequence[str], titles: dict[str, str]) -> str:
    return ", ".join(titles[name] for name in names)


def _anew(changes: Changes) -> Table | None:
    rows = tuple(
        Row((Cell.of(kind, strong=True), Cell.of(anew or NONE), Cell.of(void or NONE)))
        for kind, anew, void in anew_lines(changes)
    )
    columns = (Column("", share=0.4), Column("Reprint", share=1.8), Column("Throw away", share=0.8))
    return Table("changed-sheets", columns, (Group(rows),), ticks=True) if rows else None


def change_lines(changes: Changes) -> tuple[str, ...]:
    """The same in lines for a terminal."""
    lines = [f"{revision_words(changes.old)} -> {revision_words(changes.new)}"]
    if not changes.any:
        return (*lines, "nothing that is printed changed")
    lines += [_line(change.what, change) for change in changes.build]
    come, gone = come_and_gone(changes)
    lines += [f"new: {words}" for words in _by_part(come)]
    lines += [f"gone: {words}" for words in _by_part(gone)]
    for one in alike_changes(changes.pieces):
        lines.append(f"{marks_text(one.marks)}, {one.part}")
        lines += [f"  {_line(change.what, change)}" for change in one.changes]
        for verdict in one.verdicts:
            lines.append(f"  if {verdict.step.value}: {'still good' if verdict.good else 'not good'}, {verdict.words}")
    lines += [f"if glued: would have to come out again, {marks_text(changes.glued)}"] if changes.glued else []
    lines += [f"shopping list: {_bought_words(change)}" for change in changes.bought]
    lines += [PRINTED_OTHERWISE] if changes.printed_otherwise else []
    for kind, anew, void in anew_lines(changes):
        lines += [f"reprint: {kind.lower()} {anew}"] if anew else []
        lines += [f"throw away: {kind.lower()} {void}"] if void else []
    if changes.proposed:
        lines.append(
            f"the next revision would be {changes.proposed}; write it into the build when you print the new set"
        )
    return tuple(lines)


def _line(what: str, change: Change) -> str:
    return f"{what}: {change.old or 'none'} -> {change.new or 'none'}"
