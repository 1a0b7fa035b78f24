"""Pictures that take what their pages leave empty: a drawing may bring larger settings of itself, and the largest that
adds no page is set."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, Document, SideBySide, Together


def grown(document: Document, pages: Callable[[Document], int]) -> Document:
    """The document with each of its drawings, one after another, as large as leaves the count of `pages` as it is."""
    spots = [spot for spot, drawing in _drawings(document.blocks) if drawing.larger]
    if not spots:
        return document
    count = pages(document)
    for spot in spots:
        drawing = next(one for at, one in _drawings(document.blocks) if at == spot)
        for larger in drawing.larger:
            tried = replace(document, blocks=_with(document.blocks, spot, larger))
            if pages(tried) <= count:
                document = tried
                break
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
