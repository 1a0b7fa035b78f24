"""The hidden folder beside a set in which the next set is filled, and how the two change places.

At every instant the old set or the new one stands under the set's name. Where the system can exchange two names (Linux,
renameat2), that is one step; else it takes two renames, and when a run is killed between them the next run completes
the step. What a killed run left is cleared by the next one in the same folder: the hidden folder's name follows from
the set's, and one run at a time works beside a set.

    .NAME.shopdocs/new       the set being filled; after the exchange the old one
    .NAME.shopdocs/before    the old set between two renames
    .NAME.shopdocs/spent     the old set, when all that is not ours has gone over
    .NAME.shopdocs/swap      which folder is to stand under the name, by its number on the disk, once it is whole
"""

from __future__ import annotations

import errno
import hashlib
import os
import shutil
from collections.abc import Iterator, Set
from pathlib import Path

LIST = ".shopdocs-files"
LONGEST_NAME = 240  # bytes; file systems end at 255
_EXCHANGE = 2  # RENAME_EXCHANGE of renameat2(2)
_HERE = -100  # AT_FDCWD
_NOT_THERE = (errno.ENOSYS, errno.EINVAL, errno.EOPNOTSUPP)


class Workplace:
    """The hidden folder beside the set `out`; `stage` is where the next set is filled."""

    def __init__(self, out: Path) -> None:
        self.out = out
        self.folder = out.with_name(_hidden(out.name))
        self.stage = self.folder / "new"
        self.before = self.folder / "before"
        self.record = self.folder / "swap"
        self.spent = self.folder / "spent"
        self.swapped = False

    def open(self) -> None:
        """Make the folder and an empty stage. Raises OSError."""
        self.folder.mkdir()
        self.stage.mkdir()

    def swap(self) -> None:
        """Put the stage in the place of the set. Raises OSError; `settle` tells what came of it."""
        found = self.stage.stat()
        self.record.write_text(f"{found.st_dev} {found.st_ino}\n")
        if not self.out.exists():
            self.stage.rename(self.out)
        elif not exchange(self.stage, self.out):
            self.out.rename(self.before)
            self.stage.rename(self.out)

    def settle(self) -> bool:
        """Complete what was begun and clear the folder away; whether the stage stands under the set's name. What the
        maker put into the old set while the new one was filled goes over first. Raises OSError where the set could be
        put under its name neither new nor old."""
        if not self.folder.is_dir() or self.folder.is_symlink():
            return self.swapped
        if self.before.is_dir() and not self.out.exists():
            self._complete()
        self.swapped = self.swapped or self._is_swapped()
        old = self.before if self.before.is_dir() else self.stage
        if old is self.before or (self.swapped and old.is_dir()):
            carry_late(old, self.out)
            old.rename(self.spent)  # from here on only clear it away: half of it would be read as something else
        shutil.rmtree(self.folder, ignore_errors=True)
        return self.swapped

    def _complete(self) -> None:
        """Killed or stopped between the two renames: the new set was whole, so it goes in; else the old one again."""
        try:
            self.stage.rename(self.out)
        except OSError:
            self.before.rename(self.out)

    def _is_swapped(self) -> bool:
        try:
            device, number = map(int, self.record.read_text().split())
            found = self.out.stat()
        except (OSError, ValueError):
            return False
        return (found.st_dev, found.st_ino) == (device, number)


def _hidden(name: str) -> str:
    """The hidden folder's name; of a long name its hash, that the file system takes it."""
    hidden = f".{name}.shopdocs"
    if len(os.fsencode(hidden)) <= LONGEST_NAME:
        return hidden
    return f".{hashlib.sha256(os.fsencode(name)).hexdigest()[:16]}.shopdocs"


def exchange(one: Path, other: Path) -> bool:
    """Let two folders change names in one step; False where the system cannot. Raises OSError where it refuses."""
    try:
        import ctypes

        library = ctypes.CDLL(None, use_errno=True)
        rename = library.renameat2
    except (ImportError, OSError, AttributeError, TypeError):
        return False
    if rename(_HERE, os.fsencode(one), _HERE, os.fsencode(other), ctypes.c_uint(_EXCHANGE)) == 0:
        return True
    number = ctypes.get_errno()
    if number in _NOT_THERE:
        return False
    raise OSError(number, os.strerror(number), str(other))


def listed(out: Path) -> list[str]:
    """The lines of the list of our own files in a set; none where it cannot be read."""
    try:
        return (out / LIST).read_text("utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return []


def carry(out: Path, stage: Path, gone: Set[str]) -> None:
    """Link or copy into the stage what is in the folder and stays: everything but `gone` and what is written anew."""
    for folder, folders, names in os.walk(out):
        here = Path(folder)
        links = [name for name in folders if (here / name).is_symlink()]
        for name in (*names, *links):
            path = here / name
            relative = path.relative_to(out).as_posix()
            target = stage / relative
            if relative not in gone and not os.path.lexists(target):
                _link(path, target)
        for name in set(folders) - set(links):
            if not _is_emptied(here / name, out, gone):
                (stage / (here / name).relative_to(out)).mkdir(parents=True, exist_ok=True)
                shutil.copystat(here / name, stage / (here / name).relative_to(out))
    if out.is_dir():
        shutil.copymode(out, stage)


def _link(path: Path, target: Path) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    try:
        os.link(path, target, follow_symlinks=False)
    except FileNotFoundError:
        return  # its owner removed it just now
    except OSError:
        shutil.copy2(path, target, follow_symlinks=False)


def _is_emptied(folder: Path, out: Path, gone: Set[str]) -> bool:
    """Whether a folder held nothing but files of an earlier run that go now."""
    inside = [path for path in folder.rglob("*") if path.is_symlink() or not path.is_dir()]
    return bool(inside) and all(path.relative_to(out).as_posix() in gone for path in inside)


def carry_late(old: Path, out: Path) -> None:
    """Move over what others put into the old set, or changed there, after `carry` had passed."""
    ours = {LIST, *listed(old), *listed(out)}
    for path in list(_files(old)):
        relative = path.relative_to(old).as_posix()
        target = out / relative
        if relative in ours or _same(path, target):
            continue
        target.parent.mkdir(parents=True, exist_ok=True)
        os.replace(path, target)


def _files(folder: Path) -> Iterator[Path]:
    for here, folders, names in os.walk(folder):
        yield from (Path(here) / name for name in names)
        yield from (Path(here) / name for name in folders if (Path(here) / name).is_symlink())


def _same(one: Path, other: Path) -> bool:
    """Whether the second is the first, linked, or a copy of it as it is now."""
    try:
        a, b = one.lstat(), other.lstat()
    except OSError:
        return False
    return os.path.samestat(a, b) or (a.st_size, a.st_mtime_ns) == (b.st_size, b.st_mtime_ns)
