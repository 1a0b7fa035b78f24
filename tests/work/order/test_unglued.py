"""What goes on without glue when all stages are done: its order by hand, and every move replayed with swept wood."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopdocs.blocks.text import Checklist, Stop, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.job import make_job
from shopdocs.documents.stage_pages import FIX_IT
from shopdocs.pipeline import check_build, propose_stages
from shopdocs.pipeline.checking import checked
from shopdocs.work.computed import Computed
from shopdocs.work.order.straight import Move
from shopdocs.work.order.unglued import _heaps
from tests.sample_jobs import BY_NAME, document_of, sample_job
from tests.work.order.replay import faults

# A case open to the front and the rear; L, R its sides, T, B its top and bottom; more parts may follow.
CASE = """
build: {{title: {title}, mark: C, units: mm, free standing: no}}
materials:
  oak 27: {{kind: hardwood, species: white oak, rough: 27}}
  birch ply 6: {{kind: sheet, species: birch plywood, thickness: 6, sheet: 1525 x 1525}}
parts:
  side:
    material: oak 27
    thickness: 20
    width: {deep}
    length: {high}
    runs: {{length: z, width: y}}
    pieces:
      L: {{x: 0, y: 0, z: 0}}
      R: {{mirror: L across x at {middle}}}
  level:
    material: oak 27
    thickness: 20
    width: {level_deep}
    runs: {{length: x, width: y}}
    pieces:
      T: {{x: L.right to R.left, y: 0, z: to {top}}}
      B: {{x: L.right to R.left, y: 0, z: {bottom}}}
"""

# A case whose back is three boards, tongued into each other, in rabbets all round that are open to the rear. No board
# leaves alone: to the rear its neighbour's tongue holds it, aside and up the rabbets do. All three do, to the rear.
MAP_CASE = (
    CASE.format(title="Map case", deep=200, high=500, middle="499 / 2", level_deep=200, top=480, bottom=20)
    + """\
  back board:
    material: oak 27
    thickness: 10
    width: 153
    runs: {length: z, width: x}
    pieces:
      K1..K3: {x: spread from L.right to R.left, y: to L.back, z: B.top to T.bottom}
joints:
  case: {kind: housing, from: level, into: side, depth: 8}
  back: {kind: rabbet, from: back board, into: [side, level], depth: 8, glued: no}
  boards: {kind: tongue and groove, from: back board, into: back board, thickness: 3, length: 5, glued: no}
gluing:
  adhesive: slow epoxy
  stages:
    - {title: Case, pieces: [L, R, T, B]}
"""
)

# A drawer in its case; the bottom slides into grooves of the sides and the front, under the back, once the drawer is
# glued. When it is in the case nobody gets it in: the case has a back.
BENCH_BOX = (
    CASE.format(title="Bench box", deep=300, high=160, middle=200, level_deep=280, top=160, bottom=0)
    + """\
  back:
    material: oak 27
    thickness: 20
    width: 160
    runs: {length: x, width: z}
    pieces:
      BK: {x: L.right to R.left, y: to 300, z: 0}
  drawer front:
    material: oak 27
    thickness: 20
    width: 116
    runs: {length: x, width: z}
    pieces:
      DF: {x: L.right + 2 to R.left - 2, y: 0, z: to T.bottom - 2}
  drawer back:
    material: oak 27
    thickness: 12
    runs: {length: x, width: z}
    pieces:
      DB: {x: DF.left to DF.right, y: 240, z: DM.top to DF.top}
  drawer side:
    material: oak 27
    thickness: 14
    runs: {length: y, width: z}
    pieces:
      SL: {x: DF.left, y: DF.back to DB.front, z: B.top to DF.top}
      SR: {x: to DF.right, y: DF.back to DB.front, z: B.top to DF.top}
  drawer bottom:
    material: birch ply 6
    thickness: 6
    runs: {length: x, width: y}
    pieces:
      DM: {x: SL.right to SR.left, y: DF.back to DB.back, z: SL.bottom + 8}
joints:
  case: {kind: housing, from: level, into: side, depth: 8}
  closed behind: {kind: edge joint, from: back, into: [side, level]}
  drawer fronts: {kind: dovetail, from: drawer side, into: drawer front, count: 3, length: 14}
  drawer backs: {kind: dovetail, from: drawer side, into: drawer back, count: 3}
  bottoms: {kind: tongue and groove, from: drawer bottom, into: [SL, SR, DF], thickness: 6, length: 6, glued: no}
