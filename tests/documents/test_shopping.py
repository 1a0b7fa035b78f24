"""The shopping list holds what the other sheets call for: all the wood, and every tool."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.sheets import InColumns, SideBySide
from shopdocs.blocks.text import Checklist, figures_of, plain
from shopdocs.blocks.walk import figures, texts, walk
from shopdocs.documents.finish import finish_sheet
from shopdocs.documents.fitting.buttons import button_bit
from shopdocs.documents.glue_up import glue_up
from shopdocs.documents.job import Job
from shopdocs.documents.shopping import shopping_list
from shopdocs.documents.tools import tool_steps
from shopdocs.model.cutting import CutKind
from shopdocs.model.joint_names import JointKind
from tests.documents.test_lumber_sheet import job_of
from tests.documents.test_words_of_the_trade import strings
from tests.sample_jobs import BY_NAME, PLACED, SAMPLES, own_units, sample_documents, sample_job
from tests.sample_jobs import job_of as file_job
from tests.small_builds import frame
from tests.work.boards_case import write_case


def words(job: Job) -> str:
    return " \n".join(plain(runs) for block in walk(shopping_list(job).blocks) for runs in texts(block))


def steps(job: Job, title: str) -> list[str]:
    found = [b for b in walk(shopping_list(job).blocks) if isinstance(b, Checklist) and b.title == title]
    return [f"{plain(step.text)}; {plain(step.detail)}" for block in found for step in block.steps]


def sample(name: str) -> Job:
    return sample_job(next(path for path in SAMPLES if path.name == name), "mm")


def test_what_else_is_bought_of_a_kind_of_screw_stands_with_the_hardware() -> None:
    """Twelve shelf slats with two screws each are 24; 13 more of the same are in the build's own list."""
    job = sample_job(BY_NAME["potting_table"], "mm")
    steps = [step for block in walk(shopping_list(job).blocks) if isinstance(block, Checklist) for step in block.steps]
    told = [step for step in steps if "4 × 35 mm" in plain(step.text)]
    assert [plain(step.text) for step in told] == ["37 × stainless screw 4 × 35 mm"]
    assert plain(told[0].detail).endswith("13 of them for guides and stops")


def test_wood_for_pieces_on_no_board_is_on_the_list_and_told_at_its_head(tmp_path: Path) -> None:
    """A beam of 195 in does not come out of boards of 16 ft (192 in)."""
    build = """
materials: {elm 8/4: {kind: hardwood}}
parts:
  rail: {material: elm 8/4, size: 1-1/2 x 3 x 40, count: 2}
  beam: {material: elm 8/4, size: 1-1/2 x 5 x 195, count: 1, mark: Z}
"""
    shop = "kerf: 1/8\n  milling: {thickness: 1/4, width: 1/4, length: 1}\n"
    shop += "  yard: [{material: elm 8/4, width: 9, length: 16 ft}]"
    job = job_of(write_case(tmp_path, build, shop))
    first = shopping_list(job).blocks[0]
    assert any("do not give every piece" in plain(runs) for runs in texts(first))
    (line,) = [step for step in steps(job, "Wood") if "beam" in step]
    assert "wood for 1 piece of beam (Z)" in line
    assert "2 × 5¹⁄₄ × 196 in rough" in line


def test_a_set_whose_pieces_are_all_on_boards_warns_of_nothing() -> None:
    assert not any("do not give every piece" in words(sample(path.name)) for path in SAMPLES)


TOTE = """
build: {title: Tote, mark: ST, units: in}
materials:
  pine 1x6: {kind: softwood, species: eastern white pine, nominal: 1x6}
  dowel stock: {kind: hardwood, species: beech, rough: 6/4}
parts:
  side: {material: pine 1x6, size: 3/4 x 5-1/2 x 16, count: 4}
  handle: {material: dowel stock, size: 1-1/4 x 1-1/4 x 16, count: 1, mark: H}
"""


