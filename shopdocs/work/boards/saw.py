"""Cuts that a maker would really make."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from shopdocs.core.length import ZERO, Length
from shopdocs.work.boards.area import Area
from shopdocs.work.boards.results import SawCut


def needed_cuts(cuts: Sequence[SawCut], kept: Sequence[Area], kerf: Length, sheet: bool = False) -> tuple[SawCut, ...]:
    """The cuts without those that free nothing, numbered anew: cuts through waste, a cut that takes waste off where a
    later one takes off more of it at the same end or edge, and on a board one that nothing kept lies along, where less
    is to be sawn without it; a `sheet` keeps its trimmed edges to measure from. `kept` are the pieces and the offcuts
    worth keeping."""
    found = [cut for cut in cuts if _holds(cut.over, kept)]
    index = 0
    while index < len(found):
        spared = (
            _without(found, index, kept)
            or _without_first(found, index, kept, kerf)
            or (None if sheet else _with_waste_on(found, index, kept, kerf))
        )
        if spared is None:
            index += 1
        else:
            found = spared
    return tuple(replace(cut, number=number) for number, cut in enumerate(found, 1))


def _without(cuts: list[SawCut], index: int, kept: Sequence[Area]) -> list[SawCut] | None:
    """The cuts without the one at `index`, where a later one through the same stretch takes off all that it takes off
    and more waste; None where it is needed."""
    idle = cuts[index]
    later = [k for k in range(index + 1, len(cuts)) if _goes_on(idle, cuts[k].over)]
    for k in later:
        cut = cuts[k]
        if cut.crosscut == idle.crosscut and cut.at < idle.at and not _holds(_beyond(cut.at, idle), kept):
            longer = {n: replace(cuts[n], over=_as_far(cuts[n].over, idle)) for n in later if n <= k}
            return [longer.get(n, each) for n, each in enumerate(cuts) if n != index]
    return None


def _without_first(cuts: list[SawCut], index: int, kept: Sequence[Area], kerf: Length) -> list[SawCut] | None:
    """The same for waste at the left end or the lower edge, before the cut."""
    idle = cuts[index]
    if _holds(_before(idle), kept):
        return None
    later = [k for k in range(index + 1, len(cuts)) if _begins_at(idle, cuts[k].over, kerf)]
    for k in later:
        if cuts[k].crosscut == idle.crosscut and not _holds(_before(cuts[k]), kept):
            longer = {n: replace(cuts[n], over=_from_start(cuts[n].over, idle)) for n in later if n <= k}
            return [longer.get(n, each) for n, each in enumerate(cuts) if n != index]
    return None


def _with_waste_on(cuts: list[SawCut], index: int, kept: Sequence[Area], kerf: Length) -> list[SawCut] | None:
    """The cuts without the one at `index`, where it parts off nothing but waste and nothing kept lies along it: the
    waste stays on what later cuts go through. None where those would be longer by more than it is long."""
    idle = cuts[index]
    over = idle.over
    for beyond in (True, False):
        waste = _beyond(idle.at, idle) if beyond else _before(idle)
        edge = idle.at if beyond else idle.at + kerf
        if _holds(waste, kept) or any(_lies_along(area, idle, edge, beyond) for area in kept):
            continue
        longer: dict[int, SawCut] = {}
        more = ZERO
        for n in range(index + 1, len(cuts)):
            cut = cuts[n]
            if not _holds(over, (cut.over,)) or not _lies_along(cut.over, idle, edge, beyond):
                continue
            longer[n] = replace(cut, over=_as_far(cut.over, idle) if beyond else _from_start(cut.over, idle))
            more += _sawn(longer[n]) - _sawn(cut)
        if more < _sawn(idle):
            return [longer.get(n, each) for n, each in enumerate(cuts) if n != index]
    return None


def _lies_along(area: Area, idle: SawCut, edge: Length, beyond: bool) -> bool:
    """Whether an area within what a cut goes through ends at the cut, or begins there."""
    if not _holds(idle.over, (area,)):
        return False
    start, size = (area.x, area.length) if idle.crosscut else (area.y, area.width)
    return (start + size if beyond else start) == edge


def _sawn(cut: SawCut) -> Length:
    """How long a cut is."""
    return cut.over.width if cut.crosscut else cut.over.length


def _before(cut: SawCut) -> Area:
    """What a cut parts off at the left end or the lower edge."""
    over = cut.over
    if cut.crosscut:
        return replace(over, length=cut.at - over.x)
    return replace(over, width=cut.at - over.y)


def _begins_at(idle: SawCut, over: Area, kerf: Length) -> bool:
    """Whether a stretch begins at the idle cut and is as wide as what that cut went through."""
    if idle.crosscut:
        return over.x == idle.at + kerf and (over.y, over.width) == (idle.over.y, idle.over.width)
    return over.y == idle.at + kerf and (over.x, over.length) == (idle.over.x, idle.over.length)


def _from_start(over: Area, idle: SawCut) -> Area:
    """The stretch, from where the idle cut's own stretch begins."""
    if idle.crosscut:
        return replace(over, x=idle.over.x, length=over.x + over.length - idle.over.x)
    return replace(over, y=idle.over.y, width=over.y + over.width - idle.over.y)


def _goes_on(idle: SawCut, over: Area) -> bool:
    """Whether a stretch ends at the idle cut and is as wide as what that cut went through."""
    if idle.crosscut:
        return over.x + over.length == idle.at and (over.y, over.width) == (idle.over.y, idle.over.width)
    return over.y + over.width == idle.at and (over.x, over.length) == (idle.over.x, idle.over.length)


def _beyond(at: Length, idle: SawCut) -> Area:
    """What lies beyond a cut at `at`, as far as the idle cut's stretch reaches."""
    over = idle.over
    if idle.crosscut:
        return Area(at, over.y, over.x + over.length - at, over.width)
    return Area(over.x, at, over.length, over.y + over.width - at)


def _as_far(over: Area, idle: SawCut) -> Area:
    """The stretch, as far as the idle cut's own stretch reaches."""
    if idle.crosscut:
        return replace(over, length=idle.over.x + idle.over.length - over.x)
    return replace(over, width=idle.over.y + idle.over.width - over.y)


def _holds(over: Area, kept: Iterable[Area]) -> bool:
    """Whether something worth keeping lies in this stretch."""
    return any(
        over.x < area.x + area.length
        and area.x < over.x + over.length
        and over.y < area.y + area.width
        and area.y < over.y + over.width
        for area in kept
    )
