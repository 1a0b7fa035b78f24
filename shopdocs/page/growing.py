"""Pictures that take what their pages leave empty: a drawing, or columns or a table with drawings, may bring larger
settings of itself, and the largest that adds no page is set."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from msgspec.structs import replace

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, Document, Marked, SideBySide, Together
from shopdocs.blocks.text import Table

# Where more drawings than that go by scales of their own, those of one scale grow together: every step sets all pages.
MOST_APART = 60


def grown(document: Document, cost: Callable[[Document], tuple[int, ...]]) -> Document:
    """The document with its columns and tables in the largest settings at which its `cost` (pages above all) does not
    rise; then with its drawings enlarged one scale at a time, that of the smallest scale first, with those that are
    `like` it."""
    document = _with_wider(document, cost)
    likes: dict[str, list[Spot]] = {}
    drawn = dict(_drawings(document.blocks))
    for number, (spot, drawing) in enumerate(drawn.items()):
        if drawing.larger or drawing.like:
            likes.setdefault(drawing.like or f" {number}", []).append(spot)
    likes = {name: spots for name, spots in likes.items() if all(drawn[spot].larger for spot in spots)}
    if not likes:
        return document
    if len(likes) > MOST_APART:
        likes = _by_scale(likes, drawn)
    # each with its settings, the largest last
    growing = {name: [[*reversed(drawn[spot].larger)] for spot in spots] for name, spots in likes.items()}
    scales = {name: drawn[spots[0]].scale or 0 for name, spots in likes.items()}
    most = cost(document)
    while growing:
        name = min(growing, key=lambda each: scales[each])
        blocks = document.blocks
        for spot, settings in zip(likes[name], growing[name], strict=True):
            larger = settings.pop(0)
            blocks, scales[name] = _with(blocks, spot, larger), larger.scale or 0
        tried = replace(document, blocks=blocks)
        fits = cost(tried) <= most
        if fits:
            document = tried
        if not fits or not all(growing[name]):
            del growing[name]
    return document


def _with_wider(document: Document, cost: Callable[[Document], tuple[int, ...]]) -> Document:
    every = _blocks(document.blocks)
    sides = [(spot, block) for spot, block in every if isinstance(block, (SideBySide, Table)) and block.larger]
    most = cost(document) if sides else ()
    for spot, block in sides:
        for larger in block.larger:
            tried = replace(document, blocks=_with(document.blocks, spot, larger))
            if cost(tried) <= most:
                document = tried
                break
    return document


def _by_scale(likes: Mapping[str, list[Spot]], drawn: Mapping[Spot, Drawing]) -> dict[str, list[Spot]]:
    """Those of one scale together."""
    found: dict[str, list[Spot]] = {}
    for spots in likes.values():
        found.setdefault(str(drawn[spots[0]].scale), []).extend(spots)
    return found


Spot = tuple[int, ...]  # the way to a block through the blocks that hold it


def _drawings(blocks: Iterable[Block]) -> list[tuple[Spot, Drawing]]:
    return [(spot, block) for spot, block in _blocks(blocks) if isinstance(block, Drawing)]


def _blocks(blocks: Iterable[Block], above: Spot = ()) -> Iterator[tuple[Spot, Block]]:
    """Every block with its spot, one that holds others before them."""
    for index, block in enumerate(blocks):
        spot = (*above, index)
        yield spot, block
        if isinstance(block, Together):
            yield from _blocks(block.blocks, spot)
        elif isinstance(block, Marked):
            yield from _blocks((block.block,), spot)
        elif isinstance(block, SideBySide):
            for number, column in enumerate(block.columns):
                yield from _blocks(column, (*spot, number))


def _with(blocks: tuple[Block, ...], spot: Spot, drawing: Block) -> tuple[Block, ...]:
    """The blocks with another one at a spot."""
    index, *rest = spot
    block: Block = blocks[index]
    if not rest:
        block = drawing
    elif isinstance(block, Together):
        block = replace(block, blocks=_with(block.blocks, tuple(rest), drawing))
    elif isinstance(block, Marked):
        block = Marked(_with((block.block,), tuple(rest), drawing)[0])
    elif isinstance(block, SideBySide):
        columns = list(block.columns)
        columns[rest[0]] = _with(columns[rest[0]], tuple(rest[1:]), drawing)
        block = replace(block, columns=tuple(columns))
    return (*blocks[:index], block, *blocks[index + 1 :])
