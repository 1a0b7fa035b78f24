"""Whether the sheets of a set are still those of its build."""

from __future__ import annotations

import json
import os
from typing import TYPE_CHECKING, Any

from shopdocs.core.display import Units
from shopdocs.core.problems import Position, Problem, error, warning
from shopdocs.pipeline.request import Outcome, Progress, Request
from shopdocs.pipeline.revisions import FIGURES, MANY_BYTES, changes_between, earlier

if TYPE_CHECKING:
    from shopdocs.documents.revised.compare import Changes


def check_set(folder: str, build: str = "", shop: str | None = None, progress: Progress = lambda step: None) -> Outcome:
    """Which sheets of the set in `folder` are stale: of a text that the build or the shop file no longer has. Where no
    `build` is named, the file that the set was made from is looked for in the folder and beside it."""
    at = Position(os.path.join(folder, FIGURES), 1, 1)
    progress("reading the set")
    old, problems = earlier(Request(build=folder))
    if old is None:
        return Outcome(problems)
    name = build or _build_of(folder)
    if not name:
        right = f"name the build: shopdocs check BUILD --set {folder}"
        return Outcome((error(at, "set", "the build that this set was made from is not beside it", right),))
    units: Units = "in" if old.units == "in" else "mm"
    progress("computing")
    new, problems = earlier(Request(build=name, shop=shop, units=units))
    if new is None:
        return Outcome(problems)
    changes, wrong = changes_between(old, new, at)
    if changes is None:
        return Outcome(tuple(wrong))
    if old.check_word == new.check_word and not changes.any:
        return Outcome((), said=(f"{folder}: every sheet is of {name} as it stands (check {new.check_word})",))
    found = tuple(_stale(changes, at, name))
    fresh = [sheet.title for key, sheet in old.sheets.items() if key not in (*changes.sheets, *changes.void_sheets)]
    said = [f"{folder}: made from check {old.check_word or 'none'}, {name} is now check {new.check_word}"]
    said += [f"as before but for the check word: {', '.join(fresh)}"] if fresh else []
    return Outcome(found, said=tuple(said))


def _stale(changes: Changes, at: Position, name: str) -> list[Problem]:
    from shopdocs.documents.revised.sheet import anew_lines

    right = f"render {name} again; `shopdocs compare` says what changed"
    return [
        warning(at, "stale", f"stale: {kind.lower()} {' and '.join(filter(None, (anew, void)))}", right)
        for kind, anew, void in anew_lines(changes)
    ]


def _build_of(folder: str) -> str:
    """The build file by the name that the set keeps, in the folder or the one around it; "" where there is none."""
    from shopdocs.source.given import read_given

    given = read_given(os.path.join(folder, FIGURES), MANY_BYTES)
    try:
        kept: Any = json.loads(given.data)["build"]["build file"]
    except (ValueError, KeyError, TypeError, RecursionError):
        return ""
    if not isinstance(kept, str) or not kept or os.path.basename(kept) != kept:
        return ""
    around = os.path.dirname(os.path.abspath(folder))
    return next((path for path in (os.path.join(folder, kept), os.path.join(around, kept)) if os.path.isfile(path)), "")
