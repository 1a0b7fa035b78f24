"""Things that may change places in less height, so that they take fewer pages: in a closer form of their own, and two
beside each other where they are narrow enough."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import groupby

from msgspec.structs import replace

from shopdocs.blocks.sheets import Block, SideBySide, Together

WORTH_IT = 0.1  # of a page's height: two that spare less stay under each other
CLOSER = 0.02  # of a page's height: a form that spares less is not taken


def closed(blocks: Sequence[Block], height: Callable[[Together, bool], float]) -> tuple[Block, ...]:
    """The blocks with those that bring other forms of themselves in the lowest of these, where that spares height, as
    `height` tells it as a part of a page."""
    return tuple(_lowest(one, height) if isinstance(one, Together) and one.closer else one for one in blocks)


def _lowest(thing: Together, height: Callable[[Together, bool], float]) -> Together:
    forms = [replace(thing, blocks=form) for form in thing.closer]
    lowest = min(forms, key=lambda form: height(form, False))
    return lowest if height(thing, False) - height(lowest, False) >= CLOSER else thing


def paired(blocks: Sequence[Block], height: Callable[[Together, bool], float]) -> tuple[Block, ...]:
    """The blocks with those that move beside each other by twos where both have a narrow form and less height is taken
    so. `height` says how tall such a block is, in a column or across the page, as a part of a page; the same blocks
    come back where nothing is spared."""
    out: list[Block] = []
    for moves, group in groupby(blocks, lambda block: isinstance(block, Together) and block.moves):
        run = [*group]
        out += _by_twos([block for block in run if isinstance(block, Together)], height) if moves else run
    return tuple(out)


def _by_twos(things: list[Together], height: Callable[[Together, bool], float]) -> list[Block]:
    """The largest saving first; a pair stands where the first of both stood."""
    narrow = [i for i, thing in enumerate(things) if thing.narrow]
    wide = {i: height(things[i], False) for i in narrow}
    tall = {i: height(things[i], True) for i in narrow}
    savings = [(wide[i] + wide[j] - max(tall[i], tall[j]), i, j) for k, i in enumerate(narrow) for j in narrow[k + 1 :]]
    beside: dict[int, int] = {}
    for saved, i, j in sorted(savings, key=lambda each: (-each[0], each[1:])):
        if saved >= WORTH_IT and not {i, j} & {*beside, *beside.values()}:
            beside[i] = j
    out: list[Block] = []
    for i, thing in enumerate(things):
        if i in beside:
            columns = (thing.narrow, things[beside[i]].narrow)
            out.append(Together((SideBySide(columns, (1.0, 1.0)),), moves=True))
        elif i not in beside.values():
            out.append(thing)
    return out
