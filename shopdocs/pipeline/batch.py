"""Many builds in one run: each gets a set of its own in one folder, all cores at work, only what changed made again.

What came of it is kept as `batch.json` in that folder. A build that is wrong stops none of the others, and its earlier
set stays as it was.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import time
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from msgspec import Struct
from msgspec.structs import asdict, replace

from shopdocs.core.problems import Position, Problem, error, has_errors
from shopdocs.pipeline.request import Request

RESULTS = "batch.json"
MADE, UNCHANGED, FAILED = "made", "unchanged", "failed"
_BUILD = re.compile(rb"^\xef?\xbb?\xbf?(?:\"build\"|'build'|build)\s*:", re.MULTILINE)

Told = Callable[[int, int, str], None]  # how many are done, of how many, and which was the last


class Result(Struct, frozen=True):
    """What came of one build: `set` is its folder's name, `made_from` stands for all that the set depends on."""

    set: str
    build: str
    status: str
    pages: int = 0
    warnings: int = 0
    errors: int = 0
    seconds: float = 0.0
    made_from: str = ""
    problems: tuple[Problem, ...] = ()


class _Task(Struct, frozen=True):
    request: Request
    out: str
    made_from: str


def render_all(
    like: Request, builds: Sequence[str], out: str, told: Told = lambda done, of, name: None
) -> tuple[tuple[Result, ...], tuple[Problem, ...]]:
    """A set for each of the builds, which may be files or folders of them, in folders below `out`. Problems are those
    that stop the whole run; those of a build stand in its result."""
    files, problems = found_builds(builds)
    named, more = _names(files)
    problems += more
    before, more = _earlier(out)
    problems += more
    if problems:
        return (), tuple(problems)
    tasks, still = [], {}
    for name, file in named:
        task = _Task(
            replace(like, build=file),
            os.path.join(out, name),
            _made_from(replace(like, build=file)),
        )
        last = before.get(name)
        if last is not None and task.made_from == last.made_from != "" and _whole(Path(task.out)):
            still[name] = replace(last, build=file, status=UNCHANGED, seconds=0.0)
        else:
            tasks.append(task)
    try:
        os.makedirs(out, exist_ok=True)
        made = {result.set: result for result in _run(tasks, told)}
        results = tuple((still | made)[name] for name, _ in named)
        _keep(out, results)
    except OSError as fault:
        at = Position(out or "--out", 1, 1)
        return (), (error(at, "out", f"it cannot be written ({fault.strerror})", "choose another --out"),)
    return results, ()


def is_batch(builds: Sequence[str]) -> bool:
    """Whether these are several builds, or a folder of them."""
    return len(builds) > 1 or os.path.isdir(builds[0])


def found_builds(builds: Iterable[str]) -> tuple[list[str], list[Problem]]:
    """The build files named, and those in the folders named: `*.yaml` that begin a build, and `build.yaml` one folder
    below. In the order they are named in, each once."""
    found: dict[str, None] = {}
    problems: list[Problem] = []
    for name in builds:
        if not os.path.isdir(name):
            found.setdefault(name)
            continue
        inside = [path for path in sorted(Path(name).iterdir()) if _is_build(path)]
        inside += [path for path in sorted(Path(name).glob("*/build.yaml")) if _is_build(path)]
        if not inside:
            right = "name build files, or a folder that holds some"
            problems.append(error(Position(name, 1, 1), "no-file", "there is no build in this folder", right))
        for path in inside:
            found.setdefault(str(path))
    return list(found), problems


def _is_build(path: Path) -> bool:
    from shopdocs.source.given import read_given

    if path.suffix.lower() not in (".yaml", ".yml") or not path.is_file():
        return False
    return _BUILD.search(read_given(str(path)).data) is not None


def _names(files: Sequence[str]) -> tuple[list[tuple[str, str]], list[Problem]]:
    """A folder's name for each build: that of its own folder where the file is called build.yaml, else the file's."""
    taken: dict[str, str] = {}
    problems: list[Problem] = []
    for file in files:
        path = Path(os.path.abspath(file))
        name = path.parent.name if path.stem == "build" and path.parent.name else path.stem
        other = taken.setdefault(name, file)
        if other != file:
            wrong = f"its set would be called '{name}', as that of {other}"
            problems.append(
                error(Position(file, 1, 1), "two-sets", wrong, "rename one of the files, or render it apart")
            )
    return list(taken.items()), problems


