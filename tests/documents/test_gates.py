"""What must come before a stage and what must wait until after it. Rules of the trade are common practice, no source;
distances are worked out by hand."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopdocs.blocks.text import Caution, Checklist, Facts, Paragraph, Stop, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.problems import Problem
from shopdocs.documents.finish import finish_sheet
from shopdocs.documents.fitting.driving import pilot_words
from shopdocs.documents.fitting.trimming import trimming_steps
from shopdocs.documents.job import Job
from shopdocs.pipeline import check_build
from tests.sample_jobs import SAMPLES, document_of, job_of, own_units, sample_job

BY_NAME = {folder.name: folder for folder in SAMPLES}


def stops(job: Job) -> list[str]:
    return [
        f"{block.title} {block.text}" for block in walk(document_of(job, "glue-up").blocks) if isinstance(block, Stop)
    ]


def steps(job: Job) -> dict[str, list[str]]:
    lists = [block for block in walk(document_of(job, "glue-up").blocks) if isinstance(block, Checklist)]
    found: dict[str, list[str]] = {}
    for each in lists:
        told = (f"{plain(step.text)}. {plain(step.detail)}" for step in each.steps)
        found.setdefault(each.title, []).extend(told)
    return found


def test_marks_go_on_and_labels_off_before_any_glue() -> None:
    for name in ("threshold_bench", "potting_table", "spice_cabinet"):
        first = stops(sample_job(BY_NAME[name], "mm"))[0]
        assert "Mate marks" in first
        assert "labels off" in first


# Two rails side by side between two posts, GAP apart, both glued in one stage.
RAILS = """
build: {{title: Rack, mark: R, units: mm}}
materials: {{oak: {{kind: hardwood, species: white oak, rough: 80}}}}
parts:
  post: {{material: oak, size: 60 x 200 x 600, runs: {{length: z, width: y}}, pieces: {{P1: {{x: 0, y: 0, z: 0}}, P2: {{x: 460, y: 0, z: 0}}}}}}
  rail: {{material: oak, size: 20 x 100 x 400, runs: {{length: x, width: z}}, pieces: {{A: {{x: 60, y: 20, z: 100}}, B: {{x: 60, y: {second}, z: 100}}}}}}
joints: {{corners: {{kind: mortise and tenon, from: rail, into: post, thickness: 8, length: 30}}}}
gluing: {{adhesive: yellow PVA, stages: [{{title: Rack, pieces: [P1, A, B, P2]}}]}}
finish: {{kind: tung oil, coats: 3}}
"""  # noqa: E501


@pytest.mark.parametrize(("gap", "closed"), [(30, True), (74, True), (76, False)])
def test_faces_that_no_hand_gets_at_are_finished_first(tmp_path: Path, gap: int, closed: bool) -> None:
    """A hand with a sanding block wants 75 mm (common practice, no source). The first rail ends at y = 40. Tung oil
    stops at 220 (the finish table)."""
    file = tmp_path / "build.yaml"
    file.write_text(RAILS.format(second=40 + gap), "utf-8")
    told = [words for words in stops(job_of(file)) if "finish first" in words]
    assert bool(told) is closed
    if closed:
        assert f"As little as {gap} mm" in told[0]
        assert "of A" in told[0]
        assert "of B" in told[0]
        assert "220 grit" in told[0]
        assert "they stay bare" in told[0]


# The same, the second rail lower, and the two of them LONG between the posts.
LOWER = """
build: {{title: Rack, mark: R, units: mm}}
materials: {{oak: {{kind: hardwood, species: white oak, rough: 80}}}}
parts:
  post: {{material: oak, size: 60 x 200 x 600, runs: {{length: z, width: y}}, pieces: {{P1: {{x: 0, y: 0, z: 0}}, P2: {{x: {far}, y: 0, z: 0}}}}}}
  rail: {{material: oak, size: 20 x {high} x {long}, runs: {{length: x, width: z}}, pieces: {{A: {{x: 60, y: 20, z: 100}}}}}}
  strip: {{material: oak, size: 20 x {low} x {long}, runs: {{length: x, width: z}}, pieces: {{B: {{x: 60, y: 90, z: 100}}}}}}
joints:
  rails: {{kind: mortise and tenon, from: rail, into: post, thickness: 8, length: 20, width: 12}}
  strips: {{kind: mortise and tenon, from: strip, into: post, thickness: 8, length: 20, width: 12}}
