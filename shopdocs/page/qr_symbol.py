"""One QR symbol after ISO/IEC 18004, made in one pass: bits, error correction, and the best of the eight masks.

The tables of the standard (blocks, format and version information, function patterns) are the library's. It draws the
symbol anew for every mask and scores it module by module, though; here a symbol is one whole number, row after row from
the top, a bit a module. The library draws what does not depend on the data once for each size, level and mask, and the
data are laid over it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from operator import itemgetter

from msgspec import Struct

LEVEL_M, LEVEL_Q = 0, 3  # as the library numbers them; ISO/IEC 18004, table 12
LAST_VERSION = 40
_ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
_VALUE = {sign: value for value, sign in enumerate(_ALPHABET)}
# Bits of the count of characters up to version 9, 26 and 40 (ISO/IEC 18004, table 3).
_COUNT_BITS = {"numeric": (10, 12, 14), "alphanumeric": (9, 11, 13), "byte": (8, 16, 16)}
_MODE = {"numeric": "0001", "alphanumeric": "0010", "byte": "0100"}


class Content(Struct, frozen=True):
    """Data in the densest mode that holds all of them; `bits` without mode and count."""

    mode: str
    count: int
    bits: str

    def needs(self, version: int) -> int:
        """Bits that the content takes in a symbol of this version."""
        return 4 + self._count_bits(version) + len(self.bits)

    def _count_bits(self, version: int) -> int:
        return _COUNT_BITS[self.mode][(version > 9) + (version > 26)]

    def stream(self, version: int) -> str:
        """The bits of the content in a symbol of this version: mode, count, data."""
        return f"{_MODE[self.mode]}{self.count:0{self._count_bits(version)}b}{self.bits}"


def content_of(data: str) -> Content:
    """Digits three by three, capitals and signs in pairs, all else as UTF-8."""
    if data.isascii() and data.isdigit():
        groups = (data[i : i + 3] for i in range(0, len(data), 3))
        return Content("numeric", len(data), "".join(f"{int(g):0{3 * len(g) + 1}b}" for g in groups))
    if data and all(sign in _VALUE for sign in data):
        pairs = zip(data[::2], data[1::2], strict=False)
        bits = "".join(f"{_VALUE[a] * 45 + _VALUE[b]:011b}" for a, b in pairs)
        return Content("alphanumeric", len(data), bits + (f"{_VALUE[data[-1]]:06b}" if len(data) % 2 else ""))
    raw = data.encode()
    return Content("byte", len(raw), "".join(f"{byte:08b}" for byte in raw))


def smallest_version(content: Content, level: int) -> int | None:
    """The smallest that holds the content at this level; None where none does."""
    return next((v for v in range(1, LAST_VERSION + 1) if content.needs(v) <= 8 * _capacity(v, level)), None)


def symbol_rows(content: Content, version: int, level: int) -> tuple[str, ...]:
    """Rows from the top, '1' a dark module. The mask is the one of least penalty (ISO/IEC 18004, 7.8.3)."""
    side = version * 4 + 17
    laid = int("".join(_placing(version)("01" + _codewords(content, version, level))), 2)
    best = min((blank ^ laid for blank in _blanks(version, level)), key=lambda bits: penalty(bits, side))
    shown = f"{best:0{side * side}b}"
    return tuple(shown[i : i + side] for i in range(0, side * side, side))


# Bits and their error correction.


@cache
def _blocks(version: int, level: int) -> tuple[tuple[int, int], ...]:
    """Of each block how many bytes are data, and how many correct them."""
    from qrcode.base import rs_blocks

    return tuple((block.data_count, block.total_count - block.data_count) for block in rs_blocks(version, level))


@cache
def _capacity(version: int, level: int) -> int:
    """Bytes of data."""
    return sum(data for data, _ in _blocks(version, level))


def _codewords(content: Content, version: int, level: int) -> str:
    """All bits of the symbol in the order in which they are laid: the blocks interleaved, data before correction."""
    room = _capacity(version, level)
    bits = content.stream(version)
    bits += "0" * min(4, room * 8 - len(bits))
    bits += "0" * (-len(bits) % 8)
    data = int(bits, 2).to_bytes(len(bits) // 8, "big")
    data += bytes((0xEC, 0x11)[i % 2] for i in range(room - len(data)))  # ISO/IEC 18004, 7.4.10
    start, parts, checks = 0, [], []
    for count, correct in _blocks(version, level):
        parts.append(data[start : start + count])
        checks.append(_correction(parts[-1], correct))
        start += count
    return "".join(f"{byte:08b}" for byte in (*_interleaved(parts), *_interleaved(checks)))


def _interleaved(parts: list[bytes]) -> Iterator[int]:
    for i in range(max(map(len, parts))):
        yield from (part[i] for part in parts if i < len(part))


@cache
def _steps(correct: int) -> tuple[int, ...]:
    """For each leading byte what it takes off the remainder: its product with the generator polynomial, whose roots are
    the first powers of 2 in the field of ISO/IEC 18004, 7.5.2."""
    from qrcode.base import gexp, glog

    def times(a: int, b: int) -> int:
        return gexp(glog(a) + glog(b)) if a and b else 0

    generator = [1]  # highest power first
    for power in range(correct):
        root = gexp(power)
        generator = [a ^ times(root, b) for a, b in zip([*generator, 0], [0, *generator], strict=True)]
    return tuple(int.from_bytes(bytes(times(lead, part) for part in generator[1:]), "big") for lead in range(256))


def _correction(data: bytes, correct: int) -> bytes:
    """The remainder of the data by the generator polynomial."""
    steps, shift, keep = _steps(correct), 8 * (correct - 1), (1 << 8 * correct) - 1
    rest = 0
    for byte in data:
        rest = (rest << 8 & keep) ^ steps[rest >> shift ^ byte]
    return rest.to_bytes(correct, "big")


# The symbol.


@cache
def _blanks(version: int, level: int) -> tuple[int, ...]:
    """The symbol of data that are all 0 under each of the eight masks, as the library draws it."""
    from qrcode.main import QRCode

    drawn = []
    for mask in range(8):
        code: QRCode = QRCode(version=version, error_correction=level, border=0)
        code.data_cache = [0] * sum(sum(block) for block in _blocks(version, level))
        code.makeImpl(False, mask)
        drawn.append(int("".join("1" if dark else "0" for row in code.modules for dark in row), 2))
    return tuple(drawn)


@cache
def _placing(version: int) -> Callable[[str], tuple[str, ...]]:
    """Takes '01' and the bits of the symbol, and gives for each module its bit, '0' for what is no data: two columns at
    a time from the right, up and down in turn (ISO/IEC 18004, 7.7.3)."""
    from qrcode.main import precomputed_qr_blanks

    _blanks(version, LEVEL_M)
    side, blank = version * 4 + 17, precomputed_qr_blanks[version]
    places = [0] * (side * side)
    total = sum(sum(block) for block in _blocks(version, LEVEL_M)) * 8
    number = 0
    for turn, right in enumerate((*range(side - 1, 6, -2), *range(5, 0, -2))):
        for step in range(side):
            i = step if turn % 2 else side - 1 - step
            for j in (right, right - 1):
                if blank[i][j] is None and not _is_information(i, j, side, version) and number < total:
                    places[i * side + j] = number + 2
                    number += 1
    return itemgetter(*places)


def _is_information(i: int, j: int, side: int, version: int) -> bool:
    """Format and version information, which no mask covers."""
    for a, b in ((i, j), (j, i)):
        if a == 8 and (b <= 8 or b >= side - 8):
            return True
        if version >= 7 and a < 6 and side - 11 <= b < side - 8:
            return True
    return False


# Its penalty.


@cache
def _starts(side: int, reach: int) -> tuple[int, int]:
    """Modules from which `reach` modules to the right, or downward, lie in the symbol; each the first that is met."""
    row = ((1 << side - reach + 1) - 1) << reach - 1
    whole = 0
    for _ in range(side):
        whole = whole << side | row
    high = (1 << side * (side - reach + 1)) - 1 << side * (reach - 1)
    return whole, high


def penalty(bits: int, side: int) -> int:
    """Long runs, blocks of four, look-alikes of the finder pattern, and too much or too little black, of a symbol given
    row after row (ISO/IEC 18004, table 11)."""
    score = 0
    dark, light = bits, ~bits & (1 << side * side) - 1
    same = []
    for way, step in enumerate((1, side)):
        level = ~(bits ^ bits << step) & _starts(side, 2)[way]  # like its neighbour
        same.append(level)
        five = level & level << step & level << 2 * step & level << 3 * step & _starts(side, 5)[way]
        score += five.bit_count() + 2 * (five & ~(five >> step)).bit_count()
        score += 40 * sum(_matches(pattern, dark, light, step, _starts(side, 11)[way]) for pattern in _FINDERS)
    level, below = same
    score += 3 * (level & level << side & below).bit_count()
    return score + 10 * int(abs(dark.bit_count() * 20 / (side * side) - 10))


_FINDERS = ("10111010000", "00001011101")


def _matches(pattern: str, dark: int, light: int, step: int, starts: int) -> int:
    """How often the pattern lies along the symbol."""
    for number, sign in enumerate(pattern):
        starts &= (dark if sign == "1" else light) << number * step
        if not starts:
            return 0
    return starts.bit_count()
