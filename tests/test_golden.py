"""The text dumps of the frames stand as they were looked at. After a change that is meant, look at the pages again and
renew them: python tests/golden/renew.py"""

from __future__ import annotations

import importlib.util
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from _pytest.mark import ParameterSet

from tests.golden import commands, small
from tests.sample_jobs import SAMPLES

_FILE = Path(__file__).parent / "golden" / "renew.py"
_SPEC = importlib.util.spec_from_file_location("renew_golden", _FILE)
assert _SPEC is not None and _SPEC.loader is not None
renew = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(renew)


@pytest.mark.parametrize("sample", renew.SAMPLES, ids=lambda path: path.parent.name)
def test_the_dumps_are_what_the_program_says(sample: Path) -> None:
    assert renew.stale(sample) == []


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda path: path.name)
def test_every_page_is_as_it_was_looked_at(folder: Path) -> None:
    assert renew.changed_pages(folder) == []


@cache
def sheets_now(path: Path) -> dict[str, str]:
    return small.by_sheet(small.sheets(path))


def _kept() -> Iterator[ParameterSet]:
    """Every sheet of every small build; "" for the names of its sheets."""
    for path in small.SMALL:
        marks = [pytest.mark.thorough] if path.stem in small.LARGE else []
        for name in ("", *small.by_sheet(small.kept_sheets(path))):
            yield pytest.param(path, name, id=f"{path.stem}-{name or 'names'}", marks=marks)


@pytest.mark.parametrize(("path", "name"), _kept())
def test_the_sheets_of_a_small_build_are_as_they_were_looked_at(path: Path, name: str) -> None:
    """A sheet by itself, so that one that changed hides no other."""
    now, kept = sheets_now(path), small.by_sheet(small.kept_sheets(path))
    if name:
        assert now.get(name) == kept[name]
    else:
        assert [*now] == [*kept]


@pytest.mark.thorough
@pytest.mark.parametrize("name", small.kept_signs())
def test_the_pages_of_other_small_builds_are_as_they_were_looked_at(name: str) -> None:
    path, other = small.signed()[name]
    assert small.signs(name, path, other) == small.kept_signs()[name]


@pytest.mark.thorough
def test_every_other_small_build_has_its_signs() -> None:
    assert [*small.kept_signs()] == [*small.signed()]


@pytest.mark.thorough
@pytest.mark.parametrize("name", commands.names_kept())
def test_what_the_other_commands_say_is_as_it_was_read(name: str) -> None:
    assert commands.texts()[name]() == commands.kept(name)


@pytest.mark.thorough
def test_everything_that_the_other_commands_say_is_kept() -> None:
    assert commands.names_kept() == sorted(commands.texts())