gluing: {{adhesive: yellow PVA, stages: [{{title: Rack, pieces: [P1, A, B, P2]}}]}}
finish: {{kind: tung oil, coats: 3}}
"""  # noqa: E501


@pytest.mark.parametrize(
    ("long", "high", "low", "closed"),
    [
        (400, 100, 20, ("A", "B")),  # 400 x 20 of 400 x 100 are a fifth
        (400, 101, 20, ("B",)),  # and a little less than that
        (50, 20, 20, ("A", "B")),  # 50 x 20 are 1000 square millimetres
        (49, 20, 20, ()),
    ],
)
def test_what_is_closed_off_of_a_face_by_little_is_reached_from_beside_it(
    tmp_path: Path, long: int, high: int, low: int, closed: tuple[str, ...]
) -> None:
    """A fifth of a face and ten square centimetres are what no hand gets at from beside (common practice, no source).
    The rails stand 50 apart, the lower one beside the lower part of the other."""
    file = tmp_path / "build.yaml"
    file.write_text(LOWER.format(long=long, far=60 + long, high=high, low=low), "utf-8")
    told = " ".join(words for words in stops(job_of(file)) if "finish first" in words)
    assert tuple(mark for mark in "AB" if re.search(rf"(of|and|,) {mark}\b", told)) == closed


def test_a_panel_is_finished_before_its_frame_shuts_it_in() -> None:
    """The cabinet's door: DP floats in grooves of all four."""
    told = [words for words in stops(sample_job(BY_NAME["spice_cabinet"], "mm")) if "DP" in words]
    assert len(told) == 1
    assert "all edges" in told[0]


def test_what_goes_on_without_glue_says_what_is_done_with_it() -> None:
    """By their builds: the potting table's drawers slide, its slats have screws into the frame; the cabinet's door has
    hinges, while the screws through its back go into a wall and hold no piece."""
    table, cabinet = (steps(sample_job(BY_NAME[name], "mm")) for name in ("potting_table", "spice_cabinet"))
    told = [words for title, each in table.items() if title.startswith("Without glue") for words in each]
    assert [" ".join(words.split()[:2]) for words in told[1:]] == ["Slide in", "Screw on", "Screw on"]
    told = [words for title, each in cabinet.items() if title.startswith("Without glue") for words in each]
    assert any(words.startswith("Hang Door") for words in told)
    assert any(words.startswith("BK, from the rear") for words in told)


def test_what_takes_no_glue_is_not_taped() -> None:
    """The rack's back floats in its grooves, by its build; its slats are glued into the rails."""
    told = [words for words in stops(sample_job(BY_NAME["plate_rack"], "in")) if "finish first" in words]
    assert [("BK" in words, "Tape" in words) for words in told] == [(False, True), (False, True), (True, False)]


@pytest.mark.parametrize("name", ["sorting_table", "threshold_bench"])
def test_what_holds_a_top_is_told_with_its_number_and_what_is_done_with_it(name: str) -> None:
    """From the builds: buttons that hold the top T, their holes in its back face, which looks down."""
    (count,) = (item.count for item in job_of(BY_NAME[name] / "build.yaml").build.hardware if item.holds)
    told = " ".join(words for title, every in steps(job_of(BY_NAME[name] / "build.yaml")).items() for words in every
                    if title.startswith("Without glue"))  # fmt: skip
    held = rf"Hardware: {count} × [\w ]+, screwed to T from below, tongues in the grooves\."
    assert re.search(held, told.replace("\u00a0", " "))


def test_slats_are_finished_before_they_lie_side_by_side() -> None:
    """6 between the slats of the top: (600 - 6 · 95) / 5."""
    (told,) = (words for words in steps(sample_job(BY_NAME["potting_table"], "mm"))["Without glue, onto Whole frame"]
               if "finish first" in words)  # fmt: skip
    assert "As little as 6 mm" in told
    assert "TS2–TS6" in told


