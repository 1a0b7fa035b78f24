"""Strips in two columns of about equal height, on as many pages as they take."""

from __future__ import annotations

from itertools import accumulate

from shopdocs.page.flow import Strip, paint_stack, stacked
from shopdocs.page.items import Frame

LEAST_BEGUN = 60.0  # of height, that two columns begin with on a page where not all has room


def two_columns(strips: list[Strip], room: float, body: float, width: float, gap: float, before: float) -> list[Strip]:
    """One strip a page: the first for a page with `room` left, the others for pages of `body`. Each column is `width`
    wide, with a `gap` between; points."""
    runs = _runs(strips)
    out: list[Strip] = []
    left = max(0.0, room - before)
    while runs:
        first, second, rest = _filled(runs, left)
        if rest and left < body and (not first or left < LEAST_BEGUN):
            left = body
            continue
        if not first:  # taller than a page: it runs over its foot
            first, second, rest = runs[:1], [], runs[1:]
        out.append(_beside([s for run in first for s in run], [s for run in second for s in run], width + gap, before))
        runs, left = rest, body
    return out


Run = list[Strip]


def _runs(strips: list[Strip]) -> list[Run]:
    """Strips that are tied to each other, together."""
    runs: list[Run] = [[]]
    for strip in strips:
        runs[-1].append(strip)
        if not strip.keep:
            runs.append([])
    return [run for run in runs if run]


def _filled(runs: list[Run], room: float) -> tuple[list[Run], list[Run], list[Run]]:
    """What stands in the first column, in the second, and on the next page: columns even where all has room."""
    ends = [0.0, *accumulate(sum(strip.height + strip.before for strip in run) for run in runs)]
    leads = [run[0].before for run in runs]

    def tall(first: int, last: int) -> float:
        return ends[last] - ends[first] - leads[first] if first < last else 0.0

    count = len(runs)
    half = min(range(1, count + 1), key=lambda n: max(tall(0, n), tall(n, count) + 0.01))
    if max(tall(0, half), tall(half, count)) <= room:
        return runs[:half], runs[half:], []
    one = max(n for n in range(count + 1) if tall(0, n) <= room)
    two = max(n for n in range(one, count + 1) if tall(one, n) <= room)
    return runs[:one], runs[one:two], runs[two:]


def _beside(one: list[Strip], two: list[Strip], across: float, before: float) -> Strip:
    def paint(frame: Frame, left: float, top: float) -> None:
        paint_stack(one, frame, left, top)
        paint_stack(two, frame, left + across, top)

    return Strip(max(stacked(one), stacked(two)), paint, before=before)
