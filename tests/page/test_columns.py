"""A list that goes on in the next column says there again what it is."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from shopdocs.page.columns import in_columns
from shopdocs.page.flow import Strip


@pytest.mark.parametrize(
    ("heads", "columns", "height"),
    [
        (False, [["title", "1", "2"], ["3", "4"]], 30),  # 50 points in two columns: 30 and 20
        (True, [["title", "1", "2"], ["again", "3", "4"]], 30),  # and 10 more over the second
    ],
)
def test_a_list_goes_on_under_its_title(heads: bool, columns: list[list[str]], height: float) -> None:
    painted: list[tuple[float, float, str]] = []

    def strip(name: str, keep: bool = False, head: Strip | None = None) -> Strip:
        return Strip(10.0, lambda _, left, top: painted.append((left, -top, name)), keep=keep, head=head)

    again = strip("again") if heads else None
    strips = [strip("title", keep=True), strip("1"), *(strip(name, head=again) for name in "234")]
    (made,) = in_columns(strips, 500.0, 500.0, (100.0, 10.0, 2), 14.0)
    made.paint(SimpleNamespace(true_scale=False), 0.0, 0.0)  # type: ignore[arg-type]
    lefts = sorted({left for left, _, _ in painted})
    assert [[name for at, _, name in sorted(painted) if at == left] for left in lefts] == columns
    assert made.height == pytest.approx(height, abs=0.5)