def test_what_hardware_covers_for_good_is_finished_before_it_goes_on(tmp_path: Path) -> None:
    """The rack's strip of hooks sits on the inside of FU, which its frame closes in: no driver gets at it again, so
    nobody finishes the wood under it later. The finish sheet knows of it too, and the bar that says so comes before the
    one that has the strip screwed on. A plate that the top lies on shows nowhere, and asks for no finish; nor does
    anything where the build names none."""
    rack = sample_job(BY_NAME["plate_rack"], "in")
    finished, fitted = (words for words in stops(rack) if " FU" in words)
    assert finished.startswith("Sand and finish first")
    assert "back face of FU" in finished
    assert fitted.startswith("Hook strip on FU")
    told = [plain(step.detail) for block in walk(finish_sheet(rack).blocks) if isinstance(block, Checklist)
            for step in block.steps]  # fmt: skip
    assert len([line for line in told if "back face of FU" in line and "all coats on" in line]) == 1
    bare = tmp_path / "bare.yaml"
    whole = (BY_NAME["plate_rack"] / "build.yaml").read_text("utf-8")
    bare.write_text(whole[: whole.index("finish:\n")], "utf-8")
    assert not any("of FU " in words and " first:" in words for words in stops(job_of(bare)))
    hidden = tmp_path / "hidden.yaml"
    stages = "{title: Frame, pieces: [L1, R, L2]}, {title: Top, pieces: [T], uses: [Frame]}"
    glued = "  top on rail: {kind: dowels, from: R, into: T, thickness: 8, depth: 10, count: 2}\nhardware:"
    made = PLATES.replace("{title: Frame, pieces: [L1, R, L2]}", stages).replace("hardware:", glued)
    hidden.write_text(made + "finish: {kind: tung oil, coats: 3}\n", "utf-8")
    told = stops(job_of(hidden))
    assert any("op plate on R" in words for words in told)
    assert not any("finish first" in words and "of R" in words for words in told)


PROUD = """
build: {{title: Gate, mark: G, units: in}}
materials: {{oak: {{kind: hardwood, species: white oak, rough: 12/4}}}}
parts:
  post: {{material: oak, size: 2 x 2 x 24, runs: {{length: z, width: x}}, pieces: {{P1: {{x: 0, y: 0, z: 0}}, P2: {{x: 18, y: 0, z: 0}}}}}}
  rail: {{material: oak, size: 1 x 4 x 16, runs: {{length: x, width: z}}, pieces: {{R: {{x: 2, y: 1/2, z: 4}}}}}}
joints: {{corners: {{kind: through tenon, from: rail, into: post, thickness: 3/8, proud: {proud}}}}}
gluing: {{adhesive: {glue}, stages: [{{title: Gate, pieces: [P1, R, P2], minutes: {minutes}{cure}}}]}}
"""  # noqa: E501


def gate(tmp_path: Path, proud: str = "1/4", glue: str = "slow epoxy", minutes: int = 20, cure: str = "") -> Job:
    file = tmp_path / "build.yaml"
    file.write_text(PROUD.format(proud=proud, glue=glue, minutes=minutes, cure=cure), "utf-8")
    return job_of(file)


def test_proud_tenons_are_sawn_back_after_the_glue(tmp_path: Path) -> None:
    """Common practice, no source: left 1/4 in proud, trimmed to about 1/8 once the glue has set, pared later."""
    told = steps(gate(tmp_path))
    assert not [words for words in told["With wet glue"] if "Saw" in words]
    (words,) = told["When the glue has set"]
    assert "R, ¹⁄₄ in proud, back to about ¹⁄₈ in" in words
    assert "Later pare or plane them flush" in words


def test_tenons_that_stand_little_are_pared_at_once(tmp_path: Path) -> None:
    (words,) = steps(gate(tmp_path, proud="1/16"))["When the glue has set"]
    assert words.startswith("Pare the tenons of R flush")


# A top on two rails; plates are screwed to the inside of the rails, and hold it.
PLATES = """
build: {title: Stand, mark: S, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 80}}
parts:
  leg: {material: oak, size: 50 x 50 x 400, runs: {length: z, width: x}, pieces: {L1: {x: 0, y: 0, z: 0}, L2: {x: 350, y: 0, z: 0}}}
  rail: {material: oak, size: 30 x 80 x 300, runs: {length: x, width: z}, pieces: {R: {x: 50, y: 10, z: to L1.top}}}
  top: {material: oak, size: 20 x 200 x 400, runs: {length: x, width: y}, pieces: {T: {x: 0, y: 0, z: L1.top}}}
joints:
  corners: {kind: mortise and tenon, from: rail, into: leg, thickness: 8, length: 30}
hardware:
  top plate:
    holes: [{screw: 4 x 25 mm, as: pilot, depth: 20}]
    on: [{piece: R, face: edge, along: [60, 240], across: 15}]
    holds: T
  glide:
    holes: [{screw: 4 x 15 mm, as: pilot, depth: 12}]
    on: [{piece: [L1, L2], face: A, along: 25, across: 25}]
gluing: {adhesive: yellow PVA, stages: [{title: Frame, pieces: [L1, R, L2]}]}
"""  # noqa: E501


