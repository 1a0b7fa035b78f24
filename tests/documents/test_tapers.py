"""What the sheets say of tapers, worked out by hand for the table with tapered legs."""

from __future__ import annotations

from shopdocs.blocks.text import plain
from shopdocs.documents.job import Job
from shopdocs.documents.own_cuts import cut_lines
from tests.sample_jobs import BY_NAME, sample_job


def job() -> Job:
    return sample_job(BY_NAME["sorting_table"], "mm")


def test_the_line_of_a_taper() -> None:
    """The legs are 900 - 24 = 876 long; the taper begins 110 + 40 = 150 under their top, 726 over the floor, and takes
    48 - 28 = 20 off: 726 / 20 = 36.3, and the angle whose tangent is 20 / 726 = 0.027548 is 0.027541 radians, 1.578
    degrees."""
    said = [plain(line) for line in cut_lines(job(), ["FL", "BR"])]
    tapers = [line for line in said if line.startswith("Leg taper")]
    assert len(tapers) == 1
    assert (
        "on the back face and the far edge, from 726 mm from end A, where it is 48 mm, to 28 mm at end A" in tapers[0]
    )
    assert "1 in 36.3, 1.58°" in tapers[0]


def test_shoulders_above_the_taper() -> None:
    """The aprons meet the legs where these still have their full 48: 1100 - 2 x 40 - 2 x 48 = 924 from shoulder to
    shoulder, and 560 - 80 - 96 = 384."""
    lengths = {part.name: part.length.float_mm() for part in job().build.parts}
    assert (lengths["long apron"], lengths["short apron"]) == (924, 384)


def test_a_tapered_leg_does_not_pass_upside_down() -> None:
    """The narrow end would leave a gap of 48 - 28 = 20 less what the taper has come back over 110 of apron, 3, at the
    shoulder, which nobody overlooks; a square leg with mortises at both ends would go in."""
    fitting = job().alike.fitting
    for mark, stage in (("FL", {"BL", "AL"}), ("FR", {"BR", "AR"})):
        assert [misfit.way.words for misfit in fitting.misfits(mark, [stage])] == []
