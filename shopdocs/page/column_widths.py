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
        columns = max(map(len, rows), default=0)
        self._distinct = [{row[k] for row in rows if k < len(row)} for k in range(columns)]
        self._known: dict[tuple[int, float], list[int]] = {}

    def height(self, widths: Sequence[float]) -> float:
        """All rows together, in columns of these widths, without the white between them."""
        if not self._distinct:
            return sum(max(tall, self.lead) for tall in self.talls)
        columns = [self._lines(k, width) for k, width in zip(range(len(self._distinct)), widths, strict=False)]
        rows = zip(self.talls, zip(*columns, strict=True), strict=True)
        high: float = sum([max(tall, self.lead * max(lines)) for tall, lines in rows])
        return high

    def _lines(self, column: int, width: float) -> list[int]:
        """Of the cells of a column, row by row, on how many lines their words stand."""
        known = self._known.get((column, width))
        if known is None:
            ts, size = self.ts, self.size
            lines = {words: len(ts.wrap(*words, size, width)) if words[0] else 0 for words in self._distinct[column]}
            known = [lines[row[column]] if column < len(row) else (0 if row else 1) for row in self.rows]
            self._known[column, width] = known
        return known


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
