"""Work that a second process does meanwhile, where the system can copy a process and has a core to spare.

The copy has all that was computed up to then. What it does is a generator of one step back and one forth: it yields a
first result, gets what it waits for, and returns a last one. Where there is no copy, or it comes to harm, the same
generator runs here, when its results are asked for: what is made is the same either way, and so is what goes wrong.
"""

from __future__ import annotations

import os
import pickle
import sys
from collections.abc import Callable, Generator, Iterator
from contextlib import contextmanager
from typing import IO, TYPE_CHECKING, Generic, Protocol, TypeVar

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.process import BaseProcess

First = TypeVar("First")
Given = TypeVar("Given")
Last = TypeVar("Last")
Work = Callable[[], Generator[First, Callable[[], Given], Last]]


class Meanwhile(Generic[First, Given, Last]):
    """Work whose results are asked for in this order: `first`, then, when the work was `give`n what it waits for,
    `last`. What it waits for comes to it as a function, so that it need not wait before it must."""

    def __init__(self, work: Work[First, Given, Last]) -> None:
        self._work = work
        self._given: Given | None = None
        self._here: Generator[First, Callable[[], Given], Last] | None = None

    def first(self) -> First:
        """What the work yields."""
        self._here = self._work()
        return next(self._here)

    def give(self, given: Given) -> None:
        """What the work waits for."""
        self._given = given

    def last(self) -> Last:
        """What the work returns. Raises what the work raises, and RuntimeError where it yields more than once."""
        if self._here is None:
            self.first()
        given, here = self._given, self._here
        assert given is not None and here is not None
        try:
            here.send(lambda: given)
        except StopIteration as end:
            last: Last = end.value
            return last
        raise RuntimeError("the work yields more than once")


class Begin(Protocol):
    """Begins some work, here or in a second process."""

    def __call__(self, work: Work[First, Given, Last], /) -> Meanwhile[First, Given, Last]: ...


class _InCopy(Meanwhile[First, Given, Last]):
    """Work that a copy of this process does. What it is given lies in a file, for a pipe would make this process wait
    until the copy reads."""

    def __init__(self, work: Work[First, Given, Last]) -> None:
        from tempfile import TemporaryFile

        super().__init__(work)
        self._file = TemporaryFile()  # noqa: SIM115 closed by `end`
        self._process, self._line = _copied(work, self._file)

    def first(self) -> First:
        sent = self._received()
        if sent is None:
            return super().first()
        first: First = pickle.loads(sent)
        return first

    def give(self, given: Given) -> None:
        super().give(given)
        if self._file.closed:  # the copy is no more
            return
        try:
            self._line.send(_put(given, self._file))
        except OSError:
            self.end()

    def last(self) -> Last:
        sent = self._received()
        self.end()
        if sent is None:
            return super().last()
        last: Last = pickle.loads(sent)
        return last

    def _received(self) -> bytes | None:
        """What the copy sent; None where it is no more."""
        try:
            return self._line.recv_bytes()
        except (EOFError, OSError):
            self.end()
            return None

    def end(self) -> None:
        """End the copy, whatever it is at."""
        self._process.kill()
        self._process.join()
        self._line.close()
        self._file.close()


@contextmanager
def second_process() -> Iterator[Begin]:
    """What begins work in a copy of this process, where that can be; copies that are still at work are ended on the
    way out."""
    begun: list[_InCopy[object, object, object]] = []

    def begin(work: Work[First, Given, Last], /) -> Meanwhile[First, Given, Last]:
        try:
            begun.append(_InCopy(work))  # type: ignore[arg-type]
        except OSError:  # no room for a copy, or on the disk
            return Meanwhile(work)
        return begun[-1]  # type: ignore[return-value]

    try:
        yield begin if can_copy() else Meanwhile
    finally:
        for each in begun:
            each.end()


def can_copy() -> bool:
    """Whether a copy would be of use. Linux alone: elsewhere a copy may not use some libraries, or there is none."""
    return sys.platform == "linux" and len(os.sched_getaffinity(0)) > 1


def _put(given: object, file: IO[bytes]) -> int:
    """Write it to the file; how many bytes that is. Raises OSError where the disk is full."""
    content = memoryview(pickle.dumps(given, pickle.HIGHEST_PROTOCOL))
    written = 0
    while written < len(content):
        written += os.pwrite(file.fileno(), content[written:], written)
    return written


def _copied(work: Work[First, Given, Last], file: IO[bytes]) -> tuple[BaseProcess, Connection]:
    """A copy of this process at work, and the line to it."""
    import signal
    import warnings
    from multiprocessing import get_context

    context = get_context("fork")
    here, there = context.Pipe()
    process = context.Process(target=_work_and_send, args=(work, file, here, there), daemon=True)
    stops = {signal.SIGINT, signal.SIGTERM}
    before = signal.pthread_sigmask(signal.SIG_BLOCK, stops)  # or a stop could be told twice, by the copy too
    try:
        with warnings.catch_warnings():
            # The threads that Python warns of are those of numpy's routines, which are made to be copied.
            warnings.simplefilter("ignore", DeprecationWarning)
            process.start()
    except OSError:
        here.close()
        raise
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
        there.close()
    return process, here


def _work_and_send(work: Work[First, Given, Last], file: IO[bytes], here: Connection, there: Connection) -> None:
    """In the copy: silent whatever happens, for the work is done again where no result comes."""
    import signal

    def given() -> Given:
        found: Given = pickle.loads(os.pread(file.fileno(), there.recv(), 0))
        return found

    try:
        here.close()
        for each in (signal.SIGINT, signal.SIGTERM):
            signal.signal(each, signal.SIG_DFL)
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT, signal.SIGTERM})
        at_work = work()
        there.send_bytes(pickle.dumps(next(at_work), pickle.HIGHEST_PROTOCOL))
        try:
            at_work.send(given)
        except StopIteration as end:
            there.send_bytes(pickle.dumps(end.value, pickle.HIGHEST_PROTOCOL))
    except BaseException:
        os._exit(1)
    os._exit(0)
