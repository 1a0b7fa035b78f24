"""Outlines in words and figures: the points of a shaped face, what joins them, heights over a long arc."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from math import dist
from typing import NamedTuple

from shopdocs.blocks.sheets import Block, Together
from shopdocs.blocks.text import Cell, Column, Figure, Group, Heading, Paragraph, Row, Run, Table, Text, text
from shopdocs.core.curves import arc_of_radius, arc_with_rise, near, rise_of
from shopdocs.core.drawn import STRAIGHT, Corner, reach
from shopdocs.core.length import ZERO, Length
from shopdocs.core.outline import Point, Side
from shopdocs.core.problems import Position
from shopdocs.documents.arches import arc_long, heights
from shopdocs.documents.figures import count_figure, length_figure, marks_text
from shopdocs.documents.job import Job
from shopdocs.model.cutting import CutKind, CutPlace, Drawn, OwnCut
from shopdocs.model.joining import COUNTED_FROM, Face, the_face
from shopdocs.model.parts import Part
from shopdocs.work.space.ends import extent_of
from shopdocs.work.space.placed import Spot, side_of

LETTER = "p"  # before the number of a point
LONG_ARC = Length(300)  # a radius that compasses do not reach any more, so that heights are told (common practice)
_FROM = tuple(the_face(face) for face in COUNTED_FROM)


def is_outline(cut: OwnCut) -> bool:
    """Whether a cut is drawn corner by corner: the outline of a face, or of what is cut out of it."""
    return any(place.drawn is not None for place in cut.on)


def has_outlines(job: Job) -> bool:
    """Whether any face has an outline of its own."""
    return any(cut.kind is CutKind.OUTLINE for cut in job.build.cuts)


def drawn_radii(cut: OwnCut) -> set[Length]:
    """The radii of its arcs that compasses reach."""
    sides = [side for place in cut.on if place.drawn is not None for side in place.drawn.sides]
    return {side.radius for side in sides if side.centre is not None and side.radius <= LONG_ARC}


def outline_words(job: Job, cut: OwnCut, place: CutPlace, part: Part) -> Text:
    """The outline of a piece in words: how many lines and arcs."""
    assert place.drawn is not None
    sides = place.drawn.sides
    arcs = sum(side.centre is not None for side in sides)
    name = f"{part.name} · {cut.name}"
    runs = text("outline of ", the_face(place.face), ", ", count_figure(f"{name} · lines", len(sides) - arcs))
    runs = (*runs, f" straight line{'s' if len(sides) - arcs != 1 else ''}")
    if arcs:
        runs = (*runs, *text(" and ", count_figure(f"{name} · arcs", arcs), f" arc{'s' if arcs > 1 else ''}"))
    return runs


def drawn_of(job: Job, mark: str) -> Iterator[tuple[OwnCut, CutPlace, Drawn]]:
    """What is drawn corner by corner on a piece."""
    for cut in job.build.cuts:
        for place in cut.on:
            if place.piece == mark and place.drawn is not None:
                yield cut, place, place.drawn


def points_of(job: Job, mark: str) -> Iterator[tuple[Face, str, Spot]]:
    """The points of a piece: the face they lie on, their names, and where they are."""
    number = 0
    for _, place, drawn in drawn_of(job, mark):
        axis, high = side_of(place.face)
        first, second = (k for k in range(3) if k != axis)
        part = next(part for part, piece in job.build.pieces() if piece.mark == mark)
        for corner in _told(drawn):
            number += 1
            spot = [ZERO, ZERO, ZERO]
            spot[first], spot[second] = corner.at
            spot[axis] = (part.length, part.width, part.thickness)[axis] if high else ZERO
            yield place.face, f"{LETTER}{number}", (spot[0], spot[1], spot[2])


def _told(drawn: Drawn) -> Sequence[Corner]:
    """The corners that are told: of a whole outline the first one once."""
    return drawn.told.corners if drawn.mirrored is not None else drawn.told.corners[:-1]


class _Came(NamedTuple):
    """The line that leads to a point: where it begins, and the corner that says how; None of a half that begins on the
    centre line."""

    start: Point
    corner: Corner | None


def _lines(drawn: Drawn) -> list[_Came]:
    """What leads to each of the points, and of a half that ends in an arc across the centre line that arc."""
    told = _told(drawn)
    first = _Came(told[-1].at, drawn.told.corners[-1])
    if drawn.mirrored is not None:
        over = drawn.told.first
        first = _Came(_other(drawn, told[0].at), replace(over, at=told[0].at) if over is not None else None)
    found = [first, *(_Came(before.at, corner) for before, corner in pairwise(told))]
    if drawn.told.last is not None:
        end = told[-1].at
        found.append(_Came(end, replace(drawn.told.last, at=_other(drawn, end))))
    return found


def _other(drawn: Drawn, at: Point) -> Point:
    """The mirror image of a place."""
    low, high = reach(drawn.sides)
    (a, b), (x, y) = (tuple(p + q for p, q in zip(low, high, strict=True)), at)
    return (a - x, y) if drawn.mirrored == 0 else (x, b - y)


def point_tables(job: Job, marks: Sequence[str]) -> Iterator[Block]:
    """The points of every outline of these pieces; pieces with the same share a table."""
    alike: dict[object, list[str]] = {}
    for mark in marks:
        every = tuple((cut.name, place.face, drawn) for cut, place, drawn in drawn_of(job, mark))
        if every:
            alike.setdefault(every, []).append(mark)
    for group in alike.values():
        number = 0
        for cut, place, drawn in drawn_of(job, group[0]):
            yield _table(job, cut, place, drawn, number, group if len(alike) > 1 else [])
            number += len(_told(drawn))


def _table(job: Job, cut: OwnCut, place: CutPlace, drawn: Drawn, before: int, marks: list[str]) -> Block:
    display, at = job.display, place.at
    name = f"{place.piece} · {cut.name}"
    axis, _ = side_of(place.face)
    first, second = (k for k in range(3) if k != axis)
    starts = [_start(job, place, k) for k in (first, second)]
    told, rows = _told(drawn), []
    for number, came in enumerate(_lines(drawn)):
        label = f"{LETTER}{before + number + 1}"
        line: list[Run] = [*_line(job, f"{name} · {label}", came, at)]
        if number == len(told):
            mirrored = f"mirror image of {LETTER}{before + number}"
            rows.append(Row((Cell.of(""), Cell.of(""), Cell.of(""), Cell((mirrored, ": ", *line)))))
            continue
        if number == 0 and drawn.told.first is not None:
            line.append(", from its mirror image")
        corner = told[number]
        spots = [
            Cell.of(length_figure(f"{name} · {label} {_FROM[k]}", value + start, display, at))
            for k, value, start in zip((first, second), corner.at, starts, strict=True)
        ]
        rounded = corner.rounded or (came.corner.rounded if came.corner is not None else None)
        if rounded is not None:
            line += ["; the corner rounded, radius ", length_figure(f"{name} · {label} rounded", rounded, display, at)]
        rows.append(Row((Cell.of(label), *spots, Cell(tuple(line)))))
    columns = (
        Column("Point", strong=True, share=0.2),
        Column(f"from {_FROM[first]}", "right", display.units, share=0.4),
        Column(f"from {_FROM[second]}", "right", display.units, share=0.4),
        Column("Line that leads to it", share=1.6),
    )
    title = f"{cut.name[:1].upper()}{cut.name[1:]}" + (f", {marks_text(marks, 12)}" if marks else "")
    words: list[Block] = [Table(f"points-{place.piece}-{before}", columns, (Group(tuple(rows)),))]
    if drawn.mirrored is not None:
        k = (first, second)[drawn.mirrored]
        low, high = (end[drawn.mirrored] + starts[drawn.mirrored] for end in reach(drawn.sides))
        middle = length_figure(f"{name} · centre line", (low + high) / 2, display, at)
        runs = text("Half of it; the other half mirrors it on the centre line, ", middle, f" {display.units}")
        words.append(Paragraph((*runs, f" from {_FROM[k]}.")))
    return Together((Heading(title, 3), *words))


def _line(job: Job, name: str, came: _Came, at: Position) -> Iterator[Run]:
    """What leads to a corner: straight, or an arc with its radius and its rise."""
    corner = came.corner
    if corner is None or corner.way == STRAIGHT:
        yield "straight" if corner is not None else "begins on the centre line"
        return
    arc = arc_to(came.start, corner)
    yield f"{corner.way}, radius "
    yield length_figure(f"{name} radius", arc.radius, job.display, at)
    yield ", rise "
    yield length_figure(f"{name} rise", corner.rise if corner.rise is not None else rise_of(arc), job.display, at)


def arc_to(start: tuple[Length, Length], corner: Corner) -> Side:
    """The arc that leads to a corner, whichever way it turns."""
    if corner.rise is not None:
        return arc_with_rise(start, corner.at, corner.rise, True)
    assert corner.radius is not None
    return arc_of_radius(start, corner.at, corner.radius, True)


def _start(job: Job, place: CutPlace, axis: int) -> Length:
    """How far before the body a face really begins, where no shoulder shows."""
    piece = job.space.pieces.get(place.piece) if job.space is not None else None
    return extent_of(piece, place.face, axis).start.flush if piece is not None else ZERO


def arc_tables(job: Job, mark: str, marks: list[str], face: Face, name: str) -> Iterator[Block]:
    """For each arc too long for compasses its heights over its chord at even steps, to spring a batten by. `face` is
    one that shows the outline."""
    number = 0
    for cut, place, drawn in drawn_of(job, mark):
        told = _told(drawn)
        for count, came in enumerate(_lines(drawn)):
            if side_of(place.face)[0] == side_of(face)[0] and came.corner is not None and came.corner.way != STRAIGHT:
                arc = arc_to(came.start, came.corner)
                here = f"{LETTER}{number + count + 1}"
                ends = f"{LETTER}{number + count} to {here}"
                if count == 0:
                    ends = f"{LETTER}{number + len(told)} to {here}"
                if (count == 0 and drawn.told.first is not None) or count == len(told):
                    ends = f"{here if count == 0 else f'{LETTER}{number + count}'} and its mirror image"
                if arc.radius > LONG_ARC:
                    yield _heights(job, cut, place, arc, ends, marks, f"heights-{name}-{number + count + 1}")
        number += len(told)


def _heights(job: Job, cut: OwnCut, place: CutPlace, arc: Side, ends: str, marks: list[str], name: str) -> Block:
    display, called = job.display, f"{place.piece} · {cut.name} {ends}"
    spots = [[v.float_mm() for v in spot] for spot in (arc.start, arc.end)]
    chord, rise = near(dist(*spots)), rise_of(arc)
    step, every = heights(chord, rise, display.units)
    rows = [(ZERO, rise), *((step * k, height) for k, height in enumerate(every, 1)), (chord / 2, ZERO)]

    def cell(what: str, number: int, value: Length) -> Cell:
        return Cell.of(length_figure(f"{called} · {what} {number}", value, display, place.at))

    body = tuple(Row((cell("out", k, out), cell("height", k, up))) for k, (out, up) in enumerate(rows))
    columns = (
        Column("From the middle", "right", display.units),
        Column("From the chord", "right", display.units),
    )
    curve: Figure = length_figure(f"{called} · curve", near(round(arc_long(chord, rise), 3)), display, place.at)
    words = text(
        "Draw a straight line from point to point, square lines across it at these distances to either side of its "
        "middle, drive a nail at each height, spring a batten round the nails and draw along it. The curve is ",
        curve,
        f" {display.units} long.",
    )
    title = f"{cut.name[:1].upper()}{cut.name[1:]}, {ends}, {marks_text(marks, 12)}"
    return Together((Heading(title, 2), Paragraph(words), Table(name, columns, (Group(body),))))
