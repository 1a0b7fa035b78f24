"""What comes out of laying pieces on boards: exact lengths, no ticks.

A board is seen with its length from left to right and its width upwards; positions are those of lower left corners.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from shopdocs.core.length import Length
from shopdocs.model.parts import Material, strip_mark
from shopdocs.work.boards.area import Area
from shopdocs.work.boards.reasons import LeftOut
from shopdocs.work.boards.supply import Board, Measured
from shopdocs.work.cut_list import CutRow


class SawnPiece(Struct, frozen=True):
    """One piece, or strip `strip` (from 1) of a piece that is glued up, as it lies; `turned` across the grain."""

    mark: str
    strip: int
    row: CutRow
    area: Area
    turned: bool

    @property
    def name(self) -> str:
        """What is chalked on it: the piece's mark, with a letter for each strip."""
        return strip_mark(self.mark, self.strip) if self.strip else self.mark


class SawCut(Struct, frozen=True):
    """Cut `number` in saw order through `over`: a crosscut at `at` from the left end, or a rip at `at` from the lower
    edge. The blade takes the kerf beyond `at`."""

    number: int
    crosscut: bool
    at: Length
    over: Area


class SawnBoard(Struct, frozen=True):
    """One board with its mark, its pieces, its cuts in saw order and the offcuts worth keeping."""

    mark: str
    board: Board
    pieces: tuple[SawnPiece, ...]
    cuts: tuple[SawCut, ...]
    offcuts: tuple[Area, ...]
    used: Fraction


class MaterialPlan(Struct, frozen=True):
    """The boards of one material. `cost` and `bound` are in money when `in_money`, else areas in square metres; the
    bound is proven: no choice of boards for these pieces costs less. `capped` says that the clock ended the search."""

    material: Material
    boards: tuple[SawnBoard, ...]
    left_out: tuple[LeftOut, ...]
    in_money: bool
    cost: Fraction
    bound: Fraction
    measured: Measured
    assumed: bool
    capped: bool = False

    @property
    def bought(self) -> tuple[SawnBoard, ...]:
        """The boards of the plan that are not on the rack."""
        return tuple(board for board in self.boards if not board.board.on_hand)

    @property
    def gap(self) -> Fraction:
        """How far the cost may be above the best possible one, as a share of the bound; 0 is proven best."""
        if self.cost == self.bound:
            return Fraction(0)
        return (self.cost - self.bound) / self.bound if self.bound else Fraction(1)

    @property
    def used(self) -> Fraction:
        """Share of the boards' area that ends in pieces."""
        area = sum((board.board.square_metres for board in self.boards), Fraction(0))
        pieces = sum((board.used * board.board.square_metres for board in self.boards), Fraction(0))
        return pieces / area if area else Fraction(0)

    @property
    def price(self) -> Fraction | None:
        """What the boards to buy cost; None where one has no price."""
        prices = [board.board.price for board in self.bought]
        known = [price for price in prices if price is not None]
        return sum(known, Fraction(0)) if len(known) == len(prices) else None


class BoardsPlan(Struct, frozen=True):
    """The plan of a whole build, by material in the order of the build, solid wood before sheets. ``asked`` are the
    search rounds that were asked for, 0 if it was left to us."""

    materials: tuple[MaterialPlan, ...] = ()
    asked: int = 0
    plain: bool = False
