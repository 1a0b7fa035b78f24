"""What is wanted, what there is to cut it from, and how the saw works.

All sizes are whole ticks; the caller chooses the tick so that every exact length is a whole number of them.
``length`` always runs along the grain (x), ``width`` across it (y). Pieces of different thickness are different
jobs. Prices are whole numbers of the smallest coin.
"""

from __future__ import annotations

from msgspec import Struct, field

SHEET = "sheet"
BOARD = "board"
MOST_PIECES = 50_000


class Rect(Struct, frozen=True):
    """A rectangle on a board, measured from its lower left corner."""

    x: int
    y: int
    length: int
    width: int


class Stock(Struct, frozen=True):
    """One kind of board or sheet: ``limit`` copies at ``price`` each (None: as many as needed).

    ``on_hand`` marks what the maker already owns: with equal prices it is taken first; its price is what the
    maker gives it, usually 0. ``defects`` are rectangles no piece may touch; a defective stretch is a rectangle
    over the full width.
    """

    id: str
    length: int
    width: int
    price: int
    limit: int | None = None
    on_hand: bool = False
    defects: tuple[Rect, ...] = ()


class Want(Struct, frozen=True):
    """``count`` equal pieces, finished ``length`` along the grain by ``width``.

    ``may_turn`` gives up the grain. All wants with the same ``together`` must come from one board.
    """

    id: str
    length: int
    width: int
    count: int = 1
    may_turn: bool = False
    together: str | None = None


class Saw(Struct, frozen=True):
    """How boards are cut: kerf, ends and edges lost, milling allowance a piece, and the order of cuts.

    ``style`` "sheet" is any order of through cuts; "board" is crosscut to rough length, then rip (a last cut
    brings a piece that shares its stretch with a longer one to length). ``end_trim`` and ``edge_trim`` are lost
    at both ends and at both edges. ``keep_length`` and ``keep_width`` are the smallest offcut worth keeping, of a
    sheet either way.
    """

    kerf: int = 0
    end_trim: int = 0
    edge_trim: int = 0
    length_allowance: int = 0
    width_allowance: int = 0
    style: str = SHEET
    keep_length: int = 1
    keep_width: int = 1


class Job(Struct, frozen=True):
    """One material's worth of pieces and stock."""

    wants: tuple[Want, ...]
    stocks: tuple[Stock, ...]
    saw: Saw = field(default_factory=Saw)


def check(job: Job) -> None:
    """Raise ValueError, naming the want or stock, where a number makes no sense or there are too many pieces."""
    saw = job.saw
    if saw.style not in (SHEET, BOARD):
        raise ValueError(f"style must be {SHEET!r} or {BOARD!r}, not {saw.style!r}")
    for name in ("kerf", "end_trim", "edge_trim", "length_allowance", "width_allowance"):
        if getattr(saw, name) < 0:
            raise ValueError(f"{name} must not be negative")
    seen: set[str] = set()
    for stock in job.stocks:
        if stock.id in seen:
            raise ValueError(f"two stocks are called {stock.id!r}")
        seen.add(stock.id)
        if stock.length <= 0 or stock.width <= 0:
            raise ValueError(f"stock {stock.id!r} has no size: {stock.length} x {stock.width}")
        if stock.price < 0 or (stock.limit is not None and stock.limit < 0):
            raise ValueError(f"stock {stock.id!r} has a negative price or count")
        if any(d.length <= 0 or d.width <= 0 for d in stock.defects):
            raise ValueError(f"stock {stock.id!r} has a defect without size")
    total = sum(max(0, want.count) for want in job.wants)
    if total > MOST_PIECES:
        raise ValueError(f"{total} pieces in one job; at most {MOST_PIECES} can be laid out")
    seen.clear()
    for want in job.wants:
        if want.id in seen:
            raise ValueError(f"two wants are called {want.id!r}")
        seen.add(want.id)
        if want.length <= 0 or want.width <= 0 or want.count < 0:
            raise ValueError(f"want {want.id!r} has no size or a negative count")
