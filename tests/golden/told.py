"""What `check` says, as text that one can read aloud: every problem with its place, what is wrong and what would be
right, the figures of both with it. The golden form of `tests/cases` and of the slips of the pen, one file a case or a
list of slips in `tests/golden/told`, so that no word and no figure of a message changes unseen.

    12:9 error clash
      'FL' and 'T' overlap by 20 mm x 20 mm x 5 mm (and 2 more)
      -> move one of them, or name the joint that lets one into the other
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from shopdocs.core.problems import Problem

FOLDER = Path(__file__).parent / "told"
CASES = Path(__file__).parents[1] / "cases"


def told(problems: Iterable[Problem]) -> str:
    """One paragraph a problem, in the order they are told in."""
    return "".join(_paragraph(each) for each in problems)


def _paragraph(problem: Problem) -> str:
    at = problem.at
    file = "shop " if Path(at.file).name.endswith("shop.yaml") else ""
    more = f" (and {problem.more} more)" if problem.more else ""
    answer = f"  answered by: {problem.answer}\n" if problem.answer else ""
    head = f"{file}{at.line}:{at.column} {problem.severity.name.lower()} {problem.code}"
    return f"{head}\n  {problem.wrong}{more}\n  -> {problem.right}\n{answer}"


def kept(name: str) -> str:
    """What was read last, "" for a case that is new."""
    path = FOLDER / f"{name}.txt"
    return path.read_text("utf-8") if path.exists() else ""


def case_texts() -> dict[str, str]:
    """The text of every case that a problem is told of, by its name."""
    from tests.test_cases import BUILDS, problems

    return {path.stem: text for path in BUILDS if (text := told(problems(path)))}


def slip_texts() -> dict[str, str]:
    """The text of every list of slips, by its name."""
    from tempfile import TemporaryDirectory

    from tests.checks.test_slips import SLIPS
    from tests.checks.test_slips import told as told_of

    with TemporaryDirectory() as folder:
        answers = [told_of(name, slip, Path(folder)) for name, slip in SLIPS]
    return slips_told(answers)


def slips_told(answers: Iterable[tuple[Problem, ...]]) -> dict[str, str]:
    """What was said of the slips, in their order, by the name of their list: each slip under what was written."""
    from tests.checks.test_slips import SLIPS

    texts: dict[str, str] = {}
    for (name, slip), problems in zip(SLIPS, answers, strict=True):
        text = f"# {slip['old']!r} became {slip['new']!r}\n{told(problems)}\n"
        texts[f"slips-{name}"] = texts.get(f"slips-{name}", "") + text
    return texts


def renew(write: bool) -> list[Path]:
    """The texts that are other now, are new or are no more; written anew where `write` says so."""
    texts = {FOLDER / f"{name}.txt": text for name, text in (case_texts() | slip_texts()).items()}
    FOLDER.mkdir(exist_ok=True)
    old = {path: path.read_text("utf-8") for path in FOLDER.glob("*.txt")}
    changed = sorted(path for path in texts.keys() | old.keys() if texts.get(path) != old.get(path))
    for path in changed if write else ():
        if path in texts:
            path.write_text(texts[path], "utf-8")
        else:
            path.unlink()
    return changed