def _run(tasks: Sequence[_Task], told: Told) -> tuple[Result, ...]:
    """On all cores; one build needs no second process."""
    workers = min(len(tasks), os.cpu_count() or 1)
    if workers < 2:
        done = []
        for number, task in enumerate(tasks, 1):
            done.append(_one(task))
            told(number, len(tasks), done[-1].set)
        return tuple(done)
    from concurrent.futures import ProcessPoolExecutor, as_completed
    from multiprocessing import get_context

    found: dict[int, Result] = {}
    # new processes, not copies of this one: the same on every system, and nothing of a set lingers in the next
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        waiting = {pool.submit(_one, task): number for number, task in enumerate(tasks)}
        try:
            for future in as_completed(waiting):
                number = waiting[future]
                found[number] = future.result()
                told(len(found), len(tasks), found[number].set)
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            raise
    return tuple(found[number] for number in sorted(found))


def _one(task: _Task) -> Result:
    """Make one set."""
    from shopdocs.pipeline.rendering import render

    began = time.monotonic()
    name, request = os.path.basename(task.out), task.request
    outcome = render(request, task.out)
    bad = sum(has_errors([problem]) for problem in outcome.problems)
    pages = next((line.count for line in outcome.written if line.name == "set.pdf"), "0").split(" ")[0]
    return Result(
        name,
        request.build,
        MADE if outcome.written else FAILED,
        pages=int(pages),
        warnings=len(outcome.problems) - bad,
        errors=bad,
        seconds=round(time.monotonic() - began, 2),
        made_from=task.made_from if outcome.written else "",
        problems=outcome.problems,
    )


def _made_from(request: Request) -> str:
    """A word for all that a set depends on: the program, the build, the shop file, and what was asked. "" where a file
    cannot be read."""
    from shopdocs import __version__
    from shopdocs.pipeline.checking import shop_of
    from shopdocs.source.given import read_given

    given = [read_given(request.build)]
    shop = shop_of(request.build, request.shop)
    given += [shop] if shop is not None else []
    if any(one.fault is not None for one in given):
        return ""
    asked = repr(sorted({**asdict(request), "build": "", "shop": ""}.items()))
    parts = (__version__.encode(), asked.encode(), *(one.data for one in given))
    return hashlib.sha256(b"".join(hashlib.sha256(part).digest() for part in parts)).hexdigest()


def _whole(out: Path) -> bool:
    """Whether every file of the set is still there."""
    from shopdocs.output.workplace import LIST, listed

    names = [line for line in listed(out) if line and not line.startswith("#")] if (out / LIST).is_file() else []
    return bool(names) and all((out / name).is_file() for name in names)


def _earlier(out: str) -> tuple[dict[str, Result], list[Problem]]:
    """What came of the sets of earlier runs, by their names."""
    path = Path(out) / RESULTS
    if not path.is_file():
        return {}, []
    try:
        kept = json.loads(path.read_bytes())
        if not str(kept["made by"]).startswith("shopdocs"):
            raise ValueError
        return {one["set"]: _from_json(one) for one in kept["builds"]}, []
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        at = Position(str(path), 1, 1)
        return {}, [
            error(at, "out", "this file was not written by an earlier run", "move it away, or choose another --out")
        ]


def _keep(out: str, results: Sequence[Result]) -> None:
    """The results as JSON, put in place whole; those of other builds made here before stay."""
    from shopdocs import __version__

    path = Path(out) / RESULTS
    mine = {result.set for result in results}
    others = []
    if path.is_file():
        others = [one for one in json.loads(path.read_bytes())["builds"] if one["set"] not in mine]
    listed = [*others, *map(_as_json, results)]
    text = json.dumps({"made by": f"shopdocs {__version__}", "builds": listed}, indent=1, ensure_ascii=False)
    beside = path.with_name(f".{RESULTS}.new")
    beside.write_text(text + "\n", encoding="utf-8", errors="backslashreplace")
    beside.replace(path)


def _from_json(one: dict[str, object]) -> Result:
    set_, build, status, made_from = (str(one[key]) for key in ("set", "build", "status", "made_from"))
    pages, warnings, errors = (int(str(one[key])) for key in ("pages", "warnings", "errors"))
    return Result(set_, build, status, pages, warnings, errors, made_from=made_from)


def _as_json(result: Result) -> dict[str, object]:
    told = [{"at": str(problem.at), "said": str(problem)} for problem in result.problems]
    found = {key: value for key, value in asdict(result).items() if key != "problems"}
    return {**found, "problems": told}
