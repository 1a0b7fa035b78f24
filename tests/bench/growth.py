"""How checking a build and rendering its whole set grow with the number of pieces.

    python tests/bench/growth.py [SIZES ...] [--check]

The rack of `space_documents.py` in any size, by the real command in fresh processes: processor seconds and seconds on
the clock, the most memory that a command and its second process took together (looked at ten times a second; where the
system does not tell it, the most that one of them took), and the exponent of growth of the processor's seconds from the
row above (1 is linear; aim: 1.1 at most, a thousand pieces in 15 s and 300 MB). The start of an interpreter with all it
loads, as for the smallest sample, is taken off first.
"""

from __future__ import annotations

import argparse
import math
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from least import ENVIRONMENT, ROOT
from space_documents import rack

TOTE = ROOT / "sample_builds" / "seed_tote" / "build.yaml"


def taken(*command: str) -> tuple[float, float, float]:
    """Processor seconds, seconds on the clock and megabytes of one run of the command."""
    began = time.monotonic()
    process = subprocess.Popen(
        [sys.executable, "-m", "shopdocs", *command],
        env=ENVIRONMENT,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    most = 0.0
    while not (ended := os.wait4(process.pid, os.WNOHANG))[0]:
        most = max(most, together(process.pid))
        time.sleep(0.1)
    _, status, used = ended
    clock = time.monotonic() - began
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise SystemExit(f"{' '.join(command)} ended with {process.returncode}")
    return used.ru_utime + used.ru_stime, clock, most or used.ru_maxrss / 1024


def together(process: int) -> float:
    """Megabytes of a process and those that it began, what they share counted once; 0 where the system does not say."""
    try:
        begun = Path(f"/proc/{process}/task/{process}/children").read_text().split()
        found = [Path(f"/proc/{one}/smaps_rollup").read_text() for one in (process, *begun)]
        return sum(int(one.split("Pss:")[1].split()[0]) for one in found) / 1024
    except (OSError, IndexError):
        return 0.0


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("sizes", nargs="*", type=int, default=[100, 300, 1000, 3000])
    parser.add_argument("--check", action="store_true", help="leave out the sets")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path, out = Path(folder) / "build.yaml", f"{folder}/set"
        commands = {"check": ["check"]} if asked.check else {"check": ["check"], "render": ["render", "--out"]}
        for name, (word, *more) in commands.items():
            where = [out] * len(more)
            taken(word, str(TOTE), *more, *where)  # fills the cache of compiled modules
            start, _, _ = taken(word, str(TOTE), *more, *where)
            before: tuple[int, float] | None = None
            print(f"{name}: {start:.2f} s for the smallest sample")
            for size in asked.sizes:
                path.write_text(rack(size), "utf-8")
                pieces = 12 * max(1, size // 12)
                seconds, clock, memory = taken(word, str(path), *more, *([f"{out}{size}"] * len(more)))
                own = max(seconds - start, 0.01)
                growth = ""
                if before is not None:
                    growth = f"^{math.log(own / before[1]) / math.log(pieces / before[0]):.2f}"
                print(
                    f"{pieces:6} pieces {seconds:8.2f} s {clock:8.2f} s on the clock {memory:6.0f} MB  {growth}",
                    flush=True,
                )
                before = pieces, own


if __name__ == "__main__":
    main()
