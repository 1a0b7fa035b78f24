"""What stands last in the glue-up: something to do, not a remark that is left alone on the next page; and what hangs on
a wall is fixed there."""

from __future__ import annotations

import re

import pytest

from shopdocs.blocks.sheets import Together
from shopdocs.blocks.text import Checklist, Paragraph, plain
from shopdocs.blocks.walk import walk
from tests.sample_jobs import BY_NAME, SAMPLES, document_of, own_units, sample_job

NAMES = [folder.name for folder in SAMPLES if folder.name != "seed_tote"]  # it is nailed together


@pytest.mark.parametrize("name", NAMES)
def test_the_glue_up_ends_with_a_step(name: str) -> None:
    sheet = document_of(sample_job(BY_NAME[name], own_units(BY_NAME[name])), "glue-up")
    last = sheet.blocks[-1]
    if isinstance(last, Paragraph):  # how far its estimates go, which is more than a line
        assert len(plain(last.text)) > 90
    else:
        assert isinstance(last, (Checklist, Together))
    told = [plain(block.text) for block in sheet.blocks if isinstance(block, Paragraph)]
    assert sum("own label and data sheet come first" in words for words in told) == 1


@pytest.mark.parametrize("name", NAMES)
def test_what_hangs_on_a_wall_is_fixed_there_last(name: str) -> None:
    folder = BY_NAME[name]
    hangs = "free standing: no" in (folder / "build.yaml").read_text("utf-8")
    sheet = document_of(sample_job(folder, own_units(folder)), "glue-up")
    lists = [block for block in walk(sheet.blocks) if isinstance(block, Checklist)]
    fixed = [block for block in lists if any(plain(step.text).startswith("Fix it to the wall") for step in block.steps)]
    assert len(fixed) == hangs
    for block in fixed:
        assert plain(block.steps[-1].text).startswith("Fix it to the wall")
        assert re.match("Last of all|Without glue", block.title)


def test_what_goes_into_the_wall_is_fitted_at_the_wall() -> None:
    """The cabinet hangs by two screws through its rail, by its build; the holes in its back are for the same screws.
    The rack's plates are screwed on before it hangs."""
    for name, at_the_wall in (("spice_cabinet", "2 × hanging screw on HR"), ("plate_rack", "")):
        sheet = document_of(sample_job(BY_NAME[name], own_units(BY_NAME[name])), "glue-up")
        steps = [step for block in walk(sheet.blocks) if isinstance(block, Checklist) for step in block.steps]
        (wall,) = [step for step in steps if plain(step.text).startswith("Fix it to the wall")]
        assert plain(wall.text).endswith(at_the_wall or "sound masonry")
        assert ("a stud" in plain(wall.detail)) == bool(at_the_wall)
        others = [f"{plain(step.text)} {plain(step.detail)}" for step in steps if step is not wall]
        assert not any("hanging screw" in words for words in others)
        assert any("keyhole plate on BU" in words for words in others) == (name == "plate_rack")
