"""Puts a set of files in place whole: written beside the target first, then swapped in (`workplace`).

A run that fails, or a machine that stops, leaves the previous set as it was. A folder that holds no earlier set is
never touched; what others put beside a set stays.
The list of our own files is kept in `.shopdocs-files` in the folder, so that sheets of an older set that are no longer
made do not linger as if they were true; its first line says what they were made from.
"""

from __future__ import annotations

import errno
import hashlib
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from contextlib import contextmanager
from pathlib import Path

from msgspec import Struct

from shopdocs.output.workplace import LIST, Workplace, carry, listed

MADE_FROM = "# made from "
FIGURES = "figures.json"


class Origin(Struct, frozen=True):
    """What a set was made from, as short words without spaces: `build` is the content (build, shop file, program),
    `printed` how it is printed (units, paper)."""

    build: str
    printed: str

    @staticmethod
    def of(contents: Sequence[bytes], printed: str) -> Origin:
        """`contents` are the files read and the program's version, in a fixed order."""
        parts = (hashlib.sha256(content).digest() for content in contents)
        return Origin(hashlib.sha256(b"".join(parts)).hexdigest(), printed)


class FolderProblem(OSError):
    """The folder cannot be written; `wrong` and `right` in words for the maker."""

    def __init__(self, wrong: str, right: str) -> None:
        super().__init__(wrong)
        self.wrong = wrong
        self.right = right


def publish(
    files: Mapping[str, bytes], out: Path, keep_others: bool, origin: Origin | None = None, inputs: Iterable[Path] = ()
) -> tuple[str, ...]:
    """Write `files` (relative names with /) as the folder `out`. With `keep_others` the files of an earlier run that
    are not written now stay as long as they are true: where `origin` is another than theirs, they go and are returned;
    where only the printing is another, the list of figures goes. Without `keep_others` all go. Raises FolderProblem and
    leaves `out` as it was, also where one of `inputs` would be replaced; an interruption leaves it so, too."""
    try:
        out = out.resolve()
        out.parent.mkdir(parents=True, exist_ok=True)
    except (OSError, RuntimeError, ValueError) as fault:
        if isinstance(fault, FolderProblem):
            raise
        raise FolderProblem(f"'{out}' cannot be written ({_why(fault)})", "choose another --out") from fault
    with _alone_in(out.parent):
        return _publish(files, out, keep_others, origin, inputs)


def _publish(
    files: Mapping[str, bytes], out: Path, keep_others: bool, origin: Origin | None, inputs: Iterable[Path]
) -> tuple[str, ...]:
    try:
        _refuse_what_cannot_be_replaced(out)
        place = Workplace(out)
        place.settle()  # what a run that was killed left here
        _refuse_what_is_not_ours(out)
        before = listed(out)
        ours = _earlier(before)
        _refuse_to_overwrite(files, out, ours)
        _refuse_to_lose(inputs, out, ours | files.keys())
        place.open()
    except OSError as fault:
        if isinstance(fault, FolderProblem):
            raise
        raise FolderProblem(f"'{out.parent}' cannot be written ({fault.strerror})", "choose another --out") from fault
    there = {name for name in ours - files.keys() if (out / name).is_file()} if keep_others else set()
    stale = _stale(there, before, origin)
    kept = there - stale
    try:
        _fill(place.stage, files)
        made_from = _origin_line(before) if origin is None else f"{MADE_FROM}{origin.build} {origin.printed}"
        lines = [*filter(None, [made_from]), *sorted({*files, *kept})]
        _fill(place.stage, {LIST: "".join(f"{name}\n" for name in lines).encode()})
        carry(out, place.stage, ours - kept)
        place.swap()
        place.settle()
    except BaseException as fault:
        if not _is_done(place):
            if not isinstance(fault, OSError) or isinstance(fault, FolderProblem):
                raise
            raise _unwritten(fault) from fault
    return tuple(sorted(stale))


def _unwritten(fault: OSError) -> FolderProblem:
    if fault.errno in (errno.EBUSY, errno.EXDEV):  # whether it is on the same disk shows only by trying
        return FolderProblem("the folder cannot be swapped, it may be a mount point", "name a folder inside it")
    return FolderProblem(f"the set could not be written ({fault.strerror})", "check room and permissions")


