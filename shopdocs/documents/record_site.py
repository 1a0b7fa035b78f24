"""The records as a whole: what stands around each piece, and the list of all of them.

What is said here of a piece changes with the build around it, such as its place on a board. It is kept out of
`record_pages`, by which a later revision tells whether the piece itself is another.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from msgspec.structs import replace

from shopdocs.blocks.record_pages import STEPS, Listing, Pages, Records
from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Bullets, Caution, Facts, Heading, Paragraph, Text, Weight, text
from shopdocs.core.slug import record_slug
from shopdocs.documents.cautions import cautions_of
from shopdocs.documents.drawn.build_pictures import assembled_picture
from shopdocs.documents.drawn.whereabouts import Whereabouts, on_board
from shopdocs.documents.figures import length_figures
from shopdocs.documents.fitting.dry_run import stops
from shopdocs.documents.job import Job
from shopdocs.documents.own_cuts import is_shaped
from shopdocs.documents.seasons import change, season_blocks
from shopdocs.documents.yard.words import board_size, reason_text
from shopdocs.model.parts import MaterialKind, Part, Piece
from shopdocs.work.boards.reasons import LeftOut
from shopdocs.work.boards.results import SawnBoard, SawnPiece
from shopdocs.work.cut_list import copy_mark, stock_thickness

PICTURE_MM = (62.0, 70.0)


def records_of(job: Job, pages: Sequence[Document], gone: Sequence[Document] = ()) -> Records:
    """The site: `pages` of `record_pages` with what stands around each piece; `gone` are pages of former pieces."""
    around = Whereabouts(job) if job.space is not None else None
    boards, left_out = _boards(job), _left_out(job)
    pieces = list(job.build.pieces())

    def whole(number: int) -> Document:
        page, (part, piece) = pages[number], pieces[number]
        blocks: list[Block] = _stops(job, piece)
        sits = around.of(piece.mark) if around is not None else None
        if sits is not None:
            blocks += [Heading("Where it sits", 2), sits]
        cut = list(_cut_from(job, piece, boards.get(piece.mark, ()), left_out.get(piece.mark)))
        return replace(page, blocks=_with(page.blocks, blocks, [*cut, *_seasons(job, part, piece)]))

    steps = {_name(job, piece.mark): tuple(_steps(job, part, piece)) for part, piece in pieces}
    listings = tuple(_listings(job, boards))
    return Records(Pages(pages, whole), _index(job), listings, steps, tuple(gone), job.build.copies)


def _stops(job: Job, piece: Piece) -> list[Block]:
    """What must be done before the stage of a piece, where that is told by its mark."""
    work = job.stage_of.get(piece.mark)
    named = re.compile(rf"(?<![\w-]){re.escape(piece.mark)}(?![\w-])")
    told = job.once(("stops", work.number), lambda: tuple(stops(job, work))) if work else ()
    return [stop for stop in told if named.search(stop.title)]


def _name(job: Job, mark: str) -> str:
    return record_slug(job.build.full_mark(mark))


def _with(blocks: tuple[Block, ...], sits: Sequence[Block], more: Sequence[Block]) -> tuple[Block, ...]:
    """Where the piece sits comes behind its facts and warnings, the rest at the end."""
    head = next((i for i, block in enumerate(blocks) if not isinstance(block, (Facts, Bullets))), len(blocks))
    return (*blocks[:head], *sits, *blocks[head:], *more)


def _steps(job: Job, part: Part, piece: Piece) -> Iterator[str]:
    """Which of the steps there are for this piece: what is bought as thick and wide as it stays is not planed,
    what has no joint not jointed."""
    sheet = job.build.material(part.material).kind is MaterialKind.SHEET
    placed = job.space.pieces.get(piece.mark) if job.space is not None else None
    meets, staged = job.meets[piece.mark], piece.mark in job.stage_of
    glued = part.strips > 1 or any(joint.glued for joint, _ in meets)
    wanted = (
        True,
        not sheet and _is_planed(job, part, piece),
        placed is not None and placed.turned is not None,
        bool(meets),
        any(piece.mark in face.marks for face in job.faces),
        is_shaped(job, piece.mark),
        staged and glued,
        staged and not glued,
    )
    yield from (step for step, there in zip(STEPS, wanted, strict=True) if there)


def _is_planed(job: Job, part: Part, piece: Piece) -> bool:
    """Whether there is anything to plane off, of the stock, of what is sawn, or of the panel that strips make."""
    row, stock = job.rows[piece.mark], stock_thickness(job.build.material(part.material))
    sawn, left = row.rough, row.joinery
    return part.strips > 1 or stock != left.thickness or (sawn.thickness, sawn.width) != (left.thickness, left.width)


# --- the wood it is from ----------------------------------------------------------------------------------------------

OnBoards = tuple[tuple[SawnBoard, tuple[SawnPiece, ...]], ...]


def _boards(job: Job) -> dict[str, OnBoards]:
    """The boards that each piece, or each of its strips, is sawn from; in all copies that are built at once."""
    found: dict[str, OnBoards] = {}
    described = _described(job)
    for plan in job.boards.materials:
        for board in plan.boards:
            for mark in dict.fromkeys(described[piece.mark] for piece in board.pieces):
                own = tuple(piece for piece in board.pieces if described[piece.mark] == mark)
                found[mark] = (*found.get(mark, ()), (board, own))
    return found


def _described(job: Job) -> dict[str, str]:
    """The mark in the build of what is sawn under these marks: FL of FL·1 to FL·6."""
    copies = job.build.copies
    return {
        copy_mark(piece.mark, number, copies): piece.mark
        for _, piece in job.build.pieces()
        for number in range(1, copies + 1)
    }


def _left_out(job: Job) -> dict[str, LeftOut]:
    described = _described(job)
    return {described[mark]: left for plan in job.boards.materials for left in plan.left_out for mark in left.marks}


def _cut_from(job: Job, piece: Piece, boards: OnBoards, left: LeftOut | None) -> Iterator[Block]:
    """The board and where on it, or why it is on none."""
    if boards or left is not None:
        yield Heading("Cut from", 2)
    for board, own in boards:
        whole = board.board
        kind = ", from the rack" if whole.on_hand else ""
        size = board_size(job.display.alone(), f"{piece.mark} · {board.mark}", whole)
        yield Paragraph((f"{board.mark}, {whole.material.name}, ", *size, f" {job.display.units}{kind}"), Weight.STRONG)
        yield on_board(board, own)
        yield Bullets(tuple(_lies(job, piece, board, each) for each in own))
    if left is not None:
        yield Paragraph(("On no board: ", *reason_text(job.display, left), f"; {left.help}."))


def _lies(job: Job, piece: Piece, board: SawnBoard, sawn: SawnPiece) -> Text:
    area, name, at = sawn.area, f"{sawn.name} · on {board.mark}", board.board.at
    display = job.display.alone()
    along = length_figures((f"{name} · from", area.x, at), (f"{name} · to", area.x + area.length, at), display=display)
    up = length_figures((f"{name} · low", area.y, at), (f"{name} · high", area.y + area.width, at), display=display)
    head = f"{sawn.name}: " if sawn.name != piece.mark else ""
    turned = ", turned" if sawn.turned else ""
    return text(
        f"{head}from ", along[0], " to ", along[1], f" {display.units} from the left end, ",
        up[0], " to ", up[1], f" {display.units} from the lower edge, as sawn{turned}",
    )  # fmt: skip


# --- what the seasons do to it ----------------------------------------------------------------------------------------


def _seasons(job: Job, part: Part, piece: Piece) -> list[Block]:
    """How far it moves over the year, and what to leave for that on the day of making."""
    moves = job.moves.get(part.name)
    if moves is None:
        return []
    grows = change(f"{piece.mark} · swells", part.width * moves.grows, job.display, part.place("width"))
    shrinks = change(f"{piece.mark} · shrinks", part.width * moves.shrinks, job.display, part.place("width"))
    unit = job.display.units
    told = text("Across its width it swells by up to ", grows, f" {unit} and shrinks by up to ", shrinks, f" {unit}.")
    return [Heading("Over the year", 2), Paragraph(told), *season_blocks(job, [piece.mark])]


# --- the list ---------------------------------------------------------------------------------------------------------


def _index(job: Job) -> Document:
    """What stands around the list: the build as it stands, and what the title sheet warns of."""
    drawing = assembled_picture(job, PICTURE_MM)
    blocks: list[Block] = [] if drawing is None else [replace(drawing, larger=(), captioned=False)]
    blocks += [Caution(caution.title, caution.text) for caution in cautions_of(job)]
    return Document("index", job.build.title, "Which piece is this?", tuple(blocks))


def _listings(job: Job, boards: Mapping[str, OnBoards]) -> Iterator[Listing]:
    """The pieces by mark, by the stage in which they are glued, by the board they are from."""
    every = [piece.mark for _, piece in job.build.pieces()]
    described = _described(job)

    def names(marks: Sequence[str]) -> tuple[str, ...]:
        return tuple(_name(job, mark) for mark in marks)

    yield Listing(
        "By mark", tuple((part.name, names([piece.mark for piece in part.pieces])) for part in job.build.parts)
    )
    staged = [
        (f"{work.number}  {work.stage.title}", names([mark for mark in every if job.stage_of.get(mark) is work]))
        for work in job.stages
    ]
    loose = names([mark for mark in every if mark not in job.stage_of])
    if job.stages:
        groups = [(title, some) for title, some in staged if some]
        yield Listing("By stage", tuple([*groups, *([("in no stage", loose)] if loose else [])]))
    sawn = {board.mark: board for plan in job.boards.materials for board in plan.boards}
    if sawn:
        by_board = [
            (
                f"{board.mark}, {board.board.material.name}",
                names(list(dict.fromkeys(described[p.mark] for p in board.pieces))),
            )
            for board in sawn.values()
        ]
        without = names([mark for mark in every if mark not in boards])
        yield Listing("By board", tuple([*by_board, *([("on no board", without)] if without else [])]))
