"""Decodes stretches: from where to where along a face or a piece."""

from __future__ import annotations

import re

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.model.cutting import Stretch
from shopdocs.model.parts import Part
from shopdocs.source.nodes import Scalar, shorten
from shopdocs.source.values import Values


def stretch_of(node: Scalar | None, whole: Length, part: Part, values: Values) -> Stretch | None:
    """From and to along a face; all of it where nothing is written."""
    if node is None:
        return ZERO, whole
    stretch = written_stretch(node, part, values)
    if stretch is None:
        return None
    low, high = stretch
    if low < ZERO or high > whole:
        over = -low if low < ZERO else high - whole
        wrong = f"'{shorten(node.text)}' reaches {exact_text(over)} past the face of '{part.name}'"
        values.note(node.at, "outside", wrong, f"the face is {exact_text(whole)} there, from 0")
        return None
    return low, high


def written_stretch(node: Scalar, part: Part, values: Values) -> Stretch | None:
    """From and to as they are written, wherever they lie."""
    local = {"length": part.length, "width": part.width, "thickness": part.thickness}
    ends = re.split(r"\s+to\s+", node.text.strip())
    if len(ends) != 2:
        values.note(node.at, "stretch", f"'{shorten(node.text)}' is not a stretch", "write it as 1/2 to 3/4")
        return None
    low, high = (values.length(Scalar(node.at, end, node.quoted), local) for end in ends)
    if low is None or high is None:
        return None
    if low >= high:
        values.note(
            node.at, "stretch", f"'{shorten(node.text)}' begins where it ends, or later", "write the lower first"
        )
        return None
    return low, high
