"""What is told of wood that cannot move. Hard maple moves 0.00353 of its width for 1 % (Wood Handbook, FPL-GTR-190,
Table 13-5): 2.118 % between 6 and 12 %."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.pipeline import check_build

PANEL = """
build: {title: Frame, mark: F, units: mm, free standing: no}
materials: {maple: {kind: hardwood, species: hard maple, rough: 34}}
parts:
  stile:
    material: maple
    size: 22 x 50 x 500
    runs: {length: z, width: x}
    pieces: {L: {x: 0, y: 0, z: 0}, R: {x: 350, y: 0, z: 0}}
  panel: {material: maple, size: 12 x 300 x 400, runs: {length: z, width: x}, pieces: {P: {x: 50, y: 5, z: 50}}}
joints: {g: {kind: tongue and groove, from: panel, into: stile, thickness: 6, length: LENGTH, room: ROOM, glued: GLUED}}
"""


def told(folder: Path, text: str, worked: int) -> list[tuple[str, str, str]]:
    (folder / "shop.yaml").write_text(f"shop: {{worked at: {worked} %, climate: {{moisture: 6 % to 12 %}}}}")
    (folder / "build.yaml").write_text(text, "utf-8")
    return [
        (problem.code, problem.wrong, problem.right)
        for problem in check_build(str(folder / "build.yaml"))[2]
        if problem.code in ("no-play", "short-slot")
    ]


@pytest.mark.parametrize(
    ("worked", "length", "room", "glued", "wrong", "right"),
    [
        # Worked dry it swells: 300 and tongues of 8 are 316, 6.693 mm, 3.35 at either edge; up to the next half is 3.5.
        (
            6,
            8,
            "3",
            "no",
            "'P' swells by 6.7 mm across its grain and its grooves leave 6 mm",
            "room: 3.5 mm for each groove",
        ),
        (6, 8, "3.4", "no", "", ""),
        (6, 8, "3.4", "yes", "'P' swells by 6.7 mm across its grain and is glued in on both sides", "write glued: no"),
        # Worked wet it shrinks: 306 with tongues of 3 by 6.48, more than both of them; 308 with tongues of 4 by 6.52.
        (
            12,
            3,
            "1.5",
            "no",
            "'P' shrinks by 6.5 mm and comes out of its groove",
            "make its tongues longer than 3.5 mm",
        ),
        (12, 4, "1.5", "no", "", ""),
    ],
)
def test_a_panel_between_stiles(
    tmp_path: Path, worked: int, length: int, room: str, glued: str, wrong: str, right: str
) -> None:
    text = PANEL.replace("LENGTH", str(length)).replace("ROOM", room).replace("GLUED", glued)
    found = told(tmp_path, text, worked)
    assert len(found) == bool(wrong)
    for code, said, better in found:
        assert code == "no-play" and said == wrong and right in better
