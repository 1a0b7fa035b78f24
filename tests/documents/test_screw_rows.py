"""What one screw needs stands in one row; the figures by hand from the build, the hole for the shank after the build's
own bits."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.text import Checklist, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.display import Units
from shopdocs.documents.screw_rows import screw_size_words, screw_table
from shopdocs.documents.shopping import shopping_list
from shopdocs.source.arithmetic import evaluate
from tests.sample_jobs import SAMPLES, job_of, sample_job
from tests.small_builds import rail_and_top
from tests.values import replace

BUILD = (
    rail_and_top(80)
    + """\
hardware:
  rail screw:
    holes: [{bit: 4.5, screw: 4 x 60 mm, as: clearance, depth: through}, {bit: 10, as: recess, depth: 40}]
    on: [{piece: R, face: far edge, along: [60, 340], across: 12.5, meets: T}]
  lone peg: {holes: [{bit: 6, depth: 10}], on: [{piece: T, face: face, along: 30, across: 30}]}
"""
)


def rows_of(folder: Path, text: str) -> list[dict[str, str]]:
    (folder / "build.yaml").write_text(text, "utf-8")
    table = screw_table(job_of(folder / "build.yaml"))
    if table is None:
        return []
    names = [column.title for column in table.columns]
    return [dict(zip(names, (plain(cell.text) for cell in row.cells), strict=True)) for row in table.groups[0].rows]


def test_clearance_pilot_counterbore_and_plug_stand_in_one_row(tmp_path: Path) -> None:
    """A screw up through a rail, its head 40 deep in it: 4.5 and 10 as the build says; the pilot in the top is nobody's
    and so worked out, and a plug of 10 fills the counterbore. The peg is no screw."""
    (row,) = rows_of(tmp_path, BUILD)
    assert row["For"] == "rail screw"
    assert row["Clearance"] == "Ø 4.5 mm, through in R"
    assert row["Pilot"].endswith("deep in T")
    assert row["Counterbore"] == "Ø 10 mm, 40 mm deep in R"
    assert row["Plug"] == "Ø 10 mm, where it shows"
    assert "Countersink" not in row  # nothing would stand in that column


def test_no_plug_stops_a_screw_that_has_to_move(tmp_path: Path) -> None:
    (row,) = rows_of(tmp_path, BUILD.replace("as: clearance,", "as: clearance, slot: 10,"))
    assert "slotted 10 mm" in row["Clearance"]
    assert row["Plug"] == "none: it slides"


def test_a_seat_for_a_glide_is_not_plugged(tmp_path: Path) -> None:
    (row,) = rows_of(tmp_path, BUILD.replace("depth: 40", "depth: 2"))
    assert row["Counterbore"] == "Ø 10 mm, 2 mm deep in R"
    assert "Plug" not in row


def test_the_screw_of_a_joint_is_called_as_it_is_bought() -> None:
    """The hanging rail of the cabinet: clearance holes of 4.5 let a screw of 4 through, and it is 40 long."""
    job = sample_job(next(path for path in SAMPLES if path.name == "spice_cabinet"), "mm")
    table = screw_table(job)
    assert table is not None
    screws = {plain(row.cells[1].text): plain(row.cells[0].text) for row in table.groups[0].rows}
    assert screws["hanging rail"].replace("\u00a0", " ") == "4 × 40 mm"
    steps = [step for block in walk(shopping_list(job).blocks) if isinstance(block, Checklist) for step in block.steps]
    assert any("screw 4 × 40 mm" in plain(step.text).replace("\u00a0", " ") for step in steps)


@pytest.mark.parametrize(
    ("units", "thickness", "length", "words"),
    [
        # DIN 7998: a screw of 4 is the largest that a hole of 4.5 lets through in a close fit, one of 4.5 needs more
        ("mm", "4.5", "40", "4 × 40 mm"),
        ("mm", "4.5", None, "Ø 4 mm"),
        # the shank of a #8 is 0.164 in (ASME B18.6.1, from memory), of a #10 0.190: only the #8 goes through 11/64 in
        ("in", "11/64", "1-1/4", "#8 × 1¹⁄₄ in"),
        ("in", "11/64", None, "#8"),
        ("in", "4.5 mm", "40 mm", "4 × 40 mm"),  # what is printed in inches is bought by the name it has on its box
        # a hole of metric size in a build of inches: the size is told as it is, and the length beside it
        ("in", "4.5 mm", "1-1/2", "Ø 4 mm, 1¹⁄₂ in long"),
        ("mm", None, "40", "40 mm long"),
        ("mm", None, None, ""),
        ("mm", "0.5", None, ""),  # no screw is as thin
    ],
)
def test_a_screw_is_named_by_what_is_known_of_it(
    units: Units, thickness: str | None, length: str | None, words: str
) -> None:
    job = sample_job(next(path for path in SAMPLES if path.name == "spice_cabinet"), units)
    joint = next(joint for joint in job.build.joints if joint.name == "hanging rail")
    hole, long = (None if text is None else evaluate(text, units) for text in (thickness, length))
    assert screw_size_words(job, replace(joint, thickness=hole, length=long)).replace("\u00a0", " ") == words
