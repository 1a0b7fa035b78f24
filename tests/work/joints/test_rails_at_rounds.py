"""What is said of a rail that is tenoned into the side of a round: how the leg is left square there."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.core.problems import Severity
from shopdocs.pipeline import check_build


def legs(middle: int, turned: str) -> str:
    """Two legs 45 x 45 x 700, and a rail 60 high between them."""
    return f"""
build: {{title: Trial, mark: T, units: mm}}
materials: {{oak: {{kind: hardwood, species: white oak, rough: 65}}}}
parts:
  leg:
    material: oak
    size: 45 x 45 x 700
    runs: {{length: z, width: x}}
    pieces: {{L: {{x: 0, y: 0, z: 0}}, R: {{x: 545, y: 0, z: 0}}}}
  rail:
    material: oak
    thickness: 22
    width: 60
    runs: {{length: x, width: z}}
    pieces: {{RF: {{x: L.right to R.left, y: centred on 22.5, z: centred on {middle}}}}}
joints:
  rails: {{kind: mortise and tenon, from: rail, into: leg, thickness: 8, length: 25}}
cuts:
  legs: {{kind: round, on: [{{piece: leg}}], diameters: {turned}}}
"""


def errors(tmp_path: Path, text: str) -> list[str]:
    path = tmp_path / "b.yaml"
    path.write_text(text, "utf-8")
    return [problem.right for problem in check_build(str(path))[2] if problem.severity is Severity.ERROR]


@pytest.mark.parametrize(
    ("middle", "turned", "cure", "mended"),
    [
        # from 470 to 530 up a leg that is round all along: 230 at its head stay square
        (500, "['0, 30', 'length, 45']", "end at 470 mm from end A, or before", "['0, 30', '470, 45']"),
        (500, "['0, 30', 'length, 45']", "end at 470 mm from end A, or before", "['0, 30', '400, 45']"),
        # from 120 to 180: the foot stays square
        (150, "['0, 30', 'length, 45']", "begin at 180 mm from end A, or after", "['180, 30', 'length, 45']"),
    ],
)
def test_the_cure_says_where_the_round_ends_and_holds(
    tmp_path: Path, middle: int, turned: str, cure: str, mended: str
) -> None:
    (told,) = errors(tmp_path, legs(middle, turned))
    assert told.startswith("make it a round tenon, or leave it square there: ")
    assert f"let its round {cure}; or write flat: yes" in told
    assert errors(tmp_path, legs(middle, mended)) == []


@pytest.mark.parametrize(
    ("middle", "pommel", "beyond"),
    [
        # from 320 to 380 of 700: either way more than half of the round, 380, would have to stay square
        (350, "['320 mm to 380 mm']", False),
        (500, "['470 mm to 530 mm']", True),
        (150, "['120 mm to 180 mm']", True),
        # 20 of the round would be left above it, less than the pommel is long
        (650, "", True),
    ],
)
def test_a_pommel_leaves_it_square_there(tmp_path: Path, middle: int, pommel: str, beyond: bool) -> None:
    turned = "['0, 30', 'length, 45']"
    (told,) = errors(tmp_path, legs(middle, turned))
    assert (f"write pommels: {pommel}" in told) == bool(pommel)
    assert ("let its round " in told) == beyond
    if pommel:
        assert errors(tmp_path, legs(middle, f"{turned}, pommels: {pommel}")) == []


def test_a_pommel_more(tmp_path: Path) -> None:
    turned = "['0, 30', 'length, 45'], pommels: [20 to 40]"
    (told,) = errors(tmp_path, legs(500, turned))
    assert "add the pommel '470 mm to 530 mm'" in told
    assert errors(tmp_path, legs(500, turned.replace("[20", "['470 mm to 530 mm', 20"))) == []