def test_plates_go_on_before_the_top_closes_them_in(tmp_path: Path) -> None:
    """They sit on the upper edge of the rail: under the top no driver gets at their screws. A glide under a foot stays
    in reach, and is no gate."""
    file = tmp_path / "build.yaml"
    file.write_text(PLATES, "utf-8")
    job = job_of(file)
    last = next(told for title, told in steps(job).items() if title.startswith("Without glue"))
    assert last[0].startswith("Top plate on R first")
    assert last[-1].startswith("T, from above")
    assert not [words for words in (*stops(job), *last) if "glide" in words.lower()]


def timed(tmp_path: Path, glue: str, label: str) -> tuple[Job, list[Problem]]:
    """A glue-up of four hours, 240 minutes, with this glue, at the temperature its label speaks of."""
    file = tmp_path / "build.yaml"
    open_time = f"{glue}, open time: {label}, label at: 20 C, shop: 20 C"
    file.write_text(PROUD.format(proud="1/4", glue=open_time, minutes=240, cure=""), "utf-8")
    _, _, problems = check_build(str(file))
    return job_of(file), [problem for problem in problems if problem.code == "open-time"]


def test_six_hours_open_carry_a_glue_up_of_four(tmp_path: Path) -> None:
    """Common practice, no source: a slow epoxy with six hours open."""
    job, problems = timed(tmp_path, "slow epoxy", "6 h")
    assert not problems
    assert not job.stages[0].too_long


def test_ten_minutes_open_do_not(tmp_path: Path) -> None:
    """Common practice, no source: PVA. The check says what to do, and so does the sheet."""
    job, (told,) = timed(tmp_path, "yellow PVA", "10 min")
    assert "allows 10 min" in told.wrong
    assert "split the stage" in told.right
    assert job.stages[0].too_long
    assert [
        block
        for block in walk(document_of(job, "glue-up").blocks)
        if isinstance(block, Caution) and "Longer" in block.title
    ]


def test_the_finish_sheet_says_what_is_finished_before_the_glue() -> None:
    """The same pieces as the gates of the glue-up: the cabinet's panel, the table's slats; and what stays bare."""
    for name, mark in (("spice_cabinet", "DP"), ("potting_table", "TS2")):
        lists = [block for block in walk(finish_sheet(sample_job(BY_NAME[name], "mm")).blocks)
                 if isinstance(block, Checklist) and block.title == "Before the glue"]  # fmt: skip
        (told,) = (" ".join(plain(step.text) + plain(step.detail) for step in each.steps) for each in lists)
        assert mark in told
        assert "Tape what takes glue" in told


def test_what_only_the_last_pieces_close_off_is_not_taped_for_the_glue() -> None:
    """The bench's top goes on dry, over the stretcher's upper edge: by then all glue has set."""
    sheet = finish_sheet(sample_job(BY_NAME["threshold_bench"], "in"))
    lists = [block for block in walk(sheet.blocks) if isinstance(block, Checklist)]
    assert "Before the glue" not in [each.title for each in lists]
    assert not [step for each in lists for step in each.steps if "Tape" in plain(step.text)]
    (told,) = (each for each in lists if each.title == "Before it is closed off")
    assert [plain(step.detail) for step in told.steps] == ["face edge of ST: sanded, all coats on."]


def test_the_sample_says_once_when_its_back_goes_in() -> None:
    """The title page fits the back before the finish: no sheet may put its pins after it, or leave them out."""
    job = sample_job(BY_NAME["spice_cabinet"], "mm")
    (fitted,) = (words for title, told in steps(job).items() if title.startswith("Without glue") for words in told
                 if words.startswith("BK"))  # fmt: skip
    assert "Pin the back into its rabbet" in fitted
    notes = [part.note for part in job.build.parts] + [piece.note for _, piece in job.build.pieces()]
    assert not [note for note in notes if "finish is dry" in note]


