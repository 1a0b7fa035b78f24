"""Settings of stop, fence, gauge and plane that serve several pieces, whatever they are made of and however thick.

Pieces cut at one setting come out alike, better than by any measuring. That matters most between the shoulders: they
decide whether a frame closes square.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from enum import StrEnum

from msgspec import Struct

from shopdocs.core.length import ZERO, Length
from shopdocs.model.build import Build
from shopdocs.model.joining import End
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import MaterialKind
from shopdocs.work.cut_list import CutGroup, CutRow, keeps_width, stock_thickness


class Kind(StrEnum):
    """What is set once: a stop, a fence or a gauge."""

    SHOULDERS = "shoulder to shoulder"
    FROM_END = "shoulder line from the end"
    WIDTH = "width"
    LENGTH = "length"
    THICKNESS = "thickness"


class Setup(Struct, frozen=True):
    """One setting, and the pieces it is kept for."""

    kind: Kind
    size: Length
    marks: tuple[str, ...]


class _Use(Struct, frozen=True):
    """A row of the cut list that needs a setting."""

    kind: Kind
    size: Length
    part: str
    marks: tuple[str, ...]
    ends: int = 0  # that have a shoulder so far from them


def setups(build: Build, groups: Iterable[CutGroup]) -> tuple[Setup, ...]:
    """Every setting that serves pieces of more than one part, the distances between shoulders that serve more than one
    piece, and those of a shoulder from its end that serve more than one end; by kind, the longest first."""
    ends = _shouldered(build)
    alike: dict[tuple[Kind, Length], list[_Use]] = {}
    for group in groups:
        for row in group.rows:
            for use in _uses(group, row, ends):
                alike.setdefault((use.kind, use.size), []).append(use)
    found = []
    for (kind, size), uses in alike.items():
        marks = tuple(mark for use in uses for mark in use.marks)
        several = len({use.part for use in uses}) > 1 or (kind is Kind.SHOULDERS and len(marks) > 1)
        several |= kind is Kind.FROM_END and sum(use.ends for use in uses) > 1
        if several:
            found.append(Setup(kind, size, marks))
    order = list(Kind)
    return tuple(sorted(found, key=lambda setup: (order.index(setup.kind), -setup.size.mm)))


def _shouldered(build: Build) -> dict[str, set[End]]:
    """The ends of each piece that a shoulder is cut at."""
    ends: dict[str, set[End]] = {}
    for joint, meeting in build.meetings():
        if KINDS[joint.kind].shouldered and meeting.end is not None:
            ends.setdefault(meeting.entering, set()).add(meeting.end)
    return ends


def _uses(group: CutGroup, row: CutRow, ends: dict[str, set[End]]) -> Iterator[_Use]:
    """The settings that the pieces of a row need. What keeps the width it is sold in is not ripped, a panel is brought
    to its size by itself after its strips are one, and only what is planed has a thickness to set."""
    part, every = row.part.name, tuple(piece.mark for piece in row.pieces)
    both = tuple(mark for mark in every if len(ends.get(mark, ())) == 2)
    if both:
        yield _Use(Kind.SHOULDERS, row.finished.length, part, both)
    shouldered = tuple(mark for mark in every if ends.get(mark))
    for added in sorted({row.added.end_a, row.added.end_b} - {ZERO}):
        if shouldered:
            ends_of_each = (row.added.end_a, row.added.end_b).count(added)
            yield _Use(Kind.FROM_END, added, part, shouldered, len(shouldered) * ends_of_each)
    if row.part.strips > 1:
        return
    if not keeps_width(group.material, row):
        yield _Use(Kind.WIDTH, row.joinery.width, part, every)
    yield _Use(Kind.LENGTH, row.joinery.length, part, every)
    planed = group.material.kind is not MaterialKind.SHEET and group.thickness != stock_thickness(group.material)
    if planed:
        yield _Use(Kind.THICKNESS, group.thickness, part, every)
