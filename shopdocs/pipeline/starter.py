"""A small commented build and shop file to begin with."""

from __future__ import annotations

import os
from pathlib import Path

from shopdocs.core.problems import Position, Problem, error


def write_starter(folder: str) -> tuple[tuple[Problem, ...], tuple[str, ...]]:
    """Write a small commented build and shop into a new or empty folder; problems, and the files written."""
    from shopdocs.core.assets import layouts_folder

    at = Position(folder, 1, 1)
    if not folder.strip():
        return (error(Position("start", 1, 1), "out", "the folder has no name", "name a new folder"),), ()
    target = Path(folder)
    source = layouts_folder() / "starter"
    names = sorted(path.name for path in source.iterdir())
    there = [name for name in names if os.path.lexists(target / name)]
    if there:
        return (error(at, "exists", f"'{there[0]}' is there already", "name a new folder"),), ()
    try:
        target.mkdir(parents=True, exist_ok=True)
        for name in names:
            (target / name).write_bytes((source / name).read_bytes())
    except OSError as fault:
        return (error(at, "out", f"the folder cannot be written ({fault.strerror})", "choose another"),), ()
    return (), tuple(str(target / name) for name in names)
