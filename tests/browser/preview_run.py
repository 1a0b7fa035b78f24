"""The preview as a maker runs it: a process of its own, asked at the address that it prints."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent


@contextmanager
def running(build: Path, *more: str) -> Iterator[str]:
    """The address of a preview of this build; it is ended at the end."""
    command = [sys.executable, "-u", "-m", "shopdocs", "preview", str(build), "--port", "0", *more]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=ROOT) as process:
        try:
            assert process.stdout is not None
            first = process.stdout.readline()
            assert first.startswith("preview at http://"), first + (process.stderr.read() if process.stderr else "")
            yield first.removeprefix("preview at ").strip()
        finally:
            process.terminate()
            process.wait(20)
