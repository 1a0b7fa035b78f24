"""Input files, each read once.

What is checked, printed and named, and what a set says it was made from, must come from the same bytes: a file that an
editor saves while a run goes on would else be read as two. Only plain files are read: from a pipe or a device nobody
knows when the text ends.
"""

from __future__ import annotations

import os
import stat

from msgspec import Struct

from shopdocs.core.problems import Position, Problem, error

MAX_BYTES = 4_000_000


class Given(Struct, frozen=True):
    """A file as it was read: its name as the maker wrote it, its bytes, and the fault when it could not be read."""

    name: str
    data: bytes = b""
    fault: Problem | None = None


FOLDER = ("no-file", "this is a folder", "name the file in it, such as build.yaml")


def read_given(name: str, most: int = MAX_BYTES) -> Given:
    """Read a file. Faults: no such file, no plain file, not readable, larger than `most` bytes."""
    at = Position(name, 1, 1)

    def refused(code: str, wrong: str, right: str) -> Given:
        return Given(name, fault=error(at, code, wrong, right))

    try:
        # Without waiting: a pipe that nobody writes to would hold the run for ever.
        handle = os.open(name, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        with open(handle, "rb") as file:
            kind = os.fstat(handle).st_mode
            if stat.S_ISDIR(kind):
                return refused(*FOLDER)
            if not stat.S_ISREG(kind):
                return refused("no-file", "this is not a plain file but a pipe or a device", "save the text in a file")
            data = file.read(most + 1)
    except FileNotFoundError:
        return refused("no-file", "there is no such file", "check the name")
    except IsADirectoryError:
        return refused(*FOLDER)
    except (OSError, ValueError) as fault:
        why = getattr(fault, "strerror", None) or "no such name"
        return refused("no-file", f"the file cannot be read ({why})", "check its name and permissions")
    if len(data) > most:
        return refused("size", f"the file is larger than {most // 1_000_000} MB", "a build is text")
    return Given(name, data)


def text_of(given: Given) -> tuple[str | None, list[Problem]]:
    """The text of a file as UTF-8 without byte order mark, or None and the problem."""
    if given.fault is not None:
        return None, [given.fault]
    data = given.data
    try:
        return data.decode("utf-8-sig"), []
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        column = fault.start - (data.rfind(b"\n", 0, fault.start) + 1) + 1
        at = Position(given.name, line, column)
        return None, [error(at, "encoding", "this is not UTF-8 text", "save the file as UTF-8")]