def _is_done(place: Workplace) -> bool:
    """Whether the new set stands, after a run was stopped at any point; what can be cleared is cleared. A run that was
    stopped when the sets had changed places is done: nobody could take that back."""
    try:
        return place.settle()
    except OSError:
        return place.swapped


def _stale(there: set[str], before: Sequence[str], origin: Origin | None) -> set[str]:
    """Which of the earlier files would contradict the new ones."""
    if origin is None:
        return set()
    words = _origin_line(before).removeprefix(MADE_FROM).split(" ")
    if words[0] != origin.build:
        return there
    return there & {FIGURES} if words[1:] != [origin.printed] else set()


def _origin_line(before: Sequence[str]) -> str:
    """What the earlier files were made from, of the lines of their list; "" where that is not known."""
    return before[0] if before and before[0].startswith(MADE_FROM) else ""


def _why(fault: Exception) -> str:
    return fault.strerror or "no such name" if isinstance(fault, OSError) else "no such name"


@contextmanager
def _alone_in(folder: Path) -> Iterator[None]:
    """One run at a time works in a folder, for each takes what lies in the workplace for what a killed one left. Where
    folders cannot be locked, runs are on their own."""
    handle = None
    try:
        import fcntl

        handle = os.open(folder, os.O_RDONLY)
        fcntl.flock(handle, fcntl.LOCK_EX)
    except (ImportError, OSError):
        pass
    try:
        yield
    finally:
        if handle is not None:
            os.close(handle)


def _refuse_what_cannot_be_replaced(out: Path) -> None:
    """A file, the folder one stands in, and the root of a disk, which no other folder can take the place of."""
    here = Path.cwd().resolve()
    if out.exists() and not out.is_dir():
        raise FolderProblem(f"'{out.name}' is a file", "name a folder to write the set to")
    if out in (here, *here.parents):
        right = "name a folder inside it, such as --out set"
        raise FolderProblem("the set would replace the folder you stand in", right)
    if os.path.ismount(out):
        right = f"name a folder inside it, such as --out {out / 'set'}"
        raise FolderProblem(f"'{out.name}' is a disk of its own (a mount point), which cannot be swapped", right)


def _refuse_what_is_not_ours(out: Path) -> None:
    """Only a new folder, an empty one, or one that holds an earlier set is ever swapped."""
    if out.is_dir() and any(out.iterdir()) and not (out / LIST).is_file():
        raise FolderProblem(f"'{out.name}' holds other things and no earlier set", "name a new or an empty folder")


def _refuse_to_overwrite(files: Mapping[str, bytes], out: Path, ours: set[str]) -> None:
    """A file that no earlier run wrote is somebody's: it is not replaced, nor does a folder take its place."""
    folders = {parent.as_posix() for name in files for parent in Path(name).parents} - {"."}
    for name in sorted({*files, *folders} - ours):
        path = out / name
        if os.path.lexists(path) and (name in files or not path.is_dir()):
            raise FolderProblem(
                f"'{name}' is there already and was not written by an earlier run",
                "move it away, or choose another --out",
            )


def _refuse_to_lose(inputs: Iterable[Path], out: Path, replaced: Set[str]) -> None:
    """What a run was made from is never replaced by what it made, even under the name of a sheet."""
    for path in inputs:
        found = path.resolve()
        if found.is_relative_to(out) and found.relative_to(out).as_posix() in replaced:
            raise FolderProblem(f"'{path}' would be replaced by a sheet of that name", "move it out of the folder")


def _earlier(before: Sequence[str]) -> set[str]:
    """Names of the files that an earlier run wrote, of the lines of its list."""
    lines = [line for line in before if not line.startswith(MADE_FROM)]
    return {line for line in lines if line and not line.startswith("/") and ".." not in line.split("/")}


def _fill(stage: Path, files: Mapping[str, bytes]) -> None:
    mask = os.umask(0)
    os.umask(mask)
    stage.chmod(0o777 & ~mask)
    for name, content in files.items():
        path = stage / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
