"""Tenons that lean each its own way into one piece: they cannot go in one after another, nor all at once once the legs
they stand on are glued to each other. They go in together, while the joints between the legs are still open a little;
each leg then moves sideways as the seat comes down, and all joints close at once.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from shopdocs.core.length import Length
from shopdocs.core.turn import near
from shopdocs.model.build import Build
from shopdocs.work.order.joined_legs import way_of
from shopdocs.work.order.stages import StageWork
from shopdocs.work.scene.in_space import Space
from shopdocs.work.space.leaning_piece import LeaningPiece


class Diverging(Struct, frozen=True):
    """The `legs` that go into `onto` in a stage, leaning each its own way; how far they move sideways and lengthways
    while they go in, and those that were glued to each other before."""

    onto: str
    legs: tuple[str, ...]
    sideways: Length
    lengthways: Length
    tied: tuple[str, ...]


def diverging(build: Build, space: Space | None, work: StageWork) -> Iterator[Diverging]:
    """What goes together in a stage along several ways at once."""
    if space is None:
        return
    by_piece: dict[str, list[str]] = {}
    for _, meeting in work.meetings:
        if isinstance(space.pieces.get(meeting.entering), LeaningPiece):
            by_piece.setdefault(meeting.receiving, []).append(meeting.entering)
    for onto, legs in by_piece.items():
        seat = space.pieces.get(onto)
        ways = {mark: way for mark in legs if (way := way_of(space, mark)) is not None}
        if seat is None or len(set(ways.values())) < 2:
            continue
        deep = seat.extent[2].float_mm()
        tied = [
            tuple(mark for mark in legs if mark in marks)
            for marks in work.ready.values()
            if len({ways[mark] for mark in legs if mark in marks}) > 1
        ]
        yield Diverging(
            onto,
            tuple(legs),
            near(deep * max(abs(way[0]) for way in ways.values())),
            near(deep * max(abs(way[1]) for way in ways.values())),
            max(tied, key=len, default=()),
        )


def tied_too_early(build: Build, space: Space | None, works: Sequence[StageWork]) -> tuple[StageWork, Diverging] | None:
    """The first stage whose legs were glued to each other before they could go in."""
    for work in works:
        for found in diverging(build, space, work):
            if found.tied:
                return work, found
    return None