def test_a_small_piece_does_not_buy_a_board_without_a_word(tmp_path: Path) -> None:
    """By hand: the handle is 1-1/4 x 1-1/4 x 16 in of 6/4; with the usual allowances of 1/4 and 1 in it is sawn
    1-1/2 x 1-1/2 x 17: 38.25 cubic inches or 0.27 bf, of a board of 6 in x 8 ft that holds 6 bf."""
    (tmp_path / "build.yaml").write_text(TOTE, "utf-8")
    job = file_job(tmp_path / "build.yaml")
    (line,) = [step for step in steps(job, "Wood") if step.startswith("beech")]
    assert "Only 0.27 bf is used" in line
    assert "1¹⁄₂ × 1¹⁄₂ × 17 in" in line
    assert "ask for an offcut" in line
    used = next(f.value for f in figures(shopping_list(job).blocks) if f.name == "dowel stock · used")
    assert used == Fraction(3, 2) * Fraction(3, 2) * 17 / 144
    assert not any("Only" in step for step in steps(job, "Wood") if "pine" in step)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
def test_every_bit_clamp_and_grit_that_a_sheet_names_is_on_the_list(path: Path) -> None:
    job = sample_job(path, "mm")
    tools = [step for b in walk(shopping_list(job).blocks) if isinstance(b, Checklist) for step in b.steps]
    listed = {f.value for step in tools for f in figures_of(step.text) if f.name == "bit"}
    # a round tenon goes into a hole of its own thickness
    round_ = (
        joint for joint in job.build.joints if joint.kind is JointKind.ROUND_TENON and joint.thickness is not None
    )
    # and the corners of a cut-out are bored with a bit of twice their radius
    corners = {2 * cut.radius.mm for cut in job.build.cuts if cut.kind is CutKind.CUT_OUT and cut.radius is not None}
    slid = {bit.mm for item in job.build.hardware if (bit := button_bit(job, item)) is not None}
    bored = {hole.bore.bit.mm for hole in job.holes} | {joint.thickness.mm for joint in round_}
    assert bored | corners | slid == listed
    told = words(job)
    for hole in job.holes:
        assert hole.bore.angle is None or f"Countersink {hole.bore.angle.degrees}°" in told
    if job.stages:
        sheet = [plain(runs) for block in walk(glue_up(job).blocks) for runs in texts(block)]
        for work in job.stages:
            for kind, count, _ in work.clamps:
                (have,) = [int(n) for n in re.findall(rf"(\d+) × {re.escape(kind)}\b", told)]
                assert have >= count
            assert all(tool in told for tool in work.stage.tools)
        assert not any("batch" in line for line in sheet) or "Mixing kit" in told
    if job.finish is not None:
        sheet = [plain(runs) for block in walk(finish_sheet(job).blocks) for runs in texts(block)]
        named = {int(n) for line in sheet if "grit" in line for n in re.findall(r"\b\d{2,3}\b", line)}
        (abrasives,) = re.findall(r"Abrasives, grit ([\d, ]+)", told)
        assert named <= {int(n) for n in abrasives.split(",")}


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
def test_every_grit_on_any_sheet_is_on_the_list(path: Path) -> None:
    """ "sand to 150 grit", "80, 100 grit", "grit 80": of all sheets, not the finish sheet alone."""
    named: dict[int, str] = {}
    for sheet in sample_documents(path, own_units(path)):
        for line in strings(sheet):
            for told in re.findall(r"((?:\d{2,4}(?:, | and )?)+)\s*-?grit|grits? ((?:\d{2,4}(?:, | and )?)+)", line):
                named |= {int(grit): f"{sheet.name}: {line}" for grit in re.findall(r"\d+", "".join(told))}
    told_of = re.findall(r"Abrasives, grit ([\d, ]+)", words(sample_job(path, own_units(path))))
    listed = {int(grit) for grits in told_of for grit in grits.split(",")}
    assert named.keys() <= listed, {grit: where for grit, where in named.items() if grit not in listed}
    assert bool(named) == bool(told_of)