def test_what_comes_out_level_is_planed_flush_after_the_glue() -> None:
    """The plate rack's ends and rails go right through its posts and are as long as the posts are deep, by its sizes;
    of the potting table's drawers the sides' tails come out at the rear. A stopped tenon comes out nowhere."""
    told = {}
    for name in ("plate_rack", "potting_table", "threshold_bench"):
        job = sample_job(BY_NAME[name], own_units(BY_NAME[name]))
        told[name] = [plain(step.text) for work in job.stages for step in trimming_steps(job, work)]
    assert told["plate_rack"] == [
        "Plane flush: EL1 and EL2",
        "Plane flush: ER1 and ER2",
        "Plane flush: BU, BD, FU and FD",
    ]
    assert told["potting_table"][-1] == "Plane flush: SL1, SR1, SL2 and SR2"
    assert told["threshold_bench"] == []


def test_a_panel_is_planed_when_it_is_dry(tmp_path: Path) -> None:
    """Gluing guide of a maker of PVA glues (read in the source): several days before planing for a water-borne glue;
    epoxy brings no water."""
    board = "board: {material: oak, size: 3/4 x 16 x 40, strips: 4, count: 1, mark: T}"
    head = "build: {title: B, mark: B, units: in}\nmaterials: {oak: {kind: hardwood, species: white oak, rough: 4/4}}\n"
    for glue, waits in (("yellow PVA", True), ("slow epoxy", False)):
        path = tmp_path / f"{glue}.yaml"
        gluing = f"gluing: {{adhesive: {glue}, stages: [{{title: P, pieces: [T]}}]}}\n"
        path.write_text(f"{head}parts:\n  {board}\n{gluing}", "utf-8")
        (words,) = steps(job_of(path))["When the glue has set"]
        assert words.startswith("Scrape and plane T flat, cut to size")
        assert ("some days later" in words) == waits


def test_labels_come_off_once() -> None:
    """Of what was glued up before they are off already: the frame of the bench takes off those of its own pieces."""
    told = steps(sample_job(BY_NAME["threshold_bench"], "in"))
    (first,) = [words for words in told["Dry run 1  Left end"] if words.startswith("Dry fit")]
    assert first.startswith("Dry fit in this order, mate marks on, labels off: FL, RL, BL")
    (third,) = [words for words in told["Dry run 3  Frame"] if words.startswith("Dry fit")]
    order, _, labels = third.partition("; mate marks on, labels off: ")
    assert order.startswith("Dry fit in this order: Left end,")
    assert "end" not in labels
    assert {"RF", "RB", "ST"} == set(labels.replace(".", " ").split())


def test_a_note_of_a_glued_joint_is_read_before_the_glue() -> None:
    """Nobody reads with glue on the hands: the rack's note, as its build has it, stands once, in the first dry run
    that has such a joint, and in no step with wet glue."""
    told = steps(sample_job(BY_NAME["plate_rack"], "in"))
    where = [title for title, words in told.items() for line in words if "Nothing may stand out" in line]
    assert where == ["Dry run 1  Left end"]


def test_what_waits_for_the_glue_is_done_when_it_has_set() -> None:
    """The stool's seat is bored when its seam holds, not in the clamps."""
    told = steps(sample_job(BY_NAME["loft_stool"], "mm"))
    assert any(line.startswith("Bore S for joints 1–4") for line in told["When the glue has set"])
    assert not any("Bore it" in line for line in told["In the clamps"])


def test_what_is_right_either_way_round_is_told_of_what_leans_too() -> None:
    """The rung between the stretchers is square to both and turned to 14 mm at either end and 26 half way, its tenons
    alike: right either way round. A stretcher is square to its legs in one view and slants in the other: upside down
    and end for end together it is the same, upside down alone it is not."""
    blocks = list(walk(document_of(sample_job(BY_NAME["loft_stool"], "mm"), "glue-up").blocks))
    told = [plain(b.text) for b in blocks if isinstance(b, Paragraph)]
    (either,) = [words for words in told if "either way" in words]
    assert either == "SL and SR are also right upside down and end for end, both at once. M is right either way round."


