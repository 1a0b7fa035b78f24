"""The text dumps of the frames stand as they were looked at. After a change that is meant, look at the pages again and
renew them: python tests/golden/renew.py"""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

from tests.golden.small import SMALL, kept_sheets, sheets
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


@pytest.mark.parametrize("path", SMALL, ids=lambda path: path.stem)
def test_the_sheets_of_a_small_build_are_as_they_were_looked_at(path: Path) -> None:
    assert sheets(path) == kept_sheets(path)
