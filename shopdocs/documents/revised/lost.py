"""Pieces that an earlier set had and the build has no more: their labels may still be about, and must lead somewhere.

What is known of them is kept under the key `gone` of `figures.json`, from set to set.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from msgspec import Struct, to_builtins

from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Cell, Column, Facts, Group, Paragraph, Row, Table, Text, Weight, text
from shopdocs.core.slug import is_record_name, record_anchor, record_slug
from shopdocs.documents.revised.state import BuildState, NoState, PieceState, length_of, state_from

LONGEST = 200  # letters of a mark or name; what is longer was not written by us
MOST = 2000  # pieces


class Lost(Struct, frozen=True):
    """A piece that is gone: the name of its record, its mark in full ("" where only the record was found), what part it
    was, its finished size in exact millimetres, its place as the state of a build keeps it, and since when, in words
    ("revision D")."""

    record: str
    mark: str
    part: str
    size: tuple[str, ...]
    place: tuple[str, ...]
    since: str


def gone_of(figures: object, records: Iterable[str], now: BuildState, date: str) -> tuple[Lost, ...]:
    """What is gone: what was so in an earlier set, and what that set had and `now` has not. `figures` is what was read
    from its `figures.json`, `records` are the names of its record pages. Nothing where that was another build."""
    try:
        old = state_from(figures)
    except NoState:
        old = None
    if old is not None and old.mark != now.mark and old.title != now.title:
        return ()
    here = {record_slug(_full(now, mark)) for mark in now.pieces}
    earlier = {lost.record: lost for lost in _kept(figures)}
    since = _since(old, now, date)
    if old is not None:
        for mark, piece in old.pieces.items():
            name = record_slug(_full(old, mark))
            earlier.setdefault(name, Lost(name, _full(old, mark), piece.part, piece.finished, piece.place, since))
    else:
        for name in records:
            earlier.setdefault(name, Lost(name, "", "", (), (), since))
    return tuple(lost for name, lost in sorted(earlier.items()) if name not in here and is_record_name(name))[:MOST]


def as_json(gone: Sequence[Lost]) -> list[dict[str, object]]:
    """As it is kept."""
    return [to_builtins(lost) for lost in gone]


def _kept(figures: object) -> Iterator[Lost]:
    """What an earlier set told to be gone; entries that do not hold together are left out."""
    listed = figures.get("gone") if isinstance(figures, Mapping) else None
    for each in listed if isinstance(listed, list) else ():
        try:
            mark, part, since = (_short(each[name]) for name in ("mark", "part", "since"))
            size, place = (tuple(str(length_of(value).mm) for value in each[name]) for name in ("size", "place"))
            record = record_slug(mark) if mark else _short(each["record"])
        except (KeyError, TypeError, ValueError, ZeroDivisionError):
            continue
        yield Lost(record, mark, part, size if len(size) == 3 else (), place, since)


def _short(value: object) -> str:
    if not isinstance(value, str) or len(value) > LONGEST:
        raise TypeError("no short text")
    return value


def _full(state: BuildState, mark: str) -> str:
    return f"{state.mark}-{mark}" if state.mark else mark


def _since(old: BuildState | None, now: BuildState, date: str) -> str:
    """By the revision, where the build has a new one; else by the date; else by the check word of its pages."""
    if now.revision and (old is None or old.revision != now.revision):
        return f"revision {now.revision}"
    return date or f"check word {now.check_word}"


def gone_pages(gone: Sequence[Lost], now: BuildState) -> tuple[Document, ...]:
    """A page for each, in the place of its record: what it was, since when it is gone, and what is in its place."""
    return tuple(_page(lost, now) for lost in gone)


def _page(lost: Lost, now: BuildState) -> Document:
    mark = lost.mark or lost.record
    short = mark.removeprefix(f"{now.mark}-") if now.mark else mark
    told = f"{short} is no longer part of {now.title}, since {lost.since}."
    pairs: list[tuple[str, Text]] = []
    if lost.size:
        size = now.display.size(*map(length_of, lost.size))
        pairs.append(("It was, finished", text(f"{size} {now.display.in_brackets(*map(length_of, lost.size))}")))
    heirs = [other for other, piece in now.pieces.items() if _in_its_place(lost, piece)]
    advice = "Do not cut or fit a piece by this label. Peel it off; the cut list says what the build has now."
    rows = tuple(
        Row((Cell.of(heir, link=record_anchor(_full(now, heir)), strong=True), Cell.of(now.pieces[heir].part)))
        for heir in heirs
    )
    table = Table(f"in place of {short}", (Column("In its place", share=0.4), Column("Part")), (Group(rows),))
    blocks: tuple[Block, ...] = (
        Paragraph(text(told), Weight.STRONG),
        Paragraph(text(advice)),
        *([Facts(tuple(pairs))] if pairs else []),
        *([table] if rows else []),
    )
    return Document(lost.record, mark, lost.part, blocks)


def _in_its_place(lost: Lost, piece: PieceState) -> bool:
    """Whether a piece of now stands where the lost one stood: the same corner and the same extent."""
    return bool(lost.place) and piece.place == lost.place