@pytest.mark.thorough
@pytest.mark.parametrize(("high", "closed"), [(140, False), (327, True), (300, False)])
def test_what_leans_closes_off_only_what_it_stands_beside(tmp_path: Path, high: int, closed: bool) -> None:
    """Rails of 26 mm at this height in the stool, whose seat begins at 390: at 327 they leave 390 - 340 = 50 mm under
    it, at 300 they leave 77, and a hand wants 75. The box round a leg, which reaches to y = 102 at the seat and comes
    within 35 mm of the middle rail (y = 137), is no matter: where the rail is, the leg has leaned 42 mm to the left."""
    whole = (BY_NAME["loft_stool"] / "build.yaml").read_text("utf-8")
    file = tmp_path / "build.yaml"
    file.write_text(whole.replace("z: centred on 140", f"z: centred on {high}"), "utf-8")
    told = [words for words in stops(job_of(file)) if "finish first" in words]
    assert bool(told) is closed
    assert all("As little as 50 mm" in words and ": SL, SR and M all round" in words for words in told)


def test_what_must_go_on_before_the_top_is_not_told_again_at_the_last(tmp_path: Path) -> None:
    """A plate on the upper face of a rail, 40 mm under a top that goes on without glue: a driver wants 150 mm (common
    practice, no source), so it goes on first, and once."""
    file = tmp_path / "build.yaml"
    whole = RAILS.format(second=140).replace(
        "joints:",
        "  top: {material: oak, size: 20 x 220 x 520, runs: {length: x, width: y},"
        " pieces: {T: {x: 0, y: -10, z: 600}}}\n"
        "hardware:\n  plate: {count: 1, holes: [{screw: '#6 x 5/8', as: pilot, depth: 12}],"
        " on: [{piece: A, face: edge, along: 200, across: 10}]}\njoints:",
    )
    file.write_text(whole.replace("z: 100}, B", "z: 460}, B"), "utf-8")
    told = steps(job_of(file))
    (words,) = [line for lines in told.values() for line in lines if "late on A" in line]
    assert words.startswith("Plate on A first")


def test_dry_runs_are_read_in_their_order() -> None:
    """Down one column, then down the next; five of them on one page for the rack."""
    for name in ("plate_rack", "potting_table", "spice_cabinet"):
        told = [title for title in steps(sample_job(BY_NAME[name], "mm")) if title.startswith("Dry run")]
        assert [int(title.split()[2]) for title in told] == list(range(1, len(told) + 1))


def test_no_load_before_a_day_and_a_week_to_full_strength() -> None:
    """Slow epoxy: do not stress before 24 h (a kit maker), gains no more after 7 days (a formulator's glossary)."""
    facts = (
        block
        for block in walk(document_of(sample_job(BY_NAME["plate_rack"], "in"), "glue-up").blocks)
        if isinstance(block, Facts)
    )
    told = {name: plain(value) for each in facts for name, value in each.pairs}
    assert told["Clamps off: no hard use"] == "for 24 h; cured in 7 days"


def test_screws_of_a_joint_are_bored_dry_and_driven_wet_each_once() -> None:
    """The cabinet's rail is screwed to both sides, two screws each, by its build: to the left one in the stage "Left
    half", to the right one in the next."""
    told = steps(sample_job(BY_NAME["spice_cabinet"], "mm"))
    wet = [line.partition(".")[0] for line in told["With wet glue"]]
    assert [line for line in wet if "screw" in line] == [
        "Drive 2 screws through L into HR",
        "Drive 2 screws through R into HR",
    ]
    for into in ("L into HR", "R into HR"):
        at = wet.index(f"Drive 2 screws through {into}")
        assert wet[at - 1] == "Clamps on"
        assert "HR against L" in wet[at - 2] if into[0] == "L" else "R over" in wet[at - 2]
    bored = [(title, line) for title, lines in told.items() for line in lines if "Bored for 2 screws" in line]
    assert [title for title, _ in bored] == ["Dry run 2  Left half", "Dry run 3  Shelves and right side"]
    assert all("driver and screws to hand" in line and "Pilots Ø 3 mm" in line for _, line in bored)


