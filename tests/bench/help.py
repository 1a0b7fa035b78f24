"""How long `--help` takes, in ratio to a bare interpreter start (aim: under 3).

Run it as a script: python tests/bench/help.py
"""

from __future__ import annotations

import sys
from pathlib import Path

from least import least

ROUNDS = 25


def main() -> None:
    script = Path(sys.executable).with_name("shopdocs")
    commands = {
        "python -c pass": [sys.executable, "-c", "pass"],
        "shopdocs --help": [str(script), "--help"],
        "python -m shopdocs --help": [sys.executable, "-m", "shopdocs", "--help"],
        "python -c 'import argparse'": [sys.executable, "-c", "import argparse"],
    }
    if not script.exists():  # run from the source, nothing installed
        del commands["shopdocs --help"]
    found = least(commands, ROUNDS)
    floor = found["python -c pass"]
    for name, seconds in found.items():
        print(f"{name:30} {seconds * 1000:6.1f} ms of processor time  {seconds / floor:5.2f} times")


if __name__ == "__main__":
    main()
