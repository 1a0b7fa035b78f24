"""Countersinks and slots on piece drawings: two circles seen along the hole (ISO 128-3), a slot as long as it is."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Circle, Drawing, Leader, Polygon, Stroke
from shopdocs.blocks.walk import walk
from shopdocs.core.length import Length
from shopdocs.documents.job import make_job
from shopdocs.documents.piece_drawings import piece_drawings
from shopdocs.pipeline import check_build

BUILD = """
build: {{title: Trial, mark: T, units: {units}}}
materials: {{ash: {{kind: hardwood, rough: 27 mm}}}}
parts:
  bar: {{material: ash, size: 20 mm x 60 mm x 180 mm, pieces: [B]}}
hardware:
  peg:
    holes: [{{screw: '{screw}', as: clearance, depth: through, {extra}}}]
    on: [{{piece: B, face: {face}, along: 60 mm, across: 25 mm}}]
"""


def drawn(folder: Path, units: str, screw: str, extra: str, face: str = "face") -> Drawing:
    path = folder / "b.yaml"
    path.write_text(BUILD.format(units=units, screw=screw, extra=extra, face=face), "utf-8")
    build, shop, _ = check_build(str(path))
    assert build is not None
    job = make_job(build, shop, build.display, "", "letter-30")
    (drawing,) = (block for block in walk(piece_drawings(job).blocks) if isinstance(block, Drawing))
    return drawing


def circles(drawing: Drawing, stroke: Stroke) -> list[Circle]:
    return [shape for shape in drawing.shapes if isinstance(shape, Circle) and shape.stroke is stroke]


@pytest.mark.parametrize(("units", "screw"), [("in", "#8 x 1-1/4"), ("mm", "5 x 50 mm")])
def test_a_countersink_is_two_circles(tmp_path: Path, units: str, screw: str) -> None:
    """The outer one as large as its note says."""
    drawing = drawn(tmp_path, units, screw, "countersunk: yes")
    hole, head = sorted(circles(drawing, Stroke.VISIBLE), key=lambda circle: circle.radius)
    assert hole.centre == head.centre and hole.radius < head.radius
    (note,) = (shape.text for shape in drawing.shapes if isinstance(shape, Leader))
    told = note.rsplit("countersunk to Ø ", 1)[1]
    if units == "mm":
        assert float(told.removesuffix(" mm").removeprefix("≈")) == pytest.approx(float(head.radius.mm * 2), abs=0.25)


def test_a_plain_hole_has_one_circle(tmp_path: Path) -> None:
    drawing = drawn(tmp_path, "mm", "5 x 50 mm", "fit: normal")
    assert len(circles(drawing, Stroke.VISIBLE)) == 1


def test_a_slot_is_drawn_as_long_and_as_wide_as_it_is(tmp_path: Path) -> None:
    """12 mm long, 5.5 mm wide (half a millimetre of room: common practice, no source), its middle where the hole is."""
    drawing = drawn(tmp_path, "mm", "5 x 50 mm", "slot: 12 mm")
    (slot,) = (s for s in drawing.shapes if isinstance(s, Polygon) and s.closed and len(s.points) > 20)
    xs, ys = [x for x, _ in slot.points], [y for _, y in slot.points]
    assert max(xs) - min(xs) == Length(12)
    assert max(ys) - min(ys) == Length("5.5")
    (note,) = (shape.text for shape in drawing.shapes if isinstance(shape, Leader))
    assert "slotted 12 long" in note
