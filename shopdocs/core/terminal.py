"""The terminal, asked without what `shutil` loads beside it to pack files: that is a tenth of the time of --help."""

from __future__ import annotations

import argparse
import os
import sys

TYPE_CHECKING = False  # as in `cli`
if TYPE_CHECKING:
    from typing import Any


class Parser(argparse.ArgumentParser):
    """Reads the words of a command; its help is as wide as the terminal."""

    def __init__(self, **said: Any) -> None:
        super().__init__(formatter_class=_Lines, **said)


class _Lines(argparse.HelpFormatter):
    """Each key has one made for it, so its width must be known without `shutil`."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, width=columns() - 2)


def columns() -> int:
    """How many letters a line holds: COLUMNS where it is set, else those of the terminal, else 80."""
    told = os.environ.get("COLUMNS", "")
    if told.isascii() and told.isdecimal() and int(told):
        return int(told)
    if sys.__stdout__ is None:
        return 80
    try:
        return os.get_terminal_size(sys.__stdout__.fileno()).columns or 80
    except (ValueError, OSError):  # closed, or no terminal
        return 80
