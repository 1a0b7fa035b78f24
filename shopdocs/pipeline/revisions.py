"""From two revisions of a build to what changed between them."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from shopdocs.core.display import Units
from shopdocs.core.problems import Position, Problem, error, has_errors, in_reading_order
from shopdocs.pipeline.asked import as_asked, job_of
from shopdocs.pipeline.checking import Checked, checked
from shopdocs.pipeline.files import Recorded, recorded
from shopdocs.pipeline.request import Outcome, Progress, Request

if TYPE_CHECKING:
    from shopdocs.documents.revised.compare import Changes
    from shopdocs.documents.revised.state import BuildState
    from shopdocs.model.build import Build

FIGURES = "figures.json"
MANY_BYTES = 64_000_000  # of a list of figures: a set of 5,000 pieces has about a third


def compare_builds(old: str, new: str, shop: str | None = None, progress: Progress = lambda step: None) -> Outcome:
    """What changed from `old` to `new`, each a build file, a set's folder or its figures.json, in lines. Where only one
    of them is a build, it is read in the units in which the other was printed."""
    looked = {name: checked(name, shop) for name in (old, new) if _is_build(name)}  # what is wrong is told at once
    for found in looked.values():
        if found.work is None or has_errors(found.problems):
            return Outcome(tuple(problem for problem in found.problems if has_errors([problem])))
    builds = [found.work.build for found in looked.values() if found.work is not None]
    if len(builds) == 2 and (wrong := _two_builds(builds[0], builds[1], Position(new, 1, 1))):
        return Outcome(tuple(wrong))
    units: Units | None = None
    states: list[BuildState] = []
    for name in sorted((old, new), key=_is_build):  # a build is printed like the set it is compared with
        progress(f"reading {name}")
        request = Request(build=name, shop=shop, units=units)
        state, problems = earlier(request, looked.get(name))
        if state is None:
            return Outcome(problems)
        units = "in" if state.units == "in" else "mm"
        states.append(state)
    if _is_build(old) and not _is_build(new):
        states.reverse()
    changes, unlike = changes_between(states[0], states[1], Position(new, 1, 1))
    if changes is None:
        return Outcome(tuple(unlike))
    from shopdocs.documents.revised.sheet import change_lines

    return Outcome((), said=change_lines(changes))


def changes_between(old: BuildState, new: BuildState, at: Position) -> tuple[Changes | None, list[Problem]]:
    """The changes, or the problem that these are two builds."""
    from shopdocs.documents.revised.compare import compare

    wrong = _two_builds(old, new, at)
    return (None, wrong) if wrong else (compare(old, new), [])


def _two_builds(old: BuildState | Build, new: BuildState | Build, at: Position) -> list[Problem]:
    from shopdocs.documents.revised.compare import same_build

    if same_build(old, new):
        return []
    wrong = f"{new.title} ({new.mark}) is no revision of {old.title} ({old.mark}): title and mark both differ"
    return [error(at, "two-builds", wrong, "name two revisions of one build")]


def earlier(request: Request, found: Checked | None = None) -> tuple[BuildState | None, tuple[Problem, ...]]:
    """The state of a build file, of a set's folder or of a list of figures; None and why not. A build that was looked
    at already is `found`."""
    name = request.build
    if not _is_build(name):
        path = os.path.join(name, FIGURES) if os.path.isdir(name) else name
        return _kept_state(path)
    found = found or checked(name, request.shop)
    if found.work is None or has_errors(found.problems):
        return None, tuple(problem for problem in found.problems if has_errors([problem]))
    shop, display, more = as_asked(request, found.work.build, found.shop)
    if has_errors(more):
        return None, in_reading_order(more)
    from shopdocs.documents.catalogue import make_documents
    from shopdocs.documents.records import record_pages

    job = job_of(request, found.work, shop, display)
    return recorded(job, make_documents(job), record_pages(job)).state, ()


def _is_build(name: str) -> bool:
    """Whether this names a build file, and not a set or its figures."""
    return not os.path.isdir(name) and Path(name).suffix.lower() != ".json"


def _kept_state(path: str) -> tuple[BuildState | None, tuple[Problem, ...]]:
    from shopdocs.documents.revised.state import NoState, state_from
    from shopdocs.source.given import read_given

    at = Position(path, 1, 1)
    given = read_given(path, MANY_BYTES)
    if given.fault is not None:
        right = f"name a build, a set's folder or its {FIGURES}"
        return None, (replace(given.fault, right=right),)
    try:
        return state_from(json.loads(given.data)), ()
    except NoState as fault:
        return None, (error(at, "state", str(fault), "render that revision again with this version"),)
    except json.JSONDecodeError as fault:
        at = Position(path, fault.lineno, fault.colno)
        return None, (error(at, "json", f"this is not a list of figures ({fault.msg})", f"name a {FIGURES}"),)
    except (UnicodeDecodeError, RecursionError):
        return None, (error(at, "json", "this is not a list of figures", f"name a {FIGURES}"),)


def changes_since(request: Request, made: Recorded) -> tuple[Changes | None, tuple[Problem, ...]]:
    """The changes since the revision that `request.since` names, None where it names none or something is wrong."""
    if not request.since:
        return None, ()
    units: Units = "in" if made.state.units == "in" else "mm"
    like = replace(request, build=request.since, units=units, since="")
    old, problems = earlier(like)
    if old is None:
        return None, problems
    changes, wrong = changes_between(old, made.state, Position("--since", 1, 1))
    return changes, tuple(wrong)
