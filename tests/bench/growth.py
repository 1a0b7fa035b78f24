"""How checking a build and rendering its whole set grow with the number of pieces.

    python tests/bench/growth.py [SIZES ...] [--check]

The rack of `space_documents.py` in any size, by the real command in fresh processes: processor seconds, the most memory
one of them took, and the exponent of growth from the row above (1 is linear; aim: 1.1 at most, a thousand pieces in
15 s and 300 MB). The start of an interpreter with all it loads, as for the smallest sample, is taken off first.
"""

from __future__ import annotations

import argparse
import math
import os
import subprocess
import sys
import tempfile
from pathlib import Path

from least import ENVIRONMENT, ROOT
from space_documents import rack

TOTE = ROOT / "sample_builds" / "seed_tote" / "build.yaml"


def taken(*command: str) -> tuple[float, float]:
    """Processor seconds and megabytes of one run of the command."""
    process = subprocess.Popen(
        [sys.executable, "-m", "shopdocs", *command],
        env=ENVIRONMENT,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise SystemExit(f"{' '.join(command)} ended with {process.returncode}")
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


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
            start, _ = taken(word, str(TOTE), *more, *where)
            before: tuple[int, float] | None = None
            print(f"{name}: {start:.2f} s for the smallest sample")
            for size in asked.sizes:
                path.write_text(rack(size), "utf-8")
                pieces = 12 * max(1, size // 12)
                seconds, memory = taken(word, str(path), *more, *([f"{out}{size}"] * len(more)))
                own = max(seconds - start, 0.01)
                growth = ""
                if before is not None:
                    growth = f"^{math.log(own / before[1]) / math.log(pieces / before[0]):.2f}"
                print(f"{pieces:6} pieces {seconds:8.2f} s {memory:6.0f} MB  {growth}", flush=True)
                before = pieces, own


if __name__ == "__main__":
    main()
