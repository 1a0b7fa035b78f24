"""How wide the columns of words of a table are, so that its rows together are as low as they can be."""

from __future__ import annotations

from collections.abc import Sequence

from shopdocs.page.items import Face
from shopdocs.page.typesetter import Typesetter

Words = tuple[str, Face]
STEP = 8.0  # points that one column gives another at once
WORTH_IT = 0.5  # points of height; less is no reason
MOST_ROWS = 80  # of a longer table the widths stay as they are shared out
MOST_MOVES = 40


class Rows:
    """The rows of a table in type of one `size`: `talls` are heights that its pictures take, `lead` that of a line."""

    def __init__(
        self, rows: Sequence[Sequence[Words]], talls: Sequence[float], size: float, lead: float, ts: Typesetter
    ) -> None:
        self.rows, self.talls, self.size, self.lead, self.ts = rows, talls, size, lead, ts
        self._known: dict[tuple[Words, float], int] = {}

    def height(self, widths: Sequence[float]) -> float:
        """All rows together, in columns of these widths, without the white between them."""
        return sum(
            max(tall, self.lead * max(map(self._lines, row, widths), default=1))
            for row, tall in zip(self.rows, self.talls, strict=True)
        )

    def _lines(self, words: Words, width: float) -> int:
        key = words, width
        if key not in self._known:
            self._known[key] = len(self.ts.wrap(*words, self.size, width)) if words[0] else 0
        return self._known[key]


def fewest_lines(
    widths: Sequence[float], least: Sequence[float], wished: Sequence[float], give: Sequence[int], rows: Rows
) -> list[float]:
    """The widths, some of the columns `give` a few points narrower for others of them, as long as the rows become lower
    by it; none narrower than its `least`, none wider than its widest cell, as `wished`."""
    best, high = [*widths], rows.height(widths)
    if len(rows.rows) > MOST_ROWS:
        return best
    for _ in range(MOST_MOVES):
        tried = [
            moved
            for one in give
            for other in give
            for by in (STEP, 3 * STEP, 6 * STEP)
            if one != other and (moved := _moved(best, one, other, by, least, wished)) is not None
        ]
        lowest = min(tried, key=rows.height, default=None)
        if lowest is None or rows.height(lowest) > high - WORTH_IT:
            break
        best, high = lowest, rows.height(lowest)
    return best


def _moved(
    widths: Sequence[float], one: int, other: int, by: float, least: Sequence[float], wished: Sequence[float]
) -> list[float] | None:
    """What one column can give another, at most so much; None where it can give nothing."""
    by = min(by, widths[one] - least[one], wished[other] - widths[other])
    if by <= 0.01:
        return None
    found = [*widths]
    found[one] -= by
    found[other] += by
    return found
