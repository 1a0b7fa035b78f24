"""Marks what is other than in an earlier revision with a bar at the margin."""

from __future__ import annotations

from msgspec.structs import replace

from shopdocs.blocks.digest import digest
from shopdocs.blocks.drawing import Drawing, FullScale
from shopdocs.blocks.sheets import Block, Document, InColumns, Labels, Marked, NewPage
from shopdocs.blocks.text import Heading
from shopdocs.blocks.walk import walk
from shopdocs.documents.revised.state import BuildState

# A template is dated by its own title, and a label sheet has no margin.
_UNMARKED = (Heading, FullScale, Labels, NewPage)


def marked(document: Document, before: BuildState, check_word: str) -> Document:
    """The document with a bar beside every block that the earlier revision had not."""
    sheet = before.sheets.get(document.name)
    known = set(sheet.blocks) if sheet is not None else set()

    def of(block: Block) -> Block:
        if isinstance(block, _UNMARKED) or digest(block, check_word) in known:
            return block
        return Marked(block)

    blocks = tuple(of(block) for block in document.blocks)
    told = {id(old): new for old, new in zip(document.blocks, blocks, strict=True)}

    held = {id(inner) for new in blocks if isinstance(new, Marked) for inner in walk((new.block,))}

    def instead(place: int, block: Block) -> Block:
        """A block of the other setting; one that is not in both says the same as the one in its place."""
        if id(block) in told:
            return told[id(block)]
        if isinstance(block, InColumns):
            return replace(block, blocks=tuple(Marked(one) if id(one) in held else one for one in block.blocks))
        return Marked(block) if isinstance(blocks[place], Marked) else block

    other = tuple(instead(place, block) for place, block in enumerate(document.instead))
    views = any(isinstance(block, Marked) and isinstance(block.block, Drawing) for block in blocks)
    ahead = tuple(
        told.get(id(block), Marked(block) if isinstance(block, Drawing) and views else block)
        for block in document.ahead
    )
    return replace(document, blocks=blocks, instead=other, ahead=ahead)