gaps:
  over: {between: [drawer front, level], size: 2}
  beside: {between: [drawer front, side], size: 2}
gluing:
  adhesive: slow epoxy
  stages:
    - {title: Case, pieces: [L, R, T, B, BK]}
    - {title: Drawer, pieces: [DF, DB, SL, SR]}
"""
)


def computed(folder: Path, text: str) -> tuple[Computed, list[str]]:
    path = folder / "build.yaml"
    path.write_text(text, "utf-8")
    found = checked(str(path), None)
    assert found.work is not None, found.problems
    return found.work, [f"{each.code}: {each.wrong}; {each.right}" for each in found.problems]


def steps(work: Computed, title: str) -> list[str]:
    """The steps of the lists whose title begins so, as they are printed, but for what is done on the wall."""
    job = make_job(work.build, work.shop, work.build.display, "", "letter-30", work=work)
    lists = [block for block in walk(document_of(job, "glue-up").blocks) if isinstance(block, Checklist)]
    told = [plain(step.text) for each in lists if each.title.startswith(title) for step in each.steps]
    return [words for words in told if not words.startswith(FIX_IT)]


def test_a_back_of_boards_drops_in_as_one(tmp_path: Path) -> None:
    work, told = computed(tmp_path, MAP_CASE)
    assert not [each for each in told if each.split(":")[0] in {"shut-in", "no-order", "no-stage"}]
    assert steps(work, "Without glue") == [
        "K2 over K1, from the right",
        "K3 over K2, from the right",
        "K1–K3 as one, from the rear",
    ]
    assert list(faults(work)) == []


def test_the_proposal_leaves_it_out_of_the_glue(tmp_path: Path) -> None:
    """What `stages` says, and what the sheets make of it when it is pasted, are the same."""
    head = MAP_CASE.split("  stages:\n")[0]
    path = tmp_path / "build.yaml"
    path.write_text(head, "utf-8")
    problems, stages = propose_stages(str(path))
    assert not problems and "in without glue" not in stages
    assert "Without glue, when all this has set: K1–K3 put together first, then as one from the rear" in stages
    work, _ = computed(tmp_path, head + stages)
    assert steps(work, "Without glue")[-1] == "K1–K3 as one, from the rear"
    assert list(faults(work)) == []


def test_named_in_a_stage_it_waits_until_the_glue_has_set(tmp_path: Path) -> None:
    work, _ = computed(tmp_path, MAP_CASE.replace("[L, R, T, B]", "[L, R, T, B, K1, K2, K3]"))
    (stage,) = work.stages
    assert {mark for closing in stage.order.closings for mark in closing.marks} == {"L", "R", "T", "B"}
    assert [sorted(closing.marks) for closing in stage.order.later][-1] == ["K1", "K2", "K3"]
    assert list(faults(work)) == []


def test_boards_slide_in_one_by_one_where_the_case_is_open_below(tmp_path: Path) -> None:
    """Grooves of the sides in place of the rabbets, and a bottom that ends before the boards: nothing goes in from
    behind any more, but each board goes up from below, its groove over its neighbour's tongue."""
    text = MAP_CASE.replace(
        "kind: rabbet, from: back board, into: [side, level], depth: 8",
        "kind: tongue and groove, from: back board, into: side, thickness: 4, length: 5",
    )
    text = text.replace("y: to L.back, z: B.top to T.bottom", "y: to L.back - 10, z: 0 to T.bottom")
    text = text.replace("B: {x: L.right to R.left, y: 0, z: 20}", "B: {x: L.right to R.left, y: 0 - 20, z: 20}")
    work, told = computed(tmp_path, text)
    assert not [each for each in told if each.split(":")[0] in {"shut-in", "no-order", "no-stage"}]
    assert sorted(steps(work, "Without glue")[-3:]) == ["K1, from below", "K2, from below", "K3, from below"]
    assert list(faults(work)) == []


