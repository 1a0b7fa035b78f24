"""Pieces too large for an offcut or a board of the rack by so little that the maker may decide.

Rough sizes hold a milling allowance. Where only a part of it is missing the piece can still be got out with care, and
that is worth a look where it saves buying a board, or gives a piece that has no board.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.length import ZERO, Length
from shopdocs.model.build import Shop
from shopdocs.work.boards.area import Area
from shopdocs.work.boards.clear import between_trims, clear_places
from shopdocs.work.boards.reasons import LeftOut
from shopdocs.work.boards.results import MaterialPlan, SawnBoard
from shopdocs.work.boards.supply import Board, rack_boards
from shopdocs.work.boards.wanted import thick_enough
from shopdocs.work.cut_list import CutRow

FORGONE = Fraction(2, 3)  # of an allowance, at most; common practice, no source
STEPS = (Fraction(1, 6), Fraction(1, 3), Fraction(1, 2), FORGONE)
NONE = Fraction(0)


class Share(NamedTuple):
    """How much of its allowances a piece gives up: of that in length, and of that in width."""

    long: Fraction
    wide: Fraction


# Shares of the allowances in length and width that each piece gives up so that several fit in one place.
ALL_KEPT = Share(NONE, NONE)
LESS_KEPT = tuple(share for step in STEPS for share in (Share(step, NONE), Share(NONE, step), Share(step, step)))
MOST_PIECES = 40  # that are looked at; where more are missing a board is


class Near(Struct, frozen=True):
    """A piece or strip that would go on a place on another board, and what it is short of: `long` in length, `wide` in
    width; both 0 where it fits. `left_over` says that the place is an offcut, not on an untouched board; there `clear`
    says that defects bound it. `rest`, the place is what others of these leave of theirs."""

    name: str
    row: CutRow
    board: str
    place: Area
    left_over: bool
    clear: bool
    long: Length
    wide: Length
    rest: bool = False


class Spared(Struct, frozen=True):
    """A board that need not be bought if all its pieces go elsewhere, at least one of them a little short."""

    board: SawnBoard
    pieces: tuple[Near, ...]


class _Wanted(Struct, frozen=True):
    """A piece or strip that needs a place, its rough area, and the least length and width of a place for it."""

    name: str
    row: CutRow
    size: Fraction
    long: Fraction
    wide: Fraction

    @staticmethod
    def of(name: str, row: CutRow) -> _Wanted:
        rough, (spare_long, spare_wide) = row.rough, allowances(row)
        long, wide = rough.length - spare_long * FORGONE, rough.width - spare_wide * FORGONE
        return _Wanted(name, row, rough.length.mm * rough.width.mm, long.mm, wide.mm)


class _Place(Struct, frozen=True):
    """A clear rectangle that no piece takes; `root` is the place that it was a part of before pieces went there."""

    mark: str
    board: Board
    area: Area
    left_over: bool
    root: Area | None = None

    @property
    def whole(self) -> Area:
        return self.root or self.area


class _Moved(Struct):
    """Pieces with places of their own, and those without."""

    nears: list[tuple[Near, _Place]]
    without: list[_Wanted]

    @property
    def pieces(self) -> tuple[Near, ...]:
        return tuple(near for near, _ in self.nears)

    @property
    def short(self) -> bool:
        return any(near.long or near.wide for near in self.pieces)


def spared_boards(plan: MaterialPlan, shop: Shop) -> tuple[Spared, ...]:
    """Boards to buy whose pieces all nearly fit on offcuts or on the rack, those with the fewest pieces first; a
    place taken for one is gone for the others, and a board whose offcut is used stays on the list."""
    untouched = _untouched(plan, shop, rack_boards(plan.material, shop))
    places = [*_offcuts(plan.boards), *untouched]
    lending: set[str] = set()
    gone: set[str] = set()
    in_vain: set[tuple[int, ...]] = set()  # boards with these rows found no places as they are now
    found = []
    for board in sorted(reversed(plan.bought), key=lambda board: len(board.pieces)):
        if board.mark in lending or any(piece.row.part.one_board for piece in board.pieces):
            continue
        rows = tuple(sorted(id(piece.row) for piece in board.pieces))
        if rows in in_vain:
            continue
        free = [place for place in places if place.mark != board.mark and place.mark not in gone]
        moved = _best_moved([_Wanted.of(piece.name, piece.row) for piece in board.pieces], free, shop, True)
        if moved.without or not moved.short:
            in_vain.add(rows)
            continue
        taken = [place for _, place in moved.nears]
        places = [place for place in places if not any(_shares(place, each, shop) for each in taken)]
        lending |= {near.board for near in moved.pieces}
        gone.add(board.mark)
        in_vain.clear()
        found.append(Spared(board, moved.pieces))
    return tuple(found)


def gained_pieces(plan: MaterialPlan, shop: Shop, boards: Iterable[Board]) -> tuple[Near, ...]:
    """Pieces on no board that nearly fit on offcuts, or on those of `boards` that nothing is laid on, as many as find a
    place; those that must stay together are left."""
    wanted = [each for left in plan.left_out if not left.row.part.one_board for each in _wanted(left)]
    if not 0 < len(wanted) <= MOST_PIECES:
        return ()
    places = [*_offcuts(plan.boards), *_untouched(plan, shop, boards)]
    return _best_moved(wanted, places, shop).pieces


def _wanted(left: LeftOut) -> list[_Wanted]:
    if left.row.part.strips > 1:
        return [_Wanted.of(f"a strip of {left.row.part.name}", left.row)] * left.count
    return [_Wanted.of(mark, left.row) for mark in left.marks]


def _offcuts(boards: Iterable[SawnBoard]) -> list[_Place]:
    return [_Place(board.mark, board.board, cut, True) for board in boards for cut in board.offcuts]


def _untouched(plan: MaterialPlan, shop: Shop, boards: Iterable[Board]) -> list[_Place]:
    """Places on boards that nothing was laid on: between their trimmed ends, clear of defects."""
    taken = {board.mark for board in plan.boards}
    found = []
    for board in boards:
        whole = between_trims(board, shop)
        if board.mark not in taken and whole is not None:
            found += [_Place(board.mark, board, area, False) for area in clear_places(whole, board.defects)]
    return found


def _shares(one: _Place, other: _Place, shop: Shop) -> bool:
    """Whether two places are on one stretch of a board, so that no crosscut parts them."""
    if (one.mark, one.whole, one.left_over) == (other.mark, other.whole, other.left_over):
        return one.area == other.area or None in (one.root, other.root)
    a, b = one.whole, other.whole
    apart = a.x + a.length + shop.kerf <= b.x or b.x + b.length + shop.kerf <= a.x
    return one.mark == other.mark and not one.left_over and not other.left_over and not apart


def _best_moved(wanted: Sequence[_Wanted], places: Sequence[_Place], shop: Shop, whole: bool = False) -> _Moved:
    """Places for as many pieces as possible, each giving up no more of its allowances than it has to. With `whole` none
    is placed where one has no hope of a place."""
    hopeless = [each for each in wanted if not any(_near(each, place, shop, ALL_KEPT) for place in _kinds(places, 1))]
    hopeful = [each for each in wanted if each not in hopeless]
    if not hopeful or (hopeless and whole):
        return _Moved([], list(wanted))
    few = _kinds(places, len(hopeful))
    tries: list[_Moved] = []
    for shares in ((ALL_KEPT,), LESS_KEPT):
        tries += [_moved(hopeful, few, shop, along, share) for share in shares for along in (True, False)]
        best = min(tries, key=lambda moved: (len(moved.without), max(map(_missing, moved.pieces), default=NONE)))
        if not best.without:
            break
    return _Moved(best.nears, [*best.without, *hopeless])


def _kinds(places: Iterable[_Place], most: int) -> list[_Place]:
    """The places, with at most this many offcuts of any one size."""
    counts: Counter[tuple[Length, Length, Length | None]] = Counter()
    found = []
    for place in places:
        kind = (place.area.length, place.area.width, place.board.thickness)
        counts[kind] += place.left_over
        if counts[kind] <= most:
            found.append(place)
    return found


def _moved(wanted: Sequence[_Wanted], places: Sequence[_Place], shop: Shop, along: bool, share: Share) -> _Moved:
    """Each piece with a place of its own, the largest first on the smallest that will do; what a piece leaves of its
    place may take another. `along`, places are crosscut first, else ripped first. Pieces that are to share a place
    each give up a `share` of their allowances."""
    free = sorted(places, key=lambda place: place.area.length.mm * place.area.width.mm)
    nears: list[tuple[Near, _Place]] = []
    without: list[_Wanted] = []
    for each in sorted(wanted, key=lambda each: each.size, reverse=True):
        found = [(near, place) for place in free if (near := _near(each, place, shop, share)) is not None]
        if not found:
            without.append(each)
            continue
        near, taken = min(found, key=_missing_there)
        free = [place for place in free if not _shares(place, taken, shop)] + _rests(near, taken, shop, along)
        free.sort(key=lambda place: place.area.length.mm * place.area.width.mm)
        nears.append((near, taken))
    last = [
        (near if _goes_on(taken, nears[n:]) else _near_alone(near, taken, shop), taken)
        for n, (near, taken) in enumerate(nears, 1)
    ]
    return _Moved(last, without)


def _goes_on(taken: _Place, later: Sequence[tuple[Near, _Place]]) -> bool:
    """Whether another piece is on what one leaves of its place."""
    area = taken.area
    return any(
        (place.mark, place.whole) == (taken.mark, taken.whole)
        and area.x <= place.area.x < area.x + area.length
        and area.y <= place.area.y < area.y + area.width
        for _, place in later
    )


def _near_alone(near: Near, place: _Place, shop: Shop) -> Near:
    """A piece with the rest of a place to itself gives up only as much of its allowance as the place lacks."""
    return _near(_Wanted.of(near.name, near.row), place, shop, ALL_KEPT) or near


def _rests(near: Near, place: _Place, shop: Shop, along: bool) -> list[_Place]:
    """What a piece leaves of its place."""
    area = place.area
    long, wide = near.row.rough.length - near.long, near.row.rough.width - near.wide
    x, y = area.x + long + shop.kerf, area.y + wide + shop.kerf
    right, above = area.x + area.length - x, area.y + area.width - y
    rests = [
        Area(x, area.y, right, area.width if along else wide),
        Area(area.x, y, long if along else area.length, above),
    ]
    return [replace(place, area=rest, root=place.whole) for rest in rests if rest.length > ZERO and rest.width > ZERO]


def _missing(near: Near) -> Fraction:
    """The larger share of an allowance that would be forgone."""
    spare_long, spare_wide = allowances(near.row)
    shares = [short / spare for short, spare in ((near.long, spare_long), (near.wide, spare_wide)) if spare]
    return max(shares, default=Fraction(0))


def _missing_there(pair: tuple[Near, _Place]) -> Fraction:
    near, _ = pair
    return _missing(near)


def _near(wanted: _Wanted, place: _Place, shop: Shop, share: Share) -> Near | None:
    row = wanted.row
    if place.area.length.mm < wanted.long or place.area.width.mm < wanted.wide:
        return None
    if not thick_enough(place.board, row, shop):
        return None
    area = place.area
    spare_long, spare_wide = allowances(row)
    long = max(row.rough.length - area.length, spare_long * share.long, ZERO)
    wide = max(row.rough.width - area.width, spare_wide * share.wide, ZERO)
    bounded = not place.left_over and bool(place.board.defects)
    return Near(wanted.name, row, place.mark, area, place.left_over, bounded, long, wide, place.root is not None)


def allowances(row: CutRow) -> tuple[Length, Length]:
    """What a rough piece or strip has to spare in length and in width."""
    return row.rough.length - row.joinery.length, row.rough.width - row.joinery.width / row.part.strips
