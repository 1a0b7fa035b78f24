"""Every tool that a sheet of a sample calls for stands on its list of tools, and every bit and screw as well.

The sheets are read as they are printed; which word means which tool is plain English.
"""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path

import pytest

from shopdocs.blocks.text import Checklist, Figure, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.display import Units
from shopdocs.documents.tools import tool_steps
from shopdocs.model.cutting import CutKind
from tests.documents.test_words_of_the_trade import strings
from tests.sample_jobs import SAMPLES, job_of, own_units, sample_documents, sample_job

# What a sheet says, and the word that must then stand on the list.
CALLED_FOR = {
    r"\bnail (the|it|them|at)\b|\bdrive a nail|\bpanel pins\b|\bpin it\b": "hammer",
    r"\bscrews?\b(?! hole)": "screwdriver",
    r"\bcountersink\b(?! of)": "countersink",
    r"\bspring a batten\b": "batten",
    r"\bround file\b": "round file",
    r"\bv-block\b": "v-block",
    r"\bsanding block\b": "block",
    r"\bsquare corner to corner\b": "square",
    r"\bstraightedge\b": "straightedge",
    r"\bsliding bevel\b|\bset the bevel\b": "bevel",
    r"\bprick\b": "awl",
    r"\bcut along the dashed line\b": "scissors",
    r"\bmallet\b": "mallet",
    r"\bscraper\b": "scraper",
    r"\bwith the 1 mm bit\b": "1 mm bit",
    r"\bnail bored for\b": "bit a little thinner than the nails",
    r"\bcrosscut \S*\d": "crosscut",
    r"\brip \S*\d": "rip",
    r"\bsaw (a kerf|down|off|beside|the tenons)\b": "tenon",
    r"\bdovetail tails\b": "dovetail saw",
    r"\brounding the arrises|\bround the upper arrises|\btwo lines are a chamfer\b": "block plane",
    r"\bplaned to\b|\bplane \w+ flat\b": "bench",
    r"\bknifed?\b": "knife",
    r"\bgauge a line\b|\bso gauge from\b": "gauge",
    r"\bsquare (a line|lines)\b|\bdiagonals\b": "square",
    r"\bpencil\b": "pencil",
    r"\bpared?\b": "chisels",
    r"\bscrape and plane\b": "scraper",
    r"\btape it at tape\b": "masking tape",
    r"\bcut along the middle of the thin line\b": "scissors",
    r"\bglue it to thin plywood\b|\bpaste it on thin plywood\b": "thin plywood",
    r"\bglue tile\b|\bpaste it on\b": "paste",
    r"\bsaw along the profile\b": "coping saw",
    r"\bwear a mask\b": "dust mask",
    r"\bguard your eyes\b": "eye protection",
    r"\bface shield\b": "face shield",
    r"\bwipe off all\b": "rags",
    r"\bmetal can\b": "metal can",
    r"\bmm deep in \w+\b|\bdrill by the numbers\b": "drill or brace",
    r"\brabbet \d+ wide\b": "rabbet plane",
}


def listed(folder: Path) -> tuple[str, set[str]]:
    """The words of the list of tools and of what is bought in the maker's words, and the sizes of the bits on it."""
    shopping = next(one for one in sample_documents(folder, own_units(folder)) if one.name == "shopping")
    words, bits = [], set()
    for block in walk(shopping.blocks):
        if isinstance(block, Checklist) and block.title.startswith(("Tools", "Also")):
            for step in block.steps:
                words.append(f"{plain(step.text)} {plain(step.detail)}".casefold())
                bits |= {run.shown for run in step.text if isinstance(run, Figure) and run.name == "bit"}
    return " ".join(words), bits


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_a_tool_that_a_sheet_calls_for_stands_on_the_list(folder: Path) -> None:
    tools, _ = listed(folder)
    sheets = [
        one for one in sample_documents(folder, own_units(folder)) if one.name not in ("shopping", "printer-check")
    ]
    sheets = [one for one in sheets if not one.name.startswith("how-")]  # a sheet of rules and sources
    said = " ".join(strings(sheets)).casefold()
    missing = {tool for pattern, tool in CALLED_FOR.items() if re.search(pattern, said) and tool not in tools}
    assert not missing


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("potting_table", "grooves 6 mm"),  # the drawer bottoms
        ("sorting_table", "stopped grooves 8 mm"),  # the buttons, 10 to 18 below the top
        ("threshold_bench", "stopped grooves 5/16 in"),  # the same, 1/2 to 13/16
        ("spice_cabinet", "grooves 6 mm"),  # the panel of the door
        ("loft_stool", ""),
    ],
)
def test_what_grooves_are_cut_with_stands_on_the_list(name: str, told: str) -> None:
    """By the width of its iron or bit, read off the build by hand; a plough plane does not stop within a rail."""
    (folder,) = [folder for folder in SAMPLES if folder.name == name]
    steps = [plain((*step.text, *step.detail)) for step in tool_steps(sample_job(folder, own_units(folder)))]
    found = [step for step in steps if "Router or " in step]
    assert len(found) == bool(told)
    assert all(("plough plane" in step) != told.startswith("stopped") for step in found)
    assert all(told in unicodedata.normalize("NFKC", step).replace("\N{FRACTION SLASH}", "/") for step in found)


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_every_bit_stands_on_the_list(folder: Path) -> None:
    """Of holes, and of the rounded ends of cut-outs: a radius is bored with a bit of twice that."""
    job = sample_job(folder, own_units(folder))
    wanted = {job.display.drill(hole.bore.bit) for hole in job.holes}
    wanted |= {
        job.display.drill(cut.radius * 2) for cut in job.build.cuts if cut.kind is CutKind.CUT_OUT and cut.radius
    }
    assert wanted <= listed(folder)[1]


