"""Outlines as files for those who cut a pattern elsewhere: SVG and DXF in millimetres, arcs as arcs, a closed line for
the outline and for each cut-out in it.

Both show the piece as its printed pattern does. The DXF needs the extra `dxf`; without it there is none.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from html import escape
from importlib.util import find_spec
from io import StringIO

from shopdocs.core.outline import Outline, Point, Side
from shopdocs.page import typeface

LAYER = "OUTLINE"
MILLIMETRES = 4  # $INSUNITS of the DXF reference
LINE_MM = 0.25
AIR_MM = 1.0  # around the outline, so that its line shows whole


def outline_svg(outline: Outline, title: str) -> str:
    """The outline as one closed path for each loop, a unit of its coordinates a millimetre, at full size where it is
    opened."""
    wide, high = outline.width.float_mm(), outline.height.float_mm()
    box = f"{-AIR_MM:g} {-AIR_MM:g} {_n(wide + 2 * AIR_MM)} {_n(high + 2 * AIR_MM)}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(wide + 2 * AIR_MM)}mm" '
        f'height="{_n(high + 2 * AIR_MM)}mm" viewBox="{box}">\n'
        f"<title>{escape(typeface.clean(title)[0], quote=False)}</title>\n"
        + "".join(
            f'<path d="{_path(loop, outline)} Z" fill="none" stroke="#000" stroke-width="{LINE_MM}"/>\n'
            for loop in (outline.sides, *outline.holes)
        )
        + "</svg>\n"
    )


def _path(loop: Sequence[Side], outline: Outline) -> str:
    steps = [f"M{_at(loop[0].start, outline)}"]
    for side in loop:
        end = _at(side.end, outline)
        if side.centre is None:
            steps.append(f"L{end}")
        else:
            radius = _n(side.radius.float_mm())
            # y grows downward here, so what turns left still looks so: against the way an angle is counted in SVG
            steps.append(f"A{radius} {radius} 0 0 {0 if side.left else 1} {end}")
    return " ".join(steps)


def writes_dxf() -> bool:
    """Whether the library that writes DXF is installed."""
    return find_spec("ezdxf") is not None


def outline_dxf(outline: Outline) -> str:
    """The outline as a closed polyline for each loop on the layer OUTLINE of a DXF (R2000), in millimetres. Raises
    ImportError without the extra `dxf`."""
    import ezdxf
    from ezdxf import options  # type: ignore[attr-defined]

    kept = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True  # the same outline gives the same file on every day
    try:
        drawing = ezdxf.new("R2000", units=MILLIMETRES)  # type: ignore[attr-defined]
        drawing.layers.add(LAYER)
        for loop in (outline.sides, *outline.holes):
            corners = [(*_floats(side.start), _bulge(side)) for side in loop]
            drawing.modelspace().add_lwpolyline(corners, format="xyb", close=True, dxfattribs={"layer": LAYER})
        target = StringIO()
        drawing.write(target)
    finally:
        options.write_fixed_meta_data_for_testing = kept
    return target.getvalue()


def _bulge(side: Side) -> float:
    """The tangent of a quarter of the angle it turns through, above zero where it turns left: how DXF writes an arc."""
    return math.tan(side.turn / 4)


def _at(point: Point, outline: Outline) -> str:
    return f"{_n(point[0].float_mm())} {_n((outline.height - point[1]).float_mm())}"


def _floats(point: Point) -> tuple[float, float]:
    return point[0].float_mm(), point[1].float_mm()


def _n(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("", "-0") else text
