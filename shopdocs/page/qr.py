"""QR symbols after ISO/IEC 18004: chosen as small as the data allow, measured in millimetres of paper."""

from __future__ import annotations

from functools import lru_cache

from shopdocs.page.items import Symbol, mm

QUIET = 4  # modules of white on every side, ISO/IEC 18004
LEAST_MODULE_MM = 0.41  # a phone at arm's length and a 300 dpi printer both still manage it
GOOD_MODULE_MM = 0.5


@lru_cache(maxsize=4096)
def modules(data: str) -> tuple[str, ...]:
    """Rows of the symbol from the top, '1' a dark module, without quiet zone.

    Error level Q where it costs no larger symbol than M, else M; capitals and digits in alphanumeric mode. Raises
    ValueError when the data fit no symbol.
    """
    from qrcode import constants
    from qrcode.exceptions import DataOverflowError
    from qrcode.main import QRCode

    def symbol(level: int) -> QRCode:
        code: QRCode = QRCode(error_correction=level, border=0)
        code.add_data(data, optimize=0)
        return code

    try:
        plain = symbol(constants.ERROR_CORRECT_M)
        tough = symbol(constants.ERROR_CORRECT_Q)
        version = plain.best_fit(start=1)
        try:
            chosen = tough if tough.best_fit(start=1) == version else plain
        except (DataOverflowError, ValueError):
            chosen = plain
        chosen.make(fit=False)
    except (DataOverflowError, ValueError) as failure:
        raise ValueError(f"{len(data)} characters fit no QR symbol") from failure
    return tuple("".join("1" if dark else "0" for dark in row) for row in chosen.modules)


def placed(data: str, x: float, y: float, side: float) -> Symbol:
    """The symbol with its lower left corner at (x, y), `side` points wide without quiet zone."""
    rows = modules(data)
    return Symbol(x, y, side / len(rows), rows)


def side_for(data: str, wanted_mm: float, room: float) -> float | None:
    """The side in points of a symbol for `data`: `wanted_mm` where modules stay at least 0.5 mm, larger where
    they would not, never so large that symbol and quiet zone exceed `room`; None where modules would be under 0.41."""
    count = len(modules(data))
    side = max(mm(wanted_mm), mm(GOOD_MODULE_MM) * count)
    side = min(side, room * count / (count + 2 * QUIET))
    return side if side >= mm(LEAST_MODULE_MM) * count - 1e-6 else None
