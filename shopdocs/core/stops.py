"""Stops by the maker or the system while a command runs."""

from __future__ import annotations

import _thread
import signal
import sys
import threading
from collections.abc import Callable

UNTIL_SENT_AGAIN = 0.02  # seconds until a stop that came where Python drops it is tried again


class _Stopped(KeyboardInterrupt):
    """A stop by the maker or the system. Python remembers every plain KeyboardInterrupt that leaves an `exec`, as
    dataclasses use it, and ends by SIGINT then, whatever exit code is returned; it does not remember this one."""


def watch_for_stop(stopped: list[int]) -> Callable[[], object]:
    """Put into a list by which signals the run was stopped, by the maker or by the system; what ends the watch. The
    exception alone would not tell: within an import of a library that is no Python it comes out as another, and Python
    drops it, with a trace, where it is raised while an object is taken away; there the stop is sent once more."""
    again: list[threading.Timer] = []

    def stop(number: int, frame: object) -> None:
        stopped.append(number)
        raise _Stopped

    def dropped(what: sys.UnraisableHookArgs) -> None:
        if not isinstance(what.exc_value, _Stopped):
            told(what)
            return
        again.append(threading.Timer(UNTIL_SENT_AGAIN, _thread.interrupt_main, stopped[:1]))
        again[-1].daemon = True
        again[-1].start()

    def as_before() -> None:
        for timer in again:
            timer.cancel()
        for each, handler in before.items():
            signal.signal(each, handler)
        sys.unraisablehook = told

    if threading.current_thread() is not threading.main_thread():
        return lambda: None
    before = {each: signal.signal(each, stop) for each in (signal.SIGINT, signal.SIGTERM)}
    told, sys.unraisablehook = sys.unraisablehook, dropped
    return as_before
