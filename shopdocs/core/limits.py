"""Limits that the command line keeps to and the sheets know of."""

from __future__ import annotations

MOST_ROUNDS = 1_000_000  # of a search for boards: minutes, and nothing that is found later (common practice, no source)
