"""Sizes of wooden buttons, worked out by hand from the groove they ride in."""

from __future__ import annotations

import pytest

from shopdocs.core.length import Length
from shopdocs.documents.fitting.buttons import Button, button_bit, button_sizes
from tests.documents.test_shopping import words
from tests.sample_jobs import BY_NAME, own_units, sample_job

INCH = Length.inches(1)


@pytest.mark.parametrize(
    ("sample", "button"),
    [
        # Top 40 over legs of 48, aprons set back 8 and 24 thick: their inner faces are 40 + 8 + 24 = 72 from the edge
        # of the top, the screws 90, so 18 from the apron; 2 of that is the gap. The groove runs 10 to 18 below the
        # top, 10 deep: the tongue is 8 - 1 = 7 thick and 10 - 1 = 9 long and begins 10 - 1 = 9 down: 9 + 7 = 16.
        ("sorting_table", Button(Length(16), Length(7), Length(9), Length(16), Length(2))),
        # Top 1 over, rails set back 1/4 and 7/8 thick: 2-1/8 from the edge, the screws 2-3/4: 5/8, less the gap of 1/8.
        # The groove runs 1/2 to 13/16, 3/8 deep: tongue 5/16 - 1/32 thick, 3/8 - 1/32 long, from 1/2 - 1/32 down.
        (
            "threshold_bench",
            Button(INCH * 3 / 4, INCH * 9 / 32, INCH * 11 / 32, INCH / 2, INCH / 8),
        ),
    ],
)
def test_a_button_fits_its_groove(sample: str, button: Button) -> None:
    job = sample_job(BY_NAME[sample], own_units(BY_NAME[sample]))
    item = next(item for item in job.build.hardware if item.rides)
    assert button_sizes(job, item) == (button,)


def test_a_button_leaves_its_screw_enough_to_bite() -> None:
    """In both samples the screw goes on into the top by no more than its pilot hole is deep, and by 3/8 in (9.5 mm)
    at least: less than that draws out (common practice, no source)."""
    for sample, screw in (("sorting_table", Length(30)), ("threshold_bench", INCH * 5 / 4)):
        job = sample_job(BY_NAME[sample], own_units(BY_NAME[sample]))
        item = next(item for item in job.build.hardware if item.rides)
        (button,) = button_sizes(job, item)
        (pilot,) = {hole.bore.depth for hole in job.holes if hole.hardware == item.name}
        assert pilot is not None and INCH * 3 / 8 <= screw - button.thick <= pilot


def test_a_tongue_holds_wherever_the_top_stands() -> None:
    """A tongue 1/4 to 3/8 in (6 to 10 mm) long is usual, and it may not come out of its groove where the top has moved
    as far as its play lets it: then by half of its least length it should still be in (common practice, no source)."""
    for sample in ("sorting_table", "threshold_bench"):
        job = sample_job(BY_NAME[sample], own_units(BY_NAME[sample]))
        item = next(item for item in job.build.hardware if item.rides)
        (button,) = button_sizes(job, item)
        assert Length(6) <= button.out <= Length(10)
        most = max(tie.needs for tie in job.ties if tie.part == "top" and tie.needs)
        assert button.out - button.off - most >= Length(3)


def test_a_button_is_bored_for_its_screw_and_the_bit_is_on_the_list() -> None:
    """A #8 screw is 0.164 in thick (ASME B18.6.1: 0.060 + 0.013 × 8), one of 4 mm just that: the bit that a screw
    slides through is larger, by 1/32 in (0.8 mm) at most (common practice, no source)."""
    for sample, thick in (("threshold_bench", INCH * 41 / 250), ("sorting_table", Length(4))):
        job = sample_job(BY_NAME[sample], own_units(BY_NAME[sample]))
        item = next(item for item in job.build.hardware if item.rides)
        bit = button_bit(job, item)
        assert bit is not None and thick < bit <= thick + INCH / 32
        told = words(job)
        assert f"bored Ø {job.display.drill(bit)} for it" in told
        listed = told[told.index("Drill bits") :].partition("Chisel")[0]
        assert job.display.drill(bit).removesuffix("\u00a0in").removesuffix(" in") in listed
