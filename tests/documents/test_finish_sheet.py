"""The finish sheet tells what the build says of sanding, in the order of the work."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.text import Checklist, plain
from shopdocs.blocks.walk import figures, walk
from shopdocs.documents.catalogue import make_documents
from shopdocs.documents.finish import finish_sheet
from shopdocs.documents.how.amounts import coverage
from tests.sample_jobs import BY_NAME, SAMPLES, job_of

BUILD = """
build: {{title: Shelf, mark: S, units: mm}}
materials: {{oak: {{kind: hardwood, rough: 27}}}}
parts: {{board: {{material: oak, size: 20 x 100 x 500, count: 2}}}}
finish: {{{finish}}}
"""


def sanding(folder: Path, finish: str) -> list[str]:
    (folder / "build.yaml").write_text(BUILD.format(finish=finish), "utf-8")
    sheet = finish_sheet(job_of(folder / "build.yaml"))
    steps = [step for block in walk(sheet.blocks) if isinstance(block, Checklist) for step in block.steps]
    return [plain(step.text) for step in steps if plain(step.text).startswith("Sand with the grain")]


@pytest.mark.parametrize(
    ("finish", "told"),
    [
        ("kind: oil varnish, coats: 1, grits: [120, 150, 180]", ["Sand with the grain: 120, 150, 180 grit"]),
        ("kind: oil varnish, coats: 1, grits: [100]", ["Sand with the grain: 100 grit"]),
        ("kind: my own brew, coats: 1", []),  # nobody knows its grits, and the build names none
    ],
)
def test_the_grits_of_the_build_are_told_and_none_are_made_up(tmp_path: Path, finish: str, told: list[str]) -> None:
    assert sanding(tmp_path, finish) == told


def test_a_known_finish_has_its_grits_from_coarse_to_fine(tmp_path: Path) -> None:
    """Each scratch is taken out by the next finer grit (common practice, no source)."""
    (words,) = sanding(tmp_path, "kind: oil varnish, coats: 1")
    grits = [int(word) for word in words.removeprefix("Sand with the grain: ").removesuffix(" grit").split(", ")]
    assert len(grits) > 1
    assert grits == sorted(set(grits))


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_a_build_has_the_sheet_where_it_names_a_finish(folder: Path) -> None:
    written = "\nfinish:" in (folder / "build.yaml").read_text("utf-8")
    made = make_documents(job_of(folder / "build.yaml"), ("finish",))
    assert [document.name for document in made] == (["finish"] if written else [])


@pytest.mark.parametrize("sheet_goods", [True, False])
def test_coarse_grits_stay_off_a_face_veneer(tmp_path: Path, sheet_goods: bool) -> None:
    """A face veneer of a few tenths of a millimetre is gone before 80 grit has taken out a mill mark: sheet goods begin
    at 150 (common practice, no source)."""
    text = BUILD.format(finish="kind: shellac, coats: 1")
    if sheet_goods:
        text = text.replace("kind: hardwood, rough: 27", "kind: sheet, thickness: 20, sheet: 1000 x 1000")
    (tmp_path / "build.yaml").write_text(text, "utf-8")
    blocks = walk(finish_sheet(job_of(tmp_path / "build.yaml")).blocks)
    told = [plain(step.detail) for block in blocks if isinstance(block, Checklist) for step in block.steps]
    assert any("Sheet goods from 150 on only" in words for words in told) == sheet_goods


@pytest.mark.parametrize(
    ("kind", "told"),
    [("tung oil", "Wait 24 to 48 h first"), ("oil varnish", "Wait 24 h first"), ("shellac", "Wait 1 to 2 h first")],
)
def test_both_ends_of_a_wait_stand_in_one_unit(tmp_path: Path, kind: str, told: str) -> None:
    """By hand: two days are 48 h, and 60 min one."""
    (tmp_path / "build.yaml").write_text(BUILD.format(finish=f"kind: {kind}, coats: 2"), "utf-8")
    blocks = walk(finish_sheet(job_of(tmp_path / "build.yaml")).blocks)
    details = [plain(step.detail) for block in blocks if isinstance(block, Checklist) for step in block.steps]
    assert any(words.replace("\u00a0", " ").startswith(told) for words in details), details


def test_the_amount_comes_out_of_the_area_and_the_spread_that_are_printed() -> None:
    """By hand: 15 m² a litre are 15 / 0.0929 x 3.785 = 611 ft² a gallon. Two coats on 20.9 ft² are 41.8 ft²: at 610 ft²
    a gallon of 128 fl oz 8.8, printed 9; at the 800 of floor pads it would be 6.7."""
    job = job_of(BY_NAME["threshold_bench"] / "build.yaml")
    (told,) = re.findall(
        r"A coat is planned at (\d+) ft² per gallon", " ".join(plain(words) for words in [coverage(job)])
    )
    found = {figure.name: figure.shown for block in finish_sheet(job).blocks for figure in figures((block,))}
    assert (told, found["finish · area"], found["finish · coats"]) == ("610", "20.9 ft²", "2")
    assert found["finish"] == f"{round(Fraction('20.9') * 2 / int(told) * 128)} fl oz"


def test_a_spread_of_the_build_is_named(tmp_path: Path) -> None:
    (tmp_path / "build.yaml").write_text(BUILD.format(finish="kind: oil varnish, coverage: 12.5"), "utf-8")
    assert "A coat is planned at 12.5 m² per litre, as the build says." in plain(
        coverage(job_of(tmp_path / "build.yaml"))
    )


@pytest.mark.parametrize(
    ("kind", "coats", "told"),
    [
        ("tung oil", 13, "13 coats, each thin and even, each wiped off"),
        ("shellac", 20, "20 coats, each thin and even"),
    ],
)
def test_many_coats_are_one_line(tmp_path: Path, kind: str, coats: int, told: str) -> None:
    """Up to twelve have a line each to tick; tung oil is wiped off, shellac is not (common practice, no source)."""
    (tmp_path / "build.yaml").write_text(BUILD.format(finish=f"kind: {kind}, coats: {coats}"), "utf-8")
    sheet = finish_sheet(job_of(tmp_path / "build.yaml"))
    steps = [step for block in walk(sheet.blocks) if isinstance(block, Checklist) for step in block.steps]
    words = [plain(step.text) for step in steps]
    assert told in words
    assert not [each for each in words if each.startswith("Coat ")]


def test_an_unknown_finish_waits_as_long_as_its_can_says(tmp_path: Path) -> None:
    (tmp_path / "build.yaml").write_text(BUILD.format(finish="kind: my own brew, coats: 2"), "utf-8")
    sheet = finish_sheet(job_of(tmp_path / "build.yaml"))
    steps = [step for block in walk(sheet.blocks) if isinstance(block, Checklist) for step in block.steps]
    coats = {plain(step.text): plain(step.detail) for step in steps if plain(step.text).startswith("Coat ")}
    assert coats == {
        "Coat 1: thin and even": "",
        "Coat 2: thin and even": "Wait first, as long as the can says",
    }
