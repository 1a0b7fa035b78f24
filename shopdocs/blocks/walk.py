"""Goes through blocks in the order in which they are read, whatever they are nested in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shopdocs.blocks.drawing import Dimension, Drawing, FullScale
from shopdocs.blocks.sheets import Block, InColumns, Labels, Marked, SideBySide, Together
from shopdocs.blocks.text import Bullets, Checklist, Facts, Figure, Gauge, Heading, Paragraph, Table, Text, figures_of


def walk(blocks: Iterable[Block]) -> Iterator[Block]:
    """Every block, and after a block that holds others, those within it."""
    for block in blocks:
        yield block
        if isinstance(block, (Together, InColumns)):
            yield from walk(block.blocks)
        elif isinstance(block, Marked):
            yield from walk((block.block,))
        elif isinstance(block, SideBySide):
            for column in block.columns:
                yield from walk(column)
        elif isinstance(block, Table):
            yield from _pictures(block)


def _pictures(table: Table) -> Iterator[Drawing]:
    for group in table.groups:
        for row in group.rows:
            yield from (cell.drawing for cell in row.cells if cell.drawing is not None)


def texts(block: Block) -> Iterator[Text]:
    """The texts that this block itself sets, in reading order; none of those of blocks within it."""
    if isinstance(block, Paragraph):
        yield block.text
    elif isinstance(block, Gauge):
        yield block.words
    elif isinstance(block, Facts):
        for _, value in block.pairs:
            yield value
    elif isinstance(block, Bullets):
        yield from block.items
    elif isinstance(block, Checklist):
        for step in block.steps:
            yield from (step.text, step.detail, step.right)
    elif isinstance(block, Table):
        for group in block.groups:
            for row in group.rows:
                for cell in row.cells:
                    yield cell.text
                if row.note:
                    yield (row.note,)


def figures(blocks: Iterable[Block]) -> Iterator[Figure]:
    """Every figure that stands on paper, in reading order. A dimension line counts as a figure: its exact value is the
    distance it measures, its name that of the drawing."""
    for block in walk(blocks):
        for content in texts(block):
            yield from figures_of(content)
        if isinstance(block, Drawing):
            yield from block.figures
            yield from _dimensions(block, block.name)
        elif isinstance(block, Labels):
            for label in block.labels:
                yield from label.figures
        elif isinstance(block, FullScale):
            yield from block.figures
            yield from _dimensions(block.drawing, block.title or block.drawing.name)


def _dimensions(drawing: Drawing, name: str) -> Iterator[Figure]:
    for shape in drawing.shapes:
        if isinstance(shape, Dimension):
            along = 0 if shape.axis == "x" else 1
            apart = shape.value if shape.value is not None else abs(shape.end[along] - shape.start[along])
            yield Figure(f"{name} · dimension", shape.text, apart.mm, "mm")


def anchors(blocks: Iterable[Block]) -> Iterator[str]:
    """Every link target, in reading order; the same may come more than once."""
    for block in walk(blocks):
        if isinstance(block, (Heading, Facts, FullScale)) and block.anchor:
            yield block.anchor
        elif isinstance(block, Table):
            yield from (row.anchor for group in block.groups for row in group.rows if row.anchor)
        elif isinstance(block, Labels):
            yield from (label.anchor for label in block.labels if label.anchor)


def links(blocks: Iterable[Block]) -> Iterator[str]:
    """Every target that some cell leads to, in reading order."""
    for block in walk(blocks):
        if isinstance(block, Table):
            for group in block.groups:
                for row in group.rows:
                    yield from (cell.link for cell in row.cells if cell.link)
