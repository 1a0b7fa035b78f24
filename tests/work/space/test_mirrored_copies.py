"""A mirrored copy means the same to its maker: what is marked out from face side, face edge and end A of the one is
marked out with the same figures on the other, and in the build each spot of it is the mirror image of the other's."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.core.length import ZERO
from shopdocs.documents.fitting.alike import own_shape
from shopdocs.work.space.placed import side_of
from tests.leaning_stools import Stool
from tests.sample_jobs import BY_NAME, job_of

FINE = 0.0021  # mm: each of both places goes to 1/1000 mm, and so does what it is mirrored from


def mirrored(stool: Stool) -> list[tuple[str, str, int, float]]:
    """Copies of a stool, with the axis and the place that they are mirrored at."""
    left, front = stool.wide / 2, stool.deep / 2
    alike = stool.level[0] == stool.level[1]  # else they are bored for rails at other heights
    return [("FL", "BL", 1, front), ("FR", "BR", 1, front), *([("FL", "FR", 0, left)] if alike else [])]


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(4))
def test_mirrored_legs_of_random_stools(seed: int, tmp_path: Path) -> None:
    stool = Stool.at_random(seed)
    path = tmp_path / "build.yaml"
    path.write_text(stool.text(), "utf-8")
    check(path, mirrored(stool))


def test_mirrored_pieces_of_the_stool() -> None:
    check(
        BY_NAME["loft_stool"] / "build.yaml",
        [("FL", "FR", 0, 200.0), ("FL", "BL", 1, 150.0), ("FR", "BR", 1, 150.0), ("SL", "SR", 0, 200.0)],
    )


def check(path: Path, pairs: list[tuple[str, str, int, float]]) -> None:
    space = job_of(path).space
    assert space is not None
    for one, two, axis, at in pairs:
        first, second = space.pieces[one], space.pieces[two]
        assert own_shape(first) == own_shape(second), "the same figures on both"
        assert first.pose.right_handed != second.pose.right_handed, "and yet not the same piece"
        corners = [
            (along, across, deep)
            for along in (ZERO, first.length)
            for across in (ZERO, first.width)
            for deep in (ZERO, first.thickness)
        ]
        cut = [tuple(cuboid.slant.centre) for cuboid in first.cuboids if cuboid.slant is not None]
        for spot in [*corners, *cut]:
            mine, theirs = ([v.float_mm() for v in piece.spot_in_build(spot)] for piece in (first, second))
            mine[axis] = 2 * at - mine[axis]
            assert mine == pytest.approx(theirs, abs=FINE), (one, two, spot)
        for cuboid in first.cuboids:
            if cuboid.slant is not None:  # bored into the face of the same name, which looks the mirrored way
                looks, high = first.pose.look_of(cuboid.slant.face)
                there, up = second.pose.look_of(cuboid.slant.face)
                assert looks == there and (high != up) == (looks == axis), side_of(cuboid.slant.face)
