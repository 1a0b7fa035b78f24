"""Boards and sheets as they exist: on the yard's list, on the rack, on a receipt.

A *board* lies with its length along the grain, measured from its left end, its width measured from its lower edge. All
sizes are as they lie there, before any milling. `material` is the name that builds give the material.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from shopdocs.core.length import Length
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.model.parts import Places, Price


@dataclass(frozen=True, slots=True)
class Defect:
    """A stretch that no piece may touch: `start` to `end` from the left end, over the whole width, or between `low` and
    `high` from the lower edge."""

    start: Length
    end: Length
    low: Length | None = None
    high: Length | None = None


@dataclass(frozen=True, slots=True)
class YardBoard:
    """A size the yard sells. `width` None means the material's own (dressed softwood, a sheet), `count` None as many as
    are wanted; `price` wins over the material's."""

    material: str
    width: Length | None
    length: Length | None
    price: Price | None = None
    count: int | None = None
    at: Position = NOWHERE
    places: Places = field(default_factory=dict, compare=False, hash=False, repr=False)


@dataclass(frozen=True, slots=True)
class RackBoard:
    """A board the maker has. `thickness` is as measured; None means that of the material."""

    mark: str
    material: str
    width: Length | None
    length: Length
    thickness: Length | None = None
    defects: tuple[Defect, ...] = ()
    at: Position = NOWHERE
    places: Places = field(default_factory=dict, compare=False, hash=False, repr=False)


@dataclass(frozen=True, slots=True)
class ReceiptLine:
    """`count` equal boards that were bought. `quarters` where the thickness was written as 5/4; `feet` and `amount` are
    the seller's own figures for the whole line, `feet_step` the last printed digit of the seller's board feet."""

    mark: str
    material: str
    count: int
    width: Length | None
    length: Length | None
    thickness: Length | None = None
    quarters: int | None = None
    rate: Price | None = None
    feet: Fraction | None = None
    feet_step: Fraction = Fraction(1)
    amount: Fraction | None = None
    defects: tuple[Defect, ...] = ()
    at: Position = NOWHERE
    places: Places = field(default_factory=dict, compare=False, hash=False, repr=False)


@dataclass(frozen=True, slots=True)
class Receipt:
    """What was bought. `feet` and `total` are the seller's sums of board feet and money, where they are printed."""

    lines: tuple[ReceiptLine, ...]
    seller: str = ""
    date: str = ""
    currency: str = ""
    feet: Fraction | None = None
    feet_step: Fraction = Fraction(1)
    total: Fraction | None = None
    file: str = ""
    at: Position = NOWHERE
    places: Places = field(default_factory=dict, compare=False, hash=False, repr=False)