NEXT = {80: 100, 100: 120, 120: 150, 150: 180, 180: 220, 220: 240, 240: 280, 280: 320, 320: 400}  # FEPA P, as sold


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
def test_end_grain_has_its_finer_grit_where_a_sheet_asks_for_it(path: Path) -> None:
    """The finish sheet names no number for it: one finer than the last grit of the faces, as that sheet tells them. It
    is on the list, and nothing finer is but what it rubs down with between coats."""
    asked = 0
    for sheet in sample_documents(path, own_units(path)):
        lines = list(dict.fromkeys(strings(sheet)))
        for line in lines:
            if "end grain" not in line.lower() or "finer" not in line:
                continue
            assert "end grain one grit finer than the faces" in line.lower(), line
            (faces,) = [re.findall(r"\d+", told) for told in lines if told.startswith("Sand with the grain: ")]
            (told,) = re.findall(r"Abrasives, grit ([\d, ]+)", words(sample_job(path, own_units(path))))
            listed, finer = {int(grit) for grit in told.split(",")}, NEXT[int(faces[-1])]
            between = {int(n) for told in lines for n in re.findall(r"Rub down lightly with (\d+) grit", told)}
            assert finer in listed
            assert listed == {*map(int, faces), finer, *between}
            asked += 1
    assert asked == ("\nfinish:" in (path / "build.yaml").read_text("utf-8"))


def test_end_grain_has_its_finer_grit() -> None:
    """FEPA grades: after P150 comes P180, after P220 P240. The finish sheet asks for end grain one grit finer."""
    assert "Abrasives, grit 80, 100, 120, 150, 180" in words(sample("threshold_bench"))
    assert "220, 240" in words(sample("potting_table"))


@pytest.mark.parametrize(
    ("joint", "screws"),
    [
        ("kind: screwed butt, count: 3, length: 50", 12),  # four corners, three each
        ("kind: mortise and tenon, thickness: 7, length: 30", 0),
        ("kind: housing, depth: 6", 0),
    ],
)
def test_only_joints_with_screws_ask_for_screws(tmp_path: Path, joint: str, screws: int) -> None:
    (tmp_path / "build.yaml").write_text(frame(*joint.split(", ")), "utf-8")
    made = shopping_list(file_job(tmp_path / "build.yaml"))
    told = "\n".join(plain(line) for block in walk(made.blocks) for line in texts(block))
    assert ("screw" in told) == bool(screws)
    assert not screws or str(screws) in told.split()


# Wood screws by what a hole lets pass: gauge 8 is 0.164 in thick (ASME B18.6.1) and goes through 11/64 in (0.172);
# gauge 7, 0.151, is not sold everywhere, and gauge 9, 0.177, does not go through. Of metric ones 4 goes through 4.5.
@pytest.mark.parametrize(
    ("units", "sizes", "told"),
    [
        ("mm", "length: 40, thickness: 4.5", "2 × screw 4 × 40 mm"),
        ("mm", "thickness: 4.5", "2 × screw Ø 4 mm"),
        ("mm", "length: 40", "2 × screw 40 mm long"),
        ("in", "length: 1-1/4, thickness: 11/64", "2 × screw #8 × 1¹⁄₄ in"),
        ("in", "thickness: 11/64", "2 × screw #8"),
        ("in", "length: 1-1/4, thickness: 4.5 mm", "2 × screw Ø 4 mm, 1¹⁄₄ in long"),
    ],
)
def test_a_screw_is_called_by_its_size_and_length(tmp_path: Path, units: str, sizes: str, told: str) -> None:
    joint = f"{{kind: screwed butt, count: 1, {sizes}, pieces: [R into S at A, Q into S at B]}}"
    size = "20 x 60 x 300" if units == "mm" else "3/4 x 2-1/2 x 12"
    text = f"""
build: {{title: Frame, mark: F, units: {units}}}
materials: {{oak: {{kind: hardwood, rough: 5/4}}}}
parts: {{rail: {{material: oak, size: {size}, pieces: [R, Q, S]}}}}
joints: {{corner: {joint}}}
"""
    (tmp_path / "build.yaml").write_text(text, "utf-8")
    found = [plain(step.text) for b in walk(shopping_list(file_job(tmp_path / "build.yaml")).blocks)
             if isinstance(b, Checklist) for step in b.steps]  # fmt: skip
    assert told in [words.replace("\u00a0", " ") for words in found]


