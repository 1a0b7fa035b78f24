"""Least processor time of several commands, each in fresh processes that take turns.

In turn, so that a busy moment or a slow clock hits all alike; processor time, user and system, because other work on
the machine would else be counted; the least, because nothing makes a process take less than it needs.
"""

from __future__ import annotations

import os
import resource
import subprocess
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
# As on a maker's machine: compiled modules are kept from one start to the next. A first turn fills the cache.
CACHE = tempfile.TemporaryDirectory()
ENVIRONMENT = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"} | {
    "PYTHONPYCACHEPREFIX": CACHE.name,
    "PYTHONPATH": str(ROOT),
}


def least(commands: Mapping[str, Sequence[str]], rounds: int, prepared: str = "") -> dict[str, float]:
    """Seconds by name. The command called `prepared` prints how long it prepared, which does not count."""
    found = dict.fromkeys(commands, float("inf"))
    for turn in range(rounds + 1):
        for name, command in commands.items():
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            done = subprocess.run(command, check=True, capture_output=True, text=True, env=ENVIRONMENT)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            taken = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
            if turn:
                found[name] = min(found[name], taken - (float(done.stdout) if name == prepared else 0.0))
    return found
