"""Every drawing stands at the scale it was drawn for: a run on a sample warns of none that had no room."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.core.display import Units
from tests.sample_jobs import BOTH, SAMPLES, own_units, sample_pages

CASES = [
    pytest.param(folder, units, id=f"{folder.name}-{units}", marks=[pytest.mark.thorough] if other else [])
    for folder in SAMPLES
    for units in BOTH
    for other in [units != own_units(folder)]
]


@pytest.mark.parametrize(("folder", "units"), CASES)
def test_no_drawing_is_set_smaller_than_it_was_drawn(folder: Path, units: Units) -> None:
    notes = [note for note in sample_pages(folder, units).notes if note.startswith("drawing ")]
    assert not notes, notes
