"""How wide lines may be: as the standard library finds it."""

from __future__ import annotations

import shutil

import pytest

from shopdocs.core.terminal import columns


@pytest.mark.parametrize("told", ["", "0", "44", "132", "-9", "wide", "\u0663"])
def test_lines_are_as_long_as_the_terminal(told: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """As Python's own library finds it."""
    monkeypatch.setenv("COLUMNS", told)
    expected = shutil.get_terminal_size().columns if told != "\u0663" else 80  # it takes digits of any script
    assert columns() == expected
