"""The building order for those who buy the plan: steps, counts and pictures, told by hand from the build."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Document, Together
from shopdocs.blocks.text import Bullets, Caution, Heading, plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.documents.building import building_order
from shopdocs.documents.catalogue import make_documents
from tests.sample_jobs import job_of
from tests.small_builds import rail_and_top, shelf_between_sides

PEGS = """\
hardware:
  peg:
    holes: [{bit: 6, depth: 10}]
    on:
      - {piece: R, face: %s, along: [60, 200, 340], across: 40}
      - {piece: T, face: face side, along: 30, across: 30}
"""


def order_of(folder: Path, text: str) -> Document:
    (folder / "build.yaml").write_text(text, "utf-8")
    job = job_of(folder / "build.yaml")
    return building_order(job, make_documents(job))


def steps_of(order: Document) -> dict[str, Together]:
    """Each step by its title, which its number stands before."""
    found = {}
    for number, block in enumerate((block for block in order.blocks if isinstance(block, Together)), 1):
        heading = block.blocks[0]
        assert isinstance(heading, Heading) and heading.text.startswith(f"{number}  ")
        found[heading.text.split("  ", 1)[1]] = block
    return found


def drawn_in(step: Together) -> list[str]:
    return [block.name for block in walk((step,)) if isinstance(block, Drawing)]


def told_in(step: Together) -> list[str]:
    return [plain(line).replace("\u00a0", " ") for block in walk((step,)) for line in texts(block)]


@pytest.mark.parametrize(("face", "mark"), [("face side", "R"), ("back", "T")])
def test_the_piece_to_drill_is_one_that_shows_its_holes(tmp_path: Path, face: str, mark: str) -> None:
    """The rail has three holes, the top one. Where those of the rail are in its rear they show nothing from the front,
    and the top is drawn; holes are four either way."""
    step = steps_of(order_of(tmp_path, rail_and_top(80) + PEGS % face))["Drill"]
    assert drawn_in(step) == [mark]
    assert any(line.endswith("holes in all: 4") for line in told_in(step))


def skills_of(order: Document) -> list[str]:
    return [plain(line) for block in walk(order.blocks[:1]) if isinstance(block, Bullets) for line in texts(block)]


BARE = """
build: {title: Boards, mark: B, units: in}
materials: {pine: {kind: softwood, nominal: 1x6}}
parts: {board: {material: pine, size: 3/4 x 5-1/2 x 12, count: 2}}
"""


def test_what_a_build_does_not_need_is_no_step_of_it(tmp_path: Path) -> None:
    """Two boards as they are bought, sawn to length: nothing is planed, joined, drilled, shaped, glued or coated."""
    (tmp_path / "shop.yaml").write_text("shop: {milling: {thickness: 0, width: 0, length: 0}, end trim: 0}\n", "utf-8")
    order = order_of(tmp_path, BARE)
    assert skills_of(order) == ["Mark out from a face side and a face edge with knife, gauge and square"]
    steps = steps_of(order)
    assert list(steps) == ["Saw and mill", "Prepare the surfaces"]
    told = told_in(steps["Saw and mill"])
    assert any("2 in all" in line for line in told) and not any(line.startswith("Plane to") for line in told)
    assert not drawn_in(steps["Saw and mill"]), "nothing stands anywhere"


def test_every_step_of_a_build_stands_in_the_order_of_the_work(tmp_path: Path) -> None:
    """A shelf housed in two sides, a rail screwed to it from below. By hand: four pieces; the housings are two
    joints that are glued in one stage, the screwed one needs no skill in cutting."""
    text = (
        shelf_between_sides()
        .replace(
            "  shelf:\n",
            "  rail: {material: oak, thickness: 18, width: 60, runs: {length: x, width: z}, pieces: {B: "
            "{x: L.right to R.left, y: 0, z: to S.bottom}}}\n  shelf:\n",
        )
        .replace(
            "joints:\n",
            "joints:\n  rail under shelf: {kind: screwed butt, from: rail, into: shelf, thickness: 4.5, length: 40}\n",
        )
        + """\
cuts:
  side taper: {kind: taper, to: 150, on: [{piece: side, face: far edge, along: length - 100 to length}]}
gluing:
  adhesive: white PVA
  stages:
    - {title: Shelf, pieces: [L, S, R]}
finish: {kind: oil varnish, coats: 3}
"""
    )
    order = order_of(tmp_path, text)
    skills = skills_of(order)
    assert "Cut by hand or machine: housing" in skills
    assert "Apply oil varnish, 3 coats" in skills
    assert [skill for skill in skills if skill.startswith("Spread, close and clamp 2 joints in ")]
    steps = steps_of(order)
    assert list(steps) == [
        "Saw and mill",
        "Cut the joints",
        "Drill",
        "Taper and arch",
        "Dry fit",
        "Mark every joint",
        "Prepare the surfaces",
        "Glue up",
        "Finish",
    ]
    assert any("4 in all" in line for line in told_in(steps["Saw and mill"]))
    assert "shelf in sides: 2 × housing" in told_in(steps["Cut the joints"])
    assert drawn_in(steps["Cut the joints"]) == ["shelf in sides"], "what is cut is drawn, not what is screwed"
    assert ["1", "Shelf:", "L", "S", "R"] in [line.split() for line in told_in(steps["Glue up"])]
    assert "oil varnish, 3 coats" in told_in(steps["Finish"])
    cautions = {title: [b.title for b in walk((step,)) if isinstance(b, Caution)] for title, step in steps.items()}
    assert cautions["Saw and mill"] and cautions["Drill"] and cautions["Finish"]
    assert not cautions["Dry fit"] and not cautions["Taper and arch"], "no lathe is used"


def test_a_round_is_turned_and_the_lathe_warned_of(tmp_path: Path) -> None:
    text = BARE.replace("5-1/2", "3/4") + (
        "cuts: {rung: {kind: round, on: [{piece: board}], diameters: ['0, 5/8', 'length, 5/8']}}\n"
    )
    (step,) = (block for title, block in steps_of(order_of(tmp_path, text)).items() if title.startswith("Turn"))
    assert any(isinstance(block, Caution) for block in walk((step,)))
    assert not any("Tape the tiles" in line for line in told_in(step)), "nothing is sawn to a pattern"