def test_curves_call_for_compasses_and_a_saw(tmp_path: Path) -> None:
    """Each radius that is drawn once, whatever it belongs to, but for the round ends that a bit of 2 × 15 leaves; a
    build of straight pieces asks for neither, and what is never drilled for no drill. Rough oak is ripped, crosscut and
    planed, and its dust is caught by a mask."""
    text = (
        "build: {title: Trial, mark: T, units: mm}\nmaterials: {oak: {kind: hardwood, rough: 34}}\n"
        "parts: {slab: {material: oak, size: 20 x 100 x 400, pieces: [S]}}\n"
    )
    cuts = (
        "cuts:\n  corners: {kind: rounding, width: 30, on: [{piece: S, corners: all}]}\n"
        "  hand hole: {kind: cut-out, radius: 15, on: [{piece: S, face: back, along: 100 to 200, across: 30 to 60}]}\n"
    )
    (tmp_path / "build.yaml").write_text(text + cuts, "utf-8")
    told = [plain(step.text) for step in tool_steps(file_job(tmp_path / "build.yaml"))]
    assert told == [
        "Rule or tape, pencil, square, marking gauge, crosscut and rip saws, bench plane, drill or brace, paste, "
        "scissors, thin plywood or card",
        "Bit for the rounded ends of cut-outs Ø 30 mm",
        "Compasses, or something round of that size: radius 30 mm",
        "Bow or coping saw for curves, rasp, spokeshave",
        "To wear: dust mask",
    ]
    (tmp_path / "build.yaml").write_text(text, "utf-8")
    told = [plain(step.text) for step in tool_steps(file_job(tmp_path / "build.yaml"))]
    assert told == ["Rule or tape, pencil, square, crosscut and rip saws, bench plane, scissors", "To wear: dust mask"]


def test_a_chisel_or_bit_for_every_width_of_mortise() -> None:
    """The bench's tenons are all 3/8 thick, and its stretcher of 3/4 is housed."""
    bench = file_job(next(path for path in SAMPLES if path.name == "threshold_bench") / "build.yaml")
    tools = steps(bench, "Tools to have ready")
    assert any(step.startswith("Chisel or bit for mortises ³⁄₈ in, housings ³⁄₄ in") for step in tools)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
def test_a_bevel_is_on_the_list_where_a_sheet_says_what_to_set_it_to(path: Path) -> None:
    job = sample_job(path, "mm")
    sheets = {document.name for document in sample_documents(path, "mm")}
    listed = any("liding bevel" in step for step in steps(job, "Tools to have ready"))
    assert listed == ("angles" in sheets)


END_CUT = """
materials: {elm 4/4: {kind: hardwood}}
parts:
  leg: {material: elm 4/4, size: 3/4 x 3 x 16, pieces: [L]}
cuts:
  foot: {kind: end cut, angle: 1 in 8, on: [{piece: L, edge: A and back}]}
"""


def test_an_end_sawn_off_square_calls_for_a_bevel(tmp_path: Path) -> None:
    assert any(
        "Sliding bevel" in step for step in steps(job_of(write_case(tmp_path, END_CUT, "")), "Tools to have ready")
    )


def test_what_a_glue_up_is_clamped_and_tried_with_is_on_the_list() -> None:
    """By hand from the glue-up sheets: the cabinet's last stage takes 6 clamps with 12 cauls, its second 4 with 8 pads
    while the first stands in 2 with 4; the bench's top 5 clamps with 10 pads, while its frame stands in 3 with 6, and a
    straightedge, and its build names a square itself."""
    told = {
        name: [plain(step.text) for step in tool_steps(sample_job(BY_NAME[name], own_units(BY_NAME[name])))]
        for name in ("spice_cabinet", "threshold_bench")
    }
    assert {"12 cauls for the clamps", "12 pads for the clamps"} <= set(told["spice_cabinet"])
    assert any(re.search(r"\bsquare\b", line) for line in told["spice_cabinet"])
    assert "16 pads for the clamps" in told["threshold_bench"]
    assert any("straightedge" in line and "square" not in line for line in told["threshold_bench"])


def test_stages_that_stand_in_their_clamps_together_need_their_pads_at_once() -> None:
    """By hand from the timetables: the potting table's drawers (4 clamps) are glued while its stage 4 (5 clamps) is in
    the clamps for a day; the sorting table's top (8) while its frame (2) is; of the rack's stages the first two alone
    (2 each) overlap, and a later one takes 6. Two pads a clamp."""
    for name, pads in (("potting_table", 18), ("sorting_table", 20), ("plate_rack", 12)):
        told = [plain(step.text) for step in tool_steps(sample_job(BY_NAME[name], own_units(BY_NAME[name])))]
        assert f"{pads} pads for the clamps" in told, name


