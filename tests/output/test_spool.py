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
