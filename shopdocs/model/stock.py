"""Boards and sheets as they exist: on the yard's list, on the rack, on a receipt.

A *board* lies with its length along the grain, measured from its left end, its width measured from its lower edge. All
sizes are as they lie there, before any milling. `material` is the name that builds give the material.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from fractions import Fraction
from typing import ClassVar

from msgspec import Struct, field

from shopdocs.core.compared import Compared
from shopdocs.core.length import Length
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.model.parts import Places, Price


class Defect(Struct, frozen=True):
    """A stretch that no piece may touch: `start` to `end` from the left end, over the whole width, or between `low` and
    `high` from the lower edge."""

    start: Length
    end: Length
    low: Length | None = None
    high: Length | None = None


class YardBoard(Compared, frozen=True):
    """A size the yard sells. `width` None means the material's own (dressed softwood, a sheet), `count` None as many as
    are wanted; `price` wins over the material's."""

    material: str
    width: Length | None
    length: Length | None
    price: Price | None = None
    count: int | None = None
    at: Position = NOWHERE
    places: Places = field(default_factory=dict)


class RackBoard(Compared, frozen=True):
    """A board the maker has. `thickness` is as measured; None means that of the material."""

    mark: str
    material: str
    width: Length | None
    length: Length
    thickness: Length | None = None
    defects: tuple[Defect, ...] = ()
    at: Position = NOWHERE
    places: Places = field(default_factory=dict)


class SoldBy(StrEnum):
    """What a seller counts boards in; the value is the sign of the unit."""

    BOARD_FOOT = "bf"
    CUBIC_METRE = "m³"
    SQUARE_METRE = "m²"


MEASURES = {SoldBy.BOARD_FOOT: "board feet", SoldBy.CUBIC_METRE: "cubic metres", SoldBy.SQUARE_METRE: "square metres"}
CURRENCIES = (("€", "EUR"), ("£", "GBP"), ("¥", "JPY", "CNY"), ("CHF", "FR"))  # signs and codes (ISO 4217)


def same_currency(one: str, other: str) -> bool:
    """Whether two signs or codes may stand for one currency: a dollar may be that of several countries."""
    known = _currency(one), _currency(other)
    return one.casefold() == other.casefold() or "" in known or known[0] == known[1]


def _currency(sign: str) -> str:
    """What a sign or a code stands for; empty where it is not known."""
    sign = sign.upper()
    if "$" in sign or (len(sign) == 3 and sign.isalpha() and sign.endswith("D")):
        return "$"
    return next((each[0] for each in CURRENCIES if sign in each), "")


class Said(Struct, frozen=True):
    """A figure of the seller's, and the step of its last printed digit: '5.42' is told to a hundredth, '8 4/12' to a
    twelfth."""

    amount: Fraction
    step: Fraction


class ReceiptLine(Compared, frozen=True):
    """`count` equal boards that were bought. `quarters` where the thickness was written as 5/4; `said` and `amount` are
    the seller's own figures for the whole line, what was counted and what was asked."""

    unhashed: ClassVar[frozenset[str]] = frozenset({"said"})

    mark: str
    material: str
    count: int
    width: Length | None
    length: Length | None
    thickness: Length | None = None
    quarters: int | None = None
    rate: Price | None = None
    said: Mapping[SoldBy, Said] = field(default_factory=dict)
    amount: Fraction | None = None
    defects: tuple[Defect, ...] = ()
    at: Position = NOWHERE
    places: Places = field(default_factory=dict)


class Receipt(Compared, frozen=True):
    """What was bought. `said` and `total` are the seller's sums of what was counted and of money, where they are
    printed."""

    unhashed: ClassVar[frozenset[str]] = frozenset({"said"})

    lines: tuple[ReceiptLine, ...]
    seller: str = ""
    date: str = ""
    currency: str = ""
    said: Mapping[SoldBy, Said] = field(default_factory=dict)
    total: Fraction | None = None
    file: str = ""
    at: Position = NOWHERE
    places: Places = field(default_factory=dict)
