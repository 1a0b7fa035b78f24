"""Files that are put aside come back as they were, from the disk or, where it has no room, from memory."""

from __future__ import annotations

import errno
from random import Random
from typing import NoReturn

import pytest

from shopdocs.output import spool
from shopdocs.output.spool import Files


def contents() -> dict[str, bytes]:
    dice = Random(11)
    return {f"records/{n}.html": dice.randbytes(dice.choice((0, 1, 700, 5000))) for n in range(60)}


@pytest.mark.parametrize("held", [0, 20_000, 10**9])
def test_contents_come_back_in_any_order(held: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(spool, "MOST_HELD", held)
    files, wanted = Files(), contents()
    for name, content in wanted.items():
        files.put_aside(name, content)
    files["set.pdf"] = b"%PDF"
    assert list(files) == [*wanted, "set.pdf"]
    names = list(wanted)
    Random(3).shuffle(names)
    assert [name for name in names if files[name] != wanted[name]] == []
    assert files["set.pdf"] == b"%PDF"
    in_memory = sum(len(kept) for kept in files._contents.values() if isinstance(kept, bytes))
    assert in_memory <= held + len(b"%PDF")  # the rest lies on the disk


def test_a_full_disk_loses_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    def full() -> NoReturn:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(spool, "MOST_HELD", 0)
    monkeypatch.setattr(spool, "TemporaryFile", full)
    files, wanted = Files(), contents()
    for name, content in wanted.items():
        files.put_aside(name, content)
    assert [name for name, content in files.items() if content != wanted[name]] == []


@pytest.mark.parametrize("held", [0, 10**9])
def test_what_is_made_piece_by_piece_comes_back_whole(held: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(spool, "MOST_HELD", held)
    files, wanted = Files(), contents()
    files.put_aside("first", b"x" * 10)
    for name, content in wanted.items():
        files.put_aside_as_made(name, lambda content=content: iter((content[:300], content[300:])))
    files.put_aside("last", b"y" * 10)
    assert [name for name, content in wanted.items() if files[name] != content] == []
    assert files["first"] + files["last"] == b"x" * 10 + b"y" * 10


def test_what_is_made_is_made_again_where_the_disk_gets_full(monkeypatch: pytest.MonkeyPatch) -> None:
    class Full:
        """A disk that takes thirty bytes more, and then is full."""

        def __init__(self) -> None:
            self.room = 30

        def seek(self, place: int) -> None:
            """Go there."""

        def flush(self) -> None:
            """Nothing is kept back."""

        def close(self) -> None:
            """Nothing is open."""

        def write(self, content: bytes) -> int:
            self.room -= len(content)
            if self.room < 0:
                raise OSError(errno.ENOSPC, "No space left on device")
            return len(content)

    monkeypatch.setattr(spool, "MOST_HELD", 0)
    monkeypatch.setattr(spool, "TemporaryFile", Full)
    files = Files()
    files.put_aside("first", b"x" * 10)
    files.put_aside_as_made("figures.json", lambda: iter((b"a" * 15, b"b" * 15)))
    assert files["figures.json"] == b"a" * 15 + b"b" * 15
