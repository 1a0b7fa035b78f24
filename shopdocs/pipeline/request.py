"""What is asked of a run, and what comes of it."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from shopdocs.core.display import Units
from shopdocs.core.problems import Problem

Progress = Callable[[str], None]


class Request(Struct, frozen=True):
    """What was asked for. None or empty means: as the shop file says, else by the build."""

    build: str
    shop: str | None = None
    only: tuple[str, ...] = ()
    paper: str | None = None
    units: Units | None = None
    labels: str | None = None
    labels_used: int | None = None
    records: str | None = None
    effort: int | None = None
    date: str = ""  # printed instead of the build's
    edition: str = ""  # "customer" for those who buy the plan
    since: str = ""  # an earlier build, set or list of figures, whose changes are told


class Written(Struct, frozen=True):
    """One line of the closing table: a file (or folder), its pages or files, its bytes."""

    name: str
    count: str
    size: int


class Outcome(Struct, frozen=True):
    """What a run found wrong or doubtful, what it wrote, and what it tells in a few lines."""

    problems: tuple[Problem, ...]
    written: tuple[Written, ...] = ()
    said: tuple[str, ...] = ()  # what was found, in a few lines
