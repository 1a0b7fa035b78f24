"""Cuts that a maker would really make."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from shopdocs.work.boards.results import Area, SawCut


def needed_cuts(cuts: Sequence[SawCut], kept: Sequence[Area]) -> tuple[SawCut, ...]:
    """The cuts without those that free nothing, numbered anew: cuts through waste, and a cut that takes waste off where
    the next one takes off more. `kept` are the pieces and the offcuts worth keeping."""
    found: list[SawCut] = []
    for cut in cuts:
        if not _holds(cut.over, kept):
            continue
        last = found[-1] if found else None
        if last is not None and _idle(last, cut, kept):
            found[-1] = replace(cut, over=last.over)
        else:
            found.append(cut)
    return tuple(replace(cut, number=number) for number, cut in enumerate(found, 1))


def _idle(last: SawCut, cut: SawCut, kept: Sequence[Area]) -> bool:
    """Whether `cut` goes the same way through what `last` left, and takes off all that `last` took off and more waste."""
    if last.crosscut != cut.crosscut or cut.at >= last.at:
        return False
    over = last.over
    if cut.crosscut:
        left = Area(over.x, over.y, last.at - over.x, over.width)
        off = Area(cut.at, over.y, over.x + over.length - cut.at, over.width)
    else:
        left = Area(over.x, over.y, over.length, last.at - over.y)
        off = Area(over.x, cut.at, over.length, over.y + over.width - cut.at)
    return cut.over == left and not _holds(off, kept)


def _holds(over: Area, kept: Iterable[Area]) -> bool:
    """Whether something worth keeping lies in this stretch."""
    return any(
        over.x < area.x + area.length
        and area.x < over.x + over.length
        and over.y < area.y + area.width
        and area.y < over.y + over.width
        for area in kept
    )
