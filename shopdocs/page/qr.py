"""QR symbols after ISO/IEC 18004: chosen as small as the data allow, measured in millimetres of paper."""

from __future__ import annotations

import re
from functools import cache, lru_cache

from shopdocs.page.items import mm

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
        chosen.makeImpl(False, 0)
        best = _best_mask(_as_numbers(chosen.modules), version)
        if best:
            chosen.makeImpl(False, best)
    except (DataOverflowError, ValueError) as failure:
        raise ValueError(f"{len(data)} characters fit no QR symbol") from failure
    return tuple("".join("1" if dark else "0" for dark in row) for row in chosen.modules)


def _as_numbers(rows: list[list[bool]]) -> list[int]:
    return [int("".join("1" if dark else "0" for dark in row), 2) for row in rows]


# The eight mask conditions of ISO/IEC 18004, 7.8.2, for row i and column j.
_CONDITIONS = (
    lambda i, j: (i + j) % 2 == 0,
    lambda i, j: i % 2 == 0,
    lambda i, j: j % 3 == 0,
    lambda i, j: (i + j) % 3 == 0,
    lambda i, j: (i // 2 + j // 3) % 2 == 0,
    lambda i, j: i * j % 2 + i * j % 3 == 0,
    lambda i, j: (i * j % 2 + i * j % 3) % 2 == 0,
    lambda i, j: ((i + j) % 2 + i * j % 3) % 2 == 0,
)


@cache
def _mask_rows(version: int, mask: int) -> tuple[int, ...]:
    """The mask as numbers, only where data modules lie."""
    from qrcode.main import precomputed_qr_blanks

    side = version * 4 + 17
    blank = precomputed_qr_blanks[version]
    rows = []
    for i in range(side):
        number = 0
        for j in range(side):
            free = blank[i][j] is None and not _is_information(i, j, side, version)
            number = number << 1 | (free and _CONDITIONS[mask](i, j))
        rows.append(number)
    return tuple(rows)


def _is_information(i: int, j: int, side: int, version: int) -> bool:
    """Format and version information, which no mask covers."""
    for a, b in ((i, j), (j, i)):
        if a == 8 and (b <= 8 or b >= side - 8):
            return True
        if version >= 7 and a < 6 and side - 11 <= b < side - 8:
            return True
    return False


def _best_mask(rows: list[int], version: int) -> int:
    """The mask with the least penalty (ISO/IEC 18004, 7.8.3), for a symbol drawn with mask 0. The few modules of format
    information are left as they are while masks are compared."""
    first = _mask_rows(version, 0)
    side = len(rows)
    bare = [row ^ mask for row, mask in zip(rows, first, strict=True)]
    return min(
        range(8),
        key=lambda mask: _penalty(
            [row ^ over for row, over in zip(bare, _mask_rows(version, mask), strict=True)], side
        ),
    )


_LONG = re.compile("0{5,}|1{5,}")
_FINDER = re.compile("(?=10111010000|00001011101)")


def _penalty(rows: list[int], side: int) -> int:
    """Long runs, blocks of four, look-alikes of the finder pattern, and too much or too little black."""
    lines = [format(row, f"0{side}b") for row in rows]
    both = " ".join(lines) + " " + " ".join(map("".join, zip(*lines, strict=True)))
    score = sum(len(run) - 2 for run in _LONG.findall(both))
    score += 40 * len(_FINDER.findall(both))
    inside = (1 << (side - 1)) - 1
    flat = [~(row ^ row >> 1) & inside for row in rows]
    blocks = 0
    for i in range(side - 1):
        blocks += (flat[i] & flat[i + 1] & ~(rows[i] ^ rows[i + 1])).bit_count()
    score += 3 * blocks
    dark = sum(row.bit_count() for row in rows)
    return score + 10 * int(abs(dark * 20 / (side * side) - 10))


def side_for(data: str, wanted_mm: float, room: float, module_mm: float = GOOD_MODULE_MM) -> float | None:
    """The side in points of a symbol for `data`: `wanted_mm` where modules stay at least `module_mm`, larger where
    they would not, never so large that symbol and quiet zone exceed `room`; None where modules would be under 0.41."""
    count = len(modules(data))
    side = max(mm(wanted_mm), mm(module_mm) * count)
    side = min(side, room * count / (count + 2 * QUIET))
    return side if side >= mm(LEAST_MODULE_MM) * count - 1e-6 else None
