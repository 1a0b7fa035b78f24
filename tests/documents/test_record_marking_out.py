"""A record says as much as the drawing: the face a cut is in, its angle, what it is measured from, and what is dry."""

from __future__ import annotations

from functools import cache

import pytest

from shopdocs.blocks.sheets import Document, Stop
from shopdocs.blocks.text import Facts, Paragraph, Table, plain
from shopdocs.documents.record_site import records_of as site_of
from tests.sample_jobs import BY_NAME, own_units, records_of, sample_job


@cache
def record(name: str, mark: str) -> Document:
    """The record of a piece of a sample, in the sample's own units."""
    job = sample_job(BY_NAME[name], own_units(BY_NAME[name]))
    pages = zip(records_of(job), job.build.pieces(), strict=True)
    return next(page for page, (_, piece) in pages if piece.mark == mark)


def rows(name: str, mark: str, table: str) -> list[list[str]]:
    """The words of a table of a record; no-break spaces as plain ones."""
    (found,) = [b for b in record(name, mark).blocks if isinstance(b, Table) and b.name.startswith(table)]
    assert found.columns
    return [
        [plain(cell.text).replace("\xa0", " ") for cell in row.cells] for group in found.groups for row in group.rows
    ]


def facts(name: str, mark: str) -> dict[str, str]:
    return {label: plain(told) for b in record(name, mark).blocks if isinstance(b, Facts) for label, told in b.pairs}


def test_a_mortise_names_its_face_and_what_it_is_measured_from() -> None:
    """Bench: the leg is 17-1/8 long, its top shoulder 3/8, so the tenon of 2-3/4 ends at 16-3/4 and begins at 14; it is
    3/8 thick, its cheek 1/2 from the leg's face side, and 1-1/4 long: the mortise is 1/16 deeper."""
    (first,) = [row for row in rows("threshold_bench", "FL", "cuts-") if row[0] == "1"]
    assert first == ["1", "mortise", "the far edge", "14–16³⁄₄", "¹⁄₂–⁷⁄₈ from the face side", "³⁄₈ × 2³⁄₄, 1⁵⁄₁₆ deep"]


def test_a_hole_at_an_angle_has_its_centre_and_its_angle() -> None:
    """Who bores the stool's leg by his phone must not bore square: 6 degrees, as its splay and rake tell."""
    (bored,) = [row for row in rows("loft_stool", "FL", "cuts-") if row[1] == "round mortise"]
    assert bored[2] == "the back face"
    assert "–" not in bored[3] and "–" not in bored[4]  # a centre, and no range
    assert "bored 6° off square, going in toward end A and the far edge, sight line 9.95° off the length" in bored[5]


def test_mortises_alike_stand_in_one_row() -> None:
    """Six slats of the rack at even distances: one row of six places."""
    (slats,) = [row for row in rows("plate_rack", "FU", "cuts-") if row[1] == "mortise"]
    assert slats[0] == "17, 19, 21, 23, 25, 27"
    assert slats[3].count("–") == 6


def test_holes_say_from_where_and_what_for() -> None:
    """From the sample: buttons at 90 and length - 90 in the middle, at 180, 550 and 920 by both edges; 90 off them."""
    assert [row[:3] for row in rows("sorting_table", "T", "holes-")] == [
        ["top button, from the back face", "90, 1010 from end A", "280 from the face edge"],
        ["top button, from the back face", "180, 550, 920 from end A", "90 from the face edge"],
        ["top button, from the back face", "180, 550, 920 from end A", "470 from the face edge"],
    ]


@pytest.mark.parametrize(("mark", "label", "step"), [("BK", "Goes in", "fitted"), ("FU", "Glued in", "glued")])
def test_what_goes_in_dry_is_not_glued(mark: str, label: str, step: str) -> None:
    told = facts("plate_rack", mark)
    assert {"Goes in", "Glued in"} & told.keys() == {label}
    assert told[label].endswith(", dry") == (label == "Goes in")
    job = sample_job(BY_NAME["plate_rack"], "in")
    steps = site_of(job, records_of(job)).steps[record("plate_rack", mark).name]
    assert {"glued", "fitted"} & {*steps} == {step}


def test_slats_without_a_joint_are_drilled_and_not_jointed() -> None:
    job = sample_job(BY_NAME["potting_table"], "mm")
    steps = site_of(job, records_of(job)).steps[record("potting_table", "TS1").name]
    assert "drilled" in steps
    assert "jointed" not in steps


def test_a_stop_of_its_stage_stands_on_the_record() -> None:
    """The rack's upper front rail is finished behind before its stage closes it off."""
    job = sample_job(BY_NAME["plate_rack"], "in")
    page = next(page for page in site_of(job, records_of(job)).pages if page.name == record("plate_rack", "FU").name)
    assert any("FU" in block.title for block in page.blocks if isinstance(block, Stop))


def test_how_the_back_face_lies_is_said_under_the_drawing() -> None:
    """A sentence that begins with "Then" needs one before it."""
    blocks = record("plate_rack", "FU").blocks
    (told,) = [b for b in blocks if isinstance(b, Paragraph) and "rolled over" in plain(b.text)]
    assert not plain(told.text).startswith("Then")
    assert type(blocks[blocks.index(told) - 1]).__name__ in ("Drawing", "Bullets")
