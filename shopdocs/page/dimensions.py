"""Dimensions after ISO 129-1: slim arrowheads, words above the line, extension lines with a gap and an overshoot.

Words stand over the length they measure, never over another one: where they would meet other words or other dimension
lines the whole dimension moves further out.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from shopdocs.blocks.drawing import Dimension
from shopdocs.core.display import FRACTION_SLASH
from shopdocs.page.items import Box, mm, rectangle
from shopdocs.page.pad import Pad, arrow_head, meets, words_box

HEAD_LENGTH = mm(2.6)  # of an arrowhead; slim, 15 degrees between its sides
HEAD_WIDTH = mm(0.7)
TAIL = HEAD_LENGTH * 1.9  # of an arrow that points in from outside
EXTENSION_GAP = mm(1.0)
EXTENSION_OVER = mm(1.8)
SIZE = 9.0
ABOVE = 1.8  # from the line to the words
STEP_OUT = mm(2.3)
STEPS = 24
APART = mm(3.6)  # between dimension lines one over the other


class _Measured(Struct):
    """A dimension along `s`, its line at `t`; the same for both axes. `fixed` once it is drawn."""

    across: bool
    s0: float
    t0: float
    s1: float
    t1: float
    t: float
    sign: float
    words: str
    size: float
    wide: float
    at: float = 0.0
    fixed: bool = False

    @property
    def inside(self) -> bool:
        return self.s1 - self.s0 >= self.wide + 4.0

    @property
    def arrows_inside(self) -> bool:
        return self.s1 - self.s0 >= 2 * HEAD_LENGTH + 4.0

    def reach(self, at: float) -> tuple[float, float]:
        """Both ends of the line when the words begin at `at`."""
        out = 0.0 if self.arrows_inside else TAIL
        low, high = self.s0 - out, self.s1 + out
        if at + self.wide > self.s1 + TAIL or at < self.s0 - TAIL:
            low, high = min(low, at), max(high, at + self.wide)
        return low, high

    def box(self, at: float, t: float) -> Box:
        x, y = self.place(at, t)
        return words_box(x, y, self.wide, self.size, 0 if self.across else 90)

    def place(self, at: float, t: float) -> tuple[float, float]:
        return (at, t + ABOVE) if self.across else (t - ABOVE, at)


def set_dimensions(pad: Pad, dimensions: Sequence[Dimension]) -> None:
    """Places and draws them: near ones before far ones, and those with room for their words first."""
    size = pad.ts.style.fraction if any(FRACTION_SLASH in shape.text for shape in dimensions) else SIZE
    planned = [_measured(pad, shape, size) for shape in dimensions]
    offsets = {id(one): abs(shape.offset_mm) for one, shape in zip(planned, dimensions, strict=True)}
    for one in sorted(planned, key=lambda m: (offsets[id(m)], not m.inside)):
        one.t, one.at = _clear_place(pad, one, planned)
        one.fixed = True
        _draw(pad, one)


def _measured(pad: Pad, shape: Dimension, size: float) -> _Measured:
    across = shape.axis == "x"
    start, end = pad.at(shape.start), pad.at(shape.end)
    (s0, t0), (s1, t1) = (start, end) if across else (start[::-1], end[::-1])
    if s1 < s0:
        s0, t0, s1, t1 = s1, t1, s0, t0
    words = pad.ts.clean(shape.text)
    sign = 1.0 if shape.offset_mm >= 0 else -1.0
    t = (max(t0, t1) if sign > 0 else min(t0, t1)) + mm(shape.offset_mm)
    return _Measured(across, s0, t0, s1, t1, t, sign, words, size, pad.ts.width(words, "regular", size))


def _clear_place(pad: Pad, one: _Measured, planned: Sequence[_Measured]) -> tuple[float, float]:
    others = [other for other in planned if other is not one and other.across == one.across]
    middle = (one.s0 + one.s1 - one.wide) / 2
    places = [middle]
    if not one.inside:
        beside = [one.s1 + TAIL + 2.0, one.s0 - TAIL - 2.0 - one.wide]
        low, high = min([one.s0, *(o.s0 for o in others)]), max([one.s1, *(o.s1 for o in others)])
        places = (beside if one.s0 - low > high - one.s1 else beside[::-1]) + [middle]
    for step in range(STEPS):
        t = one.t + one.sign * STEP_OUT * step
        for at in places:
            if _clear(pad, one, at, t, others):
                return t, at
    return one.t, middle


def _clear(pad: Pad, one: _Measured, at: float, t: float, others: Sequence[_Measured]) -> bool:
    """Whether the words meet no other words, stand over no other dimension, and the line keeps its distance."""
    a, b, c, d = one.box(at, t)
    if not pad.free((a - 1.5, b - 0.3, c + 1.5, d + 0.3)):
        return False
    low, high = one.reach(at)
    thin = (low, t - 0.3, high, t + 0.3) if one.across else (t - 0.3, low, t + 0.3, high)
    level_words = [other.box(other.at, other.t) for other in others if other.fixed and abs(other.t - t) < 0.1]
    if any(meets(thin, words) for words in pad.taken if words not in level_words):
        return False  # words on the same line stand over it, as its own do
    beside = at >= one.s1 or at + one.wide <= one.s0
    for other in others:
        start, end = other.reach(other.at) if other.fixed else (other.s0, other.s1)
        level = abs(other.t - t) < 0.1
        if not level and abs(other.t - t) < APART and start < high and low < end:
            return False
        if level and not (beside or at < one.s0) and (other.s0 < one.s1 - 0.1 and one.s0 + 0.1 < other.s1):
            return False
        if level and (beside or at < one.s0) and _between(one, at, other):
            return False
        line = (start, other.t - 0.5, end, other.t + 0.5) if one.across else (other.t - 0.5, start, other.t + 0.5, end)
        if not level and meets((a, b, c, d), line):
            return False
    return True


def _between(one: _Measured, at: float, other: _Measured) -> bool:
    """Whether the other length lies under the words or between them and what they measure."""
    low, high = (at, one.s0) if at < one.s0 else (one.s1, at + one.wide)
    return other.s0 < high - 0.1 and low + 0.1 < other.s1


def _draw(pad: Pad, one: _Measured) -> None:
    thin, t = pad.ts.style.thin, one.t

    def at(along: float, off: float) -> tuple[float, float]:
        return (along, off) if one.across else (off, along)

    for along, off in ((one.s0, one.t0), (one.s1, one.t1)):
        way = 1.0 if t >= off else -1.0
        if abs(t - off) > EXTENSION_GAP:
            pad.line(at(along, off + way * EXTENSION_GAP), at(along, t + way * EXTENSION_OVER), thin)
    low, high = one.reach(one.at)
    pad.line(at(low, t), at(high, t), thin)
    inner = 1.0 if one.arrows_inside else -1.0
    for tip, way in ((one.s0, inner), (one.s1, -inner)):
        pad.items.append(arrow_head(at(tip + way * TAIL, t), at(tip, t), HEAD_LENGTH, HEAD_WIDTH))
    x, y = one.place(one.at, t)
    a, b, c, d = one.box(one.at, t)
    clear = (a - 1.0, b + 1.2, c + 1.0, d) if one.across else (a, b - 1.0, c - 1.2, d + 1.0)
    pad.late.append(rectangle(*clear, 0.0, 1.0))  # extension lines of others do not cross the words
    pad.words(x, y, one.words, "regular", one.size, 0 if one.across else 90)
