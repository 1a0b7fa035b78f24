"""Why a piece is on no board, in the maker's words and lengths."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position, Problem, warning
from shopdocs.model.build import Shop
from shopdocs.model.parts import FlatSize, Material, MaterialKind
from shopdocs.work.boards.clear import between_trims, clear_places, fits
from shopdocs.work.boards.supply import Board
from shopdocs.work.cut_list import CutRow

if TYPE_CHECKING:
    from shopdocs.work.boards.results import BoardsPlan


class Reason(Struct, frozen=True):
    """What is wrong, {} standing for each of `lengths`, what would help, and the key of the part that it is about."""

    wrong: str
    right: str
    key: str
    lengths: tuple[Length, ...] = ()


class LeftOut(Struct, frozen=True):
    """Pieces of one row that are on no board: their marks, how many are to be sawn, the reason ({} standing for each of
    `lengths`) and what would help."""

    row: CutRow
    marks: tuple[str, ...]
    count: int
    reason: str
    help: str
    key: str  # the key of the part that it is about
    lengths: tuple[Length, ...] = ()


def why_left_out(row: CutRow, thick: Sequence[Board], boards: Sequence[Board], shop: Shop) -> Reason:
    """The reason; `thick` are those of `boards` that are thick enough for the piece."""
    if not boards:
        return Reason("there is no board of its material", "add boards of it", "material")
    if not thick:
        most = max(board.thickness for board in boards if board.thickness is not None)
        need = row.part.thickness + shop.allowances.thickness
        wrong = "too thin after milling: {} is needed, the thickest board has {}"
        return Reason(wrong, "take a thicker board or a thinner part", "thickness", (need, most))
    return _size_reason(row, thick, shop) or _stock_reason(row, thick, shop)


def _size_reason(row: CutRow, boards: Sequence[Board], shop: Shop) -> Reason | None:
    """Too long, too wide or both, against what boards give between their trimmed ends; None if one holds it."""
    sheet = any(board.material.kind is MaterialKind.SHEET for board in boards)
    ends, edges = (shop.sheet_trim, shop.sheet_trim) if sheet else (shop.end_trim, ZERO)
    sizes = [FlatSize(board.width - edges * 2, board.length - ends * 2) for board in boards]
    length, width = row.rough.length, row.rough.width
    if row.part.turns:
        length, width = max(length, width), min(length, width)
        sizes = [FlatSize(min(size), max(size)) for size in sizes]
    longest, widest = max(size.length for size in sizes), max(size.width for size in sizes)
    strips = "" if sheet else ", or glue it up of strips"
    if longest <= ZERO or widest <= ZERO:
        trim = "sheet trim" if sheet else "end trim"
        return Reason(f"the {trim} leaves nothing of any board", f"check the boards and the {trim}", "length")
    if length > longest:
        wrong = "too long: {} is sawn, the longest board gives {}"
        return Reason(wrong, "name a longer board in the shop's yard list", "length", (length, longest))
    if width > widest:
        wrong = "too wide: {} is sawn, the widest board gives {}"
        return Reason(wrong, f"name a wider board in the shop's yard list{strips}", "width", (width, widest))
    if not any(length <= size.length and width <= size.width for size in sizes):
        return Reason("no board is both long and wide enough", "name a larger board in the shop's yard list", "length")
    return None


def _stock_reason(row: CutRow, boards: Sequence[Board], shop: Shop) -> Reason:
    group = row.part.one_board
    if group:
        kind, _, name = group.partition(" ")
        whole = {"group": f"all of '{name.replace('{', '(').replace('}', ')')}'", "part": "all its pieces"}.get(
            kind, "all its strips"
        )
        return Reason(f"no board holds {whole} together", "name a larger board, or let them part", "one board")
    wholes = ((board, between_trims(board, shop)) for board in boards)
    clear = (area for board, whole in wholes if whole is not None for area in clear_places(whole, board.defects))
    if not any(fits(row, area) for area in clear):
        return Reason("no stretch clear of defects is large enough", "add a clear board", "length")
    return Reason("the boards are not enough", "raise a count in the shop's yard list, or add boards", "count")


# What no longer search could mend.
CERTAIN = ("length", "width", "thickness", "material")


def left_out_problems(plan: BoardsPlan) -> list[Problem]:
    """A warning for every row that a plan has on no board."""
    return no_board_problems(left for material in plan.materials for left in material.left_out)


def no_board_problems(left_out: Iterable[LeftOut]) -> list[Problem]:
    """A warning for every row that is on no board, at the line of its part."""
    found = []
    for left in left_out:
        part = left.row.part
        of_size = left.key in ("length", "width", "thickness") and left.key not in part.places
        key = "size" if of_size else left.key
        marks = ", ".join(left.marks[:6]) + (f" and {len(left.marks) - 6} more" if len(left.marks) > 6 else "")
        reason = left.reason.format(*map(exact_text, left.lengths))
        wrong = f"'{part.name}' ({marks}) is on no board: {reason}"
        found.append(warning(part.place(key), "no-board", wrong, left.help))
    return found


def capped_problems(materials: Iterable[Material]) -> list[Problem]:
    """A warning for each of these materials, whose search the clock ended: another run may give another plan."""
    return [
        warning(
            material.at,
            "clock",
            f"the search for boards of '{material.name}' was ended by the clock",
            "what is shown can be sawn so, but another run may lay it out otherwise",
        )
        for material in materials
    ]


def plain_problems(plan: BoardsPlan) -> list[Problem]:
    """A warning where a long search was asked for and its compiler is not installed."""
    if not plan.plain:
        return []
    wrong = "the compiler for long searches is not installed, so this one was some thirty times slower"
    return [warning(Position("--effort", 1, 1), "compiler", wrong, "pip install 'shopdocs[search]' brings it")]
