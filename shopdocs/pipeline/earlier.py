"""What the folder of a set knows of the set before: which pieces it had."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shopdocs.documents.revised.lost import Lost
    from shopdocs.documents.revised.state import BuildState

LARGEST = 64_000_000  # bytes of a list of figures


def gone_since(out: str, now: BuildState, date: str) -> tuple[Lost, ...]:
    """The pieces that earlier sets in this folder had and this build has no more. A list of figures that is missing or
    damaged says nothing; then the names of the record pages that an earlier run wrote do."""
    from shopdocs.core.slug import INDEX, record_file
    from shopdocs.documents.revised.lost import gone_of
    from shopdocs.output.folder import FIGURES
    from shopdocs.output.workplace import listed

    folder = Path(out)
    if not out or not os.path.isdir(folder):
        return ()
    try:
        before = listed(folder)
    except (OSError, ValueError):
        return ()
    if not before:
        return ()
    pages = [line.removeprefix("records/") for line in before if line.startswith("records/")]
    suffix = record_file("")
    names = [page.removesuffix(suffix) for page in pages if page.endswith(suffix) and "/" not in page]
    figures = _figures(folder / FIGURES)
    return gone_of(figures, [name for name in names if name != INDEX], now, date)


def _figures(path: Path) -> object:
    try:
        if path.stat().st_size > LARGEST:
            return None
        return json.loads(path.read_bytes())
    except (OSError, ValueError, RecursionError):
        return None
