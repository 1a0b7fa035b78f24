"""Sub-assemblies put in the wrong way round, or one where another belongs, at the stage that takes them up.

What was glued up before is tried as one body, every way that brings it back into its place, against what else is there
in its stage, and then against what each later stage adds. A turn after which every piece lies where one like it lay is
no mistake.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from msgspec import Struct

from shopdocs.core.length import Length
from shopdocs.work.order.stages import StageWork
from shopdocs.work.space.likeness import Turn
from shopdocs.work.space.wrong_ways import Fitting


class WholeMistake(Struct, frozen=True):
    """`thing`, of the pieces `marks`, goes in turned by `turn` in the place of `place` (its own name where it is only
    turned) at stage `stage`; `found` as in `Mistake`. `telling` are the pieces that lie where none like them belongs,
    those of the thing that belongs there."""

    thing: str
    marks: tuple[str, ...]
    place: str
    turn: Turn
    stage: int
    found: int | None
    telling: tuple[str, ...]
    out: tuple[int, Length] | None = None  # as in `WrongWay`


def whole_mistakes(works: Sequence[StageWork], fitting: Fitting) -> tuple[WholeMistake, ...]:
    """Those of every stage in turn: things turned in their own place, then things in the places of others."""
    return tuple(mistake for work in works for mistake in _of_stage(work, works, fitting))


def _of_stage(work: StageWork, works: Sequence[StageWork], fitting: Fitting) -> Iterator[WholeMistake]:
    placed = fitting.index.keys()
    things = {name: marks for name, marks in work.ready.items() if len(marks) > 1 and placed >= set(marks)}
    if not work.meetings or len(work.ready) < 2:
        return
    for name, marks in things.items():
        yield from _tried(name, marks, name, marks, work, works, fitting)
    for (one, mine), (two, theirs) in combinations(things.items(), 2):
        swaps = [
            *_tried(one, mine, two, theirs, work, works, fitting),
            *_tried(two, theirs, one, mine, work, works, fitting),
        ]
        if swaps:  # both are one mistake: told as the one that goes farthest
            yield max(swaps, key=lambda swap: (swap.found is None, swap.found == 0, swap.found or 0))


def _tried(
    name: str,
    marks: Sequence[str],
    place: str,
    there: Sequence[str],
    work: StageWork,
    works: Sequence[StageWork],
    fitting: Fitting,
) -> Iterator[WholeMistake]:
    numbers, groups = _groups(frozenset(marks) | frozenset(there), work, works, fitting)
    for turn, telling, found, out in fitting.whole_misfits(marks, there, groups):
        later = None if found is None else numbers[found]
        yield WholeMistake(name, tuple(marks), place, turn, work.number, later, telling, out)


def _groups(
    taken: frozenset[str], work: StageWork, works: Sequence[StageWork], fitting: Fitting
) -> tuple[list[int], list[frozenset[str]]]:
    """What else is there at this stage, then what each later one adds; last, as 0, what is put on after all glue."""
    numbers, groups, met = [work.number], [work.members - taken], work.members | taken
    for later in works[work.number :]:
        if taken & later.members and not later.panels and (fresh := later.members - met):
            numbers.append(later.number)
            groups.append(fresh)
            met |= fresh
    rest = frozenset(fitting.index) - met
    if rest:
        numbers.append(0)
        groups.append(rest)
    return numbers, groups
