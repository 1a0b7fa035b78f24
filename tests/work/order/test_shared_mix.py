"""One mix for small stages that follow each other, by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shopdocs.blocks.text import Checklist, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.glue_up import glue_up
from shopdocs.documents.job import Job
from shopdocs.work.order.mixing import Mix, Portion
from shopdocs.work.order.shared_mix import with_shared_mixes
from shopdocs.work.order.stages import StageWork
from tests.sample_jobs import BY_NAME, sample_job
from tests.values import replace

A_SQUARE_METRE = 900 * Fraction(
    5, 4
)  # g of epoxy at the upper end of a data sheet, and a quarter that stays in the cup


def bench() -> Job:
    return sample_job(BY_NAME["threshold_bench"], "in")


def bare(job: Job) -> list[StageWork]:
    """Its stages, each with the mix it would have by itself."""
    found = []
    for work in job.stages:
        mix = work.mix
        if mix is not None and mix.serves:
            needed = work.area * A_SQUARE_METRE
            portion = Portion(Fraction(15), tuple(meeting.number for _, meeting in work.meetings), Fraction(0))
            mix = Mix(Fraction(15), (portion,), True, True, needed)
        found.append(replace(work, mix=mix))
    return found


def test_both_ends_of_the_bench_take_one_mix() -> None:
    """By hand. A tenon of an end rail has two cheeks of 2-3/4 x 11/16 in and two edges of 3/8 x 11/16: 4.297 in². Four
    of them are 17.19 in² or 0.01109 m²; at 900 g/m², and a quarter for the pot, 12.47 g: less than the 15 g that can be
    weighed true, so one mix of 15 serves both ends. The second is begun after 14 min and its two joints are spread by
    the 16th; the cup lives for 20. Both are in their clamps after 28 min, of 45, three quarters of 60."""
    first, second = bench().stages[:2]
    assert first.mix is not None
    assert second.mix is not None
    assert (first.mix.grams, first.mix.serves, first.mix.least) == (15, (1, 2), True)
    assert float(first.mix.needed) == pytest.approx(12.47, abs=0.01)
    assert (second.mix.grams, second.mix.portions, second.mix.serves) == (0, (), (1, 2))
    assert bench().stages[2].mix is not None
    assert bench().stages[2].mix.serves == ()


@pytest.mark.parametrize(
    ("minutes", "pot", "low", "shared"),
    [
        (14, 20, 60, True),
        (18, 20, 60, True),  # spread by the 20th minute
        (19, 20, 60, False),  # by the 21st
        (14, 15, 60, False),  # by the 16th, and the cup is hard after 15
        (20, 40, 60, True),  # both in their clamps after 40 of 45
        (23, 40, 60, False),  # after 46
    ],
)
def test_not_where_the_first_mix_would_be_too_old(minutes: int, pot: int, low: int, shared: bool) -> None:
    job = bench()
    works = []
    for work in bare(job):
        assert work.open is not None
        window = replace(work.open, pot=Fraction(pot), low=Fraction(low))
        works.append(replace(work, minutes=Fraction(minutes), open=window))
    found = with_shared_mixes(job.build, job.shop, works)
    assert [bool(work.mix and work.mix.serves) for work in found[:2]] == [shared, shared]


def test_not_where_nothing_is_saved_or_the_batch_is_too_large() -> None:
    """Two mixes of 15 g of which little is thrown away are mixed each for itself; so are 6.24 g and 6.24 g, which make
    the least mix of 15 g together, where the shop mixes 10 g at once and no more."""
    job = bench()
    full = [replace(work, mix=work.mix and replace(work.mix, least=work.number == 1)) for work in bare(job)]
    assert not any(work.mix and work.mix.serves for work in with_shared_mixes(job.build, job.shop, full))
    small = replace(job.shop, batch_grams=Fraction(10))
    assert not any(work.mix and work.mix.serves for work in with_shared_mixes(job.build, small, bare(job)))
    assert any(work.mix and work.mix.serves for work in with_shared_mixes(job.build, job.shop, bare(job)))


def test_stages_that_wait_for_each_other_mix_for_themselves() -> None:
    """Where clamps for one end alone hang on the wall, the second waits 12 h, and the glue is hard."""
    job = bench()
    works = [replace(work, clamps=tuple((kind, n, n) for kind, n, _ in work.clamps)) for work in bare(job)]
    assert all(not (work.mix and work.mix.serves) for work in with_shared_mixes(job.build, job.shop, works))


def test_the_sheet_says_where_the_glue_comes_from() -> None:
    told = [
        f"{plain(step.text)} {plain(step.detail)}"
        for block in walk(glue_up(bench()).blocks)
        if isinstance(block, Checklist) and block.title == "With wet glue"
        for step in block.steps[:1]
    ]
    assert told[0].startswith("Mix 15 g (0.5 oz) for stages 1 and 2 ")
    assert told[1].startswith(
        "Use what is left in the tray of stage 1 If it was mixed less than 20 min ago; otherwise mix 15 g"
    )
    assert told[2].startswith("Mix 26 g")
