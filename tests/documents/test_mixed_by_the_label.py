"""What goes into the cup by the ratio on the label: a small batch too keeps the ratio. Worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from shopdocs.blocks.text import Checklist, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.fitting.glue_words import mix_steps, parts_text
from shopdocs.documents.glue_up import glue_up
from shopdocs.documents.job import make_job
from shopdocs.facts.adhesives import adhesive
from shopdocs.model.joining import Ratio
from shopdocs.pipeline.checking import checked
from shopdocs.work.order.mixing import Mix, Portion
from tests.sample_jobs import BY_NAME, sample_job


@pytest.mark.parametrize(
    ("grams", "first", "second", "by", "told"),
    [
        (30, 2, 1, "weight", "20 g + 10 g"),
        (15, 100, 45, "weight", "10.3 g + 4.7 g"),  # 15 x 100/145 = 10.345, 15 x 45/145 = 4.655
        (33, 2, 1, "volume", "20 ml + 10 ml"),  # at 1.1 g to the millilitre 30 ml
        (15, 2, 1, "volume", "9.1 ml + 4.5 ml"),  # 13.636 ml: 9.091 and 4.545
        (15, 5, 1, "volume", "11.4 ml + 2.3 ml"),  # 13.636 ml: 11.364 and 2.273
    ],
)
def test_a_batch_keeps_the_ratio(grams: int, first: int, second: int, by: str, told: str) -> None:
    assert parts_text(Fraction(grams), Ratio(Fraction(first), Fraction(second), by), None) == told


@pytest.mark.parametrize("grams", range(15, 101))
def test_no_part_is_rounded_away(grams: int) -> None:
    """Two to one stays two to one within 2 %: a tenth of a millilitre more or less is 2 % of the smallest part."""
    told = parts_text(Fraction(grams), Ratio(Fraction(2), Fraction(1), "volume"), adhesive("slow epoxy"))
    first, second = (Fraction(part.split()[0]) for part in told.split(" + "))
    assert abs(first / second - 2) <= Fraction(4, 100)


COUNTER = """
build: {title: Counter, mark: CN, units: mm}
materials:
  oak 34: {kind: hardwood, species: white oak, rough: 34}
parts:
  counter:
    material: oak 34
    size: 26 x 620 x LONG
    strips: 5
    pieces: [T]
gluing:
  adhesive: slow epoxy
  ratio: 2:1 by volume
  stages:
    - {title: Counter, pieces: [T]}
"""


@pytest.mark.parametrize(
    ("long", "told"),
    [
        # A seam is 26 x 2000 mm = 0.052 m2, which takes 900 g/m2 for both faces and a quarter more for pot and brush:
        # 58.5 g. Two would be more than the 100 g that are mixed at once at most, so each has a batch: at 1.1 g/ml
        # 53.2 ml, that is 35.5 and 17.7.
        (2000, [f"Mix batch {n} of 4: 59 g for seam {n}" for n in (1, 2, 3, 4)]),
        # 26 x 1000 mm: 29.25 g a seam, three to a batch, and one.
        (1000, ["Mix batch 1 of 2: 88 g for seams 1, 2, 3", "Mix batch 2 of 2: 29 g for seam 4"]),
        # 26 x 4000 mm: 117 g a seam, so that each takes two batches, and they are told without seams.
        (4000, [f"Mix batch {n} of 8: {100 if n % 2 else 17} g" for n in range(1, 9)]),
    ],
)
def test_every_batch_of_a_panel_is_a_step(long: int, told: list[str], tmp_path: Path) -> None:
    path = tmp_path / "build.yaml"
    path.write_text(COUNTER.replace("LONG", str(long)), "utf-8")
    work = checked(str(path), None).work
    assert work is not None
    job = make_job(work.build, work.shop, work.build.display, "", "letter-30", work=work)
    lists = [block for block in walk(glue_up(job).blocks) if isinstance(block, Checklist)]
    steps = [plain(step.text) for each in lists for step in each.steps]
    assert [words for words in steps if words.startswith("Mix")] == told


def test_the_parts_are_those_of_the_batch_that_is_printed() -> None:
    """By hand: 15.4 g are printed 15 g; at 2:1 by weight these are 10 g + 5 g, not 10.3 g + 5.1 g."""
    job = sample_job(BY_NAME["sorting_table"], "mm")
    assert job.build.gluing is not None
    gluing = replace(job.build.gluing, ratio=Ratio(Fraction(2), Fraction(1), "weight"))
    told = replace(job, build=replace(job.build, gluing=gluing))
    grams = Fraction("15.4")
    mix = Mix(grams, (Portion(grams, (1,), Fraction(0)),), mixed=True)
    (step,) = mix_steps(told, mix, 1)[0]
    assert plain(step.text).startswith("Mix 15 g")
    assert plain(step.detail).startswith("10 g + 5 g.")
