"""How many examples a property is tried with: as many as find most faults soon, or TIMES as many for a night."""

from __future__ import annotations

import os

TIMES = int(os.environ.get("EXAMPLES_TIMES", "1"))


def some(count: int) -> int:
    """So many, times what is asked for by the variable EXAMPLES_TIMES of the environment."""
    return count * TIMES
