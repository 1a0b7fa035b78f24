"""The command: says what is missing or taken in words, and serves until it is stopped."""

from __future__ import annotations

import sys
from importlib.util import find_spec

LIBRARIES = ("starlette", "uvicorn", "watchfiles")


def run_preview(build: str, shop: str | None, port: int, open_to_network: bool) -> int:
    """Serve the preview of a build until it is stopped; the exit code, 2 where it cannot be served."""
    missing = [name for name in LIBRARIES if find_spec(name) is None]
    if missing:
        print(f"preview:1:1: {' and '.join(missing)} not installed; pip install '.[preview]'", file=sys.stderr)
        return 2
    from shopdocs.pipeline.previewing import Preview
    from shopdocs.preview.serve import PortTaken, serve

    try:
        serve(Preview(build, shop), port, open_to_network)
    except PortTaken as fault:
        print(f"--port:1:1: {fault.wrong}; {fault.right}", file=sys.stderr)
        return 2
    return 0
