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
from io import BufferedReader, RawIOBase
from typing import IO, TYPE_CHECKING, Any, Generic, Protocol, TypeVar

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
    """Work that a copy of this process does."""

    def __init__(self, work: Work[First, Given, Last]) -> None:
        super().__init__(work)
        self._to_copy, there = _line()
        try:
            self._process = _copied(work, self._to_copy, there)
        except OSError:
            self._to_copy.close()
            raise
        finally:
            there.close()

    def first(self) -> First:
        try:
            first: First = self._to_copy.receive()
        except (EOFError, OSError):
            self.end()
            return super().first()
        return first

    def give(self, given: Given) -> None:
        super().give(given)
        try:
            self._to_copy.send(given)
        except OSError:  # the copy is no more, or there is no room on the disk
            self.end()

    def last(self) -> Last:
        try:
            last: Last = self._to_copy.receive()
        except (EOFError, OSError):
            return super().last()
        finally:
            self.end()
        return last

    def end(self) -> None:
        """End the copy, whatever it is at."""
        self._process.kill()
        self._process.join()
        self._to_copy.close()


class _Placed(RawIOBase):
    """A file that is read or written from its beginning, whatever the other process does to it: both have one place in
    it between them, which is left alone."""

    def __init__(self, file: IO[bytes]) -> None:
        self._file = file
        self.place = 0

    def readable(self) -> bool:
        return True

    def readinto(self, into: Any) -> int:
        read = os.preadv(self._file.fileno(), [into], self.place)
        self.place += read
        return read

    def write(self, content: Any) -> int:
        left = memoryview(content)
        while left:
            written = os.pwrite(self._file.fileno(), left, self.place)
            self.place += written
            left = left[written:]
        return memoryview(content).nbytes


class _Line:
    """One end of the line between two processes. What is sent lies in a file, and only its length goes through the
    pipe, which would make the sender wait until the other reads. It is written and read as it goes: of a thousand
    pieces it is many megabytes."""

    def __init__(self, pipe: Connection, out: IO[bytes], back: IO[bytes]) -> None:
        self._pipe, self._out, self._back = pipe, out, back

    def send(self, sent: object) -> None:
        """Send what can be pickled. Raises OSError where nobody reads any more, or the disk is full."""
        if self._pipe.closed:
            raise BrokenPipeError
        out = _Placed(self._out)
        pickle.dump(sent, out, pickle.HIGHEST_PROTOCOL)
        self._pipe.send(out.place)

    def receive(self) -> Any:
        """What the other end sent, after a wait if need be. Raises EOFError or OSError where it sends no more."""
        self._pipe.recv()
        return pickle.load(BufferedReader(_Placed(self._back)))

    def close(self) -> None:
        """Take this end away."""
        for each in (self._pipe, self._out, self._back):
            each.close()


def _line() -> tuple[_Line, _Line]:
    """Both ends of a line. Raises OSError where there is no room for its files."""
    from multiprocessing import Pipe
    from tempfile import TemporaryFile

    here, there = Pipe()
    out, back = TemporaryFile(), TemporaryFile()  # noqa: SIM115 closed with the ends
    again = [os.fdopen(os.dup(file.fileno()), "rb+") for file in (out, back)]
    return _Line(here, out, back), _Line(there, again[1], again[0])


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


def _copied(work: Work[First, Given, Last], here: _Line, there: _Line) -> BaseProcess:
    """A copy of this process at work at the other end of the line."""
    import gc
    import signal
    import warnings
    from multiprocessing import get_context

    process = get_context("fork").Process(target=_work_and_send, args=(work, here, there), daemon=True)
    stops = {signal.SIGINT, signal.SIGTERM}
    before = signal.pthread_sigmask(signal.SIG_BLOCK, stops)  # or a stop could be told twice, by the copy too
    try:
        with warnings.catch_warnings():
            # The threads that Python warns of are those of numpy's routines, which are made to be copied.
            warnings.simplefilter("ignore", DeprecationWarning)
            gc.freeze()  # what is there already stays: to look for rings in it would write to it, and so double it
            process.start()
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
    return process


def _work_and_send(work: Work[First, Given, Last], here: _Line, there: _Line) -> None:
    """In the copy: silent whatever happens, for the work is done again where no result comes."""
    import signal

    try:
        here.close()
        for each in (signal.SIGINT, signal.SIGTERM):
            signal.signal(each, signal.SIG_DFL)
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT, signal.SIGTERM})
        at_work = work()
        there.send(next(at_work))
        try:
            at_work.send(there.receive)
        except StopIteration as end:
            there.send(end.value)
    except BaseException:
        os._exit(1)
    os._exit(0)
