"""Proposed stages: pasted into the build they are accepted without a word, and every move is replayed with swept
wood."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterable
from itertools import combinations
from pathlib import Path

import pytest

from shopdocs.cli import main
from shopdocs.core.problems import Problem, has_errors
from shopdocs.pipeline import propose_stages
from shopdocs.pipeline.checking import checked
from shopdocs.work.computed import Computed
from shopdocs.work.order.proposal import Proposal
from shopdocs.work.order.stages import StageWork
from tests.work.order.random_builds import Assembled, assembled
from tests.work.order.replay import faults

ROOT = Path(__file__).parents[3]
SAMPLES = ROOT / "sample_builds"
SEEDS = 40  # the script tests/bench/stages.py tries hundreds


def without_stages(name: str, *changes: tuple[str, str]) -> str:
    """A sample as it would be before its stages are thought of; they are the last key of its gluing."""
    text = (SAMPLES / name / "build.yaml").read_text("utf-8")
    for old, new in changes:
        assert text.count(old) == 1
        text = text.replace(old, new)
    return re.sub(r"(?ms)^  stages:\n.*?(?=^\S)", "", text)


def with_shop(name: str, folder: Path) -> Path:
    """Where a build goes, beside the shop file of a sample."""
    (folder / "shop.yaml").write_bytes((SAMPLES / name / "shop.yaml").read_bytes())
    return folder / "build.yaml"


def proposed(path: Path, text: str) -> str:
    path.write_text(text, "utf-8")
    problems, stages = propose_stages(str(path))
    assert not {problem.code for problem in problems} & OF_THE_ORDER
    return stages


def pasted(path: Path, text: str, stages: str) -> tuple[Computed, tuple[Problem, ...]]:
    """The stages put in at the end of the gluing."""
    head, gluing = text.split("\ngluing:\n")
    body, *rest = re.split(r"(?m)^(?=\S)", gluing, maxsplit=1)
    path.write_text(f"{head}\ngluing:\n{body.rstrip()}\n{stages}\n{''.join(rest)}", "utf-8")
    found = checked(str(path), None)
    assert found.work is not None, found.problems
    return found.work, found.problems


# Doubts that an order which holds must not raise; a groove that a random joint nicks is none of them.
OF_THE_ORDER = {"no-order", "no-stage", "no-joint", "glued-twice", "open-time", "clamps", "empty-stage", "closed-off"}


def moves(stages: Iterable[StageWork | None]) -> list[list[tuple[object, ...]]]:
    """What goes onto what in each stage, and which way."""
    return [
        [(closing.what, closing.onto, closing.toward) for closing in (*stage.order.closings, *stage.order.later)]
        for stage in stages
        if stage is not None
    ]


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(SEEDS))
def test_an_order_is_found_for_what_was_put_together(seed: int, tmp_path: Path) -> None:
    path, text = tmp_path / "build.yaml", assembled(seed).text()
    stages = proposed(path, text)
    before = checked(str(path), None).work
    assert before is not None
    planned = before.proposal
    assert isinstance(planned, Proposal)
    work, problems = pasted(path, text, stages)
    assert not has_errors(problems)
    assert moves(work.stages) == moves(stage.work for stage in planned.stages)
    assert not {problem.code for problem in problems} & OF_THE_ORDER
    assert list(faults(work)) == []
    assert not any(stage.too_long or stage.tight for stage in work.stages)


@pytest.mark.parametrize("seed", range(6))
def test_none_is_claimed_for_what_interlocks(seed: int, tmp_path: Path) -> None:
    """Three blocks, each dowelled to both others along another axis. Dowels part one way only: any part of the three
    that is drawn off opens two joints along two axes, so there is no order; of two blocks one is drawn off the other.
    So the three are named, and none of the rest."""
    build = assembled(seed)
    names = build.interlocked()
    path = tmp_path / "build.yaml"
    path.write_text(build.text(), "utf-8")
    problems, stages = propose_stages(str(path))
    assert stages == "" and [problem.code for problem in problems] == ["no-order"]
    assert set(re.findall(r"'(\w+)'", problems[0].wrong)) == set(names)
    for pair in combinations(names, 2):
        build.dowels = [joint for joint in build.dowels if set(joint) == set(pair)]
        path.write_text(build.text(), "utf-8")
        assert propose_stages(str(path))[1]
        build.dowels = list(zip(names, (*names[1:], names[0]), strict=True))


def titles(stages: str) -> list[set[str]]:
    """The pieces of each stage."""
    return [set(each.replace("\n", " ").split(", ")) for each in re.findall(r"pieces: \[(.*?)\]", stages, re.S)]


def test_a_bench_is_glued_as_its_maker_does(tmp_path: Path) -> None:
    """The stages that the sample's maker wrote: two ends, then the frame; the top, which no glue joins, comes first as
    a panel of its own."""
    path, text = with_shop("threshold_bench", tmp_path), without_stages("threshold_bench")
    stages = proposed(path, text)
    assert titles(stages) == [{"T"}, {"FL", "BL", "RL"}, {"FR", "BR", "RR"}, {"RF", "RB", "ST"}]
    work, problems = pasted(path, text, stages)
    assert not {problem.code for problem in problems} & OF_THE_ORDER
    assert list(faults(work)) == []
    assert "uses: [Left end, Right end]" in stages


def test_a_table_with_drawers(tmp_path: Path) -> None:
    """As the sample's maker does it: both ends and the drawer frame before the whole, in the end the drawers, two at a
    time; their bottoms slide in under the backs without glue and are in no stage."""
    path, text = with_shop("potting_table", tmp_path), without_stages("potting_table")
    stages = proposed(path, text)
    work, problems = pasted(path, text, stages)
    assert not {problem.code for problem in problems} & OF_THE_ORDER
    assert list(faults(work)) == []
    found = titles(stages)
    assert found[:2] == [{"FL", "BL", "AL", "EL"}, {"FR", "BR", "AR", "ER"}]
    assert found[-2:] == [{"LS1", "LS2"}, {"DF1", "DB1", "SL1", "SR1", "DF2", "DB2", "SL2", "SR2"}]
    assert set().union(*found[2:-2]) == {"FU", "FD", "MU", "RU1", "RU2", "RC", "AB"}
    left = stages.split("# Without glue", 1)[1]
    assert "DF1 and DM1 put together first" in left and "DF2 and DM2 put together first" in left
    assert "# wait until it has set: the proud tenons of LS1 LS2" in stages


def test_a_panel_is_in_before_its_frame_is_shut(tmp_path: Path) -> None:
    """With slow epoxy there is time for the cabinet: its door in one stage with the loose panel, marked so."""
    changes = (("adhesive: yellow PVA\n", "adhesive: slow epoxy\n"), ("  open time: 10 min  ", "  label at: 20 C  "))
    path, text = with_shop("spice_cabinet", tmp_path), without_stages("spice_cabinet", *changes)
    stages = proposed(path, text)
    work, problems = pasted(path, text, stages)
    assert not {problem.code for problem in problems} & OF_THE_ORDER
    assert list(faults(work)) == []
    assert {"DL", "DR", "DT", "DB", "DP"} in titles(stages)
    assert 'first: ["DP in without glue: it cannot go in later"]' in stages


def test_a_rack_that_is_closed_over_its_hooks(tmp_path: Path) -> None:
    """Upper rails 5-3/4 in apart: no driver of 150 mm (5.9 in) gets at screws on the inside of one once the slats tie
    both together, so the strip goes on before that stage and no other. The sample has the stages that are proposed."""
    path, text = with_shop("plate_rack", tmp_path), without_stages("plate_rack")
    stages = proposed(path, text)
    upper = next(each for each in stages.split("- title: ") if "U1, U2" in each)
    assert stages.count("hardware:") == 1 and "hardware: [hook strip]" in upper
    assert {"BU", "FU"} < titles(stages)[2]
    assert "clamps: {bar clamp 12 in: 6}" in upper
    assert "# in this order: BU; U1 U2 U3 U4 U5 U6 FU from the front" in upper
    assert "# scrape, sand and finish before it: far edge of U1 U2 U3 U4 U5; face edge of U2 U3 U4 U5 U6" in upper
    last = stages.split("- title: ")[-1]
    assert 'first: ["BK in without glue: it cannot go in later"]' in last and "before it: BK with all edges" in last
    work, problems = pasted(path, text, stages)
    assert not problems
    assert list(faults(work)) == []
    sample = checked(str(SAMPLES / "plate_rack" / "build.yaml"), None).work
    assert sample is not None
    written, again = ([(s.stage.title, s.stage.pieces, s.stage.uses) for s in w.stages] for w in (sample, work))
    assert written == again
    assert list(faults(sample)) == []


def test_a_glue_that_sets_too_soon_is_refused_with_a_cure(tmp_path: Path) -> None:
    """Ten minutes of open time. Shelves in housings right through can slide in from the front one by one; less than the
    two ends of a shelf do not close at once: 2 x 1.5 + 2 x 0.75 + 3 = 7.5 min by the pace that the shop file has by
    default, in whole minutes 8, and three quarters of 10 are 7.5. So no split serves. Top and bottom stand in one side
    before the other is pushed over both, and nothing slides far through wet glue that need not: two joints, two clamps
    along each of two boards, 2 x 1.5 + 4 x 0.75 + 3 = 9 min, and 9 / 0.75 = 12 min would do."""
    path = tmp_path / "build.yaml"
    path.write_text(without_stages("spice_cabinet"), "utf-8")
    problems, stages = propose_stages(str(path))
    assert stages == "" and len(problems) == 1
    told = problems[0]
    assert told.code == "open-time" and told.wrong.startswith("no split avoids the move that brings ")
    assert "2 joints close at once, about 8 min" in told.wrong
    assert "stays open 10 min" in told.wrong and "stays open 12 min or more" in told.right


def test_shelves_go_in_one_by_one_where_a_side_would_close_over_too_many(tmp_path: Path) -> None:
    """With the twelve minutes that the refusal asks for no stage closes more than the two ends of one piece."""
    text = without_stages("spice_cabinet", ("open time: 10 min  ", "open time: 12 min  "))
    path = with_shop("spice_cabinet", tmp_path)
    stages = proposed(path, text)
    work, problems = pasted(path, text, stages)
    assert not {problem.code for problem in problems} & OF_THE_ORDER
    assert list(faults(work)) == []
    assert max(sum(joint.glued for joint, _ in stage.meetings) for stage in work.stages) == 2


def test_few_minutes_make_more_stages(tmp_path: Path) -> None:
    """With a label of 24 min at the shop's temperature three quarters are 18: at 1.5 min a joint, 0.75 a clamp for two
    joints and 3 for square that is 8 joints (12 + 3 + 3), so what has more is cut in two."""
    path = tmp_path / "build.yaml"
    for seed in (10, 14, 29):
        text = assembled(seed).text().replace("slow epoxy", "slow epoxy\n  open time: 24 min\n  pot life: 24 min")
        stages = proposed(path, text)
        slow = proposed(path, assembled(seed).text())
        counts = [int(each) for each in re.findall(r"# (\d+) joints?,", stages)]
        assert max(counts) <= 8 < max(int(each) for each in re.findall(r"# (\d+) joints?,", slow))
        work, problems = pasted(path, text, stages)
        assert not {problem.code for problem in problems} & OF_THE_ORDER
        assert list(faults(work)) == []


WRONG = {
    "no gluing": (("gluing:\n  adhesive: slow epoxy\n", ""), "no-adhesive", "names no adhesive"),
    "no glued joint": (("shoulder: 10", "glued: no"), "no-joint", "takes glue"),
    "no place": (("{P0: {x: 0, y: 0, z: 0}}", "[P0]"), "no-place", "the places of 'P0'"),
}


@pytest.mark.parametrize("case", WRONG)
def test_what_cannot_be_planned_is_told(case: str, tmp_path: Path) -> None:
    (old, new), code, words = WRONG[case]
    build = Assembled(assembled(0).rnd, shoulder=10)
    build.post()
    while not build.bay():
        pass
    build.tongues = []
    build.pieces = [piece for piece in build.pieces if piece.mark[0] != "D"]
    text = build.text()
    assert old in text
    path = tmp_path / "build.yaml"
    path.write_text(text.replace(old, new), "utf-8")
    problems, stages = propose_stages(str(path))
    assert stages == "" and [problem.code for problem in problems] == [code]
    assert words in problems[0].wrong


@pytest.mark.parametrize(("rails", "told"), [(3, "'P', 'A', 'B', 'C'"), (4, "'P', 'A', 'B', 'C' …")])
def test_of_many_pieces_without_a_place_four_are_named(tmp_path: Path, rails: int, told: str) -> None:
    marks = "ABCD"[:rails]
    path = tmp_path / "build.yaml"
    path.write_text(
        "build: {title: Rack, mark: R, units: mm}\nmaterials: {oak: {kind: hardwood, rough: 27}}\n"
        f"parts: {{post: {{material: oak, size: 20 x 60 x 900, pieces: [P]}}, "
        f"rail: {{material: oak, size: 20 x 60 x 400, pieces: [{', '.join(marks)}]}}}}\n"
        "joints: {rail: {kind: mortise and tenon, thickness: 7, length: 30, "
        f"pieces: [{', '.join(f'{mark} into P at A' for mark in marks)}]}}}}\n"
        "gluing: {adhesive: yellow PVA}\n",
        "utf-8",
    )
    problems, stages = propose_stages(str(path))
    assert stages == ""
    assert [problem.wrong for problem in problems if problem.code == "no-place"] == [
        f"no order can be found without the places of {told}"
    ]


def test_the_same_words_whatever_the_order_of_sets(tmp_path: Path) -> None:
    path = tmp_path / "build.yaml"
    path.write_text(assembled(29).text(), "utf-8")
    said = set()
    for seed in ("1", "2"):
        run = [sys.executable, "-m", "shopdocs", "stages", str(path)]
        done = subprocess.run(
            run, capture_output=True, text=True, cwd=ROOT, env={**os.environ, "PYTHONHASHSEED": seed}, check=True
        )
        said.add(done.stdout)
    assert len(said) == 1 and "stages:" in said.pop()


def test_check_offers_what_stages_prints(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One line after the summary as long as there are no stages; a refusal ends with exit code 2 and its place."""
    path, text = tmp_path / "build.yaml", assembled(0).text()
    path.write_text(text, "utf-8")
    assert main(["check", str(path)]) == 0
    assert f"no glue-up stages yet: shopdocs stages {path} proposes some" in capsys.readouterr().out
    assert main(["stages", str(path)]) == 0
    stages = capsys.readouterr().out
    pasted(path, text, stages)
    assert main(["check", str(path)]) == 0
    assert "no glue-up stages" not in capsys.readouterr().out
    path.write_text(without_stages("spice_cabinet"), "utf-8")
    assert main(["stages", str(path)]) == 2
    told = capsys.readouterr()
    assert told.out == "" and re.match(rf"{re.escape(str(path))}:\d+:\d+: no split avoids the move", told.err)


