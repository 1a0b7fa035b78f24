"""The cuts of a board in words, and the letters of its offcuts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shopdocs.blocks.text import Run, Text
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.figures import length_figure
from shopdocs.model.build import Shop
from shopdocs.model.parts import MaterialKind
from shopdocs.work.boards.area import Area
from shopdocs.work.boards.results import SawCut, SawnBoard

NO_BREAK = "\u00a0"


def saw_text(board: SawnBoard, display: Display, shop: Shop) -> Text:
    """The cuts in words, each with its distance from the left end or the lower edge of what it parts, and the offcuts
    that come off; equal cuts that follow each other are told together. A cut's number and its distance stay on one
    line."""
    parts: list[list[Run]] = []
    cuts = list(board.cuts)
    trims = _trims(board, shop)
    if trims:
        what = {1: "the left end", 2: "both ends"}.get(trims, "the edges")
        parts.append([f"{_numbers(1, trims)}: trim {what}".replace(" ", NO_BREAK)])
    every = [_along(cut) for cut in cuts[trims:]]
    freed: dict[int, list[str]] = {}
    for letter, area in lettered(board):
        freed.setdefault(_freed_by(board, area), []).append(letter)
    for same in _runs(board, cuts[trims:], freed):
        runs = _cut_text(board, same, every, display)
        if letters := freed.get(same[-1].number):
            runs.append(f",{NO_BREAK}keep{NO_BREAK}{','.join(letters)}")
        parts.append(runs)
    if not parts:
        return ("No cut: the piece takes the whole board.",)
    joined = [run for part in parts for run in (f"{NO_BREAK}· ", *part)][1:]
    return ("Saw ", *joined)


def _numbers(first: int, last: int) -> str:
    """1, or 1, 2, or 1–4."""
    return str(first) if first == last else f"{first}, {last}" if last == first + 1 else f"{first}–{last}"


def _runs(board: SawnBoard, cuts: Sequence[SawCut], freed: Mapping[int, object]) -> list[list[SawCut]]:
    """Cuts that follow each other and are set alike, where no offcut comes off between them."""
    found: list[list[SawCut]] = []
    for cut in cuts:
        last = found[-1][-1] if found else None
        alike = last is not None and last.crosscut == cut.crosscut and _along(last) == _along(cut)
        if alike and last is not None and last.number not in freed and not _parts_off_waste(board, cut):
            found[-1].append(cut)
        else:
            found.append([cut])
    return found


def _along(cut: SawCut) -> Length:
    """From the left end or lower edge of what is parted to the cut."""
    return cut.at - (cut.over.x if cut.crosscut else cut.over.y)


def _cut_text(board: SawnBoard, same: Sequence[SawCut], every: Sequence[Length], display: Display) -> list[Run]:
    """'3: rip 4½', '4, 5: crosscut 445'. A cut so near the end of what is parted, or to that of another cut, that both
    would be printed alike is told finer; where that cannot show what is taken off, the cut is a trim."""
    cut, numbers = same[0], _numbers(same[0].number, same[-1].number)
    along, whole = _along(cut), cut.over.length if cut.crosscut else cut.over.width
    fine = display.told_apart(along, (ZERO, whole, *every))
    for place, ends in ((ZERO, ("left end", "lower edge")), (whole, ("right end", "upper edge"))):
        if not fine.differ(along, place):
            return [f"{numbers}: trim the {ends[not cut.crosscut]}".replace(" ", NO_BREAK)]
    figure = length_figure(f"{board.mark} · cut {cut.number}", along, fine, board.board.at)
    said = f"{numbers}: {'crosscut' if cut.crosscut else 'rip'} ".replace(" ", NO_BREAK)
    return [said, figure, f"{NO_BREAK}(waste)" if _parts_off_waste(board, cut) else ""]


def _trims(board: SawnBoard, shop: Shop) -> int:
    """How many of the first cuts only take off what an end or edge loses in this shop."""
    ends, edges = board.cuts[:2], board.cuts[2:4]
    whole = board.board
    sheet = whole.material.kind is MaterialKind.SHEET
    lost = shop.sheet_trim if sheet else shop.end_trim
    lost = max(lost, shop.kerf) if lost else lost
    if not lost or not ends or not over_whole_width(board, ends[0]) or ends[0].at + shop.kerf != lost:
        return 0
    both = len(ends) == 2 and over_whole_width(board, ends[1]) and whole.length - ends[1].at == lost
    if not sheet:
        return 2 if both else 1
    along = len(edges) == 2 and not edges[0].crosscut and not edges[1].crosscut
    return 4 if both and along and edges[0].at + shop.kerf == lost == whole.width - edges[1].at else 0


def _parts_off_waste(board: SawnBoard, cut: SawCut) -> bool:
    """Whether nothing that is kept lies between the left end or lower edge and the cut."""
    over = cut.over
    return not any(
        over.x <= area.x < over.x + over.length
        and over.y <= area.y < over.y + over.width
        and (area.x if cut.crosscut else area.y) < cut.at
        for area in kept_areas(board)
    )


def kept_areas(board: SawnBoard) -> list[Area]:
    """Where the pieces and the offcuts worth keeping lie."""
    return [*(piece.area for piece in board.pieces), *board.offcuts]


def over_whole_width(board: SawnBoard, cut: SawCut) -> bool:
    """Whether it is a crosscut from edge to edge of the board."""
    return cut.crosscut and cut.over.width == board.board.width


def lettered(board: SawnBoard) -> list[tuple[str, Area]]:
    """The offcuts worth keeping with a letter each, in the order in which they come off."""
    ordered = sorted(board.offcuts, key=lambda area: (_freed_by(board, area), area.x, area.y))
    return [(_letter(number), area) for number, area in enumerate(ordered)]


def _letter(number: int) -> str:
    """A, B … Z, AA, AB …"""
    round_, letter = divmod(number, 26)
    return (_letter(round_ - 1) if round_ else "") + chr(ord("A") + letter)


def _freed_by(board: SawnBoard, area: Area) -> int:
    """The number of the last cut through what an offcut is part of; after it the offcut lies by itself."""
    return max((cut.number for cut in board.cuts if _holds(cut.over, area)), default=0)


def _holds(whole: Area, area: Area) -> bool:
    return (
        whole.x <= area.x
        and area.x + area.length <= whole.x + whole.length
        and whole.y <= area.y
        and area.y + area.width <= whole.y + whole.width
    )