@pytest.mark.parametrize(
    ("pieces", "both", "through"),
    [
        (["L"], False, "L"),
        (["L"], True, ""),
        (["L", "HR"], False, "L and R"),
        (["L", "HR"], True, "L"),
        (["HR"], True, ""),
        (["DL"], False, ""),
    ],
)
def test_pilots_are_told_where_one_piece_or_both_are_at_hand(pieces: list[str], both: bool, through: str) -> None:
    """The cabinet's rail HR is screwed to its sides L and R, which are 12 thick, by screws 40 long: 28 go into HR."""
    told = pilot_words(sample_job(BY_NAME["spice_cabinet"], "mm"), "hanging rail", pieces, both)
    wanted = f"Pilots Ø 3 mm, 28 mm deep, in HR, marked through the holes in {through}."
    assert told.replace("\N{NO-BREAK SPACE}", " ") == (wanted if through else "")


def test_a_round_is_sanded_all_round_and_once(tmp_path: Path) -> None:
    """Three pegs 24 thick, 60 apart from middle to middle, so that 36 mm is left between them, and a shelf 40 above
    them: each stage closes off another side of them, but a peg is sanded once, before the first."""
    build = """
build: {title: Pegs, mark: PG, units: mm}
materials: {oak: {kind: hardwood, rough: 40}}
parts:
  board:
    material: oak
    size: 30 x 140 x 300
    runs: {length: x, width: z}
    pieces: {B: {x: 0, y: 100, z: 0}}
  shelf:
    material: oak
    size: 30 x 130 x 300
    runs: {length: x, width: y}
    pieces: {S: {x: 0, y: to B.back, z: B.top}}
  peg:
    material: oak
    size: 24 x 24 x 90
    runs: {length: y, width: x}
    pieces:
      P1: {x: centred on 90, y: to B.front, z: centred on 88}
      P2: {x: centred on 150, y: to B.front, z: centred on 88}
      P3: {x: centred on 210, y: to B.front, z: centred on 88}
cuts:
  turned: {kind: round, on: [{piece: peg}], diameters: ['0, 24', 'length, 24']}
joints:
  pegs: {kind: round tenon, from: peg, into: board, thickness: 16, length: 20}
  shelf: {kind: dowels, from: board, into: shelf, thickness: 8, depth: 12, count: 4}
gluing:
  adhesive: slow epoxy
  stages:
    - {title: First, pieces: [B, P1, P2]}
    - {title: Second, pieces: [P3], uses: [First]}
    - {title: Third, pieces: [S], uses: [Second]}
"""
    file = tmp_path / "build.yaml"
    file.write_text(build, "utf-8")
    told = [words for words in stops(job_of(file)) if "finish first" in words or "sand first" in words]
    assert len(told) == 2
    assert ": P1 and P2 all round As little as 36 mm" in told[0]
    assert ": P3 all round As little as 36 mm" in told[1]


def test_a_top_is_drilled_when_it_is_one() -> None:
    """By hand: the bench's top is three strips until stage 4 has set; its buttons want eight holes in it, of which no
    strip has any. The legs are drilled before all stages, and no stage says so."""
    told = steps(sample_job(BY_NAME["threshold_bench"], "in"))
    drilled = [(title, line) for title, lines in told.items() for line in lines if line.startswith("Drill ")]
    assert drilled == [("When the glue has set", "Drill T. By the templates.")]
    set_ = told["When the glue has set"]
    assert set_.index("Drill T. By the templates.") > next(
        i for i, s in enumerate(set_) if s.startswith("Scrape and plane T")
    )


@pytest.mark.parametrize(
    ("count", "told"), [(1, "Drive 1 screw through S into R"), (2, "Drive 2 screws through S into R")]
)
def test_screws_agree_with_their_number(tmp_path: Path, count: int, told: str) -> None:
    joint = f"{{kind: screwed butt, count: {count}, thickness: 4.5, width: 3, length: 40, pieces: [R into S at A]}}"
    (tmp_path / "build.yaml").write_text(
        f"""
build: {{title: Frame, mark: F, units: mm}}
materials: {{oak: {{kind: hardwood, rough: 27}}}}
parts: {{rail: {{material: oak, size: 20 x 60 x 300, pieces: [R, S]}}}}
joints: {{corner: {joint}}}
gluing: {{adhesive: yellow PVA, stages: [{{title: Frame, pieces: [R, S]}}]}}
""",
        "utf-8",
    )
    lines = [line for lines in steps(job_of(tmp_path / "build.yaml")).values() for line in lines]
    assert any(line.startswith(told) for line in lines), lines
