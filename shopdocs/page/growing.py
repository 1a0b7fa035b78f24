"""Pictures that take what their pages leave empty: a drawing may bring larger settings of itself, and the largest that
adds no page is set."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, Document, SideBySide, Together


def grown(document: Document, cost: Callable[[Document], tuple[int, ...]]) -> Document:
    """The document with its drawings, one after another and those that are `like` each other at once, as large as
    makes its `cost`, its pages above all, no greater."""
    likes: dict[str, list[Spot]] = {}
    for number, (spot, drawing) in enumerate(_drawings(document.blocks)):
        if drawing.larger:
            likes.setdefault(drawing.like or f" {number}", []).append(spot)
    if not likes:
        return document
    most = cost(document)
    steps = {name: 0 for name in likes}
    bases = dict(_drawings(document.blocks))
    while steps:
        for name in list(steps):
            spots = likes[name]
            steps[name] += 1
            if steps[name] > min(len(bases[spot].larger) for spot in spots):
                del steps[name]
                continue
            blocks = document.blocks
            for spot in spots:
                blocks = _with(blocks, spot, bases[spot].larger[-steps[name]])
            tried = replace(document, blocks=blocks)
            if cost(tried) <= most:
                document = tried
            else:
                del steps[name]
    return document


Spot = tuple[int, ...]  # the way to a block through the blocks that hold it


def _drawings(blocks: Iterable[Block], above: Spot = ()) -> list[tuple[Spot, Drawing]]:
    found: list[tuple[Spot, Drawing]] = []
    for index, block in enumerate(blocks):
        spot = (*above, index)
        if isinstance(block, Drawing):
            found.append((spot, block))
        elif isinstance(block, Together):
            found += _drawings(block.blocks, spot)
        elif isinstance(block, SideBySide):
            for number, column in enumerate(block.columns):
                found += _drawings(column, (*spot, number))
    return found


def _with(blocks: tuple[Block, ...], spot: Spot, drawing: Drawing) -> tuple[Block, ...]:
    """The blocks with another drawing at a spot."""
    index, *rest = spot
    block: Block = blocks[index]
    if not rest:
        block = drawing
    elif isinstance(block, Together):
        block = Together(_with(block.blocks, tuple(rest), drawing))
    elif isinstance(block, SideBySide):
        columns = list(block.columns)
        columns[rest[0]] = _with(columns[rest[0]], tuple(rest[1:]), drawing)
        block = SideBySide(tuple(columns), block.shares)
    return (*blocks[:index], block, *blocks[index + 1 :])