@pytest.mark.parametrize(("stages", "told"), [(1, "1 plastic cup or tray,"), (2, "2 plastic cups or trays,")])
def test_cups_agree_with_their_number(tmp_path: Path, stages: int, told: str) -> None:
    """By hand: a cup for each stage, the second of which is glued a day later; English has no "1 cups"."""
    both = "[{title: Frame, pieces: [R1, R2, S1, S2]}]"
    apart = "[{title: Left, pieces: [R1, S1], wait: 24 h}, {title: Right, pieces: [R2, S2], uses: [Left], wait: 24 h}]"
    gluing = f"gluing: {{adhesive: slow epoxy, stages: {both if stages == 1 else apart}}}\n"
    text = frame("kind: mortise and tenon", "thickness: 7", "length: 30")
    (tmp_path / "build.yaml").write_text(text + gluing, "utf-8")
    (kit,) = [plain(step.text) for step in tool_steps(file_job(tmp_path / "build.yaml")) if "kit" in plain(step.text)]
    assert kit.replace("\u00a0", " ").startswith(f"Mixing kit: {told}")


@pytest.mark.parametrize("folder", PLACED, ids=lambda folder: folder.name)
def test_the_glue_to_buy_is_that_of_the_stages_and_a_cup_is_a_mix(folder: Path) -> None:
    """What the stages are printed to mix adds up to what is to be bought; a stage is the sum of its batches; "of the 4
    mixes" counts those that are made, each in its cup, and not a stage that uses another's glue."""
    job = sample_job(folder, own_units(folder))
    glue = [figure for block in walk(glue_up(job).blocks) for runs in texts(block) for figure in figures_of(runs)]
    stages = {f.name: f.shown for f in glue if re.fullmatch(r"stage \d+ · glue", f.name)}
    batches = {f.name: f.shown for f in glue if re.fullmatch(r"stage \d+ · batch \d+", f.name)}
    (bought,) = [f.shown for f in figures(shopping_list(job).blocks) if f.name == "adhesive"]

    def grams(shown: str) -> int:
        return int(shown.split(" ")[0])

    assert sum(map(grams, stages.values())) == grams(bought)
    for name, shown in stages.items():
        own = [grams(each) for batch, each in batches.items() if batch.startswith(f"{name.split(' · ')[0]} · ")]
        assert not own or sum(own) == grams(shown)
    said = re.search(r"of the (\d+) mixes", words(job))
    cups = re.search(r"Mixing kit: (\d+)", words(job))
    if said:
        assert cups is not None and said.group(1) == cups.group(1)


def test_stages_that_share_a_mix_count_as_one() -> None:
    """By hand: five stages, of which the second uses what is left in the tray of the first: four cups are mixed."""
    job = sample_job(BY_NAME["plate_rack"], "in")
    made = [work.mix for work in job.stages if work.mix is not None and work.mix.portions]
    assert (len(job.stages), len(made)) == (5, 4)
    assert "2 of the 4 mixes are 15 g" in words(job)


def test_lists_stand_in_two_columns_and_the_tools_under_them() -> None:
    """What is bought stands in its order, down one column and then the other; the tools, which are at the bench, in two
    columns of their own, so that neither leaves half of the sheet white."""
    job = sample_job(BY_NAME["spice_cabinet"], "mm")
    blocks = shopping_list(job).blocks
    (beside,) = (block for block in blocks if isinstance(block, SideBySide))
    titles = [[block.title for block in column if isinstance(block, Checklist)] for column in beside.columns]
    assert [title for column in titles for title in column] == ["Hardware", "Glue and finish", "Also"]
    assert all(titles)
    (below,) = (block for block in blocks if isinstance(block, InColumns))
    assert [block.title for block in below.blocks if isinstance(block, Checklist)] == ["Tools to have ready"]
    assert below.count == 2
    assert blocks.index(below) > blocks.index(beside)
