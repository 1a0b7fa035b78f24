"""`python -m shopdocs` is the command line, and so is the command `shopdocs`.

What the exit code says is kept true here: a fault of the program is never 1, which stands for warnings, and a run that
is stopped while the program is still being loaded ends without a word, not with a trace of where it was.
The process ends as soon as all is written and said: to take its objects away one by one, as Python does, is a fifth of
the time of a small check, and the system does it at once.
"""

from __future__ import annotations

import os
import sys

TYPE_CHECKING = False  # type checkers know the name; importing typing takes time
if TYPE_CHECKING:
    from typing import NoReturn

OWN_FAULT = 3  # exit code of a fault in the program itself
STOPPED = 130  # exit code of a run that was stopped: 128 and the number of the signal


def run() -> int:
    """Run the command line; its exit code, or OWN_FAULT after a fault of the program, with the trace for its makers."""
    # What `signal` is built on, which is there at once: to load that takes longer than all else up to here, and a stop
    # meanwhile would be told with a trace.
    from _signal import SIG_DFL, SIGINT, SIGTERM, signal  # type: ignore[import-not-found]

    for each in (SIGINT, SIGTERM):
        signal(each, SIG_DFL)
    try:
        from shopdocs.cli import main

        return main()
    except KeyboardInterrupt:  # in the moment when the command is done and its watch for a stop ends
        return STOPPED
    except Exception:
        import traceback

        traceback.print_exc()
        print("this is a fault in shopdocs, not in your build", file=sys.stderr)
        return OWN_FAULT


def program() -> NoReturn:
    """Run the command line and end the process with its exit code."""
    code = run()
    try:
        for stream in (sys.stdout, sys.stderr):
            stream.flush()
    except OSError:
        sys.exit(code)  # Python says what became of its streams
    os._exit(code)


if __name__ == "__main__":
    program()
