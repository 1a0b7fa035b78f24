"""Builds of odd shape, from the file to the paper: very long, very small, very many. Each is drawn, none fails."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.core.problems import has_errors
from shopdocs.documents.drawn.notes import Ground, place_note
from shopdocs.pipeline import Request, render

HEAD = """
build: {title: Odd, mark: O, units: mm}
materials: {oak 65: {kind: hardwood, rough: 65}, oak 34: {kind: hardwood, rough: 34}}
parts:
  post:
    material: oak 65
    size: 50 x 50 x 400
    runs: {length: z, width: x}
    pieces: {P: {x: 0, y: 0, z: 0}, Q: {x: SPAN, y: 0, z: 0}}
"""
BEAM = """
  beam:
    material: oak 34
    thickness: 20
    width: 80
    runs: {length: x, width: z}
    pieces: {B: {x: P.right to Q.left, y: 15, z: to P.top - 20}}
joints: {j: {kind: through tenon, from: beam, into: post, thickness: 8, width: 50, proud: PROUD}}
"""


def drawn(tmp_path: Path, text: str, *only: str) -> Path:
    build, out = tmp_path / "build.yaml", tmp_path / "out"
    build.write_text(text, "utf-8")
    outcome = render(Request(str(build), only=only), str(out))
    assert not has_errors(outcome.problems), [str(problem) for problem in outcome.problems]
    return out


@pytest.mark.parametrize(("span", "proud"), [("500", "10 m"), ("40 m", "5"), ("60", "900")])
def test_pieces_too_long_for_every_scale_are_drawn_all_the_same(tmp_path: Path, span: str, proud: str) -> None:
    text = (HEAD + BEAM).replace("SPAN", span).replace("PROUD", proud)
    assert (drawn(tmp_path, text, "piece-drawings", "exploded") / "piece-drawings.pdf").is_file()


def test_a_note_finds_its_place_beside_one_of_hundreds_of_holes() -> None:
    tips = [(float(k % 40) * 3, float(k // 40) * 3) for k in range(800)]
    circles = tuple(((x - 1, y), (x + 1, y)) for x, y in tips)
    tip, at = place_note(tips, "800 × Ø 2 mm, through", Ground((), circles), (-200.0, -200.0, 400.0, 400.0))
    assert tip in tips
    assert at != tip
