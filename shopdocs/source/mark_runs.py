"""Runs of marks, such as S1..S9."""

from __future__ import annotations

import re

MOST_PIECES = 5000

_RUN = re.compile(r"\s*(\D*)(\d+)\s*\.\.\s*(\D*)(\d+)\s*")


def run_of(text: str) -> tuple[int, int] | None:
    """The first and the last number of a run, in the order they are written; None for other text."""
    match = _RUN.fullmatch(text[:200])
    if not match or match.group(3).strip() not in ("", match.group(1).strip()):
        return None
    return int(match.group(2)), int(match.group(4))


def expand_run(text: str) -> list[str]:
    """'S1..S4' as four marks; other text as one mark. A run that cannot be read, or is longer than any build, is left
    as it is."""
    ends, match = run_of(text), _RUN.fullmatch(text)
    if ends is None or match is None or ends[1] < ends[0] or ends[1] - ends[0] >= MOST_PIECES:
        return [text.strip()]
    digits = len(match.group(2)) if match.group(2).startswith("0") else 0
    return [f"{match.group(1).strip()}{number:0{digits}d}" for number in range(ends[0], ends[1] + 1)]
