"""How long `--help` takes, in ratio to a bare interpreter start (aim: under 3).

Run it as a script: python tests/bench/help.py
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROUNDS = 25
# As on a maker's machine: compiled modules are kept from one start to the next. The first round fills the cache.
CACHE = tempfile.TemporaryDirectory()
ENVIRONMENT = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"} | {
    "PYTHONPYCACHEPREFIX": CACHE.name
}


def main() -> None:
    script = Path(sys.executable).with_name("shopdocs")
    commands = {
        "python -c pass": [sys.executable, "-c", "pass"],
        "shopdocs --help": [str(script), "--help"],
        "python -m shopdocs --help": [sys.executable, "-m", "shopdocs", "--help"],
        "python -c 'import argparse'": [sys.executable, "-c", "import argparse"],
    }
    least = dict.fromkeys(commands, float("inf"))
    for _ in range(ROUNDS):  # in turn, so that a busy moment hits all alike
        for name, command in commands.items():
            began = time.perf_counter()
            subprocess.run(command, check=True, capture_output=True, env=ENVIRONMENT)
            least[name] = min(least[name], time.perf_counter() - began)
    floor = least["python -c pass"]
    for name, seconds in least.items():
        print(f"{name:30} {seconds * 1000:6.1f} ms  {seconds / floor:5.2f} times")


if __name__ == "__main__":
    main()
