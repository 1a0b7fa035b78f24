"""One way in which wood that moves is held, and whether it is let move as far as it must."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shopdocs.core.length import Length
from shopdocs.core.problems import NOWHERE, Position

FAST_ACROSS = Length.inches(6)  # so wide a rail is tenoned, so wide a slat screwed down (common practice, no source)


class Sort(StrEnum):
    """The ways in which wood that moves is held."""

    PANEL = "panel"  # both edges in grooves
    SLIDING = "sliding"  # on cross pieces, held by pins
    FAST = "fast"  # glued or screwed to what does not move along
    HELD = "held"  # by buttons and the like, with some play
    GAP = "gap"  # between neighbours that it is not joined to


@dataclass(frozen=True, slots=True)
class Beside:
    """A neighbour of what moves: its mark, how far off it stands, and where seen from what moves ("over", "under",
    "beside")."""

    mark: str
    gap: Length
    where: str


@dataclass(frozen=True, slots=True)
class Tie:
    """One way in which the width of a piece is held. `by` are the pieces that hold it, `through` the joint or the
    hardware that does, by name; `span` is the width that counts.

    `needs` is how far it must be let move from the day it is made, `gives` how far it is (None: nobody said); both
    `each` way where that is so, else in all. `shrinks` is how far the span goes back in the driest air, `tongue` how
    far a panel stands in its groove. `along` are the pieces that reach as far as the body does that it moves
    with, `on` is what it slides on. `beside` are the two neighbours that a gap is left to.
    """

    sort: Sort
    mark: str
    part: str
    by: tuple[str, ...]
    through: str
    span: Length
    needs: Length
    gives: Length | None
    shrinks: Length
    each: bool = False
    glued: bool = False
    slotted: bool = False
    tongue: Length | None = None
    along: tuple[str, ...] = ()
    at: Position = NOWHERE
    on: str = ""
    beside: tuple[Beside, ...] = ()

    @property
    def riding(self) -> tuple[str, ...]:
        """The pieces whose edges move: its own, and those that move along."""
        return self.along or (self.mark,)

    @property
    def enough(self) -> bool | None:
        """Whether it is let move as far as it must; None where nobody said how far that is."""
        return None if self.gives is None else self.gives >= self.needs

    @property
    def comes_out(self) -> bool:
        """Whether a panel kept in the middle of its frame leaves its groove in the driest air."""
        return self.tongue is not None and self.shrinks / 2 >= self.tongue
