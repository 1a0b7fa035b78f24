"""What a run placed on paper, as plain tuples for `floor.py`."""

from __future__ import annotations

import pickle
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from shopdocs.page.items import Disc, Frame, Line, Symbol, TextRun
from shopdocs.page.items import Path as Outline
from shopdocs.page.typeface import font_file


def keep(files: Iterable[Iterable[Frame]], target: Path) -> int:
    """Write the items of the pages of these files to `target`; the number of pages."""
    plain = [
        [(frame.width, frame.height, [kept for item in frame.items if (kept := _plain(item))]) for frame in frames]
        for frames in files
    ]
    fonts = {face: str(font_file(face)) for face in ("regular", "semibold", "bold")}
    target.write_bytes(pickle.dumps((fonts, plain)))
    return sum(map(len, plain))


def _plain(item: Any) -> tuple[Any, ...] | None:
    if isinstance(item, TextRun):
        return ("text", item.x, item.y, item.face, item.size, item.text)
    if isinstance(item, Line):
        return ("line", item.x0, item.y0, item.x1, item.y1)
    if isinstance(item, Outline):
        return ("path", item.points)
    if isinstance(item, Disc):
        return ("disc", item.x, item.y, item.radius)
    if isinstance(item, Symbol):
        return ("code", item.x, item.y, item.module, item.rows)
    return None
