"""One build gives the same bytes whoever runs it, wherever and whenever: two sets can be held against each other."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[2] / "sample_builds"
# Python's order of sets, clock, language, and the marks of a language for decimals; unknown ones count as C.
PLACES = (
    {"PYTHONHASHSEED": "0", "TZ": "UTC", "LC_ALL": "C"},
    {"PYTHONHASHSEED": "1", "TZ": "Pacific/Kiritimati", "LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8"},
    {"PYTHONHASHSEED": "4242", "TZ": "Pacific/Pago_Pago", "LC_ALL": "tr_TR.UTF-8", "PYTHONUTF8": "0"},
)


def sums(folder: Path) -> dict[str, str]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def rendered(sample: str, here: Path, place: dict[str, str], name: str) -> dict[str, str]:
    """The files of a set that is made in a folder of its own; sum by name."""
    plan = here / name
    shutil.copytree(SAMPLES / sample, plan, ignore=shutil.ignore_patterns("set"))
    command = [sys.executable, "-m", "shopdocs", "render", "build.yaml", "--out", "../out" if len(name) > 5 else "set"]
    environment = {**os.environ, "PYTHONPATH": str(SAMPLES.parent), **place}
    subprocess.run(command, cwd=plan, env=environment, check=True, capture_output=True)
    return sums(here / "out" if len(name) > 5 else plan / "set")


@pytest.mark.thorough
@pytest.mark.parametrize(("sample", "places"), [("seed_tote", 3), ("threshold_bench", 2)])
def test_a_set_is_the_same_everywhere(tmp_path: Path, sample: str, places: int) -> None:
    """The bench has all sheets, and two places differ in everything; the tote costs little, and goes to all three."""
    sets, began = [], 0.0
    for number, (place, name) in enumerate(list(zip(PLACES, ("plan", "a longer name, ü", "p"), strict=True))[:places]):
        here = tmp_path / str(number)
        here.mkdir()
        time.sleep(max(0.0, began + 1.1 - time.monotonic()))  # what held the second of the clock would differ
        began = time.monotonic()
        sets.append(rendered(sample, here, place, name))
    assert len(sets) == places
    assert len(sets[0]) > 10
    assert all(other == sets[0] for other in sets[1:])