BOX = """
build: {title: Box, mark: B, units: mm}
materials:
  pine: {kind: hardwood, rough: 30}
  ply: {kind: sheet, thickness: 12, sheet: 1250 x 2500}
parts:
  front:
    material: pine
    size: 20 x 300 x 600
    strips: 2
    runs: {length: x, width: z}
    pieces: {F: {x: 0, y: 0, z: 0}, B: {mirror: F across y at 200}}
  side:
    material: pine
    thickness: 20
    width: 300
    strips: 2
    runs: {length: y, width: z}
    pieces: {SL: {x: 0, y: F.back to B.front, z: 0}, SR: {mirror: SL across x at 300}}
  bottom:
    material: ply
    thickness: 12
    runs: {length: x, width: y}
    pieces: {BT: {x: SL.right to SR.left, y: F.back to B.front, z: 12}}
joints:
  corners: {kind: dovetail, from: side, into: front, count: 4}
  bottom: {kind: tongue and groove, from: bottom, into: [front, side], thickness: 12, depth: 8, glued: no}
gluing:
  adhesive: slow epoxy
"""


def test_panels_glued_up_side_by_side_stay_apart(tmp_path: Path) -> None:
    """Front and back of a box come out of their clamps in one stage, each by itself: nothing ties them before the sides
    do, and each goes on its own way round the bottom."""
    path = tmp_path / "build.yaml"
    work, problems = pasted(path, BOX, proposed(path, BOX))
    assert not {problem.code for problem in problems} & OF_THE_ORDER
    first = next(stage for stage in work.stages if {piece.mark for _, piece in stage.panels} >= {"F", "B"})
    assert {("F",), ("B",)} <= set(first.things.values())
    assert not first.order.closings and not first.order.later
    assert list(faults(work)) == []
    assert {meeting.number for stage in work.stages for _, meeting in stage.meetings} == set(range(1, 9))
