"""How the search goes about it: every setting, what it does and how it was found."""

from __future__ import annotations

from typing import NamedTuple


class Manner(NamedTuple):
    """How boards are taken apart and what is taken for better.

    ``few`` to ``many`` pieces come off in a round. ``close`` is the share of rounds in which pieces come off a
    stretch of a board rather than here and there; ``empty`` is how many further boards are drawn on average, of
    which the emptiest is taken.
    ``heat`` is what may be lost at first, as a share of a board's area; ``worth`` the weight that the set cover's
    worth of a loose piece has against its area. A run of rounds is at most ``longest`` and at most ``growth`` times
    as long as the one before; ``runs`` is how many go from one set cover to the next after the first ``early`` runs,
    ``choose`` whether whole boards of the pool are chosen.
    """

    few: float = 4.0
    many: float = 20.0
    close: float = 0.0
    empty: float = 0.4
    heat: float = 0.004
    worth: float = 0.7
    longest: int = 32_000
    growth: int = 2
    runs: int = 1
    early: int = 1
    choose: bool = True
