"""QR symbols after ISO/IEC 18004: chosen as small as the data allow, measured in millimetres of paper."""

from __future__ import annotations

from functools import lru_cache

from shopdocs.page.items import mm
from shopdocs.page.qr_symbol import LEVEL_M, LEVEL_Q, content_of, smallest_version, symbol_rows

QUIET = 4  # modules of white on every side, ISO/IEC 18004
LEAST_MODULE_MM = 0.41  # a phone at arm's length and a 300 dpi printer can both still manage it
GOOD_MODULE_MM = 0.5

Rows = tuple[str, ...]


@lru_cache(maxsize=4096)
def modules(data: str) -> Rows:
    """Rows of the symbol from the top, '1' a dark module, without quiet zone.

    Error level Q where it costs no larger symbol than M, else M; capitals and digits in alphanumeric mode. Raises
    ValueError when the data fit no symbol.
    """
    content = content_of(data)
    version = smallest_version(content, LEVEL_M)
    if version is None:
        raise ValueError(f"{len(data)} characters fit no QR symbol")
    return symbol_rows(content, version, LEVEL_Q if smallest_version(content, LEVEL_Q) == version else LEVEL_M)


def side_modules(data: str) -> int:
    """Modules on a side, without drawing the symbol. Raises ValueError when the data fit none."""
    version = smallest_version(content_of(data), LEVEL_M)
    if version is None:
        raise ValueError(f"{len(data)} characters fit no QR symbol")
    return version * 4 + 17


def side_for(data: str, wanted_mm: float, room: float, module_mm: float = GOOD_MODULE_MM) -> float | None:
    """The side in points of a symbol for `data`: `wanted_mm` where modules stay at least `module_mm`, larger where
    they would not, never so large that symbol and quiet zone exceed `room`; None where modules would be under 0.41."""
    count = side_modules(data)
    side = max(mm(wanted_mm), mm(module_mm) * count)
    side = min(side, room * count / (count + 2 * QUIET))
    return side if side >= mm(LEAST_MODULE_MM) * count - 1e-6 else None
