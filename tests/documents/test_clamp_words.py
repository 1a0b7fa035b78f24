"""What is said of the pads names the clamps they lie under: behind them all, "the pads" would be read as those of the
clamp named last."""

from __future__ import annotations

import re

import pytest

from shopdocs.blocks.text import plain
from shopdocs.documents.fitting.clamp_words import clamp_steps, force_words
from tests.sample_jobs import SAMPLES, sample_job


def test_pads_sawn_to_the_lean_are_those_of_the_clamps_that_press_on_what_leans() -> None:
    """The stool, by hand: clamps from top to bottom press on ends, which are sawn level; one over the middle stretcher
    presses on two rounds; those over the side stretchers press on legs that rake."""
    folder = next(one for one in SAMPLES if one.name == "loft_stool")
    job = sample_job(folder, "mm")
    told = " ".join(plain((*step.text, " ", *step.detail)) for step in clamp_steps(job, job.stages[1]))
    told = told.replace("\u00a0", " ")
    upon_legs = re.findall(r"(C\d) front to rear over S[LR]", told)
    upon_rounds = re.findall(r"(C\d) left to right over M", told)
    assert len(upon_legs) == 2
    assert len(upon_rounds) == 1
    assert f"Saw the pads of {' and '.join(upon_legs)} to the lean." in told
    assert f"Notch the pads of {upon_rounds[0]} for the round." in told


@pytest.mark.parametrize(
    ("pounds", "inch", "metric"),
    [
        (5250.0, "5250 lbf", "23.5 kN"),
        (1074.0, "1050 lbf", "5 kN"),
        (1076.0, "1100 lbf", "5 kN"),
        (30.0, "50 lbf", "0.5 kN"),
        (20.0, "50 lbf", "0.5 kN"),
        (1.0, "50 lbf", "0.5 kN"),
    ],
)
def test_a_force_is_told_as_near_as_a_hand_feels_it(pounds: float, inch: str, metric: str) -> None:
    """To 50 pounds or half a kilonewton, and never as none at all (common practice, no source); a pound is
    4.4482216 N, so that 5250 lbf are 23.35 kN, 1074 are 4.78 and 1076 4.79."""
    folder = next(one for one in SAMPLES if one.name == "seed_tote")
    assert force_words(sample_job(folder, "in"), pounds) == inch
    assert force_words(sample_job(folder, "mm"), pounds) == metric
