"""Words in a row or a column that must not run into one another."""

from __future__ import annotations

from collections.abc import Sequence


def spaced(heights: Sequence[float], row: float) -> list[float]:
    """Places at least `row` apart, in the same order, with the least squared moves (pooling neighbours that clash)."""
    order = sorted(range(len(heights)), key=lambda i: (heights[i], i))
    pools: list[tuple[float, int]] = []  # mean of (height - place * row), members
    for place, i in enumerate(order):
        mean, size = heights[i] - place * row, 1
        while pools and pools[-1][0] > mean:
            other, members = pools.pop()
            mean, size = (other * members + mean * size) / (members + size), members + size
        pools.append((mean, size))
    rows = [0.0] * len(heights)
    place = 0
    for mean, size in pools:
        for _ in range(size):
            rows[order[place]] = mean + place * row
            place += 1
    return rows