def test_no_two_samples_bear_one_mark() -> None:
    """Labels of two builds in one shop are told apart by it."""
    marks = [sample_job(folder, own_units(folder)).build.mark for folder in SAMPLES]
    assert len(set(marks)) == len(marks)


def test_what_is_bought_for_the_drawers_is_used_in_a_step() -> None:
    """The potting table buys pins for the drawer bottoms, strips that guide the drawers, blocks that stop them, and
    screws for both: three guides with three screws and two blocks with two are thirteen."""
    folder = next(folder for folder in SAMPLES if folder.name == "potting_table")
    glue_up = next(one for one in sample_documents(folder, own_units(folder)) if one.name == "glue-up")
    every = [step for b in walk(glue_up.blocks) if isinstance(b, Checklist) for step in b.steps]
    steps = " ".join(f"{plain(step.text)} {plain(step.detail)}" for step in every)
    assert re.search(r"(?i)\bguide strip\b.*\bthree screws each\b.*\bpin each\b.*\bstop block\b.*\btwo screws\b", steps)
    assert any("13 stainless screws" in line for line in sample_job(folder, own_units(folder)).build.buy)


def countersinks(folder: Path, *screws: str) -> list[str]:
    """What the list says of countersinks for a board with one hole for each of these screws."""
    holes = "".join(
        f"  screw {i}: {{holes: [{{screw: '{screw} x 1-1/2', as: clearance, depth: through, countersunk: yes}}],\n"
        f"    on: [{{piece: B, face: face, along: {3 * i + 2}, across: 2}}]}}\n"
        for i, screw in enumerate(screws)
    )
    file = folder / "build.yaml"
    file.write_text(
        "build: {title: Peg rail, mark: PR, units: in}\n"
        "materials: {ash: {kind: hardwood, rough: 4/4}}\n"
        "parts: {board: {material: ash, size: 3/4 x 4 x 24, pieces: [B]}}\n"
        f"hardware:\n{holes}",
        "utf-8",
    )
    steps = (plain(step.text) for step in tool_steps(job_of(file)))
    return [told for told in steps if told.startswith("Countersink")]


def test_one_countersink_serves_the_largest_head(tmp_path: Path) -> None:
    """A bit that takes a #10 head takes a #6 head as well, in whatever order they are written; not the other way."""
    (large,), (small,) = countersinks(tmp_path, "#10"), countersinks(tmp_path, "#6")
    assert large != small
    assert countersinks(tmp_path, "#6", "#10") == [large]
    assert countersinks(tmp_path, "#10", "#6") == [large]


@pytest.mark.parametrize(
    ("name", "units", "told"),
    [
        ("potting_table", "in", "Chisel or bit for mortises 9 mm, 10 mm wide"),
        ("spice_cabinet", "in", "Chisel or bit for mortises 7 mm, housings 12 mm"),  # as its shelves are thick
        ("threshold_bench", "mm", "Chisel or bit for mortises ³⁄₈ in, housings ³⁄₄ in"),  # and its stretcher
        ("threshold_bench", "mm", "Router or chisel for stopped grooves ⁵⁄₁₆ in wide"),
        ("plate_rack", "mm", "Router or plough plane for grooves ¹⁄₄ in wide"),
        # by hand, in inches: 2.8 mm .110, 7/64 .109; 3.5 .138, 9/64 .141; 4.5 .177, 11/64 .172, and a 4 mm screw .157
        # passes; 5.5 .217, 7/32 .219, and an M5 bolt .197 passes
        ("potting_table", "in", "Drill bits Ø 2.8 mm (7/64 in), 3.5 mm (9/64 in), 4.5 mm (11/64 in), 5.5 mm (7/32 in)"),
    ],
)
def test_a_tool_keeps_its_own_size_in_the_other_units(name: str, units: Units, told: str) -> None:
    (folder,) = [folder for folder in SAMPLES if folder.name == name]
    steps = [plain((*step.text, "\n", *step.detail)) for step in tool_steps(sample_job(folder, units))]
    said = unicodedata.normalize("NFKC", "\n".join(steps)).replace("\N{FRACTION SLASH}", "/").split("\n")
    assert unicodedata.normalize("NFKC", told).replace("\N{FRACTION SLASH}", "/") in said


def test_no_compasses_for_what_a_bit_leaves() -> None:
    """The hand hole of the tote has round ends of 1-1/4 in, bored; compasses draw its other curves alone."""
    (folder,) = [folder for folder in SAMPLES if folder.name == "seed_tote"]
    steps = [plain(step.text) for step in tool_steps(sample_job(folder, "mm"))]
    (compasses,) = [step for step in steps if step.startswith("Compasses")]
    assert any("Ø 1¹⁄₄ in" in step for step in steps)
    assert "≈16" not in compasses


def test_shoulders_are_told_of_only_where_a_joint_is_drawn() -> None:
    """The tote has no joints: nothing in it is knifed, so that its list needs no knife."""
    said = {
        name: " ".join(strings(sample_documents(folder, own_units(folder)))).casefold()
        for folder in SAMPLES
        for name in [folder.name]
        if name in ("seed_tote", "plate_rack")
    }
    assert "knife" not in said["seed_tote"]
    assert "a shoulder, to be knifed" in said["plate_rack"]
