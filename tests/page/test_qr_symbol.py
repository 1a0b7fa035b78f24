"""Symbols are those of the reference library, module by module, and the mask is the one its own score calls best."""

from __future__ import annotations

import random

import numpy as np
import pytest
import zxingcpp
from qrcode import util
from qrcode.main import QRCode

from shopdocs.page import qr, qr_symbol

ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"  # ISO/IEC 18004, table 5
LEVELS = (qr_symbol.LEVEL_M, qr_symbol.LEVEL_Q)


def texts(count: int) -> tuple[str, ...]:
    chance = random.Random(count)
    return "".join(chance.choice(ALPHABET) for _ in range(count)), "7" * count, "Kante ä, 木" * (count // 8 + 1)


def by_library(data: str, level: int) -> QRCode:
    code: QRCode = QRCode(error_correction=level, border=0)
    code.add_data(data, optimize=0)
    code.best_fit(start=1)
    return code


# Counts that reach versions of one block and of several, with and without version information (7 and up), and all
# lengths of the count of characters (up to version 9, 26, 40).
@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("count", [1, 20, 39, 150, 300, 900])
def test_symbols_are_those_of_the_library(count: int, level: int) -> None:
    for data in texts(count):
        code = by_library(data, level)
        content = qr_symbol.content_of(data)
        assert qr_symbol.smallest_version(content, level) == code.version
        rows = qr_symbol.symbol_rows(content, code.version, level)
        drawn: list[tuple[int, tuple[str, ...]]] = []
        for mask in range(8):
            code.makeImpl(False, mask)
            theirs = tuple("".join("1" if dark else "0" for dark in row) for row in code.modules)
            assert qr_symbol.penalty(int("".join(theirs), 2), len(theirs)) == util.lost_point(code.modules)
            drawn.append((util.lost_point(code.modules), theirs))
        assert rows == min(drawn, key=lambda each: each[0])[1]


def test_a_symbol_with_one_wrong_module_is_another_one() -> None:
    """So that the comparison above can fail: a module turned over changes the score or the rows."""
    rows = qr.modules("TB-FL")
    code = by_library("TB-FL", qr_symbol.LEVEL_Q)
    code.makeImpl(False, 0)
    code.modules[12][12] = not code.modules[12][12]
    assert tuple("".join("1" if dark else "0" for dark in row) for row in code.modules) != rows


@pytest.mark.parametrize("data", ["TB-FL", "PT-FD / FRONT RAIL / 30 X 50 X 1000 MM", "Полка 3 / 12 × 140", "12345678"])
def test_symbols_are_read_back(data: str) -> None:
    picture = np.array([[0 if one == "1" else 255 for one in row] for row in qr.modules(data)], dtype=np.uint8)
    picture = np.pad(np.kron(picture, np.ones((4, 4), dtype=np.uint8)), 16, constant_values=255)
    assert [code.text for code in zxingcpp.read_barcodes(picture)] == [data]
