"""How much glue a stage takes, and in which batches it is mixed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from msgspec import Struct

from shopdocs.facts.adhesives import Adhesive
from shopdocs.facts.working_time import WorkingTime
from shopdocs.model.build import Shop

LOST_IN_THE_POT = Fraction(1, 4)  # what stays in cup and brush (common practice, no source)
LEAST_MIX = Fraction(15)  # grams; two parts cannot be measured true in less (common practice, no source)


class Portion(Struct, frozen=True):
    """What is mixed at once: `grams`, for the joints `numbers` in the order they are spread; `minute` of the stage at
    which it is mixed, by the maker's pace."""

    grams: Fraction
    numbers: tuple[int, ...]
    minute: Fraction


class Mix(Struct, frozen=True):
    """Glue for a stage in grams, with what stays in pot and brush, and the portions it is mixed in. `mixed` of two
    parts; `least` where less would do, but cannot be measured true; `needed` is what would do. `serves` are the numbers
    of the stages that one mix serves, where it is several: only the first of them mixes."""

    grams: Fraction
    portions: tuple[Portion, ...]
    mixed: bool = False
    least: bool = False
    needed: Fraction = Fraction(0)
    serves: tuple[int, ...] = ()

    @property
    def batches(self) -> int:
        """How often glue is mixed."""
        return len(self.portions)


def mix_of(
    areas: Sequence[tuple[int, Fraction]], glue: Adhesive | None, time: WorkingTime | None, shop: Shop
) -> Mix | None:
    """The glue for joints in the order they are spread, each with its number and glued area in square metres; None
    without an adhesive or without area.

    A batch of two parts is no larger than the shop and the kind of glue allow, because a full cup heats itself, and no
    more than can be spread within its life in the cup. A joint that takes more than a batch gets several.
    """
    total = sum((area for _, area in areas), Fraction(0))
    if glue is None or not total:
        return None
    share = 1 + LOST_IN_THE_POT
    needed = glue.grams(total) * share
    numbers = tuple(number for number, _ in areas)
    if not glue.mixed:
        return Mix(needed, (Portion(needed, numbers, Fraction(0)),), needed=needed)
    most = min(shop.batch_grams, glue.most_grams or shop.batch_grams)
    pot = time.pot if time is not None and time.pot is not None else None
    joints = [(number, glue.grams(area) * share) for number, area in areas]
    spread = [shop.pace.spreading(area) for _, area in areas]
    portions = tuple(_even(_portions(joints, spread, most, pot)))
    grams = sum((portion.grams for portion in portions), Fraction(0))
    return Mix(grams, portions, True, needed < LEAST_MIX, needed)


def _portions(
    joints: Iterable[tuple[int, Fraction]], spreading: Iterable[Fraction], most: Fraction, pot: Fraction | None
) -> Iterable[Portion]:
    """Joint after joint into a batch, until it is full or its life in the cup is over."""
    numbers: list[int] = []
    grams, minutes, begun = Fraction(0), Fraction(0), Fraction(0)
    for (number, needed), spread in zip(joints, spreading, strict=True):
        full = grams + needed > most or (pot is not None and minutes + spread > pot)
        if numbers and full:
            yield Portion(grams, tuple(numbers), begun)
            numbers, grams, begun, minutes = [], Fraction(0), begun + minutes, Fraction(0)
        while needed > most:
            yield Portion(most, (number,), begun)
            needed -= most
        numbers.append(number)
        grams, minutes = grams + needed, minutes + spread
    if numbers:
        yield Portion(grams, tuple(numbers), begun)


def _even(portions: Iterable[Portion]) -> Iterable[Portion]:
    """Batches that can be measured true: none smaller than the least mix."""
    for portion in portions:
        yield Portion(max(portion.grams, LEAST_MIX), portion.numbers, portion.minute)