def test_what_no_stage_leaves_a_way_in_is_told(tmp_path: Path) -> None:
    """Rabbets open to the rear but for the right side, which has a groove. K1, K2 go straight in, K3 round the corner
    into its groove, each by itself. Together they cannot: the tongues let K3 in only with the others, who keep it from
    its groove."""
    rabbet = "back: {kind: rabbet, from: back board, into: [side, level], depth: 8, glued: no}"
    assert rabbet in MAP_CASE
    text = MAP_CASE.replace(
        rabbet,
        "back: {kind: rabbet, from: back board, into: [L, level], depth: 8, glued: no}\n"
        "  back at the right: {kind: tongue and groove, from: K3, into: R, thickness: 4, length: 5, glued: no}",
    )
    work, told = computed(tmp_path, text)
    assert work.shut_in == ()
    assert work.left is not None and work.left.locked
    (line,) = [each for each in told if each.startswith("no-order")]
    assert "no way left to bring in" in line and "'K3'" in line
    # told of boards, not of the case that stands there glued, and where the boards are written
    assert set(re.findall(r"'(\w+)'", line)) <= {"K1", "K2", "K3"}
    (problem,) = [each for each in check_build(str(tmp_path / "build.yaml"))[2] if each.code == "no-order"]
    assert text.split("\n")[problem.at.line - 1].strip().startswith("K1..K3:")
    assert steps(work, "Without glue")[0].endswith("lock each other in: no straight order was found; try them dry")


def test_the_first_of_all_stays_and_the_other_comes_the_opposite_way() -> None:
    """By hand: a tongue goes down into a slot and turns to the right 17 before its place. Where the tongue stays, the
    slot is brought up under it and goes to the left, and turns off as far before. On a slant both senses turn."""
    laid = Move((1, 2))
    bent = Move((0,), (1, 2), (0, True), first=(2, False), short=17)
    ((heap, move),) = _heaps([laid, bent])
    assert heap.things == [1, 2] and move is not None
    assert (move.what, move.onto) == ((1, 2), (0,))
    assert (move.toward, move.first, move.short, move.also) == ((0, False), (2, True), 17, None)
    ((_, move),) = _heaps([laid, Move((0,), (1, 2), (1, False), also=(2, True))])
    assert move is not None and (move.toward, move.also, move.first) == ((1, True), (2, False), None)


@pytest.mark.parametrize("bottom_first", [True, False])
def test_a_bottom_goes_into_its_drawer_first(bottom_first: bool, tmp_path: Path) -> None:
    """Wherever its part stands in the build."""
    text = BENCH_BOX
    if bottom_first:
        start, end = text.index("  drawer bottom:"), text.index("joints:")
        part = text[start:end]
        text = text.replace(part, "").replace("parts:\n", f"parts:\n{part}")
    work, told = computed(tmp_path, text)
    assert not [each for each in told if each.split(":")[0] in {"shut-in", "no-order", "no-stage"}]
    assert steps(work, "Without glue") == [
        "DM into Drawer, from the rear",
        "Slide in Drawer and DM as one, from the front",
    ]
    assert list(faults(work)) == []


def test_hardware_that_stays_in_reach_is_fitted_last_and_told_once() -> None:
    """The rack's hook strip goes on before its frame is closed, and stands in a bar; nothing closes off the plates that
    it hangs by, nor the feet of the bench. What holds a loose piece, or goes on with it, is no last step."""
    bench = ["4 × foot glide on FL FR BL BR"]
    for name, wanted in (
        ("plate_rack", ["2 × keyhole plate on BU", FIX_IT]),
        ("threshold_bench", bench),
        ("potting_table", []),
    ):
        blocks = list(walk(document_of(sample_job(BY_NAME[name], "in"), "glue-up").blocks))
        lists = [block for block in blocks if isinstance(block, Checklist)]
        title = "Last of all, when the finish is dry"  # hardware stays out of it (common practice, no source)
        last = [plain(step.text) for each in lists if each.title == title for step in each.steps]
        assert [" ".join(words.split()) for words in last] == wanted, name
    rack = document_of(sample_job(BY_NAME["plate_rack"], "in"), "glue-up")
    bars = [block.title for block in walk(rack.blocks) if isinstance(block, Stop)]
    assert sum("Hook strip" in title for title in bars) == 1 and not any("eyhole" in title for title in bars)
