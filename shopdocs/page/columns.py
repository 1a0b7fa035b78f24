"""Strips in columns of about equal height, on as many pages as they take."""

from __future__ import annotations

from collections.abc import Callable

from shopdocs.page.flow import Strip, paint_stack, stacked
from shopdocs.page.items import Frame

LEAST_BEGUN = 60.0  # of height, that columns begin with on a page where not all has room
MORE_WHOLE = 45.0  # of height, that columns of whole lists may take more than even ones: about three lines


def in_columns(
    strips: list[Strip], room: float, body: float, columns: tuple[float, float, int], before: float
) -> list[Strip]:
    """One strip a page: the first for a page with `room` left, the others for pages of `body`. `columns` are the width
    of each, the gap between two, and how many there are; points. A list stays whole where that takes no more pages and
    hardly more height; its title is set again over what goes on in another column, smaller where that would
    take more pages, and left out where that does, too."""
    runs = _runs(strips)
    ways = [_on_pages(runs, room, body, columns, before, title) for title in (_large, _small, _no_title)]
    parted = min(ways, key=len)
    lists = _lists(runs, body)
    whole = _on_pages(lists, room, body, columns, before, _large)
    if len(lists) > 1 and len(whole) <= len(parted) and _tall(whole) <= _tall(parted) + MORE_WHOLE:
        return whole
    return parted


Title = Callable[[Strip], "Strip | None"]


def _large(strip: Strip) -> Strip | None:
    return strip.again


def _small(strip: Strip) -> Strip | None:
    return strip.again.again or strip.again if strip.again is not None else None


def _no_title(strip: Strip) -> None:
    return None


def _tall(pages: list[Strip]) -> float:
    return sum(page.height for page in pages)


def _on_pages(
    runs: list[Run], room: float, body: float, columns: tuple[float, float, int], before: float, title: Title
) -> list[Strip]:
    width, gap, count = columns
    out: list[Strip] = []
    left = max(0.0, room - before)
    while runs:
        filled, rest = _filled(runs, left, count, title)
        if rest and left < body and (not filled[0] or left < LEAST_BEGUN):
            left = body
            continue
        if not filled[0]:  # taller than a page: it runs over its foot
            filled, rest = [runs[:1]], runs[1:]
        out.append(_beside([[s for run in one for s in run] for one in filled], width + gap, before))
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


def _lists(runs: list[Run], body: float) -> list[Run]:
    """The runs of each list as one, where a page is high enough for it."""
    lists: list[list[Run]] = []
    for run in runs:
        if run[0].again is None:
            lists.append([])
        lists[-1].append(run)
    found: list[Run] = []
    for one in lists:
        every = [strip for run in one for strip in run]
        found += [every] if stacked(every) <= body else one
    return found


def _filled(runs: list[Run], room: float, count: int, title: Title) -> tuple[list[list[Run]], list[Run]]:
    """What stands in each column, and what is left for the next page: columns even where all has room."""
    columns, rest = _poured(runs, room, count, title)
    if rest:
        return columns, rest
    count = min(count, 1 + max(1, sum(run[0].again is None for run in runs)))  # the last list is not strewn over many
    low, high = 0.0, room
    while high - low > 0.5:
        middle = (low + high) / 2
        found, over = _poured(runs, middle, count, title)
        if over:
            low = middle
        else:
            columns, high = found, middle
    return columns, []


def _poured(runs: list[Run], room: float, count: int, title: Title) -> tuple[list[list[Run]], list[Run]]:
    """As much as goes into each column in turn; with its `title` again over what goes on."""
    columns: list[list[Run]] = []
    rest = runs
    for _ in range(count):
        again = title(rest[0][0]) if rest else None
        head = [[again]] if again is not None else []
        tall, taken = sum(map(stacked, head)), 0
        for run in rest:
            high = stacked(run)
            tall += high + (run[0].before if taken or head else 0.0)
            if tall > room + 0.01:
                break
            taken += 1
        columns.append([*head, *rest[:taken]] if taken else [])
        rest = rest[taken:]
    return columns, rest


def _beside(columns: list[list[Strip]], across: float, before: float) -> Strip:
    def paint(frame: Frame, left: float, top: float) -> None:
        for number, column in enumerate(columns):
            paint_stack(column, frame, left + number * across, top)

    return Strip(max(stacked(column) if column else 0.0 for column in columns), paint, before=before)
